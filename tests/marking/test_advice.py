"""What is said about a measure: a sentence with its number, and never more than three of them."""

import json
from importlib import resources

import numpy as np
import pytest
from marking import sailed

from sim.base.units import rad
from sim.core import events as ev
from sim.marking import advice, rubric
from sim.marking.measures import MEASURES
from sim.scenario import library

SKIPPER = library.load_profile("skipper")
SENTENCES = json.loads(resources.files("sim.marking").joinpath("pages").joinpath("advice.en.json").read_text("utf-8"))
BANDS = {m.name for p in SKIPPER.phases for m in p.measures if isinstance(m.full, tuple)}
RISING = {m.name for p in SKIPPER.phases for m in p.measures if not isinstance(m.full, tuple) and m.full > m.half}


@pytest.mark.parametrize("name", MEASURES)
def test_every_measure_has_its_sentences(name):
    """One to keep, one for each side it can miss on, one where it was not done; the number in each that has one."""
    sides = {"low", "high"} if name in BANDS else {"low"} if name in RISING else {"high"}

    assert set(SENTENCES[name]) == sides | {"keep", "undone"}
    if name != "ph1.veer_room":  # yes or no, not a figure
        assert all("{value}" in SENTENCES[name][s] or "{percent}" in SENTENCES[name][s] for s in sides)


def judged(*args, **changed):
    run = sailed.run(*args, **changed)
    return run, rubric.judge(run, SKIPPER)


def test_feedback_is_one_to_keep_one_to_change_one_to_watch():
    """The bow was 69 degrees off, the gravest; the set, another phase, supplies what to watch."""
    happened = sailed.instead(sailed.touch(heading_rad=rad(69.0)))
    _, marks = judged([e for e in happened if not isinstance(e, ev.TransitTaken)])
    said = advice.feedback(marks)

    assert set(said) == {"keep", "change", "watch"}
    assert "69 degrees" in said["change"]
    assert "2 of three proofs" in said["watch"]
    assert said["keep"]


def test_among_equals_the_earlier_in_the_job_is_to_change():
    """Headway at the touch and no proof weigh the same and both lost everything: the touch came first."""
    _, marks = judged(surge_mps=1.0, thrust_n_0=0.0, rode_pull_n=0.0)

    assert "1.94 kn ahead" in advice.feedback(marks)["change"]


def test_a_trifle_is_not_worth_a_sentence():
    """A run that lost next to nothing is told what to keep and nothing else."""
    _, marks = judged(surge_mps=np.where(sailed.T_S < 95.0, 1.0, -0.22))
    said = advice.feedback(marks)

    assert any(0.9 < m.share < 1.0 for m in marks.measures)
    assert (said["change"], said["watch"]) == ("", "")


def test_too_fast_and_too_slow_are_told_apart():
    """A band has two ways to miss it."""
    _, ahead = judged(surge_mps=0.4)
    _, astern = judged(surge_mps=-0.7)
    texts = [{m.name: advice.sentence(m) for m in marks.measures}["ph3.sog_at_touch_kn"] for marks in (ahead, astern)]

    assert "0.78 kn ahead" in texts[0]
    assert "−1.36 kn" in texts[1]


def test_errors_carry_code_weight_certainty_and_place():
    """A heap of seven metres is B5; what makes it likely is named only where it was found too."""
    heap = np.where(sailed.between(110.0, 120.0), 7.0, 0.0)
    run, marks = judged(heap_m=heap)
    found = advice.errors(run, marks)

    assert [e["code"] for e in found] == ["B5"]
    assert found[0]["weight"] == 4
    assert found[0]["certainty"] == pytest.approx(0.875)
    assert found[0]["at"] == (0.0, 0.0)
    assert found[0]["parents"] == []
    assert "7 m of chain" in found[0]["text"]


def test_errors_come_by_weight_times_certainty():
    """The heaviest and surest first."""
    run, marks = judged(sailed.without(ev.PlanMade, ev.AnchorMarked, ev.TransitTaken, ev.CrewAsked), heap_m=9.0)
    rank = [e["weight"] * e["certainty"] for e in advice.errors(run, marks)]

    assert len(rank) >= 3
    assert rank == sorted(rank, reverse=True)


def test_a_good_run_has_no_errors():
    """Nothing is made up."""
    run, marks = judged()

    assert advice.errors(run, marks) == []
