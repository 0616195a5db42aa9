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


def shower(w: World) -> World:
    """Return the same water in a squall's rain."""
    row = np.array([[lay.EPISODE_SQUALL, -10.0, 5.0, 600.0, 0.0, 1.0]])
    weather = dataclasses.replace(w.params.weather, planned=row)
    return dataclasses.replace(w, params=dataclasses.replace(w.params, weather=weather))


def test_the_rains_echoing_area_is_that_of_its_drops():
    """By hand: 10 mm/h is Z = 200 * 10^1.6 = 7962 mm6/m3 and eta = 2.16e-6 1/m; the cell at 500 m holds 87,900 m3."""
    z = 200.0 * 10.0**1.6
    cell = math.pi / 4.0 * (500.0 * radar.BEAM_RAD) * (500.0 * radar.TALL_RAD) * radar.PULSE_M
    eta = math.pi**5 * 0.93 * z * 1e-18 / 0.032**4

    assert z == pytest.approx(7962.0, rel=1e-3)
    assert eta == pytest.approx(2.16e-6, rel=0.01)
    assert radar.rain_m2(500.0, 10.0) == pytest.approx(eta * cell, rel=1e-9)
    assert radar.rain_m2(1000.0, 10.0) == pytest.approx(4.0 * radar.rain_m2(500.0, 10.0))
    assert radar.rain_m2(500.0, 0.0) == 0.0


def test_rain_falls_off_slower_than_the_sea_and_grows_with_its_rate():
    """A filled beam by the square of the range, the sea by the cube; ten times the rate is 16 dB (Marshall, Palmer)."""
    rain = [radar.echo_db(r, radar.rain_m2(r, 10.0)) for r in (200.0, 400.0)]
    more = radar.echo_db(200.0, radar.rain_m2(200.0, 100.0))

    assert rain[0] - rain[1] == pytest.approx(20.0 * math.log10(2.0))
    assert radar.clutter_db(200.0, 5.0) - radar.clutter_db(400.0, 5.0) == pytest.approx(30.0 * math.log10(2.0))
    assert more - rain[0] == pytest.approx(16.0)
    assert radar.unwanted_db(200.0, 5.0, 0.0) == radar.clutter_db(200.0, 5.0)
    assert radar.unwanted_db(200.0, 5.0, 10.0) > max(rain[0], radar.clutter_db(200.0, 5.0))


def test_in_rain_a_boat_drowns_until_the_gain_is_turned_down():
    """Seen when dry; lost in a shower that fills the screen; out again with less gain, lost again with hardly any."""
    dry = water((430.0, 0.0))
    wet = shower(dry)

    assert len(picture(dry, SCALE_M, 0.5, 0.4).echoes) == 1
    assert picture(wet, SCALE_M, 0.5, 0.4).echoes == ()
    assert picture(wet, SCALE_M, 0.5, 0.4).clutter_m == SCALE_M
    assert picture(wet, SCALE_M, 0.5, 0.4).clutter_m > picture(dry, SCALE_M, 0.5, 0.4).clutter_m
    turned = picture(wet, SCALE_M, 0.25, 0.4)
    assert len(turned.echoes) == 1
    assert turned.clutter_m < 0.5 * SCALE_M
    assert picture(wet, SCALE_M, 0.05, 0.4).echoes == ()


def test_the_control_takes_near_rain_with_the_sea():
    """It falls off with the range, so far rain stays where near rain goes."""
    wet = shower(water((430.0, 0.0)))
    reach = [picture(wet, 1852.0, 0.4, sea).clutter_m for sea in (0.0, 0.6, 1.0)]

    assert reach[0] >= reach[1] >= reach[2]
    assert reach[0] > reach[2]


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
