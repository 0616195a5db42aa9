"""Lifting the anchor: the engine moves the boat, the windlass the chain, and the foredeck's arm says where to."""

import math

from sim.base.frames import wrap_pi
from sim.base.units import mps, rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator.pilot import ACTOR, IDLE
from sim.demonstrator.proving import Proving
from sim.demonstrator.skipper import Steps
from sim.helm.view import Arm

STEEP_RAD = rad(62.0)  # the chain is slack enough to heave when it leads down as steeply as this
SHORT_RAD = rad(50.0)
PATIENCE_S, LEAVES_S = 420.0, 300.0  # longest; and of the time to depart in, what it takes to get out
SHEER_RAD, SHEER_OVER_RAD = rad(50.0), rad(20.0)
LEADS_RAD, HANGS_RAD = rad(40.0), rad(72.0)
BOW_AWAY_RAD, UP_AND_DOWN_MPS = rad(12.0), mps(0.1)
HELD_MPS = mps(-0.1)
MOST_WAY_MPS, AWEIGH_WAY_MPS = mps(0.9), mps(0.8)
NEAR_AHEAD_M, PAST_LOA = 50.0, 0.85  # such a boat ahead is passed at so many lengths


class Lifting(Proving):
    """The part of the manoeuvre that takes the anchor home again."""

    _sheering = False
    _passing: dict[int, float]  # on which side of her bearing a boat ahead is passed: 1 to starboard

    def _lift(self) -> Steps:
        """Motor gently along the chain, heave what is slack, break it out, and bring it home."""
        self.say("lift")
        yield [cmd.Abort(actor=ACTOR, reason="comes home")]
        yield from self._bring_home()
        self.say("lifted")

    def _bring_home(self, patience_s: float = PATIENCE_S) -> Steps:
        """Bring her up along the chain and the anchor home; another's rode across it is waited for and slipped."""
        yield [*self.pilot.levers(0.0), cmd.Stopper(actor=ACTOR, on=False), cmd.AskCrew(actor=ACTOR)]
        began, told, looked = self.t_s, len(self.see.calls), len(self.see.seen)
        motion, hung = 0, 0
        self._passing = {}
        while self.see.arm is not None and self.t_s < began + patience_s:
            if (now := self._hang_across(looked)) != hung:
                self.say("across" if now > hung else "slipped")
                hung, began = now, self.t_s
            if hung:
                go, orders = 0, self._hold_her_there()
            elif self.heard("aweigh", told):
                go, orders = self._hold_her_up()
            else:
                go, orders = self._towards(motion)
            if go != motion:
                motion = go
                orders.append(cmd.Windlass(actor=ACTOR, motion=go))
            yield orders
        yield [cmd.Windlass(actor=ACTOR, motion=0), *self.pilot.levers(0.0)]

    def _hang_across(self, since: int) -> int:
        """Return how many rodes of others have come up with the chain and are not slipped yet."""
        seen = self.see.seen[since:]
        up, off = (sum(isinstance(e, kind) for e in seen) for kind in (ev.RodeSeenAcross, ev.RodeSlipped))
        return up - off

    def _hold_her_there(self) -> list[Command]:
        """Return what keeps her head up and her weight off both chains while hands are at the bow."""
        arm = self.see.arm
        lead = arm.bearing_rad if arm is not None and arm.slope_rad < SHORT_RAD else 0.0
        ahead = IDLE if self.pilot.way_mps < HELD_MPS else 0.0
        return self.pilot.twist(self.see.readings.heading_rad + lead, ahead)

    def _hold_her_up(self) -> tuple[int, list[Command]]:
        """Return the same for an anchor aweigh: nothing holds her bow now but the helm."""
        return -1, self.pilot.go(self._bow_to(), AWEIGH_WAY_MPS)

    def _bow_to(self) -> float:
        """Return the heading to break out at: the wind's, the bow a little to the side on which nobody lies near."""
        wind = self.wind_now()
        near = [o for o in self.see.others if o.judged_m < NEAR_AHEAD_M]
        if not near:
            return wind
        off = wrap_pi(min(near, key=lambda o: o.judged_m).bearing_rad - wind)
        return wind - math.copysign(BOW_AWAY_RAD, off)

    def _towards(self, motion: int) -> tuple[int, list[Command]]:
        """Return the windlass's motion and the orders that keep her coming up along the chain."""
        arm, r = self.see.arm, self.see.readings
        assert arm is not None
        short = self.out_m < 1.6 * (self.depth_m + self.brief.boat.roller_height_m)
        steep = arm.slope_rad > (SHORT_RAD if motion < 0 else STEEP_RAD)
        aft = abs(arm.bearing_rad) > 0.5 * math.pi
        # A taut chain is hove where it leads ahead.
        leads = abs(arm.bearing_rad) < LEADS_RAD or arm.slope_rad > HANGS_RAD
        heave = -1 if short or (steep and leads) else 0
        if short and not aft:
            return heave, self.pilot.go(self._bow_to(), UP_AND_DOWN_MPS, coast=True)
        heading = self._past(r.heading_rad + (0.0 if aft else arm.bearing_rad))
        if aft or self._sheers(arm):
            return heave, self.pilot.twist(heading, 0.0)
        return heave, self.pilot.go(heading, MOST_WAY_MPS, coast=True)

    def _sheers(self, arm: Arm) -> bool:
        """Return whether she drives athwart her taut chain: out of gear she falls back until it leads ahead again."""
        off = abs(arm.bearing_rad)
        limit = SHEER_OVER_RAD if self._sheering else SHEER_RAD
        self._sheering = off > limit and arm.slope_rad < HANGS_RAD
        return self._sheering

    def _past(self, heading_rad: float) -> float:
        """Return a heading that goes past any boat close ahead, who lies over the chain or has swung there."""
        for other in self.see.others:
            off = wrap_pi(other.bearing_rad - heading_rad)
            room_m = PAST_LOA * 0.5 * (other.loa_m + self.brief.boat.loa_m)
            if other.judged_m > NEAR_AHEAD_M or abs(off) > 0.5 * math.pi:
                continue
            side = self._passing.setdefault(other.number, -math.copysign(1.0, off))
            berth = math.asin(min(room_m / max(other.judged_m, 1.0), 0.98))
            if side * -off < berth:
                heading_rad += off + side * berth
        return heading_rad
