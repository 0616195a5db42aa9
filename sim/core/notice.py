"""Noticing: what the state shows to have happened since the last tick becomes an event, once."""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import to_body
from sim.base.kernel import kernel
from sim.base.units import TICK_HZ
from sim.core import across
from sim.core import events as ev
from sim.core import state as st
from sim.core.contact import Contact
from sim.core.world import World, fix
from sim.model import layout as lay
from sim.model.ground import HARD
from sim.model.rode import crossing

SAME_TOUCH_TICKS = 120
STILL_TICKS = 180.0
DRAG_TOLD_M = 20.0  # another boat's dragging is told again after so much
KEEL_M, PART_M = 1.0, 0.5  # half lengths of the boxes round keel, rudder and propeller
PARTS = ((2, "keel"), (4, "rudder"), (8, "propeller"))


@kernel
def chain_meets(
    nodes: FloatArray,
    count: int,
    boat: FloatArray,
    hull: FloatArray,
    rudder: FloatArray,
    prop_x_m: float,
    tide_m: float,
) -> int:
    """Return what the rode meets of the boat, added up: 1 it leads under her, 2 keel, 4 rudder, 8 propeller.

    Under her is inside the hull's outline above keel depth, abaft the stem; the rest are boxes round the parts.
    """
    half = 0.5 * hull[lay.H_LOA]
    found = 0
    for i in range(1, count - 1):
        below = tide_m - nodes[i, lay.N_Z]
        if below > hull[lay.H_DRAUGHT] or below < -1.0:
            continue
        x, y = to_body(
            nodes[i, lay.N_NORTH] - boat[lay.B_NORTH],
            nodes[i, lay.N_EAST] - boat[lay.B_EAST],
            boat[lay.B_HEADING],
        )
        if -half < x < 0.7 * half and abs(y) < 0.4 * hull[lay.H_BEAM]:
            found |= 1
            if abs(x) < KEEL_M and below > 0.0:
                found |= 2
            if abs(x - rudder[lay.R_X]) < PART_M and 0.0 < below < rudder[lay.R_SPAN] + 0.5:
                found |= 4
            if abs(x - prop_x_m) < PART_M and below > 0.0:
                found |= 8
    return found


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


def _movement(world: World, rode: int, passed_ticks: int) -> list[ev.Event]:
    """Tell dragging from holding: a move under load begins, and ends when it has been still for three seconds."""
    s = world.state
    anchor, memory = s.anchors[rode], s.memory[rode]
    moving = anchor[lay.A_SPEED] > 0.03 and anchor[lay.A_LOAD] > 50.0 and anchor[lay.A_ATTITUDE] > lay.HANGING
    out: list[ev.Event] = []
    if moving:
        if memory[st.M_MOVING] == 0.0:
            memory[st.M_MOVING], memory[st.M_MOVED] = 1.0, anchor[lay.A_DRAG]
            out.append(ev.AnchorDragged(tick=s.tick, rode=rode, load_n=round(float(anchor[lay.A_LOAD]), 1)))
        memory[st.M_STILL] = 0.0
    elif memory[st.M_MOVING] > 0.0:
        memory[st.M_STILL] += passed_ticks
        if memory[st.M_STILL] > STILL_TICKS:
            memory[st.M_MOVING] = 0.0
            moved = max(float(anchor[lay.A_DRAG] - memory[st.M_MOVED]), 0.0)
            out.append(ev.AnchorHeld(tick=s.tick, rode=rode, moved_m=round(moved, 2)))
    return out


def _handling(world: World, rode: int) -> list[ev.Event]:
    """Tell what windlass, brake and chain do that nobody ordered."""
    s = world.state
    line, memory, params = s.lines[rode], s.memory[rode], world.params.rodes[rode].line
    out: list[ev.Event] = []
    tension = round(float(line[lay.L_TENSION]), 1)
    slips = line[lay.L_RATE] > 0.02 and line[lay.L_BRAKE] > 0.9 and line[lay.L_MOTION] == 0.0
    if slips and memory[st.M_SLIPPING] == 0.0:
        out.append(ev.BrakeSlipped(tick=s.tick, rode=rode, tension_n=tension))
    memory[st.M_SLIPPING] = 1.0 if slips else 0.0
    stalls = line[lay.L_MOTION] < 0.0 and line[lay.L_TENSION] > 0.98 * params[lay.LP_MOTOR_STALL]
    if stalls and memory[st.M_STALLED] == 0.0:
        out.append(ev.WindlassStalled(tick=s.tick, rode=rode, tension_n=tension))
    memory[st.M_STALLED] = 1.0 if stalls else 0.0
    if line[lay.L_TRIPPED] > 0.0 and line[lay.L_MOTION] != 0.0:
        line[lay.L_MOTION] = 0.0
        out.append(ev.WindlassTripped(tick=s.tick, rode=rode))
    preset = line[lay.L_PRESET]
    if preset > 0.0 and line[lay.L_MOTION] > 0.0 and line[lay.L_OUT] >= preset:
        line[lay.L_MOTION] = 0.0
        out.append(ev.PresetReached(tick=s.tick, rode=rode, out_m=round(float(line[lay.L_OUT]), 2)))
    if line[lay.L_OUT] >= params[lay.LP_CARRIED] - 0.01 and memory[st.M_ALL_OUT] == 0.0:
        memory[st.M_ALL_OUT] = 1.0
        lost = bool(params[lay.LP_BITTER_FAST] == 0.0)
        if lost:
            line[lay.L_LOST], line[lay.L_COUNT] = 1.0, 0.0
            line[[lay.L_FN, lay.L_FE, lay.L_FZ, lay.L_YAW, lay.L_TENSION]] = 0.0
        out.append(ev.ChainOut(tick=s.tick, rode=rode, lost=lost))
    return out


def _gear(world: World, rode: int) -> list[ev.Event]:
    """Tell of a snubber that parted and a stopper that gave way: what nobody ordered off."""
    s = world.state
    line, memory = s.lines[rode], s.memory[rode]
    out: list[ev.Event] = []
    if memory[st.M_HOOKED] > 0.0 and line[lay.L_HOOK] < 0.0 and line[lay.L_CHAFE] >= 1.0:
        out.append(ev.SnubberParted(tick=s.tick, rode=rode))
    memory[st.M_HOOKED] = 1.0 if line[lay.L_HOOK] >= 0.0 else 0.0
    if memory[st.M_STOPPED] > 0.0 and line[lay.L_STOPPER] == 0.0:
        out.append(ev.StopperFailed(tick=s.tick, rode=rode, tension_n=round(float(line[lay.L_TENSION]), 1)))
    memory[st.M_STOPPED] = float(line[lay.L_STOPPER])
    return out


def _under_hull(world: World, rode: int, tide_m: float) -> list[ev.Event]:
    """Tell when the rode begins to lead under her, and which part of her it meets."""
    s, k = world.state, world.packed
    count = int(s.lines[rode, lay.L_COUNT])
    prop_x_m = float(world.params.boat.shafts[0, lay.SP_X])
    now = chain_meets(s.nodes[rode], count, s.boats[0], k.hulls[0], k.rudders[0, 0], prop_x_m, tide_m)
    new = now & ~int(s.memory[rode, st.M_UNDER])
    s.memory[rode, st.M_UNDER] = now
    if not new:
        return []
    in_gear = bool((s.shafts[:, lay.S_GEAR] != 0.0).any())
    parts = [ev.ChainTouched(tick=s.tick, rode=rode, part=name, in_gear=in_gear) for bit, name in PARTS if new & bit]
    return [*([ev.ChainUnderHull(tick=s.tick, rode=rode)] if new & 1 else []), *parts]


def _caught(world: World, rode: int) -> list[ev.Event]:
    """Tell when the rode first bears on a snag, and when it has been clear of it for three seconds."""
    s, bay = world.state, world.params.bay
    memory, now = s.memory[rode], int(s.lines[rode, lay.L_SNAG])
    was = int(memory[st.M_SNAG])
    out: list[ev.Event] = []
    if now == was:
        memory[st.M_SNAG_OFF] = 0.0
        return out
    memory[st.M_SNAG_OFF] += 1.0
    if was and (now or memory[st.M_SNAG_OFF] > STILL_TICKS):
        out.append(ev.ChainCleared(tick=s.tick, rode=rode, snag=bay.snag_names[was - 1]))
        memory[st.M_SNAG] = 0.0
    if now:
        north, east = bay.snags[now - 1, lay.SG_NORTH], bay.snags[now - 1, lay.SG_EAST]
        name = bay.snag_names[now - 1]
        out.append(ev.ChainCaught(tick=s.tick, rode=rode, snag=name, north_m=float(north), east_m=float(east)))
        memory[st.M_SNAG] = now
    return out


def _crossings(world: World) -> None:
    """Note where one rode lies across another: the one whose anchor went down later lies on top."""
    s = world.state
    s.lines[:, lay.L_CROSSED] = -1.0
    down = [i for i in range(len(s.lines)) if s.lines[i, lay.L_COUNT] > 1.0]
    for under, over in ((a, b) for a in down for b in down if s.memory[a, st.M_DOWN] < s.memory[b, st.M_DOWN]):
        node = crossing(
            s.nodes[under], int(s.lines[under, lay.L_COUNT]), s.nodes[over], int(s.lines[over, lay.L_COUNT])
        )
        if node >= 0:
            s.lines[under, lay.L_CROSSED] = node
            s.lines[under, lay.L_CROSS_WEIGHT] = world.params.rodes[over].line[lay.LP_WEIGHT]


def ground_tackle(world: World, tide_m: float, passed_ticks: int = 1) -> list[ev.Event]:
    """Return what happened to anchors, chains and windlasses in this step of so many ticks."""
    s = world.state
    out: list[ev.Event] = []
    for rode in range(len(s.lines)):
        was, now = int(s.memory.item(rode, st.M_ATTITUDE)), int(s.anchors.item(rode, lay.A_ATTITUDE))
        if was != now:
            out += _attitude(world, rode, was, now)
            if was in (lay.STOWED, lay.HANGING) and now > lay.HANGING:
                s.memory[rode, st.M_DOWN] = s.tick
            s.memory[rode, st.M_ATTITUDE] = now
        if world.params.bay.snag_names:
            out += _caught(world, rode)
        if s.lines.item(rode, lay.L_COUNT) > 0.0:
            out += _movement(world, rode, passed_ticks)
            out += _handling(world, rode)
            out += _gear(world, rode)
            if s.tick % 6 == 0:
                out += _under_hull(world, rode, tide_m)
    if s.tick % 6 == 0 and len(s.lines) > 1:
        _crossings(world)
    if s.tick % 6 == 0:
        out += across.look(world)
    return out


def fleet_moves(world: World) -> list[ev.Event]:
    """Return what other boats have begun to do, looked at ten times a second."""
    s = world.state
    if s.tick % 6:
        return []
    out: list[ev.Event] = []
    for i in np.flatnonzero(s.fleet[:, lay.Q_STATE] != s.fleet[:, lay.Q_TOLD]).tolist():
        state = s.fleet[i, lay.Q_TOLD] = s.fleet[i, lay.Q_STATE]
        if state == lay.FALLING_BACK:
            s.fleet[i, lay.Q_LET_GO] = s.tick
        out.append(ev.NeighbourActed(tick=s.tick, target=i, what=lay.FLEET_STATES[int(state)]))
    for i in np.flatnonzero(s.fleet[:, lay.Q_DRAGGED] - s.fleet[:, lay.Q_DRAG_TOLD] > DRAG_TOLD_M).tolist():
        s.fleet[i, lay.Q_DRAG_TOLD] = s.fleet[i, lay.Q_DRAGGED]
        out.append(ev.NeighbourActed(tick=s.tick, target=i, what="drags"))
    return out


def surroundings(world: World) -> list[ev.Event]:
    """Return groundings, looked at ten times a second, and the alarm, with every fix of the receiver."""
    s = world.state
    out: list[ev.Event] = []
    if s.tick % 6:
        return out
    own = s.boats[0]
    if own[lay.B_GROUND] > 0.0 and s.memory[0, st.M_AGROUND] == 0.0:
        speed = math.hypot(float(own[lay.B_SURGE]), float(own[lay.B_SWAY]))
        hard = bool(own[lay.B_STIFF] >= HARD)
        out.append(ev.Grounded(tick=s.tick, boat=0, speed_mps=round(speed, 3), hard=hard))
    s.memory[0, st.M_AGROUND] = 1.0 if own[lay.B_GROUND] > 0.0 else 0.0
    if s.tick % TICK_HZ == 0 and s.clock[st.K_ALARM_ON] and not s.clock[st.K_ALARM_RANG]:
        north, east = fix(world)
        away = math.hypot(north - s.places[st.P_ALARM_N], east - s.places[st.P_ALARM_E])
        if away > s.places[st.P_ALARM_R]:
            s.clock[st.K_ALARM_RANG] = 1
            out.append(ev.AlarmRang(tick=s.tick, distance_m=round(away, 1)))
    return out
