"""The segmented chain: 3-D nodes from anchor to roller, moved by one linearly implicit step.

Newton passes on the implicit Euler equations until they settle, each a block-tridiagonal system of 3x3 blocks solved
from the anchor up. Axial stiffness is the chain's own. Bottom contact is a stiff spring with Coulomb friction about a
stick point, so that chain heaps where it falls, lies along the track, and is swept round. Node 0 is the anchor, the
last node the roller.

Scheme: M dv = dt F(x + dt v) - M (v - v0), with (M + dt D + dt^2 K) on the left.
"""

import math

from sim.base.arrays import FloatArray, IntArray
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.chain_forces import (
    ANCHOR_SLIP_M,
    SLIP_M,
    add_bed,
    add_drag,
    add_segments,
    add_snubber,
    prepare,
)
from sim.model.chain_snag import add_snags, find_snags, note_snag
from sim.model.chain_solve import keep_tensions, solve

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
    segment = params[lay.LP_SEGMENT]
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
    roller: FloatArray,
    leg_ends: FloatArray,
    anchor_mass_kg: float,
    anchor_weight_n: float,
    anchor_drag_m2: float,
    anchor_hold_n: float,
    anchor_down_n: float,
    tide_m: float,
    stream_n: float,
    stream_e: float,
    raster: FloatArray,
    depth: FloatArray,
    bottom: IntArray,
    bottoms: FloatArray,
    snags: FloatArray,
    passes: int,
    dt_s: float,
    work: FloatArray,
) -> None:
    """Move the chain one step, in place.

    Args:
        nodes: ``float64[NODE_CAP, NODE_COLS]``.
        line: ``float64[LINE_COLS]``; its pull on the boat is written back.
        params: ``float64[LINE_PARAM_COLS]``.
        roller: ``float64[3]`` north, east, z of the roller at the end of the step.
        leg_ends: ``float64[legs, 3]`` fairleads of the snubber legs.
        anchor_mass_kg: mass of the anchor.
        anchor_weight_n: its weight in water.
        anchor_drag_m2: its drag area, drag coefficient times frontal area.
        anchor_hold_n: horizontal resistance of the anchor now.
        anchor_down_n: how hard the ground holds it down.
        tide_m: height of tide.
        stream_n: stream at the surface, north [m/s].
        stream_e: stream at the surface, east [m/s].
        raster: the bay's raster.
        depth: ``float64[rows, columns]`` charted depths.
        bottom: ``int64[rows, columns]`` which of ``bottoms`` lies where.
        bottoms: ``float64[bottoms, BOTTOM_COLS]``; each node slides with the friction of the ground under it.
        snags: ``float64[snags, SNAG_COLS]``; no rows where the bay has none, and then it costs nothing.
        passes: Newton passes at least, 2; more follow while the chain snatches.
        dt_s: the step.
        work: ``float64[NODE_CAP, WORK_COLS]`` scratch.
    """
    pay_out(nodes, line, params, dt_s)
    count = int(line[lay.L_COUNT])
    top = count - 1
    nodes[top, lay.N_VN] = (roller[0] - nodes[top, lay.N_NORTH]) / dt_s
    nodes[top, lay.N_VE] = (roller[1] - nodes[top, lay.N_EAST]) / dt_s
    nodes[top, lay.N_VZ] = (roller[2] - nodes[top, lay.N_Z]) / dt_s
    prepare(nodes, line, params, anchor_mass_kg, tide_m, stream_n, stream_e, raster, depth, bottom, bottoms, work)
    in_water_m2 = anchor_drag_m2 if nodes[0, lay.N_Z] < tide_m else 0.0
    near = find_snags(nodes, line, snags, work) if snags.shape[0] > 0 else 0
    for done in range(MOST_PASSES):
        add_segments(nodes, line, dt_s, work)
        add_drag(nodes, line, params, in_water_m2, dt_s, work)
        add_bed(nodes, line, anchor_weight_n, anchor_hold_n, anchor_down_n, dt_s, work)
        add_snubber(nodes, line, params, leg_ends, dt_s, work)
        if near > 0:
            add_snags(nodes, line, dt_s, work)
        change = solve(nodes, count, work)
        keep_tensions(nodes, line, dt_s, work)
        if done + 1 >= passes and change < SETTLED_MPS:
            break
    if snags.shape[0] > 0:
        note_snag(nodes, line, dt_s, work)
    move(nodes, line, anchor_hold_n, dt_s)
    nodes[top, lay.N_NORTH] = roller[0]
    nodes[top, lay.N_EAST] = roller[1]
    nodes[top, lay.N_Z] = roller[2]
