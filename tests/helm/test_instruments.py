"""The displays: they lag, they err, they keep the sense of what they show, and nobody changes them by looking."""

import math
from itertools import pairwise

import numpy as np
import pytest
import worlds

from sim.base.units import TICK_HZ
from sim.core import commands as cmd
from sim.core import state as st
from sim.core.step import advance
from sim.core.world import World
from sim.helm.instruments import Instruments
from sim.model import layout as lay

ANTENNA_X_M = worlds.SLOOP.antenna_x_m


def pass_time(world: World, instruments: Instruments, for_s: float) -> None:
    """Let the clock run over a boat whose state stands still: only the displays follow."""
    for _ in range(round(for_s * TICK_HZ)):
        world.state.clock[st.K_TICK] += 1
        instruments.step()


def fix_error(world: World, instruments: Instruments) -> tuple[float, float]:
    """Return how far the fix shown is from the antenna, north and east."""
    own, shown = world.state.boats[0], instruments.read()
    heading = own[lay.B_HEADING]
    north = own[lay.B_NORTH] + ANTENNA_X_M * math.cos(heading)
    east = own[lay.B_EAST] + ANTENNA_X_M * math.sin(heading)
    return shown.north_m - north, shown.east_m - east


def test_speed_over_the_ground_lags_by_some_seconds():
    """Common practice, no source: a plotter's speed trails the boat's by two or three seconds."""
    world = worlds.world()
    instruments = Instruments(world)
    world.state.boats[0, lay.B_SURGE] = 1.0

    pass_time(world, instruments, 1.0)
    assert instruments.read().sog_mps < 0.45
    pass_time(world, instruments, 1.5)
    assert instruments.read().sog_mps == pytest.approx(1.0 - math.exp(-1.0), abs=0.05)
    pass_time(world, instruments, 10.0)
    assert instruments.read().sog_mps > 0.98


def test_sternway_shows_as_such():
    world = worlds.world()
    world.state.boats[0, [lay.B_HEADING, lay.B_SURGE]] = [math.radians(40.0), -0.5]
    shown = Instruments(world).read()

    assert shown.along_mps == pytest.approx(-0.5)
    assert shown.sog_mps == pytest.approx(0.5)
    assert math.degrees(shown.cog_rad) == pytest.approx(220.0)


def test_way_through_the_water_is_not_way_over_the_ground():
    world = worlds.world()
    world.state.boats[0, [lay.B_SURGE, lay.B_STREAM_N]] = [0.2, -0.8]  # heading north, stream setting south
    shown = Instruments(world).read()

    assert shown.stw_mps == pytest.approx(1.0)
    assert shown.along_mps == pytest.approx(0.2)


@pytest.mark.parametrize(("from_deg", "off_bow_deg"), [(0.0, 0.0), (60.0, 60.0), (300.0, -60.0)])
def test_wind_is_shown_off_the_bow_starboard_positive(from_deg, off_bow_deg):
    shown = Instruments(worlds.world(weather=worlds.steady(15.0, from_deg))).read()

    assert math.degrees(shown.wind_angle_rad) == pytest.approx(off_bow_deg, abs=0.1)
    assert shown.wind_mps == pytest.approx(15.0 * 1852.0 / 3600.0, rel=1e-3)


def test_wind_shown_is_apparent():
    """Going ahead at 2 m/s into a wind of 5 she feels 7."""
    world = worlds.world()
    world.state.boats[0, [lay.B_SURGE, lay.B_WIND_N]] = [2.0, -5.0]

    assert Instruments(world).read().wind_mps == pytest.approx(7.0)


def test_depth_is_from_the_surface_and_follows_within_seconds():
    world = worlds.world(bay=worlds.bay(depth_m=5.0))
    instruments = Instruments(world)
    assert instruments.read().depth_m == pytest.approx(5.0)

    world.state.boats[0, lay.B_DEPTH] = 8.0
    pass_time(world, instruments, 0.5)
    assert 5.5 < instruments.read().depth_m < 7.0
    pass_time(world, instruments, 5.0)
    assert instruments.read().depth_m == pytest.approx(8.0, abs=0.05)


def test_a_heading_across_north_takes_the_short_way():
    world = worlds.world()
    world.state.boats[0, lay.B_HEADING] = math.radians(359.0)
    instruments = Instruments(world)
    world.state.boats[0, lay.B_HEADING] = math.radians(361.0)
    pass_time(world, instruments, 0.2)

    assert math.cos(instruments.read().heading_rad) > 0.999


def test_a_counter_that_is_wrong_shows_its_own_metres():
    world = worlds.world()
    instruments = Instruments(world)
    world.state.lines[0, lay.L_OUT] = 20.0
    pass_time(world, instruments, 0.1)
    assert instruments.read().counter_m == 20.0

    advance(world, [cmd.Fault(what="counter", value=0.8)])
    world.state.lines[0, lay.L_OUT] = 20.0
    pass_time(world, instruments, 0.1)
    assert instruments.read().counter_m == 16.0


def test_a_fix_is_wrong_by_a_few_metres_at_most():
    """Over four hours: about three metres at 95 %, as good receivers are, and never six."""
    world = worlds.world()
    instruments = Instruments(world)
    errors = []
    for minute in range(240):
        world.state.clock[st.K_TICK] = minute * 60 * TICK_HZ
        instruments.step()
        errors.append(math.hypot(*fix_error(world, instruments)))

    assert max(errors) < 6.0
    assert 2.0 < np.percentile(errors, 95) < 4.5


def test_the_error_of_a_fix_depends_on_seed_and_time_alone():
    """Another boat, elsewhere, with another past: the same error at the same time."""
    here, there, other_day = worlds.world(), worlds.world(weather=worlds.gusty(20.0)), worlds.world(seed=2)
    instruments = [Instruments(world) for world in (here, there, other_day)]
    for _ in range(120 * TICK_HZ):
        advance(there, [])
        instruments[1].step()
    for world, shown in ((here, instruments[0]), (other_day, instruments[2])):
        world.state.clock[st.K_TICK] = 120 * TICK_HZ
        shown.step()

    first, second, third = (fix_error(w, i) for w, i in zip((here, there, other_day), instruments, strict=True))
    assert second == pytest.approx(first, abs=1e-6)
    assert math.dist(first, third) > 0.1


def test_a_fix_wanders_slowly():
    """From one second to the next it moves by centimetres: what jumps would be filtered by any eye."""
    world = worlds.world()
    instruments = Instruments(world)
    before = fix_error(world, instruments)
    for second in range(1, 300):
        world.state.clock[st.K_TICK] = second * TICK_HZ
        instruments.step()
        now = fix_error(world, instruments)
        assert math.dist(before, now) < 0.4
        before = now


def test_displays_change_ten_times_a_second():
    world = worlds.world()
    instruments = Instruments(world)
    world.state.boats[0, lay.B_SURGE] = 1.0
    seen = [instruments.read().sog_mps]
    for _ in range(TICK_HZ):
        pass_time(world, instruments, 1.0 / TICK_HZ)
        seen.append(instruments.read().sog_mps)

    assert sum(later != earlier for earlier, later in pairwise(seen)) == 10


def test_looking_changes_nothing():
    world = worlds.world(weather=worlds.gusty(15.0))
    instruments = Instruments(world)
    before = st.state_hash(world.state)
    first = instruments.read()

    assert all(instruments.read() == first for _ in range(50))
    assert st.state_hash(world.state) == before


def test_one_lever_and_one_shaft_are_shown_for_each_that_is_fitted():
    single, twin = worlds.world(), worlds.world(boat=worlds.boat(worlds.TWIN))

    assert len(Instruments(single).read().levers) == len(Instruments(single).read().rps) == 1
    assert len(Instruments(twin).read().levers) == len(Instruments(twin).read().rps) == 2
