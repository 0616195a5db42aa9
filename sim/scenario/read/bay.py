"""A bay's file made into one raster of depth and one of bottoms.

Depth is interpolated once, through soundings, contours and shores, by a sum of cones (a radial basis of r): it passes
through every figure given and hardly swings beyond them, and what little it does is cut off. Land rises inland.
"""

import functools
import itertools

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray, IntArray
from sim.model import layout as lay
from sim.model import params
from sim.model.water.water import charted_depth_m
from sim.scenario.read import tackle
from sim.scenario.schema.base import BayFile, Extent
from sim.scenario.schema.tackle import BottomsFile

LAND_SLOPE = 0.1  # rise of the land behind its shore, up to
LAND_HEIGHT_M = 6.0  # this; both only so that it is land
MOST_LINE_POINTS = 500  # of all contours and shores together
LEAST_STEP_M = 8.0
NOISE_SIZE = 64
NOISE_CELLS = 0.75  # standard deviation of the smoothing, in cells of 2 m; judgement


def build_bay(name: str, file: BayFile, bottoms: BottomsFile, seed: int) -> params.Bay:
    """Return a bay; only its patchiness depends on the seed."""
    letters = tuple(dict.fromkeys([file.bottom, *(p.letters for p in file.patches)]))
    depth, bottom = _rasters(file, letters)
    raster = np.array([file.extent.south_m, file.extent.west_m, file.cell_m])
    return params.Bay(
        name=name,
        title=file.title,
        raster=raster,
        depth_m=depth,
        bottom=bottom,
        bottom_letters=letters,
        bottoms=np.array([tackle.bottom_row(one, bottoms) for one in letters]),
        shores=tuple(np.array(s.polygon) for s in file.shores),
        patches=tuple((p.letters, np.array(p.polygon)) for p in file.patches),
        marks=tuple(params.Mark(m.name, m.kind, m.north_m, m.east_m, m.height_m, m.lit) for m in file.marks),
        zones=tuple(params.Zone(z.name, z.rule, np.array(z.polygon)) for z in file.zones),
        soundings=np.array(file.soundings),
        noise=seabed_noise(seed),
        snags=_snags(file, raster, depth),
        snag_names=tuple(s.name for s in file.snags),
        protected=file.protected,
    )


def _snags(file: BayFile, raster: FloatArray, depth: FloatArray) -> FloatArray:
    """Return ``float64[snags, SNAG_COLS]``, each as high above datum as it stands above the bed at its middle."""
    rows = [
        [s.north_m, s.east_m, s.radius_m, s.height_m - charted_depth_m(s.north_m, s.east_m, raster, np.array(depth))]
        for s in file.snags
    ]
    return np.array(rows, dtype=float).reshape(-1, lay.SNAG_COLS)


def seabed_noise(seed: int) -> FloatArray:
    """Return ``float64[64, 64]`` of smooth noise, periodic both ways, mean 0 and variance 1."""
    white = rng.stream(seed, "seabed").standard_normal((NOISE_SIZE, NOISE_SIZE))
    wave = 2.0 * np.pi * np.fft.fftfreq(NOISE_SIZE)
    keep = np.exp(-0.5 * NOISE_CELLS**2 * (wave[:, None] ** 2 + wave[None, :] ** 2))
    smooth = np.fft.ifft2(np.fft.fft2(white) * keep).real
    smooth -= smooth.mean()
    return np.asarray(smooth / smooth.std())


def inside(north: FloatArray, east: FloatArray, polygon: FloatArray) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Return which points lie in a polygon ``float64[k, 2]``; shapes of ``north`` and ``east`` alike."""
    odd = np.zeros(north.shape, dtype=bool)
    previous = polygon[-1]
    for corner in polygon:
        if corner[0] != previous[0]:
            between = (corner[0] > north) != (previous[0] > north)
            crossing = corner[1] + (north - corner[0]) * (previous[1] - corner[1]) / (previous[0] - corner[0])
            odd ^= between & (east < crossing)
        previous = corner
    return odd


def distance_m(north: FloatArray, east: FloatArray, polygon: FloatArray) -> FloatArray:
    """Return the distance of points from the outline of a polygon [m]."""
    nearest = np.full(north.shape, np.inf)
    for a, b in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        side = b - a
        along = ((north - a[0]) * side[0] + (east - a[1]) * side[1]) / max(float(side @ side), 1e-12)
        along = np.clip(along, 0.0, 1.0)
        nearest = np.minimum(nearest, np.hypot(north - a[0] - along * side[0], east - a[1] - along * side[1]))
    return nearest


@functools.lru_cache(maxsize=8)
def _rasters(file: BayFile, letters: tuple[str, ...]) -> tuple[FloatArray, IntArray]:
    north, east = grid(file.extent, file.cell_m)
    points = _figures(file)
    depth = np.clip(cones(points, north, east), min(0.0, points[:, 2].min()), points[:, 2].max())
    for shore in file.shores:
        polygon = np.array(shore.polygon)
        land = inside(north, east, polygon)
        rise = np.minimum(LAND_SLOPE * distance_m(north[land], east[land], polygon), LAND_HEIGHT_M)
        depth[land] = -shore.height_m - rise
    bottom = np.zeros(depth.shape, dtype=np.int64)
    for patch in file.patches:
        bottom[inside(north, east, np.array(patch.polygon))] = letters.index(patch.letters)
    for array in (depth, bottom):
        array.setflags(write=False)  # shared by every world built in this bay
    return depth, bottom


def grid(extent: Extent, cell_m: float) -> tuple[FloatArray, FloatArray]:
    """Return north and east [m] of every point of a bay's raster."""
    rows = round((extent.north_m - extent.south_m) / cell_m) + 1
    columns = round((extent.east_m - extent.west_m) / cell_m) + 1
    north = extent.south_m + cell_m * np.arange(rows)
    east = extent.west_m + cell_m * np.arange(columns)
    mesh = np.meshgrid(north, east, indexing="ij")
    return mesh[0], mesh[1]


def _figures(file: BayFile) -> FloatArray:
    """Return every figure of depth in the extent, ``float64[k, 3]``: soundings, points along contours and shores."""
    lines = [(np.array(c.line), c.depth_m) for c in file.contours]
    lines += [(np.array([*s.polygon, s.polygon[0]]), -s.height_m) for s in file.shores]
    length = sum(float(np.hypot(*np.diff(line, axis=0).T).sum()) for line, _ in lines)
    step = max(LEAST_STEP_M, length / MOST_LINE_POINTS)
    rows = [np.array(file.soundings)]
    for line, depth_m in lines:
        path = along(line, step)
        rows.append(np.column_stack([path, np.full(len(path), depth_m)]))
    points = np.vstack(rows)
    e, margin = file.extent, file.cell_m
    near = (points[:, 0] >= e.south_m - margin) & (points[:, 0] <= e.north_m + margin)
    near &= (points[:, 1] >= e.west_m - margin) & (points[:, 1] <= e.east_m + margin)
    points = points[near]
    # Two figures on one spot would leave the weights undetermined: the first given, a sounding, stands.
    _, first = np.unique(np.round(points[:, :2]), axis=0, return_index=True)
    return points[np.sort(first)]


def along(line: FloatArray, step_m: float) -> FloatArray:
    """Return points along a polyline, its corners among them, no further apart than ``step_m``."""
    pieces = [line[:1]]
    for a, b in itertools.pairwise(line):
        count = max(1, int(np.ceil(np.hypot(*(b - a)) / step_m)))
        share = np.arange(1, count + 1)[:, None] / count
        pieces.append(a + share * (b - a))
    return np.vstack(pieces)


def cones(points: FloatArray, north: FloatArray, east: FloatArray) -> FloatArray:
    """Return the surface through ``points`` over a grid: a constant and a cone at each point."""
    count = len(points)
    system = np.ones((count + 1, count + 1))
    system[:count, :count] = np.hypot(*(points[:, None, k] - points[None, :, k] for k in (0, 1)))
    system[count, count] = 0.0
    weights = np.linalg.solve(system, np.append(points[:, 2], 0.0))
    surface = np.full(north.shape, weights[count])
    for row in range(north.shape[0]):
        reach = np.hypot(points[:, 0] - north[row, :, None], points[:, 1] - east[row, :, None])
        surface[row] += reach @ weights[:count]
    return surface
