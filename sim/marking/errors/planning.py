"""A. Planning and reading: depth, tide, room, ground, the plan itself."""

import math

import numpy as np

from sim.base.frames import wrap_pi
from sim.base.units import TICK_HZ, deg, knots
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking import critical
from sim.marking.errors.signs import Detector, Sign, happened, of_measure, ordered, place, sure, touch_at
from sim.marking.phases import circles, plan_and_spot
from sim.marking.phases.approach import here
from sim.marking.phases.lay import ALL_OUT
from sim.marking.run import Run
from sim.model import layout as lay
from sim.model.params import Neighbour
from sim.model.water.water import tide_height_m

SHORT = 0.93  # of the scope asked for: less is short (judgement)
ENOUGH = 0.97
LEAST_UKC_M = 0.5
LEAST_GAP_LOA = 0.5
OUTSIDE_M = 100.0  # a lesson that begins this far off begins outside
BEFORE_S = 60.0
POOR = 0.6  # ground that holds less than this share of the best nearby is poor
ESCAPE_M = 150.0
SIGHT_LOA = 10.0  # others so near are asked or ranged, whether their rode may reach or not (judgement)
LAIN_S = 300.0  # a boat at anchor sheers: only the mean of minutes is how she lies
TURNED_RAD = math.radians(30.0)


def _roller_m(run: Run) -> float:
    return float(run.line[lay.LP_ROLLER_Z])


def _tide_m(run: Run, t_s: float) -> float:
    return tide_height_m(t_s, run.params.water.tide)


def sounder_datum(run: Run) -> Sign | None:
    """A1: the depth in the plan is not the depth that is there."""
    p = run.plan
    if p is None or p.depth_m <= 0.0:
        return None
    true_m = run.charted_m(p.drop_north_m, p.drop_east_m) + _tide_m(run, p.tick / TICK_HZ)
    off_m = abs(true_m - p.depth_m)
    least_m = max(0.9, 0.15 * true_m)
    if off_m < least_m:
        return None
    at = (p.drop_north_m, p.drop_east_m)
    values = {"planned": p.depth_m, "there": true_m, "off": off_m}
    return Sign(p.tick / TICK_HZ, sure(off_m, least_m, 2.0 * least_m), values, at)


def from_the_water(run: Run) -> Sign | None:
    """A2: the rode is enough counted from the water, and short counted from the roller, with more to give."""
    p = run.plan
    if p is None or p.depth_m <= 0.0 or p.rode_m >= ALL_OUT * float(run.line[lay.LP_CARRIED]):
        return None
    water_m = p.depth_m + max(p.high_water_m, 0.0)
    scope = p.rode_m / (water_m + _roller_m(run))
    if scope >= SHORT * run.stay.scope or p.rode_m < ENOUGH * run.stay.scope * water_m:
        return None
    certainty = sure(scope / run.stay.scope, SHORT, 0.8)
    return Sign(p.tick / TICK_HZ, certainty, {"scope": scope, "thought": p.rode_m / water_m, "roller": _roller_m(run)})


def rise_forgotten(run: Run) -> Sign | None:
    """A3: the rode is enough at the water of now, and short at the highest of the stay."""
    p = run.plan
    if p is None or p.depth_m <= 0.0:
        return None
    rise_m = run.stay.high_m - _tide_m(run, p.tick / TICK_HZ)
    height_m = p.depth_m + _roller_m(run)
    now, high = p.rode_m / height_m, p.rode_m / (height_m + rise_m)
    if rise_m - p.high_water_m < 0.3 or high >= SHORT * run.stay.scope or now < ENOUGH * run.stay.scope:
        return None
    return Sign(p.tick / TICK_HZ, sure(high / run.stay.scope, SHORT, 0.8), {"now": now, "high": high, "rise": rise_m})


def shallow_circle(run: Run) -> Sign | None:
    """A4: somewhere in the circle there is too little water at the lowest tide."""
    found = plan_and_spot.min_ukc_m(run)
    if found.value is None or found.value >= LEAST_UKC_M or run.moments.touch is None:
        return None
    return of_measure(found, sure(found.value, LEAST_UKC_M, 0.1), ukc=found.value)


def _comparable(run: Run) -> list[float]:
    """Return how boats on chain lay until she touched, the mean of what each swung through."""
    if not run.params.neighbours:
        return []
    m = run.moments
    headings = run.track.others[run.track.slow_index(m.touch_s - LAIN_S) : run.track.slow_index(m.touch_s) + 1, :, 2]
    mean = np.arctan2(np.sin(headings).mean(axis=0), np.cos(headings).mean(axis=0))
    return [float(h) for other, h in zip(run.params.neighbours, mean, strict=True) if other.rode_kind == "chain"]


def others_lie(run: Run) -> Sign | None:
    """A5: planned across the way the others lie."""
    lies, p = _comparable(run), run.plan
    if not lies or p is None:
        return None
    mean = math.atan2(sum(math.sin(h) for h in lies), sum(math.cos(h) for h in lies))
    off = abs(deg(wrap_pi(p.lie_rad - mean)))
    if off < 30.0:
        return None
    return Sign(p.tick / TICK_HZ, sure(off, 30.0, 50.0), {"off": off}, (p.drop_north_m, p.drop_east_m))


def _holding(run: Run) -> tuple[float, float] | None:
    """Return (here, best within 40 m) of the holding where the anchor fell, in newtons."""
    touch, bay = run.moments.touch, run.params.bay
    if touch is None:
        return None
    hold = run.params.rodes[0].anchor_on_bottom[:, lay.AB_HOLD]
    cell = bay.raster[lay.Y_CELL]
    north = bay.raster[lay.Y_NORTH] + cell * np.arange(bay.bottom.shape[0])
    east = bay.raster[lay.Y_EAST] + cell * np.arange(bay.bottom.shape[1])
    away = np.hypot(north[:, None] - touch.north_m, east[None, :] - touch.east_m)
    near = (away <= plan_and_spot.NEAR_M) & (bay.depth_m + run.stay.low_m > 0.0)
    here = float(hold[bay.bottom[np.unravel_index(int(np.argmin(away)), away.shape)]])
    return here, max(here, float(hold[bay.bottom[near]].max())) if near.any() else here


def empty_for_a_reason(run: Run) -> Sign | None:
    """A6: took an empty spot on poor ground without sounding it, with others about who had not."""
    found, m = _holding(run), run.moments
    if found is None or not run.params.neighbours or found[0] >= POOR * found[1]:
        return None
    if happened(run, ev.DepthSounded, 0.0, m.touch_s):
        return None
    share = found[0] / found[1]
    return Sign(m.touch_s, sure(share, POOR, 0.3), {"percent": 100.0 * share}, touch_at(run))


def poor_ground(run: Run) -> Sign | None:
    """A11: better ground lay within 40 m."""
    found = plan_and_spot.bottom_class(run)
    holding = _holding(run)
    if found is None or holding is None or not found.value:
        return None
    share = holding[0] / holding[1]
    return of_measure(found, sure(share, 0.8, 0.4), percent=100.0 * share)


def _gap(run: Run, other: Neighbour) -> float | None:
    where = plan_and_spot.spot(run)
    if where is None or run.moments.touch is None:
        return None
    winds = circles.bearings_rad(run)
    own = circles.lying(where[0], where[1], circles.own_reach_m(run, *where), run.loa_m, winds)
    half_beam = 0.5 * float(run.params.boat.hull[lay.H_BEAM])
    return circles.gap_to(run, own, winds, other)[0] - half_beam


def gap_to_kinds(run: Run, kinds: tuple[str, ...]) -> float | None:
    """Return the least predicted gap to the boats that lie to one of some kinds of rode, None where there is none."""
    others = [n for n in run.params.neighbours if n.rode_kind in kinds and n.comes_from_m is None]
    gaps = (_gap(run, other) for other in others)
    return min((gap for gap in gaps if gap is not None), default=None)


def _least_gap(run: Run, kinds: tuple[str, ...]) -> Sign | None:
    gap = gap_to_kinds(run, kinds)
    if gap is None or gap >= LEAST_GAP_LOA * run.loa_m:
        return None
    certainty = sure(gap, LEAST_GAP_LOA * run.loa_m, 0.0)
    return Sign(run.moments.touch_s, certainty, {"gap": max(gap, 0.0), "due": LEAST_GAP_LOA * run.loa_m}, touch_at(run))


def rope_circle(run: Run) -> Sign | None:
    """A7: inside the circle of a boat on rope."""
    return _least_gap(run, ("rope",))


def mooring_circle(run: Run) -> Sign | None:
    """A8: beside a boat that does not swing as she will."""
    return _least_gap(run, ("mooring", "stern_line", "two_anchors"))


def shift_astern(run: Run) -> Sign | None:
    """A9: where she lies now there is water; where the shift would put her there is not."""
    where, m = plan_and_spot.spot(run), run.moments
    if where is None or m.touch is None:
        return None
    north, east, rode_m = where
    winds = circles.bearings_rad(run)
    draught_m = float(run.params.boat.hull[lay.H_DRAUGHT])
    hulls = circles.lying(north, east, circles.own_reach_m(run, north, east, rode_m), run.loa_m, winds)
    depths = circles.depths_m(run, hulls) + run.stay.low_m - draught_m
    ukc = depths.min(axis=1)
    turned = np.abs(np.angle(np.exp(1j * (winds - run.lie_rad)))) > TURNED_RAD
    if not turned.any() or turned.all() or ukc[~turned].min() < LEAST_UKC_M or ukc[turned].min() >= LEAST_UKC_M:
        return None
    worst = int(np.argmin(np.where(turned, ukc, np.inf)))
    at = (float(hulls[worst, -1, 0]), float(hulls[worst, -1, 1]))
    values = {"ukc": max(float(ukc[worst]), 0.0), "wind": deg(float(winds[worst])) % 360.0}
    return Sign(m.touch_s, sure(float(ukc[worst]), LEAST_UKC_M, 0.0), values, at)


def no_escape(run: Run) -> Sign | None:
    """A10: no way out in the plan, or one that is closed."""
    p = run.plan
    if p is None:
        return None
    if p.escape_rad == 0.0:
        return Sign(p.tick / TICK_HZ, 1.0, {"clear": 0.0})
    steps = np.arange(0.0, ESCAPE_M, 5.0)
    north, east = p.drop_north_m + steps * math.cos(p.escape_rad), p.drop_east_m + steps * math.sin(p.escape_rad)
    ukc = circles.depths_m(run, np.stack([north, east], axis=-1)) + run.stay.low_m
    closed = ukc < float(run.params.boat.hull[lay.H_DRAUGHT]) + 0.3
    if not closed.any():
        return None
    clear = float(steps[int(np.argmax(closed))])
    return Sign(p.tick / TICK_HZ, sure(clear, ESCAPE_M, 50.0), {"clear": clear})


def forbidden(run: Run) -> Sign | None:
    """A12: the anchor fell in a zone closed to anchors."""
    zones = critical.zones_at(run)
    if not zones or run.moments.touch is None:
        return None
    return Sign(run.moments.touch_s, 1.0, {"depth": run.moments.touch.depth_m}, touch_at(run))


def aimed_for_the_seat(run: Run) -> Sign | None:
    """A13: dropped where she meant to sit, and lies a rode astern of it."""
    m = run.moments
    if run.brief is None or run.brief.anchorage.seat_m is None or m.touch is None:
        return None
    seat = run.brief.anchorage.seat_m
    north, east = place(run, m.stop_s)
    short = (seat[0] - north) * math.cos(run.lie_rad) + (seat[1] - east) * math.sin(run.lie_rad)
    rode_m = float(run.track["out_m"][run.track.index(m.stop_s)])
    if short < 0.5 * rode_m:
        return None
    return Sign(m.touch_s, sure(short, 0.5 * rode_m, 0.9 * rode_m), {"astern": short}, (north, east))


def no_plan(run: Run) -> Sign | None:
    """A14: nothing was entered before the anchor went."""
    m = run.moments
    if run.plan is not None or m.touch is None:
        return None
    return Sign(m.let_go_s, 1.0, {"after": m.let_go_s / 60.0})


def ratio_by_habit(run: Run) -> Sign | None:
    """A15: the ratio was kept, and the wind needs more; or more is planned than she carries."""
    p = run.plan
    if p is None or p.rode_m <= 0.0:
        return None
    height_m = run.roller_above_bed_m(p.drop_north_m, p.drop_east_m, run.stay.high_m)
    needed_m = plan_and_spot.wind_needs_m(run, p.drop_north_m, p.drop_east_m)
    carried_m = float(run.line[lay.LP_CARRIED])
    values = {"planned": p.rode_m, "needed": needed_m, "gust": knots(run.stay.gust_mps)}
    if p.rode_m > carried_m:
        return Sign(p.tick / TICK_HZ, 1.0, values | {"needed": carried_m})
    if p.rode_m / needed_m >= 0.85 or p.rode_m < 0.9 * run.stay.scope * height_m:
        return None
    return Sign(p.tick / TICK_HZ, sure(p.rode_m / needed_m, 0.85, 0.7), values)


def near_boats_m(run: Run) -> list[tuple[int, float]]:
    """Return (number, metres) of each other boat's distance, hull middle to drop, when the anchor touched."""
    touch = run.moments.touch
    if touch is None or not run.params.neighbours:
        return []
    poses = run.track.others[run.track.slow_index(run.moments.touch_s)]
    there = here(run, np.array([run.moments.touch_s]))[0]
    away = np.hypot(poses[:, 0] - touch.north_m, poses[:, 1] - touch.east_m)
    return [(i + 1, float(away[i])) for i in np.flatnonzero(there).tolist()]


def not_asked(run: Run) -> Sign | None:
    """A16: dropped within a rode and a half of somebody without asking what lies out there."""
    m = run.moments
    if m.touch is None:
        return None
    reach_m = 1.5 * float(run.track["out_m"][run.track.index(m.stop_s)])
    asked = {order.target for _, order in ordered(run, cmd.Hail, 0.0, m.touch_s)}
    around = near_boats_m(run)
    near = [away for number, away in around if away <= reach_m and number not in asked]
    if not near and around and not asked and not happened(run, ev.RangeTaken, 0.0, m.touch_s):
        near = [min(away for _, away in around)]
        if near[0] <= SIGHT_LOA * run.loa_m:
            return Sign(m.touch_s, 0.8, {"away": near[0]}, touch_at(run), way="none")
        return None
    if not near:
        return None
    return Sign(m.touch_s, sure(min(near), reach_m, 0.5 * reach_m), {"away": min(near)}, touch_at(run))


def nothing_tried(run: Run) -> Sign | None:
    """A17: came in from outside without trying astern or the windlass first."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    off_m = math.hypot(float(track["north_m"][0]) - m.touch.north_m, float(track["east_m"][0]) - m.touch.east_m)
    if off_m < OUTSIDE_M:
        return None
    before = run.span(0.0, max(m.let_go_s - BEFORE_S, 0.0))
    astern = min(float(track["gear_0"][before].min()), float(track["gear_1"][before].min())) < 0.0
    if astern or ordered(run, cmd.Windlass, 0.0, m.let_go_s - BEFORE_S):
        return None
    return Sign(m.let_go_s, 0.8, {"off": off_m})


DETECTORS: dict[str, Detector] = {
    "A1": sounder_datum,
    "A2": from_the_water,
    "A3": rise_forgotten,
    "A4": shallow_circle,
    "A5": others_lie,
    "A6": empty_for_a_reason,
    "A7": rope_circle,
    "A8": mooring_circle,
    "A9": shift_astern,
    "A10": no_escape,
    "A11": poor_ground,
    "A12": forbidden,
    "A13": aimed_for_the_seat,
    "A14": no_plan,
    "A15": ratio_by_habit,
    "A16": not_asked,
    "A17": nothing_tried,
}
