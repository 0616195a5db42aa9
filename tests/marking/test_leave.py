"""Leaving without anchoring: full marks where it is the answer, none where a place was to be had; staying is capped."""

import dataclasses

import pytest
from marking import sailed

from sim.core import events as ev
from sim.marking import critical, rubric
from sim.marking.phases import leave
from sim.scenario import library
from sim.scenario.schema.lesson import GoalBlock

SKIPPER = library.load_profile("skipper")


SOUNDED = ev.DepthSounded(tick=1800, least_m=4.0, most_m=6.0)


def left(reason, refusals=("room",), looked=(SOUNDED,)):
    """Return a run in which nothing was done but to leave, after a minute."""
    run = sailed.run([*looked, ev.Left(tick=3600, reason=reason)])
    return dataclasses.replace(run, stay=dataclasses.replace(run.stay, no_safe_spot=True, refusals=refusals))


@pytest.mark.parametrize(("reason", "points"), [("room", 100.0), ("rode", 60.0), ("", 60.0)])
def test_leaving_passes_with_a_reason_that_holds(reason, points):
    marks = rubric.judge(left(reason), SKIPPER)

    assert marks.points == pytest.approx(points)
    assert marks.passed is (reason == "room")
    assert [r.code for r in marks.reasons] == ([] if reason == "room" else ["wrong_reason"])
    assert [p.code for p in marks.phases] == ["leave"]


def test_leaving_without_having_looked_is_a_guess_and_not_passed():
    marks = rubric.judge(left("room", looked=()), SKIPPER)

    assert not marks.passed
    assert [r.code for r in marks.reasons] == ["not_looked"]


def test_leaving_a_place_that_is_safe_earns_nothing_for_what_was_not_done():
    marks = rubric.judge(left("room", refusals=()), SKIPPER)

    assert "leave" not in {p.code for p in marks.phases}
    assert marks.points < 20.0
    assert not marks.passed


def test_anchoring_where_nothing_is_safe_is_critical_however_well_it_was_done():
    run = sailed.run()
    run = dataclasses.replace(run, stay=dataclasses.replace(run.stay, no_safe_spot=True, refusals=("room",)))
    fails = critical.find_fails(run, SKIPPER.critical)
    marks = rubric.judge(run, SKIPPER, fails)

    assert "cf10" in {fail.code for fail in fails}
    assert marks.earned > marks.points == SKIPPER.cap_points
    assert leave.refused(run) is None


@pytest.mark.parametrize(("most", "passed"), [(100.0, True), (-100.0, False)])
def test_a_goal_missed_is_no_pass_whatever_the_marks(most, passed):
    goal = GoalBlock(measure="ph3.sog_at_touch_kn", most=most)
    marks = rubric.judge(sailed.run(), SKIPPER, (), [goal])

    assert marks.points == rubric.judge(sailed.run(), SKIPPER).points
    assert marks.passed is passed
    assert [g.met for g in marks.goals] == [passed]
