"""The segmented chain: 3-D nodes from anchor to roller, moved by one linearly implicit step.

Newton passes on the implicit Euler equations until they settle, each a block-tridiagonal system of 3x3 blocks solved
from the anchor up. Axial stiffness is the chain's own. Bottom contact is a stiff spring with Coulomb friction about a
stick point, so that chain heaps where it falls, lies along the track, and is swept round. Node 0 is the anchor, the
last node the roller.

Scheme: M dv = dt F(x + dt v) - M (v - v0), with (M + dt D + dt^2 K) on the left.
"""

import math

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.base.units import DT_S
from sim.model import layout as lay
from sim.model.groups import End, Ground, Scratch, Sea, Step
from sim.model.tackle.chain_forces import (
    ANCHOR_SLIP_M,
    SLIP_M,
    add_bed,
    add_drag,
    add_segments,
    add_snubber,
    keep_snubber,
    mesh_m,
    prepare,
)
from sim.model.tackle.chain_snag import add_snags, find_snags, note_snag
from sim.model.tackle.chain_solve import keep_tensions, solve

PASSES = 2  # at least; more follow until the last one has changed little
MOST_PASSES = 40  # a chain that snatches needs more, or the step makes energy
SETTLED_MPS = 0.005  # passes end when the last one changed no node's speed by more
GOLDEN = 2.399963229728653  # golden angle: where coincident nodes are laid apart


@kernel
def move(nodes: FloatArray, line: FloatArray, hold_n: float, dt_s: float) -> None:
    """Move every node by its new velocity, and pull its stick point along where friction slides."""
    count = int(line[lay.L_COUNT])
    for i in range(count - 1):
        nodes[i, lay.N_NORTH] += dt_s * nodes[i, lay.N_VN]
        nodes[i, lay.N_EAST] += dt_s * nodes[i, lay.N_VE]
        nodes[i, lay.N_Z] += dt_s * nodes[i, lay.N_VZ]
        slip = ANCHOR_SLIP_M if i == 0 and hold_n > 0.0 else SLIP_M
        ex = nodes[i, lay.N_NORTH] - nodes[i, lay.N_STICK_N]
        ey = nodes[i, lay.N_EAST] - nodes[i, lay.N_STICK_E]
        stretch = math.sqrt(ex * ex + ey * ey)
        if stretch > slip:
            keep = 1.0 - slip / stretch
            nodes[i, lay.N_STICK_N] += keep * ex
            nodes[i, lay.N_STICK_E] += keep * ey


@kernel
def pay_out(nodes: FloatArray, line: FloatArray, params: FloatArray, dt_s: float) -> None:
    """Lengthen or shorten the top segment by the windlass's rate; add or merge a node where it grows or shrinks."""
    segment = mesh_m(line, params)
    line[lay.L_TOP] += line[lay.L_RATE] * dt_s
    line[lay.L_OUT] += line[lay.L_RATE] * dt_s
    count = int(line[lay.L_COUNT])
    roller = count - 1
    below = count - 2
    if line[lay.L_TOP] > 1.5 * segment and count < nodes.shape[0] - 1:
        share = segment / line[lay.L_TOP]
        for k in range(lay.NODE_COLS):
            nodes[count, k] = nodes[roller, k]
        for k in range(lay.N_STICK_N):
            nodes[roller, k] = nodes[below, k] + share * (nodes[count, k] - nodes[below, k])
        gap = math.sqrt(
            (nodes[count, lay.N_NORTH] - nodes[below, lay.N_NORTH]) ** 2
            + (nodes[count, lay.N_EAST] - nodes[below, lay.N_EAST]) ** 2
            + (nodes[count, lay.N_Z] - nodes[below, lay.N_Z]) ** 2
        )
        if gap < 0.1 * segment:
            # Chain dropped on the spot: lay the new node a little aside, in a fixed order, so that no two coincide.
            nodes[roller, lay.N_NORTH] += 0.02 * math.cos(GOLDEN * count)
            nodes[roller, lay.N_EAST] += 0.02 * math.sin(GOLDEN * count)
        nodes[roller, lay.N_STICK_N] = nodes[roller, lay.N_NORTH]
        nodes[roller, lay.N_STICK_E] = nodes[roller, lay.N_EAST]
        nodes[roller, lay.N_TENSION] = nodes[below, lay.N_TENSION]
        nodes[roller, lay.N_ACTIVE] = nodes[below, lay.N_ACTIVE]
        line[lay.L_TOP] -= segment
        line[lay.L_COUNT] = count + 1
    elif line[lay.L_TOP] < 0.5 * segment and count > 2 and int(line[lay.L_HOOK]) != below:
        for k in range(lay.NODE_COLS):
            nodes[below, k] = nodes[roller, k]
        line[lay.L_TOP] += segment
        line[lay.L_COUNT] = count - 1


@kernel
def step_chain(
    nodes: FloatArray,
    line: FloatArray,
    params: FloatArray,
    end: End,
    sea: Sea,
    ground: Ground,
    step: Step,
    scratch: Scratch,
) -> None:
    """Move the chain one step, in place.

    Args:
        nodes: ``float64[NODE_CAP, NODE_COLS]``.
        line: ``float64[LINE_COLS]``; its pull on the boat is written back.
        params: ``float64[LINE_PARAM_COLS]``.
        end: the anchor as the chain feels it.
        sea: tide and stream.
        ground: the bed; each node slides with the friction of the ground under it.
        step: its length, and the Newton passes at least, 2; more follow while the chain snatches.
        scratch: roller and fairleads as they are at the end of the step.
    """
    dt_s = step.dt_s
    roller = scratch.roller
    work = scratch.work
    snags = ground.snags
    pay_out(nodes, line, params, dt_s)
    count = int(line[lay.L_COUNT])
    top = count - 1
    nodes[top, lay.N_VN] = (roller[0] - nodes[top, lay.N_NORTH]) / dt_s
    nodes[top, lay.N_VE] = (roller[1] - nodes[top, lay.N_EAST]) / dt_s
    nodes[top, lay.N_VZ] = (roller[2] - nodes[top, lay.N_Z]) / dt_s
    prepare(nodes, line, params, end.mass_kg, sea, ground, work)
    in_water_m2 = end.drag_m2 if nodes[0, lay.N_Z] < sea.tide_m else 0.0
    near = find_snags(nodes, line, snags, work) if snags.shape[0] > 0 else 0
    for done in range(MOST_PASSES):
        add_segments(nodes, line, dt_s, work)
        add_drag(nodes, line, params, in_water_m2, dt_s, work)
        add_bed(nodes, line, end, dt_s, work)
        add_snubber(nodes, line, params, scratch.legs, dt_s, work)
        if near > 0:
            add_snags(nodes, line, dt_s, work)
        change = solve(nodes, count, work)
        keep_tensions(nodes, line, dt_s, work)
        if done + 1 >= step.passes and change < SETTLED_MPS:
            break
    if snags.shape[0] > 0:
        note_snag(nodes, line, dt_s, work)
    move(nodes, line, end.hold_n, dt_s)
    keep_snubber(nodes, line, params, scratch.legs, dt_s)
    nodes[top, lay.N_NORTH] = roller[0]
    nodes[top, lay.N_EAST] = roller[1]
    nodes[top, lay.N_Z] = roller[2]


@kernel
def surge_chain(
    nodes: FloatArray, line: FloatArray, params: FloatArray, ground: Ground, scratch: Scratch, steps: int
) -> None:
    """Let a chain's roller surge by a metre every six seconds, in place, the anchor fast: for timing one step of it."""
    rest = scratch.roller[0]
    for k in range(steps):
        scratch.roller[0] = rest + 0.5 * math.sin(2.0 * math.pi * k * DT_S / 6.0)
        end = End(20.0, 170.0, 0.1, 1e9, 1e9)
        step_chain(nodes, line, params, end, Sea(8.0, 0.0, 0.0), ground, Step(DT_S, PASSES), scratch)
    scratch.roller[0] = rest
