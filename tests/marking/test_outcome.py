"""The outcome stands apart from how it was reached."""

import numpy as np
import pytest
from marking import sailed

from sim.base.units import knots
from sim.core import events as ev
from sim.marking import outcome
from sim.model import layout as lay


def test_a_good_run_holds():
    """Proved to 1900 N, which is the pull of about 26 kn on a 12 m boat."""
    came = outcome.find_outcome(sailed.run())

    assert came.held
    assert came.drag_m == 0.0
    assert came.proved_load_n == pytest.approx(1900.0)
    assert knots(came.proved_wind_mps) == pytest.approx((1900.0 * 500.0 / (9.80665 * 144.0)) ** 0.5)
    assert came.scope == pytest.approx(5.0)
    assert (came.grounded, came.contact, came.held_through_night, came.min_gap_m) == (False, False, None, None)


def test_drag_is_what_happened_after_the_proof():
    """Digging in under the steps is no drag; four metres afterwards is, and she did not hold."""
    north = np.interp(sailed.T_S, [0.0, 215.0, 353.0, 400.0, 450.0], [0.0, 0.0, -3.0, -3.0, -7.0])
    came = outcome.find_outcome(sailed.run(anchor_n_m=north, anchor_e_m=0.0))

    assert came.drag_m == pytest.approx(4.0)
    assert not came.held


@pytest.mark.parametrize(("metres", "holds"), [(0.2, True), (1.5, False)])
def test_giving_a_hands_breadth_in_a_gust_is_holding_and_going_on_is_not(metres, holds):
    """Caught by the end of the run while it moves, over the last ten seconds."""
    end_s = sailed.SECURED_S
    north = np.interp(sailed.T_S, [end_s - 10.0, end_s], [0.0, -metres])
    attitude = np.where(end_s - 10.0 < sailed.T_S, lay.DRAGGING, sailed.fast()["attitude"])

    assert outcome.find_outcome(sailed.run(anchor_n_m=north, anchor_e_m=0.0, attitude=attitude)).held is holds


@pytest.mark.parametrize("attitude", [lay.CLOGGED, lay.FOULED])
def test_an_anchor_that_does_not_bite_does_not_hold(attitude):
    """However still it lies at the moment."""
    assert not outcome.find_outcome(sailed.run(attitude=attitude)).held


def test_touching_is_not_holding():
    """Contact and grounding are told apart."""
    touched = ev.Touched(tick=25000, boat=0, other=1, closing_mps=0.2, impulse_ns=1.0)
    came = outcome.find_outcome(sailed.run([*sailed.events(), touched]))

    assert (came.contact, came.grounded, came.held) == (True, False, False)


def test_nothing_down_has_not_dragged():
    """Without an anchor there is no drag, no scope and no proof."""
    came = outcome.find_outcome(sailed.run([], anchor_n_m=np.nan, anchor_e_m=np.nan))

    assert (came.drag_m, came.scope, came.proved_load_n, came.held) == (None, None, None, False)
