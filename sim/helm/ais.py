"""AIS as received: a mark where each boat that carries it last said she was. Between reports nothing comes.

At anchor a report comes every three minutes: the mark stays behind the boat. What was last received is in the state.
"""

import math
from dataclasses import dataclass

from sim.base import rng
from sim.base.frames import bearing_rad, to_world
from sim.base.units import TICK_HZ, mps, ticks
from sim.core import state as st
from sim.core.world import World
from sim.helm.sight import is_here
from sim.model import layout as lay

FIX_SD_M = 2.0  # of her own receiver, per axis, the same through a run (judgement)
STEP_M = 0.185  # a ten thousandth of a minute of latitude
NEVER = -1.0


@dataclass(frozen=True)
class AisMark:
    """A boat's last report: where, how fast and which way, and how old it is. ``course_rad`` means little at rest."""

    number: int
    name: str
    north_m: float
    east_m: float
    speed_mps: float
    course_rad: float
    age_s: float


def interval_s(transponder: str, speed_mps: float, anchored: bool) -> float:
    """Return the seconds between two reports of position.

    Source: ITU-R M.1371-5, annex 1: class A at anchor 180 s (10 s if faster than 3 kn), under way 10 s to 14 kn, 6 s
    to 23 kn, 2 s beyond; class B (carrier sense) 180 s up to 2 kn, 30 s beyond.
    """
    if transponder == "b":
        return 180.0 if speed_mps <= mps(2.0) else 30.0
    if anchored:
        return 180.0 if speed_mps <= mps(3.0) else 10.0
    if speed_mps <= mps(14.0):
        return 10.0
    return 6.0 if speed_mps <= mps(23.0) else 2.0


def _report(world: World, i: int, tick: float) -> None:
    """Write what boat ``i`` says now into the state."""
    row = world.state.boats[i]
    heading = float(row[lay.B_HEADING])
    an, ae = to_world(world.params.neighbours[i - 1].boat.particulars.antenna_x_m, 0.0, heading)
    off_n, off_e = (FIX_SD_M * v for v in rng.stream(world.params.seed, "ais fix", i).standard_normal(2).tolist())
    north, east = float(row[lay.B_NORTH]) + an + off_n, float(row[lay.B_EAST]) + ae + off_e
    vn, ve = to_world(float(row[lay.B_SURGE]), float(row[lay.B_SWAY]), heading)
    place = STEP_M * round(north / STEP_M), STEP_M * round(east / STEP_M)
    world.state.ais[i] = tick, *place, mps(round(math.hypot(vn, ve) / mps(0.1)) * 0.1), bearing_rad(vn, ve)


def begin(world: World) -> None:
    """Let every boat that carries it have spoken once, each at her own moment before the start."""
    world.state.ais[:, st.AIS_TICK] = NEVER
    for i, n in enumerate(world.params.neighbours, start=1):
        if n.ais and is_here(world, i):
            late = float(rng.uniforms(world.params.seed, f"ais {n.name}", 1)[0])
            _report(world, i, world.state.tick - ticks(late * interval_s(n.ais, 0.0, anchored=True)) - 1.0)


def listen(world: World) -> None:
    """Take in the reports that are due, in place; call it once a second."""
    s = world.state
    for i, n in enumerate(world.params.neighbours, start=1):
        if not n.ais or not is_here(world, i):
            continue
        speed = math.hypot(float(s.boats[i, lay.B_SURGE]), float(s.boats[i, lay.B_SWAY]))
        anchored = bool(s.fleet[i, lay.Q_STATE] == lay.LIES)
        silent = (s.tick - float(s.ais[i, st.AIS_TICK])) / TICK_HZ
        if s.ais[i, st.AIS_TICK] == NEVER or silent >= interval_s(n.ais, speed, anchored):
            _report(world, i, float(s.tick))


def received(world: World) -> tuple[AisMark, ...]:
    """Return the mark of every boat that has been heard."""
    s = world.state
    marks = []
    for i, n in enumerate(world.params.neighbours, start=1):
        tick, north, east, speed, course = s.ais[i].tolist()
        if n.ais and tick != NEVER and is_here(world, i):
            marks.append(AisMark(i, n.name, north, east, speed, course, (s.tick - tick) / TICK_HZ))
    return tuple(marks)
