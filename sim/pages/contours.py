"""Closed contour lines of a raster, for drawing depth bands."""

import numpy as np
import numpy.typing as npt

from sim.base.arrays import FloatArray

_FAR_BELOW = -1e4
Edge = tuple[int, int, int]  # row, column, and 0 along the row or 1 along the column


def contour_rings(values: FloatArray, level: float) -> list[FloatArray]:
    """Return the outlines of everywhere at or above ``level`` as closed rings of (row, column).

    Marching squares with linear interpolation. The raster's edge closes the rings, so that filling them by the
    even-odd rule fills exactly that area.

    Args:
        values: ``float64[rows, columns]``.
        level: the level.
    """
    padded = np.pad(values, 1, constant_values=_FAR_BELOW)
    follow = _segments(padded >= level)
    rings = []
    while follow:
        first, edge = follow.popitem()
        ring = [first]
        while edge != first:
            ring.append(edge)
            edge = follow.pop(edge)
        rings.append(np.array([_crossing(padded, e, level) for e in ring]) - 1.0)
    return rings


def _segments(inside: npt.NDArray[np.bool_]) -> dict[Edge, Edge]:
    """Return, for each edge by which an outline enters a cell, the edge by which it leaves."""
    mixed = inside[:-1, :-1].astype(int) + inside[:-1, 1:] + inside[1:, 1:] + inside[1:, :-1]
    follow: dict[Edge, Edge] = {}
    for i, j in zip(*np.nonzero((mixed > 0) & (mixed < 4)), strict=True):
        r, c = int(i), int(j)
        corners = (inside[r, c], inside[r, c + 1], inside[r + 1, c + 1], inside[r + 1, c])
        edges: tuple[Edge, ...] = ((r, c, 0), (r, c + 1, 1), (r + 1, c, 0), (r, c, 1))  # after each corner
        for k in range(4):
            if not corners[k] and corners[(k + 1) % 4]:
                # The run of inside corners that begins here ends at the next edge leading outside.
                last = next(n for n in range(k + 1, k + 4) if corners[n % 4] and not corners[(n + 1) % 4])
                follow[edges[k]] = edges[last % 4]
    return follow


def _crossing(values: FloatArray, edge: Edge, level: float) -> tuple[float, float]:
    row, column, along_column = edge
    a = values[row, column]
    b = values[row + 1, column] if along_column else values[row, column + 1]
    share = float((level - a) / (b - a))
    return (row + share, float(column)) if along_column else (float(row), column + share)
