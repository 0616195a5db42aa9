"""Nylon: pulls only when stretched, stiffens, and meets its published linear stiffness where it is worked."""

import numpy as np
import pytest
from published import published

from sim.model.tackle.snubber import nylon

NYLON = published("ground_tackle")["nylon"]
BREAK_N = 40e3
EA_N = NYLON["stiffness_over_break"] * BREAK_N


def test_a_slack_line_pulls_nothing():
    assert nylon(7.9, 8.0, EA_N) == (0.0, 0.0)
    assert nylon(8.0, 8.0, EA_N) == (0.0, 0.0)


def test_at_a_fifth_of_its_length_it_pulls_as_the_published_stiffness_says():
    """Where curve and straight line meet. An echo: the curve is drawn through that point."""
    tension, _ = nylon(8.0 * 1.2, 8.0, EA_N)

    assert tension == pytest.approx(EA_N * 0.2, rel=1e-9)


def test_at_working_load_it_stretches_within_a_factor_of_two_of_the_published_line():
    """UFC 4-159-03 (2005), table 6-8: a line for a curve; at a fifth of the breaking load it says 5.65 %."""
    stretches = np.linspace(0.0, 0.3, 3001)
    tensions = np.array([nylon(8.0 * (1.0 + e), 8.0, EA_N)[0] for e in stretches])
    found = float(np.interp(0.2 * BREAK_N, tensions, stretches))

    assert 1.0 <= found / NYLON["stretch_at_fifth_of_break"] <= 2.0


def test_stiffness_is_the_slope_of_its_tension():
    for length in (8.1, 8.8, 10.0):
        low, high = nylon(length - 1e-5, 8.0, EA_N)[0], nylon(length + 1e-5, 8.0, EA_N)[0]

        assert nylon(length, 8.0, EA_N)[1] == pytest.approx((high - low) / 2e-5, rel=1e-6)


def test_a_longer_line_is_softer():
    assert nylon(11.0, 10.0, EA_N)[1] < nylon(5.5, 5.0, EA_N)[1]
