"""Weighing: the demonstrator anchors, sets, and then brings it all home again."""

import math

from sim.base.units import rad
from sim.core.orders import commands as cmd
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.pilot import ACTOR, IDLE
from sim.demonstrator.skipper import Steps

SLACK_RAD = rad(55.0)  # a chain that hangs steeper than this has no weight on it
STEEP_RAD = rad(80.0)
LONGEST_S = 600.0


class Weighing(Demonstrator):
    """Anchors and sets her, then recovers the anchor by the arm of the foredeck."""

    def manoeuvre(self) -> Steps:
        """Anchor her, set her, and weigh."""
        yield from self._read_the_bay()
        yield from self._anchor()
        yield from self._weigh()

    def _weigh(self) -> Steps:
        """Bring her up to the anchor and the anchor home."""
        self.say("weigh")
        yield [cmd.Stopper(actor=ACTOR, on=False), *self.pilot.levers(0.0)]
        began, told = self.t_s, len(self.see.calls)
        heaving = False
        while not self.heard("aweigh", told) and self.t_s < began + LONGEST_S:
            want = self._may_heave()
            commands: list[cmd.Command] = []
            if want != heaving:
                heaving = want
                commands.append(cmd.Windlass(actor=ACTOR, motion=-1 if want else 0))
            yield commands + self._come_up()
        yield from self._aweigh()

    def _slope(self) -> float:
        return self.see.arm.slope_rad if self.see.arm is not None else 0.5 * math.pi

    def _short(self) -> bool:
        """Return whether she is up and down: no more out than a little over the depth."""
        r = self.see.readings
        return r.counter_m < 1.25 * (self.depth_m + self.brief.boat.roller_height_m)

    def _may_heave(self) -> bool:
        """Return whether the windlass may turn: it takes slack, and breaks out what is up and down."""
        return self._slope() >= SLACK_RAD or self._short()

    def _come_up(self) -> list[cmd.Command]:
        """Return wheel and levers that bring her slowly towards the anchor, where the arm points."""
        arm = self.see.arm
        bearing = arm.bearing_rad if arm is not None else 0.0
        if self._short() or abs(bearing) > rad(70.0):
            return self.pilot.levers(0.0)
        slow = self.pilot.way_mps > 0.35 or self._slope() >= STEEP_RAD
        return self.pilot.steer(self.see.readings.heading_rad + bearing) + self.pilot.levers(
            0.0 if slow else IDLE + 0.04
        )

    def _aweigh(self) -> Steps:
        """Take the helm at once, hold her up, and bring the anchor home before any speed."""
        self.say("aweigh")
        head = self.see.readings.heading_rad
        yield [cmd.Windlass(actor=ACTOR, motion=-1), *self.pilot.levers(IDLE)]
        began = self.t_s
        while self.see.arm is not None and self.t_s < began + 120.0:
            ahead = IDLE if self.pilot.way_mps < 0.6 else 0.0
            yield self.pilot.twist(head, ahead)
        self.say("home")
        yield [cmd.Windlass(actor=ACTOR, motion=0), *self.pilot.levers(0.0)]
