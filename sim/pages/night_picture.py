"""The night in pictures: the stay from above, and its hours in strips."""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import MPS_PER_KN
from sim.marking.run import Run
from sim.pages import bay_picture, plan_picture, side_picture, svg
from sim.pages.bay_picture import View
from sim.pages.strip_picture import Axis, Line, Say, draw_strip, foot, height_of, strip_top, ticks
from sim.record.night import Night

WIDTH = 960.0
_LEAST_M, _MARGIN_M = 90.0, 25.0
_FOOT = 46.0
_NAME = 50.0
_LEAST = {"page.night.strip.uplift": 10.0, "page.night.strip.moved": 1.0}  # range shown at least
_NONE: Line = (np.zeros(0), np.zeros(0))


def columns(night: Night) -> tuple[FloatArray, list[tuple[str, str, FloatArray]]]:
    """Return the hours of the stay and its strips: key, unit, values; gaps where there is nothing to tell."""
    hours = (night.t_s - night.began_s) / 3600.0
    moved = np.hypot(*(night.rodes[:, 0, k] - night.rodes[0, 0, k] for k in (0, 1)))
    gap = np.where(np.isfinite(night.gap_m), night.gap_m, np.nan)
    rows = [
        ("page.night.strip.wind", "kn", np.hypot(night.wind[:, 0], night.wind[:, 1]) / MPS_PER_KN),
        ("page.night.strip.pull", "kN", night.pull_n / 1000.0),
        ("page.night.strip.uplift", "°", np.degrees(night.uplift_rad)),
        ("page.night.strip.moved", "m", moved),
    ]
    if not np.isnan(gap).all():
        rows.append(("page.night.strip.gap", "m", gap))
    if float(np.ptp(night.tide_m)) > 0.05:
        rows.append(("page.night.strip.tide", "m", night.tide_m))
    return hours, rows


def draw_strips(night: Night, say: Say) -> str:
    """Return the hours of the stay as SVG."""
    hours, rows = columns(night)
    to_x = Axis(0.0, float(hours[-1]))
    height = height_of(len(rows))
    parts = [svg.tag("rect", width=WIDTH, height=height, fill=svg.PAPER)]
    for k, (key, unit, values) in enumerate(rows):
        parts += draw_strip(
            f"{say(key, {})}, {unit}", [(hours, values), _NONE], strip_top(k), to_x, _LEAST.get(key, 0.0)
        )
    marks = ticks(0.0, float(hours[-1]), 12)
    parts += foot(marks, [f"{h:g} h" for h in marks], height - _FOOT, to_x)
    return svg.picture(WIDTH, height, parts, say("page.night.strips", {}), "night-strips")


def table(night: Night, say: Say, most: int = 20) -> tuple[list[str], list[list[str]]]:
    """Return the strips as a table: heads, and at most so many rows of figures."""
    hours, rows = columns(night)
    heads = [say("page.night.hour", {}), *(f"{say(key, {})}, {unit}" for key, unit, _ in rows)]
    picked = np.unique(np.linspace(0, hours.size - 1, most).astype(int))
    body = []
    for k in picked:
        cells = ["" if np.isnan(values[k]) else f"{values[k]:.1f}".replace("-", "−") for _, _, values in rows]
        body.append([f"{hours[k]:.1f}", *cells])
    return heads, body


def _view(night: Night) -> View:
    """Return a view of where she lay, of her anchor, and of the boats when the gap was least."""
    north = np.concatenate([night.own[:, 0], night.rodes[:, 0, 0]])
    east = np.concatenate([night.own[:, 1], night.rodes[:, 0, 1]])
    k = worst(night)
    if night.others.shape[1]:
        away = np.hypot(night.others[k, :, 0] - night.own[k, 0], night.others[k, :, 1] - night.own[k, 1])
        near = night.others[k, int(np.argmin(away))]
        north, east = np.append(north, near[0]), np.append(east, near[1])
    top, bottom = float(np.nanmax(north)), float(np.nanmin(north))
    right, left = float(np.nanmax(east)), float(np.nanmin(east))
    wide = max(right - left + 2.0 * _MARGIN_M, _LEAST_M, (top - bottom + 2.0 * _MARGIN_M) / 0.7)
    tall = max(top - bottom + 2.0 * _MARGIN_M, 0.42 * wide)
    scale = WIDTH / wide
    return View(0.5 * (left + right - wide), 0.5 * (top + bottom + tall), scale, tall * scale)


def worst(night: Night) -> int:
    """Return the sample of the night's worst moment: the least gap, else the greatest pull."""
    when_s = night.least_gap_s if night.least_gap_s is not None else night.peak_s
    return int(np.argmin(np.abs(night.t_s - when_s)))


def draw_plan(run: Run, night: Night, say: Say) -> str:
    """Return the stay from above as SVG: where she lay, her anchor's path, and all boats at the worst moment."""
    view = _view(night)
    bay = run.params.bay
    parts = [*bay_picture.depths(bay, view), *bay_picture.charted(bay, view)]
    parts.append(svg.line(view.xy(night.own[::3, 0], night.own[::3, 1]), svg.HOT, 0.7, stroke_opacity=0.6))
    for rode in range(night.rodes.shape[1]):
        path = night.rodes[:, rode, :2]
        path = path[~np.isnan(path[:, 0])]
        if len(path) and float(np.ptp(path[:, 0]) + np.ptp(path[:, 1])) < 1e6:
            parts.append(svg.cased(view.xy(path[:, 0], path[:, 1]), svg.INK, 2.0))
            parts.append(svg.circle(*view.at(*path[-1]), 4.5, fill=svg.HOT, stroke=svg.PANEL, stroke_width=1.6))
    k = worst(night)
    for pose, other in zip(night.others[k], run.params.neighbours, strict=True):
        north, east, heading = (float(v) for v in pose)
        parts.append(
            svg.area([plan_picture.outline(other.boat.outline_m, north, east, heading, view)], svg.PANEL, svg.INK, 1.4)
        )
        x, y = view.at(north, east)
        if 0.0 < x < WIDTH:
            x = min(max(x, _NAME), WIDTH - _NAME)  # a name at the edge stays whole
        parts.append(svg.text(x, y + 22.0, other.name, 12.0, svg.INK, "middle", halo=True))
    north, east, heading = (float(v) for v in night.own[k])
    anchor = night.rodes[k, 0, :2]
    if not math.isnan(float(anchor[0])):
        parts.append(svg.line([view.at(*anchor), view.at(north, east)], svg.HOT, 1.4, "4 3"))
    hull = plan_picture.outline(run.params.boat.outline_m, north, east, heading, view)
    parts.append(svg.area([hull], svg.HOT, svg.PANEL, 1.5))
    return svg.picture(WIDTH, view.height, parts, say("page.night.plan", {}), "night-plan")


def draw_side(run: Run, night: Night, say: Say) -> str:
    """Return the rode from the side as it hung under the greatest pull sampled, as SVG; empty where none was out."""
    if len(night.shape) < 2:
        return ""
    k = int(np.argmin(np.abs(night.t_s - night.shape_s)))
    minutes = round((night.shape_s - night.began_s) / 60.0)
    title = say("page.night.side", {"when": f"{minutes // 60} h {minutes % 60:02d} min"})
    figures = {
        "out_m": f"{night.rodes[k, 0, 4]:.0f}",
        "pull_kn": f"{night.pull_n[k] / 1000.0:.2f}",
        "uplift_deg": f"{max(math.degrees(night.uplift_rad[k]), 0.0):.0f}",
    }
    facts = say("page.night.side.facts", figures)
    heading, tide_m = float(night.own[k, 2]), float(night.tide_m[k])
    return side_picture.draw_shape(run, night.shape, heading, tide_m, (title, facts), "night-side", say)
