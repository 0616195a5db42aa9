"""Tide and stream as functions of time, and the bay's depth at a place."""

import math

from sim.base.arrays import FloatArray, IntArray
from sim.base.kernel import kernel
from sim.model import layout as lay


@kernel
def tide_height_m(t_s: float, tide: FloatArray) -> float:
    """Return the height of tide above chart datum [m] at ``t_s``.

    Args:
        t_s: seconds since the start.
        tide: ``float64[k, 2]`` of (time [s], height [m]) of high and low waters, k >= 1, times rising.

    Source: a cosine between high and low water; the rule of twelfths of the tidal handbooks agrees with it within
    1.7 % of the range.
    """
    last = tide.shape[0] - 1
    if last == 0 or t_s <= tide[0, 0]:
        return tide[0, 1]
    if t_s >= tide[last, 0]:
        return tide[last, 1]
    k = 1
    while tide[k, 0] < t_s:
        k += 1
    share = (t_s - tide[k - 1, 0]) / (tide[k, 0] - tide[k - 1, 0])
    return tide[k - 1, 1] + (tide[k, 1] - tide[k - 1, 1]) * 0.5 * (1.0 - math.cos(math.pi * share))


@kernel
def stream_at(t_s: float, stream: FloatArray) -> tuple[float, float]:
    """Return (north, east) of the stream's velocity at the surface [m/s], linear between the rows of ``stream``."""
    last = stream.shape[0] - 1
    if last == 0 or t_s <= stream[0, 0]:
        return stream[0, 1], stream[0, 2]
    if t_s >= stream[last, 0]:
        return stream[last, 1], stream[last, 2]
    k = 1
    while stream[k, 0] < t_s:
        k += 1
    share = (t_s - stream[k - 1, 0]) / (stream[k, 0] - stream[k - 1, 0])
    return (
        stream[k - 1, 1] + share * (stream[k, 1] - stream[k - 1, 1]),
        stream[k - 1, 2] + share * (stream[k, 2] - stream[k - 1, 2]),
    )


@kernel
def shear(above_bed_m: float, depth_m: float) -> float:
    """Return the stream at a height above the bed over that at the surface.

    Source: the 1/7 power law, as in DNV-RP-C205's current profiles.
    """
    if depth_m <= 0.0:
        return 0.0
    return min(max(above_bed_m / depth_m, 0.0), 1.0) ** (1.0 / 7.0)


@kernel
def charted_depth_m(north_m: float, east_m: float, raster: FloatArray, depth: FloatArray) -> float:
    """Return the depth below chart datum [m] at a place, bilinear in the raster; the edge's value beyond it."""
    cell = raster[lay.Y_CELL]
    i = (north_m - raster[lay.Y_NORTH]) / cell
    j = (east_m - raster[lay.Y_EAST]) / cell
    i = min(max(i, 0.0), depth.shape[0] - 1.001)
    j = min(max(j, 0.0), depth.shape[1] - 1.001)
    i0 = int(i)
    j0 = int(j)
    a = i - i0
    b = j - j0
    low = (1.0 - b) * depth[i0, j0] + b * depth[i0, j0 + 1]
    high = (1.0 - b) * depth[i0 + 1, j0] + b * depth[i0 + 1, j0 + 1]
    return (1.0 - a) * low + a * high


@kernel
def bottom_at(north_m: float, east_m: float, raster: FloatArray, bottom: IntArray) -> int:
    """Return the index of the bottom at a place, of the nearest cell."""
    cell = raster[lay.Y_CELL]
    i = int((north_m - raster[lay.Y_NORTH]) / cell + 0.5)
    j = int((east_m - raster[lay.Y_EAST]) / cell + 0.5)
    i = min(max(i, 0), bottom.shape[0] - 1)
    j = min(max(j, 0), bottom.shape[1] - 1)
    return int(bottom[i, j])


@kernel
def patchiness(north_m: float, east_m: float, noise: FloatArray) -> float:
    """Return the smooth seeded noise of the ground at a place, about unit variance, repeating every 128 m."""
    size = noise.shape[0]
    i = north_m / 2.0
    j = east_m / 2.0
    i0 = math.floor(i)
    j0 = math.floor(j)
    a = i - i0
    b = j - j0
    i0 %= size
    j0 %= size
    i1 = (i0 + 1) % size
    j1 = (j0 + 1) % size
    low = (1.0 - b) * noise[i0, j0] + b * noise[i0, j1]
    high = (1.0 - b) * noise[i1, j0] + b * noise[i1, j1]
    return (1.0 - a) * low + a * high


@kernel
def float_boats(
    boats: FloatArray,
    hulls: FloatArray,
    tide_m: float,
    stream_n: float,
    stream_e: float,
    raster: FloatArray,
    depth: FloatArray,
) -> None:
    """Write stream, depth and grounding at every boat into her row, in place."""
    for i in range(boats.shape[0]):
        boats[i, lay.B_STREAM_N] = stream_n
        boats[i, lay.B_STREAM_E] = stream_e
        here = charted_depth_m(boats[i, lay.B_NORTH], boats[i, lay.B_EAST], raster, depth) + tide_m
        boats[i, lay.B_DEPTH] = here
        draught = hulls[i, lay.H_DRAUGHT]
        boats[i, lay.B_GROUND] = max(draught - here, 0.0)
