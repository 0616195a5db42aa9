"""AIS: a mark stays where its boat last said she was; only who carries it is heard, and only who listens hears."""

import dataclasses
import math
from itertools import pairwise

import pytest
import worlds
from worlds import cmd, neighbour

from sim.base.units import TICK_HZ, mps
from sim.core import state as st
from sim.core.step import advance
from sim.core.world import World
from sim.helm import ais
from sim.helm.instruments import Instruments
from sim.model import layout as lay


def bay(*transponders: str, gear: tuple[str, ...] = ("ais",), wind_kn: float = 25.0) -> tuple[World, Instruments]:
    others = tuple(
        dataclasses.replace(neighbour(60.0 * k, 100.0), name=f"Boat {k}", ais=carried)
        for k, carried in enumerate(transponders)
    )
    w = worlds.world(
        boat=dataclasses.replace(worlds.boat(), gear=gear), neighbours=others, weather=worlds.gusty(wind_kn)
    )
    return w, Instruments(w)


def pass_time(w: World, instruments: Instruments, for_s: float, *orders) -> None:
    for k in range(round(for_s * TICK_HZ)):
        advance(w, orders if k == 0 else ())
        instruments.step()


@pytest.mark.parametrize(
    ("transponder", "speed_kn", "anchored", "every_s"),
    [
        ("a", 0.0, True, 180.0), ("a", 3.5, True, 10.0), ("a", 8.0, False, 10.0), ("a", 20.0, False, 6.0),
        ("a", 25.0, False, 2.0), ("b", 0.0, True, 180.0), ("b", 1.9, False, 180.0), ("b", 5.0, False, 30.0),
    ],
)  # fmt: skip
def test_reports_come_at_the_intervals_of_the_standard(transponder, speed_kn, anchored, every_s):
    """ITU-R M.1371-5 (2014), annex 1, tables 1 and 2, as read in two copies of its tables of reporting intervals."""
    assert ais.interval_s(transponder, mps(speed_kn), anchored) == every_s


def test_only_who_carries_it_is_heard_and_only_who_has_a_receiver_hears():
    _, instruments = bay("b", "", "a")
    assert [m.number for m in instruments.ais()] == [1, 3]

    _, deaf = bay("b", gear=())
    assert deaf.ais() == ()


def test_at_anchor_the_mark_stays_three_minutes_while_the_boat_swings_away_from_it():
    w, instruments = bay("b")
    first = instruments.ais()[0]
    changes, off = 0, []
    for _ in range(60):
        pass_time(w, instruments, 10.0)
        now = instruments.ais()[0]
        changes += (now.north_m, now.east_m) != (first.north_m, first.east_m)
        first = now
        row = w.state.boats[1]
        off.append(math.hypot(now.north_m - row[lay.B_NORTH], now.east_m - row[lay.B_EAST]))
        assert now.age_s <= 180.0 + 10.0

    assert 2 <= changes <= 4, "ten minutes"
    assert max(off) > 8.0


def test_under_way_the_mark_follows_every_half_minute():
    w, instruments = bay("b", wind_kn=10.0)
    pass_time(w, instruments, 200.0, cmd.NeighbourAct(target=1, what="leave", north_m=-400.0, east_m=100.0))
    ages = []
    for _ in range(60):
        pass_time(w, instruments, 1.0)
        ages.append(instruments.ais()[0].age_s)

    assert max(ages) <= 31.0
    assert sum(b < a for a, b in pairwise(ages)) == 2


def test_who_comes_in_is_heard_when_she_comes_and_not_before():
    w, instruments = bay("b")
    w.state.boats[1, lay.B_AWAY] = 1.0

    assert instruments.ais() == ()


def test_a_place_is_told_in_ten_thousandths_of_a_minute():
    """As the standard's figures are packed: a step of 0.185 m of latitude."""
    _, instruments = bay("b")
    north = instruments.ais()[0].north_m

    assert north / ais.STEP_M == pytest.approx(round(north / ais.STEP_M), abs=1e-6)


def test_what_was_heard_is_in_the_snapshot():
    w, instruments = bay("b", "a")
    pass_time(w, instruments, 30.0)
    saved, told = st.snapshot(w.state), instruments.ais()
    pass_time(w, instruments, 300.0)
    assert instruments.ais() != told
    st.restore(w.state, saved)
    assert instruments.ais() == told
