"""THE order of one tick. ``advance`` is the only way time passes, and all wiring between the laws is here."""

from collections.abc import Sequence

import numpy as np

from sim.base.units import DT_S
from sim.core import acts, bounds, contact, notice, orders, watch
from sim.core import state as st
from sim.core import world as wd
from sim.core.commands import Command
from sim.core.events import NUMBERS, Event
from sim.core.world import WEATHER_TICKS, World
from sim.model import boat, fleet, rode, wash
from sim.model.chain import PASSES


def _rodes(world: World, tide_m: float) -> None:
    p, s, k = world.params, world.state, world.packed
    for i, tackle in enumerate(p.rodes):
        if wd.is_stowed(s, i):
            continue
        rode.step_rode(
            s.nodes[i],
            s.lines[i],
            tackle.line,
            s.anchors[i],
            tackle.anchor,
            tackle.anchor_on_bottom,
            p.bay.bottoms,
            p.bay.bottom,
            p.bay.snags,
            p.bay.noise,
            k.veer_draws,
            s.boats[0],
            k.hulls[0],
            k.roller,
            k.legs,
            tide_m,
            p.bay.raster,
            p.bay.depth_m,
            float(s.faults[st.FAULT_WINDLASS]),
            PASSES,
            DT_S,
            k.work,
        )


def advance(world: World, commands: Sequence[Command]) -> list[Event]:
    """Let one tick pass, or one step of the watch's clock, and return what happened, in order.

    Args:
        world: the world; its state is changed in place.
        commands: the orders given in this tick, in order, whoever gave them.

    Raises:
        SimulationDiverged: when a number stops being physical; the state is left as it was found.
    """
    happened: list[Event] = []
    # 1 orders
    for command in commands:
        happened += orders.carry_out(world, command)
    if watch.begins(world):
        happened += watch.begin(world)
    happened += watch.pass_time(world) if watch.kept(world) else _tick(world)
    heard = world.state.heard
    heard[:] = 0
    for event in happened:
        heard[NUMBERS[type(event)]] = 1
    return happened


def _tick(world: World) -> list[Event]:
    """Let one tick pass by the live clock."""
    p, s, k = world.params, world.state, world.packed
    happened: list[Event] = []
    # 2 weather and water
    if s.tick % WEATHER_TICKS == 0:
        wd.observe_weather(world)
    else:
        wd.observe_water(world)
    if count := int(s.clock[st.K_EPISODES]):
        wash.wash_boats(s.boats, k.hulls, 0, s.tick / 60.0, DT_S, s.episodes, count)
    tide_m = wd.tide_m(world)
    # 3 rudder, gears, shafts, thruster
    boat.work_controls(s.control, s.shafts, p.boat.shafts, k.limits, s.faults, DT_S)
    # 4 the own boat, under the pull her rodes had at the end of the last tick
    boat.advance_own(
        s.boats[0], s.control, s.shafts, s.lines, k.hulls[0], k.foils[0], k.rudders[0], p.boat.shafts, DT_S
    )
    # 5 the other boats
    if len(s.boats) > 1:
        fleet.advance_fleet(s.boats, k.hulls, k.foils, k.rudders, s.fleet, k.tables, fleet.PULLS_N, DT_S)
    # 6 hulls and shore
    near = np.zeros(len(s.boats), np.int64)
    if contact.find_near(s.boats, k.hulls, k.shore, near):
        happened += notice.contacts(world, contact.resolve(world, near, DT_S))
    # 7 windlass, chain and anchor, with the roller where it is now
    _rodes(world, tide_m)
    # 8 is it still a boat?
    bounds.check(world)
    # 9 what happened
    happened += notice.ground_tackle(world, tide_m)
    happened += notice.surroundings(world)
    happened += notice.fleet_moves(world)
    happened += acts.finish(world)
    # 10 time
    s.clock[st.K_TICK] += 1
    return happened
