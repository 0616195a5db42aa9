"""Fitting a rode with nodes further apart, or closer again, as it lies: path, tension and anchor stay."""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.core.world import World
from sim.model import layout as lay
from sim.model.tackle.chain_forces import mesh_m


def own_m(world: World, rode: int) -> float:
    """Return how far apart a rode's nodes are as its tackle says [m]."""
    return float(world.constants.lines[rode, lay.LP_SEGMENT])


def fitting_m(world: World, rode: int, about_m: float) -> float:
    """Return a distance of nodes near ``about_m`` that fits [m]: a whole number up to the hook, or to the rope.

    A line ashore is rope from its first metre: nothing is to be met there.
    """
    line, params = world.state.lines[rode], world.params.rodes[rode].line
    own = float(params[lay.LP_SEGMENT])
    out, leader = float(line[lay.L_OUT]), float(params[lay.LP_LEADER])
    fixed = about_m
    if line[lay.L_HOOK] > 0.0:
        fixed = own * float(line[lay.L_HOOK])
    elif 0.0 < leader < out:
        fixed = leader
    return fixed / max(round(fixed / about_m), 1)


def _along(count: int, segment: float, top: float) -> FloatArray:
    """Return ``float64[count]``: unstretched length from the anchor to each node."""
    out = segment * np.arange(count, dtype=float)
    out[-1] = segment * (count - 2) + top
    return out


def refit(world: World, rode: int, to_m: float) -> None:
    """Lay a rode's nodes ``to_m`` apart along the path it lies on, in place; a rode that is not out stays as it is."""
    s = world.state
    line, nodes = s.lines[rode], s.nodes[rode]
    count = int(line[lay.L_COUNT])
    from_m = segment_m(world, rode)
    line[lay.L_MESH] = to_m if to_m != own_m(world, rode) else 0.0
    if count < 2 or to_m == from_m:
        return
    old = _along(count, from_m, float(line[lay.L_TOP]))
    length = float(old[-1])
    hook = round(float(line[lay.L_HOOK]) * from_m / to_m) if line[lay.L_HOOK] >= 0.0 else -1
    segments = max(math.floor(length / to_m + 0.5), hook + 1, 1)
    top = length - (segments - 1) * to_m
    new = _along(segments + 1, to_m, top)
    fitted = np.zeros_like(nodes)
    for k in range(lay.N_TENSION):
        fitted[: segments + 1, k] = np.interp(new, old, nodes[:count, k])
    middle = 0.5 * (new[1:] + new[:-1])
    above = np.clip(np.searchsorted(old, middle, side="right") - 1, 0, count - 2)
    for k in (lay.N_TENSION, lay.N_ACTIVE):
        fitted[:segments, k] = nodes[above, k]
    nodes[:] = fitted
    line[lay.L_COUNT], line[lay.L_TOP], line[lay.L_HOOK], line[lay.L_CROSSED] = segments + 1, top, hook, -1.0


def segment_m(world: World, rode: int) -> float:
    """Return how far apart a rode's nodes are now [m]."""
    return float(mesh_m(world.state.lines[rode], world.constants.lines[rode]))
