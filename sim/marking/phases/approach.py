"""Phase 2, the approach: speed and distance among others, and the line of the last leg."""

import math

import numpy as np

from sim.base.arrays import BoolArray, FloatArray
from sim.base.frames import bearing_rad, wrap_pi
from sim.base.units import TICK_HZ, deg, knots, mps
from sim.core import events as ev
from sim.marking.run import Found, Run
from sim.model import layout as lay

NEAR_LOA = 3.0
GIVEN_S = 20.0  # so long it takes to bring down the speed she is given at the start (judgement)
WAY_OFF_MPS = mps(0.5)  # below this her track over the ground says little about where she was steered
_HULL = np.array([0.5, 0.25, 0.0, -0.25, -0.5])  # points along a hull, of its length


def spot(run: Run) -> tuple[float, float]:
    """Return where the approach leads: the drop, else the plan, else where she ended."""
    m = run.moments
    if m.touch is not None:
        return m.touch.north_m, m.touch.east_m
    if run.plan is not None:
        return run.plan.drop_north_m, run.plan.drop_east_m
    return float(run.track["north_m"][-1]), float(run.track["east_m"][-1])


def _others_at(run: Run, t_s: FloatArray) -> FloatArray:
    """Return ``float64[n, boats, 3]`` of the others at the slow samples nearest before each time."""
    k = np.clip(np.searchsorted(run.track.slow_t_s, t_s, side="right") - 1, 0, None)
    return run.track.others[k]


def here(run: Run, t_s: FloatArray) -> BoolArray:
    """Return ``bool[n, boats]``: which of the others were there at each time; one may come in late, or have left."""
    out = np.ones((t_s.size, len(run.params.neighbours)), bool)
    for b, other in enumerate(run.params.neighbours):
        out[:, b] = other.comes_from_m is None or run.at_anchor  # what came in the night is there in the morning
    for e in run.track.events:
        if isinstance(e, ev.NeighbourActed):
            out[t_s >= e.tick / TICK_HZ, e.target - 1] = e.what != "away"
    return out


def hull_points(north: FloatArray, east: FloatArray, heading: FloatArray, loa_m: float) -> FloatArray:
    """Return ``float64[..., 5, 2]``: points along the centre line of hulls."""
    out: FloatArray = np.stack(
        [
            north[..., None] + loa_m * _HULL * np.cos(heading)[..., None],
            east[..., None] + loa_m * _HULL * np.sin(heading)[..., None],
        ],
        axis=-1,
    )
    return out


def gaps_m(run: Run, span: slice) -> FloatArray:
    """Return ``float64[n, boats]``: hull to hull gaps over the fast samples of ``span``, not below 0.

    Infinite to a boat that is not there.
    """
    track = run.track
    own = hull_points(track["north_m"][span], track["east_m"][span], track["heading_rad"][span], run.loa_m)
    poses = _others_at(run, track["t_s"][span])
    out = np.empty(poses.shape[:2])
    own_half = 0.5 * float(run.params.boat.hull[lay.H_BEAM])
    for b, other in enumerate(run.params.neighbours):
        hers = hull_points(poses[:, b, 0], poses[:, b, 1], poses[:, b, 2], float(other.boat.hull[lay.H_LOA]))
        away = np.linalg.norm(own[:, :, None, :] - hers[:, None, :, :], axis=-1).min(axis=(1, 2))
        out[:, b] = np.maximum(away - own_half - 0.5 * float(other.boat.hull[lay.H_BEAM]), 0.0)
    out[~here(run, track["t_s"][span])] = np.inf
    return out


def rode_gaps_m(run: Run, span: slice, share: float | None = None) -> FloatArray:
    """Return ``float64[n, boats]``: own hull to each other's rode ahead of her bow.

    Looked at is the first boat's length of the rode, or a ``share`` of its way to the anchor. Infinite to a boat that
    is not there.
    """
    track = run.track
    own = hull_points(track["north_m"][span], track["east_m"][span], track["heading_rad"][span], run.loa_m)
    poses = _others_at(run, track["t_s"][span])
    out = np.empty(poses.shape[:2])
    for b, other in enumerate(run.params.neighbours):
        loa_m = float(other.boat.hull[lay.H_LOA])
        north, east, heading = (poses[:, b, k] for k in range(3))
        bow = np.stack([north + 0.5 * loa_m * np.cos(heading), east + 0.5 * loa_m * np.sin(heading)], axis=-1)
        towards = np.array([other.anchor_north_m, other.anchor_east_m]) - bow
        length = np.maximum(np.linalg.norm(towards, axis=-1, keepdims=True), 1e-9)
        reach = np.minimum(length, loa_m) if share is None else share * length
        along = reach[:, None] * np.linspace(0.0, 1.0, 5)[None, :, None]
        rode = bow[:, None, :] + along * (towards / length)[:, None, :]
        out[:, b] = np.linalg.norm(own[:, :, None, :] - rode[:, None, :, :], axis=-1).min(axis=(1, 2))
    out[~here(run, track["t_s"][span])] = np.inf
    return out


def max_sog_near_kn(run: Run) -> Found:
    """Greatest speed over the ground within three lengths of a boat or of the spot, before the touch [kn].

    The speed at the start is the lesson's.
    """
    track, m = run.track, run.moments
    span = run.span(max(m.begin_s, GIVEN_S), max(m.touch_s, GIVEN_S))
    north, east = spot(run)
    near = np.hypot(track["north_m"][span] - north, track["east_m"][span] - east) <= NEAR_LOA * run.loa_m
    if run.params.neighbours:
        near |= gaps_m(run, span).min(axis=1) <= NEAR_LOA * run.loa_m
    sog = np.hypot(track["surge_mps"][span], track["sway_mps"][span])
    if not near.any():
        return Found(None, m.begin_s, m.let_go_s)
    k = span.start + int(np.argmax(np.where(near, sog, -1.0)))
    t_s = float(track["t_s"][k])
    at = (float(track["north_m"][k]), float(track["east_m"][k]))
    return Found(knots(float(sog[k - span.start])), t_s, t_s, at)


def min_cpa_loa(run: Run) -> Found | None:
    """Nearest to another hull, or to the rode just ahead of her bow, up to the touch [boat lengths]."""
    if not run.params.neighbours:
        return None
    track, m = run.track, run.moments
    span = run.span(m.begin_s, m.touch_s)
    nearest = np.minimum(gaps_m(run, span), rode_gaps_m(run, span)).min(axis=1)
    k = int(np.argmin(nearest))
    if not math.isfinite(float(nearest[k])):
        return None  # nobody was there
    t_s = float(track["t_s"][span.start + k])
    at = (float(track["north_m"][span.start + k]), float(track["east_m"][span.start + k]))
    return Found(float(nearest[k]) / run.loa_m, t_s, t_s, at)


def approach_error_deg(run: Run) -> Found:
    """Angle between the last three lengths of track with way on and the line she will lie on [deg]."""
    track, m = run.track, run.moments
    span = run.span(m.begin_s, m.let_go_s)
    north, east = track["north_m"][span], track["east_m"][span]
    ahead = np.flatnonzero(track["surge_mps"][span] >= WAY_OFF_MPS)
    if ahead.size == 0:
        return Found(None, m.begin_s, m.let_go_s)
    last = int(ahead[-1])
    away = np.hypot(north[: last + 1] - north[last], east[: last + 1] - east[last])
    far = np.flatnonzero(away >= NEAR_LOA * run.loa_m)
    first = int(far[-1]) if far.size else 0
    course = bearing_rad(float(north[last] - north[first]), float(east[last] - east[first]))
    error = abs(wrap_pi(course - run.lie_rad))
    t_s = track["t_s"][span]
    return Found(deg(error), float(t_s[first]), float(t_s[last]), (float(north[last]), float(east[last])))


def least_gap_to_boats_m(run: Run, from_s: float) -> float | None:
    """Return the least gap that really was between hulls from a moment on; None in an empty bay."""
    if not run.params.neighbours:
        return None
    least = float(gaps_m(run, run.span(from_s, run.track.end_s)).min())
    return least if math.isfinite(least) else None
