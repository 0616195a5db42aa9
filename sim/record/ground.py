"""Depth at many places at once, for what is worked out after a run."""

import numpy as np

from sim.base.arrays import FloatArray
from sim.model import layout as lay
from sim.model.params import Bay


def charted_depths_m(bay: Bay, north_m: FloatArray, east_m: FloatArray) -> FloatArray:
    """Return the depth below chart datum [m] at each place, bilinear, the edge's value beyond it.

    The same law as ``model.water.water.charted_depth_m``, over arrays of any one shape; NaN where a place is NaN.
    """
    depth = bay.depth_m
    rows, columns = depth.shape
    i = (north_m - bay.raster[lay.Y_NORTH]) / bay.raster[lay.Y_CELL]
    j = (east_m - bay.raster[lay.Y_EAST]) / bay.raster[lay.Y_CELL]
    nowhere = np.isnan(i) | np.isnan(j)
    i = np.clip(np.where(nowhere, 0.0, i), 0.0, rows - 1.001)
    j = np.clip(np.where(nowhere, 0.0, j), 0.0, columns - 1.001)
    i0, j0 = i.astype(np.int64), j.astype(np.int64)
    a, b = i - i0, j - j0
    low = (1.0 - b) * depth[i0, j0] + b * depth[i0, j0 + 1]
    high = (1.0 - b) * depth[i0 + 1, j0] + b * depth[i0 + 1, j0 + 1]
    return np.where(nowhere, np.nan, (1.0 - a) * low + a * high)
