"""What is silently wrong with a lesson that reads well: traps that only show when somebody sails into them."""

import itertools
import math
from dataclasses import dataclass

import numpy as np

from sim.marking.critical import FORBIDDEN
from sim.marking.phases import circles
from sim.marking.stay import Stay, stay_of
from sim.model import layout as lay
from sim.model.params import WorldParams
from sim.model.tackle.catenary import reach_on_bed_m, rode_needed_m, wind_load_n
from sim.record.ground import charted_depths_m
from sim.scenario.library import Lesson
from sim.scenario.read.bay import inside
from sim.scenario.read.load import KeyPath

LEAST_UKC_M = 0.3  # under the keel at low water where the plan would have her lie (judgement)
SEAT_M = 8.0  # from the seat at most, for a plan that puts her there (job's figure, judgement)
SPARE_S = 900.0  # an attempt shorter than this leaves no time to set and settle (judgement)


@dataclass(frozen=True)
class Trap:
    """One trap: the key it hangs on and what is wrong, in a sailor's words."""

    path: KeyPath
    text: str


@dataclass(frozen=True)
class Site:
    """A lesson's bay and stay without a run, as far as circles ask for it."""

    params: WorldParams
    stay: Stay

    @property
    def loa_m(self) -> float:
        """Length of the own boat."""
        return float(self.params.boat.hull[lay.H_LOA])

    def charted_m(self, north_m: float, east_m: float) -> float:
        """Return the depth below chart datum at a place."""
        return float(charted_depths_m(self.params.bay, np.array([north_m]), np.array([east_m]))[0])

    def roller_above_bed_m(self, north_m: float, east_m: float, tide_m: float) -> float:
        """Return the height of the roller above the bed at a place and tide, at least a metre."""
        roller_m = float(self.params.rodes[0].line[lay.LP_ROLLER_Z])
        return max(self.charted_m(north_m, east_m) + tide_m + roller_m, 1.0)


def find(lesson: Lesson) -> list[Trap]:
    """Return the traps of a lesson on the day of its first seed."""
    seed = lesson.sources.lesson.seeds.practice[0]
    lesson = lesson.on(seed)
    site = Site(lesson.world(seed), stay_of(lesson))
    return [
        *_at_the_start(lesson, site),
        *_neighbours(lesson, site),
        *_stay(lesson),
        *_timeline(lesson),
        *(_plan(lesson, site) if lesson.teacher.reference is not None else []),
        *_goals(lesson, site),
    ]


def _at_the_start(lesson: Lesson, site: Site) -> list[Trap]:
    """She begins inside another boat's swing, or in a place closed to her."""
    start = lesson.sources.lesson.start
    out = []
    for n in (n for n in site.params.neighbours if n.comes_from_m is None):
        away = math.hypot(n.anchor_north_m - start.north_m, n.anchor_east_m - start.east_m)
        height = max(site.charted_m(n.anchor_north_m, n.anchor_east_m) + site.stay.low_m + n.roller_height_m, 1.0)
        swing = reach_on_bed_m(n.rode_m, height) + n.boat.particulars.loa_m + 0.5 * site.loa_m
        if away < swing and n.second is None:
            out.append(Trap(("start",), f"begins {swing - away:.0f} m inside the swing of {n.name}"))
    for zone in site.params.bay.zones:
        if zone.rule == "no_entry" and _in(start.north_m, start.east_m, zone.polygon_m):
            out.append(Trap(("start",), f"begins in {zone.name}, closed to her"))
    return out


def _in(north_m: float, east_m: float, polygon: np.ndarray) -> bool:
    return bool(inside(np.array([north_m]), np.array([east_m]), polygon)[0])


def _neighbours(lesson: Lesson, site: Site) -> list[Trap]:
    """Two neighbours who must touch, one who takes the ground, one on hardly any rode."""
    out = []
    rows = lesson.sources.lesson.neighbours
    for (i, a), (_, b) in itertools.combinations(enumerate(site.params.neighbours), 2):
        if a.second is not None or b.second is not None or a.comes_from_m or b.comes_from_m:
            continue
        away = math.hypot(a.anchor_north_m - b.anchor_north_m, a.anchor_east_m - b.anchor_east_m)
        if away < a.boat.particulars.loa_m + b.boat.particulars.loa_m:
            out.append(Trap(("neighbours", i), f"{a.name} and {b.name} lie {away:.0f} m apart and will touch"))
    for i, n in enumerate(site.params.neighbours):
        least = site.charted_m(n.anchor_north_m, n.anchor_east_m) + site.stay.low_m
        if least < float(n.boat.hull[lay.H_DRAUGHT]):
            out.append(
                Trap(("neighbours", i), f"{n.name} takes the ground at low water: {least:.1f} m where she anchored")
            )
        if rows[i].rode.kind in ("chain", "rope") and n.rode_m < 2.0 * (least + n.roller_height_m):
            out.append(Trap(("neighbours", i, "rode"), f"{n.name} lies to less than 2:1"))
    return out


def _stay(lesson: Lesson) -> list[Trap]:
    """Forecast and tide that do not cover the stay."""
    file, out = lesson.sources.lesson, []
    last_h = max(lesson.limit_s / 3600.0, file.stay_h)
    if file.tide and file.tide[-1].at_h < file.stay_h:
        out.append(Trap(("tide",), f"the last height is at {file.tide[-1].at_h:g} h, the stay lasts {file.stay_h:g} h"))
    if file.tide and file.tide[0].at_h > 0.0:
        out.append(Trap(("tide",), "the first height comes after the start"))
    if file.wind.sector_deg is not None:
        first, last = file.wind.sector_deg
        bearing = file.wind.from_deg
        for turn, key in [(0.0, "sector_deg"), *((s.turn_deg, "shifts") for s in file.wind.shifts)]:
            bearing = (bearing + turn) % 360.0
            if (bearing - first) % 360.0 > ((last - first) % 360.0 or 360.0) + 1e-6:
                out.append(Trap(("wind", key), f"the wind from {bearing:.0f} lies outside sector_deg"))
    out += [
        Trap(("wind", "shifts", i, "at_h"), f"comes at {s.at_h:g} h, after the stay is over")
        for i, s in enumerate(file.wind.shifts)
        if s.at_h >= last_h
    ]
    out += [
        Trap(("wind", "squalls", i, "from_h"), f"may come at {s.to_h:g} h, after the stay is over")
        for i, s in enumerate(file.wind.squalls)
        if s.to_h > last_h
    ]
    if lesson.limit_s < SPARE_S and not file.no_safe_spot:
        out.append(Trap(("limit_min",), f"{file.limit_min:g} minutes are too few to anchor and settle"))
    return out


def _timeline(lesson: Lesson) -> list[Trap]:
    """Entries that never come to speak."""
    file, out = lesson.sources.lesson, []
    last_s = max(lesson.limit_s, 3600.0 * file.stay_h)
    for i, entry in enumerate(file.timeline):
        if entry.at_s is not None and entry.at_s > last_s:
            out.append(Trap(("timeline", i, "at_s"), f"comes at {entry.at_s:g} s, after the stay is over"))
        if file.no_safe_spot and entry.when is not None and entry.when.event is not None:
            out.append(Trap(("timeline", i, "when"), "waits for an anchor where none should go down"))
    return out


def _plan(lesson: Lesson, site: Site) -> list[Trap]:
    """A reference plan that its own marking would not accept."""
    plan, brief = lesson.teacher.reference, lesson.brief
    assert plan is not None
    path: KeyPath = ("teacher", "reference")
    out = []
    north, east, rode = plan.drop_north_m, plan.drop_east_m, plan.rode_m
    ukc, _ = circles.least_ukc_m(site, north, east, rode)
    here = site.charted_m(north, east) + site.stay.low_m
    if here <= 0.0:
        out.append(Trap(path, f"the drop dries: {here:.1f} m at low water"))
    elif ukc < LEAST_UKC_M and not _dry_side(lesson, site):
        out.append(Trap(path, f"somewhere in her swing only {ukc:.1f} m stay under the keel at low water"))
    carried = float(site.params.rodes[0].line[lay.LP_CARRIED])
    if rode > carried:
        out.append(Trap((*path, "rode_m"), f"{rode:g} m of {carried:g} m carried"))
    needed = _needed_m(site, north, east)
    if needed > carried and lesson.teacher.refusal is None:
        out.append(Trap((*path, "rode_m"), f"the gust needs {needed:.0f} m at high water; she carries {carried:g} m"))
    out += _ground(site, path, north, east)
    winds = circles.bearings_rad(site)
    gap = circles.least_gap_m(site, north, east, rode, winds)
    if gap is not None and gap[0] < 0.0 and not any(n.second for n in site.params.neighbours):
        out.append(Trap(path, f"her swing overlaps another's by {-gap[0]:.0f} m in some wind of the stay"))
    if brief.anchorage.seat_m is not None:
        out += _seat(lesson, site, path)
    if math.hypot(north - brief.anchorage.north_m, east - brief.anchorage.east_m) > brief.anchorage.radius_m:
        out.append(Trap(path, "the drop lies outside the anchorage asked for"))
    if plan.region is not None and not _in(north, east, np.array(plan.region)):
        out.append(Trap((*path, "region"), "the drop lies outside its own region"))
    return out


def _dry_side(lesson: Lesson, site: Site) -> bool:
    """Return whether a boat lies to a line ashore, so that her circle means nothing."""
    return lesson.brief.anchorage.seat_m is not None and any(n.second for n in site.params.neighbours)


def _needed_m(site: Site, north_m: float, east_m: float) -> float:
    """Return the rode that the forecast gust asks for at a place at the highest water [m]."""
    height = site.roller_above_bed_m(north_m, east_m, site.stay.high_m)
    weight = float(site.params.rodes[0].line[lay.LP_WEIGHT])
    return rode_needed_m(height, wind_load_n(site.loa_m, site.stay.gust_mps), weight)


def _ground(site: Site, path: KeyPath, north_m: float, east_m: float) -> list[Trap]:
    bay = site.params.bay
    out = [
        Trap(path, f"the drop lies in {zone.name} ({zone.rule})")
        for zone in bay.zones
        if zone.rule in FORBIDDEN and _in(north_m, east_m, zone.polygon_m)
    ]
    cell = bay.raster[lay.Y_CELL]
    i, j = round((north_m - bay.raster[lay.Y_NORTH]) / cell), round((east_m - bay.raster[lay.Y_EAST]) / cell)
    if 0 <= i < bay.bottom.shape[0] and 0 <= j < bay.bottom.shape[1]:
        letters = bay.bottom_letters[int(bay.bottom[i, j])]
        if letters in bay.protected:
            out.append(Trap(path, f"the drop lies on protected ground ({letters})"))
    return out


def _seat(lesson: Lesson, site: Site, path: KeyPath) -> list[Trap]:
    plan, brief = lesson.teacher.reference, lesson.brief
    assert plan is not None and brief.anchorage.seat_m is not None
    reach = circles.own_reach_m(site, plan.drop_north_m, plan.drop_east_m, plan.rode_m) + 0.5 * site.loa_m
    north = plan.drop_north_m - reach * math.cos(brief.forecast.from_rad)
    east = plan.drop_east_m - reach * math.sin(brief.forecast.from_rad)
    away = math.hypot(north - brief.anchorage.seat_m[0], east - brief.anchorage.seat_m[1])
    if away > SEAT_M and not lesson.sources.lesson.stream and not _dry_side(lesson, site):
        return [Trap(path, f"from there she lies {away:.0f} m off the seat")]
    return []


def _goals(lesson: Lesson, site: Site) -> list[Trap]:
    """Goals that nobody could reach: nothing to measure, or more than the reference plan itself gives."""
    plan, out = lesson.teacher.reference, []
    for i, goal in enumerate(lesson.sources.lesson.goals):
        path: KeyPath = ("goals", i)
        if plan is None:
            out.append(Trap(path, "a goal where the answer is to leave"))
            continue
        north, east, rode = plan.drop_north_m, plan.drop_east_m, plan.rode_m
        if goal.measure == "ph1.min_gap_loa":
            gap = circles.least_gap_m(site, north, east, rode, circles.bearings_rad(site))
            value = gap[0] / site.loa_m if gap is not None else None
        elif goal.measure == "ph1.min_ukc_m":
            value = circles.least_ukc_m(site, north, east, rode)[0]
        elif goal.measure == "ph1.rode_ratio":
            value = rode / _needed_m(site, north, east)
        elif goal.measure == "ph5.scope_ratio":
            value = rode / site.roller_above_bed_m(north, east, site.stay.high_m) / site.stay.scope
        elif goal.measure == "ph1.bottom_class":
            value = None if len(site.params.bay.bottom_letters) < 2 else 0.0
        else:
            continue
        if value is None:
            out.append(Trap(path, f"{goal.measure} cannot be exercised here"))
        elif (goal.least is not None and value < goal.least) or (goal.most is not None and value > goal.most):
            out.append(
                Trap(path, f"{goal.measure} comes to {value:.2f} by the reference plan, so the goal is out of reach")
            )
    return out
