"""What land does to wind and water to leeward of it: distance to the shore upwind, shelter, fetch.

All of it depends on place and direction only, so it is worked out once for a ring of directions over a coarse raster,
and read from there.
"""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model import layout as lay

SECTORS = 24
# Share of the open wind left at heights of the barrier to leeward, belts of medium density: after Brandle and Finch,
# "How Windbreaks Work" (extension circular). That shelter reaches 30 heights was read, the shares are from memory; the
# first is judgement.
LEE_HEIGHTS = (0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 35.0)
LEE_SHARES = (0.35, 0.30, 0.50, 0.60, 0.75, 0.95, 1.0)
LEE_ROUGHENS = 0.5  # gusts grow by so much of the share taken from the mean (judgement)
FETCH_RADIALS_RAD = np.radians(np.arange(-12.0, 13.0, 3.0))  # nine, 3 degrees apart: Shore Protection Manual 1984


def upwind_m(points: FloatArray, toward_rad: float, shore: FloatArray) -> FloatArray:
    """Return the distance from each point to the first shore on a bearing [m], ``inf`` where there is none.

    Args:
        points: ``float64[k, 2]`` north, east.
        toward_rad: the bearing, for wind the one it blows from.
        shore: a closed polygon ``float64[m, 2]``; a point within it is at distance 0.
    """
    c, s = math.cos(toward_rad), math.sin(toward_rad)
    ends = np.roll(shore, -1, axis=0)
    # In axes along and across the bearing a shore is met where a side changes sign across.
    along = np.subtract.outer(-(points[:, 0] * c + points[:, 1] * s), -(shore[:, 0] * c + shore[:, 1] * s))
    across = np.subtract.outer(points[:, 0] * s - points[:, 1] * c, shore[:, 0] * s - shore[:, 1] * c)
    along_end = np.subtract.outer(-(points[:, 0] * c + points[:, 1] * s), -(ends[:, 0] * c + ends[:, 1] * s))
    across_end = np.subtract.outer(points[:, 0] * s - points[:, 1] * c, ends[:, 0] * s - ends[:, 1] * c)
    crosses = (across > 0.0) != (across_end > 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        met = along + (along_end - along) * across / (across - across_end)
    ahead = crosses & (met >= 0.0)
    nearest: FloatArray = np.where(ahead, met, np.inf).min(axis=1)
    nearest[ahead.sum(axis=1) % 2 == 1] = 0.0  # an odd number of crossings: the point is ashore
    return nearest


def lee_share(distance_m: FloatArray, height_m: float) -> FloatArray:
    """Return the share of the mean wind left at distances to leeward of land so high, 0 < share <= 1."""
    return np.interp(np.asarray(distance_m) / height_m, LEE_HEIGHTS, LEE_SHARES)


def directions_rad() -> FloatArray:
    """Return the bearings of the ring of directions."""
    return 2.0 * math.pi * np.arange(SECTORS) / SECTORS


def lee_table(points: FloatArray, lands: list[tuple[FloatArray, float]]) -> FloatArray:
    """Return ``float64[SECTORS, k]``: the share of the mean wind left at ``points`` by lands (polygon, height [m])."""
    table = np.ones((SECTORS, len(points)))
    for k, bearing in enumerate(directions_rad()):
        for polygon, height_m in lands:
            table[k] = np.minimum(table[k], lee_share(upwind_m(points, float(bearing), polygon), height_m))
    return table


def fetch_table(points: FloatArray, shores: list[FloatArray], open_m: float) -> FloatArray:
    """Return ``float64[SECTORS, k]``: the fetch at ``points`` [m], ``open_m`` where no shore lies to windward.

    The mean over nine radials three degrees apart, as the Shore Protection Manual (1984) has it (from memory).
    """
    table = np.zeros((SECTORS, len(points)))
    for k, bearing in enumerate(directions_rad()):
        for off in FETCH_RADIALS_RAD:
            reach = np.full(len(points), open_m)
            for shore in shores:
                found = upwind_m(points, float(bearing + off), shore)
                reach = np.where(np.isfinite(found), np.minimum(reach, found), reach)
            table[k] += reach / len(FETCH_RADIALS_RAD)
    return table


@kernel
def by_direction(north_m: float, east_m: float, from_rad: float, raster: FloatArray, table: FloatArray) -> float:
    """Return a value of ``table[sectors, rows, columns]`` at a place for a wind's direction, linear in all three."""
    sectors = table.shape[0]
    i = (north_m - raster[lay.Y_NORTH]) / raster[lay.Y_CELL]
    j = (east_m - raster[lay.Y_EAST]) / raster[lay.Y_CELL]
    i = min(max(i, 0.0), table.shape[1] - 1.001)
    j = min(max(j, 0.0), table.shape[2] - 1.001)
    k = from_rad / (2.0 * math.pi) * sectors
    i0 = int(i)
    j0 = int(j)
    k0 = math.floor(k)
    a = i - i0
    b = j - j0
    c = k - k0
    value = 0.0
    for sector in range(2):
        layer = table[(k0 + sector) % sectors]
        low = (1.0 - b) * layer[i0, j0] + b * layer[i0, j0 + 1]
        high = (1.0 - b) * layer[i0 + 1, j0] + b * layer[i0 + 1, j0 + 1]
        value += (c if sector == 1 else 1.0 - c) * ((1.0 - a) * low + a * high)
    return value
