"""Stern to a quay: chain counted from the wall, sternway early, the windward line first, the chain hove taut last."""

import math

from sim.base.frames import to_body, to_world, wrap_pi
from sim.base.units import mps, rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator import choosing, course
from sim.demonstrator.choosing import Other, Spot
from sim.demonstrator.letting_go import LettingGo
from sim.demonstrator.pilot import ACTOR, IDLE
from sim.demonstrator.proving import SOAK_S
from sim.demonstrator.skipper import Steps
from sim.model.tackle.catenary import reach_on_bed_m

# From the quay to the stern when all is fast, and where she stops for the line (common practice; figures judgement).
GAP_M, STOP_M = 2.0, 3.0
RUN_UP_LOA = 4.0  # so far ahead of the drop she turns, to have steerage before the anchor goes
TURN_LOA = 1.5
IN_LINE_RAD, IN_LINE_RADPS = rad(12.0), rad(3.0)
BACK_MPS, BETWEEN_MPS, LAST_MPS = mps(2.2), mps(1.1), mps(0.6)
LAST_FROM_M = 6.0
ASTERN_LEVER, TOO_FAST_MPS = 0.12, 0.2
CROSS_M, MOST_CRAB_RAD, SET_SHARE = 14.0, rad(30.0), 0.02
LIGHT_GRIP = 0.06  # of the brake, the chain running out under a light load (judgement)
KICK_AT_RAD, KICK_S, KICK_REST_S, KICK_LEVER = rad(22.0), 2.5, 5.0, 0.5
HOLD_LEVER, NEAR_M, MOST_OFF_M = 0.1, 1.5, 4.0
HAUL_S, LEAST_LINE_M, PROVE_S, BERTH_WATCH_S = 60.0, 6.0, 45.0, 150.0
SOON_S, HEAVE_S, OFF_MPS, TAUT_RAD, TAUT_FOR_S = 5.0, 8.0, 0.2, rad(31.0), 2.0
TAUT_S, LONGEST_TAUT_S = 6.0, 60.0
SPOKES, LOOK_OUT_M = 24, 400.0
SHORE_M = 12.0  # a mark so near the berth takes a line

ABORT_STERN_TO = "not in line with the berth on the way back: ahead along the chain, out, and again"


class SternTo(LettingGo):
    """The manoeuvre of one who berths with her stern to a quay and her anchor out ahead.

    Attributes:
        others: what is known of the other boats, once they have been ranged and asked.
    """

    others: tuple[Other, ...] = ()
    _astern_set = 0.0
    _kick_until = -99.0

    def _count_chain(self) -> Spot:
        """Return the plan: from the quay to the anchor are gap, boat and the reach of the rode."""
        a, boat = self.brief.anchorage, self.brief.boat
        assert a.seat_m is not None and a.berth_rad is not None
        reach_m, depth_m, rode_m = 40.0, 0.0, 0.0
        for _ in range(3):  # the depth at the drop decides the rode, and the rode where the drop is
            dn, de = to_world(boat.roller_x_m + reach_m, 0.0, a.berth_rad)
            place = a.seat_m[0] + dn, a.seat_m[1] + de
            depth_m = self.chart.at(*place) + self.brief.tide.now_m
            rode_m = choosing.rode_m(self.brief, depth_m)
            reach_m = reach_on_bed_m(rode_m, depth_m + boat.roller_height_m)
        return Spot(*place, depth_m, rode_m, a.berth_rad, gap_m=self._beside_m())

    def _tell_chain(self) -> None:
        """Say how the chain was counted."""
        spot, boat = self.plan, self.brief.boat
        self.say(
            "stern.plan",
            gap_m=round(GAP_M),
            boat_m=round(boat.loa_m),
            reach_m=round(reach_on_bed_m(spot.rode_m, spot.depth_m + boat.roller_height_m)),
            rode_m=round(spot.rode_m),
            beside_m=round(spot.gap_m),
        )

    def _beside_m(self) -> float:
        """Return the least room beside her in the berth, hull to hull [m]."""
        a, boat = self.brief.anchorage, self.brief.boat
        assert a.seat_m is not None and a.berth_rad is not None
        gaps = []
        for other in self.others:
            for north, east in course.hull(other).tolist():
                _, side = to_body(north - a.seat_m[0], east - a.seat_m[1], a.berth_rad)
                gaps.append(abs(side) - 0.5 * boat.beam_m - 0.15 * other.loa_m)
        return min(gaps, default=99.0)

    def _way_out(self) -> float:
        """Return the bearing with the most open water from the drop [rad]."""
        bearings = [2.0 * math.pi * k / SPOKES for k in range(1, SPOKES)]
        at = self.plan.drop_north_m, self.plan.drop_east_m
        return max(bearings, key=lambda bearing: self.chart.shore_m(*at, bearing, LOOK_OUT_M))

    def _in_berth(self) -> tuple[float, float]:
        """Return how far her middle is (ahead, to starboard) of her seat, in the berth's own directions [m]."""
        a, r = self.brief.anchorage, self.see.readings
        assert a.seat_m is not None and a.berth_rad is not None
        dn, de = to_world(-self.brief.boat.antenna_x_m, 0.0, r.heading_rad)
        return to_body(r.north_m + dn - a.seat_m[0], r.east_m + de - a.seat_m[1], a.berth_rad)

    def _berth(self) -> Steps:
        """From outside to fast between chain and line."""
        yield from self._turn_outside()
        yield from self._back_to_the_drop()
        yield from self._back_in()
        yield from self._line_ashore()
        yield from self._haul_in()
        yield from self._tighten()
        yield from self._made_fast()

    def _turn_outside(self) -> Steps:
        """Go out to the far end of the line, and turn her stern to the berth there, where there is room."""
        self.say("stern.outside")
        loa, spot = self.brief.boat.loa_m, self.plan
        dn, de = to_world(RUN_UP_LOA * loa, 0.0, spot.lie_rad)
        goal = spot.drop_north_m + dn, spot.drop_east_m + de
        way = course.Way(self.brief, self.chart, goal)
        while math.dist(self.pilot.bow(), goal) > TURN_LOA * loa:
            yield self.pilot.make_good(way.bearing(self.t_s, self.pilot.bow(), self.others), mps(2.2))
        self.say("stern.turn")
        while True:
            off = wrap_pi(spot.lie_rad - self.see.readings.heading_rad)
            if abs(off) < IN_LINE_RAD and abs(self.pilot.turn_radps) < IN_LINE_RADPS:
                return
            yield self.pilot.go(spot.lie_rad, mps(1.6), stubborn_rad=rad(15.0))

    def _astern(self, speed_mps: float) -> list[Command]:
        """Back along the berth's line at a speed: the wheel steers her stern, a kick ahead saves her bow."""
        r = self.see.readings
        _, side = self._in_berth()
        if r.along_mps < -0.4:
            made = wrap_pi(r.cog_rad - r.heading_rad - math.pi)
            self._astern_set += SET_SHARE * (max(-MOST_CRAB_RAD, min(MOST_CRAB_RAD, made)) - self._astern_set)
        crab = math.atan2(side, CROSS_M) - self._astern_set
        head = self.plan.lie_rad + max(-MOST_CRAB_RAD, min(MOST_CRAB_RAD, crab))
        off = wrap_pi(r.heading_rad - head)
        soon = off + 3.0 * self.pilot.turn_radps
        if self.t_s < self._kick_until:
            return []
        if abs(off) > KICK_AT_RAD and abs(soon) > KICK_AT_RAD and self.t_s > self._kick_until + KICK_REST_S:
            self._kick_until = self.t_s + KICK_S
            return self.pilot.helm(-math.copysign(rad(30.0), off)) + self.pilot.levers(KICK_LEVER)
        error = -self.pilot.way_mps - speed_mps  # + too fast astern
        if error > TOO_FAST_MPS:  # the wash ahead over a turned wheel would throw her stern about
            return self.pilot.helm(0.0) + self.pilot.levers(min(IDLE + 0.5 * (error - TOO_FAST_MPS), 0.3))
        return self.pilot.steer(head) + self.pilot.levers(-min(max(ASTERN_LEVER - 0.8 * error, 0.0), 0.6))

    def _back_to_the_drop(self) -> Steps:
        """Gather sternway early, and let go as the bow comes over the place."""
        self.say("stern.sternway")
        while self.from_drop()[0] < -3.0:
            yield self._astern(BACK_MPS)
        told = len(self.see.calls)
        self.say("stern.let_go", depth_m=round(self.depth_m, 1))
        yield [cmd.Brake(actor=ACTOR, grip=0.0)]
        height = self.depth_m + self.brief.boat.roller_height_m
        began = self.t_s
        while not self.heard("on_the_bottom", told) and self.out_m < height + 2.0 and self.t_s < began + 30.0:
            yield self._astern(BETWEEN_MPS)
        self.mark_m = self.pilot.bow()
        yield [cmd.MarkAnchor(actor=ACTOR), cmd.Brake(actor=ACTOR, grip=LIGHT_GRIP)]

    def _quay_m(self) -> float:
        """Return how far the stern is from the quay: by eye when near, else by the displays."""
        seen = self.see.astern_m
        return seen if seen is not None else self._in_berth()[0] + GAP_M

    def _back_in(self) -> Steps:
        """Back in between the two, the chain running under a light load; stop a metre or two off."""
        self.say("stern.back_in")
        while self._quay_m() > STOP_M + max(-self.pilot.way_mps, 0.0) * 3.0:
            away = self._quay_m()
            yield self._astern(LAST_MPS if away < LAST_FROM_M else BETWEEN_MPS)
        self.say("stern.hold_on")
        yield [cmd.Brake(actor=ACTOR, grip=1.0), *self.pilot.levers(0.0)]
        began = self.t_s
        while self.pilot.way_mps < -0.2 and self.t_s < began + 15.0:
            yield self.pilot.levers(0.15)

    def _windward_mark(self) -> int:
        """Return the number of the mark on the quay that takes the windward line."""
        a = self.brief.anchorage
        assert a.seat_m is not None and a.berth_rad is not None
        starboard = math.sin(wrap_pi(self.wind_from() - a.berth_rad)) > 0.0
        near = []
        for number, mark in enumerate(self.brief.chart.marks, start=1):
            ahead, side = to_body(mark.north_m - a.seat_m[0], mark.east_m - a.seat_m[1], a.berth_rad)
            away = math.hypot(ahead + 0.5 * self.brief.boat.loa_m, side)
            if away < SHORE_M and (side > 0.0) == starboard:
                near.append((away, number))
        return min(near)[1]

    def _line_ashore(self) -> Steps:
        """The windward line first; until it is fast the chain and a touch of the engine keep her where she is."""
        mark = self._windward_mark()
        self.say("stern.windward_line", mark=self.brief.chart.marks[mark - 1].name)
        yield [cmd.LineToShore(actor=ACTOR, mark=mark)]
        while not any(isinstance(e, ev.LineAshore) for e in self.see.seen):
            yield self._keep_off()

    def _keep_off(self) -> list[Command]:
        """Hold her a few metres off the quay: astern against the chain, ahead where she comes too near."""
        away, way = self._quay_m(), self.pilot.way_mps
        soon = away + 4.0 * way
        lever = HOLD_LEVER if soon < NEAR_M else -HOLD_LEVER if soon > STOP_M else 0.0
        return self.pilot.steer(self.plan.lie_rad) + self.pilot.levers(lever)

    def _shore(self) -> int:
        """Return the number of the line ashore among the rodes."""
        return next(i for i, h in enumerate(self.see.rodes) if h.role == "shore")

    def _haul_in(self) -> Steps:
        """Haul the line by hand as far as one can, then let the mud close over the anchor."""
        self.say("stern.fast")
        yield self.pilot.levers(0.0) + self.pilot.helm(0.0)
        yield from self._haul()
        self.say("soak", minutes=round(SOAK_S / 60.0))
        yield from self._tend(SOAK_S)

    def _tend(self, seconds: float) -> Steps:
        """Stand by for a while, and heave her off where she comes too near the quay."""
        until = self.t_s + seconds
        while self.t_s < until:
            yield from self._heave_off() if self._too_near() else self.wait(1.0)

    def _too_near(self) -> bool:
        return self._quay_m() + SOON_S * min(self.pilot.way_mps, 0.0) < NEAR_M

    def _heave_off(self) -> Steps:
        """Heave a little chain, the engine helping, until she is clear of the quay again."""
        yield [cmd.Windlass(actor=ACTOR, motion=-1), *self.pilot.levers(HOLD_LEVER)]
        began = self.t_s
        while self.t_s < began + HEAVE_S and self._quay_m() < STOP_M and self.pilot.way_mps < OFF_MPS:
            yield []
        yield [cmd.Windlass(actor=ACTOR, motion=0), *self.pilot.levers(0.0)]
        yield from self.wait(2.0)

    def _haul(self) -> Steps:
        """Haul the line until it comes no further, or she is as near as she shall be."""
        line = self._shore()
        yield [cmd.Stopper(actor=ACTOR, on=False, rode=line), cmd.Windlass(actor=ACTOR, motion=-1, rode=line)]
        began = still = self.t_s
        out = self.see.rodes[line].counter_m
        while self.t_s < still + TAUT_S and self.t_s < began + HAUL_S:
            if abs(self.see.rodes[line].counter_m - out) > 0.1:
                out, still = self.see.rodes[line].counter_m, self.t_s
            if self._too_near() or out < LEAST_LINE_M:
                break
            yield []
        yield [cmd.Windlass(actor=ACTOR, motion=0, rode=line), cmd.Stopper(actor=ACTOR, on=True, rode=line)]

    def _tighten(self) -> Steps:
        """Heave the chain taut against the line: what the windlass pulls and the anchor takes is the proof."""
        abeam = (self.see.readings.heading_rad + 0.5 * math.pi) % (2.0 * math.pi)
        self.say("stern.tighten")
        yield [cmd.TakeTransit(actor=ACTOR, bearing_rad=round(abeam, 3))]
        told = len(self.see.calls)
        yield [cmd.Windlass(actor=ACTOR, motion=-1)]
        began = flat = self.t_s
        while self.t_s < flat + TAUT_FOR_S and self.t_s < began + LONGEST_TAUT_S:
            arm = self.see.arm
            if arm is None or arm.slope_rad > TAUT_RAD:
                flat = self.t_s
            if self._dragging(told) or self._quay_m() > MOST_OFF_M:
                break
            yield []
        yield [cmd.Windlass(actor=ACTOR, motion=0), cmd.Stopper(actor=ACTOR, on=True), cmd.AskCrew(actor=ACTOR)]
        yield from self._haul()
        yield from self._tend(PROVE_S)

    def _made_fast(self) -> Steps:
        """Watch chain and line for a while, and report."""
        self.say("stern.watch")
        yield from self._tend(BERTH_WATCH_S)
        self.say("stern.secured", quay_m=round(self._quay_m()))
        yield [cmd.Secure(actor=ACTOR)]
