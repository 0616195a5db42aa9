"""The result holds everything a school keeps of an attempt, as plain data."""

import json
import math

import pytest
from marking import sailed

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking import critical, outcome, result, rubric
from sim.record import recording
from sim.scenario import library

SKIPPER = library.load_profile("skipper")
HEADER = recording.make_header("lantern-pool", "0" * 64, 7, "sloop-12", "skipper", 12.5)
FIELDS = {
    "format", "program", "versions", "kernel_mode", "scenario", "profile", "boat", "seed", "level", "started_s",
    "ended", "assisted", "refused", "aborted", "plan", "self_rating", "override", "outcome", "phases", "critical",
    "errors", "feedback", "rodes", "state_hash",
}  # fmt: skip


def made(*args, **changed) -> dict:
    run = sailed.run(*args, **changed)
    fails = critical.find_fails(run, SKIPPER.critical)
    marks = rubric.judge(run, SKIPPER, fails)
    ended = result.Ended("secured", 480.0)
    came = outcome.find_outcome(run)
    return result.make_result(run, HEADER, ("skipper", 1), ended, marks, fails, came, "ab" * 8, {"ph3": 4})


def test_every_field_is_there_for_a_good_run_and_for_an_empty_one():
    """Nothing is left out because nothing happened."""
    for data in (made(), made([])):
        assert set(data) >= FIELDS
        assert set(data["outcome"]) >= {"drag_m", "min_gap_m", "grounded", "contact", "held_through_night"}
        assert set(data["feedback"]) == {"keep", "change", "watch"}
        measure = data["phases"][0]["measures"][0]
        assert set(measure) >= {"name", "value", "unit", "full", "half", "zero", "points", "from_s", "to_s", "at"}
        assert set(data["rodes"][0]) == {"out_m", "scope_at_highest_water", "proved_load_n", "night_peak_load_n"}


def test_it_says_what_the_run_was():
    """Scenario, seed, profile, start and end come through."""
    data = made()

    assert data["scenario"] == {"id": "lantern-pool", "sha256": "0" * 64}
    assert (data["seed"], data["boat"], data["level"]) == (7, "sloop-12", "skipper")
    assert data["profile"] == {"id": "skipper", "version": 1}
    assert data["ended"] == {"why": "secured", "t_s": 480.0}
    assert data["self_rating"] == {"ph3": 4}
    assert (data["started_s"], data["state_hash"]) == (12.5, "ab" * 8)
    assert data["plan"]["rode_m"] == 33.0
    assert data["rodes"][0]["proved_load_n"] == pytest.approx(1900.0)
    assert data["points"] == pytest.approx(sum(p["points"] for p in data["phases"]))


def test_fails_aborts_and_overrides_are_printed():
    """A contact, an abort and what the instructor changed stand in it with their times."""
    happened = [
        *sailed.events(),
        ev.Grounded(tick=29000, boat=0, speed_mps=0.2),
        ev.Aborted(tick=29100, reason="aground"),
    ]
    changed = ((29400, cmd.Override(actor="desk", measure="ph2.min_cpa_loa", points=3.0, reason="a gust")),)
    data = made(happened, orders=changed)

    assert data["critical"] == [{"code": "cf1", "t_s": pytest.approx(29000 / 60), "text": SKIPPER.critical[0].title}]
    assert data["aborted"] == [{"t_s": 485.0, "reason": "aground"}]
    assert data["override"] == [{"measure": "ph2.min_cpa_loa", "points": 3.0, "reason": "a gust", "t_s": 490.0}]
    assert data["points"] == 40.0 < data["earned"]


def test_it_is_strict_json(tmp_path):
    """No NaN or infinity gets into the file, and it reads back as it was."""
    data = made([], anchor_n_m=math.nan)
    path = result.write(tmp_path, data)

    def refuse(name: str) -> float:
        raise AssertionError(name)

    assert json.loads(path.read_text("utf-8"), parse_constant=refuse) == data
