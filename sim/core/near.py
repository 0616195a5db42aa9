"""Hulls that are near each other or near the shore, found without any contact solver."""

import math

from sim.base.arrays import FloatArray, IntArray
from sim.base.frames import cross, to_world
from sim.base.kernel import kernel
from sim.model import layout as lay

MARGIN_M = 0.5
FAR_M = 1e6  # stands for no gap at all


@kernel
def point_gap(pn: float, pe: float, an: float, ae: float, bn: float, be: float) -> float:
    """Return the distance from a point to the segment from a to b [m]."""
    dn = bn - an
    de = be - ae
    along = ((pn - an) * dn + (pe - ae) * de) / max(dn * dn + de * de, 1e-12)
    along = min(max(along, 0.0), 1.0)
    return math.hypot(pn - an - along * dn, pe - ae - along * de)


@kernel
def segment_gap(an: float, ae: float, bn: float, be: float, cn: float, ce: float, dn: float, de: float) -> float:
    """Return the distance between the segments a-b and c-d [m], 0 where they cross."""
    if cross(an, ae, bn, be, cn, ce, dn, de):
        return 0.0
    near = min(point_gap(an, ae, cn, ce, dn, de), point_gap(bn, be, cn, ce, dn, de))
    return min(near, point_gap(cn, ce, an, ae, bn, be), point_gap(dn, de, an, ae, bn, be))


@kernel
def keel_line(boat: FloatArray, hull: FloatArray) -> tuple[float, float, float, float]:
    """Return (north, east) of stern and of stem."""
    dn, de = to_world(0.5 * hull[lay.H_LOA], 0.0, boat[lay.B_HEADING])
    north = boat[lay.B_NORTH]
    east = boat[lay.B_EAST]
    return north - dn, east - de, north + dn, east + de


@kernel
def mark_boats(boats: FloatArray, hulls: FloatArray, near: IntArray, i: int) -> None:
    """Mark boat ``i`` and every later one that it could touch now, in place: bit 1."""
    for j in range(i + 1, boats.shape[0]):
        if boats[j, lay.B_AWAY] > 0.0:
            continue
        dn = boats[i, lay.B_NORTH] - boats[j, lay.B_NORTH]
        de = boats[i, lay.B_EAST] - boats[j, lay.B_EAST]
        beams = 0.5 * (hulls[i, lay.H_BEAM] + hulls[j, lay.H_BEAM]) + MARGIN_M
        reach = 0.5 * (hulls[i, lay.H_LOA] + hulls[j, lay.H_LOA]) + beams  # a twin hull has corners
        if dn * dn + de * de < reach * reach:
            an, ae, bn, be = keel_line(boats[i], hulls[i])
            cn, ce, fn, fe = keel_line(boats[j], hulls[j])
            if segment_gap(an, ae, bn, be, cn, ce, fn, fe) < beams:
                near[i] |= 1
                near[j] |= 1


@kernel
def mark_shore(boat: FloatArray, hull: FloatArray, shore: FloatArray) -> int:
    """Return 2 where a boat could touch the shore now (``float64[k, 4]`` of segments), else 0."""
    an, ae, bn, be = keel_line(boat, hull)
    reach = 0.5 * hull[lay.H_BEAM] + MARGIN_M
    out = 0.5 * hull[lay.H_LOA] + reach
    for k in range(shore.shape[0]):
        long_n = abs(shore[k, 0] - shore[k, 2]) + 2.0 * out
        if abs(2.0 * boat[lay.B_NORTH] - shore[k, 0] - shore[k, 2]) > long_n:
            continue
        long_e = abs(shore[k, 1] - shore[k, 3]) + 2.0 * out
        if abs(2.0 * boat[lay.B_EAST] - shore[k, 1] - shore[k, 3]) > long_e:
            continue
        if segment_gap(an, ae, bn, be, shore[k, 0], shore[k, 1], shore[k, 2], shore[k, 3]) < reach:
            return 2
    return 0


@kernel
def find_near(boats: FloatArray, hulls: FloatArray, shore: FloatArray, near: IntArray, everyone: bool) -> int:
    """Mark boats (``near[i]`` 1: another boat, 2: the shore, 3: both) that could touch now; return how many.

    Centre lines closer than the half beams and a margin: boats that lie side by side a few metres apart do not count.
    Where not ``everyone`` is looked at, the own boat alone is, and marks that are there stay: the others are looked at
    often enough that nothing comes through the margin in between.
    """
    count = boats.shape[0]
    if everyone:
        for i in range(count):
            near[i] = 0
    for i in range(count if everyone else 1):
        if boats[i, lay.B_AWAY] == 0.0:
            mark_boats(boats, hulls, near, i)
            near[i] |= mark_shore(boats[i], hulls[i], shore)
    found = 0
    for i in range(count):
        if near[i] > 0:
            found += 1
    return found


@kernel
def nearest(boats: FloatArray, hulls: FloatArray) -> tuple[float, int]:
    """Return the least gap from the own hull to another [m], between centre lines less half beams, and whose."""
    least = FAR_M
    whose = 0
    an, ae, bn, be = keel_line(boats[0], hulls[0])
    for i in range(1, boats.shape[0]):
        if boats[i, lay.B_AWAY] > 0.0:
            continue
        dn = boats[i, lay.B_NORTH] - boats[0, lay.B_NORTH]
        de = boats[i, lay.B_EAST] - boats[0, lay.B_EAST]
        half = 0.5 * (hulls[i, lay.H_BEAM] + hulls[0, lay.H_BEAM])
        if math.hypot(dn, de) - 0.5 * (hulls[i, lay.H_LOA] + hulls[0, lay.H_LOA]) - half > least:
            continue
        cn, ce, fn, fe = keel_line(boats[i], hulls[i])
        gap = max(segment_gap(an, ae, bn, be, cn, ce, fn, fe) - half, 0.0)
        if gap < least:
            least = gap
            whose = i
    return least, whose
