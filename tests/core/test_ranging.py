"""Ranges by laser and by the height of a mast: what each can do, how it errs, and when it gives nothing."""

import dataclasses
import math

import numpy as np
import pytest
import worlds
from worlds import cmd, neighbour, run

from sim.core import events as ev
from sim.core.orders import ranging
from sim.core.world import World
from sim.model import layout as lay
from sim.model.params import Mark


def ranges(w: World, target: int, means: str, shots: int) -> list[ev.Event]:
    """Return the answers to so many shots; the others stand still."""
    answers: list[ev.Event] = []
    for _ in range(shots):
        answers += run(w, 9.0, cmd.TakeRange(target=target, means=means))
    return [e for e in answers if isinstance(e, ev.RangeTaken | ev.RangeFailed)]


def beacon(away_m: float, height_m: float = 8.0, **changes) -> World:
    bay = dataclasses.replace(worlds.bay(), marks=(Mark("beacon", "beacon", away_m, 0.0, height_m),))
    return worlds.world(bay=bay, **changes)


def test_a_laser_gives_a_metre_on_a_good_target():
    found = [e.range_m for e in ranges(beacon(200.0), -1, "laser", 30) if isinstance(e, ev.RangeTaken)]

    assert len(found) == 30
    assert 0.5 < np.std(found) < 1.8
    assert np.mean(found) == pytest.approx(200.0, abs=1.0)


@pytest.mark.parametrize("away_m", [5.0, 420.0])
def test_beyond_its_reach_a_laser_gives_nothing(away_m):
    answers = ranges(beacon(away_m), -1, "laser", 2)

    assert [e.why for e in answers if isinstance(e, ev.RangeFailed)] == ["out_of_reach"] * 2


def test_some_shots_at_a_boat_go_between_her_rigging():
    """About one in ten (judgement); never two runs alike, always the same run alike."""
    w = worlds.world(neighbours=(neighbour(100.0, 0.0),))
    missed = [ranging.by_laser(w, 1) for _ in range(300)]
    failed = [e for e in missed if isinstance(e, ev.RangeFailed)]
    again = worlds.world(neighbours=(neighbour(100.0, 0.0),))

    assert {e.why for e in failed} == {"rigging"}
    assert 0.04 < len(failed) / 300 < 0.18
    assert [ranging.by_laser(again, 1) for _ in range(300)] == missed


def test_in_the_rain_of_a_squall_a_laser_gives_nothing():
    w = beacon(200.0)
    run(w, 5.0, cmd.Inject(what="squall", ramp_s=10.0, hold_s=300.0, factor=2.0))

    assert [e.why for e in ranges(w, -1, "laser", 1) if isinstance(e, ev.RangeFailed)] == ["rain"]
    w.state.boats[0, lay.B_NORTH] = 0.0
    assert isinstance(ranging.by_mast(w, -1), ev.RangeTaken), "a glass still shows it"


def test_a_mast_of_known_height_gives_its_range_in_the_steps_of_the_reticle():
    """Sixteen metres that subtend 100 mil stand 160 m off (the mil relation, common practice), to half a step."""
    answer = ranging.by_mast(beacon(160.0, 16.0), -1)

    assert isinstance(answer, ev.RangeTaken)
    assert answer.range_m == pytest.approx(160.0, rel=0.012)
    mils = 16.0 / answer.range_m / ranging.MIL
    assert mils / ranging.STEP_MIL == pytest.approx(round(mils / ranging.STEP_MIL))


def test_a_boat_s_mast_is_guessed_so_the_range_is_off_by_the_same_share_each_time():
    """No boat's height is known: far and near it errs alike, from boat to boat otherwise."""
    off = []
    for k in range(1, 25):
        w = worlds.world(seed=k, neighbours=(neighbour(0.0, 0.0),))
        shares = []
        for north in (80.0, 160.0):
            w.state.boats[1, : lay.B_HEADING] = north, 0.0
            answer = ranging.by_mast(w, 1)
            assert isinstance(answer, ev.RangeTaken)
            shares.append(answer.range_m / north)
        assert shares[0] == pytest.approx(shares[1], rel=0.02)
        off.append(shares[0] - 1.0)

    assert 0.02 < np.std(off) < 0.12


def test_the_farther_the_coarser():
    """The steps of the reticle are metres near by and tens of metres far off."""
    told = []
    for first in (100.0, 1000.0):
        answers = [ranging.by_mast(beacon(away, 10.0), -1) for away in np.arange(first, first + 10.0, 0.5)]
        told.append({round(e.range_m, 3) for e in answers if isinstance(e, ev.RangeTaken)})

    assert len(told[0]) > 2
    assert len(told[1]) <= 2


def test_a_mast_too_small_in_the_glass_gives_nothing():
    answer = ranging.by_mast(beacon(450.0, 1.0), -1)

    assert isinstance(answer, ev.RangeFailed)
    assert answer.why == "out_of_reach"


def test_bearings_err_by_about_a_degree():
    w = beacon(200.0)
    taken = [ranging.by_laser(w, -1) for _ in range(60)]
    off = [math.degrees(math.remainder(e.bearing_rad, 2 * math.pi)) for e in taken]

    assert 0.6 < np.std(off) < 1.5


def test_without_a_laser_none_is_used():
    w = worlds.world(boat=dataclasses.replace(worlds.boat(), gear=()), neighbours=(neighbour(60.0, 0.0),))

    assert [e.why for e in run(w, 0.1, cmd.TakeRange(target=1)) if isinstance(e, ev.Declined)] == ["not_fitted"]
    assert not [e for e in run(w, 0.1, cmd.TakeRange(target=1, means="mast")) if isinstance(e, ev.Declined)]
