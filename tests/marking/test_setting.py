"""Set and prove, against sums done by hand."""

from dataclasses import replace

import numpy as np
import pytest
from marking import sailed

from sim.base.units import mps
from sim.core import events as ev
from sim.marking.phases import needed_pull, setting

LAWS = (setting.load_steps, setting.proved_load_ratio, setting.drag_m, setting.proofs, setting.scope_ratio)
GUST_N = 9.80665 * 12.0**2 * 15.0**2 / 500.0


def thrust(*steps: tuple[float, float, float]) -> dict[str, np.ndarray]:
    """Return columns of thrust and pull with these steps (from, to, newtons) and nothing else."""
    pull = np.zeros_like(sailed.T_S)
    for from_s, to_s, newtons in steps:
        pull[sailed.between(from_s, to_s)] = newtons
    return {"thrust_n_0": -pull, "rode_pull_n": pull, "anchor_load_n": pull}


def test_four_rising_steps_are_four():
    """Each held 33 s, each higher than the one before."""
    found = setting.load_steps(sailed.run())

    assert found.value == 4.0
    assert (found.from_s, found.to_s) == (215.0, 353.0)


@pytest.mark.parametrize(
    ("steps", "count"),
    [
        pytest.param([(215, 280, 1900)], 1, id="burst"),
        pytest.param([(215, 238, 300), (240, 263, 900), (265, 288, 1900)], 0, id="none-held"),
        pytest.param([(215, 245, 300), (250, 280, 900), (285, 315, 700)], 2, id="falls-again"),
        pytest.param([(215, 245, 300), (250, 280, 320)], 1, id="no-rise-to-speak-of"),
        pytest.param([], 0, id="never"),
    ],
)
def test_steps_must_rise_and_be_held(steps, count):
    """A burst is one step, short ones are none, a lower one adds nothing."""
    assert setting.load_steps(sailed.run(**thrust(*steps))).value == count


def test_the_wind_may_set_it_where_there_is_wind_enough():
    """Without any thrust the measure drops out in 25 kn, and counts nought in 10 kn."""
    assert setting.load_steps(sailed.run(**thrust(), wind_n_mps=-mps(25.0))) is None
    assert setting.load_steps(sailed.run(**thrust())).value == 0.0


def test_the_load_proved_is_over_the_lesser_of_gust_and_engine():
    """1900 N over a gust of 635 N; over nine tenths of her engine where a gale is forecast."""
    engine_n = 0.9 * needed_pull.usable_astern_n(sailed.run().params.boat)
    gale = replace(sailed.STAY, gust_mps=mps(45.0))

    assert setting.proved_load_ratio(sailed.run()).value == pytest.approx(1900.0 / GUST_N)
    assert setting.proved_load_ratio(sailed.run(stay=gale)).value == pytest.approx(1900.0 / engine_n)


def test_a_load_under_which_the_anchor_moves_is_not_proved():
    """Moving 0.1 m/s through the highest step, she is proved only to the step before."""
    dragged = np.interp(sailed.T_S, [0.0, 319.0, 354.0], [0.0, 0.0, -3.5])
    found = setting.proved_load_ratio(sailed.run(anchor_n_m=dragged))

    assert found.value < 1900.0 / GUST_N
    assert found.value >= 1200.0 / GUST_N - 1e-9


def test_drag_counts_in_the_last_step_only():
    """Two metres of digging in before, 0.4 m during the last step."""
    moved = np.interp(sailed.T_S, [0.0, 215.0, 283.0, 322.0, 323.0], [0.0, 0.0, -2.0, -2.0, -2.4])

    assert setting.drag_m(sailed.run(anchor_n_m=moved, anchor_e_m=0.0)).value == pytest.approx(0.4)


def test_without_a_load_nothing_was_proved():
    """No step and no time in which anything was held."""
    happened = sailed.instead(ev.Secured(tick=sailed.tick(185), out_m=28.0))
    run = sailed.run(happened, **thrust())

    assert setting.proved_load_ratio(run).value is None
    assert setting.drag_m(run).value is None


def test_three_proofs():
    """A transit, a hand on the chain, and a load held long enough to see the speed die away."""
    assert setting.proofs(sailed.run()).value == 3.0
    assert setting.proofs(sailed.run(sailed.without(ev.TransitTaken))).value == 2.0
    assert setting.proofs(sailed.run(sailed.without(ev.TransitTaken, ev.CrewAsked))).value == 1.0


def test_two_ranges_of_the_same_thing_show_a_trend():
    """Without a held load, one range is a number and two are a trend."""
    short = thrust((215, 235, 900))
    once = [ev.RangeTaken(tick=sailed.tick(t), target=1, range_m=40.0, bearing_rad=0.0) for t in (250, 280)]
    bare = sailed.without(ev.TransitTaken, ev.CrewAsked)

    assert setting.proofs(sailed.run(sorted([*bare, once[0]], key=lambda e: e.tick), **short)).value == 0.0
    assert setting.proofs(sailed.run(sorted([*bare, *once], key=lambda e: e.tick), **short)).value == 1.0


def test_scope_is_counted_from_the_roller_at_the_highest_water():
    """32.5 m over 6.5 m is the five asked for; with 2 m to rise it is 3.8."""
    assert setting.scope_ratio(sailed.run()).value == pytest.approx(1.0)
    risen = setting.scope_ratio(sailed.run(stay=replace(sailed.STAY, high_m=2.0)))
    assert risen.value == pytest.approx(32.5 / 8.5 / 5.0)


@pytest.mark.parametrize("law", LAWS)
def test_an_anchor_never_set_earns_nothing(law):
    """What was not done has no value."""
    assert law(sailed.run([sailed.plan()])).value is None


def test_what_an_anchor_moved_that_was_no_longer_down_is_not_told():
    """It came home, or was lost, while she was still held astern: no figure, and no marks for it."""
    gone = np.where(sailed.T_S < 340.0, sailed.fast()["anchor_n_m"], np.nan)

    assert setting.drag_m(sailed.run(anchor_n_m=gone, anchor_e_m=gone)).value is None
