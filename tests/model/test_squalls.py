"""Squalls as published, gusts off high ground as a travelling train, shelter behind land."""

import math

import numpy as np
import pytest
from published import published

from sim.base.units import deg, mps, rad
from sim.model import layout as lay
from sim.model.air import shelter, squall, wind
from sim.model.params import Weather

NO_EPISODES = np.zeros((lay.MAX_EPISODES, lay.EPISODE_COLS))
FRONTS = published("weather")["gust_front"]
WINDBREAK = published("weather")["windbreak"]


def at(w: Weather, t_s: float, north: float = 0.0, east: float = 0.0, episodes=NO_EPISODES, count: int = 0):
    """Return the wind's speed [m/s] and the direction it blows from [deg, -180..180] at a place and time."""
    n, e = wind.wind_at(north, east, t_s, w.air, episodes, count)
    return math.hypot(n, e), deg(math.atan2(-e, -n))


def below_high_ground(every_s: float = 120.0, last_s: float = 20.0) -> Weather:
    """Return 8 kn from the north, steady but for gusts of up to three times that off high ground in the east."""
    steady = wind.pack(4, mps(8.0), 0.0, 0.0, 0.0)
    constants = steady.wind.copy()
    constants[[lay.W_FALL_FROM, lay.W_FALL_SPEED, lay.W_FALL_EVERY]] = rad(90.0), 8.0, every_s
    train = squall.falls(4, mps(8.0), 3.0, rad(40.0), last_s)
    return Weather(constants, steady.gusts, steady.veers, falls=train)


def test_squalls_are_like_those_published():
    """Against UFC 4-159-03 (2005), 3-8.2, shares and means of 500 gust fronts; here of 2000. The limits are an echo."""
    fronts = [squall.front(seed, number) for seed in range(200) for number in range(10)]
    turned = [abs(deg(f.turn_rad)) for f in fronts if abs(deg(f.turn_rad)) > 0.5 * FRONTS["direction_change_deg"]]
    onsets = np.array([f.onset_s for f in fronts])
    before = np.array([f.before for f in fronts])

    assert len(turned) / len(fronts) == pytest.approx(FRONTS["direction_share"], abs=0.05)
    assert np.mean(turned) == pytest.approx(FRONTS["direction_change_deg"], abs=2.0)
    assert np.mean(onsets <= FRONTS["onset_s_typical"]) > 0.7
    assert onsets.max() <= FRONTS["onset_s_max"]
    assert before.mean() == pytest.approx(FRONTS["initial_over_max_mean"], abs=0.02)
    assert FRONTS["initial_over_max_range"][0] <= before.min() < before.max() <= FRONTS["initial_over_max_range"][1]


def test_a_squall_comes_within_its_onset_stands_and_dies_away_slowly():
    w = wind.pack(1, mps(10.0), 0.0, 0.0, 0.0)
    episodes = NO_EPISODES.copy()
    episodes[0] = [lay.EPISODE_SQUALL, 100.0, 40.0, 300.0, rad(-30.0), 2.5]

    def felt(t_s: float) -> tuple[float, float]:
        return at(w, t_s, episodes=episodes, count=1)

    assert felt(100.0) == pytest.approx((mps(10.0), 0.0))
    assert felt(140.0) == pytest.approx((mps(25.0), -30.0))
    assert felt(440.0) == pytest.approx((mps(25.0), -30.0))
    assert felt(520.0) == pytest.approx((mps(17.5), -15.0))
    assert felt(600.0) == pytest.approx((mps(10.0), 0.0))


def test_a_squall_foreseen_and_one_ordered_blow_alike():
    w = wind.pack(3, mps(10.0), 0.0, 0.13, rad(5.0))
    row = np.array([[lay.EPISODE_SQUALL, 100.0, 40.0, 300.0, rad(25.0), 2.0]])
    foreseen = Weather(w.wind, w.gusts, w.veers, planned=row)
    ordered = NO_EPISODES.copy()
    ordered[0] = row[0]

    for t in (50.0, 120.0, 300.0, 480.0, 900.0):
        assert at(foreseen, t) == pytest.approx(at(w, t, episodes=ordered, count=1))


def test_gusts_off_high_ground_are_as_many_as_strong_and_as_askew_as_asked():
    w = below_high_ground()
    felt = [at(w, float(t)) for t in range(4 * 3600)]
    speeds = np.array([speed for speed, _ in felt])
    blowing = speeds > 1.5 * mps(8.0)
    came = int(np.sum(np.diff(blowing.astype(int)) == 1))
    assert came == pytest.approx(120, abs=4)
    assert 2.8 * mps(8.0) < speeds.max() <= 3.0 * mps(8.0)
    assert np.median(speeds) == pytest.approx(mps(8.0), rel=0.01)


def test_while_a_gust_off_high_ground_stands_the_wind_is_its_own():
    """In the middle of each its strength and its swing are those drawn, unless the next has already begun."""
    w = below_high_ground()
    drawn = w.falls[:100]
    starts = 120.0 * (np.arange(100) + drawn[:, lay.FL_LATE])
    alone = 0
    for k, row in enumerate(drawn[:-1]):
        middle = starts[k] + 0.5 * row[lay.FL_LAST]
        if starts[k + 1] > middle:
            alone += 1
            assert at(w, middle) == pytest.approx((row[lay.FL_SPEED], 90.0 + deg(row[lay.FL_TURN])))

    assert alone > 80
    assert np.abs(drawn[:, lay.FL_TURN]).max() == pytest.approx(rad(40.0), rel=0.05)


def test_a_gust_off_high_ground_travels_away_from_it():
    """80 m further west, ten seconds later at 8 m/s."""
    w = below_high_ground()

    for t in range(0, 1200, 3):
        assert at(w, t + 10.0, east=-80.0) == pytest.approx(at(w, float(t)), abs=1e-6)


def test_the_train_is_the_seed_s_and_nothing_else_s():
    w = below_high_ground()
    times = np.arange(0.0, 3600.0, 7.0)
    forwards = {float(t): at(w, float(t)) for t in times}
    shuffled = np.random.default_rng(1).permutation(times)

    assert all(at(w, float(t)) == forwards[float(t)] for t in shuffled)
    other = squall.falls(5, mps(8.0), 3.0, rad(40.0), 20.0)
    assert not np.array_equal(other, w.falls)


def island(half_m: float = 50.0) -> np.ndarray:
    """Return a square island about the origin."""
    return np.array([[-half_m, -half_m], [-half_m, half_m], [half_m, half_m], [half_m, -half_m]])


def test_the_shore_upwind_is_found():
    points = np.array([[-150.0, 0.0], [150.0, 0.0], [0.0, 0.0], [-150.0, 60.0], [-150.0, -150.0]])

    assert shelter.upwind_m(points, 0.0, island()).tolist() == [100.0, np.inf, 0.0, np.inf, np.inf]
    assert shelter.upwind_m(points, rad(45.0), island())[4] == pytest.approx(100.0 * math.sqrt(2.0))
    assert shelter.upwind_m(points, math.pi, island())[1] == pytest.approx(100.0)


def sheltered(height_m: float = 10.0) -> Weather:
    """Return a gusty wind from the north past a long ridge whose foot lies at the origin's latitude."""
    ridge = np.array([[0.0, -4000.0], [0.0, 4000.0], [200.0, 4000.0], [200.0, -4000.0]])
    north = np.arange(-600.0, 1.0, 10.0)
    east = np.array([-20.0, 20.0])
    mesh = np.meshgrid(north, east, indexing="ij")
    points = np.stack([mesh[0].ravel(), mesh[1].ravel()], axis=1)
    table = shelter.lee_table(points, [(ridge, height_m)]).reshape(shelter.SECTORS, len(north), len(east))
    w = wind.pack(2, mps(20.0), 0.0, 0.13, 0.0)
    return Weather(w.wind, w.gusts, w.veers, lee=table, lee_raster=np.array([-600.0, -20.0, 10.0]))


def test_behind_land_less_is_left_of_the_mean_by_heights():
    """Against the windbreak figures at 5 to 30 heights, an echo and from memory; in the open beyond 35."""
    w = sheltered()
    times = np.arange(0.0, 3600.0, 1.7)

    def mean(north: float) -> float:
        return float(np.mean([-wind.wind_at(north, 0.0, float(t), w.air, NO_EPISODES, 0)[0] for t in times]))

    for heights, share in WINDBREAK["share_at_heights"].items():
        assert mean(-10.0 * heights) / mps(20.0) == pytest.approx(share, abs=0.02)
    assert mean(-500.0) == pytest.approx(mps(20.0), rel=0.01)


def test_behind_land_gusts_are_more_of_less():
    w = sheltered()
    times = np.arange(0.0, 3600.0, 1.7)
    near, far = (np.array([at(w, float(t), north)[0] for t in times]) for north in (-60.0, -500.0))

    assert near.std() > far.std()
    assert near.std() / near.mean() > 2.0 * far.std() / far.mean()


def test_with_the_wind_along_the_ridge_there_is_no_shelter():
    w = sheltered()
    along = w.wind.copy()
    along[lay.W_FROM] = rad(270.0)
    turned = Weather(along, w.gusts, w.veers, lee=w.lee, lee_raster=w.lee_raster)
    times = np.arange(0.0, 1800.0, 1.7)

    assert np.mean([at(turned, float(t), -60.0)[0] for t in times]) == pytest.approx(mps(20.0), rel=0.02)


def test_the_fetch_in_a_round_pool_is_its_radius():
    turn = np.linspace(0.0, 2.0 * math.pi, 181)[:-1]
    hole = 300.0 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    corners = np.array(
        [[500.0, 0.001], [500.0, 500.0], [-500.0, 500.0], [-500.0, -500.0], [500.0, -500.0], [500.0, 0.0]]
    )
    land = np.vstack([hole, hole[:1], corners])
    table = shelter.fetch_table(np.array([[0.0, 0.0]]), [land], 9000.0)

    assert table[:, 0] == pytest.approx(np.full(shelter.SECTORS, 300.0), rel=0.01)
    assert shelter.fetch_table(np.array([[0.0, 0.0]]), [], 9000.0) == pytest.approx(np.full((24, 1), 9000.0))


def test_between_directions_and_places_values_go_straight():
    table = np.zeros((4, 3, 3))
    table[1] = 10.0 + np.arange(3.0)[:, None] + 0.0 * np.arange(3.0)
    raster = np.array([0.0, 0.0, 10.0])

    assert shelter.by_direction(5.0, 7.0, math.pi / 2.0, raster, table) == pytest.approx(10.5)
    assert shelter.by_direction(5.0, 7.0, math.pi / 4.0, raster, table) == pytest.approx(5.25)
    assert shelter.by_direction(5.0, 7.0, -1.5 * math.pi, raster, table) == pytest.approx(10.5)
    assert shelter.by_direction(5.0, 7.0, 1.875 * math.pi, raster, table) == pytest.approx(0.0)
