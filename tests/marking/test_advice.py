"""What is said about a measure: a sentence with its number, and never more than three of them."""

import json
from importlib import resources

import numpy as np
import pytest
from marking import sailed

from sim.base.units import rad
from sim.core import events as ev
from sim.marking import advice, rubric
from sim.marking.errors.found import find_errors
from sim.marking.measures import MEASURES
from sim.scenario import library

SKIPPER = library.load_profile("skipper")
SENTENCES = json.loads(resources.files("sim.marking").joinpath("advice.en.json").read_text("utf-8"))
BANDS = {m.name for p in (*SKIPPER.phases, SKIPPER.leaving) for m in p.measures if isinstance(m.full, tuple)}
RISING = {
    m.name
    for p in (*SKIPPER.phases, SKIPPER.leaving)
    for m in p.measures
    if not isinstance(m.full, tuple) and m.full > m.half
}


@pytest.mark.parametrize("name", MEASURES)
def test_every_measure_has_its_sentences(name):
    """One to keep, one for each side it can miss on, one where it was not done; the number in each that has one."""
    sides = {"low", "high"} if name in BANDS else {"low"} if name in RISING else {"high"}

    assert set(SENTENCES[name]) == sides | {"keep", "undone"}
    if name not in ("ph1.veer_room", "leave.decision", "leave.reason"):  # yes or no, not a figure
        assert all("{value}" in SENTENCES[name][s] or "{percent}" in SENTENCES[name][s] for s in sides)


def judged(*args, **changed):
    run = sailed.run(*args, **changed)
    return run, rubric.judge(run, SKIPPER)


def said(run, marks) -> dict[str, str]:
    return advice.feedback(marks, find_errors(run))


def test_feedback_is_one_to_keep_one_to_change_one_to_watch():
    """The bow was 69 degrees off, as grave as no transit and surer; the set supplies what to watch."""
    happened = sailed.instead(sailed.touch(heading_rad=rad(69.0)))
    told = said(*judged([e for e in happened if not isinstance(e, ev.TransitTaken)]))

    assert set(told) == {"keep", "change", "watch"}
    assert "69°" in told["change"]
    assert "No transit" in told["watch"]
    assert told["keep"]


def test_what_is_told_to_change_is_the_earliest_cause():
    """Headway is graver than the wash that was trusted, and came of it: the wash is to change."""
    let_go = sailed.between(88.0, 101.0)
    run, marks = judged(
        sailed.instead(sailed.touch(along_mps=0.45)),
        surge_mps=np.where(let_go, 0.45, -0.2),
        thrust_n_0=np.where(sailed.between(88.0, 99.0), -1500.0, sailed.fast()["thrust_n_0"]),
    )
    found = {e.code: e for e in find_errors(run)}

    assert found["B3"].gravity > found["B12"].gravity
    assert found["B3"].parents == ("B12",)
    assert said(run, marks)["change"] == found["B12"].text()


def test_one_slip_is_not_told_twice():
    """What follows from the error to change is not what to watch."""
    let_go = sailed.between(88.0, 101.0)
    run, marks = judged(
        sailed.instead(sailed.touch(along_mps=0.45)),
        surge_mps=np.where(let_go, 0.45, -0.2),
        thrust_n_0=np.where(sailed.between(88.0, 99.0), -1500.0, sailed.fast()["thrust_n_0"]),
    )
    headway = next(e for e in find_errors(run) if e.code == "B3")

    assert headway.text() != said(run, marks)["watch"]


def test_without_errors_what_cost_most_is_told():
    """Nothing of the catalogue happened, and a measure fell short: its own sentence stands in."""
    _, marks = judged(sailed.without(ev.AlarmSet, ev.LightsShown))

    assert advice.feedback(marks)["change"] in [advice.sentence(m) for m in marks.measures]


def test_a_trifle_is_not_worth_a_sentence():
    """A run that lost next to nothing is told what to keep and nothing else."""
    run, marks = judged(surge_mps=np.where(sailed.T_S < 95.0, 1.0, -0.22))

    assert any(0.9 < m.share < 1.0 for m in marks.measures)
    assert (said(run, marks)["change"], said(run, marks)["watch"]) == ("", "")


def test_too_fast_and_too_slow_are_told_apart():
    """A band has two ways to miss it."""
    _, ahead = judged(surge_mps=0.4)
    _, astern = judged(surge_mps=-0.7)
    texts = [{m.name: advice.sentence(m) for m in marks.measures}["ph3.sog_at_touch_kn"] for marks in (ahead, astern)]

    assert "0.78 kn ahead" in texts[0]
    assert "−1.36 kn" in texts[1]


def test_errors_carry_code_weight_certainty_and_place():
    """A heap of seven metres is B5."""
    run, _ = judged(heap_m=np.where(sailed.between(110.0, 120.0), 7.0, 0.0))
    (told,) = advice.errors(find_errors(run))

    assert (told["code"], told["weight"], told["certainty"]) == ("B5", 4, 1.0)
    assert told["t_s"] == pytest.approx(110.0)
    assert told["at"] == (0.0, 0.0)
    assert told["parents"] == []
    assert "7 m of chain" in told["text"]


def test_errors_come_by_weight_times_certainty():
    """The heaviest and surest first."""
    run, _ = judged(sailed.without(ev.PlanMade, ev.AnchorMarked, ev.TransitTaken, ev.CrewAsked), heap_m=9.0)
    rank = [e["weight"] * e["certainty"] for e in advice.errors(find_errors(run))]

    assert len(rank) >= 3
    assert rank == sorted(rank, reverse=True)


def test_a_good_run_has_no_errors():
    """Nothing is made up."""
    run, _ = judged()

    assert find_errors(run) == ()
