"""Eddies behind points: reaches where the stream is weaker, or runs back."""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model import layout as lay

LONG = 4.0  # an eddy fades so many times as gradually along the stream as across it (judgement)


def squeezed(north: FloatArray, east: FloatArray, to_rad: float) -> tuple[FloatArray, FloatArray]:
    """Return places in a plane squeezed along a stream, in which an eddy's edge is equally wide all round.

    A jet fades out over many of its widths, its side over less than one; so little water is made or lost at the ends.
    """
    c, s = math.cos(to_rad), math.sin(to_rad)
    along = north * c + east * s
    less = along * (1.0 / LONG - 1.0)
    return north + less * c, east + less * s


def faded(distance_m: FloatArray, edge_m: float) -> FloatArray:
    """Return how far an eddy has formed at distances outside its reach, 1 at 0 to 0 at ``edge_m``, smoothly."""
    share = np.clip(1.0 - np.asarray(distance_m) / edge_m, 0.0, 1.0)
    return np.asarray(share * share * (3.0 - 2.0 * share))


@kernel
def eddied(
    north_m: float,
    east_m: float,
    stream_n: float,
    stream_e: float,
    eddies: FloatArray,
    formed: FloatArray,
    raster: FloatArray,
) -> tuple[float, float]:
    """Return the stream (north, east) at a place, given that outside all eddies [m/s].

    An eddy forms as far as the stream sets its way: in full along it, not at all across or against it.

    Args:
        north_m: the place.
        east_m: see ``north_m``.
        stream_n: the stream outside.
        stream_e: see ``stream_n``.
        eddies: ``float64[k, EDDY_COLS]``.
        formed: ``float64[k, rows, columns]``, 1 in an eddy's reach to 0 away from it.
        raster: where its points lie, ``float64[RASTER_COLS]``.
    """
    rate = math.sqrt(stream_n * stream_n + stream_e * stream_e)
    if rate < 1e-9:
        return stream_n, stream_e
    i = (north_m - raster[lay.Y_NORTH]) / raster[lay.Y_CELL]
    j = (east_m - raster[lay.Y_EAST]) / raster[lay.Y_CELL]
    i = min(max(i, 0.0), formed.shape[1] - 1.001)
    j = min(max(j, 0.0), formed.shape[2] - 1.001)
    i0 = int(i)
    j0 = int(j)
    a = i - i0
    b = j - j0
    left = 1.0
    for k in range(eddies.shape[0]):
        way = (stream_n * eddies[k, lay.ED_NORTH] + stream_e * eddies[k, lay.ED_EAST]) / rate
        if way <= 0.0:
            continue
        low = (1.0 - b) * formed[k, i0, j0] + b * formed[k, i0, j0 + 1]
        high = (1.0 - b) * formed[k, i0 + 1, j0] + b * formed[k, i0 + 1, j0 + 1]
        left -= (1.0 - eddies[k, lay.ED_RATE]) * way * ((1.0 - a) * low + a * high)
    return left * stream_n, left * stream_e
