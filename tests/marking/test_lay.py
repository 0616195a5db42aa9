"""The lay, against sums done by hand."""

import math

import numpy as np
import pytest
from marking import sailed

from sim.base.units import knots
from sim.marking.phases import lay

LAWS = (lay.sternway_kn, lay.slack_ratio, lay.heap_m, lay.lead_aft_s, lay.early_tension_ratio)


def test_sternway_is_that_at_which_the_chain_went_out():
    """0.3 m/s all the while."""
    assert lay.sternway_kn(sailed.run()).value == pytest.approx(knots(0.3), rel=1e-3)


def test_sternway_is_weighed_by_the_metres_paid_out():
    """Half the chain at 0.2 m/s and half at 0.6 m/s is 0.4 m/s, however long she waited in between."""
    half_s = 0.5 * (104.0 + sailed.LAID_S)
    surge = np.where(half_s >= sailed.T_S, -0.2, -0.6)

    assert lay.sternway_kn(sailed.run(surge_mps=surge)).value == pytest.approx(knots(0.4), rel=0.03)


def test_a_straight_chain_has_no_slack():
    """Nodes a metre apart in a line: chord over length is 1."""
    assert lay.slack_ratio(sailed.run()).value == pytest.approx(1.0)


def test_a_chain_laid_round_a_corner():
    """Nine metres one way and nine across: chord over length is 1 over the root of 2."""
    _, shapes = sailed.slow()
    corner = [(-float(k), 0.0, -5.0) for k in range(10)] + [(-9.0, float(k), -5.0) for k in range(1, 10)]
    shapes[:, : len(corner)] = corner
    shapes[:, len(corner) :] = np.nan

    assert lay.slack_ratio(sailed.run(shapes=shapes)).value == pytest.approx(1.0 / math.sqrt(2.0), abs=1e-9)


def test_the_heap_is_the_most_there_was_while_laying():
    """Three metres at 120 s; what happens after the lay is not the lay's."""
    heap = np.where(sailed.between(119.0, 121.0), 3.0, 0.0) + np.where(sailed.T_S > 300.0, 9.0, 0.0)
    found = lay.heap_m(sailed.run(heap_m=heap))

    assert found.value == 3.0
    assert found.from_s == pytest.approx(119.0)


def test_lead_aft_counts_while_the_chain_is_taut():
    """Four seconds abaft the beam with 600 N on it; slack chain may lead where it likes."""
    aft = np.where(sailed.between(150.0, 153.9), 2.0, 0.1)

    assert lay.lead_aft_s(sailed.run(lead_rad=aft, tension_n=600.0)).value == pytest.approx(4.0)
    assert lay.lead_aft_s(sailed.run(lead_rad=-aft, tension_n=600.0)).value == pytest.approx(4.0)
    assert lay.lead_aft_s(sailed.run(lead_rad=aft, tension_n=100.0)).value == 0.0


def test_pull_at_short_scope_is_measured_against_the_load_she_was_set_with():
    """190 N at a scope below 3 where 1900 N were proved: a tenth. The same pull on the whole rode is nothing."""
    early = np.where(sailed.between(120.0, 121.0), 190.0, 0.0)
    late = np.where(sailed.between(190.0, 191.0), 190.0, 0.0)

    assert lay.early_tension_ratio(sailed.run(anchor_load_n=early)).value == pytest.approx(0.1)
    assert lay.early_tension_ratio(sailed.run(anchor_load_n=late)).value == 0.0


@pytest.mark.parametrize("law", LAWS)
def test_a_chain_never_laid_earns_nothing(law):
    """What was not done has no value."""
    assert law(sailed.run([sailed.plan()])).value is None
