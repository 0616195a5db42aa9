"""THE order of one tick. ``advance`` is the only way time passes, and all wiring between the laws is here."""

from collections.abc import Sequence

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.errors import SimulationDiverged
from sim.base.kernel import kernel
from sim.base.units import DT_S
from sim.core import acts, contact, notice, orders
from sim.core import state as st
from sim.core import world as wd
from sim.core.commands import Command
from sim.core.events import NUMBERS, Event
from sim.core.world import WEATHER_TICKS, World
from sim.model import boat, fleet, rode
from sim.model import layout as lay
from sim.model.chain import PASSES

FASTEST_MPS = 30.0  # nothing here moves faster: beyond it the numbers have come apart


@kernel
def first_bad(boats: FloatArray, nodes: FloatArray, lines: FloatArray) -> int:
    """Return where the state is no longer physical: -1 nowhere, 100 + boat, 1000 + rode."""
    for i in range(boats.shape[0]):
        speed = abs(boats[i, lay.B_SURGE]) + abs(boats[i, lay.B_SWAY]) + abs(boats[i, lay.B_YAW_RATE])
        if not speed < FASTEST_MPS or not abs(boats[i, lay.B_NORTH] + boats[i, lay.B_EAST]) < 1e7:
            return 100 + i
    for k in range(lines.shape[0]):
        for i in range(int(lines[k, lay.L_COUNT])):
            speed = abs(nodes[k, i, lay.N_VN]) + abs(nodes[k, i, lay.N_VE]) + abs(nodes[k, i, lay.N_VZ])
            if not speed < 4.0 * FASTEST_MPS or not abs(nodes[k, i, lay.N_Z]) < 1e5:
                return 1000 + k
    return -1


def _check(world: World) -> None:
    s = world.state
    where = first_bad(s.boats, s.nodes, s.lines)
    if where >= 1000:
        raise SimulationDiverged(s.tick, f"rode {where - 1000}", float(s.lines[where - 1000, lay.L_TENSION]))
    if where >= 0:
        raise SimulationDiverged(s.tick, f"boat {where - 100}", float(s.boats[where - 100, lay.B_SURGE]))


def _rodes(world: World, tide_m: float) -> None:
    p, s, k = world.params, world.state, world.packed
    for i, tackle in enumerate(p.rodes):
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
    """Let one tick pass and return what happened, in order.

    Args:
        world: the world; its state is changed in place.
        commands: the orders given in this tick, in order, whoever gave them.

    Raises:
        SimulationDiverged: when a number stops being physical; the state is left as it was found.
    """
    p, s, k = world.params, world.state, world.packed
    happened: list[Event] = []
    # 1 orders
    for command in commands:
        happened += orders.carry_out(world, command)
    # 2 weather and water
    if s.tick % WEATHER_TICKS == 0:
        wd.observe_weather(world)
    else:
        wd.observe_water(world)
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
    _check(world)
    # 9 what happened
    happened += notice.ground_tackle(world, tide_m)
    happened += notice.surroundings(world)
    happened += notice.fleet_moves(world)
    happened += acts.finish(world)
    s.heard[:] = 0
    for event in happened:
        s.heard[NUMBERS[type(event)]] = 1
    # 10 time
    s.clock[st.K_TICK] += 1
    return happened
