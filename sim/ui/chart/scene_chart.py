"""The chart as a world scene: depth bands, shore, ground, soundings, marks. It never changes during a lesson."""

from collections.abc import Iterator

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.rng import stream
from sim.pages.contours import contour_rings
from sim.scenario.read.bay import inside
from sim.scenario.read.brief import Brief, Chart
from sim.ui.paint.display import Fill, Item, Mark, MarkName, Point, Ring, Stroke, Words
from sim.ui.paint.palette import BANDS, Ink
from sim.ui.words import Catalogue

BAND_FROM_M = (0.6, 2.0, 3.0, 4.0, 5.5, 7.0)
CARVED_M = (5.0, 11.0, 18.5, 28.0, 40.0)  # how far inland a line is carved
GROUND: dict[str, tuple[MarkName, float, float]] = {
    "Wd": ("weed", 4.2, 5.0), "Sg": ("weed", 4.2, 5.0), "R": ("rock", 6.0, 4.5), "Bo": ("rock", 6.0, 4.5),
    "Co": ("rock", 6.0, 4.5), "St": ("stones", 6.5, 4.0), "Cb": ("stones", 6.5, 4.0), "P": ("stones", 6.5, 3.0),
}  # fmt: skip
SAND: tuple[MarkName, float, float] = ("sand", 6.5, 5.0)
KINDS: dict[str, MarkName] = {
    "beacon": "beacon", "tower": "tower", "house": "house", "trees": "trees", "belfry": "belfry", "post": "post",
    "buoy": "buoy", "rock": "rock_mark",
}  # fmt: skip
SMALL = 14.0
ABOUT_PX = 12.0  # from a mark's middle to its name


def eased(line: FloatArray, rounds: int = 2) -> FloatArray:
    """Return an open line with its corners cut; its ends stay."""
    for _ in range(rounds):
        first, after = line[:-1], line[1:]
        cut = np.stack([0.75 * first + 0.25 * after, 0.25 * first + 0.75 * after], axis=1).reshape(-1, 2)
        line = np.vstack([line[:1], cut, line[-1:]])
    return line


def smoothed(ring: FloatArray, rounds: int = 2) -> FloatArray:
    """Return a closed line with its corners cut; it strays by a fraction of its shortest sides."""
    for _ in range(rounds):
        after = np.roll(ring, -1, axis=0)
        ring = np.stack([0.75 * ring + 0.25 * after, 0.25 * ring + 0.75 * after], axis=1).reshape(-1, 2)
    return ring


def _points(ring: FloatArray) -> tuple[Point, ...]:
    return tuple((float(n), float(e)) for n, e in ring)


def _rings(raster: FloatArray, values: FloatArray, level: float) -> list[FloatArray]:
    south, west, cell = (float(v) for v in raster)
    found = contour_rings(values, level)
    return [smoothed(np.array([south, west]) + cell * ring) for ring in found if len(ring) > 5]


def depths(raster: FloatArray, depth_m: FloatArray) -> Iterator[Item]:
    """Yield land, drying edge and depth bands, deeper upon shallower, and the lines carved into the land."""
    south, west, cell = (float(v) for v in raster)
    rows, columns = depth_m.shape
    north, east = south + cell * (rows - 1), west + cell * (columns - 1)
    far = 400.0
    low, high, left, right = south - far, north + far, west - far, east + far
    everywhere = ((low, left), (low, right), (high, right), (high, left))
    yield Fill("chart", everywhere, "land")
    # The bay goes on beyond the chart as it ends there; nobody sails so far.
    wide = np.pad(depth_m, 60, mode="edge")
    origin = np.array([south - 60 * cell, west - 60 * cell, cell])
    for ring in _rings(origin, wide, 0.0):
        yield Fill("chart", _points(ring), "drying")
    for ink, level in zip(BANDS, BAND_FROM_M, strict=True):
        for ring in _rings(origin, wide, level):
            yield Fill("chart", _points(ring), ink)
    inland = _inland_m(raster, depth_m)
    for k, far_m in enumerate(CARVED_M):
        for ring in _rings(raster, inland, far_m):
            yield from _carved(ring, k)


def _inland_m(raster: FloatArray, depth_m: FloatArray) -> FloatArray:
    """Return how far from the water each point of the raster lies [m], 0 on the water."""
    cell = float(raster[2])
    land = np.argwhere(depth_m <= 0.0)
    inland = np.zeros(depth_m.shape)
    coast = [ring[::3] for ring in contour_rings(depth_m, 0.0)]
    if not len(land) or not coast:
        return inland
    nearest = np.full(len(land), np.inf)
    for row, column in np.vstack(coast):
        nearest = np.minimum(nearest, np.hypot(land[:, 0] - row, land[:, 1] - column))
    inland[land[:, 0], land[:, 1]] = cell * nearest
    return inland


def _carved(ring: FloatArray, number: int) -> Iterator[Item]:
    """Yield a line round the land in strokes of a graver: unlike in length, left out where the sheet ends."""
    low, high = ring.min(axis=0) + 1.0, ring.max(axis=0) - 1.0
    draw = stream(number, "graver").random
    k = 0
    while k < len(ring) - 4:
        length = 8 + int(26 * draw())
        stroke = ring[k : k + length]
        edge = (stroke <= low).any(axis=1) | (stroke >= high).any(axis=1)
        if len(stroke) > 4 and not edge.any():
            yield Stroke("chart", _points(stroke), "carve", 1.5 - 0.1 * number)
        k += length + 2 + int(10 * draw())


def ground(chart: Chart, thin: float) -> Iterator[Item]:
    """Yield a scatter of signs over each charted patch of other bottom, ``thin`` times as far apart as usual."""
    for number, (letters, polygon) in enumerate(chart.patches):
        sign, apart_m, size = GROUND.get(letters, SAND)
        apart_m *= thin
        low, high = polygon.min(axis=0), polygon.max(axis=0)
        grid = np.meshgrid(np.arange(low[0], high[0], apart_m), np.arange(low[1], high[1], apart_m), indexing="ij")
        scatter = stream(number, "ground").random((2, *grid[0].shape)) - 0.5
        north, east = grid[0] + 0.8 * apart_m * scatter[0], grid[1] + 0.8 * apart_m * scatter[1]
        within = inside(north, east, polygon)
        for n, e in zip(north[within].tolist(), east[within].tolist(), strict=True):
            yield Mark("chart", (n, e), sign, "second", size)


def ground_names(chart: Chart, words: Catalogue) -> Iterator[Item]:
    """Yield the name of the ground in each charted patch."""
    for letters, polygon in chart.patches:
        middle = float(polygon[:, 0].mean()), float(polygon[:, 1].mean())
        yield Words("chart", middle, words.ground(letters).upper(), "label", SMALL, "second", "c", True)


def _charted(depth_m: float, words: Catalogue) -> str:
    """Return the figure of a contour: whole where it is whole."""
    return words.figure("depth", depth_m, 1)[0].removesuffix(".0")


def lines(chart: Chart, soundings: bool, words: Catalogue) -> Iterator[Item]:
    """Yield charted contours with their figures, zones, and soundings where asked for."""
    for depth, line in chart.contours:
        yield Stroke("chart", _points(eased(line)), "second", 1.0)
        for share in (0.28, 0.72):
            n, e = line[int(share * (len(line) - 1))]
            yield Words("chart", (float(n), float(e)), _charted(depth, words), "label", SMALL, "second", "c", True)
    for n, e, depth in chart.soundings.tolist() if soundings else ():
        yield Words("chart", (n, e), words.figure("depth", depth, 1)[0], "label", SMALL, "second", "c", True)
    for zone in chart.zones:
        outline = _points(zone.polygon_m)
        yield Stroke("chart", outline, "ink", 1.6, (10.0, 6.0), True, True)
        middle = float(zone.polygon_m[:, 0].mean()), float(zone.polygon_m[:, 1].mean())
        yield Words("chart", middle, zone.name.upper(), "label", SMALL, "ink", "c", True)


def landmarks(chart: Chart, depth_at: "DepthAt") -> Iterator[Item]:
    """Yield marks with their names: light on the land, dark on the water."""
    for mark in chart.marks:
        ashore = depth_at(mark.north_m, mark.east_m) <= 0.0
        ink: Ink = "inland" if ashore else "ink"
        at = (mark.north_m, mark.east_m)
        yield Mark("chart", at, KINDS.get(mark.kind, "beacon"), ink, 9.0)
        yield Words("chart", at, mark.name, "text", SMALL, ink, "w", True, about=ABOUT_PX)


def obstructions(chart: Chart, words: Catalogue) -> Iterator[Item]:
    """Yield each charted obstruction in its dotted circle, with what it is."""
    for o in chart.obstructions:
        at = (o.north_m, o.east_m)
        yield Mark("chart", at, "obstruction", "ink", 9.0)
        name = words("ui.chart.obstruction", name=o.name)
        yield Words("chart", at, name, "text", SMALL, "ink", "w", True, about=ABOUT_PX)


class DepthAt:
    """Depths of the chart's raster, below datum, by the nearest point."""

    def __init__(self, raster: FloatArray, depth_m: FloatArray) -> None:
        """Keep the raster."""
        self.raster, self.depth_m = raster, depth_m

    def __call__(self, north_m: float, east_m: float) -> float:
        """Return the depth at a place [m]."""
        rows, columns = self.depth_m.shape
        i = min(max(round((north_m - self.raster[0]) / self.raster[2]), 0), rows - 1)
        j = min(max(round((east_m - self.raster[1]) / self.raster[2]), 0), columns - 1)
        return float(self.depth_m[i, j])

    def many(self, places_m: FloatArray) -> FloatArray:
        """Return the depths at ``float64[k, 2]`` places [m]."""
        rows, columns = self.depth_m.shape
        index = np.rint((places_m - self.raster[:2]) / self.raster[2]).astype(int)
        found: FloatArray = self.depth_m[index[:, 0].clip(0, rows - 1), index[:, 1].clip(0, columns - 1)]
        return found


def chart(
    brief: Brief, raster: FloatArray, depth_m: FloatArray, words: Catalogue, soundings: bool = True
) -> tuple[Item, ...]:
    """Return the chart's display list, from the ground up; a small one goes without soundings."""
    paper = brief.chart
    a = brief.anchorage
    return (
        *depths(raster, depth_m),
        *ground(paper, 1.0 if soundings else 2.2),
        *lines(paper, soundings, words),
        *ground_names(paper, words),
        *landmarks(paper, DepthAt(raster, depth_m)),
        *obstructions(paper, words),
        Ring("brief", (a.north_m, a.east_m), a.radius_m, "second", "dots"),
        Words("brief", (a.north_m + a.radius_m, a.east_m), words("ui.plan.asked"), "text", SMALL, "second", "c", True),
        *_title(paper, DepthAt(raster, depth_m)),
    )


def _title(paper: Chart, depth_at: DepthAt) -> Iterator[Item]:
    """Yield the bay's name where there is most land behind the shore."""
    south, north, west, east = paper.extent_m
    spots = [(n, e) for n in np.linspace(south + 30, north - 30, 12) for e in np.linspace(west + 60, east - 60, 12)]
    busy = [(m.north_m, m.east_m) for m in paper.marks]

    def worth(spot: tuple[float, float]) -> float:
        height = min(-depth_at(spot[0] + dn, spot[1] + de) for dn, de in ((0, 0), (0, -30), (0, 30), (12, 0), (-12, 0)))
        crowd = min((max(5.0 * abs(spot[0] - n), abs(spot[1] - e)) for n, e in busy), default=99.0)
        return min(height, 4.0) + 0.04 * min(crowd, 110.0) - 0.004 * abs(spot[1])

    best = max(spots, key=worth)
    yield Words("chart", (float(best[0]), float(best[1])), paper.title.upper(), "figure", 22.0, "inland", "c", True)
