"""The bay from above: depths, the others, her track, her chain on the ground and her anchor's path."""

import math
from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.marking import circles, svg
from sim.marking.contours import contour_rings
from sim.marking.run import Run
from sim.model import layout as lay
from sim.record.ground import charted_depths_m

WIDTH = 960.0
_LEAST_M = 90.0  # the picture shows at least so much of the bay
_MARGIN_M = 18.0
_MOST_TALL = 0.72  # of the width


@dataclass(frozen=True)
class Moment:
    """A numbered moment of the run, the same number in every picture."""

    number: str
    t_s: float
    words: str


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


def make_view(run: Run) -> View:
    """Return a view of the track, the swing and the boats near it."""
    track = run.track
    span = run.span(run.moments.begin_s, run.moments.stop_s)
    north, east = [track["north_m"][span]], [track["east_m"][span]]
    swing = _swing(run)
    if swing is not None:
        n, e, radius = swing
        north.append(np.array([n - radius, n + radius]))
        east.append(np.array([e - radius, e + radius]))
    top, bottom = float(np.max(np.concatenate(north))), float(np.min(np.concatenate(north)))
    right, left = float(np.max(np.concatenate(east))), float(np.min(np.concatenate(east)))
    wide = max(right - left + 2.0 * _MARGIN_M, _LEAST_M)
    tall = max(top - bottom + 2.0 * _MARGIN_M, 0.45 * wide)
    wide = max(wide, tall / _MOST_TALL)
    scale = WIDTH / wide
    return View(0.5 * (left + right - wide), 0.5 * (top + bottom + tall), scale, tall * scale)


def _swing(run: Run) -> tuple[float, float, float] | None:
    """Return (north, east, radius) of her swing at the lowest water, or None where nothing is down."""
    m = run.moments
    if m.touch is None:
        return None
    k = run.track.index(m.stop_s)
    north, east = float(run.track["anchor_n_m"][k]), float(run.track["anchor_e_m"][k])
    if math.isnan(north):
        return None
    return north, east, circles.own_reach_m(run, north, east, float(run.track["out_m"][k])) + run.loa_m


def _depths(run: Run, view: View) -> list[str]:
    """Return the depth bands with their contour lines and figures."""
    bay = run.params.bay
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


def outline(hull_m: FloatArray, north: float, east: float, heading: float, view: View) -> FloatArray:
    """Return a hull's outline in the picture."""
    c, s = math.cos(heading), math.sin(heading)
    f, y = hull_m[:, 0], hull_m[:, 1]
    return view.xy(north + f * c - y * s, east + f * s + y * c)


def _charted(run: Run, view: View) -> list[str]:
    """Return soundings, marks, zones and patches of other bottom."""
    parts = []
    for letters, polygon in run.params.bay.patches:
        parts.append(svg.area([view.xy(polygon[:, 0], polygon[:, 1])], "none", svg.SECOND, 0.9, stroke_dasharray="1 3"))
        x, y = view.at(float(polygon[:, 0].mean()), float(polygon[:, 1].mean()))
        parts.append(svg.text(x, y, letters, 12.0, svg.SECOND, "middle", font_style="italic", halo=True))
    for north, east, depth in run.params.bay.soundings.tolist():
        if depth > 0.0:
            x, y = view.at(north, east)
            parts.append(svg.text(x, y + 4.0, f"{depth:g}", 11.0, svg.SECOND, "middle"))
    for zone in run.params.bay.zones:
        shape = view.xy(zone.polygon_m[:, 0], zone.polygon_m[:, 1])
        parts.append(svg.area([shape], "none", svg.INK, 1.2, stroke_dasharray="9 4 2 4"))
        x, y = view.at(float(zone.polygon_m[:, 0].mean()), float(zone.polygon_m[:, 1].mean()))
        parts.append(_label(x, y, zone.name, view))
    for mark in run.params.bay.marks:
        x, y = view.at(mark.north_m, mark.east_m)
        parts.append(svg.area([[(x - 5.0, y + 4.0), (x + 5.0, y + 4.0), (x, y - 7.0)]], svg.INK, svg.PANEL, 1.2))
        parts.append(_label(x, y + 20.0, mark.name, view))
    return parts


def _label(x: float, y: float, words: str, view: View) -> str:
    """Return words at a place, kept whole inside the picture; nothing where the place lies outside it."""
    if not (0.0 <= x <= WIDTH and 0.0 <= y <= view.height + 20.0):
        return ""
    half = 3.6 * len(words)
    return svg.text(
        min(max(x, half), WIDTH - half), min(y, view.height - 6.0), words, 12.0, svg.INK, "middle", halo=True
    )


def _others(run: Run, view: View) -> list[str]:
    """Return the other boats as they lay at the end of the attempt, with rode, anchor and swing."""
    parts = []
    poses = run.track.others[run.track.slow_index(run.moments.stop_s)] if run.params.neighbours else []
    for other, (north, east, heading) in zip(run.params.neighbours, poses, strict=True):
        ax, ay = view.at(other.anchor_north_m, other.anchor_east_m)
        height = max(run.charted_m(other.anchor_north_m, other.anchor_east_m) + other.roller_height_m, 1.0)
        radius = math.sqrt(max(other.rode_m**2 - height**2, 0.0)) + float(other.boat.hull[lay.H_LOA])
        parts.append(svg.circle(ax, ay, radius * view.scale, stroke=svg.SECOND, stroke_dasharray="1.5 4"))
        bow = other.boat.particulars.roller_x_m
        bx, by = view.at(north + bow * math.cos(heading), east + bow * math.sin(heading))
        parts.append(svg.line([(ax, ay), (bx, by)], svg.SECOND, 1.2))
        parts.append(svg.circle(ax, ay, 3.0, fill=svg.SECOND, stroke=svg.PANEL))
        shape = outline(other.boat.outline_m, float(north), float(east), float(heading), view)
        parts.append(svg.area([shape], svg.PANEL, svg.INK, 1.4))
        x, y = view.at(float(north), float(east))
        parts.append(svg.text(x, y + 22.0, other.name, 12.0, svg.INK, "middle", halo=True))
    return parts


def _own(run: Run, view: View, moments: list[Moment]) -> list[str]:
    """Return her track, her outline at the moments, chain, anchor and its path, and her swing."""
    track, m = run.track, run.moments
    span = run.span(m.begin_s, m.stop_s)
    path = view.xy(track["north_m"][span][::3], track["east_m"][span][::3])
    parts = [svg.cased(path, svg.HOT, 1.3, "7 3")]
    swing = _swing(run)
    if swing is not None:
        x, y = view.at(swing[0], swing[1])
        parts.append(svg.circle(x, y, swing[2] * view.scale, stroke=svg.HOT, stroke_width=1.4, stroke_dasharray="9 6"))
    for k, moment in enumerate(moments):
        i = track.index(moment.t_s)
        last = k == len(moments) - 1
        north, east, heading = (float(track[name][i]) for name in ("north_m", "east_m", "heading_rad"))
        shape = outline(run.params.boat.outline_m, north, east, heading, view)
        parts.append(svg.area([shape], svg.HOT if last else svg.PANEL, svg.PANEL if last else svg.HOT, 1.5))
    if swing is not None:
        parts += _tackle(run, view)
    taken = [track.index(q.t_s) for q in moments]
    places = [view.at(float(track["north_m"][i]), float(track["east_m"][i])) for i in taken]
    spots = _apart(places)
    parts += [svg.line([place, spot], svg.INK, 0.8) for place, spot in zip(places, spots, strict=True)]
    parts += [svg.numbered(x, y, q.number) for (x, y), q in zip(spots, moments, strict=True)]
    return parts


def _tackle(run: Run, view: View) -> list[str]:
    track, m = run.track, run.moments
    shape = track.chain[track.slow_index(m.stop_s)]
    shape = shape[~np.isnan(shape[:, 0])]
    down = run.span(m.touch_s, m.stop_s)
    walked = view.xy(track["anchor_n_m"][down][::3], track["anchor_e_m"][down][::3])
    walked = walked[~np.isnan(walked[:, 0])]
    parts = [svg.cased(view.xy(shape[:, 0], shape[:, 1]), svg.HOT, 2.6, "3.5 1.5"), svg.cased(walked, svg.INK, 1.8)]
    k = track.index(m.stop_s)
    x, y = view.at(float(track["anchor_n_m"][k]), float(track["anchor_e_m"][k]))
    return [*parts, svg.circle(x, y, 4.5, fill=svg.HOT, stroke=svg.PANEL, stroke_width=1.6)]


def _apart(places: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return places for the numbers: above the hull, and clear of each other."""
    out: list[tuple[float, float]] = []
    for x, y in places:
        spot = (x, y - 24.0)
        while any(math.hypot(spot[0] - a, spot[1] - b) < 19.0 for a, b in out):
            spot = (spot[0] + 19.0, spot[1])
        out.append(spot)
    return out


def _rose(run: Run, view: View) -> list[str]:
    """Return north, the wind and a scale."""
    span = run.span(run.moments.let_go_s - 60.0, run.moments.let_go_s + 60.0)
    wind_n, wind_e = (float(run.track[name][span].mean()) for name in ("wind_n_mps", "wind_e_mps"))
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
    parts.append(svg.text(98.0, 67.0, "wind", 11.5, svg.SECOND, "middle"))
    length = next(n for n in (10, 20, 50, 100, 200, 500) if n * view.scale > 90.0)
    x1, y1 = WIDTH - 20.0, view.height - 20.0
    x0 = x1 - length * view.scale
    parts.append(
        svg.tag("rect", x=x0 - 10.0, y=y1 - 26.0, width=x1 - x0 + 20.0, height=36, fill=svg.PANEL, stroke=svg.INK)
    )
    parts.append(svg.line([(x0, y1), (x1, y1)], svg.INK, 3.0))
    parts.append(svg.text(0.5 * (x0 + x1), y1 - 8.0, f"{length} m", 12.0, svg.INK, "middle"))
    return parts


def _inset(run: Run, view: View) -> list[str]:
    """Return the whole bay small, with the picture's frame in it."""
    bay = run.params.bay
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


def _against(ghost: Run, view: View) -> list[str]:
    """Return another attempt at the same lesson, in the second ink: its track, its anchor, where she lay at the end."""
    track, m = ghost.track, ghost.moments
    span = ghost.span(m.begin_s, m.stop_s)
    path = view.xy(track["north_m"][span][::3], track["east_m"][span][::3])
    parts = [svg.cased(path, svg.SECOND, 1.3, "2 3")]
    k = track.index(m.stop_s)
    north, east, heading = (float(track[name][k]) for name in ("north_m", "east_m", "heading_rad"))
    hull = outline(ghost.params.boat.outline_m, north, east, heading, view)
    parts.append(svg.area([hull], "none", svg.SECOND, 1.5))
    north, east = float(track["anchor_n_m"][k]), float(track["anchor_e_m"][k])
    if not math.isnan(north):
        parts.append(svg.circle(*view.at(north, east), 4.5, fill=svg.PANEL, stroke=svg.SECOND, stroke_width=2.0))
    return parts


def _moving(run: Run, view: View) -> str:
    """Return what the page's scrubber moves: her hull, her chain, the others; unseen until it does."""
    k = view.scale
    hulls = [(run.params.boat, svg.HOT, "live-hull"), *((n.boat, svg.INK, "live-other") for n in run.params.neighbours)]
    shapes = []
    for boat, colour, key in hulls:
        shape = np.stack([boat.outline_m[:, 1] * k, -boat.outline_m[:, 0] * k], axis=-1)
        shapes.append(svg.area([shape], svg.PANEL, colour, 2.0, class_=key))
    chain = [
        svg.tag("polyline", class_="live-chain", points="", fill="none", stroke=colour, stroke_width=width)
        for colour, width in ((svg.PANEL, 4.5), (svg.HOT, 2.2))
    ]
    return svg.tag("g", "".join([*shapes[1:], *chain, shapes[0]]), id="live", visibility="hidden")


def draw(run: Run, moments: list[Moment], title: str, ghost: Run | None = None) -> str:
    """Return the picture of the bay as SVG.

    Args:
        run: the run.
        moments: numbered on her track.
        title: said to those who cannot see it.
        ghost: another attempt to lay under hers.
    """
    view = make_view(run)
    layers = (
        _depths(run, view),
        _charted(run, view),
        _others(run, view),
        _against(ghost, view) if ghost is not None else [],
        _own(run, view, moments),
        [_moving(run, view)],
        _rose(run, view),
        _inset(run, view),
    )
    parts = [part for layer in layers for part in layer]
    return svg.picture(WIDTH, view.height, parts, title, "plan")
