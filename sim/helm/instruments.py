"""The instruments: what the cockpit's displays show, with their lags and errors. There is no other way to the truth.

Kept in the state's arrays so that a snapshot is complete; stepped ten times a second, never per frame.
"""

import math
from dataclasses import dataclass

from sim.base.frames import bearing_rad, to_body, to_world, wrap_pi
from sim.base.units import RHO_WATER_KGPM3, TICK_HZ, mps
from sim.core.state import TRACE_S
from sim.core.world import World, fix
from sim.helm import ais, radar
from sim.helm.ais import AisMark
from sim.helm.radar import RadarPicture
from sim.model import layout as lay
from sim.model.fix import fix_error_m
from sim.model.water import charted_depth_m

EVERY_TICKS = 6
GNSS_EVERY_TICKS = 60
# Time constants of the displays' filters, in seconds (judgement; common practice that SOG lags by some seconds).
SOG_LAG_S, WIND_LAG_S, HEADING_LAG_S, LOG_LAG_S, DEPTH_LAG_S = 2.5, 1.5, 0.3, 2.0, 1.0

WASH_SHARE = 0.25  # of the propeller's wash astern that reaches the log's wheel (judgement)

# Columns of the state's instrument array.
I_VN, I_VE, I_HEADING, I_AW_ALONG, I_AW_ACROSS, I_DEPTH, I_COUNTER, I_STW, I_NORTH, I_EAST = range(10)


@dataclass(frozen=True)
class Readings:
    """What the displays show now.

    Attributes:
        t_s: time since the start.
        sog_mps: speed over the ground to a tenth of a knot, without sense, >= 0.
        along_mps: its part along the heading: negative when she gathers sternway.
        cog_rad: course over the ground.
        heading_rad: compass heading, true.
        wind_mps: apparent wind speed at the masthead.
        wind_angle_rad: apparent wind off the bow, + starboard.
        depth_m: as the sounder shows it, to a decimetre, from where her sounder measures: see the boat's card.
        counter_m: what the chain counter says is out.
        stw_mps: speed through the water by a paddle wheel under her: it knows no sense, and with the propeller going
            astern it turns in its wash.
        rudder_rad: rudder angle.
        levers: engine levers, -1..1.
        rps: shaft speeds [1/s], + ahead.
        north_m: antenna's fix, north.
        east_m: antenna's fix, east.
    """

    t_s: float
    sog_mps: float
    along_mps: float
    cog_rad: float
    heading_rad: float
    wind_mps: float
    wind_angle_rad: float
    depth_m: float
    counter_m: float
    stw_mps: float
    rudder_rad: float
    levers: tuple[float, ...]
    rps: tuple[float, ...]
    north_m: float
    east_m: float


@dataclass(frozen=True)
class Leg:
    """From the antenna to a marked position, by the receiver: true bearing and distance."""

    bearing_rad: float
    distance_m: float


def _share(passed_s: float, lag_s: float) -> float:
    """Return how much of a change a display has taken up: all of it where the time that passed is infinite."""
    return 1.0 if math.isinf(passed_s) else passed_s / (lag_s + passed_s)


class Instruments:
    """The displays of one run; all that changes in them is in the world's state."""

    def __init__(self, world: World) -> None:
        """Fit the instruments of ``world`` and let them read its first moment."""
        self.world = world
        ais.begin(world)
        self._read_truth(None)
        world.state.trace[:] = self._shown_depth_m()

    def fix_error_m(self, t_s: float) -> tuple[float, float]:
        """Return the error of a fix, north and east [m]: slow and seeded, a function of time alone."""
        return fix_error_m(t_s, self.world.packed.fix_phases)

    def step(self, passed_ticks: int = 1) -> None:
        """Let the displays follow; call it after every step of the world, with the ticks that passed in it."""
        if self.world.state.tick % EVERY_TICKS == 0:
            self._read_truth(max(passed_ticks, EVERY_TICKS))
        if self.world.state.tick % TICK_HZ == 0:
            self.world.state.trace[self.world.state.tick // TICK_HZ % TRACE_S] = self._shown_depth_m()
            ais.listen(self.world)

    def _read_truth(self, passed_ticks: int | None) -> None:
        """Follow the truth over the ticks that have passed; at once where None."""
        passed_s = math.inf if passed_ticks is None else passed_ticks / TICK_HZ
        s = self.world.state
        own, seen = s.boats[0], s.instruments
        heading = float(own[lay.B_HEADING])
        surge, sway = float(own[lay.B_SURGE]), float(own[lay.B_SWAY])
        vn, ve = to_world(surge, sway, heading)
        air_n, air_e = float(own[lay.B_WIND_N]) - vn, float(own[lay.B_WIND_E]) - ve
        along, across = to_body(air_n, air_e, heading)
        stream, _ = to_body(float(own[lay.B_STREAM_N]), float(own[lay.B_STREAM_E]), heading)
        shown = (
            (I_VN, vn, SOG_LAG_S),
            (I_VE, ve, SOG_LAG_S),
            (I_AW_ALONG, along, WIND_LAG_S),
            (I_AW_ACROSS, across, WIND_LAG_S),
            (I_DEPTH, self._depth_m(), DEPTH_LAG_S),
            (I_STW, abs(surge - stream - self._wash_mps()), LOG_LAG_S),
        )
        for column, truth, lag_s in shown:
            seen[column] += _share(passed_s, lag_s) * (truth - float(seen[column]))
        turn = wrap_pi(heading - float(seen[I_HEADING]))
        seen[I_HEADING] += _share(passed_s, HEADING_LAG_S) * turn
        line = s.lines[0]
        seen[I_COUNTER] = float(line[lay.L_OUT]) * float(line[lay.L_COUNTER_SCALE])
        if s.tick % GNSS_EVERY_TICKS == 0 or passed_s > GNSS_EVERY_TICKS / TICK_HZ:
            seen[I_NORTH], seen[I_EAST] = fix(self.world)

    def _depth_m(self) -> float:
        """Return the water under the sounder, surface to bed [m]: where she heads makes a difference on a slope."""
        own, bay = self.world.state.boats[0], self.world.params.bay
        fn, fe = to_world(self.world.params.boat.particulars.sounder_x_m, 0.0, float(own[lay.B_HEADING]))
        north, east = float(own[lay.B_NORTH]), float(own[lay.B_EAST])
        middle = charted_depth_m(north, east, bay.raster, bay.depth_m)
        return float(own[lay.B_DEPTH]) + charted_depth_m(north + fn, east + fe, bay.raster, bay.depth_m) - middle

    def _shown_depth_m(self) -> float:
        shown = float(self.world.state.instruments[I_DEPTH]) - self.world.params.boat.particulars.sounder_offset_m
        return max(round(shown, 1), 0.0)

    def _wash_mps(self) -> float:
        """Return the wash that a propeller astern sends forward past the log's wheel [m/s]."""
        s, shafts = self.world.state, self.world.params.boat.shafts
        wash = 0.0
        for i in range(self.world.params.boat.shaft_count):
            astern = max(-float(s.shafts[i, lay.S_THRUST]), 0.0)
            wash = max(wash, math.sqrt(2.0 * astern / (RHO_WATER_KGPM3 * float(shafts[i, lay.SP_DISC]))))
        return WASH_SHARE * wash

    def radar(self) -> RadarPicture | None:
        """Return the radar's screen, None where she has none or it is switched off."""
        on, scale_m, gain, sea = (float(v) for v in self.world.state.radar)
        return radar.picture(self.world, scale_m, gain, sea) if on else None

    def ais(self) -> tuple[AisMark, ...]:
        """Return what AIS has told, nothing where she has no receiver."""
        return ais.received(self.world) if "ais" in self.world.params.boat.gear else ()

    def trace_m(self) -> tuple[float, ...]:
        """Return what the sounder showed over the last minutes, a figure each second, the oldest first."""
        if "trace" not in self.world.params.boat.gear:
            return ()
        now = self.world.state.tick // TICK_HZ % TRACE_S
        trace = self.world.state.trace.tolist()
        return (*trace[now + 1 :], *trace[: now + 1])

    def leg(self, north_m: float, east_m: float) -> Leg:
        """Return bearing and distance from the antenna, by its fix, to a position."""
        seen = self.world.state.instruments
        dn, de = north_m - float(seen[I_NORTH]), east_m - float(seen[I_EAST])
        return Leg(bearing_rad(dn, de), math.hypot(dn, de))

    def read(self) -> Readings:
        """Return what the displays show."""
        s = self.world.state
        seen = [float(v) for v in s.instruments[:10]]
        heading = seen[I_HEADING] % (2.0 * math.pi)
        along, _ = to_body(seen[I_VN], seen[I_VE], heading)
        fitted = range(self.world.params.boat.shaft_count)
        return Readings(
            t_s=s.tick / 60.0,
            sog_mps=mps(0.1) * round(math.hypot(seen[I_VN], seen[I_VE]) / mps(0.1)),
            along_mps=along,
            cog_rad=bearing_rad(seen[I_VN], seen[I_VE]),
            heading_rad=heading,
            wind_mps=math.hypot(seen[I_AW_ALONG], seen[I_AW_ACROSS]),
            wind_angle_rad=math.atan2(-seen[I_AW_ACROSS], -seen[I_AW_ALONG]),
            depth_m=self._shown_depth_m(),
            counter_m=round(seen[I_COUNTER], 1),
            stw_mps=seen[I_STW],
            rudder_rad=float(s.control[lay.C_RUDDER]),
            levers=tuple(float(s.shafts[i, lay.S_LEVER]) for i in fitted),
            rps=tuple(float(s.shafts[i, lay.S_RPS]) * float(s.shafts[i, lay.S_GEAR]) for i in fitted),
            north_m=seen[I_NORTH],
            east_m=seen[I_EAST],
        )
