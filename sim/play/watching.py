"""A lesson sailed by the demonstrator, to be watched: his hands on everything, his reasons on the screen."""

from pathlib import Path

from sim.core import events as ev
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.skipper import Said, Skipper
from sim.play.hands import Act
from sim.play.session import DEPARTURE, Session
from sim.scenario.library import Lesson

LOOKS = (Act.LOOK_LEFT, Act.LOOK_RIGHT, Act.BOOKMARK)  # what whoever watches may do
HIS = tuple(act for act in Act if act not in LOOKS)  # and what is the demonstrator's


class Showing(Session):
    """A lesson under way in the demonstrator's hands; ``said`` is what he said last."""

    shown = True

    def __init__(
        self,
        lesson: Lesson,
        seed: int,
        folder: Path,
        boat: str | None = None,
        started_s: float | None = None,
        kind: type[Skipper] = Demonstrator,
    ) -> None:
        """Begin, with a skipper of a kind: the demonstrator, or one who makes a mistake on purpose."""
        super().__init__(lesson, seed, folder, boat, started_s)
        self.skipper = kind(self.brief)

    @property
    def said(self) -> Said | None:
        """What he said last, None before he has spoken."""
        return self.skipper.said[-1] if self.skipper.said else None

    @property
    def over(self) -> bool:
        """Whether all that he shows has been shown."""
        return super().over or self.skipper.done

    def press(self, act: Act) -> None:
        """Let who watches look about, no more."""
        if act in LOOKS:
            super().press(act)

    def step_back(self, seconds: float = 0.0) -> None:
        """Do nothing: he cannot be taken back to an earlier thought."""

    def rouse(self, why: str) -> None:
        """Take the helm when the stay is over: he weighs and leaves."""
        super().rouse(why)
        if why == DEPARTURE:
            self.skipper.depart()

    def tick(self, most: int = 1) -> list[ev.Event]:
        """Let a tick pass with what he orders in it, or up to ``most`` until he decides again."""
        if self.skipper.wants_view(self.exercise.t_s):
            told = len(self.skipper.said)
            for order in self.skipper.decide(self.lookout.view()):
                self.hands.order(order)
            for said in self.skipper.said[told:]:
                self.attempt.narrate(said)
        return super().tick(min(most, self.skipper.rests_ticks(self.exercise.tick)))
