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
from sim.base.frames import to_body, to_world
from sim.core.near import MARGIN_M
from sim.core.world import World
from sim.model import layout as lay
from sim.model.hull.hull import added_mass_factor

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


def _body(world: World, i: int, dt_s: float) -> pymunk.Body:
    """Return boat ``i`` as pymunk sees her: where she was before this tick's move, with her new velocity."""
    row, hull = world.state.boats[i], world.constants.hulls[i]
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
    shore, hulls = world.constants.shore, world.constants.hulls
    reached = np.zeros(len(shore), bool)
    low, high = np.minimum(shore[:, :2], shore[:, 2:]), np.maximum(shore[:, :2], shore[:, 2:])
    for i in np.flatnonzero(near & 2).tolist():
        at = world.state.boats[i, [lay.B_NORTH, lay.B_EAST]]
        out = hulls[i, lay.H_LOA] + MARGIN_M
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
        shape = pymunk.Poly(bodies[i], [tuple(p) for p in world.constants.outlines[i].tolist()])
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


def _take_up(row: FloatArray, hull: FloatArray, body: pymunk.Body) -> None:
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
    boats, hulls = world.state.boats, world.constants.hulls
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
        _take_up(world.state.boats[i], world.constants.hulls[i], bodies[i])
    for c in found:
        _push_apart(world, c)
    return sorted(found, key=lambda c: (c.boat, c.other))
