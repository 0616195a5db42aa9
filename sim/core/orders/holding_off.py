"""A boat at anchor that holds aside under engine, because somebody whose anchor lies under her wants to weigh."""

import math

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.core.state import M_DOWN
from sim.core.world import World
from sim.model import layout as lay

# From the own anchor she holds off when asked to; she swings back when all is clear (both judgement).
IN_THE_WAY_M, CLEAR_M = 45.0, 60.0


def ask(world: World, target: int) -> None:
    """Let a boat that let go after the own one, close to the own anchor, hold aside under engine: she was asked to.

    Who came last keeps clear (common practice, no source).
    """
    s = world.state
    hers, her_boat, own, anchor = s.fleet[target], s.boats[target], s.boats[0], s.nodes[0, 0]
    down = s.anchors[0, lay.A_ATTITUDE] > lay.HANGING and s.lines[0, lay.L_COUNT] > 2.0
    if not down or hers[lay.Q_STATE] != lay.LIES or hers[lay.Q_LET_GO] <= s.memory[0, M_DOWN]:
        return
    dn, de = anchor[lay.N_NORTH] - own[lay.B_NORTH], anchor[lay.N_EAST] - own[lay.B_EAST]
    hn, he = her_boat[lay.B_NORTH] - own[lay.B_NORTH], her_boat[lay.B_EAST] - own[lay.B_EAST]
    if math.hypot(hn - dn, he - de) > IN_THE_WAY_M:
        return
    hers[lay.Q_ASIDE] = math.copysign(1.0, dn * he - de * hn)
    hers[[lay.Q_MEAN_N, lay.Q_MEAN_E]] = her_boat[[lay.B_WIND_N, lay.B_WIND_E]]
    hers[lay.Q_STATE] = lay.HOLDING_OFF


@kernel
def is_clear(own: FloatArray, chain: FloatArray, hers: FloatArray) -> bool:
    """Return whether the own boat has her anchor home and is gone from where another holds off for her."""
    away = math.hypot(own[lay.B_NORTH] - hers[lay.Q_ANCHOR_N], own[lay.B_EAST] - hers[lay.Q_ANCHOR_E])
    return bool(chain[lay.L_COUNT] == 0.0 and away > CLEAR_M)
