"""Forces on a chain's nodes: tension, weight, drag, bed and snubber, with their stiffness, into one scratch table.

The table holds, row by row, the diagonal block of each node, the block towards the next one, and the right-hand side
dt F(x + dt v); ``chain_solve`` adds M (v0 - v) and solves. K of a segment is (k - g) n n' + g I with k = EA / L0 and
g = T / l.
"""

import math

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.base.units import RHO_WATER_KGPM3
from sim.model import layout as lay
from sim.model.groups import End, Ground, Sea
from sim.model.tackle.snubber import lag, line_pull
from sim.model.water.water import bottom_at, charted_depth_m, shear

ADDED_MASS = 1.13  # of the chain's own, for water moved with it (judgement)
BED_N_PER_M2 = 5000.0  # stiffness of the bed per metre of chain: it sinks about 4 mm (judgement)
DOWN_N_PER_M = 1e7  # stiffness with which ground holds a buried anchor down (judgement)
SLIP_M = 1e-3  # elastic stick before friction slides; longer ones hide friction loss
ANCHOR_SLIP_M = 0.02
SHORTEST_M = 1e-4

WORK_COLS = 35
# fmt: off
(
    K_AXX, K_AYY, K_AZZ, K_AXY, K_AXZ, K_AYZ,  # diagonal block, then its inverse
    K_BXX, K_BYY, K_BZZ, K_BXY, K_BXZ, K_BYZ,  # block towards the next node
    K_RX, K_RY, K_RZ,  # right-hand side, then the solution
    K_MASS, K_WEIGHT, K_LENGTH, K_FRICTION, K_BED, K_STREAM_N, K_STREAM_E,  # of the node
    K_V0X, K_V0Y, K_V0Z,  # its velocity before the step
    K_TENSION, K_REST, K_EA, K_DIAMETER,  # of the segment above it; the diameter as far as the node is in the water
    K_SNAG, K_SNAG_S, K_SNAG_NX, K_SNAG_NY, K_SNAG_NZ, K_SNAG_GAP,  # of the snag that the segment above is near
) = range(WORK_COLS)
# fmt: on


@kernel
def bed_z(north_m: float, east_m: float, raster: FloatArray, depth: FloatArray) -> float:
    """Return the height of the bed above chart datum [m]."""
    return -charted_depth_m(north_m, east_m, raster, depth)


@kernel
def mesh_m(line: FloatArray, params: FloatArray) -> float:
    """Return how far apart a rode's nodes are now: its own segment's length, or what it was fitted with since [m]."""
    return line[lay.L_MESH] if line[lay.L_MESH] > 0.0 else params[lay.LP_SEGMENT]


@kernel
def is_rope(params: FloatArray, segment: int, apart_m: float) -> bool:
    """Return whether a segment, counted from the anchor, is rope: behind the chain leader of a mixed rode."""
    return (segment + 0.5) * apart_m > params[lay.LP_LEADER]


@kernel
def prepare(
    nodes: FloatArray,
    line: FloatArray,
    params: FloatArray,
    anchor_mass_kg: float,
    sea: Sea,
    ground: Ground,
    work: FloatArray,
) -> None:
    """Fill the scratch table with what stays the same over the passes of a tick, node by node."""
    count = int(line[lay.L_COUNT])
    segment = mesh_m(line, params)
    length_below = 0.0
    mass_below = 0.0
    weight_below = 0.0
    for i in range(count):
        length = 0.0
        mass = 0.0
        weight = 0.0
        if i < count - 1:
            length = line[lay.L_TOP] if i == count - 2 else segment
            work[i, K_REST] = length
            if is_rope(params, i, segment):
                mass = params[lay.LP_ROPE_MASS] * ADDED_MASS * length
                weight = params[lay.LP_ROPE_WEIGHT] * length
                work[i, K_EA] = params[lay.LP_ROPE_EA]
                work[i, K_DIAMETER] = params[lay.LP_ROPE_DIAMETER]
            else:
                mass = params[lay.LP_MASS] * ADDED_MASS * length
                weight = params[lay.LP_WEIGHT] * length
                work[i, K_EA] = params[lay.LP_EA]
                work[i, K_DIAMETER] = params[lay.LP_DIAMETER]
        work[i, K_LENGTH] = 0.5 * (length + length_below)
        work[i, K_WEIGHT] = 0.5 * (weight + weight_below)
        # A node beside a very short segment keeps some mass, or the step loses its footing.
        work[i, K_MASS] = max(0.5 * (mass + mass_below), 0.05 * params[lay.LP_MASS] * ADDED_MASS * segment)
        length_below = length
        mass_below = mass
        weight_below = weight
        north = nodes[i, lay.N_NORTH]
        east = nodes[i, lay.N_EAST]
        bed = bed_z(north, east, ground.raster, ground.depth)
        work[i, K_BED] = bed
        work[i, K_FRICTION] = ground.bottoms[bottom_at(north, east, ground.raster, ground.bottom), lay.G_FRICTION]
        wet = 0.5 + (sea.tide_m - nodes[i, lay.N_Z]) / max(work[i, K_LENGTH], 0.05)
        work[i, K_DIAMETER] *= min(max(wet, 0.0), 1.0)  # what hangs above the water drags through air
        share = shear(nodes[i, lay.N_Z] - bed, sea.tide_m - bed)
        work[i, K_STREAM_N] = share * sea.stream_n
        work[i, K_STREAM_E] = share * sea.stream_e
        work[i, K_V0X] = nodes[i, lay.N_VN]
        work[i, K_V0Y] = nodes[i, lay.N_VE]
        work[i, K_V0Z] = nodes[i, lay.N_VZ]
    work[0, K_MASS] += anchor_mass_kg
    crossed = int(line[lay.L_CROSSED])
    if 0 < crossed < count - 1:
        # Another rode lies across: lifted by h it hangs down either side, as steep as it was laid (about 2 h + 2 m).
        height = max(nodes[crossed, lay.N_Z] - work[crossed, K_BED], 0.0)
        work[crossed, K_WEIGHT] += line[lay.L_CROSS_WEIGHT] * (2.0 * height + 2.0)


@kernel
def add_segments(nodes: FloatArray, line: FloatArray, dt_s: float, work: FloatArray) -> None:
    """Add tension and stiffness of every segment to the system, and clear it first."""
    count = int(line[lay.L_COUNT])
    for i in range(count):
        for k in range(K_RZ + 1):
            work[i, k] = 0.0
    dt2 = dt_s * dt_s
    for i in range(count - 1):
        j = i + 1
        rest = work[i, K_REST]
        dx = nodes[j, lay.N_NORTH] - nodes[i, lay.N_NORTH] + dt_s * (nodes[j, lay.N_VN] - nodes[i, lay.N_VN])
        dy = nodes[j, lay.N_EAST] - nodes[i, lay.N_EAST] + dt_s * (nodes[j, lay.N_VE] - nodes[i, lay.N_VE])
        dz = nodes[j, lay.N_Z] - nodes[i, lay.N_Z] + dt_s * (nodes[j, lay.N_VZ] - nodes[i, lay.N_VZ])
        length = max(math.sqrt(dx * dx + dy * dy + dz * dz), SHORTEST_M)
        stiff = work[i, K_EA] / rest
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
def add_drag(
    nodes: FloatArray, line: FloatArray, params: FloatArray, anchor_m2: float, dt_s: float, work: FloatArray
) -> None:
    """Add the water's drag, on the bar's diameter, across and along the chain, implicit in its damping.

    The anchor, node 0, drags besides by its area, whichever way it goes.
    """
    count = int(line[lay.L_COUNT])
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
        scale = 0.5 * RHO_WATER_KGPM3 * work[i, K_DIAMETER] * work[i, K_LENGTH]
        cn = scale * normal * vn
        ct = scale * tangent * abs(vt)
        work[i, K_RX] -= dt_s * (cn * px + ct * vt * tx)
        work[i, K_RY] -= dt_s * (cn * py + ct * vt * ty)
        work[i, K_RZ] -= dt_s * (cn * pz + ct * vt * tz)
        damping = dt_s * max(cn, ct)
        if i == 0:
            ca = 0.5 * RHO_WATER_KGPM3 * anchor_m2 * math.sqrt(vx * vx + vy * vy + vz * vz)
            work[0, K_RX] -= dt_s * ca * vx
            work[0, K_RY] -= dt_s * ca * vy
            work[0, K_RZ] -= dt_s * ca * vz
            damping += dt_s * ca
        work[i, K_AXX] += damping
        work[i, K_AYY] += damping
        work[i, K_AZZ] += damping


@kernel
def add_bed(nodes: FloatArray, line: FloatArray, end: End, dt_s: float, work: FloatArray) -> None:
    """Add weight, bed contact and friction; on node 0 the anchor's own resistance and hold-down."""
    count = int(line[lay.L_COUNT])
    dt2 = dt_s * dt_s
    for i in range(count - 1):
        length = work[i, K_LENGTH]
        load = work[i, K_WEIGHT]
        friction = work[i, K_FRICTION]
        if i == 0:
            load += end.weight_n
        work[i, K_RZ] -= dt_s * load
        stiff = BED_N_PER_M2 * max(length, 0.05)
        if i == 0:
            stiff = (
                stiff * load / max(work[i, K_WEIGHT], 1e-3)
            )  # it sinks no deeper than its chain, which would read as uplift
        sunk = work[i, K_BED] - nodes[i, lay.N_Z] - dt_s * nodes[i, lay.N_VZ]
        if sunk > 0.0:
            damping = math.sqrt(stiff * work[i, K_MASS])
            work[i, K_RZ] += dt_s * (stiff * sunk - damping * nodes[i, lay.N_VZ])
            work[i, K_AZZ] += dt2 * stiff + dt_s * damping
        elif i == 0 and end.down_n > 0.0 and sunk > -0.3:
            # The ground holds a buried anchor down until the pull upwards exceeds what it can hold.
            secant = min(DOWN_N_PER_M, end.down_n / max(-sunk, 1e-6))
            work[0, K_RZ] += dt_s * secant * sunk
            work[0, K_AZZ] += dt2 * secant
        else:
            nodes[i, lay.N_STICK_N] = nodes[i, lay.N_NORTH]
            nodes[i, lay.N_STICK_E] = nodes[i, lay.N_EAST]
            continue
        if i == 0:
            cap = end.hold_n
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
        was = line[lay.L_LEG_A + leg] if line[lay.L_LEG_A + leg] > 0.0 else length
        tension, stiff = line_pull(
            line[lay.L_LAG_A + leg], was, length, line[lay.L_SNUB_LENGTH], params[lay.LP_SNUB_EA], dt_s
        )
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
def keep_snubber(nodes: FloatArray, line: FloatArray, params: FloatArray, leg_ends: FloatArray, dt_s: float) -> None:
    """Keep each snubber leg's length and what lags in it at the end of a step, in place; nothing without a hook."""
    hook = int(line[lay.L_HOOK])
    for leg in range(leg_ends.shape[0]):
        if hook < 0:
            line[lay.L_LEG_A + leg] = 0.0
            line[lay.L_LAG_A + leg] = 0.0
            continue
        dx = leg_ends[leg, 0] - nodes[hook, lay.N_NORTH]
        dy = leg_ends[leg, 1] - nodes[hook, lay.N_EAST]
        dz = leg_ends[leg, 2] - nodes[hook, lay.N_Z]
        length = max(math.sqrt(dx * dx + dy * dy + dz * dz), SHORTEST_M)
        was = line[lay.L_LEG_A + leg] if line[lay.L_LEG_A + leg] > 0.0 else length
        behind, _ = lag(line[lay.L_LAG_A + leg], was, length, line[lay.L_SNUB_LENGTH], params[lay.LP_SNUB_EA], dt_s)
        line[lay.L_LAG_A + leg] = behind
        line[lay.L_LEG_A + leg] = length
