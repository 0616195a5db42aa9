"""Another boat's rode across the own chain: laid by one that let go later, found when weighing, slipped by hand.

Seen from above her rode is a straight line from anchor to bow. Once it has crossed the chain on the ground it lies on
it: it comes off again only by hand, or when she weighs. The chain lifts its weight as that of a second rode of her own.
"""

import math

from sim.base.arrays import FloatArray, IntArray
from sim.base.frames import cross, to_world
from sim.base.kernel import kernel
from sim.core.detect import LAID_OVER, SEEN_ACROSS
from sim.core.groups import Others, Rodes
from sim.core.orders import holding_off
from sim.core.state import M_DOWN
from sim.core.world import World
from sim.model import layout as lay
from sim.model.tackle.chain_forces import mesh_m
from sim.model.tackle.rode import crossing

AHEAD_M = 7.0  # she who lays over lets go so far beyond the own anchor, in line with the chain (judgement)
FAR_SIDE_M = 1.0  # and so far to the other side than she came from
ASIDE_M = 35.0  # and rounds up so far to one side, clear of the boat whose chain it is
BIGHTS_M = 3.0  # so far from the straight line her chain may lie (judgement)
SEEN_M = 1.0  # below the surface, or so near the roller


def berth_over(world: World, rode: FloatArray, comes_from: tuple[float, float]) -> bool:
    """Write into a boat's row where she lets go to lay over the own anchor; return False while that is not down."""
    s = world.state
    if s.anchors[0, lay.A_ATTITUDE] <= lay.HANGING:
        return False
    anchor_n, anchor_e = s.nodes[0, 0, lay.N_NORTH], s.nodes[0, 0, lay.N_EAST]
    own = s.boats[0]
    bow_n, bow_e = to_world(world.params.boat.particulars.roller_x_m, 0.0, float(own[lay.B_HEADING]))
    dn, de = anchor_n - own[lay.B_NORTH] - bow_n, anchor_e - own[lay.B_EAST] - bow_e
    away = max(math.hypot(dn, de), 1e-6)
    dn, de = dn / away, de / away
    side = 1.0 if dn * (comes_from[1] - anchor_e) - de * (comes_from[0] - anchor_n) > 0.0 else -1.0
    rode[lay.Q_ANCHOR_N] = anchor_n + AHEAD_M * dn + side * FAR_SIDE_M * de
    rode[lay.Q_ANCHOR_E] = anchor_e + AHEAD_M * de - side * FAR_SIDE_M * dn
    rode[lay.Q_ASIDE] = side * ASIDE_M
    return True


@kernel
def cross_own(rodes: Rodes) -> None:
    """Note where one of the boat's own rodes lies across another: the one that went down later lies on top."""
    nodes, lines, _anchors, params, memory = rodes
    count = lines.shape[0]
    for k in range(count):
        lines[k, lay.L_CROSSED] = -1.0
    for under in range(count):
        for over in range(count):
            both_down = lines[under, lay.L_COUNT] > 1.0 and lines[over, lay.L_COUNT] > 1.0
            if not both_down or memory[under, M_DOWN] >= memory[over, M_DOWN]:
                continue
            node = crossing(nodes[under], int(lines[under, lay.L_COUNT]), nodes[over], int(lines[over, lay.L_COUNT]))
            if node >= 0:
                lines[under, lay.L_CROSSED] = node
                lines[under, lay.L_CROSS_WEIGHT] = params[over, lay.LP_WEIGHT]


@kernel
def node_under(nodes: FloatArray, count: int, anchor_n: float, anchor_e: float, bow_n: float, bow_e: float) -> int:
    """Return the node over which another rode lies, -1 for none: where they cross, or else where they come that close.

    Seen from above hers is a straight line from anchor to bow, but on the ground it lies in bights as she fell back.
    """
    for i in range(count - 1):
        north, east = nodes[i, lay.N_NORTH], nodes[i, lay.N_EAST]
        if cross(north, east, nodes[i + 1, lay.N_NORTH], nodes[i + 1, lay.N_EAST], anchor_n, anchor_e, bow_n, bow_e):
            return i if i > 0 else 1
    along_n = bow_n - anchor_n
    along_e = bow_e - anchor_e
    square = max(along_n * along_n + along_e * along_e, 1e-6)
    least = BIGHTS_M
    nearest = -1
    for i in range(1, count):
        dn = nodes[i, lay.N_NORTH] - anchor_n
        de = nodes[i, lay.N_EAST] - anchor_e
        share = min(max((dn * along_n + de * along_e) / square, 0.0), 1.0)
        away = math.hypot(dn - share * along_n, de - share * along_e)
        if away < least:
            least = away
            nearest = i
    return nearest


@kernel
def lie_across(boat: FloatArray, hull: FloatArray, hers: FloatArray, rodes: Rodes, surface_m: float) -> int:
    """Let another boat's rode come to lie on the own chain, or show at the surface, in place; return what it did.

    Where it shows the windlass stops.
    """
    chain = rodes.lines[0]
    nodes = rodes.nodes[0]
    count = int(chain[lay.L_COUNT])
    apart_m = mesh_m(chain, rodes.params[0])
    if hers[lay.Q_ACROSS] == lay.NOT_ACROSS and hers[lay.Q_LET_GO] > rodes.memory[0, M_DOWN]:
        n, e = to_world(hull[lay.H_ROLLER_X], 0.0, boat[lay.B_HEADING])
        node = node_under(
            nodes, count, hers[lay.Q_ANCHOR_N], hers[lay.Q_ANCHOR_E], boat[lay.B_NORTH] + n, boat[lay.B_EAST] + e
        )
        if node < 1 or nodes[node, lay.N_Z] > surface_m - SEEN_M:
            return 0
        hers[lay.Q_ACROSS] = lay.LIES_ACROSS
        hers[lay.Q_ACROSS_M] = node * apart_m
        return LAID_OVER
    if hers[lay.Q_ACROSS] != lay.LIES_ACROSS and hers[lay.Q_ACROSS] != lay.SEEN_ACROSS:
        return 0
    node = max(round(hers[lay.Q_ACROSS_M] / apart_m), 1)
    chain[lay.L_CROSSED] = node
    chain[lay.L_CROSS_WEIGHT] = hers[lay.Q_WEIGHT]
    near = node >= count - 2 or nodes[node, lay.N_Z] > surface_m - SEEN_M
    if hers[lay.Q_ACROSS] == lay.LIES_ACROSS and near:
        hers[lay.Q_ACROSS] = lay.SEEN_ACROSS
        chain[lay.L_MOTION] = 0.0
        return SEEN_ACROSS
    return 0


@kernel
def look_across(others: Others, rodes: Rodes, surface_m: float, seen: IntArray) -> bool:
    """Follow other rodes across the own chain, and boats that hold off for her, in place; return whether any changed.

    ``surface_m`` is the height of tide, ``seen`` is ``int64[boats]`` of bits.
    """
    boats, hulls, fleet = others
    chain = rodes.lines[0]
    out_still = chain[lay.L_COUNT] > 2.0
    down = out_still and rodes.anchors[0, lay.A_ATTITUDE] > lay.HANGING
    any_has = False
    for i in range(1, boats.shape[0]):
        hers = fleet[i]
        if hers[lay.Q_LET_GO] == 0.0:
            continue
        if hers[lay.Q_STATE] == lay.HOLDING_OFF and holding_off.is_clear(boats[0], chain, hers):
            hers[lay.Q_STATE] = lay.LIES
        state = hers[lay.Q_STATE]
        lying = state in (lay.LIES, lay.FALLING_BACK, lay.HOLDING_OFF)
        if not (lying and out_still):
            hers[lay.Q_ACROSS] = lay.NOT_ACROSS
        elif hers[lay.Q_ADRIFT] == 0.0 and (down or hers[lay.Q_ACROSS] != lay.NOT_ACROSS):
            # Off the bottom it still hangs over what is out.
            did = lie_across(boats[i], hulls[i], hers, rodes, surface_m)
            seen[i] |= did
            any_has = any_has or did > 0
    return any_has


def is_hindered(world: World) -> bool:
    """Return whether heaving must wait: another rode hangs over the chain at the bow and is being slipped."""
    return bool((world.state.fleet[:, lay.Q_ACROSS] == lay.SEEN_ACROSS).any())
