"""The radar: echoes near where boats are, swollen, run together, drowned or lost as the set is set; rings are least."""

import dataclasses
import math

import numpy as np
import pytest
import worlds
from worlds import cmd, neighbour

from sim.core import state as st
from sim.core.step import advance
from sim.core.world import World
from sim.helm import radar
from sim.helm.instruments import Instruments
from sim.helm.radar import picture
from sim.model import layout as lay

SCALE_M = 463.0


def water(*places: tuple[float, float], wind_kn: float = 10.0, kinds: tuple[str, ...] = (), **changes) -> World:
    """Return boats at places, as they are, the own one at the origin heading north."""
    others = []
    for k, _ in enumerate(places):
        n = dataclasses.replace(neighbour(400.0, 20.0 * k), name=f"Boat {k}")
        if kinds:
            p = dataclasses.replace(worlds.SLOOP, kind=kinds[k])
            n = dataclasses.replace(n, boat=worlds.boat(p))
        others.append(n)
    w = worlds.world(neighbours=tuple(others), weather=worlds.steady(wind_kn), **changes)
    for row, (north, east) in zip(w.state.boats[1:], places, strict=True):
        row[: lay.B_WIND_N] = north, east, 0.0, 0.0, 0.0, 0.0
    return w


def test_an_echo_stands_where_its_boat_is_within_the_set_s_errors():
    """Range to the near edge within a pulse (150 m to the microsecond, physics), bearing within three of its errors."""
    w = water((200.0, 100.0))
    (echo,) = picture(w, SCALE_M, 0.5, 0.4).echoes
    away = math.hypot(200.0, 100.0)

    assert away - 6.0 - radar.PULSE_M <= echo.range_m <= away
    assert math.degrees(echo.bearing_rad - math.atan2(100.0, 200.0)) == pytest.approx(0.0, abs=2.1)
    assert echo.width_rad >= radar.BEAM_RAD
    assert echo.depth_m >= radar.PULSE_M


def test_bearings_are_off_the_bow():
    w = water((0.0, 200.0))
    w.state.boats[0, lay.B_HEADING] = 0.5 * math.pi

    assert picture(w, SCALE_M, 0.5, 0.4).echoes[0].bearing_rad == pytest.approx(0.0, abs=0.05)


def test_a_ring_tells_the_least_distance():
    """Never more than to the near side of the hull: what lies outside the ring is farther still."""
    for away in (60.0, 150.0, 333.0):
        w = water((away, 0.0))
        assert picture(w, SCALE_M, 0.5, 0.4).nearest_m <= away - 0.5 * worlds.SLOOP.loa_m


def test_boats_closer_than_beam_and_pulse_make_one_echo():
    w = water((300.0, 0.0), (305.0, 12.0))
    assert len(picture(w, SCALE_M, 0.5, 0.4).echoes) == 1

    apart = water((300.0, 0.0), (300.0, 80.0))
    assert len(picture(apart, SCALE_M, 0.5, 0.4).echoes) == 2


def test_with_too_little_gain_far_boats_are_lost_and_with_too_much_the_screen_speckles():
    w = water((430.0, 0.0))

    assert len(picture(w, SCALE_M, 0.5, 0.4).echoes) == 1
    assert picture(w, SCALE_M, 0.05, 0.4).echoes == ()
    assert picture(w, SCALE_M, 0.5, 0.4).speckled < 0.001
    assert picture(w, SCALE_M, 0.85, 0.4).speckled > 0.3


def test_more_gain_swells_an_echo():
    w = water((430.0, 0.0))
    low, high = (picture(w, SCALE_M, gain, 0.2).echoes[0] for gain in (0.45, 0.8))

    assert high.width_rad > low.width_rad


def test_the_sea_fills_the_middle_in_wind_and_the_control_takes_near_boats_with_it():
    calm, rough = (picture(water((90.0, 0.0), wind_kn=kn), 1852.0, 0.5, 0.1).clutter_m for kn in (5.0, 30.0))
    assert rough > calm

    w = water((60.0, 0.0), kinds=("day",), wind_kn=5.0)
    assert len(picture(w, SCALE_M, 0.5, 0.4).echoes) == 1
    assert picture(w, SCALE_M, 0.5, 1.0).echoes == ()
    assert picture(w, SCALE_M, 0.5, 1.0).clutter_m < picture(w, SCALE_M, 0.5, 0.0).clutter_m


def test_a_day_boat_drowns_in_clutter_in_which_a_motor_yacht_stands_out():
    kinds = ("day", "motor")
    w = water((110.0, 0.0), (0.0, 110.0), kinds=kinds, wind_kn=20.0)
    shown = picture(w, SCALE_M, 0.5, 0.0).echoes

    assert len(shown) == 1
    assert shown[0].bearing_rad == pytest.approx(0.5 * math.pi, abs=0.06)


def test_what_is_beyond_the_scale_or_under_the_scanner_is_not_shown():
    w = water((470.0, 0.0), (12.0, 0.0))

    assert picture(w, SCALE_M, 0.5, 0.4).echoes == ()


def test_the_land_is_shown_by_its_near_edge():
    quay = np.array([[150.0, -60.0], [190.0, -60.0], [190.0, 60.0], [150.0, 60.0]])
    w = worlds.world(bay=worlds.bay(shores=(quay,)))
    shown = picture(w, SCALE_M, 0.5, 0.4)

    assert shown.land_m[0] == pytest.approx(150.0, abs=radar.PULSE_M)
    assert shown.land_m[0] <= 150.0
    assert math.isinf(shown.land_m[radar.RAYS // 2])
    assert shown.nearest_m == shown.land_m[0]


def test_the_picture_is_that_of_the_last_sweep_and_looking_changes_nothing():
    w = water((200.0, 100.0))
    before = st.state_hash(w.state)
    first = picture(w, SCALE_M, 0.5, 0.4)
    w.state.clock[st.K_TICK] += 60
    assert picture(w, SCALE_M, 0.5, 0.4) == first
    w.state.clock[st.K_TICK] += 150
    assert picture(w, SCALE_M, 0.5, 0.4) != first
    w.state.clock[st.K_TICK] -= 210
    assert st.state_hash(w.state) == before


@pytest.mark.parametrize(("gear", "shown"), [(("radar",), True), ((), False)])
def test_only_who_has_a_radar_and_switches_it_on_sees_one(gear, shown):
    w = worlds.world(boat=dataclasses.replace(worlds.boat(), gear=gear))
    instruments = Instruments(w)
    assert instruments.radar() is None
    happened = advance(w, [cmd.SetRadar(on=True, scale_m=900.0, gain=2.0)])

    assert (instruments.radar() is not None) == shown
    assert bool(happened) != shown, "declined where none is fitted"
    if shown:
        assert instruments.radar().scale_m == 926.0
        assert instruments.radar().gain == 1.0
