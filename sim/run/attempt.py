"""One attempt from start to page: the exercise, its recording, its track, its marks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.base.errors import SimulationDiverged
from sim.base.units import TICK_HZ, ticks
from sim.core.commands import Command
from sim.core.events import Event
from sim.core.state import State
from sim.helm.exercise import Exercise
from sim.helm.skipper import Said
from sim.marking import critical, debrief, outcome, result, rubric, stay
from sim.marking.errors.found import Error, find_errors
from sim.marking.result import Ended
from sim.marking.run import Run
from sim.record import recording
from sim.record.track import Track, TrackRecorder
from sim.scenario.library import Lesson


@dataclass(frozen=True)
class Marked:
    """An attempt as marked: everything that result and debrief are made of."""

    run: Run
    marks: rubric.Marks
    fails: tuple[critical.Fail, ...]
    outcome: outcome.Outcome
    errors: tuple[Error, ...]
    result: dict[str, Any]
    folder: Path


class Attempt:
    """Steps an exercise and writes down what happens; used by window and demonstrator alike."""

    def __init__(self, exercise: Exercise, folder: Path, started_s: float | None = None) -> None:
        """Begin an attempt whose files go into ``folder``."""
        lesson = exercise.lesson
        self.exercise = exercise
        self.folder = folder
        self.started_s = started_s
        self.header = recording.make_header(
            lesson.name, lesson.sha256, exercise.seed, exercise.boat, lesson.level, started_s
        )
        self._writer = recording.Writer(folder, self.header)
        self._track = TrackRecorder()
        self._orders: list[tuple[int, Command]] = []
        self._called = 0

    def step(self, commands: Sequence[Command] = ()) -> list[Event]:
        """Let one tick pass, write down its commands, and return what happened.

        Raises:
            SimulationDiverged: when a number stops being physical; the recording is kept up to there.
        """
        x = self.exercise
        tick = x.tick
        try:
            happened = x.step(commands)
        except SimulationDiverged:
            self._writer.end(tick, "diverged")
            self._writer.close()
            raise
        for command in x.applied:
            self._writer.command(tick, command)
            self._orders.append((tick, command))
        if x.tick % recording.HASH_TICKS == 0:
            self._writer.state(x.tick, x.state_hash())
        self._track.sample(x.world)
        if happened:
            self._track.heard(happened)
        for call in x.calls[self._called :]:
            self._track.said(call.tick, "foredeck", call.key, call.values)
        self._called = len(x.calls)
        return happened

    def rewind(self, saved: State) -> None:
        """Take the run up again where ``saved`` was taken: everything later is forgotten, on disk too."""
        tick = saved.tick
        self.exercise.rewind(saved)
        self._writer.rewind(tick)
        self._track.rewind(tick)
        self._orders = [(at, order) for at, order in self._orders if at < tick]
        self._called = len(self.exercise.calls)

    def narrate(self, said: Said) -> None:
        """Keep a line of the demonstrator's."""
        self._track.said(ticks(said.t_s), "demonstrator", said.key, said.values)

    def finish(self, why: str, rated: Mapping[str, int] | None = None) -> Marked:
        """Close the recording, mark the attempt, and write ``track.npz``, ``result.json`` and ``debrief.html``."""
        x = self.exercise
        if x.tick % recording.HASH_TICKS:
            self._writer.state(x.tick, x.state_hash())
        self._writer.end(x.tick, why)
        self._writer.close()
        track = self._track.finish(x.world)
        track.save(self.folder / "track.npz")
        ended = Ended(why, x.tick / TICK_HZ)
        marked = mark(
            x.lesson, x.world.params, track, tuple(self._orders), self.header, ended, x.state_hash(), self.folder, rated
        )
        result.write(self.folder, marked.result)
        debrief.write(self.folder, marked.run, marked.marks, marked.fails, marked.outcome, marked.result, x.lesson)
        return marked


def mark(
    lesson: Lesson,
    params: Any,
    track: Track,
    orders: tuple[tuple[int, Command], ...],
    header: dict[str, Any],
    ended: Ended,
    state_hash: str,
    folder: Path,
    rated: Mapping[str, int] | None = None,
) -> Marked:
    """Return an attempt's marks, from its track and orders alone; ``rated`` is the trainee's own view, by phase."""
    run = Run(track, params, stay.stay_of(lesson), orders, lesson.brief, safe=not lesson.sources.lesson.no_safe_spot)
    fails = critical.find_fails(run, lesson.profile.critical)
    marks = rubric.judge(run, lesson.profile, fails)
    came_of = outcome.find_outcome(run)
    found = find_errors(run)
    data = result.make_result(
        run,
        header,
        (lesson.profile.name, lesson.profile.version),
        ended,
        marks,
        fails,
        came_of,
        state_hash,
        rated,
        found,
    )
    return Marked(run, marks, fails, came_of, found, data, folder)
