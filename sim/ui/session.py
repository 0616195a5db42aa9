"""One lesson being sailed: exercise, recording, hands and clock, without a window."""

from collections.abc import Mapping
from pathlib import Path

from sim.base.units import TICK_HZ
from sim.core import commands as cmd
from sim.helm.aids import Aids, Granted
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout, View
from sim.run.attempt import Attempt, Marked
from sim.scenario.brief import Brief
from sim.scenario.library import Lesson
from sim.ui.hands import Act, Hands
from sim.ui.logbook import Logbook
from sim.ui.pacer import Pacer


class Session:
    """A lesson under way.

    Attributes:
        brief: as read before.
        hands: the person's.
        pacer: the clock.
        log: what the screen remembers.
        view: what the trainee can know now.
        aids: what the lesson grants beyond it.
    """

    def __init__(
        self, lesson: Lesson, seed: int, folder: Path, boat: str | None = None, started_s: float | None = None
    ) -> None:
        """Begin; the recording opens at once in ``folder``."""
        self.lesson, self.seed, self.folder = lesson, seed, folder
        self.brief: Brief = lesson.brief if boat is None else lesson.brief_in(boat)
        self.exercise = Exercise(lesson, seed, boat)
        self.attempt = Attempt(self.exercise, folder, started_s)
        self.lookout = Lookout(self.exercise)
        self.granted = Granted(self.exercise, lesson.aids)
        self.hands = Hands(self.brief, len(self.brief.chart.marks))
        self.pacer = Pacer()
        self.log = Logbook()
        self.view: View = self.lookout.view()
        self.aids: Aids = self.granted.now()
        self._finished: Marked | None = None

    @property
    def over(self) -> bool:
        """Whether there is nothing more to sail."""
        return self.exercise.over

    def press(self, act: Act) -> None:
        """A key goes down."""
        self.hands.press(act, self.lookout.view(), self.exercise.tick)

    def rate(self, steps: int) -> None:
        """Let time run slower or faster, and note it in the record."""
        self.hands.order(cmd.TimeRate(rate=self.pacer.change(steps)))

    def advance(self, wall_s: float) -> int:
        """Let a frame's worth of time pass; return the ticks passed."""
        due = self.pacer.ticks(wall_s)
        for done in range(due):
            if self.over:
                return done
            self.tick()
        return due

    def tick(self) -> None:
        """Let one tick pass with what the hands order in it."""
        self.attempt.step(self.hands.orders(self.exercise.tick))

    def look(self) -> None:
        """See what there is to see now."""
        self.view = self.lookout.view()
        self.aids = self.granted.now()
        self.log.note(self.view, self.aids.own)

    def finish(self, why: str, rated: Mapping[str, int] | None = None) -> Marked:
        """End the attempt, once, and return it marked; ``rated`` is what the person thought of each phase, 0 to 5."""
        if self._finished is None:
            while self.exercise.tick < TICK_HZ:  # left at once: the first second is the least that can be marked
                self.tick()
            self._finished = self.attempt.finish(why, rated)
        return self._finished

    def why(self) -> str:
        """Return why the attempt ends where it stands now."""
        return self.exercise.why
