"""Where she lies and on how much: too little rode, away from the place asked for, beside or across a boat on chain."""

import math

import numpy as np

from sim.marking.errors.planning import gap_to_kinds
from sim.marking.errors.signs import Detector, Sign, sure, touch_at
from sim.marking.phases import berth, plan_and_spot, setting
from sim.marking.run import Run
from sim.model import layout as lay
from sim.model.params import Neighbour

SHORT = 0.9  # of what is asked for: less is too little (judgement)
MUCH_SHORT, FAR_SHORT = 0.75, 0.5  # from here on a night may, or will, be lost by it (judgement)
LEAST_GAP_LOA = 0.5
TOUCHING_LOA = 0.0
OUTSIDE_M = 8.0  # beyond the ring: a fix is good to some metres (judgement)
CLEAR_M = 2.0  # of another's anchor or bow: nearer may be beside it (judgement)


def _weight(share: float) -> int:
    return 3 if share >= MUCH_SHORT else 4 if share >= FAR_SHORT else 5


def too_short(run: Run) -> Sign | None:
    """A18: less rode out, when she was left, than the highest water and the wind of the stay ask for."""
    m = run.moments
    if m.touch is None or berth.is_one(run):
        return None
    out_m = float(run.track["out_m"][run.track.index(m.stop_s)])
    asked_m = plan_and_spot.rode_asked_m(run, m.touch.north_m, m.touch.east_m)
    share = out_m / asked_m
    if out_m <= 0.0 or share >= SHORT:
        return None
    values = {"out": out_m, "asked": asked_m, "scope": setting.scope_at_highest(run) or 0.0}
    return Sign(m.stop_s, sure(share, SHORT, 0.8), values, touch_at(run), weight=_weight(share))


def missed_the_place(run: Run) -> Sign | None:
    """A19: let go outside the place that the lesson asks for."""
    m, brief = run.moments, run.brief
    if m.touch is None or brief is None or berth.is_one(run):
        return None
    ring = brief.anchorage
    out_m = math.hypot(m.touch.north_m - ring.north_m, m.touch.east_m - ring.east_m) - ring.radius_m
    if out_m <= OUTSIDE_M:
        return None
    return Sign(m.touch_s, sure(out_m, OUTSIDE_M, 3.0 * OUTSIDE_M), {"outside": out_m}, touch_at(run))


def beside_chain(run: Run) -> Sign | None:
    """A20: too close to a boat that swings on chain as she does."""
    gap = gap_to_kinds(run, ("chain",))
    if gap is None or gap >= LEAST_GAP_LOA * run.loa_m:
        return None
    weight = 5 if gap < TOUCHING_LOA else 4 if gap < 0.5 * LEAST_GAP_LOA * run.loa_m else 3
    values = {"gap": max(gap, 0.0), "due": LEAST_GAP_LOA * run.loa_m}
    certainty = sure(gap, LEAST_GAP_LOA * run.loa_m, 0.2 * run.loa_m)
    return Sign(run.moments.touch_s, certainty, values, touch_at(run), weight=weight)


def _cross(a: np.ndarray, b: np.ndarray, c: np.ndarray, d: np.ndarray) -> bool:
    """Return whether the lines a to b and c to d cross, not nearer than ``CLEAR_M`` to an end of the second."""
    along, own = d - c, b - a
    area = float(own[0] * along[1] - own[1] * along[0])
    length = float(np.hypot(*along))
    if abs(area) < 1e-9 or length <= 2.0 * CLEAR_M:
        return False
    away = c - a
    s = float(away[0] * along[1] - away[1] * along[0]) / area
    t = float(away[0] * own[1] - away[1] * own[0]) / area
    return 0.0 < s < 1.0 and CLEAR_M / length < t < 1.0 - CLEAR_M / length


def _bow(pose: np.ndarray, other: Neighbour) -> np.ndarray:
    half_m = 0.5 * float(other.boat.hull[lay.H_LOA])
    out: np.ndarray = pose[:2] + half_m * np.array([math.cos(float(pose[2])), math.sin(float(pose[2]))])
    return out


def across_chain(run: Run) -> Sign | None:
    """C13: her chain lies across the chain of a boat that was there before her."""
    m, track = run.moments, run.track
    if m.touch is None or not run.params.neighbours:
        return None
    k = track.index(m.stop_s)
    anchor = np.array([float(track["anchor_n_m"][k]), float(track["anchor_e_m"][k])])
    if not np.isfinite(anchor).all():
        return None
    bow = np.array([float(track["north_m"][k]), float(track["east_m"][k])])
    poses = track.others[track.slow_index(m.stop_s)]
    for other, pose in zip(run.params.neighbours, poses, strict=True):
        if other.rode_kind != "chain" or other.comes_from_m is not None:
            continue
        hers = np.array([other.anchor_north_m, other.anchor_east_m])
        if _cross(anchor, bow, hers, _bow(pose, other)):
            away = float(np.hypot(*(hers - anchor)))
            return Sign(m.touch_s, 0.9, {"away": away}, touch_at(run))
    return None


DETECTORS: dict[str, Detector] = {
    "A18": too_short,
    "A19": missed_the_place,
    "A20": beside_chain,
    "C13": across_chain,
}
