"""The bay from above: depths, the others, her track, her chain on the ground and her anchor's path."""

import math
from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.demonstrator.choosing import STAND_STILL
from sim.marking.phases import circles
from sim.marking.phases.approach import here
from sim.marking.run import Run
from sim.model import layout as lay
from sim.pages import bay_picture, svg
from sim.pages.bay_picture import WIDTH, View

_LEAST_M = 90.0  # the picture shows at least so much of the bay
_MARGIN_M = 18.0
_MOST_TALL = 0.72  # of the width
MOST_POINTS = 1200  # of a track drawn


@dataclass(frozen=True)
class Moment:
    """A numbered moment of the run, the same number in every picture."""

    number: str
    t_s: float
    words: str


def _step(span: slice) -> int:
    """Return of how many samples one is drawn, so that a long attempt makes no large page."""
    return max(3, math.ceil(int(span.stop - span.start) / MOST_POINTS))


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
    """Return (north, east, radius) of her swing at the lowest water, None where nothing is down or a line holds her."""
    m = run.moments
    if m.touch is None or run.stay.berth_rad is not None:
        return None
    k = run.track.index(m.stop_s)
    north, east = float(run.track["anchor_n_m"][k]), float(run.track["anchor_e_m"][k])
    if math.isnan(north):
        return None
    return north, east, circles.own_reach_m(run, north, east, float(run.track["out_m"][k])) + run.loa_m


def outline(hull_m: FloatArray, north: float, east: float, heading: float, view: View) -> FloatArray:
    """Return a hull's outline in the picture."""
    c, s = math.cos(heading), math.sin(heading)
    f, y = hull_m[:, 0], hull_m[:, 1]
    return view.xy(north + f * c - y * s, east + f * s + y * c)


def _others(run: Run, view: View) -> list[str]:
    """Return the other boats as they lay at the end of the attempt, with rode, anchor and swing."""
    parts = []
    stop_s = run.moments.stop_s
    poses = run.track.others[run.track.slow_index(stop_s)] if run.params.neighbours else []
    there = here(run, np.array([stop_s]))[0]
    for other, (north, east, heading), is_here in zip(run.params.neighbours, poses, there, strict=True):
        if not is_here:
            continue
        ax, ay = view.at(other.anchor_north_m, other.anchor_east_m)
        height = max(run.charted_m(other.anchor_north_m, other.anchor_east_m) + other.roller_height_m, 1.0)
        radius = math.sqrt(max(other.rode_m**2 - height**2, 0.0)) + float(other.boat.hull[lay.H_LOA])
        if other.rode_kind not in STAND_STILL:
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
    path = view.xy(track["north_m"][span][:: _step(span)], track["east_m"][span][:: _step(span)])
    parts = [svg.cased(path, svg.HOT, 1.3, "7 3")]
    swing = _swing(run)
    if swing is not None:
        x, y = view.at(swing[0], swing[1])
        parts.append(svg.circle(x, y, swing[2] * view.scale, stroke=svg.HOT, stroke_width=1.4, stroke_dasharray="9 6"))
    parts += hulls(run, view, moments)
    if swing is not None:
        parts += _tackle(run, view)
    return parts + numbers(run, view, moments)


def hulls(run: Run, view: View, moments: list[Moment]) -> list[str]:
    """Return her outline at each of the moments, the last one filled."""
    track, parts = run.track, []
    for k, moment in enumerate(moments):
        i = track.index(moment.t_s)
        last = k == len(moments) - 1
        north, east, heading = (float(track[name][i]) for name in ("north_m", "east_m", "heading_rad"))
        shape = outline(run.params.boat.outline_m, north, east, heading, view)
        parts.append(svg.area([shape], svg.HOT if last else svg.PANEL, svg.PANEL if last else svg.HOT, 1.5))
    return parts


def numbers(run: Run, view: View, moments: list[Moment]) -> list[str]:
    """Return the numbers of the moments beside her track, each with a line to where she was."""
    track = run.track
    taken = [track.index(q.t_s) for q in moments]
    places = [view.at(float(track["north_m"][i]), float(track["east_m"][i])) for i in taken]
    spots = _apart(places)
    parts = [svg.line([place, spot], svg.INK, 0.8) for place, spot in zip(places, spots, strict=True)]
    return parts + [svg.numbered(x, y, q.number) for (x, y), q in zip(spots, moments, strict=True)]


def _tackle(run: Run, view: View) -> list[str]:
    track, m = run.track, run.moments
    shape = track.chain[track.slow_index(m.stop_s)]
    shape = shape[~np.isnan(shape[:, 0])]
    down = run.span(m.touch_s, m.stop_s)
    walked = view.xy(track["anchor_n_m"][down][:: _step(down)], track["anchor_e_m"][down][:: _step(down)])
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


def _wind(run: Run) -> tuple[float, float]:
    """Return the mean wind around the drop [m/s], north and east."""
    span = run.span(run.moments.let_go_s - 60.0, run.moments.let_go_s + 60.0)
    return float(run.track["wind_n_mps"][span].mean()), float(run.track["wind_e_mps"][span].mean())


def _against(ghost: Run, view: View) -> list[str]:
    """Return another attempt at the same lesson, in the second ink: its track, its anchor, where she lay at the end."""
    track, m = ghost.track, ghost.moments
    span = ghost.span(m.begin_s, m.stop_s)
    path = view.xy(track["north_m"][span][:: _step(span)], track["east_m"][span][:: _step(span)])
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


def _snags(run: Run) -> list[tuple[str, float, float]]:
    """Return all the bay's snags, charted or not: the page shows what lay there."""
    bay = run.params.bay
    places = bay.snags[:, [lay.SG_NORTH, lay.SG_EAST]].tolist()
    return [(name, north, east) for name, (north, east) in zip(bay.snag_names, places, strict=True)]


def draw(run: Run, moments: list[Moment], title: str, wind: str, ghost: Run | None = None) -> str:
    """Return the picture of the bay as SVG.

    Args:
        run: the run.
        moments: numbered on her track.
        title: said to those who cannot see it.
        wind: the word for it.
        ghost: another attempt to lay under hers.
    """
    view = make_view(run)
    layers = (
        bay_picture.depths(run.params.bay, view),
        bay_picture.charted(run.params.bay, view),
        bay_picture.obstructions(_snags(run), view),
        _others(run, view),
        _against(ghost, view) if ghost is not None else [],
        _own(run, view, moments),
        [_moving(run, view)],
        bay_picture.rose(view, *_wind(run), wind),
        bay_picture.inset(run.params.bay, view),
    )
    parts = [part for layer in layers for part in layer]
    return svg.picture(WIDTH, view.height, parts, title, "plan")
