"""Handling: what a competent hand does with wheel and levers, decided a few times a second from the displays alone."""

import math

from sim.base.frames import to_world, wrap_pi
from sim.base.units import mps, rad
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.helm.instruments import SOG_LAG_S, Readings
from sim.model.tackle.catenary import wind_load_n
from sim.scenario.read.brief import BoatCard

ACTOR = "demonstrator"
EVERY_S = 0.2
IDLE = 0.06
HELM_GAIN, HELM_DAMPING_S = 1.3, 2.2
MOST_HELM_RAD = rad(30.0)
# A kick: short, hard over, and only while the bow can still be saved.
HEAD_ON_SHARE, AHEAD_OVER_ASTERN, MOST_AGAINST = 0.6, 1.4, 0.4  # of the rule of thumb for the load; pulls; a lever
MOST_TWIST, HARD_TWIST, WASH_MPS, WASH_HELM = 0.7, 2.5, 0.2, 1.0
TWIST_BELOW = 0.5  # with more on both shafts there is none to spare for turning her
STUBBORN_RAD, STUBBORN_RADPS, STUBBORN_LEVER, NUDGE_LEVER = rad(20.0), rad(1.0), 0.6, 0.3
KICK_S, KICK_REST_S, KICK_LEVER, KICK_AT_RAD, NO_KICK_RAD = 2.0, 4.0, 0.45, rad(16.0), rad(65.0)
# In a fresh wind: harder, longer (the gear takes its time), again sooner, and with a little headway allowed.
HARD_LEVER, HARD_KICK_S, HARD_REST_S, CAUGHT_RAD, CAUGHT_S = 0.7, 7.0, 0.4, rad(6.0), 3.0
HARD_HEADWAY_MPS, HARD_MOST_MPS = mps(0.5), mps(0.9)  # to begin one, and to go on with it
HELD_BACK_MPS, HELD_BACK_GAIN = mps(0.9), 1.2  # faster than a windlass pays out (judgement); lever for each m/s

# How far stream and wind set her off her heading is learnt only with way on and on a steady course.
CRAB_WAY_MPS, CRAB_TURN_RADPS, MOST_CRAB_RAD = mps(1.4), rad(1.5), rad(35.0)


class Pilot:
    """Wheel and levers of one boat; remembers only what a hand remembers."""

    def __init__(self, boat: BoatCard) -> None:
        """Take the helm of ``boat``."""
        self.boat = boat
        self.readings: Readings | None = None
        self._before: Readings | None = None
        self.turn_radps = 0.0
        self.trend_mps2 = 0.0
        self.set_rad = 0.0
        self._levers: tuple[float, ...] = ()
        self._helm = math.nan
        self._kick_until, self._kick_side = -99.0, 1.0

    def look(self, readings: Readings) -> None:
        """Read the displays, and how they change."""
        if self.readings is not None:
            dt = max(readings.t_s - self.readings.t_s, 1e-3)
            turn = wrap_pi(readings.heading_rad - self.readings.heading_rad) / dt
            self.turn_radps += 0.5 * (turn - self.turn_radps)
            trend = (readings.along_mps - self.readings.along_mps) / dt
            self.trend_mps2 += 0.3 * (trend - self.trend_mps2)
            if readings.along_mps > CRAB_WAY_MPS and abs(self.turn_radps) < CRAB_TURN_RADPS:
                set_rad = wrap_pi(readings.cog_rad - readings.heading_rad)
                self.set_rad += 0.04 * (max(-MOST_CRAB_RAD, min(MOST_CRAB_RAD, set_rad)) - self.set_rad)
        self.readings = readings

    @property
    def now(self) -> Readings:
        """The displays as last read."""
        assert self.readings is not None, "look first"
        return self.readings

    @property
    def way_mps(self) -> float:
        """Way over the ground along the heading, the display's lag allowed for as an experienced eye does."""
        return self.now.along_mps + 0.8 * SOG_LAG_S * self.trend_mps2

    def bow(self) -> tuple[float, float]:
        """Return where the roller is, by the antenna's fix and the heading."""
        ahead = self.boat.roller_x_m - self.boat.antenna_x_m
        dn, de = to_world(ahead, 0.0, self.now.heading_rad)
        return self.now.north_m + dn, self.now.east_m + de

    def helm(self, angle_rad: float) -> list[Command]:
        """Order a rudder angle, if it changes by a degree or more."""
        angle = max(-MOST_HELM_RAD, min(MOST_HELM_RAD, angle_rad))
        if abs(angle - self._helm) < rad(1.0):
            return []
        self._helm = angle
        return [cmd.Helm(actor=ACTOR, angle_rad=round(angle, 4))]

    def levers(self, *levers: float) -> list[Command]:
        """Set one lever for all shafts, or one for each, where it changes noticeably."""
        each = levers if len(levers) > 1 else levers * self.boat.shafts
        each = tuple(round(0.0 if abs(v) < 0.05 else max(-1.0, min(1.0, v)), 2) for v in each)
        if each == self._levers or (
            self._levers and max(abs(a - b) for a, b in zip(each, self._levers, strict=True)) < 0.02
        ):
            return []
        old, self._levers = self._levers, each
        if len(set(each)) == 1:
            return [cmd.Engine(actor=ACTOR, lever=each[0])]
        return [cmd.Engine(actor=ACTOR, lever=v, shaft=i) for i, v in enumerate(each) if not old or old[i] != v]

    def steer(self, heading_rad: float) -> list[Command]:
        """Steer a heading with the rudder; the wheel works backwards when she goes astern."""
        off = wrap_pi(heading_rad - self.now.heading_rad)
        order = HELM_GAIN * off - HELM_DAMPING_S * self.turn_radps
        if self.now.along_mps < -0.25:
            order = -order
        return self.helm(order)

    def run_at(self, speed_mps: float) -> float:
        """Return the lever that brings her to a speed ahead over the ground, neutral and astern where she must slow."""
        error = speed_mps - self.way_mps
        hold = max((speed_mps - mps(2.2)) / mps(1.6) * 0.24 + IDLE, 0.0) if speed_mps > mps(2.0) else 0.0
        hold += self._against_wind()
        if error > 0.04:
            return min(max(hold + 0.5 * error, IDLE), 0.7)
        if error < -0.35:
            return max(0.8 * (error + 0.2), -0.6)
        return hold if error > -0.08 else 0.0

    def _against_wind(self) -> float:
        """Return the lever that a wind from ahead takes, beyond what tick-over gives."""
        ahead_mps = max(self.now.wind_mps * math.cos(self.now.wind_angle_rad), 0.0)
        share = HEAD_ON_SHARE * wind_load_n(self.boat.loa_m, ahead_mps) / (AHEAD_OVER_ASTERN * self.boat.astern_pull_n)
        return min(max((math.sqrt(share) - self.boat.idle_share) / (1.0 - self.boat.idle_share), 0.0), MOST_AGAINST)

    def go(
        self, heading_rad: float, speed_mps: float, *, coast: bool = False, stubborn_rad: float = STUBBORN_RAD
    ) -> list[Command]:
        """Steer a heading at a speed over the ground, with power over the rudder where the wind holds the bow off.

        With ``coast`` she loses way in neutral, in her own time; from ``stubborn_rad`` off she is given that power,
        less of it where that is sooner than usual.
        """
        off = wrap_pi(heading_rad - self.now.heading_rad)
        lever = max(self.run_at(speed_mps), 0.0 if coast else -1.0)
        if abs(off) > stubborn_rad and math.copysign(1.0, off) * self.turn_radps < STUBBORN_RADPS:
            lever = max(lever, STUBBORN_LEVER if stubborn_rad >= STUBBORN_RAD else NUDGE_LEVER)
        if self.boat.shafts > 1 and abs(lever) < TWIST_BELOW:
            return self.twist(heading_rad, lever)
        return self.steer(heading_rad) + self.levers(lever)

    def make_good(self, course_rad: float, speed_mps: float) -> list[Command]:
        """Make a course good over the ground: the heading allows for the set of late, as a ferry crosses a stream."""
        return self.go(course_rad - self.set_rad, speed_mps)

    def hold_up(
        self,
        off_rad: float,
        sternway_mps: float,
        *,
        hard: bool = False,
        most_mps: float = HELD_BACK_MPS,
        gathers: bool = True,
    ) -> list[Command]:
        """Hold a single-screw boat's bow near the wind while she falls back.

        Astern in short bursts walks the stern to port and so the bow to starboard; a kick ahead with the wheel over
        pushes it either way at the cost of a little sternway; ``hard`` in a wind that takes that off again at once.
        More sternway than ``most_mps`` is held back; some is gathered with the engine where she ``gathers`` it.
        """
        t = self.now.t_s
        ahead = off_rad + 4.0 * self.turn_radps
        if t < self._kick_until:
            soon = self._kick_side * (off_rad + CAUGHT_S * self.turn_radps)
            caught = soon < CAUGHT_RAD or -sternway_mps > HARD_MOST_MPS
            if not hard or not caught:
                return []
            self._kick_until = t  # caught: no more way than it needs
        if (
            abs(ahead) > KICK_AT_RAD
            and abs(off_rad) < NO_KICK_RAD
            and t > self._kick_until + (HARD_REST_S if hard else KICK_REST_S)
            and sternway_mps > (-HARD_HEADWAY_MPS if hard else -0.05)
        ):
            self._kick_until, self._kick_side = t + (HARD_KICK_S if hard else KICK_S), math.copysign(1.0, ahead)
            lever = HARD_LEVER if hard else KICK_LEVER
            return self.helm(-math.copysign(MOST_HELM_RAD, ahead)) + self.levers(lever)
        if hard and abs(ahead) > KICK_AT_RAD:
            return self.helm(0.0) + self.levers(0.0)  # through astern and back the gear takes too long
        if sternway_mps > most_mps:
            return self.helm(-HELM_GAIN * ahead) + self.levers(self.held_back(sternway_mps, most_mps))
        if sternway_mps > mps(0.7):
            return self.helm(0.0) + self.levers(0.0)
        if sternway_mps > 0.0 and not gathers:
            return self.helm(0.0) + self.levers(0.0)
        if sternway_mps < mps(0.3) or (ahead < -rad(4.0) and sternway_mps < mps(0.55)):
            return self.helm(0.0) + self.levers(-0.12)
        return self.helm(0.0) + self.levers(0.0)

    @staticmethod
    def held_back(sternway_mps: float, most_mps: float = HELD_BACK_MPS) -> float:
        """Return the lever ahead that keeps wind from taking her back faster than chain comes, 0 where none is due."""
        excess_mps = sternway_mps - most_mps
        return min(IDLE + HELD_BACK_GAIN * excess_mps, MOST_AGAINST) if excess_mps > 0.0 else 0.0

    def twist(self, heading_rad: float, base: float, *, hard: bool = False) -> list[Command]:
        """Hold a heading with two engines about a mean lever, or with wheel and kicks where there is one."""
        off = wrap_pi(heading_rad - self.now.heading_rad)
        if self.boat.shafts < 2:
            return self.steer(heading_rad) + self.levers(base)
        push = (0.8 * off - 1.6 * self.turn_radps) * (HARD_TWIST if hard else 1.0)
        if abs(push) < 0.05:
            push = 0.0
        push = max(-MOST_TWIST, min(MOST_TWIST, push))
        # With little way on, the wash of the screw that drives ahead is all that a rudder feels.
        wheel = self.steer(heading_rad) if self.now.along_mps > WASH_MPS else self.helm(WASH_HELM * push)
        return wheel + self.levers(base + push, base - push)
