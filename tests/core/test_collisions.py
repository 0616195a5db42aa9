"""A thousand meetings at random: what one hull loses the other takes, no tick makes energy, nothing goes through."""

import math

import numpy as np
import pytest
import worlds
from meeting import coast, corners, energy_j, meet, momentum, overlap_m
from worlds import TWIN, neighbour, run

from sim.base.units import DT_S, mps
from sim.core import events as ev
from sim.core import state as st
from sim.core.step import advance
from sim.core.world import World
from sim.model import layout as lay
from sim.model.params import Boat
from sim.scenario import library

FASTEST_MPS = mps(6.0)
FEW, MANY = 100, 1000
CLEAR_TICKS = 90  # without contact: they have parted
QUAY = np.array([[30.0, -60.0], [60.0, -60.0], [60.0, 60.0], [30.0, 60.0]])
ROCK = np.array([[20.0, -1.0], [22.0, 0.5], [21.5, 2.5], [19.5, 1.5]])


def fleet() -> list[Boat]:
    """Return boats of all kinds there are."""
    return [library.load_boat(name) for name in library.boat_names()]


def two_boats(rng: np.random.Generator, boats: list[Boat]) -> World:
    """Return two boats of any kind adrift without wind or stream, clear of each other and closing."""
    first, second = rng.choice(len(boats), 2)
    other = worlds.replace(neighbour(300.0, 0.0), boat=boats[second])
    w = worlds.world(boat=boats[first], bay=worlds.bay(30.0), neighbours=(other,))
    w.state.fleet[1, lay.Q_ADRIFT] = 1.0
    rows = w.state.boats
    rows[:, : lay.B_WIND_N] = 0.0
    rows[:, lay.B_DEPTH] = 30.0
    rows[:, lay.B_HEADING] = rng.uniform(0.0, 2.0 * math.pi, 2)
    bearing = rng.uniform(0.0, 2.0 * math.pi)
    away = 0.5 * (boats[first].particulars.loa_m + boats[second].particulars.loa_m) + 2.0
    rows[1, : lay.B_HEADING] = away * math.cos(bearing), away * math.sin(bearing)
    closing, aside = rng.uniform(0.3, FASTEST_MPS), rng.uniform(-0.4, 0.4)
    for row, sense, share in ((rows[0], 1.0, 0.5), (rows[1], -1.0, 0.5)):
        towards = bearing + aside - row[lay.B_HEADING]
        row[lay.B_SURGE] = sense * share * closing * math.cos(towards)
        row[lay.B_SWAY] = sense * share * closing * math.sin(towards)
    rows[:, lay.B_YAW_RATE] = rng.uniform(-0.05, 0.05, 2)
    return w


def check_a_meeting(w: World, ticks: int) -> bool:
    """Let two boats meet with no force on them but each other's; return whether they did."""
    brought = sum(
        (hull[lay.H_MASS] + hull[lay.H_A22]) * math.hypot(row[lay.B_SURGE], row[lay.B_SWAY])
        for row, hull in zip(w.state.boats, w.constants.hulls, strict=True)
    )
    touched, since = False, 0
    for _ in range(ticks):
        if since > CLEAR_TICKS:
            break
        coast(w)
        headings = w.state.boats[:, lay.B_HEADING].copy()
        before, moving = momentum(w, headings), energy_j(w)
        found = meet(w)
        since += touched
        if not found:
            continue
        touched, since = True, 0
        assert np.abs(momentum(w, headings) - before).max() <= 0.01 * brought
        assert energy_j(w) <= moving * (1.0 + 1e-9)
        fastest = max(c.closing_mps for c in found) + 0.2
        assert overlap_m(corners(w, 0), corners(w, 1)) <= 0.05 + fastest * DT_S
    return touched


def meetings(first: int, last: int) -> None:
    boats = fleet()
    met = sum(check_a_meeting(two_boats(np.random.default_rng(seed), boats), 480) for seed in range(first, last))

    assert met > 0.7 * (last - first), "the others pass clear"


def test_a_hundred_meetings_keep_momentum_and_make_no_energy():
    """Momentum to 1 % where nothing is fixed, energy never gained, no deeper in each other than one tick's way."""
    meetings(0, FEW)


@pytest.mark.slow
def test_a_thousand_meetings_keep_momentum_and_make_no_energy():
    meetings(FEW, MANY)


@pytest.mark.parametrize("seed", range(6))
def test_half_a_minute_after_a_meeting_all_is_quiet(seed):
    """In the water, with its drag: no chatter of the contact left, slower than they met, not in each other."""
    w = two_boats(np.random.default_rng(seed), fleet())
    met = np.abs(w.state.boats[:, lay.B_SURGE : lay.B_YAW_RATE]).max()
    run(w, 30.0)
    rates = []
    for _ in range(120):
        advance(w, ())
        rates.append(w.state.boats[:, lay.B_YAW_RATE].copy())

    assert np.degrees(np.abs(np.diff(rates, 2, axis=0))).max() <= 0.01
    assert np.abs(w.state.boats[:, lay.B_SURGE : lay.B_YAW_RATE]).max() < 0.8 * met + 0.05
    assert overlap_m(corners(w, 0), corners(w, 1)) <= 0.03


@pytest.mark.parametrize("boat", ["sloop-12", "twin-hull-12", "motor-14"])
@pytest.mark.parametrize("wall", [QUAY, ROCK], ids=["quay", "rock"])
def test_nothing_goes_through_the_shore_at_six_knots(boat, wall):
    """From all sides, under way: however she comes, no corner of hers ends beyond it, and the sense is kept."""
    built = library.load_boat(boat)
    rng = np.random.default_rng(7)
    for _ in range(4):
        w = worlds.world(boat=built, bay=worlds.bay(30.0, shores=(wall,)))
        heading = rng.uniform(-0.6, 0.6)
        w.state.boats[0, : lay.B_SWAY] = -6.0, rng.uniform(-3.0, 3.0), heading, FASTEST_MPS
        deepest = 0.0
        for _ in range(1200):
            advance(w, ())
            deepest = max(deepest, overlap_m(corners(w, 0), wall))
        assert deepest <= 0.05 + FASTEST_MPS * DT_S


def test_she_scrapes_along_a_quay():
    """Ten degrees on to it at three knots: she is turned along it, keeps way on, and touches it once, as told."""
    w = worlds.world(bay=worlds.bay(30.0, shores=(QUAY,)))
    w.state.boats[0, : lay.B_SWAY] = 26.0, -30.0, math.radians(80.0), mps(3.0)
    happened = run(w, 12.0)
    row = w.state.boats[0]
    touched = [e for e in happened if isinstance(e, ev.Touched)]

    assert len(touched) >= 1
    assert row[lay.B_EAST] > -15.0, "she has gone on along it"
    assert row[lay.B_SURGE] > mps(1.0)
    assert 80.0 < math.degrees(row[lay.B_HEADING]) < 110.0
    assert corners(w, 0)[:, 0].max() <= 29.9 + 0.05


def test_a_boat_between_two_others_is_told_of_each():
    """Touches are remembered by pair: who lies against one and is then touched by a third hears of it."""
    near = neighbour(0.0, 300.0)
    w = worlds.world(
        bay=worlds.bay(30.0), neighbours=(near, worlds.replace(near, name="Third", boat=worlds.boat(TWIN)))
    )
    w.state.fleet[1:, lay.Q_ADRIFT] = 1.0
    beam = worlds.SLOOP.beam_m
    w.state.boats[:, : lay.B_WIND_N] = 0.0
    w.state.boats[1, lay.B_EAST] = beam + 0.3
    w.state.boats[2, lay.B_EAST] = -(0.5 * beam + 0.5 * TWIN.beam_m + 0.8)
    w.state.boats[1, lay.B_SWAY] = -0.3
    w.state.boats[2, lay.B_SWAY] = 0.5
    happened = run(w, 8.0)

    assert {(e.boat, e.other) for e in happened if isinstance(e, ev.Touched)} == {(0, 1), (0, 2)}


def test_a_run_restored_while_hulls_touch_runs_on_alike():
    w = worlds.world(bay=worlds.bay(30.0), neighbours=(neighbour(200.0, 0.0),))
    w.state.fleet[1, lay.Q_ADRIFT] = 1.0
    w.state.boats[1, : lay.B_WIND_N] = 9.0, 1.0, math.radians(80.0), 0.0, 0.0, 0.0
    w.state.boats[0, lay.B_SURGE] = 1.0
    while not any(isinstance(e, ev.Touched) for e in advance(w, ())):
        assert w.state.tick < 600
    run(w, 0.1)
    saved = st.snapshot(w.state)
    run(w, 5.0)
    told = st.state_hash(w.state)
    st.restore(w.state, saved)
    run(w, 5.0)

    assert st.state_hash(w.state) == told
