"""Time: no marks for speed, only a ceiling of so many times the reference run."""

from dataclasses import replace

import pytest
from marking import sailed

from sim.core import events as ev
from sim.marking.phases.time_taken import slow, took_s
from sim.marking.rubric import judge
from sim.scenario import library

SKIPPER = library.load_profile("skipper")


def against(reference_s: float | None, **changed):
    return sailed.run(stay=replace(sailed.STAY, reference_s=reference_s), **changed)


def test_the_profile_asks_for_three_points_at_twice_the_reference_run():
    assert SKIPPER.slow is not None
    assert (SKIPPER.slow.times, SKIPPER.slow.points) == (2.0, 3.0)
    assert library.load_profile("examiner").slow == SKIPPER.slow, "as the profile it is based on"


def test_only_beyond_the_ceiling_does_it_cost_and_never_more():
    took = took_s(against(None))

    assert slow(against(took / 2.0), SKIPPER.slow) is None, "twice is still in time"
    late, very_late = (slow(against(took / times), SKIPPER.slow) for times in (2.01, 9.0))
    assert late is not None and very_late is not None
    assert late.points == very_late.points == 3.0
    assert late.took_s == took


def test_it_comes_off_the_marks():
    took = took_s(against(None))
    good, late = judge(against(took), SKIPPER), judge(against(took / 3.0), SKIPPER)

    assert good.slow is None
    assert late.earned == pytest.approx(good.earned - 3.0)
    assert late.points == pytest.approx(good.points - 3.0)


def test_it_never_takes_the_marks_below_nought():
    fails = judge(against(1.0, happened=sailed.without(ev.PlanMade), surge_mps=5.0, rode_pull_n=0.0), SKIPPER)

    assert fails.earned >= 0.0


def test_without_a_reference_or_an_anchor_down_time_costs_nothing():
    assert slow(against(None), SKIPPER.slow) is None
    assert slow(against(1.0, happened=[]), SKIPPER.slow) is None
    assert slow(against(1.0), None) is None


def test_to_stay_and_watch_her_blocks_nobody():
    """The clock stops when she rides to her snubber."""
    hooked = [e for e in sailed.events() if isinstance(e, ev.SnubberHooked)]
    run = against(1.0)

    assert took_s(run) == (hooked[-1].tick / 60.0 if hooked else run.moments.stop_s)


@pytest.mark.parametrize("name", library.lesson_names())
def test_every_lesson_that_can_be_anchored_in_says_how_long_it_takes(name):
    lesson = library.load_lesson(name)
    reference = lesson.teacher.reference

    assert reference is None or (reference.minutes is not None and 5.0 <= reference.minutes <= lesson.limit_s / 60.0)
