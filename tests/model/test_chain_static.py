"""A chain at rest is a catenary: worked values of the closed form, and a grid against an independent solver."""

import math

import numpy as np
import pytest
from published import published
from rig import Rig, compare_catenaries, solved_catenary
from worlds import rode

from sim.model import layout as lay
from sim.model.fleet import reach_m, suspended_m
from sim.model.tackle.catenary import rode_needed_m

TANGENT = published("catenary")["tangent"]
LIFTED = published("catenary")["lifted"]
HEIGHTS_M = (3.0, 6.0, 10.0, 15.0, 20.0)
LENGTHS_M = (40.0, 60.0, 80.0)
PULLS_N = (200.0, 700.0, 2000.0, 6000.0)
GRID = [
    (8.0 if length == 60.0 else 10.0, h, length, pull) for h in HEIGHTS_M for length in LENGTHS_M for pull in PULLS_N
]


def hung(chain_mm: float, weight_n_per_m: float | None, h: float, length: float, pull: float) -> Rig:
    """Return a frictionless rig pulled with ``pull`` until it rests: light pulls in deep water take minutes."""
    tackle = rode(chain_mm)
    if weight_n_per_m is not None:
        tackle.line[lay.LP_WEIGHT] = weight_n_per_m
    weight = tackle.line[lay.LP_WEIGHT]
    rig = Rig(tackle, length, h, min(reach_m(h, pull, length, weight, 0.0), 0.9999 * math.sqrt(length**2 - h**2)))
    for _ in range(10):
        seen = rig.pull_to(pull, for_s=60.0)
        if np.std(seen) < 1e-5 * pull and abs(seen[-1] - pull) < 1e-4 * pull:
            return rig
    raise AssertionError(f"does not come to rest: {seen[-1]:.2f} N of {pull} N")


def grounded_m(rig: Rig) -> float:
    """Return the length of chain that the bed carries: what the top does not."""
    _, up, _, _ = rig.end_forces()
    return rig.line[lay.L_OUT] - up / rig.rode.line[lay.LP_WEIGHT]


def up_at_anchor_n(rig: Rig) -> float:
    """Return the chain's pull upwards at the shackle, half a segment below the middle of the lowest one [N]."""
    d = rig.nodes[1, :3] - rig.nodes[0, :3]
    half = 0.5 * rig.rode.line[lay.LP_SEGMENT] * rig.rode.line[lay.LP_WEIGHT]
    return float(rig.nodes[0, lay.N_TENSION] * d[2] / np.linalg.norm(d) - half)


@pytest.mark.parametrize("case", TANGENT, ids=lambda c: f"{c['h_m']:g}m-{c['pull_n']:g}N")
def test_closed_form_gives_the_worked_values(case):
    """Lifted length and span are printed to a millimetre, the tables' rounding."""
    w, h, pull = case["w_n_per_m"], case["h_m"], case["pull_n"]

    assert suspended_m(h, pull, w) == pytest.approx(case["lifted_m"], abs=2e-3)
    assert rode_needed_m(h, pull, w) == pytest.approx(case["lifted_m"], abs=2e-3)
    assert reach_m(h, pull, 80.0, w, 0.0) - (80.0 - case["lifted_m"]) == pytest.approx(case["span_m"], abs=2e-3)


@pytest.mark.parametrize("case", TANGENT, ids=lambda c: f"{c['h_m']:g}m-{c['pull_n']:g}N")
def test_chain_partly_on_the_bed_hangs_as_the_worked_values_say(case):
    """Lead, tension at the roller and length on the bed; a metre's segments and a bed that gives cost under 0.5 %."""
    rig = hung(10.0, case["w_n_per_m"], case["h_m"], 70.0, case["pull_n"])
    h, v, tension, _ = rig.end_forces()

    assert math.degrees(math.atan2(v, h)) == pytest.approx(case["top_deg"], rel=0.005)
    assert tension == pytest.approx(case["top_n"], rel=0.005)
    assert grounded_m(rig) == pytest.approx(70.0 - case["lifted_m"], abs=0.005 * 70.0)
    assert up_at_anchor_n(rig) <= 0.0005 * tension


@pytest.mark.parametrize("case", LIFTED, ids=lambda c: f"{c['length_m']:g}m-{c['pull_n']:g}N")
def test_chain_wholly_lifted_pulls_up_at_the_anchor_as_worked(case):
    """Reach within 0.1 % and uplift within 0.05 % of the tension, beyond the 0.05 % that real chain stretches."""
    rig = hung(10.0, case["w_n_per_m"], case["h_m"], case["length_m"], case["pull_n"])
    _, _, tension, _ = rig.end_forces()
    stretch = case["pull_n"] / rig.rode.line[lay.LP_EA]

    assert rig.roller[0] == pytest.approx(case["reach_m"], rel=0.001 + stretch)
    assert up_at_anchor_n(rig) == pytest.approx(case["up_n"], abs=(0.0005 + 2.0 * stretch) * tension)


def test_grid_of_sixty_agrees_with_an_independent_solver(record_property):
    """Reach 0.1 %, tension 0.5 %, uplift 0.05 % of the tension, against MoorPy's catenary with the same stiffness."""
    hangs = {}
    for case in GRID:
        chain_mm, h, length, pull = case
        rig = hung(chain_mm, None, h, length, pull)
        line = rig.rode.line
        seen = rig.roller[0], rig.end_forces()[2], max(up_at_anchor_n(rig), 0.0)
        hangs[case] = seen, solved_catenary(pull, h, length, line[lay.LP_EA], line[lay.LP_WEIGHT])

    assert len(GRID) >= 60
    compare_catenaries(hangs, record_property)
