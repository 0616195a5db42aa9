"""The wind: a published spectrum, a function of seed, place and time and of nothing else, gusts carried downwind."""

import itertools
import math

import numpy as np
import pytest
import worlds
from published import published
from scipy.integrate import quad
from scipy.signal import periodogram

from sim.base.units import deg, mps, rad
from sim.core.orders import commands as cmd
from sim.core.step import advance
from sim.model import layout as lay
from sim.model.air import gusts, wind
from sim.model.params import Weather

NO_EPISODES = np.zeros((lay.MAX_EPISODES, lay.EPISODE_COLS))
MEAN_MPS = 9.0


def at(w: Weather, t_s: float, north: float = 0.0, east: float = 0.0, episodes=NO_EPISODES, count: int = 0):
    """Return the wind's velocity (north, east) at a place and time."""
    return wind.wind_at(north, east, t_s, w.air, episodes, count)


def along_wind(w: Weather, times) -> np.ndarray:
    """Return speeds along the mean direction (from north) at times."""
    return np.array([-at(w, float(t))[0] for t in times])


def gusty(seed: int = 1, veer_deg: float = 0.0) -> Weather:
    """Return an open-water wind from the north."""
    return wind.pack(seed, MEAN_MPS, 0.0, 0.13, rad(veer_deg))


def test_the_spectrum_integrates_as_published():
    """Kaimal's form along the wind: 105/22 of the friction velocity squared."""
    total, _ = quad(lambda ln_n: gusts.kaimal_along(math.exp(ln_n)), -14.0, 14.0, limit=200)

    assert total == pytest.approx(published("weather")["kaimal"]["along_integral"], rel=1e-3)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_gusts_have_the_variance_that_was_asked(seed):
    """13 % of the mean along it, three quarters of that across, over hours."""
    w = gusty(seed)
    times = np.arange(0.0, 4.0 * 3600.0, 0.7)
    winds = np.array([at(w, float(t)) for t in times])

    assert -winds[:, 0].mean() == pytest.approx(MEAN_MPS, rel=0.01)
    assert winds[:, 0].std() == pytest.approx(0.13 * MEAN_MPS, rel=0.05)
    assert winds[:, 1].std() == pytest.approx(0.75 * 0.13 * MEAN_MPS, rel=0.05)


def test_gusts_have_the_published_shape():
    """Energy by octave against Kaimal's form between 1/300 and 0.5 Hz, averaged over seeds: 4 % of the total."""
    edges = gusts.LEAST_HZ * 2.0 ** np.arange(0.0, 8.0)
    octaves = list(itertools.pairwise(edges))
    found = np.zeros(len(octaves))
    for seed in range(6):
        power_at, power = periodogram(along_wind(gusty(seed), np.arange(0.0, 7200.0, 0.9)), fs=1.0 / 0.9)
        found += [power[(power_at >= low) & (power_at < high)].sum() for low, high in octaves]

    def energy(low: float, high: float) -> float:
        scale = gusts.HEIGHT_M / MEAN_MPS
        return quad(lambda ln_f: gusts.kaimal_along(math.exp(ln_f) * scale), math.log(low), math.log(high))[0]

    expected = np.array([energy(low, high) for low, high in octaves])
    assert found / found.sum() == pytest.approx(expected / expected.sum(), abs=0.04)


@pytest.mark.parametrize(("seed", "mean_mps"), [(1, 9.0), (2, 9.0), (3, 5.0), (4, 15.0)])
def test_an_hour_of_wind_has_the_published_spectrum(seed, mean_mps):
    """From the lowest frequency up to any other the energy is Kaimal's, within 10 % of the hour's variance.

    Between 1/300 and 0.5 Hz: slower changes are the lesson's shifts and veering, quicker ones no boat answers to.
    """
    w = wind.pack(seed, mean_mps, 0.0, 0.13, 0.0)
    found_hz, power = periodogram(along_wind(w, np.arange(0.0, 3600.0, 0.9)), fs=1.0 / 0.9)
    limits = np.geomspace(gusts.LEAST_HZ, gusts.MOST_HZ, 60)
    gathered = np.array([power[found_hz <= f].sum() for f in limits]) / power.sum()

    def below(f: float) -> float:
        n = f * gusts.HEIGHT_M / mean_mps
        return 1.0 - (1.0 + 33.0 * n) ** (
            -2.0 / 3.0
        )  # the integral of 105 n / (1 + 33 n)^(5/3) over ln n, over its whole

    first, final = below(gusts.LEAST_HZ), below(gusts.MOST_HZ)
    expected = (np.array([below(f) for f in limits]) - first) / (final - first)
    assert np.abs(gathered - expected).max() < 0.10


def test_it_is_a_function_of_place_and_time_whatever_was_asked_before():
    """Asked forwards, backwards or at random, each moment has its wind, to the last bit."""
    w = gusty(veer_deg=6.0)
    times = np.arange(0.0, 600.0, 1.3)
    forwards = {float(t): at(w, float(t), 20.0, -30.0) for t in times}
    shuffled = np.random.default_rng(1).permutation(times)

    assert all(at(w, float(t), 20.0, -30.0) == forwards[float(t)] for t in shuffled)


def test_the_same_seed_is_the_same_wind_and_another_is_not():
    times = np.arange(0.0, 60.0, 1.0)

    assert np.array_equal(along_wind(gusty(7), times), along_wind(gusty(7), times))
    assert not np.allclose(along_wind(gusty(7), times), along_wind(gusty(8), times))


@pytest.mark.parametrize("from_deg", [0.0, 217.0])
def test_a_gust_reaches_a_boat_downwind_later_by_the_mean_wind(from_deg):
    """Frozen turbulence: 90 m to leeward at 9 m/s, ten seconds later, the same gust."""
    w = wind.pack(3, MEAN_MPS, rad(from_deg), 0.13, 0.0)
    lee_n, lee_e = -90.0 * math.cos(rad(from_deg)), -90.0 * math.sin(rad(from_deg))
    for t in range(0, 300, 7):
        assert at(w, t + 10.0, lee_n, lee_e) == pytest.approx(at(w, float(t)), abs=1e-9)
    assert at(w, 50.0, -lee_e, lee_n) != pytest.approx(at(w, 50.0), abs=0.1)


def davenport(distance_m: float, mean_mps: float) -> float:
    """Return the correlation across the wind by Davenport's coherence exp(-10 f y / U) on the model's spectrum."""
    freq = np.geomspace(gusts.LEAST_HZ, gusts.MOST_HZ, 2000)
    power = np.array([gusts.kaimal_along(float(f) * gusts.HEIGHT_M / mean_mps) for f in freq])  # over ln f
    return float((power * np.exp(-10.0 * freq * distance_m / mean_mps)).sum() / power.sum())


@pytest.mark.parametrize("kn", [8.0, 18.0, 30.0])
def test_abreast_of_each_other_boats_meet_gusts_that_are_alike_as_davenport_has_it(kn):
    """20, 40 and 60 m across the wind, six hours, any seed: within 0.1; the mean of the seeds within 0.04."""
    times = np.arange(0.0, 6.0 * 3600.0, 2.0)
    for metres in (20.0, 40.0, 60.0):
        found = []
        for seed in range(1, 7):
            w = wind.pack(seed, mps(kn), 0.0, 0.13, 0.0)
            found.append(np.corrcoef(*([-at(w, float(t), 0.0, e)[0] for t in times] for e in (0.0, metres)))[0, 1])

        assert found == pytest.approx([davenport(metres, mps(kn))] * len(found), abs=0.1)
        assert np.mean(found) == pytest.approx(davenport(metres, mps(kn)), abs=0.04)


def test_after_a_shift_gusts_come_with_the_new_wind():
    """A quarter turn later boats that lay one behind the other lie abreast, and meet gusts of their own."""
    episodes = NO_EPISODES.copy()
    episodes[0] = [lay.EPISODE_SHIFT, 0.0, 60.0, 0.0, rad(90.0), 1.0]
    w = gusty(2)
    times = np.arange(600.0, 4200.0, 1.0)
    one, other = (np.array([at(w, float(t), n, 0.0, episodes, 1)[1] for t in times]) for n in (0.0, 60.0))
    best = max(np.corrcoef(one[30:-30], other[30 + k : len(other) - 30 + k])[0, 1] for k in range(-30, 31))

    assert best < 0.5


def test_it_veers_slowly_by_the_deviation_asked():
    w = wind.pack(2, MEAN_MPS, rad(40.0), 0.0, rad(6.0))
    bearings = []
    for t in range(0, 8 * 3600, 10):
        north, east = at(w, float(t))
        bearings.append(deg(math.remainder(math.atan2(-east, -north) - rad(40.0), 2.0 * math.pi)))
    steps = np.abs(np.diff(bearings))

    assert np.std(bearings) == pytest.approx(6.0, rel=0.1)
    assert steps.max() < 3.0


def test_a_steady_wind_is_steady():
    w = wind.pack(1, MEAN_MPS, rad(90.0), 0.0, 0.0)

    assert at(w, 0.0) == pytest.approx((0.0, -MEAN_MPS), abs=1e-9)
    assert at(w, 1234.5, 80.0, 90.0) == pytest.approx((0.0, -MEAN_MPS), abs=1e-9)


def test_an_injected_gust_passes_and_a_shift_stays():
    w = wind.pack(1, mps(10.0), 0.0, 0.0, 0.0)
    episodes = NO_EPISODES.copy()
    episodes[0] = [lay.EPISODE_GUST, 10.0, 5.0, 20.0, 0.0, 1.5]
    episodes[1] = [lay.EPISODE_SHIFT, 100.0, 10.0, 0.0, rad(40.0), 1.0]

    def felt(t_s: float) -> tuple[float, float]:
        north, east = at(w, t_s, episodes=episodes, count=2)
        return math.hypot(north, east), deg(math.atan2(-east, -north))

    assert felt(9.0) == pytest.approx((mps(10.0), 0.0))
    assert felt(25.0) == pytest.approx((mps(15.0), 0.0))
    assert felt(45.0) == pytest.approx((mps(10.0), 0.0))
    assert felt(110.0) == pytest.approx((mps(10.0), 40.0))
    assert felt(9000.0) == pytest.approx((mps(10.0), 40.0))


def test_whoever_looks_and_whatever_is_done_the_wind_is_the_same():
    """Two runs of a seed, one at rest, one under way with the helm over: the same wind at the neighbour each second."""
    orders = [(), (cmd.Engine(lever=0.8), cmd.Helm(angle_rad=0.5))]
    seen: list[list[list[float]]] = [[], []]
    for given, winds in zip(orders, seen, strict=True):
        w = worlds.world(weather=worlds.gusty(18.0), neighbours=(worlds.neighbour(60.0, 20.0),))
        advance(w, given)
        for _ in range(30):
            winds.append(w.state.boats[1, [lay.B_WIND_N, lay.B_WIND_E]].tolist())
            worlds.run(w, 1.0)

    assert seen[0] == seen[1]
