"""Choosing a spot: from the brief, the chart and what the lookout and the acts have told."""

import math
from dataclasses import dataclass

import numpy as np

from sim.base.frames import to_world, wrap_pi
from sim.model.catenary import reach_on_bed_m, rode_needed_m, wind_load_n
from sim.scenario.brief import Brief

SCOPE = 5.0  # an ordinary night on chain, on the highest water (common practice)
SPARE_CHAIN_M = 5.0
CHAIN_KGPM_PER_MM2 = 0.0225
FORBIDDEN = ("Wd", "R", "Co", "Sg", "Bo")
LIKE_LAG_RAD = math.radians(30.0)


@dataclass(frozen=True)
class Other:
    """What is known of another boat: where she lies, how she heads, what rode she says is out."""

    north_m: float
    east_m: float
    heading_rad: float
    loa_m: float
    rode_m: float
    rode_kind: str


@dataclass(frozen=True)
class Spot:
    """A plan: where the anchor goes, how much rode, which way she will lie, and how much room that leaves."""

    drop_north_m: float
    drop_east_m: float
    depth_m: float
    rode_m: float
    lie_rad: float
    gap_m: float


def chart_depth_m(brief: Brief, north_m: float, east_m: float) -> float:
    """Return the charted depth at a place by eye between the nearest soundings and contours [m below datum]."""
    contours = [np.column_stack([line, np.full(len(line), depth)]) for depth, line in brief.chart.contours]
    rows = np.vstack([brief.chart.soundings, *contours])
    away = np.hypot(rows[:, 0] - north_m, rows[:, 1] - east_m)
    near = np.argsort(away, kind="stable")[:4]
    weight = 1.0 / (away[near] + 1.0) ** 2
    return float(np.sum(weight * rows[near, 2]) / np.sum(weight))


def rode_m(brief: Brief, depth_m: float) -> float:
    """Return how much rode to lay in ``depth_m`` of water now: the habit's scope or the wind's need, if she has it."""
    height = depth_m + brief.tide.rise_m + brief.boat.roller_height_m
    per_m = CHAIN_KGPM_PER_MM2 * brief.boat.chain_mm**2 * 9.80665 * 0.8694
    need = rode_needed_m(height, 1.5 * wind_load_n(brief.boat.loa_m, brief.forecast.gust_mps), per_m)
    return min(math.ceil(max(SCOPE * height, need)), brief.boat.chain_m - SPARE_CHAIN_M)


def _inside(north_m: float, east_m: float, polygon: np.ndarray) -> bool:
    inside = False
    for (n1, e1), (n2, e2) in zip(polygon, np.roll(polygon, -1, axis=0), strict=True):
        if (e1 > east_m) != (e2 > east_m) and north_m < n1 + (east_m - e1) * (n2 - n1) / (e2 - e1):
            inside = not inside
    return inside


def good_ground(brief: Brief, north_m: float, east_m: float) -> bool:
    """Return whether the chart shows ground to anchor in at a place, under water and with no rule against it."""
    barred = (*brief.chart.shores, *(zone.polygon_m for zone in brief.chart.zones))
    if any(_inside(north_m, east_m, polygon) for polygon in barred):
        return False
    letters = [brief.chart.bottom]
    letters += [letter for letter, polygon in brief.chart.patches if _inside(north_m, east_m, polygon)]
    return not any(bad in letters[-1] for bad in FORBIDDEN)


def _swung(other: Other, height_m: float, turn_rad: float) -> tuple[float, float]:
    """Return where the middle of another boat lies when all have turned by ``turn_rad`` about their anchors."""
    reach = reach_on_bed_m(other.rode_m, height_m) + 0.5 * other.loa_m
    dn, de = to_world(reach, 0.0, other.heading_rad)
    anchor_n, anchor_e = other.north_m + dn, other.east_m + de
    bn, be = to_world(-reach, 0.0, other.heading_rad + turn_rad)
    return anchor_n + bn, anchor_e + be


def least_gap_m(brief: Brief, spot: Spot, others: list[Other]) -> float:
    """Return the least gap between hulls as boats swing together, each up to thirty degrees out of step [m]."""
    height = spot.depth_m + brief.boat.roller_height_m
    reach = reach_on_bed_m(spot.rode_m, height) + 0.5 * brief.boat.loa_m
    gap = 999.0
    for turn in np.radians(np.arange(-90.0, 91.0, 30.0)):
        bn, be = to_world(-reach, 0.0, spot.lie_rad + float(turn))
        for other in others:
            for lag in (-LIKE_LAG_RAD, 0.0, LIKE_LAG_RAD):
                on, oe = _swung(other, height, float(turn) + lag)
                away = math.hypot(spot.drop_north_m + bn - on, spot.drop_east_m + be - oe)
                gap = min(gap, away - 0.5 * (brief.boat.loa_m + other.loa_m))
    return gap


def choose(brief: Brief, lie_rad: float, others: list[Other], tide_m: float) -> Spot:
    """Return the best spot inside the anchorage asked for: good ground, room to swing, nearest to its middle.

    Where a seat is given, the anchor goes a rode's reach to windward of it: the drop is not the seat.
    """
    a = brief.anchorage
    best: tuple[float, Spot] | None = None
    for ring in (0.0, 0.3, 0.6, 0.85):
        for k in range(12 if ring else 1):
            north, east = to_world(ring * a.radius_m, 0.0, 2.0 * math.pi * k / 12.0)
            north, east = a.north_m + north, a.east_m + east
            depth = chart_depth_m(brief, north, east) + tide_m
            if not good_ground(brief, north, east) or depth < brief.boat.draught_m + brief.tide.fall_m + 1.0:
                continue
            rode = rode_m(brief, depth)
            spot = Spot(north, east, depth, rode, lie_rad, 0.0)
            gap = least_gap_m(brief, spot, others)
            astray = _astray_m(brief, spot)
            worth = min(gap, 1.5 * brief.boat.loa_m) - 0.3 * astray
            if best is None or worth > best[0] + 1e-9:
                best = worth, Spot(north, east, depth, rode, lie_rad, gap)
    if best is None:
        depth = chart_depth_m(brief, a.north_m, a.east_m) + tide_m
        return Spot(a.north_m, a.east_m, depth, rode_m(brief, depth), lie_rad, 0.0)
    return best[1]


def _astray_m(brief: Brief, spot: Spot) -> float:
    """Return how far from what was asked a spot would put her: the seat where one is given, else the middle."""
    a = brief.anchorage
    if a.seat_m is None:
        return math.hypot(spot.drop_north_m - a.north_m, spot.drop_east_m - a.east_m)
    reach = reach_on_bed_m(spot.rode_m, spot.depth_m + brief.boat.roller_height_m) + brief.boat.roller_x_m
    bn, be = to_world(-reach, 0.0, spot.lie_rad)
    return math.hypot(spot.drop_north_m + bn - a.seat_m[0], spot.drop_east_m + be - a.seat_m[1])


def mean_direction(directions: list[float]) -> float:
    """Return the mean of directions [rad], of at least one."""
    first = directions[0]
    return first + sum(wrap_pi(d - first) for d in directions) / len(directions)
