"""The wash of a ship: how high, how fast it runs, what it does to a hull that floats free and to one at anchor."""

import math

import numpy as np
import pytest
import worlds
from worlds import cmd, run, steady

from sim.base.units import G_MPS2
from sim.core import events as ev
from sim.core.world import World
from sim.model import layout as lay
from sim.model.air.wind import felt
from sim.model.water.wash import wash_height_m, wash_here

WASH = cmd.Wash(height_m=0.5, period_s=4.0, from_rad=0.0, last_s=60.0)


def afloat(*orders: cmd.Command) -> tuple[World, list[tuple[float, float]]]:
    """Return a boat lying head to a dead calm after two minutes, with her (heave, surge) ten times a second."""
    w = worlds.world(weather=steady(0.0), bay=worlds.bay(8.0), start=worlds.Start(0.0, 0.0, 0.0, 0.0))
    seen = []
    for k in range(1200):
        run(w, 0.1, *(orders if k == 0 else ()))
        seen.append((float(w.state.boats[0, lay.B_HEAVE]), float(w.state.boats[0, lay.B_SURGE])))
    return w, seen


def test_it_grows_is_highest_half_way_and_is_over():
    heights = [wash_height_m(t, 10.0, 60.0, 0.5) for t in (0.0, 10.0, 25.0, 40.0, 55.0, 70.0, 80.0)]

    assert heights[0] == heights[1] == heights[5] == heights[6] == 0.0
    assert heights[3] == pytest.approx(0.5)
    assert heights[2] == pytest.approx(heights[4])


def test_it_runs_at_the_speed_of_waves_on_deep_water():
    """Source: c = g T / 2 pi; a crest is found again so much further on a second later."""
    period = 4.0
    places = np.arange(0.0, 25.0, 0.01)

    def crest(t_s: float) -> float:
        return float(places[np.argmax([wash_here(-n, 0.0, t_s, 0.5, period, 0.0)[0] for n in places])])

    assert crest(1.0) - crest(0.0) == pytest.approx(G_MPS2 * period / (2.0 * math.pi), abs=0.03)


def test_the_push_is_the_slope_of_the_surface():
    along = 0.01
    fore, aft = (wash_here(-n, 0.0, 1.3, 0.5, 4.0, 0.0)[0] for n in (5.0 + along, 5.0 - along))
    slope = (fore - aft) / (2.0 * along)

    assert wash_here(-5.0, 0.0, 1.3, 0.5, 4.0, 0.0)[1] == pytest.approx(-G_MPS2 * slope, rel=1e-3)


def test_it_lifts_the_bow_and_carries_her_to_and_fro_and_leaves_her_in_peace():
    _, seen = afloat(WASH)
    heave, surge = np.array(seen).T

    assert 0.25 < heave.max() <= 0.42, "a crest of a quarter of a metre; her bow rises by up to 1.6 of it"
    assert np.ptp(surge[200:400]) > 0.2, "the water's own way in half a metre of four seconds is 0.39 m/s each way"
    assert abs(heave[650:]).max() == 0.0
    assert abs(surge[1100:]).max() < 0.1


def test_without_one_nothing_moves_and_it_is_no_wind():
    w, seen = afloat()
    run(w, 0.1, WASH)

    assert not np.array(seen)[:, 0].any()
    assert felt(30.0, w.state.episodes, 1) == (0.0, 1.0)


def test_it_works_on_a_short_chain_without_a_snubber():
    def most_n(*orders: cmd.Command) -> float:
        w = worlds.lying_back(wind_kn=22.0, out_m=20.0)
        run(w, 90.0)
        pulls = []
        for k in range(700):
            run(w, 0.1, *(orders if k == 0 else ()))
            pulls.append(float(w.state.lines[0, lay.L_TENSION]))
        return max(pulls)

    assert most_n(WASH) > 1.15 * most_n()


def test_it_is_told_and_the_same_wash_comes_out_the_same():
    first, second = (afloat(WASH)[0].state for _ in range(2))
    w = worlds.world()

    assert [type(e) for e in run(w, 0.1, WASH)] == [ev.WashBegan]
    assert first.boats.tobytes() == second.boats.tobytes()
