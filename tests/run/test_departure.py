"""When the stay is over: weigh with another's chain across, clear it, and go."""

import json
from dataclasses import replace

import numpy as np
import pytest

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.helm.exercise import Exercise
from sim.marking import measures
from sim.marking.phases import approach
from sim.marking.result_schema import Result
from sim.pages import departure_picture, plan_picture
from sim.pages.debrief import speaker
from sim.play import demo, night_run, past
from sim.play.attempt import Attempt
from sim.record import recording, replay
from sim.scenario import library
from sim.scenario.schema.lesson import LessonFile

STAY_S = 4500.0


@pytest.fixture(scope="module")
def exam() -> library.Lesson:
    """Return the examination with a stay of an hour and a quarter, the stranger coming in the middle of it."""
    lesson = library.load_lesson("examiners-bay")
    late = {"at_s": 2700.0, "do": {"neighbour": {"name": "Caveat", "what": "lay_over"}}}
    data = lesson.sources.data | {"stay_h": STAY_S / 3600.0, "timeline": [late], "drawn": []}
    file = LessonFile.model_validate(data)
    return library.make(lesson.path, lesson.sha256, replace(lesson.sources, lesson=file, data=data), lesson.profile)


@pytest.fixture(scope="module")
def sailed(exam, tmp_path_factory):
    """Return the demonstrator's run of it, with its night and departure."""
    return demo.sail(exam, 5, tmp_path_factory.mktemp("exam"), sleep=True)


def happened(run, kind):
    """Return when events of a kind happened on the way out, in seconds of the departure."""
    track = run.leaving.track
    return [e.tick / TICK_HZ - STAY_S for e in track.events if isinstance(e, kind)]


def test_she_weighs_when_the_stay_is_over_and_is_gone(sailed):
    run = sailed.run
    assert run.night.whole
    assert run.leaving.track["t_s"][0] == pytest.approx(STAY_S, abs=0.3)
    assert len(happened(run, ev.AnchorHome)) == 1
    assert happened(run, ev.AnchorHome) < happened(run, ev.Departed)
    assert not happened(run, ev.Touched)


def test_the_strangers_chain_comes_up_is_slipped_and_only_then_hove_on(sailed):
    run = sailed.run
    assert [e.target for e in run.night.events if isinstance(e, ev.RodeLaidOver)] == [8]
    (across,), (slipped,), (home,) = (happened(run, k) for k in (ev.RodeSeenAcross, ev.RodeSlipped, ev.AnchorHome))
    assert across < slipped < home
    track = run.leaving.track
    span = slice(track.index(STAY_S + across + 3.0), track.index(STAY_S + slipped - 1.0))
    assert abs(track["rate_mps"][span]).max() < 0.02, "nothing is hove while hands are at the bow"
    said = [c.key for c in track.calls if c.who == "demonstrator"]
    wanted = ["helm.stay_over", "helm.hold_off", "helm.off_the_nylon", "helm.across", "helm.slipped", "helm.gone"]
    assert [key for key in said if key in wanted] == wanted


def test_it_is_marked_as_recovery_and_the_lesson_asks_for_it(sailed):
    data = sailed.result
    Result.model_validate_json(json.dumps(data))
    rec = next(p for p in data["phases"] if p["code"] == "rec")
    assert {m["name"]: m["value"] for m in rec["measures"]}["rec.gone"] == 1.0
    assert [goal["measure"] for goal in data["goals"] if goal["met"]] == ["rec.gone"]
    assert data["ended"]["why"] == "secured"
    assert data["departure"]["across_s"] < data["departure"]["slipped_s"] < data["departure"]["gone_s"]
    assert data["passed"]


def test_a_boat_that_is_not_there_is_nobody_to_keep_clear_of(sailed):
    """The stranger waits outside, her berth across the way in: before she comes she is in no gap, mark or picture."""
    run = sailed.run
    stranger = next(k for k, n in enumerate(run.params.neighbours) if n.name == "Caveat")
    assert not approach.here(run, run.track["t_s"])[:, stranger].any()
    assert approach.here(run.leaving, run.leaving.track["t_s"])[:, stranger].all()
    span = run.span(0.0, run.moments.touch_s)
    for gaps in (approach.gaps_m(run, span), approach.rode_gaps_m(run, span)):
        assert np.isinf(gaps[:, stranger]).all()
        assert np.isfinite(np.delete(gaps, stranger, axis=1)).all()
    assert "B2" not in {e["code"] for e in sailed.result["errors"]}
    assert "Caveat" not in plan_picture.draw(run, [], "plan", "wind")


def test_it_lies_beside_the_run_marks_the_same_again_and_verifies(sailed, exam):
    again = past.load_past(sailed.folder, str(exam.path)).marked
    assert again.run.departure is not None
    out = (again.run.leaving.track, sailed.run.leaving.track)
    assert out[0].events == out[1].events
    assert measures.MEASURES["rec.gone"](again.run) == measures.MEASURES["rec.gone"](sailed.run)
    kept = recording.read(sailed.folder)
    assert replay.verify(kept, Exercise(exam, 5, timeline=False)).agrees
    made = night_run.remake(kept, Exercise(exam, 5, timeline=False))
    assert made.end_s == sailed.run.night.end_s
    assert made.events == sailed.run.night.events


def test_the_page_shows_it(sailed):
    page = (sailed.folder / "debrief.html").read_text(encoding="utf-8")
    assert "another boat&#39;s chain came up across hers" in page
    assert 'id="clip-departure-plan"' in page
    shown = departure_picture.moments(sailed.run.leaving, speaker(library.load_words("en")))
    assert [q.number for q in shown] == [str(k) for k in range(1, len(shown) + 1)]
    assert len(shown) == 6


def test_without_the_night_there_is_none_and_the_goal_is_not_reached(exam, tmp_path):
    marked = demo.sail(exam, 5, tmp_path, sleep=False)
    assert marked.run.leaving is None
    assert not (tmp_path / "departure.npz").exists()
    assert marked.result["departure"] is None
    assert not marked.marks.passed


def test_who_does_nothing_is_not_gone_when_the_time_is_up(exam, tmp_path):
    """The helm is taken and nothing done: the time runs out, and the anchor is still down."""
    exercise = Exercise(exam, 5)
    attempt = Attempt(exercise, tmp_path)
    for order in (cmd.Brake(grip=0.0), cmd.Engine(lever=-0.2)):
        attempt.step([order])
    while exercise.t_s < 60.0:
        attempt.step()
    attempt.step([cmd.Brake(grip=1.0), cmd.Engine(lever=0.0), cmd.Secure()])
    attempt.sleep(exercise.why)
    assert exercise.departing
    attempt.step([cmd.EndWatch()])
    while not exercise.departed:
        attempt.step()
    marked = attempt.finish("secured")

    assert exercise.t_s == pytest.approx(STAY_S + exam.brief.departure_s, abs=0.1)
    assert measures.MEASURES["rec.gone"](marked.run).value == 0.0
    assert json.loads((tmp_path / "result.json").read_text(encoding="utf-8"))["departure"]["gone_s"] is None
