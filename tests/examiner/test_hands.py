"""That every case of the examiner's is sailed as it is described; what a marking makes of it is no matter here."""

import inspect
from pathlib import Path

import pytest
from examiner import facts
from examiner.cases import Case, all_cases
from examiner.hands import Hands, sail
from examiner.ship import REFUSALS, load_lesson

PASS, LEAST_CASES, LEAST_PAIRS, LEAST_LESSONS, LEAST_BOATS = 70.0, 64, 15, 8, 4
GROUPS = {"single", "pair", "slow", "over-careful", "abort", "refusal", "recovery", "looker-on", "clean"}
CASES = list(all_cases().values())


def _boat(case: Case) -> str:
    return case.boat or load_lesson(case.lesson).boat


def test_there_are_enough_cases_of_every_kind() -> None:
    assert len(CASES) >= LEAST_CASES
    assert {case.group for case in CASES} == GROUPS
    assert len({case.lesson for case in CASES}) >= LEAST_LESSONS
    assert len({_boat(case) for case in CASES}) >= LEAST_BOATS
    assert sum(case.base is not None for case in CASES) >= LEAST_PAIRS


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_a_verdict_agrees_with_itself(case: Case) -> None:
    """A pass has no error of the kind that caps it under the pass mark, and its band reaches that mark."""
    verdict = case.verdict
    least, most = verdict.points

    assert 0.0 <= least < most <= 100.0
    assert (verdict.error == "none") == (verdict.cause == "none")
    assert most >= PASS or not verdict.passed
    assert verdict.error != "none" or verdict.passed
    assert verdict.why.endswith(".")
    assert case.facts, "nothing shows that it was sailed as described"
    assert set(case.facts) <= set(facts.FACTS)
    for name, given in (*case.steps, *case.night):
        allowed = inspect.signature(getattr(Hands, f"do_{name}")).parameters
        assert set(given) - {"unsaid"} <= set(allowed)
        assert name != "leave" or given["reason"] in REFUSALS


@pytest.mark.parametrize("case", [case for case in CASES if case.base], ids=lambda case: case.id)
def test_one_fault_more_is_no_better(case: Case) -> None:
    """A case made from another by a fault more has a band that reaches no higher, on the same day."""
    base = all_cases()[str(case.base)]

    assert (case.lesson, case.boat, case.seed) == (base.lesson, base.boat, base.seed)
    assert case.verdict.points[1] <= base.verdict.points[1]
    assert case.verdict.points[0] <= base.verdict.points[0]
    assert base.verdict.passed or not case.verdict.passed
    assert case.steps != base.steps


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_a_case_is_sailed_as_described(case: Case, tmp_path: Path) -> None:
    assert facts.wrong(sail(case, tmp_path / "run")) == []
