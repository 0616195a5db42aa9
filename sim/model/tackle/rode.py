"""One rode, whole: windlass, chain, anchor and snubber stepped together, and their pull on the boat."""

import math

from sim.base.arrays import FloatArray
from sim.base.frames import cross, to_body, to_world
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.groups import End, Ground, Here, Lying, Scratch, Sea, Step, Tackle
from sim.model.tackle.anchor import step_anchor
from sim.model.tackle.chain import step_chain
from sim.model.tackle.chain_forces import bed_z, is_rope, mesh_m
from sim.model.tackle.windlass import HOME_M, run_windlass
from sim.model.water.water import bottom_at, patchiness

AWEIGH_M = 0.3  # off the bed by this much, an anchor is aweigh
LEG_BELOW_ROLLER_M = 0.2
CHAFE_S = 150.0
ASHORE_N, ASHORE_KG = 1e6, 1e15  # a line's end made fast ashore does not move: 0.4 mm in ten hours under 600 N


@kernel
def fairleads(boat: FloatArray, params: FloatArray, tide_m: float, roller: FloatArray, leg_ends: FloatArray) -> None:
    """Write the places of a rode's roller (``float64[3]``) and of the snubber's fairleads (``float64[legs, 3]``)."""
    n, e = to_world(params[lay.LP_LEAD_X], params[lay.LP_LEAD_Y], boat[lay.B_HEADING])
    roller[0] = boat[lay.B_NORTH] + n
    roller[1] = boat[lay.B_EAST] + e
    roller[2] = tide_m + params[lay.LP_ROLLER_Z] + boat[lay.B_HEAVE]
    legs = leg_ends.shape[0]
    for leg in range(legs):
        n, e = to_world(params[lay.LP_LEAD_X], leg_side(params, leg, legs), boat[lay.B_HEADING])
        leg_ends[leg, 0] = boat[lay.B_NORTH] + n
        leg_ends[leg, 1] = boat[lay.B_EAST] + e
        leg_ends[leg, 2] = roller[2] - LEG_BELOW_ROLLER_M


@kernel
def leg_side(params: FloatArray, leg: int, legs: int) -> float:
    """Return how far to starboard a snubber leg is made fast: amidships, or on either bow where there are two."""
    return params[lay.LP_BRIDLE_Y] * (2.0 * leg - 1.0) if legs > 1 else 0.0


@kernel
def heap_m(nodes: FloatArray, count: int, segment_m: float) -> float:
    """Return the length of chain lying within two metres of the anchor beyond one layer [m]."""
    near = 0
    for i in range(1, count - 1):
        dn = nodes[i, lay.N_NORTH] - nodes[0, lay.N_NORTH]
        de = nodes[i, lay.N_EAST] - nodes[0, lay.N_EAST]
        if dn * dn + de * de < 4.0 and nodes[i, lay.N_Z] < nodes[0, lay.N_Z] + 0.3:
            near += 1
    return max(near * segment_m - 2.0, 0.0)


@kernel
def let_go(nodes: FloatArray, line: FloatArray, roller: FloatArray) -> None:
    """Take a stowed anchor over the roller: two nodes, the anchor just below it, in place."""
    line[lay.L_COUNT] = 2.0
    line[lay.L_OUT] = HOME_M
    line[lay.L_TOP] = HOME_M
    line[lay.L_CROSSED] = -1.0
    for i in range(2):
        for k in range(lay.NODE_COLS):
            nodes[i, k] = 0.0
        nodes[i, lay.N_NORTH] = roller[0]
        nodes[i, lay.N_EAST] = roller[1]
        nodes[i, lay.N_Z] = roller[2] - HOME_M * (1 - i)
        nodes[i, lay.N_STICK_N] = roller[0]
        nodes[i, lay.N_STICK_E] = roller[1]


@kernel
def pull_on_boat(
    nodes: FloatArray,
    line: FloatArray,
    params: FloatArray,
    boat: FloatArray,
    leg_ends: FloatArray,
) -> None:
    """Write tension at the roller and the whole rode's pull on the boat into ``line``, in place."""
    count = int(line[lay.L_COUNT])
    top = count - 1
    dx = nodes[top - 1, lay.N_NORTH] - nodes[top, lay.N_NORTH]
    dy = nodes[top - 1, lay.N_EAST] - nodes[top, lay.N_EAST]
    dz = nodes[top - 1, lay.N_Z] - nodes[top, lay.N_Z]
    length = max(math.sqrt(dx * dx + dy * dy + dz * dz), 1e-6)
    tension = nodes[top - 1, lay.N_TENSION]
    rope = is_rope(params, top - 1, mesh_m(line, params))
    per_m = params[lay.LP_ROPE_WEIGHT] if rope else params[lay.LP_WEIGHT]
    half_top = 0.5 * per_m * line[lay.L_TOP]
    fn = tension * dx / length
    fe = tension * dy / length
    fz = tension * dz / length - half_top
    line[lay.L_TENSION] = math.sqrt(fn * fn + fe * fe + fz * fz)
    heading = boat[lay.B_HEADING]
    fx, fy = to_body(fn, fe, heading)
    yaw = params[lay.LP_LEAD_X] * fy - params[lay.LP_LEAD_Y] * fx
    hook = int(line[lay.L_HOOK])
    legs = leg_ends.shape[0]
    if hook >= 0:
        for leg in range(legs):
            pull = line[lay.L_SNUB_A + leg]
            gx = nodes[hook, lay.N_NORTH] - leg_ends[leg, 0]
            gy = nodes[hook, lay.N_EAST] - leg_ends[leg, 1]
            gz = nodes[hook, lay.N_Z] - leg_ends[leg, 2]
            reach = max(math.sqrt(gx * gx + gy * gy + gz * gz), 1e-6)
            pn = pull * gx / reach
            pe = pull * gy / reach
            px, py = to_body(pn, pe, heading)
            side = leg_side(params, leg, legs)
            fn += pn
            fe += pe
            fz += pull * gz / reach
            yaw += params[lay.LP_LEAD_X] * py - side * px
    line[lay.L_FN] = fn
    line[lay.L_FE] = fe
    line[lay.L_FZ] = fz
    line[lay.L_YAW] = yaw


@kernel
def lay_ashore(
    nodes: FloatArray, line: FloatArray, params: FloatArray, anchor: FloatArray, roller: FloatArray, end: FloatArray
) -> None:
    """Take a line from its fairlead straight to ``end`` (``float64[3]``) ashore and make it fast, in place."""
    dn = roller[0] - end[0]
    de = roller[1] - end[1]
    dz = roller[2] - end[2]
    out = 1.01 * math.sqrt(dn * dn + de * de + dz * dz)
    segment = params[lay.LP_SEGMENT]
    count = max(int(out / segment) + 1, 2)
    line[lay.L_COUNT] = count
    line[lay.L_OUT] = out
    line[lay.L_TOP] = out - (count - 2) * segment
    line[lay.L_BRAKE] = 1.0
    line[lay.L_STOPPER] = 1.0
    line[lay.L_HOOK] = -1.0
    line[lay.L_CROSSED] = -1.0
    for i in range(count):
        share = 1.0 if i == count - 1 else i * segment / out
        for k in range(lay.NODE_COLS):
            nodes[i, k] = 0.0
        nodes[i, lay.N_NORTH] = end[0] + share * dn
        nodes[i, lay.N_EAST] = end[1] + share * de
        nodes[i, lay.N_Z] = end[2] + share * dz
        nodes[i, lay.N_STICK_N] = nodes[i, lay.N_NORTH]
        nodes[i, lay.N_STICK_E] = nodes[i, lay.N_EAST]
    anchor[lay.A_ATTITUDE] = lay.ASHORE
    anchor[lay.A_CAP_H] = ASHORE_N
    anchor[lay.A_CAP_V] = ASHORE_N


@kernel
def crossing(under: FloatArray, under_count: int, over: FloatArray, over_count: int) -> int:
    """Return the node of one rode on which another lies across it, seen from above; -1 where they do not cross."""
    for i in range(under_count - 1):
        an = under[i, lay.N_NORTH]
        ae = under[i, lay.N_EAST]
        bn = under[i + 1, lay.N_NORTH]
        be = under[i + 1, lay.N_EAST]
        for j in range(over_count - 1):
            cn = over[j, lay.N_NORTH]
            ce = over[j, lay.N_EAST]
            if cross(an, ae, bn, be, cn, ce, over[j + 1, lay.N_NORTH], over[j + 1, lay.N_EAST]):
                return i if i > 0 else 1
    return -1


@kernel
def wear_snubber(line: FloatArray, params: FloatArray, dt_s: float) -> None:
    """Chafe a hooked snubber by its load, and let it part when it is through or overloaded, in place.

    A tenth of its breaking load wears it through in some forty hours, half of it in twenty minutes (judgement): the
    wear goes with the cube of the load.
    """
    most = max(line[lay.L_SNUB_A], line[lay.L_SNUB_B]) / params[lay.LP_SNUB_BREAK]
    if line[lay.L_HOOK] < 0.0 or most <= 0.0:
        return
    line[lay.L_CHAFE] += dt_s * most * most * most / CHAFE_S
    if line[lay.L_CHAFE] >= 1.0 or most >= 1.0:
        line[lay.L_HOOK] = -1.0
        line[lay.L_SNUB_A] = 0.0
        line[lay.L_SNUB_B] = 0.0
        line[lay.L_CHAFE] = 1.0


@kernel
def slope_along(
    north_m: float, east_m: float, dir_n: float, dir_e: float, raster: FloatArray, depth: FloatArray
) -> float:
    """Return the rise of the bed per metre along a direction given as a unit vector."""
    ahead = bed_z(north_m + dir_n, east_m + dir_e, raster, depth)
    behind = bed_z(north_m - dir_n, east_m - dir_e, raster, depth)
    return 0.5 * (ahead - behind)


@kernel
def lie_in_hand(anchor: FloatArray, params: FloatArray, touches: bool) -> None:
    """Carry on the state of an anchor that hangs, or that touches the ground in this step, in place."""
    anchor[lay.A_CAP_H] = params[lay.AP_SLIDE] * params[lay.AP_WEIGHT]
    anchor[lay.A_CAP_V] = 0.0
    anchor[lay.A_PULL_H] = 0.0
    anchor[lay.A_UPLIFT] = 0.0
    if not touches:
        anchor[lay.A_ATTITUDE] = lay.HANGING
        return
    anchor[lay.A_ATTITUDE] = lay.LYING
    for k in (lay.A_BURIAL, lay.A_SOAK, lay.A_TIP, lay.A_DRAG, lay.A_VEER_STATE, lay.A_SPEED, lay.A_LOAD):
        anchor[k] = 0.0
    anchor[lay.A_FOUL_DRAWN] = 0.0


@kernel
def watch_anchor(lying: Lying, tackle: Tackle, ground: Ground, slid_m: float, dt_s: float) -> None:
    """Carry the anchor's own state one step on, in place: hanging, touching, on the ground, or aweigh again.

    ``slid_m`` is how far it slid over the ground in the chain's last step.
    """
    nodes, line, anchor = lying
    if anchor[lay.A_ATTITUDE] == lay.ASHORE:
        anchor[lay.A_CAP_H] = ASHORE_N
        anchor[lay.A_CAP_V] = ASHORE_N
        return
    north = nodes[0, lay.N_NORTH]
    east = nodes[0, lay.N_EAST]
    above = nodes[0, lay.N_Z] - bed_z(north, east, ground.raster, ground.depth)
    if anchor[lay.A_ATTITUDE] <= lay.HANGING:
        touches = above <= 0.01
        lie_in_hand(anchor, tackle.anchor, touches)
        if touches:
            anchor[lay.A_TOUCH_N] = north
            anchor[lay.A_TOUCH_E] = east
            anchor[lay.A_BOTTOM] = bottom_at(north, east, ground.raster, ground.bottom)
        return
    if above > AWEIGH_M:
        anchor[lay.A_ATTITUDE] = lay.HANGING
        anchor[lay.A_BURIAL] = 0.0
        return
    kind = bottom_at(north, east, ground.raster, ground.bottom)
    anchor[lay.A_BOTTOM] = kind
    anchor[lay.A_HEAP] = heap_m(nodes, int(line[lay.L_COUNT]), mesh_m(line, tackle.line))
    dx = nodes[1, lay.N_NORTH] - north
    dy = nodes[1, lay.N_EAST] - east
    dz = nodes[1, lay.N_Z] - nodes[0, lay.N_Z]
    length = max(math.sqrt(dx * dx + dy * dy + dz * dz), 1e-6)
    flat = max(math.sqrt(dx * dx + dy * dy), 1e-6)
    tension = nodes[0, lay.N_TENSION]
    rise = slope_along(north, east, dx / flat, dy / flat, ground.raster, ground.depth)
    here = Here(tackle.on_bottoms[kind], ground.bottoms[kind], patchiness(north, east, ground.noise), rise)
    pull_n = (tension * dx / length, tension * dy / length, tension * dz / length)
    step_anchor(anchor, tackle, here, pull_n, slid_m, dt_s)


@kernel
def come_home(lying: Lying) -> None:
    """Take a rode aboard whose anchor has come up to the roller, in place; what was drawn for it stays drawn."""
    _nodes, line, anchor = lying
    for k in range(lay.ANCHOR_COLS):
        if k != lay.A_VEERS:
            anchor[k] = 0.0
    for k in (lay.L_COUNT, lay.L_OUT, lay.L_TOP, lay.L_RATE, lay.L_ACCEL, lay.L_MOTION, lay.L_TENSION):
        line[k] = 0.0
    for k in (lay.L_FN, lay.L_FE, lay.L_FZ, lay.L_YAW, lay.L_SNUB_A, lay.L_SNUB_B, lay.L_SNAG):
        line[k] = 0.0
    line[lay.L_HOOK] = -1.0


@kernel
def step_rode(
    lying: Lying,
    tackle: Tackle,
    boat: FloatArray,
    ground: Ground,
    tide_m: float,
    failed: float,
    step: Step,
    scratch: Scratch,
) -> None:
    """Move one rode one step, in place; shapes and columns as in ``layout``.

    ``boat`` is where the boat has moved to in this step, ``failed`` the windlass's fault.
    """
    nodes, line, anchor = lying
    params = tackle.line
    dt_s = step.dt_s
    fairleads(boat, params, tide_m, scratch.roller, scratch.legs)
    hanging = tackle.anchor[lay.AP_MASS] if anchor[lay.A_ATTITUDE] <= lay.HANGING else 0.0
    if line[lay.L_COUNT] == 0.0:
        free = line[lay.L_BRAKE] < 0.5
        lowered = line[lay.L_MOTION] > 0.0 and failed == 0.0 and line[lay.L_TRIPPED] == 0.0
        if line[lay.L_STOPPER] > 0.0 or line[lay.L_LOST] > 0.0 or not (free or lowered):
            return
        let_go(nodes, line, scratch.roller)
    run_windlass(line, params, scratch.roller[2] + boat[lay.B_DEPTH] - tide_m, hanging, failed, dt_s)
    if line[lay.L_RATE] < 0.0 and line[lay.L_OUT] + line[lay.L_RATE] * dt_s < HOME_M:
        come_home(lying)
        return
    stick_n = nodes[0, lay.N_STICK_N]
    stick_e = nodes[0, lay.N_STICK_E]
    ashore = anchor[lay.A_ATTITUDE] == lay.ASHORE
    on_ground = anchor[lay.A_ATTITUDE] > lay.HANGING and not ashore
    line[lay.L_SNUB_A] = 0.0
    line[lay.L_SNUB_B] = 0.0
    end = End(
        ASHORE_KG if ashore else tackle.anchor[lay.AP_MASS],
        0.0 if ashore else tackle.anchor[lay.AP_WEIGHT],
        tackle.anchor[lay.AP_DRAG_AREA],
        anchor[lay.A_CAP_H],
        anchor[lay.A_CAP_V],
    )
    sea = Sea(tide_m, boat[lay.B_SURFACE_N], boat[lay.B_SURFACE_E])
    step_chain(nodes, line, params, end, sea, ground, step, scratch)
    wear_snubber(line, params, dt_s)
    slid = 0.0
    if on_ground:
        slid = math.sqrt((nodes[0, lay.N_STICK_N] - stick_n) ** 2 + (nodes[0, lay.N_STICK_E] - stick_e) ** 2)
    watch_anchor(lying, tackle, ground, slid, dt_s)
    pull_on_boat(nodes, line, params, boat, scratch.legs)
