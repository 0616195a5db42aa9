"""Choosing a spot: from the brief, the chart and what the lookout and the acts have told."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import to_world, wrap_pi
from sim.base.units import mps
from sim.helm.chartwork import Chartwork
from sim.model.tackle.catenary import reach_on_bed_m, rode_needed_m, wind_load_n
from sim.model.tackle.lying import resultant_rad
from sim.scenario.read.brief import Brief

SCOPE = 5.0  # an ordinary night on chain, on the highest water (common practice)
ROPE_SCOPE = 7.0  # where part of the rode is rope (common practice)
SPARE_RODE_M, LEAST_SPARE_M = 5.0, 2.0  # kept in the locker; where the wind asks for more than the first leaves
GUST_FACTOR = 1.4  # gusts over a mean wind that is forecast without them (common practice)
NEAR_GALE_MPS = mps(28.0)  # Beaufort force 7 begins (WMO-No. 8, table of the Beaufort scale)
CLAW_OFF_M = 460.0  # a quarter of a mile: with less of it to leeward nobody claws off in that (judgement)
FAN_RAD = (-math.radians(20.0), 0.0, math.radians(20.0))
EITHER_SIDE_RAD = np.radians([-15.0, 0.0, 15.0])  # of a wind forecast after a shift
ELSEWHERE_M = 20.0  # from where an anchor came home
BIGHT_M = 2.0  # of chain, veered with the nylon
CHAIN_KGPM_PER_MM2 = 0.0225
CHAIN_SUBMERGED = 0.8694  # share of its weight in air
LAG_RAD = math.radians(30.0)  # like boats lie so far early or late
STAND_STILL = ("two_anchors", "stern_line")  # boats on these do not swing
ENOUGH_WATER_M = 1.0  # under the keel at the lowest water, anywhere in the circle
SURE_WATER_M = 0.75
LEAST_WATER_M, LEAST_GAP_LOA, LEAST_RODE = 0.4, 0.5, 0.8  # below any of these the bay is left alone
GROUND_WORTH = 40.0
RINGS, SPOKES = (0.0, 0.25, 0.5, 0.75, 0.95), 16


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
    """A plan, and what it leaves.

    Attributes:
        drop_north_m: where the anchor goes; ``drop_east_m`` likewise.
        depth_m: there, now.
        rode_m: to lay.
        lie_rad: the heading she will lie to.
        gap_m: least room to another hull or a danger over the winds of the stay.
        ukc_m: least water under the keel in the circle, at the lowest water of the stay.
        rode_share: of the rode that the wind and the highest water ask for.
        good: whether the ground is good and nothing forbids it.
        holds: how well the ground about it holds, sand being 1.
        lee_m: room to the shore to leeward when it blows hardest on to it, 999 where no such hour is forecast.
    """

    drop_north_m: float
    drop_east_m: float
    depth_m: float
    rode_m: float
    lie_rad: float
    gap_m: float
    ukc_m: float = 9.0
    rode_share: float = 1.0
    good: bool = True
    lee_m: float = 999.0
    holds: float = 1.0

    def faults(self, loa_m: float) -> tuple[str, ...]:
        """Return why nobody should lie here, of ground, water, room, rode, lee_shore; empty where one may."""
        found = []
        if not self.good:
            found.append("ground")
        if self.ukc_m < LEAST_WATER_M:
            found.append("water")
        if self.gap_m < LEAST_GAP_LOA * loa_m:
            found.append("room")
        if self.rode_share < LEAST_RODE:
            found.append("rode")
        if self.lee_m < CLAW_OFF_M:
            found.append("lee_shore")
        return tuple(found)


def _heights_m(brief: Brief, depth_m: float) -> tuple[float, float]:
    """Return the roller above the bed at the highest and the lowest water of the stay."""
    now = depth_m + brief.boat.roller_height_m
    return now + brief.tide.rise_m, max(now - brief.tide.fall_m, 1.0)


def worst_gust_mps(brief: Brief) -> float:
    """Return the strongest gust to be ready for, in the worst hour of the stay."""
    f = brief.forecast
    return max(f.gust_mps, *(GUST_FACTOR * s.mean_mps for s in f.shifts), 0.0)


def _flat_m(brief: Brief, height_m: float) -> float:
    """Return the chain whose last link still lies flat in the worst gust, from a roller ``height_m`` above the bed."""
    boat = brief.boat
    per_m = CHAIN_KGPM_PER_MM2 * boat.chain_mm**2 * 9.80665 * CHAIN_SUBMERGED
    return rode_needed_m(height_m, wind_load_n(boat.loa_m, worst_gust_mps(brief)), per_m)


def _with_rope_m(brief: Brief, length_m: float, height_m: float) -> float:
    """Return a length of rode, longer where some of it is rope."""
    boat = brief.boat
    return max(length_m, ROPE_SCOPE * height_m) if boat.rope_m > 0.0 and length_m > boat.chain_m else length_m


def needed_m(brief: Brief, depth_m: float) -> float:
    """Return the rode that the worst gust asks for in ``depth_m`` of water now, at the highest water."""
    high, _ = _heights_m(brief, depth_m)
    return _with_rope_m(brief, _flat_m(brief, high), high)


def rode_m(brief: Brief, depth_m: float) -> float:
    """Return how much rode to lay in ``depth_m`` of water now: the habit's scope or the wind's need, if she has it."""
    high, _ = _heights_m(brief, depth_m)
    wanted = _with_rope_m(brief, max(SCOPE * high, 1.1 * _flat_m(brief, high)), high)
    carried = brief.boat.rode_m
    spare = SPARE_RODE_M if needed_m(brief, depth_m) <= carried - SPARE_RODE_M else LEAST_SPARE_M
    return min(math.ceil(wanted), carried - spare)


def _blows_on(brief: Brief, chart: Chartwork, north_m: float, east_m: float) -> float:
    """Return the room to a shore to leeward in the hours of a near gale that comes in over open water [m], else 999."""
    f = brief.forecast
    hours = [(f.from_rad, f.mean_mps), *((s.from_rad, s.mean_mps) for s in f.shifts)]
    room_m = 999.0
    for from_rad, mean_mps in hours:
        if mean_mps < NEAR_GALE_MPS or chart.shore_m(north_m, east_m, from_rad, CLAW_OFF_M) < CLAW_OFF_M:
            continue
        leeward = from_rad + math.pi
        room_m = min(room_m, *(chart.shore_m(north_m, east_m, leeward + off, 999.0) for off in FAN_RAD))
    return room_m


def winds_rad(brief: Brief) -> FloatArray:
    """Return the directions the wind may come from during the stay."""
    first, last = brief.forecast.sector_rad
    width = (last - first) % (2.0 * math.pi) or 2.0 * math.pi
    every = first + np.linspace(0.0, width, max(int(width / math.radians(10.0)), 1) + 1)
    after = [s.from_rad for s in brief.forecast.shifts]
    return np.concatenate([every, *(from_rad + EITHER_SIDE_RAD for from_rad in after)])


def stream_mps(brief: Brief, t_s: float) -> tuple[float, float]:
    """Return the stream by the tables, north and east [m/s]."""
    table = brief.stream
    if len(table) == 0:
        return 0.0, 0.0
    return float(np.interp(t_s, table[:, 0], table[:, 1])), float(np.interp(t_s, table[:, 0], table[:, 2]))


def lies_rad(brief: Brief) -> FloatArray:
    """Return the headings boats may lie to during the stay: each wind's, and each wind's with each stream's."""
    winds = winds_rad(brief)
    if len(brief.stream) == 0:
        return winds
    turns = [t for t in brief.stream[:, 0].tolist() if 0.0 < t < brief.stay_s]
    streams = [stream_mps(brief, t) for t in (0.0, *turns, brief.stay_s)]
    mean = brief.forecast.mean_mps
    found = [resultant_rad(wind, mean, stream) for wind in winds.tolist() for stream in streams]
    return np.unique(np.round(np.append(winds, found), 1))


def _hulls(north_m: float, east_m: float, reach_m: float, loa_m: float, winds: FloatArray) -> FloatArray:
    """Return ``float64[winds, 5, 2]``: points along a hull lying downwind of an anchor."""
    out = reach_m + np.linspace(0.0, loa_m, 5)
    downwind = -np.stack([np.cos(winds), np.sin(winds)], axis=-1)
    points: FloatArray = np.array([north_m, east_m]) + out[None, :, None] * downwind[:, None, :]
    return points


def _nearest_m(a: FloatArray, b: FloatArray) -> float:
    """Return the least distance between points of two sets ``[..., 2]``, row by row where both have rows."""
    apart = a[..., :, None, :] - b[..., None, :, :]
    return float(np.hypot(apart[..., 0], apart[..., 1]).min())


def _gap_to(own: FloatArray, winds: FloatArray, other: Other, height_m: float) -> float:
    """Return the least gap between hulls' middles over the winds, in step within thirty degrees or at the worst."""
    reach = reach_on_bed_m(other.rode_m, height_m)
    ahead_n, ahead_e = to_world(1.0, 0.0, other.heading_rad)
    half = 0.5 * other.loa_m
    if other.rode_kind in STAND_STILL:
        along = np.linspace(-half, half, 5)[:, None]
        hull = np.array([other.north_m, other.east_m]) + along * np.array([ahead_n, ahead_e])
        return _nearest_m(own.reshape(-1, 2), hull)
    anchor = (other.north_m + (reach + half) * ahead_n, other.east_m + (reach + half) * ahead_e)
    if other.rode_kind != "chain":
        return _nearest_m(own.reshape(-1, 2), np.array([anchor])) - reach - other.loa_m
    lags = (-LAG_RAD, 0.0, LAG_RAD)
    return min(_nearest_m(own, _hulls(*anchor, reach, other.loa_m, winds + lag)) for lag in lags)


def _veered_m(brief: Brief, laid_m: float) -> float:
    """Return what is out once the nylon has been veered with its bight of chain."""
    return min(laid_m + brief.boat.snubber_m + BIGHT_M, brief.boat.rode_m)


def least_gap_m(brief: Brief, spot: Spot, others: Sequence[Other], chart: Chartwork) -> float:
    """Return the least gap to another hull or a danger over the winds of the stay [m]; 999 where there is neither."""
    _, low = _heights_m(brief, spot.depth_m)
    winds = lies_rad(brief)
    reach = reach_on_bed_m(max(_veered_m(brief, spot.rode_m), low), low)
    own = _hulls(spot.drop_north_m, spot.drop_east_m, reach, brief.boat.loa_m, winds)
    half_beam = 0.5 * brief.boat.beam_m
    gaps = [_gap_to(own, winds, other, low) - half_beam - 0.15 * other.loa_m for other in others]
    gaps += [_nearest_m(own.reshape(-1, 2), np.array([[m.north_m, m.east_m]])) - half_beam for m in chart.dangers()]
    circle_m = reach + brief.boat.loa_m  # no rode of hers may sweep over an obstruction, wherever the wind goes
    for o in chart.chart.obstructions:
        gaps.append(math.hypot(o.north_m - spot.drop_north_m, o.east_m - spot.drop_east_m) - o.radius_m - circle_m)
    return min(gaps, default=999.0)


def weigh(brief: Brief, spot: Spot, others: Sequence[Other], chart: Chartwork) -> Spot:
    """Return a spot with what it leaves worked out: room, water, rode, ground."""
    _, low = _heights_m(brief, spot.depth_m)
    circle = reach_on_bed_m(max(_veered_m(brief, spot.rode_m), low), low) + brief.boat.loa_m
    lowest = brief.tide.now_m - brief.tide.fall_m
    return replace(
        spot,
        gap_m=least_gap_m(brief, spot, others, chart),
        ukc_m=chart.least_m(spot.drop_north_m, spot.drop_east_m, circle) + lowest - brief.boat.draught_m,
        rode_share=spot.rode_m / needed_m(brief, spot.depth_m),
        good=chart.good_ground(spot.drop_north_m, spot.drop_east_m),
        holds=chart.holds(spot.drop_north_m, spot.drop_east_m),
        lee_m=_blows_on(brief, chart, spot.drop_north_m, spot.drop_east_m),
    )


def _worth(brief: Brief, spot: Spot) -> float:
    """Return how good a spot is: what fails a night weighs most, then room and water, then nearness."""
    loa = brief.boat.loa_m
    worth = -100.0 * len(spot.faults(loa))
    worth += 20.0 * min(spot.gap_m / loa, 1.5) + 15.0 * min(spot.ukc_m, ENOUGH_WATER_M)
    worth += 60.0 * min(spot.ukc_m, SURE_WATER_M)  # the chart is no closer than a few decimetres
    worth += 30.0 * min(spot.rode_share, 1.1) + GROUND_WORTH * spot.holds
    return worth - 0.3 * _astray_m(brief, spot)


def choose(
    brief: Brief,
    lie_rad: float,
    others: Sequence[Other],
    tide_m: float,
    chart: Chartwork | None = None,
    failed: Sequence[tuple[float, float]] = (),
) -> Spot:
    """Return the best spot inside the anchorage asked for; ``faults`` tells whether it is good enough to lie in.

    Where a seat is given, the anchor goes a rode's reach to windward of it: the drop is not the seat.

    Args:
        brief: what any trainee knows.
        lie_rad: the heading she will lie to.
        others: the boats ranged and asked.
        tide_m: height of tide now.
        chart: the chart's depths, worked out where none are given.
        failed: places where an anchor came home already; none so near is chosen again.
    """
    chart = chart or Chartwork(brief.chart)
    a = brief.anchorage
    found: list[tuple[float, Spot]] = []
    for ring in RINGS:
        for k in range(SPOKES if ring else 1):
            dn, de = to_world(ring * a.radius_m, 0.0, 2.0 * math.pi * k / SPOKES)
            north, east = a.north_m + dn, a.east_m + de
            depth = chart.at(north, east) + tide_m
            if depth < 0.5 or any(math.hypot(north - n, east - e) < ELSEWHERE_M for n, e in failed):
                continue
            rode = rode_m(brief, depth)
            for shorter in (1.0, 0.9, 0.8):
                if shorter < 1.0 and shorter * rode < needed_m(brief, depth):
                    break
                rode_now = math.floor(shorter * rode)
                spot = weigh(brief, Spot(north, east, depth, rode_now, lie_rad, 0.0), others, chart)
                found.append((_worth(brief, spot) - 20.0 * (1.0 - shorter), spot))
                if not spot.faults(brief.boat.loa_m):
                    break
    if not found:
        depth = chart.at(a.north_m, a.east_m) + tide_m
        return weigh(brief, Spot(a.north_m, a.east_m, depth, rode_m(brief, depth), lie_rad, 0.0), others, chart)
    return max(found, key=lambda pair: pair[0])[1]


def _astray_m(brief: Brief, spot: Spot) -> float:
    """Return how far from what was asked a spot would put her: the seat where one is given, else the middle."""
    a = brief.anchorage
    if a.seat_m is None:
        return math.hypot(spot.drop_north_m - a.north_m, spot.drop_east_m - a.east_m)
    reach = reach_on_bed_m(spot.rode_m, spot.depth_m + brief.boat.roller_height_m) + brief.boat.roller_x_m
    bn, be = to_world(-reach, 0.0, spot.lie_rad)
    return math.hypot(spot.drop_north_m + bn - a.seat_m[0], spot.drop_east_m + be - a.seat_m[1])


def mean_direction(directions: Sequence[float]) -> float:
    """Return the mean of directions [rad], of at least one."""
    first = directions[0]
    return first + sum(wrap_pi(d - first) for d in directions) / len(directions)
