"""What a trainee does wrong, as steps of their own."""

import math
from dataclasses import replace

from examiner.ship import ACTOR, IDLE, Demonstrator, Steps, cmd, course, mps, rad, to_world, wrap_pi

RUNS_DOWN_M = 45.0


class Faults(Demonstrator):
    """The steps of the examiner's bad runs."""

    keep_mps: float | None = None  # headway kept on while the anchor falls
    loud = False

    def _quietly(self, speed_mps: float) -> float:
        return speed_mps if self.loud else super()._quietly(speed_mps)

    def _hold_bow(self) -> list[cmd.Command]:
        if self.keep_mps is None:
            return super()._hold_bow()
        return self.pilot.go(self.see.readings.heading_rad, self.keep_mps)

    def do_hurry(self, cruise_kn: float, run_in_kn: float) -> Steps:
        """Mean to come in at these speeds, whoever lies near."""
        self.cruise_mps, self.run_in_mps, self.loud = mps(cruise_kn), mps(run_in_kn), True
        yield []

    def do_let_go_moving(self, way_kn: float, longest_s: float = 60.0) -> Steps:
        """Let go with so much headway on, and keep it until the anchor is down."""
        head, began = self.see.readings.heading_rad, self.t_s
        self.keep_mps = mps(way_kn)
        while not -0.05 < self.pilot.way_mps - self.keep_mps < 0.1 and self.t_s < began + longest_s:
            yield self.pilot.go(head, self.keep_mps)
        yield from self._let_go()
        self.keep_mps = None

    def do_fall_off(self, deg: float, longest_s: float = 180.0) -> Steps:
        """Wait in neutral until the bow is off the wind by so much."""
        yield self.pilot.levers(0.0) + self.pilot.helm(0.0)
        began = self.t_s
        while self.t_s < began + longest_s:
            if abs(wrap_pi(self.see.readings.heading_rad - self.wind_now())) > rad(deg):
                return
            yield []

    def do_run_down(self, way_kn: float) -> Steps:
        """Come down the wind to the drop, with it astern."""
        spot = self.plan
        dn, de = to_world(RUNS_DOWN_M, 0.0, spot.lie_rad)
        goal = spot.drop_north_m + dn, spot.drop_east_m + de
        way, began = course.Way(self.brief, self.chart, goal), self.t_s
        while math.dist(self.pilot.bow(), goal) > 16.0 and self.t_s < began + 600.0:
            bearing = way.bearing(self.t_s, self.pilot.bow(), self.others)
            yield self.pilot.make_good(bearing, mps(3.0))
        began = self.t_s
        while self.t_s < began + 240.0:
            bow_n, bow_e = self.pilot.bow()
            away = math.hypot(spot.drop_north_m - bow_n, spot.drop_east_m - bow_e)
            off = wrap_pi(self.see.readings.heading_rad - spot.lie_rad - math.pi)
            if away < 7.0 and abs(off) < rad(50.0):
                return
            if self.from_drop()[0] > 6.0 and abs(off) < rad(50.0):  # past it: it goes here
                return
            to = math.atan2(spot.drop_east_m - bow_e, spot.drop_north_m - bow_n)
            yield self.pilot.go(to, mps(way_kn))

    def do_heap(self, metres: float | None = None) -> Steps:
        """Let all the chain run out at once, in neutral."""
        target, began = metres or self.plan.rode_m, self.t_s
        yield [*self.pilot.levers(0.0), *self.pilot.helm(0.0), cmd.Brake(actor=ACTOR, grip=0.0)]
        while self.out_m < target and self.t_s < began + 60.0:
            yield []
        if self.out_m < target:  # what does not run by itself is lowered
            yield [cmd.Brake(actor=ACTOR, grip=1.0), cmd.Windlass(actor=ACTOR, motion=1)]
            while self.out_m < target and self.t_s < began + 240.0:
                yield []
        yield [
            cmd.Windlass(actor=ACTOR, motion=0),
            cmd.Brake(actor=ACTOR, grip=1.0),
            cmd.Stopper(actor=ACTOR, on=True),
        ]

    def do_run_out(self, lever: float, metres: float | None = None) -> Steps:
        """Run all the chain out with the engine at a lever, astern below 0, and hold on with way on."""
        target, began = metres or self.plan.rode_m, self.t_s
        yield [*self.pilot.levers(lever), *self.pilot.helm(0.0)]
        yield from self.wait(6.0)
        yield [cmd.Brake(actor=ACTOR, grip=0.02)]
        while self.out_m < target and self.t_s < began + 120.0:
            yield self.pilot.levers(lever)
        yield [*self.pilot.levers(0.0), cmd.Brake(actor=ACTOR, grip=1.0), cmd.Stopper(actor=ACTOR, on=True)]

    def do_pull(
        self, levers: tuple[float, ...], hold_s: float = 30.0, burst: bool = False, transit: bool = True
    ) -> Steps:
        """Go astern by these levers and look at nothing: at a stroke, or by degrees."""
        if transit:
            abeam = (self.see.readings.heading_rad + 0.5 * math.pi) % (2.0 * math.pi)
            yield [cmd.TakeTransit(actor=ACTOR, bearing_rad=round(abeam, 3))]
        now = 0.0
        for lever in levers:
            while now < lever - 1e-6:
                now = lever if burst else min(now + 0.03, lever)
                yield self.pilot.levers(-now) + self.pilot.helm(0.0)
                yield from self.wait(0.2 if burst else 0.6)
            yield [cmd.AskCrew(actor=ACTOR)] if transit else []
            yield from self.wait(hold_s)
        yield self.pilot.levers(0.0)

    def do_over_chain(self, seconds: float, lever: float = 0.35) -> Steps:
        """Motor ahead over the own chain, then straight astern."""
        began = self.t_s
        while self.t_s < began + seconds:
            yield self.pilot.steer(self.wind_now()) + self.pilot.levers(lever)
        yield self.pilot.levers(-0.6) + self.pilot.helm(0.0)
        yield from self.wait(20.0)
        yield self.pilot.levers(0.0)

    def do_in_gear(self, lever: float = -0.1) -> Steps:
        """Leave a lever in gear."""
        yield [cmd.Engine(actor=ACTOR, lever=lever)]
        yield from self.wait(2.0)

    def do_nudge(self, metres: float) -> Steps:
        """Shift what is aimed at, but not the plan entered, so far to leeward of it."""
        dn, de = to_world(-metres, 0.0, self.plan.lie_rad)
        spot = self.plan
        self.spot = replace(spot, drop_north_m=spot.drop_north_m + dn, drop_east_m=spot.drop_east_m + de)
        yield []

    def do_idle(self, seconds: float) -> Steps:
        """Do nothing at all for a while."""
        yield from self.wait(seconds)

    def do_ahead(self, seconds: float, lever: float = IDLE) -> Steps:
        """Take the load off with the engine ahead, head to wind."""
        began = self.t_s
        while self.t_s < began + seconds:
            yield self.pilot.steer(self.wind_now()) + self.pilot.levers(lever)
        yield self.pilot.levers(0.0)

    def do_dive(self) -> Steps:
        """Send a diver down, and wait for what he says."""
        yield [cmd.Dive(actor=ACTOR)]
        yield from self.wait(305.0)
