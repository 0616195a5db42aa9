"""B. Mistakes of approach, way off and drop; F7, carrying on past the point of calling it off."""

import math

from sim.base.frames import bearing_rad, to_world, wrap_pi
from sim.base.units import mps, rad
from sim.core.orders import commands as cmd
from sim.demonstrator.mistakes.manner import Mistake, Mistaken, leaves_out, plans
from sim.demonstrator.pilot import ACTOR, IDLE
from sim.demonstrator.skipper import Steps

SAND, COVE, PRACTICE = "lantern-pool-2", "hazel-cove", "practice/"


class ComesInFast(Mistaken):
    """Keeps twice the speed on the way in."""

    code = "B1"
    cruise_mps, run_in_mps = mps(4.2), mps(4.2)

    def _run_in(self) -> Steps:
        self.own_up()
        yield from super()._run_in()


class CrossesARode(Mistaken):
    """Passes close ahead of another boat's bow on the way in."""

    code = "B2"
    ahead_m, aside_m = 13.0, 40.0

    def _run_in(self) -> Steps:
        other = self.others[0]
        dn, de = to_world(0.5 * other.loa_m + self.ahead_m, 0.0, other.heading_rad)
        gate_n, gate_e = other.north_m + dn, other.east_m + de
        for side in (1.0, -1.0):
            an, ae = to_world(0.0, side * self.aside_m, other.heading_rad)
            yield from self._make_for(gate_n + an, gate_e + ae)
            self.own_up()
        back_n, back_e = to_world(-60.0, -self.aside_m, other.heading_rad)
        yield from self._make_for(gate_n + back_n, gate_e + back_e)
        yield from super()._run_in()

    def _make_for(self, north_m: float, east_m: float) -> Steps:
        r = self.see.readings
        while math.hypot(north_m - r.north_m, east_m - r.east_m) > 10.0:
            bearing = bearing_rad(north_m - r.north_m, east_m - r.east_m)
            yield self.pilot.steer(bearing) + self.pilot.levers(self.pilot.run_at(mps(1.9)))
            r = self.see.readings


class StillAhead(Mistaken):
    """Lets go before she has stopped."""

    code = "B3"

    def _take_way_off(self) -> Steps:
        self.own_up()
        self.say("touch_astern")
        yield self.pilot.levers(0.0) + self.pilot.helm(0.0)

    def _hold_bow(self) -> list[cmd.Command]:
        """Leave her to carry her way until the anchor is on the bottom."""
        return super()._hold_bow() if self.heard("on_the_bottom") else self.pilot.steer(self._head())


class StopsByTheLog(Mistaken):
    """Stops her through the water, and not over the ground."""

    code = "B4"

    def lie(self) -> float:
        """Come up to the wind, with no thought for the stream."""
        return self.wind_from() % (2.0 * math.pi)

    def _take_way_off(self) -> Steps:
        self.own_up()
        self.say("touch_astern")
        began = self.t_s
        while self.see.readings.stw_mps > 0.2 and self.t_s < began + 30.0:
            yield self.pilot.twist(self._head(), -0.15 if self.see.readings.stw_mps > 0.4 else 0.0)
        yield self.pilot.levers(0.0) + self.pilot.helm(0.0)

    def _hold_bow(self) -> list[cmd.Command]:
        """Believe her stopped until the anchor is on the bottom."""
        return super()._hold_bow() if self.heard("on_the_bottom") else self.pilot.twist(self._head(), 0.0)


class DumpsTheChain(Mistaken):
    """Leaves the brake open at the bottom, with the boat lying still."""

    code = "B5"
    dumped_m = 22.0

    def _head(self) -> float:
        """Stop dead to the wind, where she stays a while."""
        return self.wind_now()

    def _let_go(self) -> Steps:
        r = self.see.readings
        self.say("let_go", way_kn=0.0, depth_m=round(r.depth_m, 1))
        told = len(self.see.calls)
        yield [cmd.Brake(actor=ACTOR, grip=0.0)]
        while not self.heard("on_the_bottom", told):
            yield self.pilot.twist(self.wind_now(), IDLE if self.pilot.way_mps < 0.0 else 0.0)
        self.mark_m = self.pilot.bow()
        yield [cmd.MarkAnchor(actor=ACTOR)]
        self.own_up()
        while self.see.readings.counter_m < self.dumped_m:
            yield self.pilot.twist(self.wind_now(), IDLE if self.pilot.way_mps < 0.05 else 0.0)
        yield [cmd.Brake(actor=ACTOR, grip=1.0), *self.pilot.levers(0.0), *self.pilot.helm(0.0)]


class BowOff(Mistaken):
    """Lets the bow fall off in the last length, and lets go all the same."""

    code = "B6"
    off_rad = rad(62.0)

    def _take_way_off(self) -> Steps:
        self.own_up()
        began = self.t_s
        while abs(wrap_pi(self.see.readings.heading_rad - self.plan.lie_rad)) < 0.87 * self.off_rad:
            if self.t_s > began + 18.0:
                break
            yield self.pilot.helm(-rad(30.0)) + self.pilot.levers(0.45 if self.t_s < began + 5.0 else IDLE)
        yield from super()._take_way_off()

    def _head(self) -> float:
        return self.plan.lie_rad - self.off_rad if self.from_drop()[0] < 4.5 else super()._head()


class Dawdles(Mistaken):
    """Holds her stopped on the spot, three quarters of a minute, before anything happens."""

    code = "B7"
    wait_s = 45.0

    def _take_way_off(self) -> Steps:
        yield from super()._take_way_off()
        self.own_up()
        began = self.t_s
        while self.t_s < began + self.wait_s:
            hold = IDLE if self.pilot.way_mps < -0.08 else 0.0
            yield self.pilot.twist(self.plan.lie_rad, hold)


class StopperForgotten(Mistaken):
    """Has the stopper still on when the order comes."""

    code = "B8"

    def _let_go(self) -> Steps:
        self.own_up()
        yield [cmd.Stopper(actor=ACTOR, on=True)]
        yield [cmd.Brake(actor=ACTOR, grip=0.0)]
        yield from self.wait(13.0)
        yield [cmd.Stopper(actor=ACTOR, on=False)]
        yield from super()._let_go()


class WalksOff(Mistaken):
    """Goes hard astern with the wheel amidships, begun on the side that she walks to."""

    code = "B10"

    def _head(self) -> float:
        return self.plan.lie_rad + rad(18.0)

    def _take_way_off(self) -> Steps:
        self.own_up()
        self.say("touch_astern")
        began = self.t_s
        while self.pilot.way_mps > -0.25 and self.t_s < began + 25.0:
            yield self.pilot.helm(0.0) + self.pilot.levers(-0.75)
        yield self.pilot.levers(0.0)


class TrustsTheWash(Mistaken):
    """Takes the wash running forward for having stopped."""

    code = "B12"

    def _take_way_off(self) -> Steps:
        self.own_up()
        self.say("touch_astern")
        began = self.t_s
        while self.t_s < began + 2.4:
            yield self.pilot.helm(0.0) + self.pilot.levers(-0.45)

    def _let_go(self) -> Steps:
        yield from super()._let_go()
        yield self.pilot.levers(0.0)


class NeverCallsItOff(Mistaken):
    """Watches the bow go, past all she said she would stand, and then lets go."""

    code = "F7"
    gone_rad, stays_s = rad(50.0), 17.0

    def _take_way_off(self) -> Steps:
        yield from super()._take_way_off()
        self.own_up()
        began = self.t_s
        while abs(wrap_pi(self.see.readings.heading_rad - self.plan.lie_rad)) < self.gone_rad:
            if self.t_s > began + 60.0:
                break
            yield self.pilot.levers(0.0) + self.pilot.helm(0.0)
        yield from self.wait(self.stays_s)


MISTAKES = (
    Mistake("B1", ComesInFast, COVE),
    Mistake("B2", CrossesARode, COVE),
    Mistake("B3", StillAhead, SAND),
    Mistake("B4", StopsByTheLog, PRACTICE + "stream.yaml"),
    Mistake("B5", DumpsTheChain, SAND),
    Mistake("B6", BowOff, SAND),
    Mistake("B7", Dawdles, COVE),
    Mistake("B8", StopperForgotten, SAND),
    Mistake("B9", plans("B9", depth_m=0.0), SAND),
    Mistake("B10", WalksOff, SAND),
    Mistake("B11", leaves_out("B11", cmd.MarkAnchor), SAND),
    Mistake("B12", TrustsTheWash, SAND),
    Mistake("F7", NeverCallsItOff, SAND),
)
