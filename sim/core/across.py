"""Another boat's rode across the own chain: laid by one that let go later, found when weighing, slipped by hand.

Seen from above her rode is a straight line from anchor to bow. Once it has crossed the chain on the ground it lies on
it: it comes off again only by hand, or when she weighs. The chain lifts its weight as that of a second rode of her own.
"""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import to_world
from sim.core import acts
from sim.core import events as ev
from sim.core.state import M_DOWN
from sim.core.world import World, tide_m
from sim.model import layout as lay
from sim.model.rode import crossing

AHEAD_M = 12.0  # she who lays over lets go so far beyond the own anchor, in line with the chain (judgement)
FAR_SIDE_M = 3.0  # and so far to the other side than she came from
ASIDE_M = 35.0  # and rounds up so far to one side, clear of the boat whose chain it is
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
    down = chain[lay.L_COUNT] > 2.0 and s.anchors[0, lay.A_ATTITUDE] > lay.HANGING
    for i in range(1, len(s.boats)):
        hers = s.fleet[i]
        lying = hers[lay.Q_LET_GO] > 0.0 and hers[lay.Q_STATE] in (lay.LIES, lay.FALLING_BACK)
        if not (down and lying and hers[lay.Q_ADRIFT] == 0.0):
            hers[lay.Q_ACROSS] = lay.NOT_ACROSS if not lying or not down else hers[lay.Q_ACROSS]
            continue
        out += _look_at(world, i)
    return out


def _look_at(world: World, target: int) -> list[ev.Event]:
    s = world.state
    hers, chain, nodes = s.fleet[target], s.lines[0], s.nodes[0]
    segment_m = float(chain[lay.L_MESH]) or float(world.params.rodes[0].line[lay.LP_SEGMENT])
    if hers[lay.Q_ACROSS] == lay.NOT_ACROSS and hers[lay.Q_LET_GO] > s.memory[0, M_DOWN]:
        node = crossing(nodes, int(chain[lay.L_COUNT]), _line(world, target), 2)
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
