"""The demonstrator's run, without a window."""

from collections.abc import Callable, Iterator
from pathlib import Path

from sim.base.units import ticks
from sim.core.orders.commands import EndWatch
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.skipper import Said, Skipper
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout
from sim.play.attempt import Attempt, Marked
from sim.play.night_run import Progress
from sim.scenario.library import Lesson


def sail(
    lesson: Lesson,
    seed: int,
    folder: Path,
    boat: str | None = None,
    started_s: float | None = None,
    say: Callable[[Said], None] = lambda _said: None,
    progress: Callable[[float], None] = lambda _t_s: None,
    kind: type[Skipper] = Demonstrator,
    sleep: bool = False,
    night_progress: Progress = lambda _t_s, _end_s: None,
) -> Marked:
    """Let the demonstrator sail a lesson and return it marked; its files are in ``folder``.

    Args:
        lesson: the lesson.
        seed: the run's seed.
        folder: where the files go.
        boat: another boat of the library, None for the lesson's own.
        started_s: wall-clock seconds since 1970, for the record only.
        say: told each line of narration as it is spoken.
        progress: told the simulated time every ten seconds.
        kind: who sails: the demonstrator, or one who weighs, or makes a mistake.
        sleep: run the night on as well.
        night_progress: told the time in the night and the end of it.
    """
    lesson = lesson.on(seed)
    exercise = Exercise(lesson, seed, boat)
    attempt = Attempt(exercise, folder, started_s)
    skipper = kind(lesson.brief if boat is None else lesson.brief_in(boat))
    for t_s in _steer(attempt, skipper, say, lambda: exercise.over):
        progress(t_s)
    why = exercise.why
    if sleep:
        attempt.sleep(why, night_progress)
    if exercise.departing:
        attempt.step([EndWatch()])
        skipper.depart()
        for t_s in _steer(attempt, skipper, say, lambda: exercise.departed):
            progress(t_s)
    return attempt.finish(why, sleep=False)


def _steer(
    attempt: Attempt, skipper: Skipper, say: Callable[[Said], None], over: Callable[[], bool]
) -> Iterator[float]:
    """Let a skipper decide and time pass until it is over or all is done; yield the time every ten seconds."""
    exercise = attempt.exercise
    lookout, told, every = Lookout(exercise), len(skipper.said), ticks(10.0)
    while not (over() or skipper.done):
        orders = skipper.decide(lookout.view()) if skipper.wants_view(exercise.t_s) else []
        for said in skipper.said[told:]:
            attempt.narrate(said)
            say(said)
        told = len(skipper.said)
        attempt.step(orders, skipper.rests_ticks(exercise.tick))
        if exercise.tick % every == 0:
            yield exercise.t_s
