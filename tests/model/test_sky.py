"""The sun by the clock, and what it leaves of the light."""

import datetime
import math

import pytest

from sim.model.air.sky import Sky, darkness, elevation_rad

HOUR = 3600.0


@pytest.mark.parametrize(
    ("latitude_deg", "day", "noon_deg"),
    [(0.0, 80, 90.0), (50.0, 172, 63.45), (50.0, 355, 16.55), (-35.0, 355, 78.45)],
)
def test_at_noon_it_stands_as_high_as_latitude_and_season_say(latitude_deg, day, noon_deg):
    """90 degrees less the latitude plus the declination, 0 at the equinox and 23.45 at midsummer."""
    sky = Sky(12.0, math.radians(latitude_deg), day)

    assert math.degrees(elevation_rad(sky, 0.0)) == pytest.approx(noon_deg, abs=0.6)


def test_at_the_equinox_day_and_night_are_alike_everywhere():
    """It rises at six and sets at six, to the declination's error of a day or so."""
    for latitude_deg in (0.0, 30.0, 60.0):
        sky = Sky(0.0, math.radians(latitude_deg), 81)
        assert math.degrees(elevation_rad(sky, 6.0 * HOUR)) == pytest.approx(0.0, abs=0.6)
        assert math.degrees(elevation_rad(sky, 18.0 * HOUR)) == pytest.approx(0.0, abs=0.6)


def test_a_night_falls_lasts_and_lifts():
    """From six in the evening: light at first, never brighter until it is black, black at midnight, light at five."""
    sky = Sky()
    falling = [darkness(sky, 600.0 * k) for k in range(36)]

    assert falling[0] == 0.0
    assert falling == sorted(falling)
    assert any(0.2 < share < 0.8 for share in falling)
    assert darkness(sky, 6.0 * HOUR) == 1.0
    assert darkness(sky, 11.0 * HOUR) == 0.0


def test_a_lesson_in_the_dark_is_dark_whatever_the_clock():
    sky = Sky(starts_h=12.0, dark_until_s=900.0)

    assert darkness(sky, 899.0) == 1.0
    assert darkness(sky, 900.0) == 0.0


@pytest.mark.parametrize("latitude_deg", [-45.0, 0.0, 36.0, 50.0, 58.0])
@pytest.mark.parametrize("day", [15, 80, 172, 220, 266, 355])
def test_sunset_and_nautical_dusk_come_when_a_library_of_the_sun_has_them(latitude_deg, day):
    """The ``astral`` package, its sun after Meeus: five minutes at sunset, six at dusk, one degree of height all day.

    The day's declination is up to a degree off near the equinoxes, which up to 58 degrees is so many minutes. The hour
    is the sun's own, so the library's noon is taken for twelve. Where it knows no dusk it must not get quite dark.
    """
    astral, sun = pytest.importorskip("astral"), pytest.importorskip("astral.sun")
    where = astral.Observer(latitude_deg, 0.0, 0.0)
    date = datetime.date(2023, 1, 1) + datetime.timedelta(days=day - 1)
    noon = sun.noon(where, date)
    sky = Sky(12.0, math.radians(latitude_deg), day)
    falls = [darkness(sky, 60.0 * minute) for minute in range(721)]

    def minutes_until(then: datetime.datetime) -> float:
        return (then - noon).total_seconds() / 60.0

    for minute in range(0, 720, 60):
        height_deg = sun.elevation(where, noon + datetime.timedelta(minutes=minute), with_refraction=False)
        assert math.degrees(elevation_rad(sky, 60.0 * minute)) == pytest.approx(height_deg, abs=1.0)
    begins = next(minute for minute, share in enumerate(falls) if share > 0.0)
    assert begins == pytest.approx(minutes_until(sun.sunset(where, date)), abs=5.0)
    try:
        dusk = minutes_until(sun.dusk(where, date, depression=12.0))
    except ValueError:
        assert max(falls) < 1.0
    else:
        black = next(minute for minute, share in enumerate(falls) if share == 1.0)
        assert black == pytest.approx(dusk, abs=6.0)
