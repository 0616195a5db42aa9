"""Small waves: height and period as published, the roller's heave by them, and the load that comes of it."""

import math
from dataclasses import replace

import numpy as np
import pytest
import worlds
from published import published

from sim.core import state as st
from sim.core import world as wd
from sim.core.step import advance
from sim.model import layout as lay
from sim.model.water import waves

GROWTH = published("weather")["wave_growth"]
G = 9.80665


@pytest.mark.parametrize("wind_mps", [5.0, 10.0, 17.0])
@pytest.mark.parametrize("fetch_m", [300.0, 2000.0, 20_000.0])
def test_height_and_period_follow_the_published_growth(wind_mps, fetch_m):
    far = G * fetch_m / wind_mps**2
    height = GROWTH["height"] * far ** GROWTH["height_power"] * wind_mps**2 / G
    period = GROWTH["period"] * far ** GROWTH["period_power"] * wind_mps / G

    assert waves.significant_height_m(wind_mps, fetch_m) == pytest.approx(height, rel=1e-6)
    assert waves.peak_period_s(wind_mps, fetch_m) == pytest.approx(period, rel=1e-3)


def test_a_sea_fully_grown_grows_no_more():
    grown = GROWTH["grown_height"] * 100.0 / G

    assert waves.significant_height_m(10.0, 1e8) == pytest.approx(grown, rel=0.01)
    assert waves.peak_period_s(10.0, 1e8) == pytest.approx(GROWTH["grown_period"] * 10.0 / G, rel=0.01)


def heave(loa_m: float, fetch_m: float, seed: int = 1, wind_mps: float = 10.0) -> np.ndarray:
    """Return an hour of heave, five times a second."""
    table = waves.components(seed)
    return np.array([waves.heave_m(float(t), wind_mps, fetch_m, loa_m, table) for t in np.arange(0.0, 3600.0, 0.2)])


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_short_hull_is_lifted_as_the_sea_is(seed):
    """Variance (H/4)^2, the definition of the significant height, within 5 % over an hour."""
    z = heave(0.5, 20_000.0, seed)
    height = waves.significant_height_m(10.0, 20_000.0)

    assert z.mean() == pytest.approx(0.0, abs=0.01 * height)
    assert z.var() == pytest.approx((height / 4.0) ** 2, rel=0.05)


def test_a_long_hull_bridges_short_waves():
    """By the waves' length over twice hers: at 2.9 s waves are 13 m long, so a hull of 12 m feels about half."""
    sea = heave(0.5, 10_000.0).std()
    share = heave(12.0, 10_000.0).std() / sea
    length = G * waves.peak_period_s(10.0, 10_000.0) ** 2 / (2.0 * math.pi)

    assert share == pytest.approx(length / 24.0, rel=0.25)
    assert heave(12.0, 500.0).std() < 0.1 * heave(0.5, 500.0).std()


def test_no_fetch_no_waves_no_wind_no_waves():
    table = waves.components(1)

    assert waves.heave_m(5.0, 10.0, 0.0, 12.0, table) == 0.0
    assert waves.heave_m(5.0, 0.0, 5000.0, 12.0, table) == 0.0


def wavy(fetch_m: float) -> worlds.Water:
    """Return still water with waves of a fetch that is the same everywhere."""
    return worlds.Water(
        tide=np.array([[0.0, 0.0]]),
        stream=np.array([[0.0, 0.0, 0.0]]),
        waves=waves.components(1),
        fetch=np.full((24, 2, 2), fetch_m),
        fetch_raster=np.array([-500.0, -500.0, 1000.0]),
    )


def test_no_fetch_gives_exactly_the_old_run():
    runs = [worlds.world(weather=worlds.gusty(20.0), water=w) for w in (wavy(0.0), worlds.params().water)]
    for w in runs:
        worlds.let_go(w, 15.0)

    assert st.state_hash(runs[0].state) == st.state_hash(runs[1].state)


@pytest.fixture(scope="module")
def lying():
    """Return a sloop that lies to 30 m of chain in 20 kn of steady wind."""
    return worlds.lying_back(wind_kn=20.0, out_m=30.0)


def pulls(lying, fetch_m: float, seconds: float = 90.0) -> np.ndarray:
    """Return the pull of the chain at the roller, tick by tick, as she lies in waves."""
    w = wd.build(replace(lying.params, water=wavy(fetch_m)))
    st.restore(w.state, lying.state)
    found = []
    for _ in range(round(seconds * 60.0)):
        advance(w, ())
        found.append(w.state.lines[0, lay.L_TENSION])
    return np.array(found)


def test_the_peak_load_rises_with_the_fetch(lying):
    peaks = [pulls(lying, fetch).max() for fetch in (0.0, 3000.0, 30_000.0)]

    assert peaks[0] < peaks[1] < peaks[2]
    assert peaks[2] > 1.3 * peaks[0]


def test_the_waves_are_those_of_the_wind_at_the_time(lying):
    """A lull takes them away: the heave follows the episode that halves the wind."""
    air = lying.params.weather.air
    swell = wavy(30_000.0).swell
    episodes = lying.state.episodes.copy()
    episodes[0] = [lay.EPISODE_SHIFT, 0.0, 10.0, 0.0, 0.0, 0.5]
    row, hull = lying.state.boats[0].copy(), lying.constants.hulls[0]

    def spread(count: int) -> float:
        found = []
        for t in np.arange(100.0, 700.0, 0.3):
            waves.heave_bow(row, hull, float(t), air, swell, episodes, count)
            found.append(row[lay.B_HEAVE])
        return float(np.std(found))

    assert spread(1) < 0.4 * spread(0)
