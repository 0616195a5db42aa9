"""A rope behind a chain leader hangs as two elastic catenaries, and is chain or rope where it should be."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from tackle.stand import fixed, hauled, lead, mixed

from sim.model import layout as lay
from sim.model.tackle.chain_forces import is_rope

CASES = [  # leader, rope, roller above the bed [m], horizontal pull [N]
    (5.0, 30.0, 5.0, 500.0),
    (5.0, 30.0, 5.0, 3000.0),
    (10.0, 40.0, 8.0, 100.0),
    (10.0, 40.0, 8.0, 1000.0),
    (20.0, 30.0, 10.0, 300.0),
    (20.0, 30.0, 10.0, 4000.0),
    (30.0, 20.0, 6.0, 500.0),
    (5.0, 20.0, 4.0, 50.0),
    (0.0, 30.0, 6.0, 1000.0),
]


def hung(pull_n, up_n, pieces):
    """Return (reach, height, pull up at the top) of elastic catenaries end to end, pulled up by ``up_n`` at the foot.

    Source: the elastic catenary of textbook mechanics, x = H l/EA + H/w (asinh(V1/H) - asinh(V0/H)) and so on.
    """
    reach = height = 0.0
    for length, weight, ea in pieces:
        top_n = up_n + weight * length
        reach += pull_n * length / ea + pull_n / weight * (math.asinh(top_n / pull_n) - math.asinh(up_n / pull_n))
        height += (up_n + 0.5 * weight * length) * length / ea
        height += (math.hypot(pull_n, top_n) - math.hypot(pull_n, up_n)) / weight
        up_n = top_n
    return reach, height, up_n


def at_rest(pull_n, height_m, pieces):
    """Return (reach, top tension, pull up at the anchor, length on the bed) of a rode on a smooth bed."""
    whole_m = sum(length for length, *_ in pieces)

    def without(lying_m):
        reach, rest = 0.0, []
        for length, weight, ea in pieces:
            here = min(length, lying_m)
            lying_m -= here
            reach += here * (1.0 + pull_n / ea)
            if length - here > 1e-9:
                rest.append((length - here, weight, ea))
        return reach, rest

    if hung(pull_n, 0.0, pieces)[1] <= height_m:
        foot = brentq(lambda up: hung(pull_n, up, pieces)[1] - height_m, 0.0, 50.0 * pull_n)
        reach, _, top = hung(pull_n, foot, pieces)
        return reach, math.hypot(pull_n, top), foot, 0.0
    lying = brentq(lambda b: hung(pull_n, 0.0, without(b)[1])[1] - height_m, 0.0, whole_m - 1e-6)
    on_bed, rest = without(lying)
    reach, _, top = hung(pull_n, 0.0, rest)
    return on_bed + reach, math.hypot(pull_n, top), 0.0, lying


@pytest.mark.parametrize("case", CASES, ids=lambda c: "-".join(f"{v:g}" for v in c))
def test_hangs_as_elastic_catenaries_end_to_end(case):
    """Reach 0.02 %, top tension 0.1 %, uplift 0.02 % of the tension; what lies on the bed to a quarter of a metre."""
    leader_m, rope_m, height_m, pull_n = case
    line = mixed(leader_m, rope_m)
    pieces = [(leader_m, line[lay.LP_WEIGHT], line[lay.LP_EA])] if leader_m > 0.0 else []
    pieces.append((rope_m, line[lay.LP_ROPE_WEIGHT], line[lay.LP_ROPE_EA]))
    reach, tension, up, lying = at_rest(pull_n, height_m, pieces)
    rig = fixed(line, height_m - 1.0, 1.0, friction=0.0)

    found = rig.start_under(pull_n)
    reading = rig.read()

    assert found == pytest.approx(reach, rel=2e-4)
    assert reading.tension_roller_n == pytest.approx(tension, rel=1e-3)
    assert reading.tension_anchor_n * math.sin(reading.uplift_rad) == pytest.approx(up, abs=2e-4 * tension)
    assert rig.grounded_m == pytest.approx(lying, abs=0.25)


@pytest.mark.parametrize(("leader_m", "rope_m"), [(0.0, 20.0), (5.0, 20.0), (7.5, 20.0), (20.0, 5.0)])
def test_is_chain_up_to_its_leader_and_rope_behind(leader_m, rope_m):
    line = mixed(leader_m, rope_m)
    rig = fixed(line)
    rig.lay_to(0.9 * (leader_m + rope_m))
    ropes = [is_rope(line, i, float(line[lay.LP_SEGMENT])) for i in range(rig.count - 1)]

    chain_m = line[lay.LP_SEGMENT] * (len(ropes) - sum(ropes))
    assert ropes == sorted(ropes)
    assert chain_m == pytest.approx(leader_m)
    assert rig.line[lay.L_TOP] + line[lay.LP_SEGMENT] * (len(ropes) - 1) == pytest.approx(leader_m + rope_m)


def test_nylon_takes_the_shock_out_of_a_jerk():
    """The same jerk of 0.7 m on 40 m: nylon behind 10 m of chain pulls less than a third as hard as chain alone."""
    jerk = hauled(39.0, 39.7, 0.5, 1.0)
    peaks = {}
    for leader_m in (10.0, 39.0):
        rig = fixed(mixed(leader_m, 40.0 - leader_m))
        rig.lay_to(39.0)
        peaks[leader_m] = lead(rig, jerk, 4.0)[0].max()

    assert peaks[10.0] < peaks[39.0] / 3.0


def test_slack_rope_falls_and_its_leader_stays_where_it_lies():
    """Eased by 8 m, the leader does not stir: its friction holds what hardly pulls."""
    rig = fixed(mixed(15.0, 25.0))
    rig.lay_to(38.5)
    before = rig.places_m
    roller, _ = lead(rig, hauled(38.5, 30.5, 0.0, 10.0), 25.0)

    lying = before[:, 2] < 0.001 - rig.depth_m
    assert np.count_nonzero(lying) >= 5
    assert np.abs(rig.places_m - before)[lying].max() < 0.005
    assert roller[-60:].max() < 10.0
