"""A lesson's weather keys: what they become, what the forecast says of them, how slips are told."""

import numpy as np
import pytest

from sim.base.units import mps, rad
from sim.model import layout as lay
from sim.model.air import wind
from sim.model.water.eddy import eddied
from sim.scenario import library
from sim.scenario.read import forecast, weather

PLAIN = "lessons/lantern-pool-2.yaml"
EVERYTHING = """wind:
  mean_kn: 12
  gust_kn: 15
  from_deg: 270
  shifts:
    - { at_h: 2, last_min: 30, turn_deg: 60, mean_kn: 18 }
    - { at_h: 5, last_min: 60, turn_deg: -20 }
  squalls:
    - { from_h: 3, to_h: 4, last_min: 8, max_kn: 36 }
    - { from_h: 6, to_h: 7 }
  high_ground: { from_deg: 300, factor: 3, swing_deg: 50, every_s: 90, last_s: 15 }
waves: { open_fetch_m: 4000 }"""


@pytest.fixture
def stormy(spoil, school):
    """Return a lesson that uses all of it."""
    text = (school / PLAIN).read_text(encoding="utf-8")
    line = next(row for row in text.splitlines() if row.startswith("wind:"))
    return library.load_lesson(spoil(PLAIN, line, EVERYTHING))


def test_a_lesson_that_asks_for_none_of_it_has_none():
    params = library.load_lesson("lantern-pool").world(1)

    assert len(params.weather.falls) == len(params.weather.planned) == len(params.weather.lee) == 0
    assert len(params.water.eddies) == len(params.water.waves) == 0


def test_shifts_come_at_their_hours(stormy):
    """Gusts and veering averaged over ten minutes: 270 and 12 kn, then 330 and 18, then 310."""
    air = stormy.world(1).weather
    air = wind.Weather(air.wind, np.zeros((0, lay.GUST_COLS)), np.zeros((0, lay.VEER_COLS)), planned=air.planned)

    def slow(at_h: float) -> tuple[float, float]:
        return wind.slow_wind(3600.0 * at_h, air.air, np.zeros((1, lay.EPISODE_COLS)), 0)

    assert slow(1.9) == pytest.approx((mps(12.0), rad(270.0)))
    assert slow(2.6) == pytest.approx((mps(18.0), rad(330.0)))
    assert slow(9.0) == pytest.approx((mps(18.0), rad(310.0)))


def test_squalls_come_in_their_hours_by_the_seed(stormy):
    starts = []
    for seed in range(20):
        rows = stormy.world(seed).weather.planned
        squalls = rows[rows[:, lay.E_KIND] == lay.EPISODE_SQUALL]
        assert np.all(squalls[:, lay.E_START_S] >= 3600.0 * np.array([3, 6]))
        assert np.all(squalls[:, lay.E_START_S] <= 3600.0 * np.array([4, 7]))
        assert squalls[0, lay.E_FACTOR] == pytest.approx(36.0 / 18.0)
        assert 1.0 / 0.75 <= squalls[1, lay.E_FACTOR] <= 1.0 / 0.2
        starts.append(squalls[0, lay.E_START_S])

    assert len(set(starts)) == 20
    assert np.array_equal(stormy.world(7).weather.planned, stormy.world(7).weather.planned)


def test_the_forecast_tells_all_of_it_in_words_the_library_has(stormy):
    told = forecast.lines(stormy.brief.forecast)
    words = library.load_words("en")

    keys = [key for key, _ in told]
    assert keys == [f"forecast.{w}" for w in ("veer", "back", "squall", "squall", "high_ground", "waves")]
    spoken = [words[key].format(**values) for key, values in told]
    assert "330°" in spoken[0]
    assert "310°" in spoken[1]
    assert "36 kn" in spoken[2]
    assert "300°" in spoken[4] and "36 kn" in spoken[4]
    assert stormy.brief.forecast.gust_mps == pytest.approx(mps(36.0))


def test_what_is_not_to_come_is_not_told():
    assert forecast.lines(library.load_lesson("lantern-pool").brief.forecast) == []


def test_waves_lift_the_roller_only_where_a_lesson_has_them(stormy):
    water = stormy.world(1).water
    reach = water.fetch[:, water.fetch.shape[1] // 2, water.fetch.shape[2] // 2]

    assert reach.max() > 10.0 * reach.min() > 0.0


def water_at(params, north: float, east: float) -> tuple[float, float]:
    """Return the stream at a place while it sets south at 1 m/s outside."""
    _, eddies, formed, raster = params.water.streams
    return eddied(north, east, -1.0, 0.0, eddies, formed, np.array(raster))


def test_shelter_and_eddies_come_from_the_bay(spoil, school):
    bay = school / "bays" / "lantern-pool.yaml"
    text = bay.read_text(encoding="utf-8")
    text = text.replace("  - name: the pool's shore\n", "  - name: the pool's shore\n    shelter_m: 12\n")
    text += (
        "eddies:\n  - { name: behind the point, to_deg: 180, rate: -0.3, edge_m: 30,"
        " polygon: [[60, -60], [60, 0], [0, 0], [0, -60]] }\n"
    )
    bay.write_text(text, encoding="utf-8")
    params = library.load_lesson(school / "lessons" / "lantern-pool.yaml").world(1)
    lee = params.weather.lee

    assert lee.shape[0] == 24
    assert lee.min() < 0.4
    assert lee.max() == 1.0
    assert params.water.eddies.tolist() == [[-1.0, pytest.approx(0.0, abs=1e-12), -0.3]]
    assert water_at(params, 30.0, -30.0) == pytest.approx((0.3, 0.0), abs=1e-9)
    assert water_at(params, 30.0, 100.0) == pytest.approx((-1.0, 0.0), abs=1e-9)
    assert -1.0 < water_at(params, 120.0, -30.0)[0] < 0.3


@pytest.mark.parametrize(
    ("old", "new", "key", "expected"),
    [
        ("max_kn: 36", "max_kn: 10", "wind", "squalls with max_kn above every mean_kn"),
        ("from_h: 6", "from_h: 9", "wind.squalls[1]", "to_h not before from_h"),
        ("at_h: 5", "at_h: 1", "wind", "shifts with at_h rising"),
        ("every_s: 90", "every_s: 20", "wind.high_ground", "every_s at least 1.4 times last_s"),
        ("factor: 3", "factor: 30", "wind.high_ground.factor", "at most 6"),
        ("open_fetch_m: 4000", "fetch_m: 4000", "waves.fetch_m", "one of open_fetch_m"),
    ],
)
def test_slips_are_told_in_one_line(spoil, school, refusal, old, new, key, expected):
    text = (school / PLAIN).read_text(encoding="utf-8")
    line = next(row for row in text.splitlines() if row.startswith("wind:"))
    path = spoil(PLAIN, line, EVERYTHING)
    error = refusal(spoil(PLAIN, old, new) if path else path)

    assert key in str(error)
    assert expected in str(error)


def test_the_peak_of_gusts_is_the_forecast_s():
    """The strongest three seconds in ten minutes lie 2.4 deviations above the mean."""
    w = library.load_lesson("lantern-pool-2").world(3).weather
    along = float(np.sqrt(0.5 * np.sum(w.gusts[:, lay.T_ALONG_SIN : lay.T_ALONG_COS + 1] ** 2)))
    block = library.load_lesson("lantern-pool-2").sources.lesson.wind

    assert 1.0 + weather.GUST_PEAK * along == pytest.approx(block.gust_kn / block.mean_kn)
