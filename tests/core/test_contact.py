"""Hulls that meet: momentum is kept, energy is not made, nothing passes through, and the event says how hard."""

import math

import numpy as np
import pytest
import worlds
from meeting import coast, corners, energy_j, meet, momentum, overlap_m
from worlds import SLOOP, TWIN, neighbour, run

from sim.base.units import DT_S, mps, rad
from sim.core import events as ev
from sim.core.near import find_near
from sim.core.step import advance
from sim.core.world import World
from sim.model import layout as lay
from sim.model.params import Start

FACE_M = 29.9  # where a hull meets the quay below: its edge and the 0.1 m that a wall is thick
QUAY = np.array([[30.0, -60.0], [60.0, -60.0], [60.0, 60.0], [30.0, 60.0]])


def meeting(
    speed_mps: float, other=TWIN, other_heading_deg: float = 90.0, aside_m: float = 1.0, gap_m: float = 2.0
) -> World:
    """Return the sloop heading north at a speed, a boat adrift across her bow, ``aside_m`` of their middles apart."""
    w = worlds.world(bay=worlds.bay(30.0), neighbours=(neighbour(200.0, 0.0, p=other),))
    w.state.fleet[1, lay.Q_ADRIFT] = 1.0
    turned = rad(other_heading_deg)
    half = 0.5 * (other.loa_m * abs(math.cos(turned)) + other.beam_m * abs(math.sin(turned)))
    row = w.state.boats[1]
    row[:] = 0.0
    row[lay.B_NORTH], row[lay.B_EAST] = 0.5 * SLOOP.loa_m + gap_m + half, aside_m
    row[lay.B_HEADING], row[lay.B_DEPTH] = turned, 30.0
    w.state.boats[0, lay.B_SURGE] = speed_mps
    return w


@pytest.mark.parametrize("aside_m", [0.0, 1.0, 2.5])
@pytest.mark.parametrize(("other", "heading_deg"), [(TWIN, 90.0), (SLOOP, 90.0), (SLOOP, 150.0)])
def test_momentum_is_kept_and_energy_is_lost(other, heading_deg, aside_m):
    """One metre a second into a boat adrift: what one loses the other takes, to 1 % of it, and no tick makes energy."""
    w = meeting(1.0, other, heading_deg, aside_m)
    brought = momentum(w, w.state.boats[:, lay.B_HEADING])[0]
    at_first, impulse = energy_j(w), 0.0
    for _ in range(600):
        coast(w)
        headings = w.state.boats[:, lay.B_HEADING].copy()
        before, moving = momentum(w, headings), energy_j(w)
        impulse += sum(c.impulse_ns for c in meet(w))

        assert np.abs(momentum(w, headings) - before).max() <= 0.01 * brought
        assert energy_j(w) <= moving * (1.0 + 1e-9)

    assert impulse > 0.1 * brought
    assert energy_j(w) < 0.95 * at_first


@pytest.mark.parametrize("speed_kn", [1.0, 2.0, 4.0, 6.0])
@pytest.mark.parametrize("heading_deg", [90.0, 60.0])
def test_no_hull_stands_in_another(speed_kn, heading_deg):
    """Under way at up to six knots: 3 cm deep, plus the way she makes in the tick in which they meet."""
    w = meeting(mps(speed_kn), SLOOP, heading_deg, 0.5)
    deepest, touched = 0.0, False
    for _ in range(900):
        touched = touched or any(isinstance(e, ev.Touched) for e in advance(w, ()))
        deepest = max(deepest, overlap_m(corners(w, 0), corners(w, 1)))

    assert touched
    assert deepest <= 0.03 + mps(speed_kn) * DT_S
    assert w.state.boats[0, lay.B_NORTH] < w.state.boats[1, lay.B_NORTH]  # she has not gone through


def test_pressed_together_they_lie_still():
    """Blown down on a quay: no chatter, no creeping through, no energy."""
    w = worlds.world(bay=worlds.bay(30.0, shores=(QUAY,)), weather=worlds.steady(20.0, 180.0))
    w.state.boats[0, lay.B_NORTH], w.state.boats[0, lay.B_HEADING] = 26.0, rad(90.0)
    run(w, 120.0)
    rates, places = [], []
    for _ in range(600):
        advance(w, ())
        rates.append(math.degrees(w.state.boats[0, lay.B_YAW_RATE]))
        places.append(w.state.boats[0, lay.B_NORTH])

    assert np.abs(np.diff(rates, 2)).max() <= 0.01
    assert np.ptp(places) <= 0.002
    assert corners(w, 0)[:, 0].max() <= FACE_M + 0.03


@pytest.mark.parametrize("speed_kn", [1.0, 3.0])
def test_the_event_says_how_fast_they_closed(speed_kn):
    """Once, in the tick they meet, with the closing speed along the line of contact."""
    w = meeting(mps(speed_kn), SLOOP, 90.0, 0.0)
    happened = run(w, 12.0)
    told = [e for e in happened if isinstance(e, ev.Touched)]

    assert [(e.boat, e.other) for e in told[:1]] == [(0, 1)]
    assert told[0].closing_mps == pytest.approx(mps(speed_kn), rel=0.1)
    assert told[0].impulse_ns > 1000.0


@pytest.mark.parametrize("speed_kn", [1.0, 6.0])
def test_the_shore_stops_her(speed_kn):
    """Bow on to a quay at up to six knots: told as the shore, and she stays on her side of it."""
    w = worlds.world(bay=worlds.bay(30.0, shores=(QUAY,)), start=Start(15.0, 0.0, 0.0, mps(speed_kn)))
    happened = []
    for _ in range(1800):
        happened += advance(w, ())
        assert corners(w, 0)[:, 0].max() <= FACE_M + 0.03 + mps(speed_kn) * DT_S
    told = [e for e in happened if isinstance(e, ev.Touched)]

    assert told[0].other == -1
    assert told[0].closing_mps == pytest.approx(mps(speed_kn), rel=0.15)


def test_boats_side_by_side_do_not_touch():
    """Two metres of water between them: no contact, and no work for it."""
    w = worlds.world(bay=worlds.bay(30.0), neighbours=(neighbour(200.0, 0.0),))
    w.state.boats[1, [lay.B_NORTH, lay.B_EAST, lay.B_HEADING]] = 0.0, SLOOP.beam_m + 2.0, 0.0
    near = np.zeros(2, np.int64)

    assert find_near(w.state.boats, w.constants.hulls, w.constants.shore, near, True) == 0
    w.state.boats[1, lay.B_EAST] = SLOOP.beam_m + 0.2
    assert find_near(w.state.boats, w.constants.hulls, w.constants.shore, near, True) == 2
