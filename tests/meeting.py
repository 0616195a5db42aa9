"""Hulls that meet, for tests: their momentum, energy and outlines, and a tick with no force but each other's."""

import math
from itertools import pairwise

import numpy as np

from sim.base.frames import to_body, to_world
from sim.base.units import DT_S
from sim.core import contact
from sim.core.near import find_near
from sim.core.world import World
from sim.model import layout as lay
from sim.model.hull.boat import kinetic_energy_j
from sim.model.hull.hull import added_mass_factor


def momentum(w: World, headings: np.ndarray) -> np.ndarray:
    """Return all momentum of hulls and moved water, north and east [N s], in axes at the given headings."""
    total = np.zeros(2)
    for row, hull, heading in zip(w.state.boats, w.constants.hulls, headings, strict=True):
        along = (hull[lay.H_MASS] + hull[lay.H_A11]) * row[lay.B_SURGE]
        shallow = added_mass_factor(row[lay.B_DEPTH], hull)
        across = (hull[lay.H_MASS] + shallow * hull[lay.H_A22]) * row[lay.B_SWAY]
        across += shallow * hull[lay.H_A26] * row[lay.B_YAW_RATE]
        total += to_world(along, across, heading)
    return total


def energy_j(w: World) -> float:
    """Return the energy of motion of all boats [J]."""
    return sum(kinetic_energy_j(row, hull) for row, hull in zip(w.state.boats, w.constants.hulls, strict=True))


def coast(w: World) -> None:
    """Move all boats one tick with no force on them: they keep their velocities over the ground."""
    for row in w.state.boats:
        north, east = to_world(row[lay.B_SURGE], row[lay.B_SWAY], row[lay.B_HEADING])
        row[lay.B_HEADING] += DT_S * row[lay.B_YAW_RATE]
        row[lay.B_SURGE], row[lay.B_SWAY] = to_body(north, east, row[lay.B_HEADING])
        row[lay.B_NORTH] += DT_S * north
        row[lay.B_EAST] += DT_S * east


def meet(w: World) -> list[contact.Contact]:
    """Let hulls that touch push each other."""
    near = np.zeros(len(w.state.boats), np.int64)
    find_near(w.state.boats, w.constants.hulls, w.constants.shore, near, True)
    return contact.resolve(w, near, DT_S)


def corners(w: World, i: int) -> np.ndarray:
    """Return a boat's outline in the world, ``[k, 2]``."""
    row = w.state.boats[i]
    place = row[lay.B_NORTH], row[lay.B_EAST]
    return np.array([np.add(place, to_world(f, s, row[lay.B_HEADING])) for f, s in w.constants.outlines[i]])


def overlap_m(a: np.ndarray, b: np.ndarray) -> float:
    """Return how deep two convex outlines stand in each other along the least separating axis [m], 0 when apart."""
    least = math.inf
    for outline in (a, b):
        for p, q in pairwise([*outline, outline[0]]):
            normal = np.array([q[1] - p[1], p[0] - q[0]]) / max(math.dist(p, q), 1e-9)
            one, two = a @ normal, b @ normal
            least = min(least, one.max() - two.min(), two.max() - one.min())
    return max(least, 0.0)
