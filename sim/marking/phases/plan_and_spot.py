"""Phase 1, plan and spot: depth, room, bottom, and the plan that was made."""

import math

import numpy as np

from sim.base.units import TICK_HZ
from sim.marking.phases import circles
from sim.marking.phases.lay import ALL_OUT
from sim.marking.run import Found, Run
from sim.model import layout as lay
from sim.model.tackle.catenary import rode_needed_m, wind_load_n

NEAR_M = 40.0  # a better bottom this close could have been chosen (job's figure, judgement)
BETTER = 1.25  # a bottom that holds so many times as much is a class better (judgement)
VEER_UKC_M = 0.5  # under the keel where she would lie with all her chain out


def spot(run: Run) -> tuple[float, float, float] | None:
    """Return (north, east, rode) that the circle is drawn with: as anchored, else as planned, else None."""
    m = run.moments
    if m.touch is not None:
        return m.touch.north_m, m.touch.east_m, float(run.track["out_m"][run.span(m.touch_s, m.stop_s)].max())
    if run.plan is not None:
        return run.plan.drop_north_m, run.plan.drop_east_m, run.plan.rode_m
    return None


def _none_done(run: Run) -> Found:
    return Found(None, 0.0, run.moments.stop_s)


def min_ukc_m(run: Run) -> Found:
    """Least water under the keel in the whole circle at the lowest water of the stay [m]."""
    where = spot(run)
    if where is None:
        return _none_done(run)
    ukc_m, at = circles.least_ukc_m(run, *where)
    return Found(ukc_m, run.moments.touch_s, run.moments.stop_s, at)


def least_ukc_in_sector_m(run: Run) -> float | None:
    """Return the least water under her keel as she would lie in the winds of the stay, at the lowest water [m].

    None where there is no spot to judge.
    """
    where = spot(run)
    if where is None:
        return None
    winds = circles.bearings_rad(run)
    hulls = circles.lying(where[0], where[1], circles.own_reach_m(run, *where), run.loa_m, winds)
    depths_m = circles.depths_m(run, hulls) + run.stay.low_m
    return float(depths_m.min()) - float(run.params.boat.hull[lay.H_DRAUGHT])


def min_gap_loa(run: Run) -> Found | None:
    """Least predicted gap over the winds of the stay [boat lengths]; None in an empty bay."""
    where = spot(run)
    if where is None:
        return _none_done(run) if run.params.neighbours else None
    found = circles.least_gap_m(run, *where, circles.bearings_rad(run))
    if found is None:
        return None
    return Found(found[0] / run.loa_m, run.moments.touch_s, run.moments.stop_s, found[1])


def veer_room(run: Run) -> Found:
    """1 where all the chain can be veered in clear water, 0.5 where the plan states a limit, else 0."""
    where = spot(run)
    if where is None:
        return _none_done(run)
    north, east, _ = where
    carried_m = float(run.line[lay.LP_CARRIED])
    wind = np.array([run.stay.wind_from_rad])
    reach = circles.own_reach_m(run, north, east, carried_m)
    hull = circles.lying(north, east, reach, run.loa_m, wind)[0]
    draught_m = float(run.params.boat.hull[lay.H_DRAUGHT])
    ukc_m = min(run.charted_m(float(n), float(e)) for n, e in hull) + run.stay.low_m - draught_m
    gap = circles.least_gap_m(run, north, east, carried_m, wind)
    clear = ukc_m >= VEER_UKC_M and (gap is None or gap[0] > 0.0)
    stated = run.plan is not None and run.plan.abort != ""
    value = 1.0 if clear else 0.5 if stated else 0.0
    at = (float(hull[-1, 0]), float(hull[-1, 1]))
    return Found(value, run.moments.touch_s, run.moments.stop_s, at)


def bottom_class(run: Run) -> Found | None:
    """Kinds of bottom within 40 m that hold clearly better than the one it fell on; None in a bay of one bottom."""
    bay, m = run.params.bay, run.moments
    if len(bay.bottom_letters) < 2:
        return None
    if m.touch is None:
        return _none_done(run)
    hold = run.params.rodes[0].anchor_on_bottom[:, lay.AB_HOLD]
    cell = bay.raster[lay.Y_CELL]
    north = bay.raster[lay.Y_NORTH] + cell * np.arange(bay.bottom.shape[0])
    east = bay.raster[lay.Y_EAST] + cell * np.arange(bay.bottom.shape[1])
    away = np.hypot(north[:, None] - m.touch.north_m, east[None, :] - m.touch.east_m)
    near = np.unique(bay.bottom[(away <= NEAR_M) & (bay.depth_m + run.stay.low_m > 0.0)])
    here = int(bay.bottom[np.unravel_index(int(np.argmin(away)), away.shape)])
    better = int(np.count_nonzero(hold[near] > BETTER * hold[here]))
    return Found(float(better), m.touch_s, m.touch_s, (m.touch.north_m, m.touch.east_m))


def wind_needs_m(run: Run, north_m: float, east_m: float) -> float:
    """Return the rode that the catenary needs in the forecast gust at the highest water at a place [m]."""
    height_m = run.roller_above_bed_m(north_m, east_m, run.stay.high_m)
    return rode_needed_m(height_m, wind_load_n(run.loa_m, run.stay.gust_mps), float(run.line[lay.LP_WEIGHT]))


def rode_ratio(run: Run) -> Found:
    """Rode planned (else out) over what the catenary needs in the forecast gust at the highest water."""
    where = spot(run)
    if where is None:
        return _none_done(run)
    north, east, out_m = where
    rode_m = run.plan.rode_m if run.plan is not None else out_m
    return Found(rode_m / wind_needs_m(run, north, east), 0.0, run.moments.touch_s, (north, east))


def rode_asked_m(run: Run, north_m: float, east_m: float) -> float:
    """Return the rode that the highest water and the forecast gust of the stay ask for at a place [m].

    The profile's ratio from the roller, or what the catenary needs where that is more; never more than she can give.
    """
    height_m = run.roller_above_bed_m(north_m, east_m, run.stay.high_m)
    needed_m = wind_needs_m(run, north_m, east_m)
    return min(max(run.stay.scope * height_m, needed_m), ALL_OUT * float(run.line[lay.LP_CARRIED]))


def plan_items(run: Run) -> Found:
    """Items of the plan that were entered, of five: reading, depth with high water, rode, escape, abort."""
    plan = run.plan
    if plan is None:
        return Found(0.0, 0.0, run.moments.touch_s)
    depth = plan.depth_m > 0.0 and math.isfinite(plan.high_water_m)
    items = (plan.reading != "", depth, plan.rode_m > 0.0, plan.escape_rad != 0.0, plan.abort != "")
    at_s = plan.tick / TICK_HZ
    return Found(float(sum(items)), at_s, at_s, (plan.drop_north_m, plan.drop_east_m))
