"""What eyes make out over the water: how far off a boat lies, how her rode leads, where gusts darken the water.

Every figure here is judged by eye and errs as an eye does; what is too far off, or too dark, is not seen at all.
"""

import math
from dataclasses import dataclass

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray, IntArray
from sim.base.frames import bearing_rad, to_world
from sim.core import state as st
from sim.core.orders.ranging import raining
from sim.core.world import World
from sim.helm.sight import RAIN_M, darkness, reach_m
from sim.model import layout as lay
from sim.model.air import wind

BEARING_SD_RAD = math.radians(1.0)  # a bearing by eye over the compass (judgement)
LIE_SD_RAD = math.radians(4.0)  # how another boat heads (judgement)
RANGE_SD = 0.15  # of a distance over water, and it stays so for the same eye and boat (judgement)
RODE_DAY_M, RODE_NIGHT_M = 150.0, 25.0  # so near a rode is made out at her bow (judgement)
HULL_NIGHT_M = 70.0  # so near a hull without lights shows as a shadow (judgement)
WATER_DAY_M, WATER_NIGHT_M = 500.0, 45.0  # so near the water's skin is read (judgement)
ASTERN_M, ASTERN_SD, ASTERN_STEP_M = 20.0, 0.1, 0.5  # a wall close astern is judged far better (judgement)
STEP_RAD = math.radians(15.0)
PAWS = (0.93, 1.07, 1.22)  # of the day's mean wind: below the first the water lies nearly smooth (judgement)


@dataclass(frozen=True)
class RodeSeen:
    """A rode as it leaves another boat's bow, to 15 degrees: where it leads, and how steeply it goes into the water.

    ``bearing_rad`` is true, ``slope_rad`` below the horizontal, ``reach_m`` how far from the bow it enters the water.
    """

    bearing_rad: float
    slope_rad: float
    reach_m: float


def _met(an: float, ae: float, bn: float, be: float, cn: float, ce: float, dn: float, de: float) -> float:
    """Return the share of the way from a to b at which it meets the segment c-d, 1 where it does not."""
    un, ue, vn, ve = bn - an, be - ae, dn - cn, de - ce
    turn = un * ve - ue * vn
    if abs(turn) < 1e-12:
        return 1.0
    along = ((cn - an) * ve - (ce - ae) * vn) / turn
    beside = ((cn - an) * ue - (ce - ae) * un) / turn
    return along if 0.0 <= along <= 1.0 and 0.0 <= beside <= 1.0 else 1.0


class Eye:
    """The eyes of whoever is on deck; what they get wrong is seeded and stays the same through the run."""

    def __init__(self, world: World, seed: int) -> None:
        """Look about in ``world``, in what light there is."""
        self.world = world
        others = len(world.params.neighbours)
        self._slips = rng.stream(seed, "eye").standard_normal((others, 2))
        self._astern = 1.0 + ASTERN_SD * float(np.clip(rng.stream(seed, "eye astern").standard_normal(), -2.0, 2.0))
        self._ranges = np.clip(1.0 + RANGE_SD * rng.stream(seed, "eye range").standard_normal(others), 0.65, 1.5)

    def other(self, i: int) -> tuple[float, float, float]:
        """Return bearing [rad], heading [rad] and distance [m] of other boat ``i`` (1 is the first), by eye."""
        own, row = self.world.state.boats[0], self.world.state.boats[i]
        dn, de = float(row[lay.B_NORTH] - own[lay.B_NORTH]), float(row[lay.B_EAST] - own[lay.B_EAST])
        bearing = bearing_rad(dn, de) + BEARING_SD_RAD * float(self._slips[i - 1, 0])
        heading = float(row[lay.B_HEADING]) + LIE_SD_RAD * float(self._slips[i - 1, 1])
        whole = 2.0 * math.pi
        return bearing % whole, heading % whole, math.hypot(dn, de) * float(self._ranges[i - 1])

    def rode(self, i: int, away_m: float) -> RodeSeen | None:
        """Return how the rode of other boat ``i`` leads, None where she is too far off to see it."""
        if away_m > reach_m(RODE_DAY_M, RODE_NIGHT_M, darkness(self.world)):
            return None
        n, row = self.world.params.neighbours[i - 1], self.world.state.boats[i]
        at = self.world.state.fleet[i]
        if at[lay.Q_STATE] != lay.LIES:
            return None
        fn, fe = to_world(n.boat.particulars.roller_x_m, 0.0, float(row[lay.B_HEADING]))
        dn = float(at[lay.Q_ANCHOR_N] - row[lay.B_NORTH]) - fn
        de = float(at[lay.Q_ANCHOR_E] - row[lay.B_EAST]) - fe
        pull, height = max(float(row[lay.B_RODE_H]), 1.0), float(row[lay.B_DEPTH]) + n.roller_height_m
        weight = max(n.weight_n_per_m, 0.5)
        hung = math.sqrt(height * (height + 2.0 * pull / weight))
        slope = math.atan2(weight * min(hung, n.rode_m), pull)
        slope = max(round(slope / STEP_RAD) * STEP_RAD, 0.5 * STEP_RAD)
        reach = 0.0 if slope > math.radians(85.0) else n.roller_height_m / math.tan(slope)
        bearing = round(bearing_rad(dn, de) / STEP_RAD) * STEP_RAD % (2.0 * math.pi)
        return RodeSeen(bearing, slope, min(reach, 12.0))

    def astern_m(self) -> float | None:
        """Return how far it is from the stern to the shore right astern [m], by eye; None where it is farther off."""
        own = self.world.state.boats[0]
        loa_m = float(self.world.params.boat.hull[lay.H_LOA])
        back = to_world(-1.0, 0.0, float(own[lay.B_HEADING]))
        north, east = float(own[lay.B_NORTH]) + 0.5 * loa_m * back[0], float(own[lay.B_EAST]) + 0.5 * loa_m * back[1]
        end = north + ASTERN_M * back[0], east + ASTERN_M * back[1]
        shares = [_met(north, east, *end, *segment) for segment in self.world.constants.shore.tolist()]
        share = min(shares, default=1.0)
        if share >= 1.0:
            return None
        away = share * ASTERN_M * self._astern
        return round(away / ASTERN_STEP_M) * ASTERN_STEP_M

    def water(self, places_m: FloatArray) -> IntArray:
        """Return how the wind marks the water at ``float64[k, 2]`` places: 0 smooth or out of sight, to 3 for a gust.

        The wind there and now, read as eyes read water: in steps, over the mean of the day, no farther than one sees.
        """
        s, w = self.world.state, self.world.params.weather
        rows = np.zeros((len(places_m), lay.BOAT_COLS))
        rows[:, lay.B_NORTH : lay.B_EAST + 1] = places_m
        wind.blow(rows, s.tick / 60.0, w.air, s.episodes, int(s.clock[st.K_EPISODES]))
        over = np.hypot(rows[:, lay.B_WIND_N], rows[:, lay.B_WIND_E]) / max(float(w.wind[lay.W_MEAN]), 0.1)
        levels: IntArray = np.searchsorted(PAWS, over).astype(np.int64)
        own = s.boats[0]
        away = np.hypot(places_m[:, 0] - own[lay.B_NORTH], places_m[:, 1] - own[lay.B_EAST])
        far = reach_m(WATER_DAY_M, WATER_NIGHT_M, darkness(self.world))
        levels[away > (min(far, RAIN_M) if raining(self.world) else far)] = 0
        return levels
