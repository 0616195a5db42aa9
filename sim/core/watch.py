"""The watch: when its clock begins and ends, and how long one step of it lasts.

A step lasts until the next ten seconds are full, and ends sooner where something happens that must be told. While an
anchor moves it lasts a second.
"""

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core import mesh
from sim.core import state as st
from sim.core import world as wd
from sim.core.clock import NIGHT
from sim.core.groups import MOST_TICKS
from sim.core.world import World

STEP_TICKS = 10 * TICK_HZ
MOVING_TICKS = TICK_HZ


def kept(world: World) -> bool:
    """Return whether the watch's clock runs."""
    return bool(world.state.clock.item(st.K_WATCH) == st.ON_WATCH)


def begins(world: World) -> bool:
    """Return whether the watch has been called and this tick is one that its clock can start from."""
    s = world.state
    return bool(s.clock.item(st.K_WATCH) == st.CALLED and s.tick % NIGHT.ticks == 0)


def waits_ticks(world: World) -> int:
    """Return for how many ticks the live clock runs until a called watch can begin; many where none is called."""
    s = world.state
    return NIGHT.ticks - s.tick % NIGHT.ticks if s.clock.item(st.K_WATCH) == st.CALLED else MOST_TICKS


def begin(world: World) -> list[ev.Event]:
    """Go over to the watch's clock and the coarser nodes."""
    s = world.state
    for rode in range(len(s.lines)):
        mesh.refit(world, rode, mesh.fitting_m(world, rode, NIGHT.mesh_m))
    s.watch[st.V_SINCE : st.V_CALLED] = 0.0  # what it has called for is not forgotten by going back to bed
    s.clock[st.K_WATCH] = st.ON_WATCH
    wd.observe_weather(world)
    return [ev.WatchBegan(tick=s.tick)]


def end(world: World) -> list[ev.Event]:
    """Go back to the live clock and the rodes' own nodes."""
    s = world.state
    was = s.clock[st.K_WATCH]
    s.clock[st.K_WATCH] = st.LIVE
    if was != st.ON_WATCH:
        return []
    for rode in range(len(world.params.rodes)):
        mesh.refit(world, rode, mesh.own_m(world, rode))
    return [ev.WatchEnded(tick=s.tick)]


def most_ticks(world: World) -> int:
    """Return how many ticks one step of the watch may last from here."""
    s = world.state
    every = MOVING_TICKS if (s.memory[:, st.M_MOVING] > 0.0).any() else STEP_TICKS
    return every - s.tick % every
