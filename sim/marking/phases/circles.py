"""Room to swing: where she can come to lie, how deep it is there, and who else may be there."""

import math
from typing import Protocol

import numpy as np

from sim.base.arrays import FloatArray
from sim.marking.stay import Stay
from sim.model import layout as lay
from sim.model.params import Neighbour, WorldParams
from sim.model.tackle.catenary import reach_on_bed_m
from sim.record.ground import charted_depths_m

LAG_RAD = math.radians(30.0)  # like boats in one wind lag each other by so much (judgement)
_STEP_RAD = math.radians(5.0)
_HULL_POINTS = 7
_IN_THE_WATER = ("buoy", "rock", "post")


class Berth(Protocol):
    """What circles are drawn from: a bay with its boats, and a stay in it; a run is one."""

    @property
    def params(self) -> WorldParams:
        """The bay and the boats in it."""

    @property
    def stay(self) -> Stay:
        """What is said of the stay."""

    @property
    def loa_m(self) -> float:
        """Length of the own boat."""

    def charted_m(self, north_m: float, east_m: float) -> float:
        """Return the depth below chart datum at a place."""

    def roller_above_bed_m(self, north_m: float, east_m: float, tide_m: float) -> float:
        """Return the height of the roller above the bed at a place and tide."""


def bearings_rad(run: Berth) -> FloatArray:
    """Return the wind's directions to look at, over the sector of the stay."""
    first, last = run.stay.sector_rad
    width = (last - first) % (2.0 * math.pi) or 2.0 * math.pi
    return first + np.linspace(0.0, width, max(int(width / _STEP_RAD), 1) + 1)


def lying(north_m: float, east_m: float, reach: float, loa_m: float, wind_from_rad: FloatArray) -> FloatArray:
    """Return ``float64[n, points, 2]``: points along a hull, bow to stern, lying downwind of an anchor."""
    out = reach + np.linspace(0.0, loa_m, _HULL_POINTS)
    downwind = np.stack([-np.cos(wind_from_rad), -np.sin(wind_from_rad)], axis=-1)
    points: FloatArray = np.array([north_m, east_m]) + out[None, :, None] * downwind[:, None, :]
    return points


def own_reach_m(run: Berth, north_m: float, east_m: float, rode_m: float) -> float:
    """Return how far from the anchor the bow can lie at the lowest water."""
    return reach_on_bed_m(rode_m, run.roller_above_bed_m(north_m, east_m, run.stay.low_m))


def least_ukc_m(run: Berth, north_m: float, east_m: float, rode_m: float) -> tuple[float, tuple[float, float]]:
    """Return the least water under the keel in the whole circle at the lowest water, and where."""
    radius = own_reach_m(run, north_m, east_m, rode_m) + run.loa_m
    rings = np.linspace(0.0, radius, max(int(radius / 2.0), 2))
    angles = np.linspace(0.0, 2.0 * math.pi, 73)
    north = north_m + rings[:, None] * np.cos(angles)
    east = east_m + rings[:, None] * np.sin(angles)
    ukc = charted_depths_m(run.params.bay, north, east) + run.stay.low_m - run.params.boat.hull[lay.H_DRAUGHT]
    worst = np.unravel_index(int(np.argmin(ukc)), ukc.shape)
    return float(ukc[worst]), (float(north[worst]), float(east[worst]))


def least_gap_m(
    run: Berth, north_m: float, east_m: float, rode_m: float, winds_rad: FloatArray
) -> tuple[float, tuple[float, float]] | None:
    """Return the least gap between her hull and any other or a fixed danger, and where; None in an empty bay.

    Boats on chain lie in the same wind as she does, up to 30 degrees early or late. Boats on rope or on a mooring, and
    fixed dangers, are taken at their worst; between two anchors, or with a line ashore, a boat hardly swings.
    """
    own = lying(north_m, east_m, own_reach_m(run, north_m, east_m, rode_m), run.loa_m, winds_rad)
    half_beam = 0.5 * float(run.params.boat.hull[lay.H_BEAM])
    found: list[tuple[float, tuple[float, float]]] = []
    for other in (n for n in run.params.neighbours if n.comes_from_m is None):
        gap, where = gap_to(run, own, winds_rad, other)
        found.append((gap - half_beam, where))
    for mark in run.params.bay.marks:
        if mark.kind in _IN_THE_WATER and run.charted_m(mark.north_m, mark.east_m) > 0.0:
            gap, where = _nearest(own, np.array([[mark.north_m, mark.east_m]]))
            found.append((gap - half_beam, where))
    return min(found, default=None)


def depths_m(run: Berth, points: FloatArray) -> FloatArray:
    """Return the charted depths at ``float64[..., 2]`` places, below datum."""
    return charted_depths_m(run.params.bay, points[..., 0], points[..., 1])


def gap_to(run: Berth, own: FloatArray, winds_rad: FloatArray, other: Neighbour) -> tuple[float, tuple[float, float]]:
    """Return the gap from the own centre line to another boat's side."""
    north, east = other.anchor_north_m, other.anchor_east_m
    hull = other.boat.hull
    depth_m = run.charted_m(north, east) + run.stay.low_m
    reach = reach_on_bed_m(other.rode_m, max(depth_m + other.roller_height_m, 1.0))
    loa_m = float(hull[lay.H_LOA])
    if other.second is not None and other.second.from_stern:
        gap, where = _nearest(own, _between(other, reach))
        return gap - 0.5 * float(hull[lay.H_BEAM]), where
    if other.second is not None:
        north, east = 0.5 * (north + other.second.north_m), 0.5 * (east + other.second.east_m)
        spread = math.hypot(other.second.north_m - north, other.second.east_m - east)
        reach = math.sqrt(max(reach * reach - spread * spread, 0.0))
    if other.rode_kind != "chain":
        gap, where = _nearest(own, np.array([[north, east]]))
        return gap - reach - loa_m, where
    best = math.inf, (0.0, 0.0)
    for lag in (-LAG_RAD, 0.0, LAG_RAD):
        hers = lying(north, east, reach, loa_m, winds_rad + lag)
        for k in range(len(winds_rad)):
            best = min(best, _nearest(own[k : k + 1], hers[k]))
    return best[0] - 0.5 * float(hull[lay.H_BEAM]), best[1]


def _between(other: Neighbour, reach: float) -> FloatArray:
    """Return points along the hull of a boat that lies between her anchor and a line from her stern."""
    second = other.second
    assert second is not None  # asked for such boats only
    to_shore = math.atan2(second.east_m - other.anchor_east_m, second.north_m - other.anchor_north_m)
    out = reach + np.linspace(0.0, float(other.boat.hull[lay.H_LOA]), _HULL_POINTS)
    points: FloatArray = np.array([other.anchor_north_m, other.anchor_east_m]) + out[:, None] * np.array(
        [math.cos(to_shore), math.sin(to_shore)]
    )
    return points


def _nearest(own: FloatArray, points: FloatArray) -> tuple[float, tuple[float, float]]:
    """Return the least distance between any own point and any of ``float64[k, 2]`` points, and the own point."""
    flat = own.reshape(-1, 2)
    distance = np.hypot(flat[:, None, 0] - points[None, :, 0], flat[:, None, 1] - points[None, :, 1])
    k = int(np.argmin(distance)) // points.shape[0]
    return float(distance.min()), (float(flat[k, 0]), float(flat[k, 1]))
