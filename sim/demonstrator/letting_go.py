"""From the end of the approach to brought up: way off, let go, lay the chain in step with her."""

import math

from sim.base.frames import wrap_pi
from sim.base.units import knots, mps, rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator import choosing
from sim.demonstrator.lifting import Lifting
from sim.demonstrator.pilot import ACTOR, HEAD_ON_SHARE, IDLE
from sim.demonstrator.skipper import Steps
from sim.model.tackle.catenary import wind_load_n
from sim.model.tackle.lying import resultant_rad

# Slopes of the chain at the roller: ease it away when it grows to this, hold it steeper; check her harder when she
# falls off.
EASE_RAD, CHECK_RAD, FALLING_OFF_RAD, ARM_SLACK_RAD = rad(45.0), rad(45.0), rad(25.0), rad(10.0)
# Of the brake: a little more than holds what hangs there, for each metre of it and square millimetre (judgement).
LIGHT_GRIP, MOST_GRIP, GRIP_STEP = 5e-5, 0.2, 0.004
BROUGHT_UP_RAD = rad(45.0)
END_M = 5.0  # the last of the rode is checked by degrees
SHORT_EASE_RAD = rad(58.0)
SHORT_SCOPE = 2.3  # below this a weight on the chain only tows the anchor
WALK_ALLOWED_RAD, LONG_KEEL_WALKS_RAD, FRESH_WALK_RAD = rad(8.0), rad(16.0), rad(4.0)
LATELY, MOST_TURNED_RAD = 300, rad(25.0)  # decisions, a minute
THROWN_RAD = rad(11.0)  # so far to starboard already, the walk of the screw leaves nothing of head to wind
CALL_OFF_RAD, CALL_OFF_M = rad(42.0), 25.0
GOING_S, GOING_RAD = 3.0, rad(20.0)  # where the bow will be so soon: in a fresh wind it does not come back
WIND_STOPS_MPS, GATHERS_MPS = 0.35, -0.25  # a fresh wind takes the last way off by itself; more sternway is held ahead
FALLING_MPS = 0.15  # astern at most while the anchor falls
DEEP_M, HANGS_CLEAR_M, WALK_BACK_FROM_M = 12.0, 4.0, 40.0  # common practice, no source; the figures are judgement
FRESH_MPS, FRESH_LOA_M = mps(13.0), 12.0  # for a boat of this length; the shorter, the sooner her bow is blown off
# What a fresh wind takes off her while the anchor falls is left on her when it is let go (all judgement).
FALLS_MPS, KG_PER_M3, MOST_LEFT_MPS, AT_TOUCH_MPS = 0.9, 5.2, 0.35, -0.2


class LettingGo(Lifting):
    """The part of the manoeuvre from the drop to brought up.

    Attributes:
        calls_off: whether an approach is given up once the bow has gone.
        lays_by_hand: whether chain runs under a light brake in a fresh wind.
    """

    calls_off = lays_by_hand = True
    _grip, _told_grip = 0.0, 1.0
    _lowering = False

    def _take_way_off(self) -> Steps:
        """A touch astern until she stops over the ground, and is just gathering sternway."""
        self.say("touch_astern")
        began = self.t_s
        fresh = self._fresh() > 1.0
        stopped = self._left_to_the_wind_mps() if fresh else -0.04
        while self.pilot.way_mps > stopped and self.t_s < began + 25.0:
            if self.calls_off and self._bow_gone():
                break
            gentle = -0.30 if self.brief.boat.shafts == 1 else -0.15
            push = gentle if self.pilot.way_mps < 0.35 else -0.5
            if fresh and self.pilot.way_mps < WIND_STOPS_MPS:
                yield self._fall_back(wrap_pi(self.see.readings.heading_rad - self._head()))
            else:
                yield self.pilot.twist(self._head(), push)
        yield self.pilot.levers(0.0) + self.pilot.helm(0.0)

    def _fresh(self) -> float:
        """Return how hard it blows for a boat of her size: from 1 on her bow will not stay where it is put."""
        return self.wind_mps() / (FRESH_MPS * math.sqrt(self.brief.boat.loa_m / FRESH_LOA_M))

    def _left_to_the_wind_mps(self) -> float:
        """Return the way ahead that the wind alone turns into a little sternway while the anchor falls."""
        boat = self.brief.boat
        slows = HEAD_ON_SHARE * wind_load_n(boat.loa_m, self.wind_mps()) / (KG_PER_M3 * boat.loa_m**3)
        falls_s = (self.depth_m + boat.roller_height_m) / FALLS_MPS
        return min(max(slows * falls_s + AT_TOUCH_MPS, 0.0), MOST_LEFT_MPS)

    def _bow_gone(self) -> bool:
        """Return whether the bow is off as far as the plan says it may be, or she is nowhere near the drop."""
        heading = self.see.readings.heading_rad
        if abs(wrap_pi(heading - self.plan.lie_rad)) > CALL_OFF_RAD or abs(self.from_drop()[0]) > CALL_OFF_M:
            return True
        soon = wrap_pi(heading - self.wind_now()) + GOING_S * self.pilot.turn_radps
        return self._fresh() > 1.0 and abs(soon) > GOING_RAD

    def _thrown_off(self) -> bool:
        """Return whether the touch astern would throw a long keel's bow off: it is on the wrong side of the wind."""
        off = wrap_pi(self.see.readings.heading_rad - self.wind_from(LATELY))
        return self.brief.boat.kind == "long" and self.brief.boat.shafts == 1 and off > THROWN_RAD

    def _head(self) -> float:
        """Return the heading to stop on: to port for a single screw's walk, the less the harder the wind holds her off.

        In a fresh wind it is dead to what blows now.
        """
        single = self.brief.boat.shafts == 1
        if self._fresh() > 1.0:
            return self.wind_now() - FRESH_WALK_RAD * single
        if not single:
            return self._lie_now()
        walks, blown = (LONG_KEEL_WALKS_RAD, 0.6) if self.brief.boat.kind == "long" else (WALK_ALLOWED_RAD, 1.0)
        return self._lie_now() - walks * (1.0 - blown * self._fresh())

    def _lie_now(self) -> float:
        """Return the heading she will lie to, the wind having gone round a little since the plan was made."""
        if self.planned_wind_rad is None:
            return self.plan.lie_rad
        stream, wind_mps = choosing.stream_mps(self.brief, self.t_s), self.wind_mps()
        was, now = (resultant_rad(w, wind_mps, stream) for w in (self.planned_wind_rad, self.wind_from(LATELY)))
        turned = wrap_pi(now - was)
        return self.plan.lie_rad + max(-MOST_TURNED_RAD, min(MOST_TURNED_RAD, turned))

    def _let_go(self) -> Steps:
        """Let go on the brake to the bottom, check, and mark it."""
        way_kn = round(knots(self.pilot.way_mps), 1)
        key = "lower_on" if self._deep() else "let_go_early" if way_kn > 0.2 else "let_go"
        self.say(key, way_kn=abs(way_kn), depth_m=round(self.depth_m, 1))
        told = len(self.see.calls)
        yield [cmd.Windlass(actor=ACTOR, motion=1) if self._deep() else cmd.Brake(actor=ACTOR, grip=0.0)]
        height = self.depth_m + self.brief.boat.roller_height_m
        began = self.t_s
        told_by = "walked_back" if self._deep() else "on_the_bottom"
        while not self.heard(told_by, told) and self.t_s < began + (60.0 if self._deep() else 30.0):
            yield self._hold_bow()
        self.mark_m = self.pilot.bow()
        self.say("on_the_bottom", height_m=round(height))
        yield [cmd.MarkAnchor(actor=ACTOR)]
        while self.out_m < height + 0.5:
            yield self._hold_bow()
        yield [cmd.Windlass(actor=ACTOR, motion=0) if self._deep() else cmd.Brake(actor=ACTOR, grip=1.0)]

    def _hold_bow(self) -> list[Command]:
        """Return wheel and levers that keep her bow up while the anchor falls."""
        if self.brief.boat.shafts == 1:
            off = wrap_pi(self.see.readings.heading_rad - self._head())
            fresh = self._fresh() > 1.0
            return self.pilot.hold_up(off, -self.pilot.way_mps, hard=fresh, most_mps=FALLING_MPS, gathers=not fresh)
        ahead = IDLE if self.pilot.way_mps < GATHERS_MPS else 0.0
        return self.pilot.twist(self._head(), ahead, hard=self._fresh() > 1.0)

    def _deep(self) -> bool:
        """Return whether it is too deep to let an anchor run: it is walked back under power instead."""
        return self.plan.depth_m > DEEP_M

    def _walk_back(self, short_m: float) -> list[Command]:
        """In deep water, lower the anchor on the last of the way in until it hangs well clear of the bed."""
        hangs = self.out_m >= min(self.plan.depth_m, self.depth_m) + self.brief.boat.roller_height_m - HANGS_CLEAR_M
        lower = self._deep() and short_m < WALK_BACK_FROM_M and not hangs
        if lower == self._lowering:
            return []
        self._lowering = lower
        if lower:
            self.say("walk_back", depth_m=round(self.depth_m))
        return [cmd.Windlass(actor=ACTOR, motion=1 if lower else 0)]

    def _lay(self) -> Steps:
        """Pay out in step with her as the wind takes her back, by distance at first, then by the foredeck's arm."""
        self.say("lay")
        spot = self.plan
        height = self.depth_m + self.brief.boat.roller_height_m
        lowering = warned = False
        self._grip, self._told_grip = 0.0, 1.0  # the brake is hard on, after an earlier try too
        by_hand = self.lays_by_hand and self._fresh() > 1.0 and not self._deep()
        while self.out_m < spot.rode_m - 1.0 and not any(isinstance(e, ev.ChainOut) for e in self.see.seen):
            off = wrap_pi(self.see.readings.heading_rad - (self._head() if by_hand else spot.lie_rad))
            if abs(off) > FALLING_OFF_RAD and not warned:
                warned = True
                self.say("falling_off")
            if by_hand:
                yield self._ease_brake(off, height) + self._fall_back(off)
                continue
            go = self._chain_wanted(off, height, lowering)
            commands: list[Command] = []
            if go != lowering:
                lowering = go
                commands.append(cmd.Windlass(actor=ACTOR, motion=1 if go else 0))
            yield commands + self._fall_back(off)
        hold = cmd.Brake(actor=ACTOR, grip=1.0) if by_hand else cmd.Windlass(actor=ACTOR, motion=0)
        yield [hold, *self.pilot.levers(0.0), *self.pilot.helm(0.0)]

    def _ease_brake(self, off_rad: float, height_m: float) -> list[Command]:
        """Return the brake's grip: in a fresh wind chain runs as fast as she takes it, easier or harder by the arm."""
        slope = self.see.arm.slope_rad if self.see.arm else 0.0
        ease_at = EASE_RAD if abs(off_rad) < FALLING_OFF_RAD else CHECK_RAD
        light = LIGHT_GRIP * self.brief.boat.chain_mm**2 * height_m
        grip = self._grip
        if self.out_m < SHORT_SCOPE * height_m:
            grip = light
        elif self.out_m > self.plan.rode_m - END_M:
            grip = max(grip, 1.5 * light)
        elif slope > ease_at + ARM_SLACK_RAD or abs(off_rad) > BROUGHT_UP_RAD:  # its pull brings her bow up again
            grip += GRIP_STEP
        elif slope < ease_at:
            grip -= GRIP_STEP
        else:
            grip += 0.1 * (light - grip)
        grip = min(max(grip, 0.0), MOST_GRIP)
        if abs(grip - self._told_grip) < 2.0 * GRIP_STEP:
            self._grip = grip
            return []
        self._grip = self._told_grip = grip
        return [cmd.Brake(actor=ACTOR, grip=round(grip, 3))]

    def _chain_wanted(self, off_rad: float, height_m: float, lowering: bool) -> bool:
        """Return whether chain should run now: enough not to tow the anchor, not so much that it heaps."""
        out = self.out_m
        slope = self.see.arm.slope_rad if self.see.arm else 0.0
        if out < SHORT_SCOPE * height_m:
            return out < math.hypot(self.from_mark_m(), height_m) + 1.0 or slope < SHORT_EASE_RAD
        ease_at = EASE_RAD if abs(off_rad) < FALLING_OFF_RAD else CHECK_RAD
        return slope <= (ease_at + ARM_SLACK_RAD if lowering else ease_at)

    def _fall_back(self, off_rad: float) -> list[Command]:
        """Return wheel and levers that keep a slow sternway and the bow near the wind."""
        way = self.pilot.way_mps
        if self.brief.boat.shafts > 1:
            astern = max(IDLE * (way < mps(-0.75)), self.pilot.held_back(-way)) or -IDLE * (way > mps(-0.3))
            return self.pilot.twist(self._head(), astern, hard=self._fresh() > 1.0)
        return self.pilot.hold_up(off_rad, -way, hard=self._fresh() > 1.0)

    def _bring_up(self) -> Steps:
        """Hold on, let the wind straighten the chain, and wait until she is brought up."""
        self.say("all_out")
        told = len(self.see.calls)
        yield [cmd.Stopper(actor=ACTOR, on=True), cmd.AskCrew(actor=ACTOR)]
        began = self.t_s
        pulling = False
        while self.t_s < began + 150.0:
            r = self.see.readings
            off = abs(wrap_pi(r.heading_rad - self.plan.lie_rad))
            quiet = abs(self.pilot.way_mps) < 0.06 and off < rad(25.0) and r.t_s > began + 25.0
            if self.heard("brought_up", told) or quiet:
                break
            if not pulling and r.t_s > began + 15.0 and abs(self.pilot.way_mps) < 0.15:
                pulling = True
            yield self.pilot.twist(self.plan.lie_rad, -IDLE if pulling and off < rad(50.0) else 0.0)
        self.say("brought_up")
        yield self.pilot.levers(0.0)
