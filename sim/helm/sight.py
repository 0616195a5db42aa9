"""What there is light enough for: which of the other boats are to be seen, and how far one sees."""

import math

from sim.base.units import TICK_HZ
from sim.core.orders.ranging import raining
from sim.core.world import World
from sim.model import layout as lay
from sim.model.air import sky

RAIN_M = 250.0  # in a squall's rain nothing beyond is made out (judgement)
CLEAR_M = 2000.0  # by day any boat in a bay is seen
LOOM_M = 60.0  # an unlit hull is made out by night at this distance (judgement)


def is_here(world: World, boat: int) -> bool:
    """Return whether boat ``boat`` (1 is the first of the others) is in the bay at all."""
    return bool(world.state.boats[boat, lay.B_AWAY] == 0.0)


def darkness(world: World) -> float:
    """Return how dark it is now, 0 by day to 1 by night."""
    return sky.darkness(world.params.sky, world.state.tick / TICK_HZ)


def reach_m(day_m: float, night_m: float, dark: float) -> float:
    """Return how far a thing is made out [m] that is made out so far by day and by night; by ratios between."""
    return float(day_m * (night_m / day_m) ** dark)


def in_sight(world: World) -> tuple[int, ...]:
    """Return the numbers of the other boats that can be seen from the own one now, 1 the first."""
    rows, dark, rain = world.state.boats, darkness(world), raining(world)
    loom_m = reach_m(CLEAR_M, LOOM_M, dark)
    seen = []
    for i in range(1, len(rows)):
        if not is_here(world, i):
            continue
        off_m = math.hypot(rows[i, lay.B_NORTH] - rows[0, lay.B_NORTH], rows[i, lay.B_EAST] - rows[0, lay.B_EAST])
        if dark > 0.0 and world.state.fleet[i, lay.Q_LIT] == 0.0 and off_m > loom_m:
            continue
        if rain and off_m > RAIN_M:
            continue
        seen.append(i)
    return tuple(seen)
