"""Phase 7: what is marked of a night, and what of a night cut short."""

import pytest
from marking.slept import HOURS, slept

from sim.core import events as ev
from sim.marking import critical, outcome
from sim.marking.phases import night
from sim.scenario.schema.marking import CriticalBlock

CF7 = [CriticalBlock(code="cf7", title="contact in the night")]


def touch(other: int, hour: float) -> ev.Event:
    return ev.Touched(tick=round(hour * HOURS * 60), boat=0, other=other, closing_mps=0.3, impulse_ns=400.0)


def test_a_quiet_night_is_measured_in_the_rubrics_units():
    run = slept()
    found = {f.__name__: f(run) for f in (night.drag_m, night.min_gap_loa, night.uplift_min, night.contact)}

    assert {name: f.value for name, f in found.items() if f} == {
        "drag_m": 1.0, "min_gap_loa": pytest.approx(0.5), "uplift_min": 1.5, "contact": 0.0,
    }  # fmt: skip
    assert outcome.find_outcome(run).held_through_night is True
    assert outcome.find_outcome(run).night_peak_load_n == 1600.0
    assert critical.find_fails(run, CF7) == ()


def test_a_touch_in_the_night_is_critical_and_not_held():
    run = slept(events=(touch(1, 3.0), touch(1, 4.0)))
    fails = critical.find_fails(run, CF7)

    assert [(f.code, f.t_s) for f in fails] == [("cf7", 3.0 * HOURS)]
    assert night.contact(run).value == 2.0
    assert outcome.find_outcome(run).held_through_night is False
    assert night.worst_s(run.night) == 3.0 * HOURS


def test_grounding_counts_and_two_others_meeting_does_not():
    aground = slept(events=(ev.Grounded(tick=60, boat=0, speed_mps=0.1),))
    elsewhere = slept(events=(ev.Touched(tick=60, boat=1, other=2, closing_mps=0.3, impulse_ns=400.0),))

    assert night.touched_s(aground.night) == 1.0
    assert night.touched_s(elsewhere.night) is None


def test_a_long_drag_is_not_held_and_is_the_moment_to_look_at():
    run = slept(drag_m=30.0, drag_s=8000.0)

    assert outcome.find_outcome(run).held_through_night is False
    assert night.worst_s(run.night) == 8000.0


def test_an_empty_bay_leaves_the_gap_out():
    assert night.min_gap_loa(slept(least_gap_m=None, least_gap_s=None)) is None


def test_a_night_cut_short_is_not_marked_but_a_touch_in_it_is_told():
    run = slept(until_s=20.0 * HOURS, events=(touch(-1, 2.0),))

    assert night.drag_m(run) is night.contact(run) is night.uplift_min(run) is night.min_gap_loa(run) is None
    assert outcome.find_outcome(run).held_through_night is False
    assert len(critical.find_fails(run, CF7)) == 1
    assert outcome.find_outcome(slept(until_s=20.0 * HOURS)).held_through_night is None


def test_the_load_proved_is_told_over_the_peak_of_the_night():
    """In the exercise she was proved to some load; a peak of twice that makes the ratio a half."""
    load_n = outcome.find_outcome(slept()).proved_load_n
    assert load_n is not None

    assert night.sums(slept(peak_n=2.0 * load_n)).proved_load_ratio == pytest.approx(0.5)
