"""Stern to a quay: the chain straight ahead of the berth, the windward line first, and no marks for what is not asked.

She shall lie heading north (the berth's heading) with her stern to a quay in the south; the wind is from the west.
"""

import math
from dataclasses import replace

import pytest
from marking import sailed
from marking.berthed import FAST_S, SEAT, berthed

from sim.core import events as ev
from sim.marking.errors.found import find_errors
from sim.marking.phases import berth


@pytest.mark.parametrize("side_m", [-12.0, 0.0, 5.0, 20.0])
def test_the_chain_is_measured_from_where_her_bow_shall_lie(side_m):
    """By hand: the anchor is a bow's length less than sixty metres ahead of the seat, so far to one side."""
    run = berthed(side_m)
    ahead_m = -SEAT[0] - run.params.boat.particulars.roller_x_m

    assert berth.chain_off_deg(run).value == pytest.approx(math.degrees(math.atan2(abs(side_m), ahead_m)))


def test_where_nobody_asks_for_a_berth_it_is_no_measure():
    """A boat that swings to her anchor has no straight ahead."""
    assert berth.chain_off_deg(sailed.run()) is None
    assert not berth.is_one(sailed.run())


@pytest.mark.parametrize(
    ("made", "fast_s", "undone"),
    [
        (("west bollard", "east bollard"), FAST_S, set()),
        (("east bollard", "west bollard"), FAST_S, {"to_windward"}),
        (("west bollard",), sailed.SECURED_S - 60.0, {"watched"}),
        ((), FAST_S, {"line", "to_windward", "watched"}),
    ],
    ids=["windward-first", "leeward-first", "left-at-once", "no-line"],
)
def test_the_windward_line_goes_first_and_is_watched(made, fast_s, undone):
    """West is to windward."""
    assert {name for name, done in berth.items(berthed(made=made, fast_s=fast_s)).items() if not done} == undone


def test_what_a_swinging_boat_is_told_off_for_is_none_here():
    """Neither snubber nor alarm nor ball is asked of one who is fast to a quay."""
    run = berthed()
    bare = [e for e in run.track.events if not isinstance(e, ev.SnubberHooked | ev.AlarmSet | ev.LightsShown)]
    fast = replace(run, track=replace(run.track, events=tuple(bare)))

    assert not {e.code for e in find_errors(fast)} & set(berth.NO_ERRORS)
    assert "E7" in {e.code for e in find_errors(replace(fast, stay=sailed.STAY))}
