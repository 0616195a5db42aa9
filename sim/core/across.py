"""Another boat's rode across the own chain: laid by one that let go later, found when weighing, slipped by hand.

Seen from above her rode is a straight line from anchor to bow. Once it has crossed the chain on the ground it lies on
it: it comes off again only by hand, or when she weighs. The chain lifts its weight as that of a second rode of her own.
"""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import to_world
from sim.core import acts, holding_off
from sim.core import events as ev
from sim.core.state import M_DOWN
from sim.core.world import World, tide_m
from sim.model import layout as lay
from sim.model.rode import crossing

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


def look(world: World) -> list[ev.Event]:
    """Return what has come of other rodes across the own chain, ten times a second, and note what lies on it."""
    s = world.state
    if not s.fleet[:, lay.Q_LET_GO].any():
        return []
    chain: FloatArray = s.lines[0]
    out: list[ev.Event] = []
    if len(s.lines) == 1:
        chain[lay.L_CROSSED] = -1.0
    out_still = chain[lay.L_COUNT] > 2.0
    down = out_still and s.anchors[0, lay.A_ATTITUDE] > lay.HANGING
    for i in range(1, len(s.boats)):
        hers = s.fleet[i]
        if hers[lay.Q_STATE] == lay.HOLDING_OFF and holding_off.is_clear(world, i):
            hers[lay.Q_STATE] = lay.LIES
        lying = hers[lay.Q_LET_GO] > 0.0 and hers[lay.Q_STATE] in (lay.LIES, lay.FALLING_BACK, lay.HOLDING_OFF)
        if not (lying and out_still):
            hers[lay.Q_ACROSS] = lay.NOT_ACROSS
        elif hers[lay.Q_ADRIFT] == 0.0 and (down or hers[lay.Q_ACROSS] != lay.NOT_ACROSS):
            out += _look_at(world, i)  # off the bottom it still hangs over what is out
    return out


def _look_at(world: World, target: int) -> list[ev.Event]:
    s = world.state
    hers, chain, nodes = s.fleet[target], s.lines[0], s.nodes[0]
    segment_m = float(chain[lay.L_MESH]) or float(world.params.rodes[0].line[lay.LP_SEGMENT])
    if hers[lay.Q_ACROSS] == lay.NOT_ACROSS and hers[lay.Q_LET_GO] > s.memory[0, M_DOWN]:
        node = _node_under(nodes, int(chain[lay.L_COUNT]), _line(world, target))
        if node < 1 or nodes[node, lay.N_Z] > tide_m(world) - SEEN_M:
            return []
        hers[lay.Q_ACROSS], hers[lay.Q_ACROSS_M] = lay.LIES_ACROSS, node * segment_m
        north, east = round(float(nodes[node, lay.N_NORTH]), 1), round(float(nodes[node, lay.N_EAST]), 1)
        return [ev.RodeLaidOver(tick=s.tick, target=target, north_m=north, east_m=east)]
    if hers[lay.Q_ACROSS] not in (lay.LIES_ACROSS, lay.SEEN_ACROSS):
        return []
    node = max(round(hers[lay.Q_ACROSS_M] / segment_m), 1)
    chain[lay.L_CROSSED], chain[lay.L_CROSS_WEIGHT] = node, hers[lay.Q_WEIGHT]
    near = node >= int(chain[lay.L_COUNT]) - 2 or nodes[node, lay.N_Z] > tide_m(world) - SEEN_M
    if hers[lay.Q_ACROSS] == lay.LIES_ACROSS and near:
        hers[lay.Q_ACROSS] = lay.SEEN_ACROSS
        chain[lay.L_MOTION] = 0.0
        acts.begin(world, acts.SLIP, target)
        return [ev.RodeSeenAcross(tick=s.tick, target=target)]
    return []


def _node_under(nodes: FloatArray, count: int, line: FloatArray) -> int:
    """Return the node over which another rode lies, -1 for none: where they cross, or else where they come that close.

    Seen from above hers is a straight line, but on the ground it lies in bights as she fell back and yawed.
    """
    node = crossing(nodes, count, line, 2)
    if node >= 1:
        return node
    along = line[1, :2] - line[0, :2]
    from_hers = nodes[:count, :2] - line[0, :2]
    share = np.clip((from_hers @ along) / max(float(along @ along), 1e-6), 0.0, 1.0)
    away = np.hypot(*(from_hers - share[:, None] * along).T)
    nearest = int(np.argmin(away[1:])) + 1
    return nearest if away[nearest] < BIGHTS_M else -1


def _line(world: World, target: int) -> FloatArray:
    """Return ``float64[2, NODE_COLS]``: her rode seen from above, anchor and bow."""
    boat, hers = world.state.boats[target], world.state.fleet[target]
    bow_n, bow_e = to_world(float(world.packed.hulls[target, lay.H_ROLLER_X]), 0.0, float(boat[lay.B_HEADING]))
    ends = np.zeros((2, lay.NODE_COLS))
    ends[0, :2] = hers[lay.Q_ANCHOR_N], hers[lay.Q_ANCHOR_E]
    ends[1, :2] = boat[lay.B_NORTH] + bow_n, boat[lay.B_EAST] + bow_e
    return ends


def is_hindered(world: World) -> bool:
    """Return whether heaving must wait: another rode hangs over the chain at the bow and is being slipped."""
    return bool((world.state.fleet[:, lay.Q_ACROSS] == lay.SEEN_ACROSS).any())
