"""Running aground: by the depth under her keel along her length; soft ground holds and lets go, hard ground stops."""

import math
from dataclasses import replace

import numpy as np
import pytest
import worlds
from worlds import SLOOP, TWIN, cmd, run

from sim.base.units import G_MPS2, mps
from sim.core import events as ev
from sim.core.world import World
from sim.model import ground
from sim.model import layout as lay
from sim.model.params import Bay
from sim.model.water.water import stand_in_ground

MUD, SAND, ROCK = 0.1, 0.5, 1.0
SLOPE = 0.02


def shelving(stiff: float, slope: float = SLOPE) -> Bay:
    """Return a bay that shoals northwards: 2.5 m at the origin, so much less each metre."""
    bay = worlds.bay()
    depth = 2.5 - slope * (-500.0 + 10.0 * np.arange(101))
    bottoms = bay.bottoms.copy()
    bottoms[0, lay.G_STIFF] = stiff
    return replace(bay, depth_m=np.repeat(depth[:, None], 101, axis=1), bottoms=bottoms)


def aground(stiff: float, speed_kn: float) -> tuple[World, list[ev.Event]]:
    """Return the sloop half a minute after she has run on to the shelf at a speed, and what happened."""
    w = worlds.world(bay=shelving(stiff), start=worlds.Start(5.0, 0.0, 0.0, mps(speed_kn)))
    return w, run(w, 45.0)


def stands(p, heading_deg: float) -> tuple[float, float]:
    """Return (deepest penetration, where along her) where the bed, 1.5 m down under her middle, shoals to the north."""
    bay = shelving(ROCK, 0.1)
    row = np.zeros(lay.BOAT_COLS)
    row[lay.B_NORTH], row[lay.B_HEADING] = 10.0, math.radians(heading_deg)
    return stand_in_ground(row, worlds.boat(p).hull, 0.0, bay.raster, bay.depth_m)


def test_she_stands_deepest_at_the_end_of_the_keel_that_is_up_the_slope():
    deepest, where = stands(SLOOP, 0.0)
    ahead = SLOOP.keel_x_m + 0.5 * SLOOP.keel_chord_m

    assert where == pytest.approx(ahead)
    assert deepest == pytest.approx(SLOOP.draught_m - (1.5 - 0.1 * ahead), abs=1e-6)
    assert stands(SLOOP, 180.0)[1] < 0.0, "backing in, the after end of it"


def test_on_a_steep_slope_the_forefoot_meets_it_before_the_keel():
    bay = shelving(ROCK, 0.5)
    row = np.zeros(lay.BOAT_COLS)
    row[lay.B_NORTH] = -0.5
    _, where = stand_in_ground(row, worlds.boat(SLOOP).hull, 0.0, bay.raster, bay.depth_m)

    assert where > 3.0


def test_a_twin_hull_grounds_on_the_hull_that_is_up_the_slope():
    """Lying along a slope her upper hull stands half her width further up it than her middle."""
    along, _ = stands(TWIN, 90.0)
    middle = TWIN.draught_m - 1.5

    assert along == pytest.approx(max(middle + 0.1 * 0.5 * (TWIN.beam_m - TWIN.hull_beam_m), 0.0), abs=1e-6)


def test_in_deep_water_nothing_touches():
    w = worlds.world(bay=worlds.bay(2.1))
    run(w, 1.0)

    assert w.state.boats[0, lay.B_GROUND] == 0.0


@pytest.mark.parametrize(("stiff", "hard"), [(MUD, False), (SAND, True), (ROCK, True)])
def test_she_stops_and_it_is_told_once_with_the_kind_of_ground(stiff, hard):
    w, happened = aground(stiff, 3.0)
    told = [e for e in happened if isinstance(e, ev.Grounded)]

    assert [e.hard for e in told] == [hard]
    assert told[0].speed_mps > 0.5
    assert math.hypot(*w.state.boats[0, [lay.B_SURGE, lay.B_SWAY]]) < 1e-3


def test_mud_slows_her_over_metres_and_rock_stops_her_short():
    """Where her keel first touches is the same; the way she carries on is not."""
    norths = {stiff: aground(stiff, 3.0)[0].state.boats[0, lay.B_NORTH] for stiff in (MUD, SAND, ROCK)}
    keel = SLOOP.keel_x_m + 0.5 * SLOOP.keel_chord_m
    touching = (2.5 - SLOOP.draught_m) / SLOPE - keel

    assert touching < norths[ROCK] < norths[SAND] < norths[MUD]
    assert norths[ROCK] - touching < 3.0
    assert norths[MUD] - touching > 1.4 * (norths[ROCK] - touching)


def test_she_stands_still_under_a_force_that_is_less_than_the_grip():
    """No creeping: a minute of full astern that does not shift her shifts her by nothing."""
    w, _ = aground(ROCK, 3.0)
    was = w.state.boats[0, lay.B_NORTH]
    run(w, 60.0, cmd.Engine(lever=-1.0))

    assert abs(w.state.boats[0, lay.B_NORTH] - was) < 1e-6


def test_touched_lightly_in_mud_she_is_pulled_off_astern():
    w, _ = aground(MUD, 1.5)
    run(w, 60.0, cmd.Engine(lever=-1.0))

    assert w.state.boats[0, lay.B_GROUND] == 0.0
    assert w.state.boats[0, lay.B_NORTH] < 10.0


def test_mud_closes_round_the_keel_and_holds_more_the_longer_she_lies():
    """At once full astern takes her off what it does not shift a minute later."""
    at_once, later = (worlds.world(bay=shelving(MUD), start=worlds.Start(5.0, 0.0, 0.0, mps(1.9))) for _ in range(2))
    for w in (at_once, later):
        while w.state.boats[0, lay.B_GROUND] == 0.0 or w.state.boats[0, lay.B_SURGE] > 1e-3:
            run(w, 0.5)
    fresh = ground.grip_n(at_once.state.boats[0], at_once.constants.hulls[0])
    run(at_once, 60.0, cmd.Engine(lever=-1.0))
    run(later, 90.0)
    settled = ground.grip_n(later.state.boats[0], later.constants.hulls[0])
    run(later, 60.0, cmd.Engine(lever=-1.0))

    assert settled > 1.5 * fresh
    assert at_once.state.boats[0, lay.B_GROUND] == 0.0
    assert later.state.boats[0, lay.B_GROUND] > 0.0


def test_the_tide_floats_her_off():
    tide = np.array([[0.0, 0.0], [1800.0, 1.0]])
    w = worlds.world(
        bay=shelving(SAND), start=worlds.Start(5.0, 0.0, 0.0, mps(3.0)), water=worlds.Water(tide, np.zeros((1, 3)))
    )
    run(w, 60.0)
    assert w.state.boats[0, lay.B_GROUND] > 0.0
    run(w, 900.0)
    assert w.state.boats[0, lay.B_GROUND] == 0.0


@pytest.mark.parametrize(("stiff", "least", "most"), [(MUD, 0.2, 0.3), (SAND, 0.3, 0.4), (ROCK, 0.8, 1.5)])
def test_the_friction_of_the_ground_is_that_of_stranded_ships(stiff, least, most):
    """Ground reaction times 0.2 to 0.3 on mud, 0.3 to 0.4 on sand, 0.8 to 1.5 on rock.

    U.S. Navy Salvor's Handbook (S0300-A7-HBK-010, 2000), friction of stranded ships; from memory, its table not seen.
    """
    assert least <= ground.friction_on(stiff) <= most


def test_the_ground_never_carries_more_than_she_weighs():
    row, hull = np.zeros(lay.BOAT_COLS), worlds.boat(SLOOP).hull
    row[lay.B_GROUND], row[lay.B_STIFF] = 9.0, ROCK

    assert ground.carried_n(row, hull) == pytest.approx(SLOOP.mass_kg * G_MPS2)


@pytest.mark.parametrize("dt_s", [1.0 / 60.0, 0.1, 0.5])
def test_rubbing_never_turns_her_back_whatever_the_step(dt_s):
    """Way on, drift and turn all lessen and keep their sense; a long step only takes off more."""
    row, hull = np.zeros(lay.BOAT_COLS), worlds.boat(SLOOP).hull
    row[[lay.B_GROUND, lay.B_STIFF, lay.B_GROUND_X]] = 0.2, ROCK, 0.9
    surge, sway, turn = ground.rub(row, hull, 1.0, 0.0, 0.0, dt_s)
    assert 0.0 <= surge < 1.0
    assert (sway, turn) == (0.0, 0.0)

    _, _, turn = ground.rub(row, hull, 0.0, 0.0, 0.3, dt_s)
    assert 0.0 <= turn < 0.3
