"""Other boats: a table that is the catenary, and boats that lie, pull and sheer as boats do."""

import math
from dataclasses import replace

import numpy as np
import pytest
import worlds
from published import published
from rig import solved_catenary
from worlds import SLOOP, TWIN, neighbour, run, steady

from sim.base.units import RHO_AIR_KGPM3, mps, rad
from sim.core.world import World
from sim.model import fleet
from sim.model import layout as lay

WEIGHT, EA_N = 19.6, 8.5e6
POUND_FORCE_N = 4.448222


@pytest.mark.parametrize("height_m", [4.0, 8.0, 15.0])
@pytest.mark.parametrize("length_m", [30.0, 60.0])
def test_the_table_is_the_catenary(height_m, length_m):
    """Reach at each pull against an independent solver, lying and lifted: 0.1 %; and it only rises."""
    row = fleet.rode_table(height_m, length_m, WEIGHT, length_m / EA_N)
    for reach, pull in list(zip(row, fleet.PULLS_N, strict=True))[15:42:3]:  # 30 N to 20 kN
        assert reach == pytest.approx(solved_catenary(pull, height_m, length_m, EA_N, WEIGHT)[0], rel=1e-3)

    assert np.all(np.diff(row) > 0.0)


def test_between_its_points_the_table_is_straight_and_slack_below():
    row = fleet.rode_table(6.5, 30.0, WEIGHT, 1e-6)
    middle = 0.5 * (row[20] + row[21])

    assert fleet.table_pull_n(row[0] - 1.0, row, fleet.PULLS_N) == 0.0
    assert fleet.table_pull_n(middle, row, fleet.PULLS_N) == pytest.approx(
        0.5 * (fleet.PULLS_N[20] + fleet.PULLS_N[21])
    )


def anchorage(weather, *neighbours) -> World:
    """Return a bay 8 m deep at the roller with neighbours at anchor, the own boat far away.

    Each is turned a little off the wind: exactly head to a steady wind a boat would stand there for ever.
    """
    w = worlds.world(
        weather=weather, bay=worlds.bay(6.5), neighbours=neighbours, start=worlds.Start(400.0, 400.0, 0.0, 0.0)
    )
    w.state.boats[1:, lay.B_HEADING] += rad(5.0)
    return w


def lain(w: World, for_s: float, row: int = 1) -> np.ndarray:
    """Return (heading in degrees, pull in N, north, east) of a boat every half second."""
    seen = []
    for _ in range(round(2.0 * for_s)):
        run(w, 0.5)
        b = w.state.boats[row]
        seen.append((worlds.heading_deg(w, row), b[lay.B_RODE_H], b[lay.B_NORTH], b[lay.B_EAST]))
    return np.array(seen)


def head_on_n(p, wind_kn: float) -> float:
    """Return the windage of a boat head to wind [N]."""
    return 0.5 * RHO_AIR_KGPM3 * p.cd_bow * p.frontal_m2 * mps(wind_kn) ** 2


@pytest.mark.parametrize("wind_kn", [10.0, 15.0])
@pytest.mark.parametrize("p", [SLOOP, TWIN], ids=["sloop", "twin"])
def test_in_a_steady_breeze_she_pulls_a_little_more_than_her_windage(p, wind_kn):
    """Judgement: mean pull over head-on drag 1.0 to 1.8; sheering shows her side to the wind."""
    seen = lain(anchorage(steady(wind_kn), neighbour(0.0, 0.0, 40.0, p)), 300.0)

    assert 0.98 <= seen[:, 1].mean() / head_on_n(p, wind_kn) <= 1.8


@pytest.mark.parametrize("from_deg", [0.0, 130.0])
def test_neighbours_lie_to_the_wind_to_leeward_of_their_anchors(from_deg):
    w = anchorage(steady(12.0, from_deg), neighbour(0.0, 0.0), neighbour(100.0, 50.0), neighbour(-80.0, 120.0))
    run(w, 120.0)
    for row, (north, east) in enumerate([(0.0, 0.0), (100.0, 50.0), (-80.0, 120.0)], start=1):
        b = w.state.boats[row]
        bearing_to_anchor = math.degrees(math.atan2(east - b[lay.B_EAST], north - b[lay.B_NORTH]))

        assert abs(math.remainder(worlds.heading_deg(w, row) - from_deg, 360.0)) <= 20.0
        assert abs(math.remainder(bearing_to_anchor - from_deg, 360.0)) <= 20.0
        assert math.hypot(b[lay.B_NORTH] - north, b[lay.B_EAST] - east) <= 30.0 + SLOOP.roller_x_m + 1.0


def test_a_shift_swings_them_round():
    """A quarter turn of the wind: a few minutes later they lie to the new one."""
    w = anchorage(steady(12.0), neighbour(0.0, 0.0))
    run(w, 240.0, worlds.cmd.Inject(what="shift", ramp_s=20.0, turn_rad=0.5 * math.pi))

    assert lain(w, 120.0)[:, 0].mean() == pytest.approx(90.0, abs=20.0)


def test_in_gusts_a_sloop_sheers_about():
    """Judgement: 25 to 60 degrees to either side in 25 kn, in one to two and a half minutes."""
    seen = lain(anchorage(worlds.gusty(25.0), neighbour(0.0, 0.0, 40.0)), 600.0)
    yaw = seen[60:, 0]
    half_range = 0.5 * (np.quantile(yaw, 0.98) - np.quantile(yaw, 0.02))
    crossings = np.count_nonzero(np.diff(np.sign(yaw - yaw.mean())) > 0)

    assert 20.0 <= half_range <= 60.0
    assert 40.0 <= 570.0 / crossings <= 160.0
    assert np.ptp(seen[:, 3]) > 5.0


def test_the_swept_chain_damps_the_sheering():
    """Without any friction of bottom chain she swings wider."""
    rough, smooth = (anchorage(steady(20.0), neighbour(0.0, 0.0, 35.0)) for _ in range(2))
    smooth.state.fleet[1, lay.Q_MU] = 0.0
    swings = [np.ptp(lain(w, 600.0)[600:, 0]) for w in (rough, smooth)]

    assert swings[0] < 0.95 * swings[1]


def test_a_bridle_keeps_a_twin_hull_to_the_wind():
    """Judgement: in a steady 25 kn less than half the sheering of the same boat on a single roller."""
    on_bridle = anchorage(steady(25.0), neighbour(0.0, 0.0, 35.0, TWIN))
    on_roller = anchorage(steady(25.0), neighbour(0.0, 0.0, 35.0, replace(TWIN, bridle_half_m=0.0)))
    swings = [np.ptp(lain(w, 600.0)[600:, 0]) for w in (on_bridle, on_roller)]

    assert swings[1] > 10.0
    assert swings[0] < 0.5 * swings[1]


def test_adrift_she_goes_to_leeward():
    w = anchorage(steady(15.0), neighbour(0.0, 0.0))
    w.state.fleet[1, lay.Q_ADRIFT] = 1.0
    seen = lain(w, 120.0)

    assert seen[-1, 2] < seen[0, 2] - 20.0


@pytest.mark.slow
def test_gusty_loads_stand_to_the_design_table_as_judged():
    """Median over five winds of the 99th percentile: 0.3 to 1.2 of the table, means 0.2 to 0.5 (judgement)."""
    table = published("weather")["design_load"]["lbf_at_kn"]
    design_n = table[30] * POUND_FORCE_N * (25.0 / 30.0) ** 2
    tops, means = [], []
    for seed in range(1, 6):
        n = replace(neighbour(0.0, 0.0, 40.0), snubber_m=6.0)
        pulls = lain(anchorage(worlds.gusty(25.0, seed), n), 600.0)[60:, 1]
        tops.append(np.quantile(pulls, 0.99))
        means.append(pulls.mean())

    assert 0.3 <= np.median(tops) / design_n <= 1.2
    assert 0.2 <= np.median(means) / design_n <= 0.5
