"""What a navigator reads off a chart: the depth anywhere, between the figures given, and what the ground is."""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.model.params import Mark
from sim.scenario.read.bay import along, cones, inside
from sim.scenario.read.brief import Chart

CELL_M = 8.0
STEP_M = 14.0  # between points taken along contours and shores
DRY_M = -1.0
BAD_GROUND = ("Wd", "R", "Co", "Sg", "Bo")
QUALITIES = "fmcbksovah"  # small letters before the nature of the ground
# How kinds of ground hold an anchor that buries, sand being 1: "sand, then clay, then mud; shell and stones on luck"
# (common practice, no source; the figures are judgement).
HOLDS = {"S": 1.0, "Cy": 0.9, "M": 0.5, "Si": 0.5, "Sh": 0.5, "G": 0.5, "P": 0.4, "St": 0.3}
AROUND_M = 12.0  # an anchor seldom lies just where one meant it to
DANGERS = ("rock", "post", "buoy")  # marks that stand in the water


class Chartwork:
    """Depths of one chart, worked out once from its soundings, contours and shores."""

    def __init__(self, chart: Chart) -> None:
        """Draw the depths."""
        self.chart = chart
        south, north, west, east = chart.extent_m
        rows = math.ceil((north - south) / CELL_M) + 1
        columns = math.ceil((east - west) / CELL_M) + 1
        self._corner = np.array([south, west])
        grid = np.meshgrid(
            south + CELL_M * np.arange(rows), west + CELL_M * np.arange(columns), indexing="ij"
        )  # north, east
        points = self._figures()
        depth = np.clip(cones(points, grid[0], grid[1]), min(0.0, points[:, 2].min()), points[:, 2].max())
        for shore in chart.shores:
            depth[inside(grid[0], grid[1], shore)] = DRY_M
        self._depth = depth

    def _figures(self) -> FloatArray:
        lines = [(line, depth) for depth, line in self.chart.contours]
        lines += [(np.vstack([shore, shore[:1]]), 0.0) for shore in self.chart.shores]
        rows = [self.chart.soundings]
        for line, depth in lines:
            path = along(line, STEP_M)
            rows.append(np.column_stack([path, np.full(len(path), depth)]))
        points = np.vstack(rows)
        south, north, west, east = self.chart.extent_m
        near = (points[:, 0] >= south - CELL_M) & (points[:, 0] <= north + CELL_M)
        near &= (points[:, 1] >= west - CELL_M) & (points[:, 1] <= east + CELL_M)
        points = points[near]
        _, first = np.unique(np.round(points[:, :2]), axis=0, return_index=True)
        out: FloatArray = points[np.sort(first)]
        return out

    def depth_m(self, north_m: FloatArray, east_m: FloatArray) -> FloatArray:
        """Return the charted depth at places [m below datum], read between the figures; the edge's beyond the chart."""
        rows, columns = self._depth.shape
        i = np.clip((north_m - self._corner[0]) / CELL_M, 0.0, rows - 1.001)
        j = np.clip((east_m - self._corner[1]) / CELL_M, 0.0, columns - 1.001)
        r, c = i.astype(int), j.astype(int)
        a, b = i - r, j - c
        d = self._depth
        out: FloatArray = (1 - a) * ((1 - b) * d[r, c] + b * d[r, c + 1]) + a * (
            (1 - b) * d[r + 1, c] + b * d[r + 1, c + 1]
        )
        return out

    def at(self, north_m: float, east_m: float) -> float:
        """Return the charted depth at one place."""
        return float(self.depth_m(np.array([north_m]), np.array([east_m]))[0])

    def letters(self, north_m: float, east_m: float) -> str:
        """Return the letters of the ground at a place."""
        found = [
            letters
            for letters, polygon in self.chart.patches
            if inside(np.array([north_m]), np.array([east_m]), polygon)[0]
        ]
        return found[-1] if found else self.chart.bottom

    def good_ground(self, north_m: float, east_m: float) -> bool:
        """Return whether one may and would anchor in a place: water, no rule against it, no weed, rock or coral."""
        place = np.array([north_m]), np.array([east_m])
        barred = (*self.chart.shores, *(zone.polygon_m for zone in self.chart.zones))
        if any(bool(inside(*place, polygon)[0]) for polygon in barred):
            return False
        letters = self.letters(north_m, east_m)
        return not any(bad in letters for bad in BAD_GROUND)

    def holds(self, north_m: float, east_m: float) -> float:
        """Return how well the ground in and about a place holds, 1 for sand, by the first of its letters."""
        angles = np.linspace(0.0, 2.0 * math.pi, 7)[:-1]
        around = zip(north_m + AROUND_M * np.cos(angles), east_m + AROUND_M * np.sin(angles), strict=True)
        places = [(north_m, east_m), *around]
        first = [self.letters(n, e).replace("/", ".").split(".")[0].strip(QUALITIES) for n, e in places]
        return sum(HOLDS.get(letters, 0.0) for letters in first) / len(first)

    def dangers(self) -> tuple[Mark, ...]:
        """Return the charted marks that stand in the water."""
        return tuple(m for m in self.chart.marks if m.kind in DANGERS and self.at(m.north_m, m.east_m) > 0.0)

    def least_m(self, north_m: float, east_m: float, radius_m: float) -> float:
        """Return the least charted depth in a circle."""
        rings = np.linspace(0.0, radius_m, max(int(radius_m / CELL_M), 2))[:, None]
        angles = np.linspace(0.0, 2.0 * math.pi, 37)[:-1]
        return float(self.depth_m(north_m + rings * np.cos(angles), east_m + rings * np.sin(angles)).min())

    def shore_m(self, north_m: float, east_m: float, bearing_rad: float, most_m: float) -> float:
        """Return how far it is to the shore along a bearing [m], ``most_m`` where there is none so near."""
        along_m = np.arange(0.0, most_m, CELL_M)
        depths = self.depth_m(north_m + along_m * math.cos(bearing_rad), east_m + along_m * math.sin(bearing_rad))
        dry = np.flatnonzero(depths <= 0.0)
        return float(along_m[dry[0]]) if len(dry) else most_m
