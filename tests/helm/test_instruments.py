"""The displays: they lag, they err, they keep the sense of what they show, and nobody changes them by looking."""

import dataclasses
import math
from itertools import pairwise

import numpy as np
import pytest
import worlds

from sim.base.units import TICK_HZ
from sim.core import state as st
from sim.core.orders import commands as cmd
from sim.core.step import advance
from sim.core.world import World
from sim.helm.instruments import Instruments
from sim.model import layout as lay

ROUNDED_MPS = 0.5 * 0.1 * 1852.0 / 3600.0  # half of a tenth of a knot
ANTENNA_X_M = worlds.SLOOP.antenna_x_m


def pass_time(world: World, instruments: Instruments, for_s: float) -> None:
    """Let the clock run over a boat whose state stands still: only the displays follow."""
    for _ in range(round(for_s * TICK_HZ)):
        world.state.clock[st.K_TICK] += 1
        worlds.log_now(world)
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
    assert instruments.read().sog_mps == pytest.approx(1.0 - math.exp(-1.0), abs=0.05 + ROUNDED_MPS)
    pass_time(world, instruments, 10.0)
    assert instruments.read().sog_mps == pytest.approx(1.0, abs=ROUNDED_MPS)


def test_sternway_shows_as_such():
    world = worlds.world()
    world.state.boats[0, [lay.B_HEADING, lay.B_SURGE]] = [math.radians(40.0), -0.5]
    shown = Instruments(world).read()

    assert shown.along_mps == pytest.approx(-0.5)
    assert shown.sog_mps == pytest.approx(0.5, abs=ROUNDED_MPS)
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
        worlds.log_now(world)
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
        worlds.log_now(world)
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
        worlds.log_now(world)
        instruments.step()
        now = fix_error(world, instruments)
        assert math.dist(before, now) < 0.4
        before = now


def test_displays_change_ten_times_a_second():
    world = worlds.world()
    instruments = Instruments(world)
    world.state.boats[0, lay.B_SURGE] = 1.0
    seen = [instruments.read().along_mps]
    for _ in range(TICK_HZ):
        pass_time(world, instruments, 1.0 / TICK_HZ)
        seen.append(instruments.read().along_mps)

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


def test_speed_is_shown_to_a_tenth_of_a_knot():
    world = worlds.world()
    world.state.boats[0, lay.B_SURGE] = 1.01
    tenths = Instruments(world).read().sog_mps / (0.1 * 1852.0 / 3600.0)

    assert tenths == pytest.approx(round(tenths))
    assert round(tenths) == 20


def with_boat(**changes) -> World:
    """Return a world whose own boat is a little different."""
    own = worlds.boat(dataclasses.replace(worlds.SLOOP, **changes.pop("particulars", {})))
    return worlds.world(boat=dataclasses.replace(own, **changes))


@pytest.mark.parametrize("offset_m", [0.0, 0.5, 2.0])
def test_the_sounder_measures_from_where_it_does(offset_m):
    """Five metres of water: from the surface 5.0, from a transducer half a metre down 4.5, from a keel 3.0."""
    world = with_boat(particulars={"sounder_offset_m": offset_m})

    assert Instruments(world).read().depth_m == pytest.approx(5.0 - offset_m)


def test_over_a_slope_the_sounder_shows_what_is_under_it_and_not_under_the_mast():
    bay = worlds.bay()
    depth = np.repeat((10.0 - 0.1 * (-500.0 + 10.0 * np.arange(101)))[:, None], 101, axis=1)
    world = worlds.world(
        boat=worlds.boat(dataclasses.replace(worlds.SLOOP, sounder_x_m=4.0)),
        bay=dataclasses.replace(bay, depth_m=depth),
    )

    assert Instruments(world).read().depth_m == pytest.approx(10.0 - 0.4)


def test_the_log_is_fooled_by_the_wash_of_a_propeller_astern():
    """Stopped in still water with half astern it turns; the wheel knows no sense."""
    world = worlds.world()
    instruments = Instruments(world)
    assert instruments.read().stw_mps == pytest.approx(0.0)

    advance(world, [cmd.Engine(lever=-0.5)])
    for _ in range(4 * TICK_HZ):
        advance(world, [])
        world.state.boats[0, [lay.B_SURGE, lay.B_SWAY, lay.B_YAW_RATE]] = 0.0
        worlds.log_now(world)
        instruments.step()
    assert instruments.read().stw_mps > 0.3
    assert instruments.read().sog_mps == pytest.approx(0.0)


def test_the_trace_keeps_the_last_minutes_the_oldest_first():
    world = with_boat(gear=("trace",))
    instruments = Instruments(world)
    for second in range(st.TRACE_S + 30):
        world.state.boats[0, lay.B_DEPTH] = 5.0 + 0.01 * second
        pass_time(world, instruments, 1.0)
    trace = instruments.trace_m()

    assert len(trace) == st.TRACE_S
    assert list(trace) == sorted(trace)
    assert trace[-1] == instruments.read().depth_m
    assert Instruments(worlds.world()).trace_m() == (), "she has none"


def test_bearing_and_distance_to_a_place_err_with_the_fix():
    world = worlds.world()
    instruments = Instruments(world)
    shown = instruments.read()
    leg = instruments.leg(shown.north_m + 30.0, shown.east_m + 40.0)

    assert leg.distance_m == pytest.approx(50.0)
    assert math.degrees(leg.bearing_rad) == pytest.approx(53.13, abs=0.01)
    assert abs(instruments.leg(0.0, 0.0).distance_m - abs(ANTENNA_X_M)) > 0.01, "the fix is not the truth"
