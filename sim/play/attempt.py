"""One attempt from start to page: the exercise, its recording, its track, its marks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.base.errors import NotMarked, SimulationDiverged
from sim.base.units import TICK_HZ, ticks
from sim.core.events import Event
from sim.core.orders.commands import Command
from sim.core.state import State
from sim.demonstrator.skipper import Said
from sim.helm.exercise import Exercise
from sim.marking import critical, outcome, result, rubric, stay
from sim.marking.errors.found import Error, find_errors
from sim.marking.result import Ended
from sim.marking.run import Run
from sim.pages import debrief
from sim.play import night_run
from sim.record import night as nights
from sim.record import recording
from sim.record import track as tracks
from sim.record.night import Night, NightRecorder
from sim.record.track import Track, TrackRecorder
from sim.scenario.library import Lesson

SLEEPS = ("secured", "limit")  # ends after which the stay goes on


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
    language: str = "en"


@dataclass(frozen=True)
class After:
    """What came after the exercise: the night and the departure, where they were sailed."""

    night: Night | None = None
    departure: Track | None = None

    def save(self, folder: Path) -> None:
        """Write what there is as ``night.npz`` and ``departure.npz``; what there is not, is not left lying either."""
        for part, name in ((self.night, "night.npz"), (self.departure, "departure.npz")):
            (folder / name).unlink(missing_ok=True)
            if part is not None:
                part.save(folder / name)

    @classmethod
    def load(cls, folder: Path) -> "After":
        """Return what lies in a folder.

        Raises:
            RecordingError: where a file cannot be used.
        """
        slept, departure = folder / "night.npz", folder / "departure.npz"
        return cls(
            nights.load(slept) if slept.is_file() else None, tracks.load(departure) if departure.is_file() else None
        )


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
        self._night: NightRecorder | None = None
        self._departure: TrackRecorder | None = None
        self._over: tuple[int, str] | None = None  # when and why it ended, once written
        self._orders: list[tuple[int, Command]] = []
        self._called = 0

    @property
    def tick(self) -> int:
        """Ticks since the start."""
        return self.exercise.tick

    def step(self, commands: Sequence[Command] = (), most: int = 1) -> list[Event]:
        """Let up to ``most`` ticks pass, or a step of the watch's clock, write it down, and return what happened.

        Called after the exercise is over, ``BeginWatch`` begins the night: it goes into a record of its own, and so
        does the departure after it, where the lesson has one.

        Raises:
            SimulationDiverged: when a number stops being physical; the recording is kept up to there.
        """
        x = self.exercise
        tick, departing = x.tick, self._night is not None and x.departing
        over = bool(commands) and x.over
        try:
            happened = x.step(commands, most)
        except SimulationDiverged:
            self._close(tick if self._night is None else round(self._night.began_s * TICK_HZ), "diverged")
            raise
        for command in x.applied:
            self._writer.command(tick, command)
            self._orders.append((tick, command))
        if x.tick % recording.HASH_TICKS == 0:
            self._writer.state(x.tick, x.state_hash())
        if over and self._night is None and nights.begins(over, x.world, x.applied):
            self._night = NightRecorder(x.world, x.stay_tick / TICK_HZ)
        if departing and self._departure is None:
            self._departure = TrackRecorder()
        if self._night is not None and not departing:
            self._night.step(tick, x.applied, happened)
        else:
            self._live.sample(x.world)
            self._live.heard(happened)
        if len(x.calls) > self._called:
            for call in x.calls[self._called :]:
                self._live.said(call.tick, "foredeck", call.key, call.values)
            self._called = len(x.calls)
        return happened

    @property
    def _live(self) -> TrackRecorder:
        """The track being sailed by the live clock: the departure's once that has begun."""
        return self._departure or self._track

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
        self._live.said(ticks(said.t_s), "demonstrator", said.key, said.values)

    def _close(self, tick: int, why: str) -> None:
        """Close the recording, once."""
        if self._over is not None:
            return
        self._over = (tick, why)
        if why != "diverged" and self.exercise.tick % recording.HASH_TICKS:  # no hash of what is no state
            self._writer.state(self.exercise.tick, self.exercise.state_hash())
        self._writer.end(tick, why)
        self._writer.close()

    def sleep(self, why: str, progress: night_run.Progress = lambda _t_s, _end_s: None) -> None:
        """Run the night on to its end, where it follows on ``why`` the exercise ended and none has been sailed."""
        if self._night is None and why in SLEEPS and night_run.is_due(self.exercise):
            night_run.sleep_through(self.step, self.exercise, progress)

    def finish(
        self,
        why: str,
        rated: Mapping[str, int] | None = None,
        *,
        sleep: bool = True,
        progress: night_run.Progress = lambda _t_s, _end_s: None,
    ) -> Marked:
        """Run the night on, close the recording, mark the attempt, and write its files.

        They are ``track.npz``, ``night.npz`` and ``departure.npz`` where there were any, ``result.json`` and
        ``debrief.html``.

        Args:
            why: why the exercise ended: secured, limit, closed, aborted.
            rated: the trainee's own view, by phase.
            sleep: run the night on where none has been sailed and there is one to sail.
            progress: told the time in the night and the end of it.

        Raises:
            NotMarked: when marking failed; track, recording and a page that says why are kept.
        """
        x = self.exercise
        if sleep:
            self.sleep(why, progress)
        tick = x.tick if self._night is None else round(self._night.began_s * TICK_HZ)
        self._close(tick, why)
        track = self._track.finish(x.world)
        after = After(
            self._night.finish() if self._night is not None else None,
            self._departure.finish(x.world) if self._departure is not None else None,
        )
        track.save(self.folder / "track.npz")
        after.save(self.folder)
        try:
            marked = mark(
                x.lesson, x.world.params, track, tuple(self._orders), self.header, Ended(why, tick / TICK_HZ),
                x.state_hash(), self.folder, rated, after,
            )  # fmt: skip
            result.write(self.folder, marked.result)
            debrief.write(self.folder, marked.run, marked.marks, marked.fails, marked.outcome, marked.result, x.lesson)
        except Exception as failed:  # whatever it is: what was sailed is not lost with its marks
            debrief.write_unmarked(self.folder, f"{type(failed).__name__}: {failed}", x.lesson)
            raise NotMarked(str(self.folder), f"{type(failed).__name__}: {failed}") from failed
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
    after: After = After(),
) -> Marked:
    """Return an attempt's marks, from track, orders and what came after; ``rated`` is the trainee's own view."""
    run = Run(track, params, stay.stay_of(lesson), orders, lesson.brief, after.night, after.departure)
    fails = critical.find_fails(run, lesson.profile.critical)
    found = find_errors(run)
    marks = rubric.judge(run, lesson.profile, fails, lesson.sources.lesson.goals, found)
    came_of = outcome.find_outcome(run)
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
        lesson.language,
    )
    return Marked(run, marks, fails, came_of, found, data, folder, lesson.language)
