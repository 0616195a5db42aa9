"""Small waves: height and period as published, how hulls ride them, and the load that comes of it."""

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
from sim.model.air import wind
from sim.model.hull.heave_pitch import drift_share
from sim.model.water import waves
from sim.scenario import library

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


def raft(length_m: float = 0.05) -> np.ndarray:
    """Return the constants of a flat raft that meets the waves in its middle: they are long beside it."""
    hull = worlds.boat().hull.copy()
    hull[lay.H_LWL], hull[lay.H_CANOE], hull[lay.H_ASIDE], hull[lay.H_ROLLER_X] = length_m, 0.005, 0.0, 0.0
    hull[lay.H_MASS] = 1025.0 * length_m * 0.005 * length_m
    return hull


def ridden(hull: np.ndarray, fetch_m: float, seed: int = 1, wind_mps: float = 10.0, dt_s: float = 0.0) -> np.ndarray:
    """Return (heave, water's speed north, gain of way) in an hour head to the waves, five times a second."""
    swell = wavy(fetch_m, seed).swell
    answers = waves.responses(hull, swell.waves)
    row = np.zeros(lay.BOAT_COLS)
    found = []
    for t in np.arange(0.0, 3600.0, 0.2):
        row[lay.B_SURGE] = 0.0
        waves.ride(row, hull, answers, swell, (wind_mps, 0.0), float(t), dt_s)
        found.append((row[lay.B_HEAVE], row[lay.B_ORBIT_N], row[lay.B_SURGE]))
    return np.array(found)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_raft_is_lifted_and_moved_as_the_sea_is(seed):
    """Variance (H/4)^2, the definition of the significant height, within 5 % over an hour; the water stays."""
    z, north, _ = ridden(raft(), 20_000.0, seed).T
    height = waves.significant_height_m(10.0, 20_000.0)

    assert z.mean() == pytest.approx(0.0, abs=0.01 * height)
    assert z.var() == pytest.approx((height / 4.0) ** 2, rel=0.05)
    assert north.mean() == pytest.approx(0.0, abs=0.01 * north.std())


def closed_form(period_s: float, off_rad: float, length_m: float, breadth_m: float, draught_m: float, x_m: float):
    """Return the amplitude of the rise at a place over that of the wave.

    Source: Jensen, Mansour and Olsen (2004), Ocean Engineering 31, 61-85, equations of heave and pitch at zero speed,
    written out from memory and apart from the model's.
    """
    k = (2.0 * math.pi / period_s) ** 2 / G
    ke = abs(k * math.cos(off_rad))
    a = 2.0 * math.sin(0.5 * k * breadth_m) * math.exp(-k * draught_m)
    f = math.sqrt((1.0 - k * draught_m) ** 2 + (a * a / (k * breadth_m)) ** 2)
    eta = 1.0 / math.sqrt((1.0 - 2.0 * k * draught_m) ** 2 + (a * a / (k * breadth_m)) ** 2)
    half = 0.5 * ke * length_m
    force = math.exp(-ke * draught_m) * f * math.sin(half) / half
    moment = math.exp(-ke * draught_m) * f * 24.0 * (math.sin(half) - half * math.cos(half)) / (ke * length_m) ** 2
    return math.hypot(eta * force, eta * moment / length_m * x_m)


@pytest.mark.parametrize("name", ["sloop-12", "motor-14", "long-keel-11"])
@pytest.mark.parametrize("off_deg", [0.0, 45.0, 180.0])
def test_the_roller_rises_as_the_closed_form_says(name, off_deg):
    """Three hulls, waves of 2 to 5 s: 5 %."""
    hull = library.load_boat(name).hull
    periods = np.array([2.0, 2.5, 3.0, 3.5, 4.0, 5.0])
    table = np.zeros((len(periods), lay.WAVE_COLS))
    table[:, lay.WV_FREQ] = 1.0 / periods
    row = waves.responses(hull, table)[:, round(off_deg / 15.0)]
    found = np.hypot(row[:, lay.RS_REAL], row[:, lay.RS_IMAGINARY])
    length, draught = hull[lay.H_LWL], hull[lay.H_CANOE]
    breadth = hull[lay.H_MASS] / (1025.0 * length * draught)
    x = hull[lay.H_ROLLER_X]
    expected = [closed_form(float(t), math.radians(off_deg), length, breadth, draught, x) for t in periods]

    assert found == pytest.approx(np.array(expected), rel=0.05)


def test_a_bow_rises_more_than_waves_longer_than_she_and_less_than_shorter_ones():
    """Pitching at 3 to 4 s, bridging at 1.5 s."""
    hull = library.load_boat("sloop-12").hull
    table = np.zeros((3, lay.WAVE_COLS))
    table[:, lay.WV_FREQ] = 1.0 / np.array([1.5, 3.0, 4.0])
    row = waves.responses(hull, table)[:, 0]
    short, three, four = np.hypot(row[:, lay.RS_REAL], row[:, lay.RS_IMAGINARY])

    assert short < 0.3
    assert 1.4 <= three <= 1.8
    assert 1.4 <= four <= 1.8


def test_waves_push_a_hull_to_leeward_by_their_published_mean_force():
    """1/2 rho g a^2 R^2 B over all components, R^2 between 0 and 0.5 head on and between 0.5 and 1 of her length abeam.

    Source: Maruo's form, in Faltinsen, Sea Loads (1990), chapter 5; R^2 by a panel code.
    """
    hull = library.load_boat("sloop-12").hull
    dt = 0.01
    gained = ridden(hull, 10_000.0, dt_s=dt)[:, 2]
    force = -gained.mean() / dt * (hull[lay.H_MASS] + hull[lay.H_A11])
    height = waves.significant_height_m(10.0, 10_000.0)
    whole = 1025.0 * G * height**2 / 16.0 * hull[lay.H_BEAM]

    assert 0.02 * whole < force < 0.5 * whole
    for period, least, most in ((1.6, 0.65, 0.85), (6.0, 0.0, 0.05)):
        share = drift_share(1.0 / period, math.pi / 2.0, hull[lay.H_LWL], hull[lay.H_BEAM]) / hull[lay.H_LWL]
        assert least <= share <= most


def test_no_fetch_no_waves_no_wind_no_waves():
    assert not ridden(raft(), 0.0)[:5].any()
    assert not ridden(raft(), 5000.0, wind_mps=0.0)[:5].any()


def wavy(fetch_m: float, seed: int = 1) -> worlds.Water:
    """Return still water with waves of a fetch that is the same everywhere."""
    return worlds.Water(
        tide=np.array([[0.0, 0.0]]),
        stream=np.array([[0.0, 0.0, 0.0]]),
        waves=waves.components(seed),
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
    return np.array(found)[1200:]  # once she rides them: they come all at once


def test_the_peak_load_rises_with_the_fetch(lying):
    peaks = [pulls(lying, fetch).max() for fetch in (0.0, 3000.0, 30_000.0)]

    assert max(peaks[:2]) < peaks[2]
    assert peaks[2] > 1.2 * peaks[0]


def test_the_waves_are_those_of_the_wind_at_the_time(lying):
    """A lull takes them away: the heave follows the episode that halves the wind."""
    air = lying.params.weather.air
    swell = wavy(30_000.0).swell
    episodes = lying.state.episodes.copy()
    episodes[0] = [lay.EPISODE_SHIFT, 0.0, 10.0, 0.0, 0.0, 0.5]
    row, hull = lying.state.boats[0].copy(), lying.constants.hulls[0]
    answers = waves.responses(hull, swell.waves)

    def spread(count: int) -> float:
        found = []
        for t in np.arange(100.0, 700.0, 0.3):
            blows = wind.slow_wind(float(t), air, episodes, count)
            waves.ride(row, hull, answers, swell, blows, float(t), 0.0)
            found.append(row[lay.B_HEAVE])
        return float(np.std(found))

    assert spread(1) < 0.65 * spread(0), "as high as half the wind makes them"
