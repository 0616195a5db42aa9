"""The same seed and the same orders are the same run, to the last bit; a snapshot leaves nothing out."""

import os
import random
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import worlds
from worlds import run

from sim.base.errors import SimulationDiverged
from sim.core import events as ev
from sim.core import state as st
from sim.core.orders import commands as cmd
from sim.core.step import advance
from sim.core.world import World
from sim.model import layout as lay
from sim.model.params import Start

TESTS = Path(__file__).resolve().parent.parent


def busy_world(seed: int = 1, wind_kn: float = 14.0) -> World:
    """Return a gusty bay with two neighbours, the nearer one dead ahead of the own boat."""
    return worlds.world(
        seed=seed,
        weather=worlds.gusty(wind_kn, seed),
        neighbours=(worlds.neighbour(50.0, 0.0), worlds.neighbour(-40.0, 90.0, 40.0, worlds.TWIN)),
        start=Start(-15.0, 0.0, 0.0, 1.0),
    )


def orders_at(tick: int) -> list[cmd.Command]:
    """Return a run's orders: ahead into the neighbour, astern, let go, dig in, asking things on the way."""
    plan: dict[int, list[cmd.Command]] = {
        0: [cmd.Engine(lever=0.3)],
        300: [cmd.TakeRange(target=1), cmd.Inject(what="gust", ramp_s=5.0, hold_s=10.0, factor=1.4)],
        1500: [cmd.Engine(lever=-0.4), cmd.Helm(angle_rad=0.0), cmd.Hail(target=2)],
        2400: [cmd.Engine(lever=-0.1), cmd.Brake(grip=0.0)],
        3300: [cmd.Brake(grip=1.0), cmd.Snubber(on=True), cmd.SoundRound(radius_m=40.0)],
        3900: [cmd.Engine(lever=-0.5), cmd.Inject(what="shift", ramp_s=20.0, turn_rad=0.6)],
    }
    return plan.get(tick, [])


END = 5400


def sail_on(w: World, until: int) -> list[ev.Event]:
    """Run the plan on to a tick."""
    happened: list[ev.Event] = []
    while w.state.tick < until:
        happened += advance(w, orders_at(w.state.tick))
    return happened


def test_a_restored_run_runs_on_to_the_same_state():
    """From ten moments at random and one in the middle of a contact."""
    w = busy_world()
    moments = sorted(random.Random(4).sample(range(1, END), 10))
    saved: dict[int, st.State] = {}
    touched: list[int] = []
    while w.state.tick < END:
        if w.state.tick in moments:
            saved[w.state.tick] = st.snapshot(w.state)
        happened = advance(w, orders_at(w.state.tick))
        if not touched and any(isinstance(e, ev.Touched) for e in happened):
            touched.append(w.state.tick)
            saved[w.state.tick] = st.snapshot(w.state)
    expected = st.state_hash(w.state)
    assert touched, "she never met the neighbour"
    assert len(saved) >= 10

    for state in saved.values():
        st.restore(w.state, state)
        sail_on(w, END)
        assert st.state_hash(w.state) == expected


def test_a_snapshot_shares_nothing_with_the_run():
    w = busy_world()
    saved = st.snapshot(w.state)
    before = st.state_hash(saved)
    sail_on(w, 60)

    assert st.state_hash(saved) == before
    assert st.state_hash(w.state) != before


def test_the_hash_sees_every_array():
    """One bit changed anywhere is another hash."""
    state = busy_world().state
    state.lines[:, lay.L_COUNT] = 2.0  # the nodes of a rode that is aboard are none
    whole = st.state_hash(state)
    for _, array in st.arrays(state):
        old = array.flat[-1]
        array.flat[-1] = old + 1
        assert st.state_hash(state) != whole
        array.flat[-1] = old

    assert st.state_hash(state) == whole


def test_the_same_seed_and_orders_are_the_same_run():
    a, b = busy_world(), busy_world()

    assert sail_on(a, END) == sail_on(b, END)
    assert st.state_hash(a.state) == st.state_hash(b.state)


@pytest.mark.parametrize("hash_seed", ["1", "4711"])
def test_a_fresh_process_makes_the_same_run(hash_seed):
    """Another process, with other hashes of names."""
    w = busy_world()
    sail_on(w, 2000)
    code = (
        f"import sys; sys.path[:0] = [r'{TESTS}', r'{TESTS}/core']\n"
        "import test_determinism as t\n"
        "w = t.busy_world(); t.sail_on(w, 2000); print(t.st.state_hash(w.state))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONHASHSEED": hash_seed},
        capture_output=True,
        text=True,
        check=True,
    )

    assert done.stdout.strip() == st.state_hash(w.state)


def test_another_seed_is_another_run_when_it_blows_in_gusts():
    a, b = busy_world(1), busy_world(2)
    sail_on(a, 600)
    sail_on(b, 600)

    assert st.state_hash(a.state) != st.state_hash(b.state)


def test_without_gusts_the_seed_does_not_move_a_boat():
    a, b = (worlds.world(seed=seed, weather=worlds.steady(15.0)) for seed in (1, 2))
    run(a, 20.0, cmd.Engine(lever=0.3))
    run(b, 20.0, cmd.Engine(lever=0.3))

    assert np.array_equal(a.state.boats, b.state.boats)


def test_noisy_answers_do_not_move_the_world():
    """Taking ranges draws chance of its own: the boats go as they would have gone."""
    quiet, asking = busy_world(), busy_world()
    run(quiet, 30.0)
    for _ in range(6):
        run(asking, 5.0, cmd.TakeRange(target=1))

    assert np.array_equal(quiet.state.boats, asking.state.boats)
    assert quiet.state.clock[st.K_DRAWS] == 0 < asking.state.clock[st.K_DRAWS]


@pytest.mark.parametrize(
    ("spoil", "field"),
    [
        (lambda s: s.boats.__setitem__((0, lay.B_SURGE), float("nan")), "boat 0"),
        (lambda s: s.boats.__setitem__((1, lay.B_SWAY), 80.0), "boat 1"),
        (lambda s: s.boats.__setitem__((2, lay.B_NORTH), float("inf")), "boat 2"),
        (lambda s: s.nodes.__setitem__((0, 3, lay.N_VZ), float("nan")), "rode 0"),
    ],
    ids=["surge-nan", "neighbour-too-fast", "neighbour-lost", "node-nan"],
)
def test_numbers_that_come_apart_stop_the_run_and_are_named(spoil, field):
    w = busy_world()
    run(w, 20.0, cmd.Brake(grip=0.0))
    spoil(w.state)
    with pytest.raises(SimulationDiverged) as stopped:
        run(w, 1.0)

    assert stopped.value.field == field
    assert stopped.value.tick >= 1200
    assert field in str(stopped.value)
