"""Contact of hulls with each other and with the shore: the only room that knows pymunk.

pymunk gets poses and velocities and gives back impulses; the hulls' own mass matrices take them up. Its space is built
anew for every tick with anything near anything, so contact carries no hidden state and a restored snapshot runs on
exactly.
"""

import math
from dataclasses import dataclass

import numpy as np
import pymunk

from sim.base.arrays import FloatArray, IntArray
from sim.base.frames import cross, to_body, to_world
from sim.base.kernel import kernel
from sim.core.world import World
from sim.model import layout as lay
from sim.model.hull import added_mass_factor

MARGIN_M = 0.5
FRICTION, ELASTICITY = 0.3, 0.1
ITERATIONS = 15
SLOP_M = 0.01  # hulls may stand this deep in each other
PUSH = 0.1  # of what is deeper, undone in a tick: a space that lives for one tick cannot do it itself


@dataclass(frozen=True)
class Contact:
    """One contact in one tick; ``other`` is -1 for the shore, ``push_m`` (north, east) brings the boat clear of it."""

    boat: int
    other: int
    closing_mps: float
    impulse_ns: float
    push_m: tuple[float, float]


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
def find_near(boats: FloatArray, hulls: FloatArray, shore: FloatArray, near: IntArray) -> int:
    """Mark boats (``near[i]`` 1: another boat, 2: the shore, 3: both) that could touch now; return how many.

    Centre lines closer than the half beams and a margin: boats that lie side by side a few metres apart do not count.
    """
    count = boats.shape[0]
    for i in range(count):
        near[i] = 0
    for i in range(count):
        if boats[i, lay.B_AWAY] > 0.0:
            continue
        for j in range(i + 1, count):
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
    for i in range(count):
        if boats[i, lay.B_AWAY] > 0.0:
            continue
        an, ae, bn, be = keel_line(boats[i], hulls[i])
        reach = 0.5 * hulls[i, lay.H_BEAM] + MARGIN_M
        out = 0.5 * hulls[i, lay.H_LOA] + reach
        for k in range(shore.shape[0]):
            if (
                abs(2.0 * boats[i, lay.B_NORTH] - shore[k, 0] - shore[k, 2])
                > abs(shore[k, 0] - shore[k, 2]) + 2.0 * out
            ):
                continue
            if abs(2.0 * boats[i, lay.B_EAST] - shore[k, 1] - shore[k, 3]) > abs(shore[k, 1] - shore[k, 3]) + 2.0 * out:
                continue
            if segment_gap(an, ae, bn, be, shore[k, 0], shore[k, 1], shore[k, 2], shore[k, 3]) < reach:
                near[i] |= 2
                break
    found = 0
    for i in range(count):
        if near[i] > 0:
            found += 1
    return found


def _body(world: World, i: int, dt_s: float) -> pymunk.Body:
    """Return boat ``i`` as pymunk sees her: where she was before this tick's move, with her new velocity."""
    row, hull = world.state.boats[i], world.packed.hulls[i]
    mass = float(hull[lay.H_MASS] + 0.5 * (hull[lay.H_A11] + hull[lay.H_A22]))
    body = pymunk.Body(mass, float(hull[lay.H_M33]))
    heading = float(row[lay.B_HEADING])
    vn, ve = to_world(float(row[lay.B_SURGE]), float(row[lay.B_SWAY]), heading)
    turn = float(row[lay.B_YAW_RATE])
    body.position = (float(row[lay.B_NORTH]) - dt_s * vn, float(row[lay.B_EAST]) - dt_s * ve)
    body.angle = heading - dt_s * turn
    body.velocity = (vn, ve)
    body.angular_velocity = turn
    return body


def _closing_mps(arbiter: pymunk.Arbiter) -> float:
    """Return the relative speed of the two hulls at the contact, before it, along the contact's normal."""
    points = arbiter.contact_point_set
    if not points.points:
        return 0.0
    p = points.points[0].point_a
    a, b = arbiter.shapes[0].body, arbiter.shapes[1].body
    if a is None or b is None:
        return 0.0
    apart = a.velocity_at_world_point(p) - b.velocity_at_world_point(p)
    return abs(float(apart.dot(points.normal)))


def _push_m(arbiter: pymunk.Arbiter, first: bool) -> tuple[float, float]:
    """Return (north, east) by which to move the first (or the second) of two hulls that stand too deep."""
    points = arbiter.contact_point_set
    deep = max((-p.distance for p in points.points), default=0.0) - SLOP_M
    share = PUSH * max(deep, 0.0) * (-1.0 if first else 1.0)  # the normal leads from the first to the second
    return share * points.normal.x, share * points.normal.y


def _shore_at(world: World, near: IntArray) -> FloatArray:
    """Return ``float64[k, 4]``: the pieces of shore that a boat marked as near it can reach in a step."""
    shore, packed = world.packed.shore, world.packed
    reached = np.zeros(len(shore), bool)
    low, high = np.minimum(shore[:, :2], shore[:, 2:]), np.maximum(shore[:, :2], shore[:, 2:])
    for i in np.flatnonzero(near & 2).tolist():
        at = world.state.boats[i, [lay.B_NORTH, lay.B_EAST]]
        out = packed.hulls[i, lay.H_LOA] + MARGIN_M
        reached |= ((low < at + out) & (high > at - out)).all(axis=1)
    return shore[reached]


def _space(world: World, near: IntArray, dt_s: float) -> tuple[pymunk.Space, dict[int, pymunk.Body], list[Contact]]:
    space = pymunk.Space()
    space.iterations = ITERATIONS
    space.collision_slop = SLOP_M
    bodies: dict[int, pymunk.Body] = {}
    owner: dict[pymunk.Shape, int] = {}
    for i in (int(k) for k in np.flatnonzero(near)):
        bodies[i] = _body(world, i, dt_s)
        shape = pymunk.Poly(bodies[i], [tuple(p) for p in world.packed.outlines[i].tolist()])
        shape.friction, shape.elasticity = FRICTION, ELASTICITY
        owner[shape] = i
        space.add(bodies[i], shape)
    if any(near[i] & 2 for i in bodies):
        for segment in _shore_at(world, near).tolist():
            wall = pymunk.Segment(space.static_body, (segment[0], segment[1]), (segment[2], segment[3]), 0.1)
            wall.friction, wall.elasticity = FRICTION, ELASTICITY
            owner[wall] = -1
            space.add(wall)
    found: list[Contact] = []
    closing: dict[tuple[int, int], float] = {}

    def pair(arbiter: pymunk.Arbiter) -> tuple[int, int]:
        a, b = owner[arbiter.shapes[0]], owner[arbiter.shapes[1]]
        if a < 0:
            return b, a
        if b < 0:
            return a, b
        return min(a, b), max(a, b)

    def before(arbiter: pymunk.Arbiter, _space: pymunk.Space, _data: object) -> None:
        closing[pair(arbiter)] = _closing_mps(arbiter)

    def after(arbiter: pymunk.Arbiter, _space: pymunk.Space, _data: object) -> None:
        a, b = pair(arbiter)
        impulse = float(arbiter.total_impulse.length)
        if impulse > 0.0:
            push = _push_m(arbiter, owner[arbiter.shapes[0]] == a)
            found.append(Contact(a, b, closing.get((a, b), 0.0), impulse, push))

    space.on_collision(pre_solve=before, post_solve=after)
    return space, bodies, found


def _take_up(row: FloatArray, hull: FloatArray, body: pymunk.Body, dt_s: float) -> None:
    """Apply pymunk's impulse through the hull's own mass matrix, and take pymunk's pose."""
    heading = float(row[lay.B_HEADING])
    vn, ve = to_world(float(row[lay.B_SURGE]), float(row[lay.B_SWAY]), heading)
    jn = body.mass * (body.velocity.x - vn)
    je = body.mass * (body.velocity.y - ve)
    jz = body.moment * (body.angular_velocity - float(row[lay.B_YAW_RATE]))
    jx, jy = to_body(jn, je, heading)
    mass, shallow = float(hull[lay.H_MASS]), added_mass_factor(float(row[lay.B_DEPTH]), hull)
    m22, m23 = mass + shallow * float(hull[lay.H_A22]), shallow * float(hull[lay.H_A26])
    m33 = float(hull[lay.H_M33]) + (shallow - 1.0) * float(hull[lay.H_A66])
    det = m22 * m33 - m23 * m23
    row[lay.B_SURGE] += jx / (mass + float(hull[lay.H_A11]))
    row[lay.B_SWAY] += (m33 * jy - m23 * jz) / det
    row[lay.B_YAW_RATE] += (m22 * jz - m23 * jy) / det
    row[lay.B_NORTH], row[lay.B_EAST] = body.position
    row[lay.B_HEADING] = body.angle % (2.0 * math.pi)


def _push_apart(world: World, c: Contact) -> None:
    """Move two hulls apart, the lighter one more; the shore does not move."""
    boats, hulls = world.state.boats, world.packed.hulls
    place = [lay.B_NORTH, lay.B_EAST]
    own = 1.0
    if c.other >= 0:
        own = float(hulls[c.other, lay.H_MASS] / (hulls[c.boat, lay.H_MASS] + hulls[c.other, lay.H_MASS]))
        boats[c.other, place] -= (1.0 - own) * np.array(c.push_m)
    boats[c.boat, place] += own * np.array(c.push_m)


def resolve(world: World, near: IntArray, dt_s: float) -> list[Contact]:
    """Let hulls that are near meet, and return this tick's contacts; ``near`` as ``find_near`` marks it."""
    space, bodies, found = _space(world, near, dt_s)
    space.step(dt_s)
    for i in sorted({b for c in found for b in (c.boat, c.other) if b >= 0}):
        _take_up(world.state.boats[i], world.packed.hulls[i], bodies[i], dt_s)
    for c in found:
        _push_apart(world, c)
    return sorted(found, key=lambda c: (c.boat, c.other))
