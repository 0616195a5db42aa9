"""Ranging a boat or a mark by laser or by the height of a mast: each with its error, and each may fail."""

import math

from sim.base import rng
from sim.base.frames import bearing_rad
from sim.core import events as ev
from sim.core import state as st
from sim.core.world import World
from sim.model import layout as lay

LASER_SD_M = 1.0  # on a good target, and
LASER_NEAR_M, LASER_FAR_M = 8.0, 400.0  # within these (common practice, no source)
RIGGING = 1.3  # in standard deviations: one shot in ten at a boat goes between her rigging (judgement)
BEARING_SD_RAD = math.radians(1.0)
MAST_SD = 0.06  # of her mast's height, guessed by her kind and the same at every look (judgement)
MIL = 1e-3
STEP_MIL = 2.0  # to which a reticle is read (judgement)
LEAST_MIL, MOST_MIL = 4.0, 250.0  # a mast finer than this cannot be measured; a nearer one fills the glass


def draw(world: World, name: str) -> float:
    """Return the next standard normal draw of the stream ``name``; the count of draws is in the state."""
    counter = int(world.state.clock[st.K_DRAWS])
    world.state.clock[st.K_DRAWS] = counter + 1
    return rng.normal(world.params.seed, name, counter)


def target_exists(world: World, target: int) -> bool:
    """Return whether ``target`` names a boat (1 ..) that is here, or a mark (-1 ..)."""
    if 1 <= target < len(world.state.boats):
        return bool(world.state.boats[target, lay.B_AWAY] == 0.0)
    return 1 <= -target <= len(world.params.bay.marks)


def _leg(world: World, target: int) -> tuple[float, float]:
    """Return true distance [m] and bearing [rad] to a boat or a mark."""
    own = world.state.boats[0]
    if target >= 1:
        row = world.state.boats[target]
        north, east = float(row[lay.B_NORTH]), float(row[lay.B_EAST])
    else:
        mark = world.params.bay.marks[-target - 1]
        north, east = mark.north_m, mark.east_m
    dn, de = north - float(own[lay.B_NORTH]), east - float(own[lay.B_EAST])
    return math.hypot(dn, de), bearing_rad(dn, de)


def raining(world: World) -> bool:
    """Return whether it rains: with a squall, from its coming until it dies away (judgement)."""
    s = world.state
    ordered = s.episodes[: int(s.clock[st.K_EPISODES])]
    t_s = s.tick / 60.0
    for rows in (ordered, world.params.weather.planned):
        for row in rows:
            ends = row[lay.E_START_S] + row[lay.E_RAMP_S] + row[lay.E_HOLD_S]
            if row[lay.E_KIND] == lay.EPISODE_SQUALL and row[lay.E_START_S] <= t_s <= ends:
                return True
    return False


def by_laser(world: World, target: int) -> ev.Event:
    """Return what the laser gave: a range to a metre, or nothing off rigging, in rain, too near or too far."""
    away, bearing = _leg(world, target)
    why = ""
    if not LASER_NEAR_M <= away <= LASER_FAR_M:
        why = "out_of_reach"
    elif raining(world):
        why = "rain"
    elif target >= 1 and draw(world, "rigging") > RIGGING:
        why = "rigging"
    if why:
        return ev.RangeFailed(tick=world.state.tick, target=target, why=why)
    return ev.RangeTaken(
        tick=world.state.tick,
        target=target,
        range_m=max(away + LASER_SD_M * draw(world, "range"), 0.0),
        bearing_rad=(bearing + BEARING_SD_RAD * draw(world, "bearing")) % (2.0 * math.pi),
    )


def by_mast(world: World, target: int) -> ev.Event:
    """Return the range by the angle that a height subtends: height * 1000 / mil, the angle read in steps.

    Source: the mil relation, a thousandth of the range (common practice). Of a boat the height is a guess, of a mark
    charted.
    """
    away, bearing = _leg(world, target)
    if target >= 1:
        height = world.params.neighbours[target - 1].boat.particulars.mast_height_m
        guess = height * (1.0 + MAST_SD * rng.normal(world.params.seed, "mast", target))
    else:
        guess = height = world.params.bay.marks[-target - 1].height_m
    mil = STEP_MIL * round(math.atan2(height, max(away, 0.1)) / MIL / STEP_MIL)
    if not LEAST_MIL <= mil <= MOST_MIL:
        return ev.RangeFailed(tick=world.state.tick, target=target, why="out_of_reach")
    return ev.RangeTaken(
        tick=world.state.tick,
        target=target,
        range_m=guess / (mil * MIL),
        bearing_rad=(bearing + BEARING_SD_RAD * draw(world, "bearing")) % (2.0 * math.pi),
    )
