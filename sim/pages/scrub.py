"""Frames of a run for the page's scrubber: one time moves hull and chain from above, chain from the side, every strip.

Everything is worked out here in picture coordinates, whole pixels, so that the page's script only puts it in place.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.base.arrays import FloatArray
from sim.marking.run import Run
from sim.model import layout as lay
from sim.pages import bay_picture, plan_picture, side_picture, strip_picture, svg
from sim.record.ground import charted_depths_m

MOST_FRAMES = 400
_PLAN_POINTS, _SIDE_POINTS, _BED_POINTS = 12, 16, 13
_AHEAD_M, _ASTERN_M, _ABOVE_M, _BELOW_M = 4.0, 3.0, 3.6, 1.4


@dataclass(frozen=True)
class Frame:
    """The fixed frame of the moving side view: the roller stays where it is, the ground passes under her.

    Attributes:
        ahead_m: metres shown ahead of the roller.
        scale: px per metre.
        surface_y: where the water's surface stands.
        height: of the picture in px.
    """

    ahead_m: float
    scale: float
    surface_y: float
    height: float

    @property
    def roller_x(self) -> float:
        """Where the roller stands across the picture."""
        return self.ahead_m * self.scale


def times(run: Run) -> FloatArray:
    """Return the times of the frames, evenly apart over the attempt, a whole number of seconds each."""
    m = run.moments
    step = max(1, math.ceil((m.stop_s - m.begin_s) / MOST_FRAMES))
    return np.arange(math.ceil(m.begin_s), math.floor(m.stop_s) + 1, step, dtype=np.float64)


def _picked(shape: FloatArray, points: int) -> FloatArray:
    """Return about so many of a shape's points, both ends kept."""
    if len(shape) <= points:
        return shape
    picked: FloatArray = shape[np.unique(np.linspace(0, len(shape) - 1, points).round().astype(int))]
    return picked


def _flat(xy: FloatArray) -> list[int]:
    return [int(v) for v in np.rint(xy).ravel()]


def _ahead(run: Run, i: int, shape: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the roller's place, the unit vector ahead along the chain, and the chain's distance ahead of the roller.

    Where the chain leads aft the distances are negative: it is drawn under her.
    """
    track = run.track
    heading = float(track["heading_rad"][i])
    bow = np.array([math.cos(heading), math.sin(heading)])
    own = np.array([float(track["north_m"][i]), float(track["east_m"][i])])
    if not len(shape):
        return own + run.params.boat.particulars.roller_x_m * bow, bow, np.zeros(0)
    roller = shape[-1, :2]
    lead = shape[0, :2] - roller
    length = float(np.hypot(*lead))
    if length < 1.0:
        return roller, bow, (shape[:, :2] - roller) @ bow
    along = lead / length
    if float(along @ bow) < 0.0:
        along = -along
    return roller, along, (shape[:, :2] - roller) @ along


def side_frame(run: Run) -> Frame:
    """Return a frame that holds the chain at every moment, true to scale."""
    track = run.track
    furthest = 0.0
    deepest = float(track["depth_m"].max())
    for t in times(run):
        shape = run.track.chain_at(float(t))
        if len(shape):
            _, _, along = _ahead(run, track.index(float(t)), shape)
            furthest = max(furthest, float(along.max()))
            deepest = max(deepest, float(track["tide_m"][track.index(float(t))] - shape[:, 2].min()))
    ahead = furthest + _AHEAD_M
    scale = side_picture.WIDTH / (ahead + run.loa_m + _ASTERN_M)
    return Frame(ahead, scale, _ABOVE_M * scale, (_ABOVE_M + deepest + _BELOW_M) * scale)


def _side(run: Run, i: int, shape: FloatArray, frame: Frame) -> tuple[list[int], list[int]]:
    """Return the chain's points and the bed's heights in the moving side view."""
    roller, ahead, along = _ahead(run, i, shape)
    tide_m = float(run.track["tide_m"][i])
    x_m = np.linspace(0.0, side_picture.WIDTH / frame.scale, _BED_POINTS)
    place = roller + (frame.ahead_m - x_m)[:, None] * ahead
    below = tide_m + charted_depths_m(run.params.bay, place[:, 0], place[:, 1])
    bed = np.clip(frame.surface_y + below * frame.scale, 0.0, frame.height)
    if not len(shape):
        return [], _flat(bed)
    picked = _picked(np.column_stack([along, shape[:, 2]]), _SIDE_POINTS)
    x = frame.roller_x - picked[:, 0] * frame.scale
    y = frame.surface_y + (tide_m - picked[:, 1]) * frame.scale
    return _flat(np.stack([x, y], axis=-1)), _flat(bed)


def frames(run: Run) -> dict[str, Any]:
    """Return the frames as plain data for the page.

    ``t`` seconds; ``hull`` x, y, degrees in the plan; ``chain`` and ``side`` flat lists of x, y; ``bed`` heights across
    the side view; ``x`` where the strips' cursor stands; ``read`` the strips' values; ``others`` x, y, degrees of
    every other boat.
    """
    track = run.track
    view = plan_picture.make_view(run)
    frame = side_frame(run)
    axis = strip_picture.axis(run)
    t_strip, rows = strip_picture.strips(run)
    out: dict[str, Any] = {key: [] for key in ("t", "hull", "chain", "side", "bed", "x", "read", "others")}
    for t in times(run):
        t_s = float(t)
        i = track.index(t_s)
        shape = run.track.chain_at(t_s)
        out["t"].append(int(t_s))
        x, y = view.at(float(track["north_m"][i]), float(track["east_m"][i]))
        out["hull"].append([round(x), round(y), round(math.degrees(float(track["heading_rad"][i]))) % 360])
        out["chain"].append(_flat(view.xy(*_picked(shape[:, :2], _PLAN_POINTS).T)) if len(shape) else [])
        side, bed = _side(run, i, shape, frame)
        out["side"].append(side)
        out["bed"].append(bed)
        out["x"].append(round(float(axis(np.array(t_s)))))
        k = min(int(np.searchsorted(t_strip, t_s)), t_strip.size - 1)
        out["read"].append([None if np.isnan(s.values[k]) else round(float(s.values[k]), 1) for s in rows])
        out["others"].append(_others(run, t_s, view))
    return out


def _others(run: Run, t_s: float, view: bay_picture.View) -> list[list[int]]:
    track = run.track
    if not run.params.neighbours or not len(track.others):
        return []
    poses = track.others[track.slow_index(t_s)]
    places = (view.at(float(north), float(east)) for north, east, _ in poses)
    return [[round(x), round(y), round(math.degrees(h)) % 360] for (x, y), h in zip(places, poses[:, 2], strict=True)]


def draw_side(run: Run, title: str) -> str:
    """Return the moving side view as SVG, its moving parts named for the script."""
    frame = side_frame(run)
    roller_m = float(run.line[lay.LP_ROLLER_Z])
    hull = side_picture.hull_shapes(run.params.boat, roller_m)
    x0, y0, k = frame.roller_x, frame.surface_y, frame.scale
    parts = [
        svg.tag("rect", width=side_picture.WIDTH, height=frame.height, fill=svg.PANEL),
        svg.tag("rect", y=y0, width=side_picture.WIDTH, height=frame.height - y0, fill=svg.BANDS[2]),
        svg.tag("path", id="side-bed", d="M0 0", fill=svg.DRYING, stroke=svg.INK, stroke_width=1.6),
        svg.line([(0.0, y0), (side_picture.WIDTH, y0)], svg.INK, 1.2),
        *(svg.area([[(x0 + x * k, y0 - z * k) for x, z in shape]], svg.INK) for shape in hull),
        svg.tag("polyline", id="side-casing", points="", fill="none", stroke=svg.PANEL, stroke_width=5.0),
        svg.tag("polyline", id="side-chain", points="", fill="none", stroke=svg.HOT, stroke_width=2.4),
        svg.circle(-20.0, -20.0, 5.0, fill=svg.HOT, stroke=svg.PANEL, id="side-anchor"),
    ]
    return svg.picture(side_picture.WIDTH, frame.height, parts, title, "live-side")
