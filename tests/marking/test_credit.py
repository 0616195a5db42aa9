"""Credit beside the measures: given up in time, noticed, rightly left; and an instructor's changes."""

from dataclasses import replace

import numpy as np
import pytest
from marking import sailed

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking import credit, rubric
from sim.marking.errors.found import find_errors
from sim.model import layout as lay
from sim.scenario import library

SKIPPER = library.load_profile("skipper")
ABORT = ev.Aborted(tick=sailed.tick(130), reason="closing a boat")
LIFTED = ev.AnchorAweigh(tick=sailed.tick(150), rode=0)
UP = np.where(sailed.T_S >= 150.0, lay.STOWED, sailed.fast()["attitude"])


def by_name(marks: rubric.Marks) -> dict[str, rubric.Marked]:
    return {m.name: m for m in marks.measures}


def given_up(**changed):
    happened = [e for e in sailed.events() if e.tick <= sailed.tick(130)] + [ABORT, LIFTED]
    return sailed.run(happened, **{"attitude": UP, **changed})


def test_an_attempt_called_off_in_time_keeps_its_first_phases_and_half_the_set():
    """Ten points of twenty for the set, the phases before it as they were."""
    marks = rubric.judge(given_up(), SKIPPER)
    whole = rubric.judge(sailed.run(), SKIPPER)
    share = {p.code: p.points / p.of for p in marks.phases}

    assert share["ph5"] == pytest.approx(0.5)
    assert all(share[code] == {p.code: p.points / p.of for p in whole.phases}[code] for code in ("ph2", "ph3"))


def test_what_was_given_up_in_time_is_forgiven():
    """Chain run ahead and a tow before the abort are not held against her; headway at the touch is."""
    run = given_up(out_m=40.0, heap_m=0.0)
    worse = replace(run, track=replace(run.track, events=(*run.track.events[:2], sailed.touch(along_mps=0.6), ABORT)))

    assert not {e.code for e in find_errors(run)} & {"C3", "C9", "D4", "D6"}
    assert "B3" in {e.code for e in find_errors(worse)}


@pytest.mark.parametrize(
    "spoilt",
    [
        pytest.param(ev.Touched(tick=sailed.tick(120), boat=0, other=1, closing_mps=0.3, impulse_ns=1.0), id="hit"),
        pytest.param(ev.Grounded(tick=sailed.tick(120), boat=0, speed_mps=0.2), id="aground"),
        pytest.param(sailed.touch(140.0), id="dropped-again"),
    ],
)
def test_it_is_not_in_time_after_damage_nor_where_another_drop_follows(spoilt):
    run = given_up()
    events = tuple(sorted([*run.track.events, spoilt], key=lambda e: e.tick))

    assert credit.called_off_s(run) == 130.0
    assert credit.called_off_s(replace(run, track=replace(run.track, events=events))) is None


def test_an_anchor_left_on_the_ground_was_not_called_off():
    assert credit.called_off_s(given_up(attitude=sailed.fast()["attitude"])) is None


@pytest.mark.parametrize(("late_s", "noticed"), [(10.0, True), (20.0, False)])
def test_a_drag_noticed_within_fifteen_seconds_earns_half_of_what_it_cost(late_s, noticed):
    """Five metres during the last step, and the foredeck asked ten, or twenty, seconds after it began."""
    moved = np.interp(sailed.T_S, [0.0, 322.0, 340.0], [0.0, 0.0, -5.0])
    dragged = [*sailed.events(), ev.AnchorDragged(tick=sailed.tick(325), rode=0, load_n=900.0)]
    asked = ((sailed.tick(325.0 + late_s), cmd.AskCrew()),)
    plain = by_name(rubric.judge(sailed.run(dragged, anchor_n_m=moved, anchor_e_m=0.0), SKIPPER))["ph5.drag_m"]
    run = sailed.run(dragged, orders=asked, anchor_n_m=moved, anchor_e_m=0.0)
    told = by_name(rubric.judge(run, SKIPPER))["ph5.drag_m"]

    assert told.lost == pytest.approx(plain.lost * (0.5 if noticed else 1.0))
    assert plain.lost > 0.0


def test_an_instructor_changes_a_mark_with_a_reason_and_only_with_one():
    """The points stand instead of the measure's, within what it can earn, and the reason is kept."""
    name = "ph3.mark_delay_s"
    happened = sailed.without(ev.AnchorMarked)

    def marked(*orders: cmd.Override) -> rubric.Marked:
        return by_name(rubric.judge(sailed.run(happened, orders=tuple((60, o) for o in orders)), SKIPPER))[name]

    change = cmd.Override(actor="desk", measure=name, points=2.0, reason="the key was stuck")
    assert marked().points == 0.0
    assert (marked(change).points, marked(change).note) == (2.0, "the key was stuck")
    assert marked(replace(change, points=99.0)).points == marked().of
    assert marked(replace(change, reason="")).points == 0.0


def test_recovery_takes_its_worth_from_the_phases_it_names():
    """Where it is exercised the whole stays a hundred, and the approach weighs what it did beside the drop."""
    heave = np.interp(sailed.T_S, [0.0, 90.0, 400.0, 480.0], [32.5, 32.5, 32.5, 5.0])
    rate = np.where(sailed.between(400.0, 480.0), -0.34, 0.0)
    weighed = rubric.judge(sailed.run(out_m=heave, rate_mps=rate), SKIPPER)
    worth = {p.code: p.of for p in weighed.phases}

    assert sum(worth.values()) == pytest.approx(100.0)
    assert worth["ph2"] / worth["ph3"] == pytest.approx(10.0 / 15.0)
    assert worth["rec"] / worth["ph1"] == pytest.approx(10.0 / 10.0)
