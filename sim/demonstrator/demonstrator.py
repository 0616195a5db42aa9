"""The demonstrator: a competent skipper who anchors by the brief and the displays alone, and says why.

The manoeuvre is written as it is taught, one step after another. Each step yields commands five times a second and sees
only a ``View``; a line of narration goes with each decision.
"""

import math
from collections.abc import Generator

from sim.base.frames import bearing_rad, to_world, wrap_pi
from sim.base.units import deg, knots, mps, rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator import choosing, course
from sim.demonstrator.choosing import Other, Spot
from sim.demonstrator.departing import Departing
from sim.demonstrator.letting_go import FRESH_MPS
from sim.demonstrator.pilot import ACTOR
from sim.demonstrator.skipper import STREAM_RUNS_MPS, Steps
from sim.demonstrator.stern_to import ABORT_STERN_TO, SternTo
from sim.model.tackle.catenary import reach_on_bed_m

CRUISE_MPS, RUN_IN_MPS, CREEP_MPS = mps(2.4), mps(1.8), mps(1.25)
LONGEST_WAY_S = 600.0
TRIES, AGAIN_TAKES_S = 3, 1500.0  # with less time left she stays on what she has, engine ready
LONGEST_VEER_S = 60.0
SHORT_NYLON_M = 2.0  # with little rode left a short nylon must do
# So short of the drop she is stopped, in a fresh wind as soon as she points right; at most so far past it.
ON_IT_M, EARLY_M, LATE_M = 4.5, 9.0, 6.0
STRAIGHT_M, STEADY_RAD, STEADY_RADPS = 7.0, rad(8.0), rad(1.0)
PRESSED = 0.09  # above this wind she needs more way to steer, so much more for each m/s
SAG_RAD, SAG_WAY_MPS, SAG_SHARE, OVERRUN_RAD = rad(50.0), mps(0.4), 0.85, rad(50.0)
# Coming again from above the far end of her line she stands out beside it, two turning circles off (judgement).
ABOVE_M, TURN_LOA, THERE_M = 15.0, 3.2, 14.0
CLOSE_LOA = 3.5
NEAR_LOA, QUIET_MPS = 5.0, mps(1.85)
LOOK_AHEAD_M, BERTH_LOA = 90.0, 2.2  # boats nearer than this ahead are given a berth of so many of their lengths

ABORT = "bow off more than 45 degrees before the chain is down; closing any boat inside a length and a half"


class Demonstrator(Departing, SternTo):
    """Sails one exercise; ask it for commands once a tick.

    Attributes:
        cruise_mps: speed on the way in; ``run_in_mps`` on the last leg.
        watch_s: how long she is watched before she is reported secured.
        refuses: whether she goes on elsewhere where no spot is good enough.
    """

    cruise_mps, run_in_mps = CRUISE_MPS, RUN_IN_MPS
    watch_s = 150.0
    refuses = True

    def manoeuvre(self) -> Steps:
        """Anchor her, step by step."""
        yield from self._read_the_bay()
        if self.brief.anchorage.berth_rad is not None:
            yield from self._berth()
            return
        if self.refuses and (faults := self.plan.faults(self.brief.boat.loa_m)):
            yield from self._leave(faults[0])
            return
        for attempt in range(TRIES):
            yield from self._anchor()
            if self.holds or attempt == TRIES - 1 or self.t_s > self.brief.limit_s - AGAIN_TAKES_S:
                break
            yield from self._lift()
            self.failed.append((self.plan.drop_north_m, self.plan.drop_east_m))
            self.spot = self._choose(self.lie(), self.brief.tide.now_m)
            self.say("again")
            yield [self._plan_command(list(self.others))]
        yield from self._take_the_load()
        yield from self._settle()

    def _anchor(self) -> Steps:
        """From the line to leeward to an anchor proved."""
        for _ in range(TRIES):
            yield from self._run_in()
            if not (self.calls_off and self._thrown_off()):
                yield from self._take_way_off()
                if not (self.calls_off and self._bow_gone()):
                    break
            self.say("call_off")
            yield [cmd.Abort(actor=ACTOR, reason="bow off before the drop")]
        yield from self._let_go()
        yield from self._lay()
        yield from self._bring_up()
        yield from self._soak()
        yield from self._set_by_steps()

    def _read_the_bay(self) -> Steps:
        """Slow ahead, watch the wind, range the others and ask what lies out; then choose and write the plan."""
        self.say("slow_ahead")
        yield from self._try_out()
        asked: dict[int, Other] = {}
        for number in [o.number for o in sorted(self.see.others, key=lambda o: o.judged_m)]:
            asked[number] = yield from self._ask_about(number)
            self.others = tuple(asked[k] for k in sorted(asked))
        start = self.t_s
        while self.t_s < start + 12.0:
            yield self._hold_off()
        lie = self.lie()
        self._tell_stream(lie)
        tide_m = self.brief.tide.now_m
        self.spot = self._choose(lie, tide_m)
        self._tell_plan(lie)
        yield [self._plan_command(list(self.others))]

    def _tell_plan(self, lie: float) -> None:
        """Say what was worked out, and from what."""
        if self.brief.anchorage.berth_rad is not None:
            self._tell_chain()
            return
        spot = self.plan
        height = spot.depth_m + self.brief.tide.rise_m + self.brief.boat.roller_height_m
        self.say(
            "plan",
            depth_m=round(spot.depth_m, 1),
            rise_m=round(self.brief.tide.rise_m, 1),
            roller_m=round(self.brief.boat.roller_height_m, 1),
            height_m=round(height, 1),
            rode_m=round(spot.rode_m),
            scope=round(spot.rode_m / height, 1),
            lie_deg=f"{deg(lie):03.0f}",
        )
        if self.others:
            self.say("room", gap_m=round(spot.gap_m))

    def _tell_stream(self, lie_rad: float) -> None:
        """Say what the stream does to how she will lie, where there is any to speak of."""
        north, east = choosing.stream_mps(self.brief, self.t_s)
        rate = math.hypot(north, east)
        if rate > STREAM_RUNS_MPS:
            off = abs(wrap_pi(lie_rad - self.wind_from()))
            to_deg = f"{deg(bearing_rad(north, east)):03.0f}"
            self.say("stream", rate_kn=round(knots(rate), 1), to_deg=to_deg, off_deg=round(deg(off)))

    def _leave(self, why: str) -> Steps:
        """Say what is wrong with the best spot there is, and go while it is easy to go."""
        spot = self.plan
        values: dict[str, dict[str, float]] = {
            "ground": {},
            "water": {"ukc_m": round(spot.ukc_m, 1)},
            "room": {"gap_m": max(round(spot.gap_m), 0)},
            "rode": {"rode_m": round(spot.rode_m), "needed_m": round(spot.rode_m / spot.rode_share)},
            "lee_shore": {"room_m": round(spot.lee_m), "wind_kn": round(knots(choosing.worst_gust_mps(self.brief)))},
        }
        self.say(f"leave.{why}", **values[why])
        yield [cmd.Leave(actor=ACTOR, reason=why)]

    def _choose(self, lie_rad: float, tide_m: float) -> Spot:
        """Return the spot to use, and remember the wind it is for."""
        self.planned_wind_rad = self.wind_from()
        if self.brief.anchorage.berth_rad is not None:
            return self._count_chain()
        return choosing.choose(self.brief, lie_rad, self.others, tide_m, self.chart, self.failed)

    def _hold_off(self) -> list[Command]:
        """Keep heading for the anchorage, slowly."""
        a = self.brief.anchorage
        r = self.see.readings
        bearing = bearing_rad(a.north_m - r.north_m, a.east_m - r.east_m)
        return self.pilot.go(self._clear_of_others(bearing), mps(1.6) + self._pressed_mps(), coast=True)

    def _pressed_mps(self) -> float:
        """Return how much faster she must go to answer her helm in a hard wind."""
        return PRESSED * max(self.wind_mps() - FRESH_MPS, 0.0)

    def _clear_of_others(self, bearing: float) -> float:
        """Return a bearing that gives every boat ranged so far a berth, on the side nearer to the course."""
        bow_n, bow_e = self.pilot.bow()
        for other in (*self.others, *self._by_eye()):
            dn, de = other.north_m - bow_n, other.east_m - bow_e
            away = math.hypot(dn, de)
            if away > LOOK_AHEAD_M or away < 1.0:
                continue
            off = wrap_pi(math.atan2(de, dn) - bearing)
            room = math.asin(min(BERTH_LOA * other.loa_m / away, 0.98))
            if abs(off) < room:
                bearing += off - math.copysign(room, off)
        return bearing

    def _by_eye(self) -> list[Other]:
        """Return the boats close aboard by eye, ranged or not: the eye is poor, but it does not run into anybody."""
        return [self.judged(o) for o in self.see.others if o.judged_m < CLOSE_LOA * o.loa_m]

    def _ask_about(self, number: int) -> Generator[list[Command], None, Other]:
        sighted = next(o for o in self.see.others if o.number == number)
        self.say("range_and_ask", name=sighted.name)
        yield [cmd.TakeRange(actor=ACTOR, target=number), cmd.Hail(actor=ACTOR, target=number)]
        rode_m = found = None
        place, tries = (0.0, 0.0), 0
        while found is None or rode_m is None:
            failed = [e for e in self.see.seen if isinstance(e, ev.RangeFailed) and e.target == number]
            for event in self.see.seen:
                if isinstance(event, ev.RangeTaken) and event.target == number and found is None:
                    found = event
                    place = self.placed(event)
                if isinstance(event, ev.HailAnswered) and event.target == number:
                    rode_m = event.rode_m
            if found is None and len(failed) > tries:
                tries = len(failed)
                means = "mast" if failed[-1].why == "out_of_reach" and tries % 2 else "laser"
                yield [cmd.TakeRange(actor=ACTOR, target=number, means=means), *self._hold_off()]
            else:
                yield self._hold_off()
        now = next((o for o in self.see.others if o.number == number), sighted)
        self.say("told", name=now.name, range_m=round(found.range_m), rode_m=round(rode_m), rode=now.rode_kind)
        return Other(place[0], place[1], now.heading_rad, now.loa_m, rode_m, now.rode_kind)

    def _plan_command(self, others: list[Other]) -> cmd.Plan:
        spot = self.plan
        berth = self.brief.anchorage.berth_rad is not None
        lies = "others lie stern to the quay" if berth else "others lie to the wind" if others else "nobody else here"
        rate_kn = knots(math.hypot(*choosing.stream_mps(self.brief, self.t_s)))
        stream = f"stream {rate_kn:.1f} kn, boats lie differently" if rate_kn > 0.2 else "no stream to see"
        rodes = ", ".join(f"{o.rode_m:.0f} m {o.rode_kind}" for o in others) or "none"
        return cmd.Plan(
            actor=ACTOR,
            drop_north_m=round(spot.drop_north_m, 1),
            drop_east_m=round(spot.drop_east_m, 1),
            rode_m=spot.rode_m,
            depth_m=round(spot.depth_m, 1),
            high_water_m=round(self.brief.tide.rise_m, 1),
            lie_rad=round(spot.lie_rad, 3),
            escape_rad=round(self._way_out() if berth else (spot.lie_rad + math.pi) % (2.0 * math.pi), 3),
            reading=f"{lies}; {stream}; rodes out: {rodes}; ground {self.brief.chart.bottom}",
            abort=ABORT_STERN_TO if berth else ABORT,
        )

    def _run_in(self) -> Steps:
        """Come on to the line to leeward of the drop, then up it towards the wind."""
        spot = self.plan
        self.say("make_for_the_line")
        length_m = course.gate_m((spot.drop_north_m, spot.drop_east_m), spot.lie_rad, self.others)
        yield from self._make_for_the_line(length_m)
        self.say("on_the_line", short_m=round(self.from_drop()[0]))
        while True:
            short, side = self.from_drop()
            if short < (EARLY_M if self._fresh() > 1.0 else ON_IT_M) and (self._steady() or short < -LATE_M):
                return
            speed = min(self.run_in_mps, CREEP_MPS + 0.022 * max(short - 8.0, 0.0)) + 0.5 * self._pressed_mps()
            if short < (2.0 * STRAIGHT_M if self._fresh() > 1.0 else STRAIGHT_M):
                yield self._walk_back(short) + self.pilot.go(self._head(), speed, stubborn_rad=STEADY_RAD)
            else:
                lie = (self._head() if short < 12.0 else self.plan.lie_rad) - math.atan2(side, 22.0)
                yield self._walk_back(short) + self.pilot.make_good(lie, speed)

    def _steady(self) -> bool:
        """Return whether her bow points where she is to stop and stays there."""
        off = wrap_pi(self.see.readings.heading_rad - self._head())
        return abs(off) < STEADY_RAD and abs(self.pilot.turn_radps) < STEADY_RADPS

    def _make_for_the_line(self, length_m: float) -> Steps:
        """Go round the others and the shoals to the far end of the line, and turn on to it."""
        spot = self.plan
        rounds = self.from_drop()[0] < length_m - ABOVE_M
        if rounds:
            yield from self._stand_out(length_m)
        began, way = self.t_s, course.Way(self.brief, self.chart, self._on_the_line(length_m))
        while self.t_s < began + LONGEST_WAY_S:
            short, side = self.from_drop()
            off = abs(wrap_pi(spot.lie_rad - self.see.readings.heading_rad))
            if abs(side) < 6.0 and off < 0.5 and 8.0 < short < length_m + 5.0:
                return
            bow = self.pilot.bow()
            near = abs(side) < max(12.0, (0.8 if rounds else 0.5) * (short - 20.0))
            if off < (2.4 if rounds else 1.2) and 28.0 < short < length_m + 15.0 and near:
                mark = self._on_the_line(short - 25.0)
                bearing = bearing_rad(mark[0] - bow[0], mark[1] - bow[1])
            else:
                bearing = way.bearing(self.t_s, bow, self.others)
            yield self.pilot.make_good(bearing, self._quietly(self.cruise_mps + self._pressed_mps()))

    def _stand_out(self, length_m: float) -> Steps:
        """Stand out beside the line to its far end, so far off that the turn brings her on to it."""
        wide = TURN_LOA * self.brief.boat.loa_m
        sides = (1.0, -1.0) if self.from_drop()[1] > 0.0 else (-1.0, 1.0)
        places = []
        for side in sides:
            dn, de = to_world(0.0, side * wide, self.plan.lie_rad)
            north, east = self._on_the_line(length_m)
            places.append((north + dn, east + de))
        goal = course.cheaper(self.brief, self.chart, self.others, places)
        began, way = self.t_s, course.Way(self.brief, self.chart, goal)
        while self.t_s < began + LONGEST_WAY_S and math.dist(self.pilot.bow(), goal) > THERE_M:
            bearing = way.bearing(self.t_s, self.pilot.bow(), self.others)
            yield self.pilot.make_good(bearing, self._quietly(self.cruise_mps + self._pressed_mps()))

    def _quietly(self, speed_mps: float) -> float:
        """Return the speed, or what makes no wash where a boat is near."""
        bow_n, bow_e = self.pilot.bow()
        near = any(math.hypot(o.north_m - bow_n, o.east_m - bow_e) < NEAR_LOA * o.loa_m for o in self.others)
        return min(speed_mps, QUIET_MPS) if near else speed_mps

    def _on_the_line(self, short_m: float) -> tuple[float, float]:
        """Return the place on the line so far short of the drop."""
        dn, de = to_world(-short_m, 0.0, self.plan.lie_rad)
        return self.plan.drop_north_m + dn, self.plan.drop_east_m + de

    def _take_the_load(self) -> Steps:
        """Hook on while she sags, veer until the nylon has the load, stopper as back-up."""
        kind = "bridle" if self.brief.boat.bridle else "snubber"
        yield from self.wait(8.0)
        began = self.t_s
        while not self._sags() and self.t_s < began + 90.0:
            yield self.pilot.go(self._head(), SAG_WAY_MPS)
        yield self.pilot.levers(0.0) + self.pilot.helm(0.0)
        self.say(kind)
        most = self.brief.boat.rode_m - 0.5
        nylon_m = min(self.brief.boat.snubber_m, max(most - self.out_m - choosing.BIGHT_M, SHORT_NYLON_M))
        yield [cmd.Snubber(actor=ACTOR, on=True, length_m=round(nylon_m, 1)), cmd.Stopper(actor=ACTOR, on=False)]
        target = self.out_m + nylon_m + choosing.BIGHT_M
        yield [cmd.Windlass(actor=ACTOR, motion=1)]
        began = self.t_s
        while self.out_m < min(target, most) and self.t_s < began + LONGEST_VEER_S:
            yield []
        yield [cmd.Windlass(actor=ACTOR, motion=0), cmd.Stopper(actor=ACTOR, on=True)]

    def _sags(self) -> bool:
        """Return whether the rode hangs slack for hook and stopper to be worked; farther ahead she overruns it."""
        arm = self.see.arm
        if arm is None or arm.slope_rad > SAG_RAD or abs(arm.bearing_rad) > OVERRUN_RAD:
            return True
        return self.from_mark_m() < SAG_SHARE * self.out_m

    def _settle(self) -> Steps:
        """Centre the alarm on the anchor, show the signal, watch her swing, and report."""
        b = self.brief
        height = self.depth_m + b.boat.roller_height_m
        reach = reach_on_bed_m(self.out_m, height)
        radius = reach + (b.boat.roller_x_m - b.boat.antenna_x_m) + 2.0 + 4.0 + 0.1 * self.out_m
        self.say("alarm", radius_m=round(radius))
        yield [
            cmd.SetAlarm(
                actor=ACTOR,
                north_m=round(self.mark_m[0], 1),
                east_m=round(self.mark_m[1], 1),
                radius_m=round(radius, 1),
            ),
            cmd.Lights(actor=ACTOR, anchor_light=self.see.darkness > 0.0, ball=self.see.darkness == 0.0),
        ]
        self.say("watch")
        yield from self._watch(self.watch_s)
        self.say("riding")
        yield [cmd.Secure(actor=ACTOR)]
