"""What a rode catches on: upright posts and rock heads that stand on the bed.

A snag is an upright cylinder with a flat top. A segment that has come inside it is pushed out the nearer way, sideways
or over the top, by a stiff spring, and rubs on it. So a rode swept across the ground bends round a snag and is held
there until it is swept back or lifted over the top.

Left out: one contact a segment, with the snag it is deepest in, where the segment passes nearest to the axis seen from
above; a segment bends at its nodes only, so the bend has the length of a segment or two; the snag neither gives, nor
breaks, nor chafes or jams the rode; anchors do not hook on it; hulls pass it by, and so do other boats' rodes.
"""

import math

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.tackle.chain_forces import (
    K_AXX,
    K_AXY,
    K_AXZ,
    K_AYY,
    K_AYZ,
    K_AZZ,
    K_BXX,
    K_BXY,
    K_BXZ,
    K_BYY,
    K_BYZ,
    K_BZZ,
    K_RX,
    K_RY,
    K_RZ,
    K_SNAG,
    K_SNAG_GAP,
    K_SNAG_NX,
    K_SNAG_NY,
    K_SNAG_NZ,
    K_SNAG_S,
)

SNAG_N_PER_M = 1e6  # it gives 2 cm to the breaking strain of a small chain (judgement)
SNAG_FRICTION = 0.4  # of chain on rock or timber (judgement)
CREEP_MPS = 0.01  # friction has its full value from this speed on; below it the rode creeps
NEAR_M = 0.1  # looked at from this far off: nothing moves further in a step
BEARS_N = 20.0  # a lighter touch is not told


@kernel
def find_snags(nodes: FloatArray, line: FloatArray, snags: FloatArray, work: FloatArray) -> int:
    """Note for every segment the snag it is in or near, and return how many segments are.

    Contact is a plane for the length of a step: where on the segment, which way out, and how far off (negative inside).
    """
    count = int(line[lay.L_COUNT])
    found = 0
    for i in range(count - 1):
        j = i + 1
        work[i, K_SNAG] = 0.0
        deepest = -NEAR_M
        dx = nodes[j, lay.N_NORTH] - nodes[i, lay.N_NORTH]
        dy = nodes[j, lay.N_EAST] - nodes[i, lay.N_EAST]
        reach = math.sqrt(dx * dx + dy * dy) + NEAR_M
        for k in range(snags.shape[0]):
            px = nodes[i, lay.N_NORTH] - snags[k, lay.SG_NORTH]
            py = nodes[i, lay.N_EAST] - snags[k, lay.SG_EAST]
            most = reach + snags[k, lay.SG_RADIUS]
            if px * px + py * py > most * most:
                continue
            along = min(max(-(px * dx + py * dy) / max(dx * dx + dy * dy, 1e-12), 0.0), 1.0)
            px += along * dx
            py += along * dy
            away = math.sqrt(px * px + py * py)
            z = nodes[i, lay.N_Z] + along * (nodes[j, lay.N_Z] - nodes[i, lay.N_Z])
            below = snags[k, lay.SG_TOP] - z
            inside = snags[k, lay.SG_RADIUS] - away
            if min(below, inside) <= deepest:
                continue
            deepest = min(below, inside)
            work[i, K_SNAG] = k + 1.0
            work[i, K_SNAG_S] = along
            work[i, K_SNAG_GAP] = -deepest
            work[i, K_SNAG_NX] = 0.0
            work[i, K_SNAG_NY] = 0.0
            work[i, K_SNAG_NZ] = 1.0
            if inside < below and away > 1e-9:
                work[i, K_SNAG_NX] = px / away
                work[i, K_SNAG_NY] = py / away
                work[i, K_SNAG_NZ] = 0.0
        if work[i, K_SNAG] > 0.0:
            found += 1
    return found


@kernel
def add_snags(nodes: FloatArray, line: FloatArray, dt_s: float, work: FloatArray) -> None:
    """Add the push of every snag and its friction to the system, shared between the two nodes of a segment."""
    dt2 = dt_s * dt_s
    for i in range(int(line[lay.L_COUNT]) - 1):
        if work[i, K_SNAG] == 0.0:
            continue
        j = i + 1
        s = work[i, K_SNAG_S]
        q = 1.0 - s
        nx = work[i, K_SNAG_NX]
        ny = work[i, K_SNAG_NY]
        nz = work[i, K_SNAG_NZ]
        vx = q * nodes[i, lay.N_VN] + s * nodes[j, lay.N_VN]
        vy = q * nodes[i, lay.N_VE] + s * nodes[j, lay.N_VE]
        vz = q * nodes[i, lay.N_VZ] + s * nodes[j, lay.N_VZ]
        out = vx * nx + vy * ny + vz * nz
        push = -SNAG_N_PER_M * (work[i, K_SNAG_GAP] + dt_s * out)
        if push <= 0.0:
            continue
        tx = vx - out * nx
        ty = vy - out * ny
        tz = vz - out * nz
        rub = SNAG_FRICTION * push / max(math.sqrt(tx * tx + ty * ty + tz * tz), CREEP_MPS)
        fx = dt_s * (push * nx - rub * tx)
        fy = dt_s * (push * ny - rub * ty)
        fz = dt_s * (push * nz - rub * tz)
        g = dt_s * rub
        a = dt2 * SNAG_N_PER_M - g
        xx = a * nx * nx + g
        yy = a * ny * ny + g
        zz = a * nz * nz + g
        xy = a * nx * ny
        xz = a * nx * nz
        yz = a * ny * nz
        for own in range(2):
            node = i + own
            share = s if own == 1 else q
            work[node, K_RX] += share * fx
            work[node, K_RY] += share * fy
            work[node, K_RZ] += share * fz
            work[node, K_AXX] += share * share * xx
            work[node, K_AYY] += share * share * yy
            work[node, K_AZZ] += share * share * zz
            work[node, K_AXY] += share * share * xy
            work[node, K_AXZ] += share * share * xz
            work[node, K_AYZ] += share * share * yz
        work[i, K_BXX] += s * q * xx
        work[i, K_BYY] += s * q * yy
        work[i, K_BZZ] += s * q * zz
        work[i, K_BXY] += s * q * xy
        work[i, K_BXZ] += s * q * xz
        work[i, K_BYZ] += s * q * yz


@kernel
def note_snag(nodes: FloatArray, line: FloatArray, dt_s: float, work: FloatArray) -> None:
    """Write into ``line`` which snag pushes hardest in this step, if one pushes at all."""
    line[lay.L_SNAG] = 0.0
    hardest = BEARS_N
    for i in range(int(line[lay.L_COUNT]) - 1):
        if work[i, K_SNAG] == 0.0:
            continue
        j = i + 1
        s = work[i, K_SNAG_S]
        out = (
            ((1.0 - s) * nodes[i, lay.N_VN] + s * nodes[j, lay.N_VN]) * work[i, K_SNAG_NX]
            + ((1.0 - s) * nodes[i, lay.N_VE] + s * nodes[j, lay.N_VE]) * work[i, K_SNAG_NY]
            + ((1.0 - s) * nodes[i, lay.N_VZ] + s * nodes[j, lay.N_VZ]) * work[i, K_SNAG_NZ]
        )
        push = -SNAG_N_PER_M * (work[i, K_SNAG_GAP] + dt_s * out)
        if push > hardest:
            hardest = push
            line[lay.L_SNAG] = work[i, K_SNAG]
