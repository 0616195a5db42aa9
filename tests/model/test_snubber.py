"""Nylon: pulls only when stretched, stiffens, and meets its published linear stiffness where it is worked."""

import math

import numpy as np
import pytest
from published import published

from sim.model.tackle.snubber import LAG_S, QUICK, lag, line_pull, nylon

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


def cycled(period_s: float, dt_s: float = 1.0 / 60.0, about_m: float = 8.8, by_m: float = 0.1) -> tuple[float, float]:
    """Return (range of tension over that of slow nylon, work lost over work done) in one cycle of stretch, run in."""
    behind, was = 0.0, about_m
    pulls, lengths = [], []
    for k in range(round(6.0 * period_s / dt_s)):
        length = about_m + by_m * math.sin(2.0 * math.pi * (k + 1) * dt_s / period_s)
        pull, _ = line_pull(behind, was, length, 8.0, EA_N, dt_s)
        behind, _ = lag(behind, was, length, 8.0, EA_N, dt_s)
        was = length
        pulls.append(pull)
        lengths.append(length)
    n = round(period_s / dt_s)
    last, way = np.array(pulls[-n - 1 :]), np.diff(np.array(lengths[-n - 1 :]))
    work = 0.5 * (last[1:] + last[:-1]) * way
    slow = nylon(about_m + by_m, 8.0, EA_N)[0] - nylon(about_m - by_m, 8.0, EA_N)[0]
    return float(np.ptp(last) / slow), float(work.sum() / work[work > 0.0].sum())


def test_pulled_slowly_it_is_the_still_line_and_pulled_quickly_stiffer():
    assert cycled(300.0, 0.05)[0] == pytest.approx(1.0, abs=0.01)
    assert cycled(0.2, 0.002)[0] == pytest.approx(QUICK, abs=0.03)


def test_every_cycle_loses_work_and_most_near_its_own_time():
    """The standard linear solid loses most at 2 pi LAG_S; work is never gained."""
    losses = [cycled(t)[1] for t in (1.0, 2.0 * math.pi * LAG_S, 60.0)]

    assert min(losses) > 0.0
    assert max(losses) == losses[1]


def test_the_step_of_the_watch_gives_the_same_nylon():
    assert cycled(4.0, 1.0 / 15.0) == pytest.approx(cycled(4.0), rel=0.05)


def test_it_never_pushes():
    """Slackened in a tenth of a second from a hard pull."""
    behind, was = 0.0, 8.0
    for length in (9.5, 9.0, 8.4, 8.1, 7.9, 8.05):
        assert line_pull(behind, was, length, 8.0, EA_N, 0.02)[0] >= 0.0
        behind, was = lag(behind, was, length, 8.0, EA_N, 0.02)[0], length
