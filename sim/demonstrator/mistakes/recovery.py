"""F. Mistakes of recovery and abort."""

from sim.core.orders import commands as cmd
from sim.demonstrator.mistakes.laying import OverTheChain
from sim.demonstrator.mistakes.manner import Mistake, Mistaken
from sim.demonstrator.pilot import ACTOR
from sim.demonstrator.skipper import Steps
from sim.demonstrator.weighing import Weighing

SAND = "lantern-pool-2"


class WrongWeighing(Mistaken, Weighing):
    """A demonstrator who weighs, with a mistake in it."""

    def manoeuvre(self) -> Steps:
        """Anchor her and weigh."""
        yield from Weighing.manoeuvre(self)


class HaulsByWindlass(WrongWeighing):
    """Lets the windlass pull the boat, the engine still astern from the set."""

    code = "F1"

    def _may_heave(self) -> bool:
        self.own_up()
        return True

    def _come_up(self) -> list[cmd.Command]:
        return self.pilot.levers(0.0 if self._short() else -0.7)


class Overrides(WrongWeighing):
    """Motors on over the anchor while the chain comes in."""

    code = "F2"

    def _may_heave(self) -> bool:
        return True

    def _come_up(self) -> list[cmd.Command]:
        self.own_up()
        return self.pilot.steer(self.plan.lie_rad) + self.pilot.levers(0.3 if self.pilot.way_mps < 0.8 else 0.0)


class RushesOut(WrongWeighing):
    """Breaks it out with the engine, at speed."""

    code = "F3"

    def _come_up(self) -> list[cmd.Command]:
        if self._short():
            self.own_up()
            return self.pilot.steer(self.plan.lie_rad) + self.pilot.levers(0.8)
        return super()._come_up()


class NotAtTheHelm(WrongWeighing):
    """Watches the anchor come up, with nobody at the helm."""

    code = "F4"

    def _aweigh(self) -> Steps:
        self.own_up()
        yield [cmd.Windlass(actor=ACTOR, motion=-1), *self.pilot.levers(0.0)]
        yield from self.wait(6.0)
        yield [cmd.Windlass(actor=ACTOR, motion=0)]
        yield from self.wait(30.0)
        yield from super()._aweigh()


class SpeedsOff(WrongWeighing):
    """Opens the throttle with the anchor hanging."""

    code = "F5"

    def _aweigh(self) -> Steps:
        self.own_up()
        head = self.see.readings.heading_rad
        yield [cmd.Windlass(actor=ACTOR, motion=0)]
        began = self.t_s
        while self.t_s < began + 30.0:
            yield self.pilot.steer(head) + self.pilot.levers(0.6)
        yield from super()._aweigh()


class Forces(WrongWeighing):
    """Heaves against the engine, again and again, before she gives in."""

    code = "F6"

    def _weigh(self) -> Steps:
        self.own_up()
        yield [cmd.Stopper(actor=ACTOR, on=False), *self.pilot.levers(0.0)]
        for _ in range(4):
            yield from self._astern_for(0.6, 8.0)
            yield [cmd.Windlass(actor=ACTOR, motion=-1)]
            yield from self.wait(6.0)
            yield [cmd.Windlass(actor=ACTOR, motion=0)]
            yield from self._astern_for(0.0, 8.0)
        yield from super()._weigh()

    def _astern_for(self, lever: float, seconds: float) -> Steps:
        yield self.pilot.levers(-lever)
        yield from self.wait(seconds)


class PanicsOverTheChain(OverTheChain):
    """Finds herself over the chain, calls it off, and opens the throttle."""

    code = "F8"
    past_m = 12.0

    def _go_over(self) -> Steps:
        yield from super()._go_over()
        self.own_up()
        yield [cmd.Abort(actor=ACTOR, reason="over the chain"), *self.pilot.levers(0.5)]
        began = self.t_s
        while self.t_s < began + 6.0 and self._past_m() < 30.0:
            yield self.pilot.steer(self.plan.lie_rad)
        yield self.pilot.levers(0.0)


MISTAKES = (
    Mistake("F1", HaulsByWindlass, SAND),
    Mistake("F2", Overrides, SAND),
    Mistake("F3", RushesOut, SAND),
    Mistake("F4", NotAtTheHelm, SAND),
    Mistake("F5", SpeedsOff, SAND),
    Mistake("F6", Forces, SAND),
    Mistake("F8", PanicsOverTheChain, SAND),
)
