"""The segmented chain: 3-D nodes from anchor to roller, moved by one linearly implicit step.

Newton passes on the implicit Euler equations until they settle, each a block-tridiagonal system of 3x3 blocks solved
from the anchor up. Axial stiffness is the chain's own. Bottom contact is a stiff spring with Coulomb friction about a stick point, so that
chain heaps where it falls, lies along the track, and is swept round. Node 0 is the anchor, the last node the roller.

Scheme: M dv = dt F(x + dt v) - M (v - v0), with (M + dt D + dt^2 K) on the left; K of a segment is
(k - g) n n' + g I, k = EA / L0, g = T / l.
"""

import math

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.base.units import RHO_WATER_KGPM3
from sim.model import layout as lay
from sim.model.snubber import nylon
from sim.model.water import charted_depth_m, shear

PASSES = 2  # at least; more follow until the last one has changed little
MOST_PASSES = 12  # a chain that snatches needs more, or the step makes energy
SETTLED_MPS = 0.02  # passes end when the last one changed no node's speed by more
ADDED_MASS = 1.13  # of the chain's own, for water moved with it (judgement)
BED_N_PER_M2 = 5000.0  # stiffness of the bed per metre of chain: it sinks about 4 mm (judgement)
DOWN_N_PER_M = 1e6  # stiffness with which ground holds a buried anchor down (judgement)
SLIP_M = 1e-3  # elastic stick before friction slides; longer ones hide friction loss
ANCHOR_SLIP_M = 0.02
SHORTEST_M = 1e-4
GOLDEN = 2.399963229728653  # golden angle: where coincident nodes are laid apart

# Columns of the scratch table, one row per node.
WORK_COLS = 24
(
    K_AXX, K_AYY, K_AZZ, K_AXY, K_AXZ, K_AYZ,  # diagonal block, then its inverse
    K_BXX, K_BYY, K_BZZ, K_BXY, K_BXZ, K_BYZ,  # block towards the next node
    K_RX, K_RY, K_RZ,  # right-hand side, then the solution
    K_MASS, K_BED, K_V0X, K_V0Y, K_V0Z, K_TENSION, K_STREAM_N, K_STREAM_E, K_LENGTH,
) = range(24)  # fmt: skip


@kernel
def bed_z(north_m: float, east_m: float, raster: FloatArray, depth: FloatArray) -> float:
    """Return the height of the bed above chart datum [m]."""
    return -charted_depth_m(north_m, east_m, raster, depth)


@kernel
def prepare(
    nodes: FloatArray,
    line: FloatArray,
    params: FloatArray,
    anchor_mass_kg: float,
    tide_m: float,
    stream_n: float,
    stream_e: float,
    raster: FloatArray,
    depth: FloatArray,
    work: FloatArray,
) -> None:
    """Fill the scratch table with what stays the same over the passes of a tick."""
    count = int(line[lay.L_COUNT])
    segment = params[lay.LP_SEGMENT]
    per_m = params[lay.LP_MASS] * ADDED_MASS
    for i in range(count):
        above = 0.0
        if i == count - 2:
            above = line[lay.L_TOP]
        elif i < count - 2:
            above = segment
        below = 0.0
        if i == count - 1:
            below = line[lay.L_TOP]
        elif i > 0:
            below = segment
        work[i, K_LENGTH] = 0.5 * (above + below)
        work[i, K_MASS] = per_m * max(work[i, K_LENGTH], 0.05 * segment)
        bed = bed_z(nodes[i, lay.N_NORTH], nodes[i, lay.N_EAST], raster, depth)
        work[i, K_BED] = bed
        share = shear(nodes[i, lay.N_Z] - bed, tide_m - bed)
        work[i, K_STREAM_N] = share * stream_n
        work[i, K_STREAM_E] = share * stream_e
        work[i, K_V0X] = nodes[i, lay.N_VN]
        work[i, K_V0Y] = nodes[i, lay.N_VE]
        work[i, K_V0Z] = nodes[i, lay.N_VZ]
    work[0, K_MASS] += anchor_mass_kg


@kernel
def add_segments(nodes: FloatArray, line: FloatArray, params: FloatArray, dt_s: float, work: FloatArray) -> None:
    """Add tension and stiffness of every segment to the system, and clear it first."""
    count = int(line[lay.L_COUNT])
    ea = params[lay.LP_EA]
    for i in range(count):
        for k in range(K_RZ + 1):
            work[i, k] = 0.0
    dt2 = dt_s * dt_s
    for i in range(count - 1):
        j = i + 1
        rest = line[lay.L_TOP] if i == count - 2 else params[lay.LP_SEGMENT]
        dx = nodes[j, lay.N_NORTH] - nodes[i, lay.N_NORTH] + dt_s * (nodes[j, lay.N_VN] - nodes[i, lay.N_VN])
        dy = nodes[j, lay.N_EAST] - nodes[i, lay.N_EAST] + dt_s * (nodes[j, lay.N_VE] - nodes[i, lay.N_VE])
        dz = nodes[j, lay.N_Z] - nodes[i, lay.N_Z] + dt_s * (nodes[j, lay.N_VZ] - nodes[i, lay.N_VZ])
        length = max(math.sqrt(dx * dx + dy * dy + dz * dz), SHORTEST_M)
        stiff = ea / rest
        tension = stiff * (length - rest)
        work[i, K_TENSION] = tension
        # A segment taut at the last step stays in the system for this one: dropping it at once makes it chatter.
        if tension <= 0.0 and nodes[i, lay.N_ACTIVE] == 0.0:
            continue
        nx = dx / length
        ny = dy / length
        nz = dz / length
        fx = dt_s * tension * nx
        fy = dt_s * tension * ny
        fz = dt_s * tension * nz
        work[i, K_RX] += fx
        work[i, K_RY] += fy
        work[i, K_RZ] += fz
        work[j, K_RX] -= fx
        work[j, K_RY] -= fy
        work[j, K_RZ] -= fz
        g = dt2 * max(tension, 0.0) / length
        a = dt2 * stiff - g
        xx = a * nx * nx + g
        yy = a * ny * ny + g
        zz = a * nz * nz + g
        xy = a * nx * ny
        xz = a * nx * nz
        yz = a * ny * nz
        work[i, K_BXX] = -xx
        work[i, K_BYY] = -yy
        work[i, K_BZZ] = -zz
        work[i, K_BXY] = -xy
        work[i, K_BXZ] = -xz
        work[i, K_BYZ] = -yz
        work[i, K_AXX] += xx
        work[i, K_AYY] += yy
        work[i, K_AZZ] += zz
        work[i, K_AXY] += xy
        work[i, K_AXZ] += xz
        work[i, K_AYZ] += yz
        work[j, K_AXX] += xx
        work[j, K_AYY] += yy
        work[j, K_AZZ] += zz
        work[j, K_AXY] += xy
        work[j, K_AXZ] += xz
        work[j, K_AYZ] += yz


@kernel
def add_drag(nodes: FloatArray, line: FloatArray, params: FloatArray, dt_s: float, work: FloatArray) -> None:
    """Add the water's drag, on the bar's diameter, across and along the chain, implicit in its damping."""
    count = int(line[lay.L_COUNT])
    base = 0.5 * RHO_WATER_KGPM3 * params[lay.LP_DIAMETER]
    normal = params[lay.LP_DRAG_NORMAL]
    tangent = params[lay.LP_DRAG_TANGENT]
    for i in range(count - 1):
        lo = max(i - 1, 0)
        hi = i + 1
        tx = nodes[hi, lay.N_NORTH] - nodes[lo, lay.N_NORTH]
        ty = nodes[hi, lay.N_EAST] - nodes[lo, lay.N_EAST]
        tz = nodes[hi, lay.N_Z] - nodes[lo, lay.N_Z]
        norm = max(math.sqrt(tx * tx + ty * ty + tz * tz), SHORTEST_M)
        tx /= norm
        ty /= norm
        tz /= norm
        vx = nodes[i, lay.N_VN] - work[i, K_STREAM_N]
        vy = nodes[i, lay.N_VE] - work[i, K_STREAM_E]
        vz = nodes[i, lay.N_VZ]
        vt = vx * tx + vy * ty + vz * tz
        px = vx - vt * tx
        py = vy - vt * ty
        pz = vz - vt * tz
        vn = math.sqrt(px * px + py * py + pz * pz)
        scale = base * work[i, K_LENGTH]
        cn = scale * normal * vn
        ct = scale * tangent * abs(vt)
        work[i, K_RX] -= dt_s * (cn * px + ct * vt * tx)
        work[i, K_RY] -= dt_s * (cn * py + ct * vt * ty)
        work[i, K_RZ] -= dt_s * (cn * pz + ct * vt * tz)
        damping = dt_s * max(cn, ct)
        work[i, K_AXX] += damping
        work[i, K_AYY] += damping
        work[i, K_AZZ] += damping


@kernel
def add_bed(
    nodes: FloatArray,
    line: FloatArray,
    params: FloatArray,
    friction: float,
    anchor_weight_n: float,
    anchor_hold_n: float,
    anchor_down_n: float,
    dt_s: float,
    work: FloatArray,
) -> None:
    """Add weight, bed contact and friction; on node 0 the anchor's own resistance and hold-down."""
    count = int(line[lay.L_COUNT])
    weight = params[lay.LP_WEIGHT]
    dt2 = dt_s * dt_s
    for i in range(count - 1):
        length = work[i, K_LENGTH]
        load = weight * length
        if i == 0:
            load += anchor_weight_n
        work[i, K_RZ] -= dt_s * load
        stiff = BED_N_PER_M2 * max(length, 0.05)
        if i == 0:
            stiff = BED_N_PER_M2 * load / weight  # it sinks no deeper than its chain, which would read as uplift
        sunk = work[i, K_BED] - nodes[i, lay.N_Z] - dt_s * nodes[i, lay.N_VZ]
        if sunk > 0.0:
            damping = math.sqrt(stiff * work[i, K_MASS])
            work[i, K_RZ] += dt_s * (stiff * sunk - damping * nodes[i, lay.N_VZ])
            work[i, K_AZZ] += dt2 * stiff + dt_s * damping
        elif i == 0 and anchor_down_n > 0.0 and sunk > -0.3:
            # The ground holds a buried anchor down until the pull upwards exceeds what it can hold.
            secant = min(DOWN_N_PER_M, anchor_down_n / max(-sunk, 1e-6))
            work[0, K_RZ] += dt_s * secant * sunk
            work[0, K_AZZ] += dt2 * secant
        else:
            nodes[i, lay.N_STICK_N] = nodes[i, lay.N_NORTH]
            nodes[i, lay.N_STICK_E] = nodes[i, lay.N_EAST]
            continue
        if i == 0:
            cap = anchor_hold_n
            spring = cap / ANCHOR_SLIP_M
        else:
            cap = friction * min(stiff * max(sunk, 0.0), 20.0 * load)
            spring = friction * load / SLIP_M
        ex = nodes[i, lay.N_NORTH] + dt_s * nodes[i, lay.N_VN] - nodes[i, lay.N_STICK_N]
        ey = nodes[i, lay.N_EAST] + dt_s * nodes[i, lay.N_VE] - nodes[i, lay.N_STICK_E]
        stretch = math.sqrt(ex * ex + ey * ey)
        if spring * stretch > cap:
            spring = cap / stretch
        work[i, K_RX] -= dt_s * spring * ex
        work[i, K_RY] -= dt_s * spring * ey
        work[i, K_AXX] += dt2 * spring
        work[i, K_AYY] += dt2 * spring


@kernel
def add_snubber(
    nodes: FloatArray, line: FloatArray, params: FloatArray, leg_ends: FloatArray, dt_s: float, work: FloatArray
) -> None:
    """Add each snubber leg, a nylon spring from a fairlead to the hooked node."""
    hook = int(line[lay.L_HOOK])
    if hook < 0:
        return
    for leg in range(leg_ends.shape[0]):
        dx = leg_ends[leg, 0] - nodes[hook, lay.N_NORTH] - dt_s * nodes[hook, lay.N_VN]
        dy = leg_ends[leg, 1] - nodes[hook, lay.N_EAST] - dt_s * nodes[hook, lay.N_VE]
        dz = leg_ends[leg, 2] - nodes[hook, lay.N_Z] - dt_s * nodes[hook, lay.N_VZ]
        length = max(math.sqrt(dx * dx + dy * dy + dz * dz), SHORTEST_M)
        tension, stiff = nylon(length, line[lay.L_SNUB_LENGTH], params[lay.LP_SNUB_EA])
        line[lay.L_SNUB_A + leg] = tension
        if tension <= 0.0:
            continue
        nx = dx / length
        ny = dy / length
        nz = dz / length
        work[hook, K_RX] += dt_s * tension * nx
        work[hook, K_RY] += dt_s * tension * ny
        work[hook, K_RZ] += dt_s * tension * nz
        g = dt_s * dt_s * tension / length
        a = dt_s * dt_s * stiff - g
        work[hook, K_AXX] += a * nx * nx + g
        work[hook, K_AYY] += a * ny * ny + g
        work[hook, K_AZZ] += a * nz * nz + g
        work[hook, K_AXY] += a * nx * ny
        work[hook, K_AXZ] += a * nx * nz
        work[hook, K_AYZ] += a * ny * nz


@kernel
def solve(nodes: FloatArray, count: int, work: FloatArray) -> float:
    """Solve the block-tridiagonal system for the change of velocity, add it, and return the largest of it [m/s].

    The last node is driven.

    Block Thomas from the anchor up: A is kept as its inverse, six numbers of a symmetric 3x3 block.
    """
    last = count - 2
    for i in range(count - 1):
        mass = work[i, K_MASS]
        xx = work[i, K_AXX] + mass
        yy = work[i, K_AYY] + mass
        zz = work[i, K_AZZ] + mass
        xy = work[i, K_AXY]
        xz = work[i, K_AXZ]
        yz = work[i, K_AYZ]
        rx = work[i, K_RX] - mass * (nodes[i, lay.N_VN] - work[i, K_V0X])
        ry = work[i, K_RY] - mass * (nodes[i, lay.N_VE] - work[i, K_V0Y])
        rz = work[i, K_RZ] - mass * (nodes[i, lay.N_VZ] - work[i, K_V0Z])
        if i > 0:
            h = i - 1
            bxx = work[h, K_BXX]
            byy = work[h, K_BYY]
            bzz = work[h, K_BZZ]
            bxy = work[h, K_BXY]
            bxz = work[h, K_BXZ]
            byz = work[h, K_BYZ]
            ixx = work[h, K_AXX]
            iyy = work[h, K_AYY]
            izz = work[h, K_AZZ]
            ixy = work[h, K_AXY]
            ixz = work[h, K_AXZ]
            iyz = work[h, K_AYZ]
            # C = inverse * B, then A -= B C and r -= B (inverse r)
            c11 = ixx * bxx + ixy * bxy + ixz * bxz
            c12 = ixx * bxy + ixy * byy + ixz * byz
            c13 = ixx * bxz + ixy * byz + ixz * bzz
            c21 = ixy * bxx + iyy * bxy + iyz * bxz
            c22 = ixy * bxy + iyy * byy + iyz * byz
            c23 = ixy * bxz + iyy * byz + iyz * bzz
            c31 = ixz * bxx + iyz * bxy + izz * bxz
            c32 = ixz * bxy + iyz * byy + izz * byz
            c33 = ixz * bxz + iyz * byz + izz * bzz
            xx -= bxx * c11 + bxy * c21 + bxz * c31
            yy -= bxy * c12 + byy * c22 + byz * c32
            zz -= bxz * c13 + byz * c23 + bzz * c33
            xy -= bxx * c12 + bxy * c22 + bxz * c32
            xz -= bxx * c13 + bxy * c23 + bxz * c33
            yz -= bxy * c13 + byy * c23 + byz * c33
            px = work[h, K_RX]
            py = work[h, K_RY]
            pz = work[h, K_RZ]
            rx -= bxx * px + bxy * py + bxz * pz
            ry -= bxy * px + byy * py + byz * pz
            rz -= bxz * px + byz * py + bzz * pz
        cxx = yy * zz - yz * yz
        cxy = xz * yz - xy * zz
        cxz = xy * yz - xz * yy
        inv = 1.0 / (xx * cxx + xy * cxy + xz * cxz)
        cxx *= inv
        cxy *= inv
        cxz *= inv
        cyy = (xx * zz - xz * xz) * inv
        cyz = (xy * xz - xx * yz) * inv
        czz = (xx * yy - xy * xy) * inv
        work[i, K_AXX] = cxx
        work[i, K_AYY] = cyy
        work[i, K_AZZ] = czz
        work[i, K_AXY] = cxy
        work[i, K_AXZ] = cxz
        work[i, K_AYZ] = cyz
        # The right-hand side is kept as inverse * r.
        work[i, K_RX] = cxx * rx + cxy * ry + cxz * rz
        work[i, K_RY] = cxy * rx + cyy * ry + cyz * rz
        work[i, K_RZ] = cxz * rx + cyz * ry + czz * rz
    largest = 0.0
    for i in range(last, -1, -1):
        if i < last:
            qx = work[i + 1, K_RX]
            qy = work[i + 1, K_RY]
            qz = work[i + 1, K_RZ]
            bx = work[i, K_BXX] * qx + work[i, K_BXY] * qy + work[i, K_BXZ] * qz
            by = work[i, K_BXY] * qx + work[i, K_BYY] * qy + work[i, K_BYZ] * qz
            bz = work[i, K_BXZ] * qx + work[i, K_BYZ] * qy + work[i, K_BZZ] * qz
            work[i, K_RX] -= work[i, K_AXX] * bx + work[i, K_AXY] * by + work[i, K_AXZ] * bz
            work[i, K_RY] -= work[i, K_AXY] * bx + work[i, K_AYY] * by + work[i, K_AYZ] * bz
            work[i, K_RZ] -= work[i, K_AXZ] * bx + work[i, K_AYZ] * by + work[i, K_AZZ] * bz
        nodes[i, lay.N_VN] += work[i, K_RX]
        nodes[i, lay.N_VE] += work[i, K_RY]
        nodes[i, lay.N_VZ] += work[i, K_RZ]
        largest = max(largest, abs(work[i, K_RX]), abs(work[i, K_RY]), abs(work[i, K_RZ]))
    return largest


@kernel
def keep_tensions(nodes: FloatArray, line: FloatArray, params: FloatArray, dt_s: float, work: FloatArray) -> None:
    """Keep each segment's tension as the last pass linearised it, and whether it is taut."""
    count = int(line[lay.L_COUNT])
    for i in range(count - 1):
        j = i + 1
        rest = line[lay.L_TOP] if i == count - 2 else params[lay.LP_SEGMENT]
        dx = nodes[j, lay.N_NORTH] - nodes[i, lay.N_NORTH] + dt_s * (nodes[j, lay.N_VN] - nodes[i, lay.N_VN])
        dy = nodes[j, lay.N_EAST] - nodes[i, lay.N_EAST] + dt_s * (nodes[j, lay.N_VE] - nodes[i, lay.N_VE])
        dz = nodes[j, lay.N_Z] - nodes[i, lay.N_Z] + dt_s * (nodes[j, lay.N_VZ] - nodes[i, lay.N_VZ])
        length = max(math.sqrt(dx * dx + dy * dy + dz * dz), SHORTEST_M)
        # The step changed the segment by the solution's own part along it: that is the tension the solve balanced.
        gx = work[j, K_RX] if j < count - 1 else 0.0
        gy = work[j, K_RY] if j < count - 1 else 0.0
        gz = work[j, K_RZ] if j < count - 1 else 0.0
        grown = ((gx - work[i, K_RX]) * dx + (gy - work[i, K_RY]) * dy + (gz - work[i, K_RZ]) * dz) / length
        was_active = work[i, K_TENSION] > 0.0 or nodes[i, lay.N_ACTIVE] > 0.0
        tension = work[i, K_TENSION] + dt_s * (params[lay.LP_EA] / rest) * grown if was_active else 0.0
        nodes[i, lay.N_ACTIVE] = 1.0 if tension > 0.0 else 0.0
        nodes[i, lay.N_TENSION] = max(tension, 0.0)


@kernel
def move(nodes: FloatArray, line: FloatArray, params: FloatArray, friction: float, hold_n: float, dt_s: float) -> None:
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
    friction: float,
    anchor_mass_kg: float,
    anchor_weight_n: float,
    anchor_hold_n: float,
    anchor_down_n: float,
    tide_m: float,
    stream_n: float,
    stream_e: float,
    raster: FloatArray,
    depth: FloatArray,
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
        friction: sliding friction of chain on this bottom.
        anchor_mass_kg: mass of the anchor.
        anchor_weight_n: its weight in water.
        anchor_hold_n: horizontal resistance of the anchor now.
        anchor_down_n: how hard the ground holds it down.
        tide_m: height of tide.
        stream_n: stream at the surface, north [m/s].
        stream_e: stream at the surface, east [m/s].
        raster: the bay's raster.
        depth: ``float64[rows, columns]`` charted depths.
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
    prepare(nodes, line, params, anchor_mass_kg, tide_m, stream_n, stream_e, raster, depth, work)
    for done in range(MOST_PASSES):
        add_segments(nodes, line, params, dt_s, work)
        add_drag(nodes, line, params, dt_s, work)
        add_bed(nodes, line, params, friction, anchor_weight_n, anchor_hold_n, anchor_down_n, dt_s, work)
        add_snubber(nodes, line, params, leg_ends, dt_s, work)
        change = solve(nodes, count, work)
        keep_tensions(nodes, line, params, dt_s, work)
        if done + 1 >= passes and change < SETTLED_MPS:
            break
    move(nodes, line, params, friction, anchor_hold_n, dt_s)
    nodes[top, lay.N_NORTH] = roller[0]
    nodes[top, lay.N_EAST] = roller[1]
    nodes[top, lay.N_Z] = roller[2]
