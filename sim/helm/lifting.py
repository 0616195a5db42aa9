"""Lifting the anchor: the engine moves the boat, the windlass the chain, and the foredeck's arm says where to."""

import math

from sim.base.units import mps, rad
from sim.core import commands as cmd
from sim.core.commands import Command
from sim.helm.pilot import ACTOR, IDLE
from sim.helm.proving import Proving
from sim.helm.skipper import Steps

STEEP_RAD = rad(62.0)  # the chain is slack enough to heave when it leads down as steeply as this
SHORT_RAD = rad(50.0)
PATIENCE_S = 420.0
MOST_WAY_MPS, AWEIGH_WAY_MPS = mps(0.9), mps(1.2)
STUCK_LEVER = 0.25  # where tick-over does not move her against the wind


class Lifting(Proving):
    """The part of the manoeuvre that takes the anchor home again."""

    def _lift(self) -> Steps:
        """Motor gently along the chain, heave what is slack, break it out, and bring it home."""
        self.say("lift")
        yield [
            cmd.Abort(actor=ACTOR, reason="comes home"),
            *self.pilot.levers(0.0),
            cmd.Stopper(actor=ACTOR, on=False),
            cmd.AskCrew(actor=ACTOR),
        ]
        began, told = self.t_s, len(self.see.calls)
        motion = 0
        while self.see.arm is not None and self.t_s < began + PATIENCE_S:
            go, orders = self._hold_her_up() if self.heard("aweigh", told) else self._towards(motion)
            if go != motion:
                motion = go
                orders.append(cmd.Windlass(actor=ACTOR, motion=go))
            yield orders
        yield [cmd.Windlass(actor=ACTOR, motion=0), *self.pilot.levers(0.0)]
        self.say("lifted")

    def _hold_her_up(self) -> tuple[int, list[Command]]:
        """Return the same for an anchor aweigh: nothing holds her bow now but the helm."""
        ahead = IDLE if self.pilot.way_mps < AWEIGH_WAY_MPS else 0.0
        return -1, self.pilot.twist(self.plan.lie_rad, ahead)

    def _towards(self, motion: int) -> tuple[int, list[Command]]:
        """Return the windlass's motion and the orders that keep her coming up along the chain."""
        arm, r = self.see.arm, self.see.readings
        assert arm is not None
        short = self.out_m < 1.6 * (self.depth_m + self.brief.boat.roller_height_m)
        steep = arm.slope_rad > (SHORT_RAD if motion < 0 else STEEP_RAD)
        aft = abs(arm.bearing_rad) > 0.5 * math.pi
        heave = -1 if (steep or short) else 0
        if short or aft or self.pilot.way_mps > MOST_WAY_MPS or abs(arm.bearing_rad) > rad(70.0):
            push = 0.0
        else:
            push = STUCK_LEVER if not steep and self.pilot.way_mps < 0.1 else IDLE
        heading = r.heading_rad + (0.0 if aft else arm.bearing_rad)
        return heave, self.pilot.twist(heading, push)
