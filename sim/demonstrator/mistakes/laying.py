"""C. Mistakes of laying."""

from dataclasses import replace

from sim.base.frames import wrap_pi
from sim.base.units import mps, rad
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator.choosing import Spot
from sim.demonstrator.mistakes.manner import Mistake, Mistaken
from sim.demonstrator.pilot import ACTOR, IDLE
from sim.demonstrator.skipper import Steps

SAND, COVE = "lantern-pool-2", "hazel-cove"


class RunsAstern(Mistaken):
    """Opens the brake and goes half astern, to have it over with."""

    code = "C1"

    def _lay(self) -> Steps:
        self.own_up()
        began = self.t_s
        running = False
        while self.see.readings.counter_m < self.plan.rode_m - 3.0 and self.t_s < began + 120.0:
            ready = self.pilot.way_mps < mps(-1.2)
            release: list[Command] = []
            if ready and not running:
                running = True
                release = [cmd.Brake(actor=ACTOR, grip=0.0)]
            yield release + self.pilot.twist(self.plan.lie_rad, -0.65)
        yield [cmd.Brake(actor=ACTOR, grip=1.0), *self.pilot.levers(0.0), *self.pilot.helm(0.0)]


class Towing(Mistaken):
    """Lets chain out a breath at a time while she goes astern."""

    code = "C2"
    lays_by_hand = False

    def _chain_wanted(self, off_rad: float, height_m: float, lowering: bool) -> bool:
        if self.see.readings.counter_m < 3.2 * height_m:
            self.own_up()
            return self.t_s % 6.0 < 1.4
        return super()._chain_wanted(off_rad, height_m, lowering)

    def _fall_back(self, off_rad: float) -> list[Command]:
        height_m = self.see.readings.depth_m + self.brief.boat.roller_height_m
        if self.see.readings.counter_m < 3.0 * height_m:
            return self.pilot.twist(self.plan.lie_rad, -0.3)
        return super()._fall_back(off_rad)


class RunsTheChain(Mistaken):
    """Opens the brake whenever she moves astern, and lets it run."""

    code = "C3"
    lays_by_hand = False
    run_m = 14.0

    def _lay(self) -> Steps:
        began = self.t_s
        while self.pilot.way_mps > mps(-0.55) and self.t_s < began + 60.0:
            yield self.pilot.twist(self.plan.lie_rad, -0.2)
        self.own_up()
        upto = self.see.readings.counter_m + self.run_m
        yield [cmd.Brake(actor=ACTOR, grip=0.0), *self.pilot.levers(0.0)]
        while self.see.readings.counter_m < upto:
            yield self.pilot.twist(self.plan.lie_rad, IDLE if self.pilot.way_mps < mps(-0.5) else 0.0)
        yield [cmd.Brake(actor=ACTOR, grip=1.0)]
        yield from super()._lay()


class SnubsEarly(Mistaken):
    """Puts the stopper on at twice the depth and goes astern on it."""

    code = "C4"

    def _lay(self) -> Steps:
        height_m = self.see.readings.depth_m + self.brief.boat.roller_height_m
        rode_m = self.plan.rode_m
        self.spot = replace(self.plan, rode_m=2.3 * height_m)
        yield from super()._lay()
        self.own_up()
        yield [cmd.Stopper(actor=ACTOR, on=True)]
        yield from self._step_astern(0.45, 14.0)
        yield [*self.pilot.levers(0.0), cmd.Stopper(actor=ACTOR, on=False)]
        self.spot = replace(self.plan, rode_m=rode_m)
        yield from super()._lay()


class OverTheChain(Mistaken):
    """Kicks ahead in the middle of the lay, over what lies on the ground.

    Attributes:
        past_m: how far past the anchor the bow goes; with ``in_gear`` the engine stays in gear over the chain.
    """

    code = "C5"
    past_m = 14.0
    in_gear = False
    longest_s = 90.0

    def _lay(self) -> Steps:
        rode_m = self.plan.rode_m
        self.spot = replace(self.plan, rode_m=self._first_m())
        yield from super()._lay()
        self.own_up()
        yield from self._go_over()
        self.spot = replace(self.plan, rode_m=rode_m)
        yield from super()._lay()

    def _first_m(self) -> float:
        return 0.6 * self.plan.rode_m

    def _go_over(self) -> Steps:
        began = self.t_s
        while self._past_m() < self.past_m and self.t_s < began + self.longest_s:
            push = 0.5 if self.in_gear else 0.4 if self._past_m() < -4.0 else 0.0
            yield self.pilot.twist(self.plan.lie_rad, push)
        yield self.pilot.levers(0.0) + self.pilot.helm(0.0)


class ScrewInTheChain(OverTheChain):
    """Stays in gear over her own rode, with rope behind the chain."""

    code = "C6"
    past_m, longest_s = 99.0, 110.0
    in_gear = True
    rode_m = 46.0

    def _choose(self, lie_rad: float, tide_m: float) -> Spot:
        return replace(super()._choose(lie_rad, tide_m), rode_m=self.rode_m)

    def _first_m(self) -> float:
        return self.plan.rode_m - 1.0

    def _go_over(self) -> Steps:
        yield [cmd.Stopper(actor=ACTOR, on=True)]
        yield from super()._go_over()
        yield [cmd.Stopper(actor=ACTOR, on=False)]


class LaysAcross(Mistaken):
    """Goes astern across the wind while the chain is laid.

    Attributes:
        turns_rad: how far off her lie she heads, one after another, to the side she has fallen off to. Beyond abeam
            her sternway makes good what the wind sets her down.
        turn_s: the longest she takes for the first turn.
    """

    code = "C7"
    turns_rad: tuple[float, ...] = (rad(115.0),)
    turn_s = 45.0

    def _lay(self) -> Steps:
        self.own_up()
        first_m = self.see.readings.counter_m
        side = 1.0 if self._off_rad() > 0.0 else -1.0
        for k, size in enumerate(self.turns_rad, start=1):
            turn = side * size
            upto = first_m + (self.plan.rode_m - 1.0 - first_m) * k / len(self.turns_rad)
            began = self.t_s
            while self.t_s < began + self.turn_s and abs(wrap_pi(self._off_rad() - turn)) > rad(25.0):
                yield self.pilot.twist(self.plan.lie_rad + turn, IDLE if self.pilot.way_mps < 0.1 else 0.0)
            began = self.t_s
            while self.t_s < began + 20.0 and self.pilot.way_mps > -0.4:  # a heap is another mistake
                yield self.pilot.twist(self.plan.lie_rad + turn, -0.6)
            yield [cmd.Brake(actor=ACTOR, grip=0.0)]
            while self.see.readings.counter_m < upto and self.t_s < began + 120.0:
                astern = -0.6 if self.pilot.way_mps > -0.65 else 0.0
                yield self.pilot.twist(self.plan.lie_rad + turn, astern)
            yield [cmd.Brake(actor=ACTOR, grip=1.0)]
        yield self.pilot.levers(0.0) + self.pilot.helm(0.0)

    def _off_rad(self) -> float:
        """Return how far her bow is off her lie, + starboard."""
        return wrap_pi(self.see.readings.heading_rad - self.plan.lie_rad)


class LaysInACurve(LaysAcross):
    """Goes astern first across the wind, then along it."""

    code = "C8"
    turns_rad = (rad(115.0), rad(0.0))


class Miscounts(Mistaken):
    """Loses count, and stops at three quarters."""

    code = "C9"

    def _lay(self) -> Steps:
        self.own_up()
        self.spot = replace(self.plan, rode_m=0.75 * self.plan.rode_m)
        yield from super()._lay()


class ToTheBitterEnd(Mistaken):
    """Lets the windlass run until nothing is left."""

    code = "C10"

    def _lay(self) -> Steps:
        self.own_up()
        self.spot = replace(self.plan, rode_m=self.brief.boat.rode_m + 0.9)
        yield from super()._lay()
        yield [cmd.Windlass(actor=ACTOR, motion=1)]
        yield from self.wait(2.0)
        yield [cmd.Windlass(actor=ACTOR, motion=0)]


class NeverCompares(Mistaken):
    """Lets the last of the rode go at once, and loads it as it lies."""

    code = "C12"
    lays_by_hand = patient = False
    steps = (0.45, 0.72, 1.0)
    last_m = 15.0

    def _lay(self) -> Steps:
        rode_m = self.plan.rode_m
        self.spot = replace(self.plan, rode_m=rode_m - self.last_m)
        yield from super()._lay()
        while abs(self.pilot.way_mps) > 0.12:
            yield self.pilot.twist(self.plan.lie_rad, IDLE if self.pilot.way_mps < -0.12 else 0.0)
        self.own_up()
        yield [*self.pilot.levers(0.0), cmd.Brake(actor=ACTOR, grip=0.0)]
        while self.see.readings.counter_m < rode_m - 1.5:
            yield []
        yield [cmd.Brake(actor=ACTOR, grip=1.0)]

    def _bring_up(self) -> Steps:
        yield [cmd.Stopper(actor=ACTOR, on=True)]

    def _straighten(self) -> Steps:
        """Leave the slack where it lies."""
        yield from ()


MISTAKES = (
    Mistake("C1", RunsAstern, SAND),
    Mistake("C2", Towing, SAND),
    Mistake("C3", RunsTheChain, SAND),
    Mistake("C4", SnubsEarly, SAND),
    Mistake("C5", OverTheChain, SAND),
    Mistake("C6", ScrewInTheChain, "practice/rope-rode.yaml", any_boat=False),
    Mistake("C7", LaysAcross, COVE),
    Mistake("C8", LaysInACurve, COVE),
    Mistake("C9", Miscounts, SAND),
    Mistake("C10", ToTheBitterEnd, SAND),
    Mistake("C12", NeverCompares, SAND),
)
