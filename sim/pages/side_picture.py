"""The chain from the side, to true scale: bed, water, hull, chain and anchor at one moment."""

import math
from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import deg
from sim.marking.run import Run
from sim.model import layout as lay
from sim.model.params import Boat
from sim.pages import svg
from sim.pages.strip_picture import Say
from sim.record.ground import charted_depths_m

WIDTH = 960.0
_AHEAD_M, _ASTERN_M, _ABOVE_M, _BELOW_M = 4.0, 3.0, 4.4, 1.2
_MOST_SCALE = 22.0


def _profile(run: Run, shape: FloatArray) -> tuple[FloatArray, FloatArray, tuple[float, float]]:
    """Return the chain's distance along the line from anchor to roller, its height, and that line's direction."""
    north, east = shape[:, 0] - shape[0, 0], shape[:, 1] - shape[0, 1]
    length = math.hypot(float(north[-1]), float(east[-1]))
    if length > 1.0:
        direction = float(north[-1]) / length, float(east[-1]) / length
    else:  # straight down: look along the way she lies
        direction = -math.cos(run.lie_rad), -math.sin(run.lie_rad)
    return north * direction[0] + east * direction[1], shape[:, 2], direction


def hull_shapes(boat: Boat, roller_m: float) -> list[list[tuple[float, float]]]:
    """Return her side as shapes of (distance aft of the roller, height above the water): body, keel, rudder."""
    p = boat.particulars
    loa, canoe = p.loa_m, p.canoe_draught_m
    sheer = [(0.0, 1.0), (0.25, 0.84), (0.55, 0.74), (0.8, 0.74), (1.0, 0.8)]
    under = [
        (0.99, 0.1),
        (0.97, -0.05),
        (0.85, -0.45),
        (0.7, -0.8),
        (0.5, -1.0),
        (0.3, -0.85),
        (0.15, -0.45),
        (0.06, 0.0),
    ]
    body = [(x * loa, z * roller_m) for x, z in sheer] + [(x * loa, z * canoe) for x, z in under]
    shapes = [body]
    aft = p.roller_x_m  # of the roller to midships
    if p.keels:
        lead, trail = aft - p.keel_x_m - 0.5 * p.keel_chord_m, aft - p.keel_x_m + 0.5 * p.keel_chord_m
        rake = min(0.15 * p.keel_chord_m, 0.3)
        root = -0.6 * canoe
        shapes.append([(lead, root), (trail, root), (trail, -p.draught_m), (lead + rake, -p.draught_m)])
    for x, _, area, span, *_ in boat.rudders[: int(boat.hull[lay.H_RUDDERS])].tolist():
        half = 0.5 * area / span
        foot = -min(0.3 * canoe + span, 0.95 * p.draught_m)
        shapes.append(
            [(aft - x - half, -0.1 * canoe), (aft - x + half, 0.0), (aft - x + half, foot), (aft - x - half, foot)]
        )
    return shapes


@dataclass(frozen=True)
class _Frame:
    """Where distance along the chain and height above datum stand in the picture."""

    left_m: float
    top_m: float
    scale: float  # px per metre, both ways

    def xy(self, along: FloatArray, z: FloatArray) -> FloatArray:
        """Return ``float64[k, 2]`` picture coordinates."""
        return np.stack([(along - self.left_m) * self.scale, (self.top_m - z) * self.scale], axis=-1)

    def at(self, along: float, z: float) -> tuple[float, float]:
        """Return the picture coordinates of one place."""
        return (along - self.left_m) * self.scale, (self.top_m - z) * self.scale


def _facts(run: Run, i: int, say: Say) -> str:
    """Return the figures of a fast sample in words."""
    track = run.track
    lead_deg, uplift_deg = (deg(float(track[name][i])) for name in ("lead_angle_rad", "uplift_rad"))
    values = {
        "out_m": f"{track['out_m'][i]:.0f}",
        "depth_m": f"{track['depth_m'][i]:.1f}",
        "lead_deg": f"{lead_deg:.0f}",
        "uplift_deg": f"{max(uplift_deg, 0.0):.0f}",
        "load_kn": f"{track['anchor_load_n'][i] / 1000.0:.2f}",
    }
    return say("page.side.facts", values)


def draw(run: Run, t_s: float, words: str, key: str, say: Say) -> str:
    """Return the side view at a moment as SVG, empty where no chain is out.

    Args:
        run: the run.
        t_s: the moment.
        words: what the picture shows.
        key: names the picture within the page.
        say: turns a key and values into words.
    """
    track = run.track
    shape = track.chain_at(t_s)
    i = track.index(t_s)
    return draw_shape(
        run, shape, float(track["heading_rad"][i]), float(track["tide_m"][i]), (words, _facts(run, i, say)), key, say
    )


def draw_shape(
    run: Run, shape: FloatArray, heading_rad: float, tide_m: float, words: tuple[str, str], key: str, say: Say
) -> str:
    """Return a side view of a rode as it hangs, as SVG, empty where there is none.

    Args:
        run: whose boat and bay.
        shape: ``float64[k, 3]`` from anchor to roller; NaN rows are left out.
        heading_rad: of the boat.
        tide_m: height of tide.
        words: what the picture shows, and its figures.
        key: names the picture within the page.
        say: turns a key and values into words.
    """
    shape = shape[~np.isnan(shape[:, 0])]
    if len(shape) < 2:
        return ""
    along, height, (dn, de) = _profile(run, shape)
    roller = float(along[-1])
    # Her stern lies away from the anchor, unless the chain leads aft, under her.
    aft = -1.0 if dn * math.cos(heading_rad) + de * math.sin(heading_rad) > 0.0 else 1.0
    left = min(float(along.min()), roller, roller + aft * run.loa_m) - _AHEAD_M
    right = max(float(along.max()), roller, roller + aft * run.loa_m) + _ASTERN_M
    scale = min(WIDTH / (right - left), _MOST_SCALE)
    frame = _Frame(left - 0.5 * (WIDTH / scale - (right - left)), tide_m + _ABOVE_M, scale)
    x_m = frame.left_m + np.linspace(0.0, WIDTH / scale, 97)
    bed = -charted_depths_m(run.params.bay, shape[0, 0] + x_m * dn, shape[0, 1] + x_m * de)
    tall = (frame.top_m - min(float(bed.min()), float(height.min())) + _BELOW_M) * scale
    surface_y = frame.at(0.0, tide_m)[1]
    hull = hull_shapes(run.params.boat, float(run.line[lay.LP_ROLLER_Z]))
    parts = [
        svg.tag("rect", width=WIDTH, height=tall, fill=svg.PANEL),
        svg.tag("rect", y=surface_y, width=WIDTH, height=tall - surface_y, fill=svg.BANDS[2]),
        svg.area([[*frame.xy(x_m, bed), (WIDTH, tall), (0.0, tall)]], svg.DRYING),
        svg.line(frame.xy(x_m, bed), svg.INK, 1.6),
        svg.line([(0.0, surface_y), (WIDTH, surface_y)], svg.INK, 1.2),
        *(svg.area([[frame.at(roller + aft * x, tide_m + z) for x, z in side]], svg.INK) for side in hull),
        svg.cased(frame.xy(along, height), svg.HOT, 2.4),
        _anchor(*frame.at(float(along[0]), float(height[0]))),
        svg.text(12.0, 20.0, words[0], 14.0, svg.INK, font_weight="700"),
        svg.text(12.0, 38.0, words[1], 13.0, svg.SECOND, halo=True),
        svg.text(WIDTH - 10.0, tall - 8.0, say("page.side.scale", {}), 11.5, svg.SECOND, "end"),
    ]
    return svg.picture(WIDTH, tall, parts, ": ".join(words), key)


def _anchor(x: float, y: float) -> str:
    """Return a plain anchor lying on the bed, its shank towards the boat."""
    shank = svg.cased([(x + 20.0, y - 3.0), (x - 4.0, y - 2.0)], svg.HOT, 3.5)
    fluke = svg.area([[(x - 13.0, y - 6.0), (x + 5.0, y - 3.0), (x - 1.0, y + 11.0)]], svg.HOT, svg.PANEL, 1.2)
    return shank + fluke
