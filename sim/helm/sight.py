"""Which of the other boats there are to be seen: not those away, and by night not those without a light."""

import math

from sim.core.world import World
from sim.model import layout as lay

LOOM_M = 60.0  # an unlit hull is made out by night at this distance (judgement)


def is_here(world: World, boat: int) -> bool:
    """Return whether boat ``boat`` (1 is the first of the others) is in the bay at all."""
    return bool(world.state.boats[boat, lay.B_AWAY] == 0.0)


def in_sight(world: World) -> tuple[int, ...]:
    """Return the numbers of the other boats that can be seen from the own one now, 1 the first."""
    rows, dark = world.state.boats, world.params.night
    seen = []
    for i in range(1, len(rows)):
        if not is_here(world, i):
            continue
        if dark and world.state.fleet[i, lay.Q_LIT] == 0.0:
            off_n, off_e = rows[i, lay.B_NORTH] - rows[0, lay.B_NORTH], rows[i, lay.B_EAST] - rows[0, lay.B_EAST]
            if math.hypot(off_n, off_e) > LOOM_M:
                continue
        seen.append(i)
    return tuple(seen)
