"""The verdict: what is never passed, what caps the marks, and that it says why."""

import dataclasses

import numpy as np
import pytest
from marking import sailed

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking import advice, rubric, verdict
from sim.marking.errors.found import find_errors
from sim.model import layout as lay
from sim.scenario import library

SKIPPER = library.load_profile("skipper")
LOA_M = sailed.run().loa_m


def judged(run):
    """Return a run's marks with the errors that were found in it."""
    return rubric.judge(run, SKIPPER, (), (), find_errors(run))


def codes(run):
    """Return the codes of every reason against a run."""
    return [r.code for r in judged(run).reasons]


def dragging(orders=()):
    """Return a run whose anchor is pulled two lengths astern from 260 s to 320 s."""
    north = np.interp(sailed.T_S, [260.0, 320.0], [0.0, -2.0 * LOA_M])
    return sailed.run(orders=orders, anchor_n_m=np.where(sailed.T_S >= sailed.TOUCH_S, north, np.nan))


def test_a_good_run_has_nothing_against_it():
    marks = judged(sailed.run())

    assert marks.passed
    assert marks.reasons == ()
    assert marks.points == marks.earned


def test_in_gear_when_reported_is_never_passed():
    in_gear = sailed.run(gear_0=np.where(sailed.T_S > 400.0, -1.0, 0.0))

    assert not judged(in_gear).passed
    assert {"in_gear", "D14"} <= set(codes(in_gear))


def test_not_reported_is_never_passed():
    assert codes(sailed.run(sailed.without(ev.Secured)))[0] == "not_secured"


def test_a_drag_of_more_than_a_length_with_nothing_done_is_never_passed():
    assert "dragged_in_set" in codes(dragging())


@pytest.mark.parametrize(
    ("order", "answers"),
    [
        (cmd.Engine(lever=0.0), True),
        (cmd.Engine(lever=-0.9), False),
        (cmd.Windlass(motion=1), True),
        (cmd.AskCrew(), False),
    ],
    ids=["eased", "more-astern", "veered", "asked"],
)
def test_easing_or_veering_answers_a_drag_and_more_astern_does_not(order, answers):
    orders = ((sailed.tick(230), cmd.Engine(lever=-0.5)), (sailed.tick(275), order))

    assert ("dragged_in_set" in codes(dragging(orders))) is not answers


def test_no_load_at_all_is_never_passed():
    slack = sailed.run(thrust_n_0=0.0, rode_pull_n=20.0, anchor_load_n=0.0)

    assert "nothing_proved" in codes(slack)
    assert not judged(slack).passed


def test_what_would_touch_the_ground_at_low_water_is_never_passed():
    """The roads are 5 m deep and she draws about 2: a tide that falls 4 m puts her keel into the ground."""
    run = sailed.run()
    dry = dataclasses.replace(run, stay=dataclasses.replace(run.stay, low_m=-4.0))

    assert "would_ground" in codes(dry)
    assert judged(dry).points <= SKIPPER.caps.never


@pytest.mark.parametrize(("share", "weight"), [(0.85, 3), (0.7, 4), (0.4, 5)])
def test_too_little_rode_weighs_more_the_shorter_it_is(share, weight):
    """32.5 m at 6.5 m from roller to bed are asked for at 5:1; the tide that rises makes them short."""
    run = sailed.run()
    high_m = sailed.OUT_M / (share * run.stay.scope) - 6.5
    short = dataclasses.replace(run, stay=dataclasses.replace(run.stay, high_m=high_m))
    found = {e.code: e for e in find_errors(short)}

    assert found["A18"].weight == weight
    assert judged(short).points < judged(run).points


@pytest.mark.parametrize(("weight", "cap"), [(5, 40.0), (4, 65.0)])
def test_points_are_held_by_the_gravest_error(weight, cap):
    run = sailed.run()
    found = find_errors(sailed.run(sailed.without(ev.TransitTaken)))
    grave = dataclasses.replace(found[0], weight=weight, certainty=1.0)

    assert rubric.judge(run, SKIPPER, (), (), (grave,)).points == cap
    assert rubric.judge(run, SKIPPER, (), (), (dataclasses.replace(grave, certainty=0.5),)).points > cap


def test_an_error_more_never_raises_the_points():
    """Whatever is named beside, the points only fall."""
    run, spoilt = sailed.run(), sailed.run(sailed.without(ev.TransitTaken, ev.LightsShown), hook=-1.0)
    found = find_errors(spoilt)

    points = [rubric.judge(run, SKIPPER, (), (), found[:k]).points for k in range(len(found) + 1)]
    assert points == sorted(points, reverse=True)


def test_each_reason_is_said_with_its_figure_once():
    run = sailed.run(sailed.without(ev.Secured), thrust_n_0=0.0, rode_pull_n=20.0, anchor_load_n=0.0)
    found = find_errors(run)
    marks = rubric.judge(run, SKIPPER, (), (), found)
    rows = advice.verdict(marks, (), found)

    assert len({row["code"] for row in rows}) == len(rows)
    assert all("{" not in row["text"] for row in rows)
    assert [row["code"] for row in rows if row["fails"]] == ["not_secured", "nothing_proved"]


def test_every_reason_has_its_words():
    words = library.load_words("en")

    assert all(f"judged.{code}" in words for code in (*verdict.NEVER, "wrong_reason", "not_looked"))


def test_the_anchor_under_another_chain_is_told_from_one_beside_it():
    cross = sys_cross()

    assert cross((0.0, 0.0), (-30.0, 0.0), (-15.0, -20.0), (-15.0, 20.0))
    assert not cross((0.0, 0.0), (-30.0, 0.0), (-15.0, 3.0), (-15.0, 40.0))
    assert not cross((0.0, 0.0), (-30.0, 0.0), (-40.0, -20.0), (-40.0, 20.0))


def sys_cross():
    """Return the test for two lines that cross, over plain pairs."""
    from sim.marking.errors import place

    return lambda *points: place._cross(*(np.array(p) for p in points))


def test_an_attempt_given_up_is_listed_and_not_marked():
    """Dropped with two knots on at 20 s, lifted at 60 s; the good attempt follows from 100 s."""
    from sim.marking import attempts

    first = [
        ev.AnchorLetGo(tick=sailed.tick(18), rode=0),
        sailed.touch(20.0, along_mps=1.0),
        ev.AnchorAweigh(tick=sailed.tick(60), rode=0),
    ]
    both = sorted([*sailed.events(), *first], key=lambda e: e.tick)
    attitude = np.where(sailed.between(20.0, 60.0), lay.LYING, sailed.fast()["attitude"])
    run = sailed.run(both, attitude=attitude)
    (one,) = attempts.earlier(run)

    assert (one.touch_s, one.off_s) == (20.0, 60.0)
    assert one.speed_kn == pytest.approx(1.94, abs=0.01)
    assert "B3" not in {e.code for e in find_errors(run)}
    assert attempts.earlier(sailed.run()) == ()
