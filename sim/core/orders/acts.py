"""Acts that take time: a range, a sounding, a hail, a dive. Ordered now, answered by an event when they are done."""

import math

import numpy as np

from sim.base.units import ticks
from sim.core import detect
from sim.core import events as ev
from sim.core import state as st
from sim.core.orders import holding_off
from sim.core.orders.ranging import by_laser, by_mast, draw
from sim.core.world import World, tide_m
from sim.model import layout as lay
from sim.model.tackle.rode import fairleads, lay_ashore
from sim.model.water.water import charted_depth_m

RANGE, SOUND, HAIL, DIVE, ASHORE, MAST, SLIP = 1, 2, 3, 4, 5, 6, 7
NAMES = {RANGE: "range", MAST: "range", SOUND: "sound", HAIL: "hail", DIVE: "dive", ASHORE: "ashore", SLIP: "slip"}
# How long each takes, in seconds (judgement).
TAKES_S = {RANGE: 3.0, MAST: 8.0, SOUND: 120.0, HAIL: 15.0, DIVE: 300.0, ASHORE: 240.0, SLIP: 60.0}
THROWN_M, THROWN_S = 12.0, 20.0  # a line is thrown so far and taken there; farther off it is rowed (judgement)
DEPTH_SD_M = 0.1
HAIL_ROUND_M = 5.0


def begin(world: World, kind: int, target: int) -> bool:
    """Start an act; return False where too many are under way."""
    acts = world.state.acts
    for row in acts:
        if row[0] == 0:
            row[:] = (kind, world.state.tick + ticks(_takes_s(world, kind, target)), target)
            return True
    return False


def _takes_s(world: World, kind: int, target: int) -> float:
    """Return how long an act takes: a line ashore less where it can be thrown from the fairlead."""
    if kind != ASHORE:
        return TAKES_S[kind]
    p, scratch = world.params, world.scratch
    line = next(r.line for r in p.rodes if r.role == "shore")
    fairleads(world.state.boats[0], line, tide_m(world), scratch.roller, scratch.no_legs)
    mark = p.bay.marks[target - 1]
    away = math.hypot(mark.north_m - float(scratch.roller[0]), mark.east_m - float(scratch.roller[1]))
    return THROWN_S if away <= THROWN_M else TAKES_S[kind]


def _sound(world: World, radius_m: int) -> ev.Event:
    own, bay = world.state.boats[0], world.params.bay
    depths = []
    for k in range(8):
        angle = 0.25 * math.pi * k
        north = float(own[lay.B_NORTH]) + radius_m * math.cos(angle)
        east = float(own[lay.B_EAST]) + radius_m * math.sin(angle)
        truth = charted_depth_m(north, east, bay.raster, bay.depth_m) + tide_m(world)
        depths.append(truth + DEPTH_SD_M * draw(world, "sounding"))
    return ev.DepthSounded(tick=world.state.tick, least_m=min(depths), most_m=max(depths))


def _hail(world: World, target: int) -> ev.Event:
    n = world.params.neighbours[target - 1]
    holding_off.ask(world, target)
    told = HAIL_ROUND_M * round(n.rode_m / HAIL_ROUND_M)
    return ev.HailAnswered(tick=world.state.tick, target=target, rode_kind=n.rode_kind, rode_m=told)


def _dive(world: World, rode: int) -> ev.Event:
    a = world.state.anchors[rode]
    return ev.DiverReported(
        tick=world.state.tick,
        rode=rode,
        attitude=lay.ATTITUDES[int(a[lay.A_ATTITUDE])],
        burial=round(float(a[lay.A_BURIAL]), 1),
        clog=round(float(a[lay.A_CLOG]), 1),
    )


def _ashore(world: World, mark: int) -> ev.Event:
    """Make a line fast to a mark, where it reaches; the dinghy has rowed it there."""
    p, s = world.params, world.state
    rode = [r.role for r in p.rodes].index("shore")
    at = p.bay.marks[mark - 1]
    line, roller = p.rodes[rode].line, world.scratch.roller
    fairleads(s.boats[0], line, tide_m(world), roller, world.scratch.no_legs)
    ground = -charted_depth_m(at.north_m, at.east_m, p.bay.raster, p.bay.depth_m)
    end = np.array([at.north_m, at.east_m, max(ground, tide_m(world)) + 1.0])
    if 1.01 * float(np.linalg.norm(end - roller)) > float(line[lay.LP_CARRIED]):
        return ev.Declined(tick=s.tick, what="line_to_shore", why="too_far")
    lay_ashore(s.nodes[rode], s.lines[rode], line, s.anchors[rode], roller, end)
    s.memory[rode, st.M_ATTITUDE] = lay.ASHORE
    return ev.LineAshore(tick=s.tick, rode=rode, mark=at.name, out_m=round(float(s.lines[rode, lay.L_OUT]), 1))


def _slip(world: World, target: int) -> ev.Event:
    """Hang another boat's rode on a slip rope, lower the own chain from under it, and let it go."""
    world.state.fleet[target, lay.Q_ACROSS] = lay.SLIPPED_OFF
    world.state.lines[0, lay.L_CROSSED] = -1.0
    return ev.RodeSlipped(tick=world.state.tick, target=target)


_ANSWERS = {RANGE: by_laser, MAST: by_mast, SOUND: _sound, HAIL: _hail, DIVE: _dive, ASHORE: _ashore, SLIP: _slip}


def follow(world: World, bits: int) -> list[ev.Event]:
    """Begin what the hands do of themselves after a step, and return the answers that are due in it.

    A rode that shows across the chain is slipped. ``bits`` is what happened, as ``detect`` has it.
    """
    if bits & detect.OTHERS:
        for target in np.flatnonzero(world.scratch.boats & detect.SEEN_ACROSS).tolist():
            begin(world, SLIP, target)
    return _finish(world) if bits & detect.ACT_DUE else []


def _finish(world: World) -> list[ev.Event]:
    acts = world.state.acts
    done: list[ev.Event] = []
    for row in acts:
        if row[0] and row[1] <= world.state.tick:
            done.append(_ANSWERS[int(row[0])](world, int(row[2])))
            row[:] = 0
    return done
