"""Tide and stream as functions of place and time, and the bay's depth at a place."""

import math

from sim.base.arrays import FloatArray, IntArray
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.groups import Streams
from sim.model.water.eddy import eddied

NEAR_BED_M = 3.0  # deeper than this under the middle of her, no end of her can be aground


@kernel
def tide_height_m(t_s: float, tide: FloatArray) -> float:
    """Return the height of tide above chart datum [m] at ``t_s``.

    Args:
        t_s: seconds since the start.
        tide: ``float64[k, 2]`` of (time [s], height [m]) of high and low waters, k >= 1, times rising.

    Source: a cosine between high and low water; the rule of twelfths (common practice) agrees with it within 1.7 %
    of the range.
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
def eased_slope(before_s: float, after_s: float, rise_before: float, rise_after: float) -> float:
    """Return the slope of a curve at a row of a table from the spans and rises on either side, 0 at a turn.

    Source: F. N. Fritsch and J. Butland, A method for constructing local monotone piecewise cubic interpolants, SIAM J.
    Sci. Stat. Comput. 5 (1984), 300-304: the weighted harmonic mean, so no value goes beyond its rows.
    """
    if rise_before * rise_after <= 0.0:
        return 0.0
    w1 = 2.0 * after_s + before_s
    w2 = after_s + 2.0 * before_s
    return (w1 + w2) / (w1 * before_s / rise_before + w2 * after_s / rise_after)


@kernel
def stream_at(t_s: float, stream: FloatArray) -> tuple[float, float]:
    """Return (north, east) of the stream's velocity at the surface [m/s], outside all eddies.

    Between the rows each part follows a monotone cubic: it stands still at the strongest of flood and ebb, runs
    steepest through slack, and goes through every row. Before the first and after the last row it stays as there.
    """
    last = stream.shape[0] - 1
    if last == 0 or t_s <= stream[0, 0]:
        return stream[0, 1], stream[0, 2]
    if t_s >= stream[last, 0]:
        return stream[last, 1], stream[last, 2]
    k = 1
    while stream[k, 0] < t_s:
        k += 1
    span = stream[k, 0] - stream[k - 1, 0]
    x = (t_s - stream[k - 1, 0]) / span
    north = 0.0
    east = 0.0
    for part in range(1, 3):
        rise = stream[k, part] - stream[k - 1, part]
        first = 0.0
        final = 0.0
        if k > 1:
            gone = stream[k - 1, 0] - stream[k - 2, 0]
            first = eased_slope(gone, span, stream[k - 1, part] - stream[k - 2, part], rise)
        if k < last:
            next_s = stream[k + 1, 0] - stream[k, 0]
            final = eased_slope(span, next_s, rise, stream[k + 1, part] - stream[k, part])
        value = stream[k - 1, part] + rise * x * x * (3.0 - 2.0 * x)
        value += span * x * (1.0 - x) * (first * (1.0 - x) - final * x)
        if part == 1:
            north = value
        else:
            east = value
    return north, east


@kernel
def shear(above_bed_m: float, depth_m: float) -> float:
    """Return the stream at a height above the bed over that at the surface.

    Source: the 1/7 power law, as in DNV-RP-C205's current profiles.
    """
    if depth_m <= 0.0:
        return 0.0
    return min(max(above_bed_m / depth_m, 0.0), 1.0) ** (1.0 / 7.0)


@kernel
def draught_share(draught_m: float, depth_m: float) -> float:
    """Return the stream averaged over a hull's draught over that at the surface, by the same profile.

    From 1 for no draught to 7/8, the profile's mean, for a hull that reaches the bed.
    """
    if depth_m <= draught_m or draught_m <= 0.0:
        return 0.875 if draught_m > 0.0 else 1.0
    reach = draught_m / depth_m
    return 0.875 * (1.0 - (1.0 - reach) ** (8.0 / 7.0)) / reach


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
def stand_in_ground(
    boat: FloatArray, hull: FloatArray, tide_m: float, raster: FloatArray, depth: FloatArray
) -> tuple[float, float]:
    """Return how deep she stands in the ground [m] and where along her, forward of midships.

    Stations at stem and stern and amidships with the canoe body's draught, along the keel with the whole of it.
    """
    c = math.cos(boat[lay.B_HEADING])
    s = math.sin(boat[lay.B_HEADING])
    aft = hull[lay.H_KEEL_AFT]
    fore = hull[lay.H_KEEL_FORE]
    deepest = 0.0
    where = 0.0
    aside = hull[lay.H_ASIDE]
    for side in range(2 if aside > 0.0 else 1):
        y = aside if side == 0 else -aside
        for k in range(6):
            draught = hull[lay.H_DRAUGHT] if k < 3 else hull[lay.H_CANOE]
            x = aft + 0.5 * k * (fore - aft) if k < 3 else 0.42 * (k - 4) * hull[lay.H_LWL]
            north = boat[lay.B_NORTH] + c * x - s * y
            east = boat[lay.B_EAST] + s * x + c * y
            inside = draught - charted_depth_m(north, east, raster, depth) - tide_m
            if inside > deepest:
                deepest = inside
                where = x
    return deepest, where


@kernel
def float_boats(
    boats: FloatArray,
    hulls: FloatArray,
    t_s: float,
    tide_m: float,
    streams: Streams,
    raster: FloatArray,
    depth: FloatArray,
) -> None:
    """Write stream, depth and grounding at every boat into her row, in place."""
    stream, eddies, formed, eddy_raster = streams
    outside_n, outside_e = stream_at(t_s, stream)
    for i in range(boats.shape[0]):
        north = boats[i, lay.B_NORTH]
        east = boats[i, lay.B_EAST]
        here = charted_depth_m(north, east, raster, depth) + tide_m
        draught = hulls[i, lay.H_DRAUGHT]
        boats[i, lay.B_DEPTH] = here
        boats[i, lay.B_GROUND] = 0.0
        if here < draught + NEAR_BED_M:
            boats[i, lay.B_GROUND], boats[i, lay.B_GROUND_X] = stand_in_ground(
                boats[i], hulls[i], tide_m, raster, depth
            )
        stream_n = outside_n
        stream_e = outside_e
        if eddies.shape[0] > 0:
            stream_n, stream_e = eddied(north, east, outside_n, outside_e, eddies, formed, eddy_raster)
        felt = draught_share(draught, here)
        boats[i, lay.B_SURFACE_N] = stream_n
        boats[i, lay.B_SURFACE_E] = stream_e
        boats[i, lay.B_STREAM_N] = felt * stream_n
        boats[i, lay.B_STREAM_E] = felt * stream_e
