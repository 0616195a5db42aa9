"""Departing when the stay is over: the load off the nylon, the anchor home, clear of what lies across it, and out."""

import math

from sim.base.frames import to_world, wrap_pi
from sim.base.units import mps, rad
from sim.core.orders import commands as cmd
from sim.demonstrator import course
from sim.demonstrator.choosing import Other
from sim.demonstrator.lifting import LEAVES_S, PATIENCE_S, Lifting
from sim.demonstrator.pilot import ACTOR, IDLE
from sim.demonstrator.skipper import Steps
from sim.helm.view import Sighted

LOOK_ROUND_S, COMES_UP_S = 10.0, 120.0
AHEAD_RAD, ASIDE_RAD, BEYOND_M = rad(35.0), rad(25.0), 12.0  # who lies over the anchor, and no longer does
HAILS_S, ASIDE_S = 20.0, 150.0
SLACK_RAD, EASY_MPS = rad(60.0), mps(0.6)  # the nylon is slack when the chain leads down as steeply; no faster
OUT_MPS, OUT_M, LONGEST_OUT_S = mps(2.5), 100.0, 300.0
AIM_M = 150.0


class Departing(Lifting):
    """The part after the night: she weighs, and leaves.

    Attributes:
        others: the other boats, where they lie in the morning.
    """

    others: tuple[Other, ...] = ()

    def departure(self) -> Steps:
        """Weigh and leave."""
        self.say("stay_over")
        yield from self.wait(LOOK_ROUND_S)
        self.others = self._by_the_eye()
        yield from self._ask_to_hold_off()
        yield from self._off_the_nylon()
        yield from self._bring_home(max((self.brief.departure_s or 0.0) - LEAVES_S, PATIENCE_S))
        if self.see.arm is None:
            yield from self._out()
            self.say("gone")
            yield [cmd.Leave(actor=ACTOR, reason="stay over")]

    def _by_the_eye(self) -> tuple[Other, ...]:
        """Return the boats as they lie now, judged by eye, with what they said in the evening of their rodes."""
        told = {(round(o.loa_m, 1), o.rode_kind): o.rode_m for o in self.others}
        return tuple(self.judged(o, told.get((round(o.loa_m, 1), o.rode_kind), 0.0)) for o in self.see.others)

    def judged(self, other: Sighted, rode_m: float = 0.0) -> Other:
        """Return a boat where the eye puts her, with so much rode."""
        r = self.see.readings
        dn, de = to_world(other.judged_m, 0.0, other.bearing_rad)
        return Other(r.north_m + dn, r.east_m + de, other.heading_rad, other.loa_m, rode_m, other.rode_kind)

    def _ask_to_hold_off(self) -> Steps:
        """Ask whoever lies over the anchor to hold aside while she weighs, and wait until that is so."""
        for other in [o for o in self.see.others if self._over_the_anchor(o)]:
            self.say("hold_off", name=other.name)
            yield [cmd.Hail(actor=ACTOR, target=other.number)]
            began = self.t_s
            while self.t_s < began + ASIDE_S:
                now = next((o for o in self.see.others if o.number == other.number), other)
                if self.t_s > began + HAILS_S and not self._over_the_anchor(now, ASIDE_RAD):
                    break
                yield []

    def _over_the_anchor(self, other: Sighted, within_rad: float = AHEAD_RAD) -> bool:
        """Return whether a boat lies between here and the anchor's mark, or little beyond."""
        to = self.see.to_mark
        if to is None:
            return False
        off = abs(wrap_pi(other.bearing_rad - to.bearing_rad))
        return off < within_rad and other.judged_m < to.distance_m + BEYOND_M

    def _off_the_nylon(self) -> Steps:
        """Motor gently ahead until the nylon hangs slack, and take it off."""
        self.say("off_the_nylon")
        began = self.t_s
        while (arm := self.see.arm) is not None and self.t_s < began + COMES_UP_S:
            if arm.slope_rad > SLACK_RAD:
                break
            ahead = IDLE if self.pilot.way_mps < EASY_MPS else 0.0
            yield self.pilot.twist(self.see.readings.heading_rad + arm.bearing_rad, ahead)
        yield [cmd.Snubber(actor=ACTOR, on=False), *self.pilot.levers(0.0)]

    def _out(self) -> Steps:
        """Go out by the way planned, with a berth to everybody."""
        self.say("way_out")
        began, started = self.t_s, self.pilot.bow()
        dn, de = to_world(-AIM_M, 0.0, self.plan.lie_rad)
        goal = self.plan.drop_north_m + dn, self.plan.drop_east_m + de
        way = course.Way(self.brief, self.chart, goal)
        while self.t_s < began + LONGEST_OUT_S and math.dist(self.pilot.bow(), started) < OUT_M:
            bow = self.pilot.bow()
            if math.dist(bow, goal) < course.AHEAD_M:
                break
            self.others = self._by_the_eye()
            yield self.pilot.make_good(way.bearing(self.t_s, bow, self.others), OUT_MPS)
