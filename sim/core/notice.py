"""What a step brought about, put into events. It only reads: what happened is in the scratch that ``detect`` filled."""

import math
from collections.abc import Iterator

import numpy as np

from sim.core import detect
from sim.core import events as ev
from sim.core import state as st
from sim.core.contact import Contact
from sim.core.orders.watch_orders import WHYS
from sim.core.world import World
from sim.model import layout as lay
from sim.model.ground import HARD
from sim.model.tackle.chain_forces import mesh_m

SAME_TOUCH_TICKS = 120
PARTS = ((detect.ON_KEEL, "keel"), (detect.ON_RUDDER, "rudder"), (detect.ON_PROPELLER, "propeller"))


def _touch(world: World, c: Contact) -> bool:
    """Remember that these two touch; return whether they had not touched within the last two seconds."""
    s = world.state
    known = np.flatnonzero((s.touching[:, 0] == c.boat) & (s.touching[:, 1] == c.other) & (s.touching[:, 2] >= s.tick))
    row = int(known[0]) if len(known) else int(np.argmin(s.touching[:, 2]))  # the one longest past
    s.touching[row] = c.boat, c.other, s.tick + SAME_TOUCH_TICKS
    return not len(known)


def contacts(world: World, found: list[Contact]) -> list[ev.Event]:
    """Return an event for each pair of hulls, or hull and shore, that had not touched within the last two seconds."""
    tick = world.state.tick
    return [
        ev.Touched(
            tick=tick,
            boat=c.boat,
            other=c.other,
            closing_mps=round(c.closing_mps, 3),
            impulse_ns=round(c.impulse_ns, 1),
        )
        for c in found
        if _touch(world, c)
    ]


def _touched_bottom(world: World, rode: int) -> ev.Event:
    s = world.state
    boat, anchor = s.boats[0], s.anchors[rode]
    surge, sway = float(boat[lay.B_SURGE]), float(boat[lay.B_SWAY])
    return ev.AnchorTouched(
        tick=s.tick,
        rode=rode,
        north_m=float(anchor[lay.A_TOUCH_N]),
        east_m=float(anchor[lay.A_TOUCH_E]),
        depth_m=float(boat[lay.B_DEPTH]),
        bottom=world.params.bay.bottom_letters[int(anchor[lay.A_BOTTOM])],
        along_mps=surge,
        speed_mps=math.hypot(surge, sway),
        heading_rad=float(boat[lay.B_HEADING]),
        out_m=float(s.lines[rode, lay.L_OUT]),
    )


def _attitude(world: World, rode: int, was: int, now: int) -> list[ev.Event]:
    tick = world.state.tick
    if was == lay.STOWED and now == lay.HANGING:
        return [ev.AnchorLetGo(tick=tick, rode=rode)]
    if was > lay.HANGING and now == lay.HANGING:
        return [ev.AnchorAweigh(tick=tick, rode=rode)]
    if was in (lay.STOWED, lay.HANGING) and now > lay.HANGING:
        return [_touched_bottom(world, rode)]
    if now == lay.STOWED:
        return [ev.AnchorHome(tick=tick, rode=rode)]
    if was in (lay.LYING, lay.TIPPING) and now in (lay.SET, lay.DRAGGING):
        return [ev.AnchorSet(tick=tick, rode=rode)]
    if now == lay.TURNED:
        stays = world.state.anchors[rode, lay.A_VEER_STATE] >= 3.0
        return [ev.AnchorVeered(tick=tick, rode=rode, outcome="stays_out" if stays else "tripped")]
    return []


def _snag(world: World, rode: int, bits: int) -> Iterator[ev.Event]:
    """Yield that a rode bears on a snag, or is clear of one."""
    s, bay = world.state, world.params.bay
    if bits & detect.CLEARED:
        was = int(world.scratch.rodes[rode, detect.W_SNAG])
        yield ev.ChainCleared(tick=s.tick, rode=rode, snag=bay.snag_names[was - 1])
    if bits & detect.CAUGHT:
        now = int(s.lines[rode, lay.L_SNAG])
        north, east = (float(bay.snags[now - 1, k]) for k in (lay.SG_NORTH, lay.SG_EAST))
        yield ev.ChainCaught(tick=s.tick, rode=rode, snag=bay.snag_names[now - 1], north_m=north, east_m=east)


def _motion(world: World, rode: int, bits: int) -> Iterator[ev.Event]:
    """Yield that an anchor drags, or has come to hold again."""
    s = world.state
    anchor = s.anchors[rode]
    if bits & detect.MOVES:
        yield ev.AnchorDragged(tick=s.tick, rode=rode, load_n=round(float(anchor[lay.A_LOAD]), 1))
    if bits & detect.HELD:
        moved_m = max(float(anchor[lay.A_DRAG] - s.memory[rode, st.M_MOVED]), 0.0)
        yield ev.AnchorHeld(tick=s.tick, rode=rode, moved_m=round(moved_m, 2))


def _handling(world: World, rode: int, bits: int) -> Iterator[ev.Event]:
    """Yield what windlass, brake, chain, snubber and stopper do that nobody ordered."""
    tick, line = world.state.tick, world.state.lines[rode]
    tension_n = round(float(line[lay.L_TENSION]), 1)
    if bits & detect.SLIPS:
        yield ev.BrakeSlipped(tick=tick, rode=rode, tension_n=tension_n)
    if bits & detect.STALLS:
        yield ev.WindlassStalled(tick=tick, rode=rode, tension_n=tension_n)
    if bits & detect.TRIPS:
        yield ev.WindlassTripped(tick=tick, rode=rode)
    if bits & detect.AT_LENGTH:
        yield ev.PresetReached(tick=tick, rode=rode, out_m=round(float(line[lay.L_OUT]), 2))
    if bits & detect.ALL_OUT:
        yield ev.ChainOut(tick=tick, rode=rode, lost=bool(line[lay.L_LOST]))
    if bits & detect.PARTED:
        yield ev.SnubberParted(tick=tick, rode=rode)
    if bits & detect.GAVE_WAY:
        yield ev.StopperFailed(tick=tick, rode=rode, tension_n=tension_n)


def _under(world: World, rode: int) -> Iterator[ev.Event]:
    """Yield that the rode has begun to lead under her, and which part of her it meets."""
    s, new = world.state, int(world.scratch.rodes[rode, detect.W_UNDER])
    in_gear = bool((s.shafts[:, lay.S_GEAR] != 0.0).any())
    if new & detect.IN_HULL:
        yield ev.ChainUnderHull(tick=s.tick, rode=rode)
    for bit, name in PARTS:
        if new & bit:
            yield ev.ChainTouched(tick=s.tick, rode=rode, part=name, in_gear=in_gear)


def _rode(world: World, rode: int, bits: int) -> Iterator[ev.Event]:
    if bits & detect.ATTITUDE:
        was = int(world.scratch.rodes[rode, detect.W_WAS])
        yield from _attitude(world, rode, was, int(world.state.anchors[rode, lay.A_ATTITUDE]))
    yield from _snag(world, rode, bits)
    yield from _motion(world, rode, bits)
    yield from _handling(world, rode, bits)
    if bits & detect.UNDER:
        yield from _under(world, rode)


def _across(world: World, target: int, bits: int) -> Iterator[ev.Event]:
    """Yield that another boat's rode has come to lie on the own chain, or shows at the surface."""
    s = world.state
    if bits & detect.LAID_OVER:
        chain = s.lines[0]
        apart_m = mesh_m(chain, world.constants.lines[0])
        node = s.nodes[0, round(float(s.fleet[target, lay.Q_ACROSS_M]) / apart_m)]
        north, east = round(float(node[lay.N_NORTH]), 1), round(float(node[lay.N_EAST]), 1)
        yield ev.RodeLaidOver(tick=s.tick, target=target, north_m=north, east_m=east)
    if bits & detect.SEEN_ACROSS:
        yield ev.RodeSeenAcross(tick=s.tick, target=target)


def _fleet(world: World, target: int, bits: int) -> Iterator[ev.Event]:
    """Yield what another boat has begun to do."""
    tick = world.state.tick
    if bits & detect.CHANGED:
        what = lay.FLEET_STATES[int(world.state.fleet[target, lay.Q_STATE])]
        yield ev.NeighbourActed(tick=tick, target=target, what=what)
    if bits & detect.DRAGGED:
        yield ev.NeighbourActed(tick=tick, target=target, what="drags")


def _grounded(world: World) -> ev.Event:
    own = world.state.boats[0]
    speed = math.hypot(float(own[lay.B_SURGE]), float(own[lay.B_SWAY]))
    hard = bool(own[lay.B_STIFF] >= HARD)
    return ev.Grounded(tick=world.state.tick, boat=0, speed_mps=round(speed, 3), hard=hard)


def _called(world: World) -> Iterator[ev.Event]:
    """Yield the watch's calls."""
    called, found = int(world.scratch.orders[0]), world.scratch.found
    for k, why in enumerate(WHYS):
        if called >> k & 1:
            yield ev.WatchCalled(tick=world.state.tick, why=why, value=round(float(found[k]), 3))


def happened(world: World) -> Iterator[ev.Event]:
    """Yield what the last step brought about, hulls that touched apart."""
    scratch, tick = world.scratch, world.state.tick
    bits = int(scratch.world[0])
    if bits & detect.RODES:
        for rode, of_rode in enumerate(scratch.rodes[:, detect.W_BITS].tolist()):
            yield from _rode(world, rode, of_rode)
    others = scratch.boats.tolist() if bits & detect.OTHERS else []
    for target, of_boat in enumerate(others):
        yield from _across(world, target, of_boat)
    if bits & detect.GROUNDED:
        yield _grounded(world)
    if bits & detect.ALARM:
        yield ev.AlarmRang(tick=tick, distance_m=round(float(scratch.found[detect.F_AWAY]), 1))
    for target, of_boat in enumerate(others):
        yield from _fleet(world, target, of_boat)
    if bits & detect.CALLED:
        yield from _called(world)
