"""The bay itself as a picture: depths, soundings, ground, marks and zones, in a view of any part of it."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from sim.base.arrays import FloatArray
from sim.model import layout as lay
from sim.model.params import Bay, Mark, Zone
from sim.pages import svg
from sim.pages.contours import contour_rings
from sim.pages.label_places import Labels
from sim.record.ground import charted_depths_m

WIDTH = 960.0


class Sheet(Protocol):
    """What is printed on a chart: of the truth, or of what the trainee is given."""

    @property
    def patches(self) -> tuple[tuple[str, FloatArray], ...]:
        """Letters and outline of ground unlike the rest."""

    @property
    def soundings(self) -> FloatArray:
        """Places and depths, ``float64[k, 3]``."""

    @property
    def zones(self) -> tuple[Zone, ...]:
        """Areas with a rule."""

    @property
    def marks(self) -> tuple[Mark, ...]:
        """Things to take a bearing of."""


@dataclass(frozen=True)
class View:
    """Which part of the bay the picture shows, and how large."""

    west_m: float
    north_m: float
    scale: float  # px per metre
    height: float

    def xy(self, north: FloatArray, east: FloatArray) -> FloatArray:
        """Return ``float64[k, 2]`` picture coordinates."""
        return np.stack([(east - self.west_m) * self.scale, (self.north_m - north) * self.scale], axis=-1)

    def at(self, north: float, east: float) -> tuple[float, float]:
        """Return the picture coordinates of one place."""
        return (east - self.west_m) * self.scale, (self.north_m - north) * self.scale


def depths(bay: Bay, view: View) -> list[str]:
    """Return the depth bands with their contour lines and figures."""
    cell = max(float(bay.raster[lay.Y_CELL]) / 2.0, WIDTH / view.scale / 160.0)
    north = np.arange(view.north_m - view.height / view.scale - cell, view.north_m + 2.0 * cell, cell)
    east = np.arange(view.west_m - cell, view.west_m + WIDTH / view.scale + 2.0 * cell, cell)
    depth = charted_depths_m(bay, *np.broadcast_arrays(north[:, None], east[None, :]))
    parts = [svg.tag("rect", width=WIDTH, height=view.height, fill=svg.DRYING)]
    for fill, level in zip(svg.BANDS, svg.BAND_FROM_M, strict=True):
        rings = contour_rings(depth, level)
        shapes = [view.xy(north[0] + cell * r[:, 0], east[0] + cell * r[:, 1]) for r in rings]
        parts.append(svg.area(shapes, fill, svg.SECOND if level > 0.0 else svg.INK, 0.7))
        parts += _figures(shapes, f"{level:g}", view) if level > 0.0 else []
    for shore in bay.shores:
        parts.append(svg.area([view.xy(shore[:, 0], shore[:, 1])], svg.INK))
    return parts


def _figures(shapes: list[FloatArray], words: str, view: View) -> list[str]:
    """Return a contour's figure once on each line that is long enough, where it is well inside the picture."""
    out = []
    for shape in shapes:
        x, y = shape[:, 0], shape[:, 1]
        seen = (x > 40.0) & (x < WIDTH - 40.0) & (y > 30.0) & (y < view.height - 40.0)
        if np.count_nonzero(seen) > 12:
            k = int(np.flatnonzero(seen)[np.count_nonzero(seen) // 3])
            out.append(svg.text(float(x[k]), float(y[k]) + 4.0, words, 11.5, svg.SECOND, "middle", halo=True))
    return out


def charted(sheet: Sheet, view: View, labels: Labels | None = None) -> list[str]:
    """Return soundings, marks, zones and patches of other bottom; names go where ``labels`` has room for them."""
    parts = []
    labels = labels or Labels(WIDTH, view.height)
    for letters, polygon in sheet.patches:
        parts.append(svg.area([view.xy(polygon[:, 0], polygon[:, 1])], "none", svg.SECOND, 0.9, stroke_dasharray="1 3"))
        x, y = view.at(float(polygon[:, 0].mean()), float(polygon[:, 1].mean()))
        parts.append(svg.text(x, y, letters, 12.0, svg.SECOND, "middle", font_style="italic", halo=True))
    for north, east, depth in sheet.soundings.tolist():
        if depth > 0.0:
            x, y = view.at(north, east)
            parts.append(svg.text(x, y + 4.0, f"{depth:g}", 11.0, svg.SECOND, "middle"))
    for zone in sheet.zones:
        shape = view.xy(zone.polygon_m[:, 0], zone.polygon_m[:, 1])
        parts.append(svg.area([shape], "none", svg.INK, 1.2, stroke_dasharray="9 4 2 4"))
        x, y = view.at(float(zone.polygon_m[:, 0].mean()), float(zone.polygon_m[:, 1].mean()))
        parts.append(label(x, y, zone.name, view))
    for mark in sheet.marks:
        x, y = view.at(mark.north_m, mark.east_m)
        parts.append(svg.area([[(x - 5.0, y + 4.0), (x + 5.0, y + 4.0), (x, y - 7.0)]], svg.INK, svg.PANEL, 1.2))
        parts.append(labels.put(x, y, mark.name))
    return parts


def obstructions(found: Iterable[tuple[str, float, float]], view: View, labels: Labels | None = None) -> list[str]:
    """Return what a rode can catch on, by name, north and east [m]: dotted circles, as charts commonly have them."""
    labels = labels or Labels(WIDTH, view.height)
    parts = []
    for name, north, east in found:
        x, y = view.at(north, east)
        parts.append(
            svg.circle(x, y, 7.0, fill=svg.PANEL, stroke=svg.INK, stroke_width=1.6, stroke_dasharray="1.5 2.5")
        )
        parts.append(labels.put(x, y, name))
    return parts


def label(x: float, y: float, words: str, view: View) -> str:
    """Return words at a place, kept whole inside the picture; nothing where the place lies outside it."""
    if not (0.0 <= x <= WIDTH and 0.0 <= y <= view.height + 20.0):
        return ""
    half = 3.6 * len(words)
    return svg.text(
        min(max(x, half), WIDTH - half), min(y, view.height - 6.0), words, 12.0, svg.INK, "middle", halo=True
    )


def rose(view: View, wind_n: float, wind_e: float, wind: str) -> list[str]:
    """Return north, the wind with its word, and a scale."""
    parts = [svg.tag("rect", x=10, y=10, width=124, height=64, fill=svg.PANEL, stroke=svg.INK)]
    parts += [
        svg.line([(34.0, 62.0), (34.0, 24.0)], svg.INK, 1.6),
        svg.area([[(29.0, 34.0), (39.0, 34.0), (34.0, 20.0)]], svg.INK),
    ]
    parts.append(svg.text(44.0, 36.0, "N", 13.0, font_weight="700"))
    speed = math.hypot(wind_n, wind_e)
    if speed > 0.1:
        dx, dy = wind_e / speed, -wind_n / speed
        x, y = 98.0, 34.0
        tip = (x + 17.0 * dx, y + 17.0 * dy)
        parts.append(svg.line([(x - 17.0 * dx, y - 17.0 * dy), tip], svg.INK, 2.0))
        wing = [(tip[0] - 9.0 * dx + s * 5.0 * dy, tip[1] - 9.0 * dy - s * 5.0 * dx) for s in (-1.0, 1.0)]
        parts.append(svg.area([[tip, *wing]], svg.INK))
    parts.append(svg.text(98.0, 67.0, wind, 11.5, svg.SECOND, "middle"))
    length = next(n for n in (10, 20, 50, 100, 200, 500) if n * view.scale > 90.0)
    x1, y1 = WIDTH - 20.0, view.height - 20.0
    x0 = x1 - length * view.scale
    parts.append(
        svg.tag("rect", x=x0 - 10.0, y=y1 - 26.0, width=x1 - x0 + 20.0, height=36, fill=svg.PANEL, stroke=svg.INK)
    )
    parts.append(svg.line([(x0, y1), (x1, y1)], svg.INK, 3.0))
    parts.append(svg.text(0.5 * (x0 + x1), y1 - 8.0, f"{length} m", 12.0, svg.INK, "middle"))
    return parts


def inset(bay: Bay, view: View) -> list[str]:
    """Return the whole bay small, with the picture's frame in it."""
    cell = float(bay.raster[lay.Y_CELL])
    rows, columns = bay.depth_m.shape
    scale = 150.0 / (cell * max(rows, columns))
    wide, tall = columns * cell * scale, rows * cell * scale
    x0, y0 = WIDTH - wide - 10.0, 10.0

    def place(north: FloatArray, east: FloatArray) -> FloatArray:
        up = (north - bay.raster[lay.Y_NORTH]) * scale
        return np.stack([x0 + (east - bay.raster[lay.Y_EAST]) * scale, y0 + tall - up], axis=-1)

    rings = contour_rings(bay.depth_m, 0.0)
    water = [place(bay.raster[lay.Y_NORTH] + cell * r[:, 0], bay.raster[lay.Y_EAST] + cell * r[:, 1]) for r in rings]
    south, east_m = view.north_m - view.height / view.scale, view.west_m + WIDTH / view.scale
    corners = np.array([[view.north_m, view.west_m], [view.north_m, east_m], [south, east_m], [south, view.west_m]])
    return [
        svg.tag("rect", x=x0, y=y0, width=wide, height=tall, fill=svg.INK, stroke=svg.PANEL, stroke_width=3.0),
        svg.area(water, svg.BANDS[2]),
        svg.area([place(corners[:, 0], corners[:, 1])], "none", svg.HOT, 1.8),
        svg.tag("rect", x=x0, y=y0, width=wide, height=tall, fill="none", stroke=svg.INK),
    ]
