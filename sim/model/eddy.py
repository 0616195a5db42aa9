"""Eddies behind points: reaches where the stream is weaker, or runs back.

The stream past an eddy comes of one stream function, so that no water is made or lost: what no longer runs through the
reach runs faster beside it. It is linear in the stream outside, so a table of four numbers a place says all of it.
"""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model import layout as lay


def bend(inside: FloatArray, north: FloatArray, east: FloatArray, rate: float, cell_m: float) -> FloatArray:
    """Return ``float64[rows, columns, 4]``: what an eddy adds to the stream, as north and east per north and east.

    With the stream function psi = Vn e - Ve n about the eddy's middle, it adds that of -(1 - rate) w psi, w being
    ``inside``: 1 in the eddy, 0 outside, smooth between.

    Args:
        inside: w over the raster.
        north: places of the raster [m]; ``east`` alike.
        east: see ``north``.
        rate: the stream in the eddy over the stream outside: 0 slack, below 0 back eddy.
        cell_m: the raster's cell.
    """
    weight = max(float(inside.sum()), 1e-9)
    n = north - float((inside * north).sum()) / weight
    e = east - float((inside * east).sum()) / weight
    share = -(1.0 - rate)
    terms = []
    for psi in (share * inside * e, -share * inside * n):  # per unit of Vn, per unit of Ve
        down, across = np.gradient(psi, cell_m)
        terms += [across, -down]
    return np.stack([terms[0], terms[2], terms[1], terms[3]], axis=-1)


@kernel
def add_eddies(
    north_m: float,
    east_m: float,
    stream_n: float,
    stream_e: float,
    eddies: FloatArray,
    bends: FloatArray,
    raster: FloatArray,
) -> tuple[float, float]:
    """Return the stream (north, east) at a place, given that outside all eddies [m/s].

    An eddy forms as far as the stream sets its way: in full along it, not at all across or against it.
    """
    rate = math.sqrt(stream_n * stream_n + stream_e * stream_e)
    if rate < 1e-9:
        return stream_n, stream_e
    i = (north_m - raster[lay.Y_NORTH]) / raster[lay.Y_CELL]
    j = (east_m - raster[lay.Y_EAST]) / raster[lay.Y_CELL]
    i = min(max(i, 0.0), bends.shape[1] - 1.001)
    j = min(max(j, 0.0), bends.shape[2] - 1.001)
    i0 = int(i)
    j0 = int(j)
    a = i - i0
    b = j - j0
    add_n = 0.0
    add_e = 0.0
    for k in range(eddies.shape[0]):
        formed = (stream_n * eddies[k, lay.ED_NORTH] + stream_e * eddies[k, lay.ED_EAST]) / rate
        if formed <= 0.0:
            continue
        for di in range(2):
            for dj in range(2):
                w = formed * (a if di == 1 else 1.0 - a) * (b if dj == 1 else 1.0 - b)
                cell = bends[k, i0 + di, j0 + dj]
                add_n += w * (cell[0] * stream_n + cell[1] * stream_e)
                add_e += w * (cell[2] * stream_n + cell[3] * stream_e)
    return stream_n + add_n, stream_e + add_e
