"""D. Mistakes of setting and checking."""

from dataclasses import replace

from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator.choosing import Spot
from sim.demonstrator.mistakes.laying import NeverCompares
from sim.demonstrator.mistakes.manner import Mistake, Mistaken, leaves_out
from sim.demonstrator.pilot import ACTOR, IDLE
from sim.demonstrator.skipper import Steps

SAND, PRACTICE = "lantern-pool-2", "practice/"


class Bursts(Mistaken):
    """Throws the lever over at each step."""

    code = "D1"
    patient = False
    steps = (IDLE, 0.4, 1.0)

    def _step_astern(self, lever: float, hold_s: float) -> Steps:
        if lever > 0.3:
            self.own_up()
        yield self.pilot.levers(-lever) + self.pilot.helm(0.0)
        yield from super()._step_astern(lever, hold_s)


class SetsFromSlack(NeverCompares):
    """Goes astern with slack out, and lets the boat's weight find the end of it."""

    code = "D2"
    patient = False
    steps = (0.4, 0.72, 1.0)


class SetsEarly(Mistaken):
    """Loads soft ground as soon as the rode is out."""

    code = "D3"
    steps = (0.72, 1.0)

    def _soak(self) -> Steps:
        yield from ()

    def _set_by_steps(self) -> Steps:
        self.own_up()
        yield from super()._set_by_steps()


class StopsAtTickOver(Mistaken):
    """Calls it set as the wind has laid her."""

    code = "D4"

    def _set_by_steps(self) -> Steps:
        self.own_up()
        yield [cmd.TakeTransit(actor=ACTOR, bearing_rad=0.0)]
        yield from self.wait(20.0)


class AllAtOnce(Mistaken):
    """Goes to all she has in one step."""

    code = "D5"
    patient = False
    steps = (1.0,)
    step_every_s = 0.2

    def _straighten(self) -> Steps:
        yield from ()

    def _set_by_steps(self) -> Steps:
        self.own_up()
        yield from super()._set_by_steps()


class Hurries(Mistaken):
    """Gives each step a breath only."""

    code = "D7"
    hold_s = 7.0

    def _step_astern(self, lever: float, hold_s: float) -> Steps:
        self.own_up()
        yield self.pilot.levers(-lever) + self.pilot.helm(0.0)
        yield from self.wait(hold_s)


class ShortScoped(Mistaken):
    """Plans far too little, and so drags.

    Attributes:
        scope: planned, from the roller at the water of now.
    """

    scope = 2.1
    patient = False

    def _choose(self, lie_rad: float, tide_m: float) -> Spot:
        spot = super()._choose(lie_rad, tide_m)
        return replace(spot, rode_m=self.scope * (spot.depth_m + self.brief.boat.roller_height_m))


class Hopes(ShortScoped):
    """Sees her drag, and gives her more."""

    code = "D9"
    steps = (IDLE, 0.45, 0.72, 1.0)
    hold_s, last_hold_s = 35.0, 25.0

    def _dragging(self, since: int, for_s: float = 0.0) -> bool:
        if super()._dragging(since):
            self.own_up()
        return False


class PloughsAgain(ShortScoped):
    """Pulls, drags, eases and pulls again, without lifting it."""

    code = "D10"
    scope = 1.8

    def _straighten(self) -> Steps:
        yield from ()

    def _set_by_steps(self) -> Steps:
        yield [cmd.TakeTransit(actor=ACTOR, bearing_rad=0.0)]
        for attempt in range(4):
            if attempt == 2:
                self.own_up()
            yield from self._step_astern(0.85, 14.0)
            yield self.pilot.levers(0.0)
            yield from self.wait(18.0)


class LeavesAGive(ShortScoped):
    """Feels it give, eases, and leaves it at that."""

    code = "D13"
    scope = 1.6

    def _set_by_steps(self) -> Steps:
        yield [cmd.TakeTransit(actor=ACTOR, bearing_rad=0.0)]
        for lever in (IDLE, 0.45, 0.72, 1.0):
            told = len(self.see.calls)
            yield from self._step_astern(lever, 26.0)
            if self._dragging(told):
                break
        self.own_up()
        for lever in (0.5, IDLE, 0.0):
            yield self.pilot.levers(-lever)
            yield from self.wait(4.0)


class NoStopper(Mistaken):
    """Leaves the load on the windlass while she is set."""

    code = "D12"

    def amend(self, command: Command) -> Command | None:
        """Leave the stopper off until the snubber is on."""
        if isinstance(command, cmd.Stopper) and command.on and not self.see.handling.hooked:
            self.own_up()
            return None
        return command


MISTAKES = (
    Mistake("D1", Bursts, SAND),
    Mistake("D2", SetsFromSlack, SAND),
    Mistake("D3", SetsEarly, "grey-pan"),
    Mistake("D4", StopsAtTickOver, PRACTICE + "squalls.yaml"),
    Mistake("D5", AllAtOnce, SAND),
    Mistake("D6", leaves_out("D6", cmd.TakeTransit), SAND),
    Mistake("D7", Hurries, SAND),
    Mistake("D8", leaves_out("D8", cmd.AskCrew), SAND),
    Mistake("D9", Hopes, SAND),
    Mistake("D10", PloughsAgain, SAND),
    Mistake("D12", NoStopper, SAND),
    Mistake("D13", LeavesAGive, SAND),
)
