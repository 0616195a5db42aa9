"""Mistakes on demand: every detector has one, and it is made with the controls that a trainee has."""

import json
from pathlib import Path

import pytest

from sim.base.errors import ScenarioError
from sim.batch import confusion
from sim.batch.confusion import Case
from sim.core.orders import commands as cmd
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.mistakes.table import MISTAKES, find
from sim.demonstrator.weighing import Weighing
from sim.marking.errors.found import DETECTORS
from sim.play import demo
from sim.scenario import library

# Shown by hands that were scripted from the rubric instead, and by runs drawn by hand.
BY_HAND = {"A18", "A19", "A20", "C13", "C14", "D14", "D15", "E14"}
FEW = ("B11", "D6", "E1")
LESSON = "lantern-pool-2"


def test_every_detector_has_a_canned_mistake_and_its_words():
    words = library.load_words("en")

    assert set(MISTAKES) == set(DETECTORS) - BY_HAND
    assert all(f"mistakes.{code}" in words for code in MISTAKES)


@pytest.mark.parametrize("code", MISTAKES)
def test_a_mistake_is_made_by_the_demonstrator_in_a_lesson_that_is_there(code):
    """Same hands, same brief; the lesson reads without complaint."""
    mistake = find(code.lower())

    assert issubclass(mistake.kind, Demonstrator)
    assert mistake.kind.code == code
    assert confusion.lesson_of(mistake.lesson).brief.boat.chain_m > 0.0


def test_an_unknown_mistake_is_one_clear_line():
    with pytest.raises(ScenarioError, match=r"expected one of A1, .*found Z9"):
        find("Z9")


def test_some_mistakes_are_found_and_told_and_a_clean_run_is_not_accused():
    """The fast part of the confusion matrix, with the controls and the words of each run."""
    rows = confusion.run(confusion.cases(FEW, [LESSON], range(7, 8)), jobs=1)

    assert set(confusion.hits(rows)) == set(FEW)
    assert set(confusion.hits(rows).values()) == {1.0}
    assert confusion.false_alarms(rows) == []
    assert confusion.verdict(rows).startswith("3 of 3 mistakes found")


def test_a_mistake_is_told_and_made_by_ordinary_orders(tmp_path):
    told = []
    lesson = library.load_lesson(LESSON)
    marked = demo.sail(lesson, 7, tmp_path, say=told.append, kind=find("B3").kind)

    assert [line.key for line in told].count("mistakes.B3") == 1
    assert "B3" in {e.code for e in marked.errors}
    for _, order in marked.run.orders:
        assert order.actor == "demonstrator"
        assert not isinstance(order, cmd.Inject | cmd.Fault | cmd.Override), "a teacher's, not a skipper's"


def test_she_weighs_without_an_error(tmp_path):
    """Anchored, set and brought home: nothing on the ground, and no fault of recovery in it."""
    marked = demo.sail(library.load_lesson(LESSON), 7, tmp_path, kind=Weighing)
    result = json.loads(Path(tmp_path / "result.json").read_text("utf-8"))

    assert result["ended"]["why"] == "closed"
    assert [p["code"] for p in result["phases"]][-1] == "rec"
    assert not {e.code for e in marked.errors if e.code.startswith("F")}


@pytest.mark.slow
@pytest.mark.parametrize("code", MISTAKES)
def test_each_mistake_is_found(code):
    assert code in confusion.one(Case(code, find(code).lesson, 11)).found


@pytest.mark.slow
def test_clean_runs_are_not_accused():
    """Fewer than one false error of weight 3 and more in fifty runs."""
    rows = confusion.run(confusion.cases([], confusion.CLEAN, range(100, 117)), jobs=2)

    assert len(rows) >= confusion.EACH_RUNS
    assert len(confusion.false_alarms(rows)) < len(rows) / confusion.EACH_RUNS
