"""The watch's clock: the stay run on by the same laws, many ticks in one step.

A step lasts until the next ten seconds are full, and ends sooner where something happens that must be told. While an
anchor moves a step lasts a second; while hulls could touch, a block, and pymunk has its turn after each.
"""

import numpy as np

from sim.base.arrays import IntArray
from sim.base.units import TICK_HZ
from sim.core import acts, batch, bounds, contact, mesh, notice
from sim.core import events as ev
from sim.core import state as st
from sim.core import world as wd
from sim.core.world import World
from sim.model import fleet
from sim.model import layout as lay

STEP_TICKS = 10 * TICK_HZ
MOVING_TICKS = TICK_HZ
WHYS = ("drag", "wind", "shift", "near")


def kept(world: World) -> bool:
    """Return whether the watch's clock runs."""
    return bool(world.state.clock[st.K_WATCH] == st.ON_WATCH)


def begins(world: World) -> bool:
    """Return whether the watch has been called and this tick is one that a block can start from."""
    s = world.state
    return bool(s.clock[st.K_WATCH] == st.CALLED and s.tick % batch.BLOCK_TICKS == 0)


def begin(world: World) -> list[ev.Event]:
    """Go over to the watch's clock and the coarser nodes."""
    s = world.state
    for rode in range(len(s.lines)):
        mesh.refit(world, rode, mesh.watch_segment_m(world, rode))
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
    for rode, tackle in enumerate(world.params.rodes):
        mesh.refit(world, rode, float(tackle.line[lay.LP_SEGMENT]))
    return [ev.WatchEnded(tick=s.tick)]


def _most_blocks(world: World) -> int:
    s = world.state
    every = MOVING_TICKS if (s.memory[:, st.M_MOVING] > 0.0).any() else STEP_TICKS
    return (every - s.tick % every + batch.BLOCK_TICKS - 1) // batch.BLOCK_TICKS


def _run(world: World, near: IntArray) -> int:
    """Let blocks pass and return how many."""
    p, s, k = world.params, world.state, world.packed
    for rode in range(len(s.lines)):
        k.watch_lines[rode] = p.rodes[rode].line
        k.watch_lines[rode, lay.LP_SEGMENT] = mesh.segment_m(world, rode)
    return batch.run_blocks(
        s.tick, _most_blocks(world), s.boats, s.control, s.shafts, s.lines, s.nodes, s.anchors, s.fleet, s.episodes,
        int(s.clock[st.K_EPISODES]), s.places, bool(s.clock[st.K_ALARM_ON] and not s.clock[st.K_ALARM_RANG]), s.memory,
        s.faults, s.watch, s.rung, k.hulls, k.foils, k.rudders, p.boat.shafts, k.limits, k.tables, fleet.PULLS_N,
        k.watch_lines, k.anchors, k.on_bottoms, k.veer_draws, p.bay.bottoms, p.bay.bottom, p.bay.snags, p.bay.noise,
        p.bay.raster, p.bay.depth_m, k.shore, p.water.tide, p.water.streams, p.water.swell, p.weather.air,
        p.boat.particulars.antenna_x_m, k.fix_phases, k.roller, k.legs, k.work, k.found, near, k.log,
    )  # fmt: skip


def _called(world: World) -> list[ev.Event]:
    """Return the watch's calls that are due with this fix, and note what each was for."""
    s, k = world.state, world.packed
    out: list[ev.Event] = []
    if s.tick % batch.FIX_TICKS:
        return out
    aft_m = float(k.hulls[0, lay.H_ROLLER_X]) - world.params.boat.particulars.antenna_x_m
    north, east = wd.fix(world)
    batch.watch_values(s.boats, k.hulls[0], s.lines[0], s.places, s.watch, north, east, aft_m, k.found)
    while (which := batch.calls(s.watch, s.rung, k.found)) >= 0:
        s.watch[st.V_CALLED] = int(s.watch[st.V_CALLED]) | (1 << which)
        s.rung[which] = batch.QUIET_S, k.found[which]
        out.append(ev.WatchCalled(tick=s.tick, why=WHYS[which], value=round(float(k.found[which]), 3)))
    return out


def pass_time(world: World) -> list[ev.Event]:
    """Let a step of the watch pass and return what happened; its log is left in the packed scratch.

    Raises:
        SimulationDiverged: when a number stops being physical.
    """
    s, k = world.state, world.packed
    began = s.tick
    near = np.zeros(len(s.boats), np.int64)
    blocks = _run(world, near)
    k.logged[0] = batch.OWN_STEPS * blocks
    s.clock[st.K_TICK] += batch.BLOCK_TICKS * blocks
    happened: list[ev.Event] = []
    if near.any():
        happened += notice.contacts(world, contact.resolve(world, near, batch.BLOCK_S))
    bounds.check(world)
    happened += notice.ground_tackle(world, wd.tide_m(world), s.tick - began)
    happened += notice.surroundings(world)
    happened += notice.fleet_moves(world)
    happened += _called(world)
    return happened + acts.finish(world)
