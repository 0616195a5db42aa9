"""The night run on: kept beside the run, made again from its recording, stopped by a call and answered."""

import dataclasses
import json
from pathlib import Path

import numpy as np
import pytest

from sim.core import events as ev
from sim.core import state as st
from sim.core.orders import commands as cmd
from sim.helm.exercise import Exercise
from sim.lab import fidelity
from sim.model import layout as lay
from sim.play import night_run
from sim.play.attempt import Attempt
from sim.play.past import load_past
from sim.record import night as nights
from sim.record import recording, replay
from sim.scenario import library
from sim.scenario.library import Lesson


def lesson(stay_s: float = 1200.0) -> Lesson:
    """Return the first lesson with a short stay."""
    first = library.load_lesson("lantern-pool")
    return dataclasses.replace(first, brief=dataclasses.replace(first.brief, stay_s=stay_s))


def anchored(folder: Path, *last: cmd.Command) -> Attempt:
    """Return an attempt that has let go, laid 30 m, set it a little and been reported secured."""
    attempt = Attempt(Exercise(lesson(), 1), folder)
    line = attempt.exercise.world.state.lines[0]
    attempt.step([cmd.Brake(grip=0.0), cmd.Engine(lever=-0.25)])
    while line[lay.L_OUT] < 30.0:
        attempt.step()
    attempt.step([cmd.Brake(grip=1.0)])
    for _ in range(40 * 60):
        attempt.step()
    attempt.step([cmd.Engine(lever=0.0), *last, cmd.Secure()])
    return attempt


@pytest.fixture(scope="module")
def slept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a run with its night."""
    folder = tmp_path_factory.mktemp("slept")
    anchored(folder).finish("secured")
    return folder


def test_the_night_is_kept_beside_the_run_and_told_in_the_result(slept):
    kept = nights.load(slept / "night.npz")
    result = json.loads((slept / "result.json").read_text(encoding="utf-8"))

    assert kept.whole
    assert kept.t_s[-1] == 1200.0
    assert np.unique(np.diff(kept.t_s)).tolist() == [10.0]
    assert result["night"]["peak_load_n"] == pytest.approx(kept.peak_n, abs=1e-3)
    assert result["rodes"][0]["night_peak_load_n"] == pytest.approx(kept.peak_n, abs=1e-3)
    assert kept.pull_n.max() <= kept.peak_n >= kept.load_99_n > kept.pull_n.mean() > 0.0
    assert result["outcome"]["held_through_night"] is True
    assert [m["name"] for p in result["phases"] if p["code"] == "ph7" for m in p["measures"]] == [
        "ph7.drag_m", "ph7.uplift_min", "ph7.contact",
    ]  # fmt: skip
    assert result["ended"]["t_s"] < 200.0
    assert "into the stay" in (slept / "debrief.html").read_text(encoding="utf-8")


def test_a_replay_agrees_through_the_night_and_makes_it_again(slept):
    kept = recording.read(slept)
    verdict = replay.verify(kept, Exercise(lesson(), 1, timeline=False))
    again = night_run.remake(kept, Exercise(lesson(), 1, timeline=False))
    saved = nights.load(slept / "night.npz")

    assert verdict.agrees
    assert verdict.reached_s == 1200.0
    assert again is not None
    assert (again.drag_m, again.peak_n, again.peak_s, again.load_99_n) == (
        saved.drag_m, saved.peak_n, saved.peak_s, saved.load_99_n,
    )  # fmt: skip
    assert np.array_equal(again.own.astype(np.float32), saved.own.astype(np.float32))
    assert again.events == saved.events


def values(result: dict) -> list[float]:
    return [m["value"] for p in result["phases"] if p["code"] == "ph7" for m in p["measures"]]


def test_a_run_marked_again_has_its_night(slept):
    result = json.loads((slept / "result.json").read_text(encoding="utf-8"))
    again = load_past(slept).marked.result

    assert again["night"] == result["night"]
    assert values(again) == values(result)


def test_closed_or_not_asked_there_is_no_night(tmp_path):
    """Without it phase 7 drops out, and the marks are out of 100 all the same."""
    for why, sleep in (("closed", True), ("secured", False)):
        marked = anchored(tmp_path).finish(why, sleep=sleep)
        assert marked.result["night"] is None
        assert marked.result["outcome"]["held_through_night"] is None
        assert "ph7" not in [p["code"] for p in marked.result["phases"]]
        assert sum(p["of"] for p in marked.result["phases"]) == pytest.approx(100.0)
        assert not (tmp_path / "night.npz").exists()


def test_an_interrupt_leaves_what_was_done(tmp_path):
    def stop(t_s: float, _end_s: float) -> None:
        if t_s > 600.0:
            raise KeyboardInterrupt

    marked = anchored(tmp_path).finish("secured", progress=stop)

    assert marked.result["night"]["whole"] is False
    assert marked.result["outcome"]["held_through_night"] is None
    assert "ph7" not in [p["code"] for p in marked.result["phases"]]
    assert 600.0 < nights.load(tmp_path / "night.npz").end_s < 700.0
    assert recording.read(tmp_path).end == {"t": round(marked.result["ended"]["t_s"] * 60), "why": "secured"}


def test_an_alarm_stops_the_night_and_an_answer_goes_on_from_there(tmp_path):
    """The circle is too small: it rings, she is steered in the dark for a minute, and the watch is kept again."""
    attempt = anchored(tmp_path)
    x = attempt.exercise
    own = x.world.state.boats[0]
    attempt.step([cmd.SetAlarm(north_m=float(own[0]), east_m=float(own[1]), radius_m=7.0), cmd.BeginWatch()])
    stop = night_run.run_on(attempt.step, x)
    assert stop is not None
    assert isinstance(stop.cause, ev.AlarmRang)
    assert st.state_hash(stop.snapshot) == x.state_hash()

    attempt.step([cmd.EndWatch()])
    for _ in range(20 * 60):
        attempt.step()
    attempt.step([cmd.Engine(lever=0.1)])
    for _ in range(40 * 60):
        attempt.step()
    assert night_run.run_on(attempt.step, x) is None
    marked = attempt.finish("secured")
    kept = nights.load(tmp_path / "night.npz")

    assert [(a.why, a.first) for a in kept.answers] == [("alarm", "engine")]
    assert kept.answers[0].delay_s == pytest.approx(20.0, abs=1.1)
    assert marked.result["night"]["answers"][0]["first"] == "engine"
    assert kept.whole
    assert replay.verify(recording.read(tmp_path), Exercise(lesson(), 1, timeline=False)).agrees


def test_what_nobody_answers_does_not_stop_the_night(tmp_path):
    attempt = anchored(tmp_path, cmd.WatchOrders(wind_mps=0.5))
    attempt.finish("secured")
    kept = nights.load(tmp_path / "night.npz")

    assert kept.whole
    assert [(a.why, a.delay_s, a.first) for a in kept.answers] == [("wind", None, "")]


@pytest.mark.slow
def test_the_watch_is_true_to_the_live_clock():
    """Twenty seeds of half an hour in 25 kn with a shift (``windrode night-fidelity`` prints them)."""
    pairs = list(fidelity.compare_all(range(20)))

    assert np.median(np.abs([p.load_error for p in pairs])) <= 0.10
    assert max(abs(p.peak_error) for p in pairs) <= 0.25
    assert all(p.drag_agrees for p in pairs)
    assert max(abs(p.gap_error_m) for p in pairs) <= 1.0
