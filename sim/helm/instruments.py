"""The instruments: what the cockpit's displays show, with their lags and errors. There is no other way to the truth.

Kept in the state's arrays so that a snapshot is complete; stepped ten times a second, never per frame.
"""

import math
from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import bearing_rad, to_body, to_world, wrap_pi
from sim.base.kernel import kernel
from sim.base.units import RHO_WATER_KGPM3, TICK_HZ, mps
from sim.core.groups import LOG_ASTERN, LOG_COLS, LOG_OWN, LOG_SHAFT
from sim.core.state import TRACE_S
from sim.core.world import World
from sim.helm import ais, radar
from sim.helm.ais import AisMark
from sim.helm.radar import RadarPicture
from sim.model import layout as lay
from sim.model.fix import fix_error_m, fix_of
from sim.model.water.water import charted_depth_m

EVERY_TICKS = 6  # they follow ten times a second
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


Fixed = tuple[FloatArray, FloatArray, FloatArray, FloatArray, FloatArray, FloatArray]


@kernel
def share(passed_s: float, lag_s: float) -> float:
    """Return how much of a change a display has taken up after a time: all of it where that is negative."""
    return 1.0 if passed_s < 0.0 else passed_s / (lag_s + passed_s)


@kernel
def sounded_m(boat: FloatArray, sounder_x_m: float, raster: FloatArray, depth: FloatArray) -> float:
    """Return the water under the sounder, surface to bed [m]: where she heads makes a difference on a slope."""
    fn, fe = to_world(sounder_x_m, 0.0, boat[lay.B_HEADING])
    north = boat[lay.B_NORTH]
    east = boat[lay.B_EAST]
    there = charted_depth_m(north + fn, east + fe, raster, depth)
    return float(boat[lay.B_DEPTH] + there - charted_depth_m(north, east, raster, depth))


@kernel
def wash_past_log_mps(astern_n: float, disc_m2: float) -> float:
    """Return the wash that a propeller astern sends forward past the log's wheel [m/s]."""
    return WASH_SHARE * math.sqrt(2.0 * astern_n / (RHO_WATER_KGPM3 * disc_m2)) if astern_n > 0.0 else 0.0


@kernel
def follow(seen: FloatArray, row: FloatArray, fixed: Fixed, tick: int, passed_s: float) -> None:
    """Let the displays follow the truth over the time that has passed, in place; at once where that is negative.

    Args:
        seen: ``float64[INSTRUMENT_COLS]``, the displays.
        row: ``float64[LOG_COLS]``, the truth.
        fixed: her hull, her shafts' constants, where her sounder is, raster and depths of the bay, phases of the fix.
        tick: now.
        passed_s: since the displays last followed.
    """
    hull, shaft_params, sounder_x_m, raster, depth, phases = fixed
    own = row[LOG_OWN:]
    heading = own[lay.B_HEADING]
    surge = own[lay.B_SURGE]
    vn, ve = to_world(surge, own[lay.B_SWAY], heading)
    along, across = to_body(own[lay.B_WIND_N] - vn, own[lay.B_WIND_E] - ve, heading)
    stream, _ = to_body(own[lay.B_STREAM_N], own[lay.B_STREAM_E], heading)
    under = sounded_m(own, sounder_x_m[0], raster, depth)
    wash = wash_past_log_mps(row[LOG_ASTERN], shaft_params[int(row[LOG_SHAFT]), lay.SP_DISC])
    seen[I_VN] += share(passed_s, SOG_LAG_S) * (vn - seen[I_VN])
    seen[I_VE] += share(passed_s, SOG_LAG_S) * (ve - seen[I_VE])
    seen[I_AW_ALONG] += share(passed_s, WIND_LAG_S) * (along - seen[I_AW_ALONG])
    seen[I_AW_ACROSS] += share(passed_s, WIND_LAG_S) * (across - seen[I_AW_ACROSS])
    seen[I_DEPTH] += share(passed_s, DEPTH_LAG_S) * (under - seen[I_DEPTH])
    seen[I_STW] += share(passed_s, LOG_LAG_S) * (abs(surge - stream - wash) - seen[I_STW])
    seen[I_HEADING] += share(passed_s, HEADING_LAG_S) * wrap_pi(heading - seen[I_HEADING])
    if tick % GNSS_EVERY_TICKS == 0 or passed_s < 0.0:
        seen[I_NORTH], seen[I_EAST] = fix_of(own, hull, tick / TICK_HZ, phases)


@kernel
def follow_all(seen: FloatArray, log: FloatArray, fixed: Fixed, first_tick: int, every_ticks: int) -> None:
    """Let the displays follow each row of a log that falls on one of their looks, in place.

    ``first_tick`` is when the first row was taken, ``every_ticks`` how far apart they are.
    """
    look = EVERY_TICKS  # or where that falls between two rows
    while look % every_ticks != 0:
        look += EVERY_TICKS
    for k in range(log.shape[0]):
        tick = first_tick + k * every_ticks
        if tick % look == 0:
            follow(seen, log[k], fixed, tick, look / TICK_HZ)


class Instruments:
    """The displays of one run; all that changes in them is in the world's state."""

    def __init__(self, world: World) -> None:
        """Fit the instruments of ``world`` and let them read its first moment."""
        self.world = world
        p, k = world.params, world.constants
        sounder_x_m = np.array([p.boat.particulars.sounder_x_m])
        self._fixed: Fixed = k.hulls[0], p.boat.shafts, sounder_x_m, p.bay.raster, p.bay.depth_m, k.fix_phases
        ais.begin(world)
        row = np.zeros(LOG_COLS)
        row[LOG_OWN:] = world.state.boats[0]
        follow(world.state.instruments, row, self._fixed, world.state.tick, -1.0)
        world.state.trace[:] = self._shown_depth_m()

    def fix_error_m(self, t_s: float) -> tuple[float, float]:
        """Return the error of a fix, north and east [m]: slow and seeded, a function of time alone."""
        return fix_error_m(t_s, self.world.constants.fix_phases)

    def step(self) -> None:
        """Let the displays follow; call it after every step of the world."""
        s, log = self.world.state, self.world.log
        seen, tick = s.instruments, s.tick
        first = tick - (log.count - 1) * log.every_ticks
        follow_all(seen, log.last, self._fixed, first, log.every_ticks)
        seen[I_COUNTER] = s.lines.item(0, lay.L_OUT) * s.lines.item(0, lay.L_COUNTER_SCALE)
        if tick % TICK_HZ == 0:
            s.trace[tick // TICK_HZ % TRACE_S] = self._shown_depth_m()
            ais.listen(self.world)

    def _shown_depth_m(self) -> float:
        shown = float(self.world.state.instruments[I_DEPTH]) - self.world.params.boat.particulars.sounder_offset_m
        return max(round(shown, 1), 0.0)

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
