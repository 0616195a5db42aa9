"""An attempt: every command whoever gave it, a hash a second, a track and marks when it is over."""

import json
from pathlib import Path

import pytest

from sim.base.errors import NotMarked
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.demonstrator.skipper import Said
from sim.helm.exercise import Exercise
from sim.marking import rubric
from sim.play.attempt import Attempt, Marked
from sim.record import recording, track
from sim.scenario import library


def attempt(folder: Path, seconds: int = 5) -> tuple[Exercise, Marked]:
    exercise = Exercise(library.load_lesson("lantern-pool"), 1)
    running = Attempt(exercise, folder, started_s=1.5)
    running.step([cmd.Engine(lever=0.3), cmd.Inject(what="gust", ramp_s=2.0, factor=1.3, actor="desk")])
    running.narrate(Said(0.0, "helm.slow_ahead"))
    while exercise.tick < seconds * 60:
        running.step([cmd.Helm(angle_rad=0.1)] if exercise.tick == 100 else ())
    return exercise, running.finish("closed")


def test_every_command_is_recorded_at_its_tick_with_its_actor(tmp_path):
    attempt(tmp_path)
    kept = recording.read(tmp_path)

    assert [(t, c.actor, type(c)) for t, c in kept.commands] == [
        (0, "trainee", cmd.Engine), (0, "desk", cmd.Inject), (100, "trainee", cmd.Helm),
    ]  # fmt: skip


def test_a_hash_is_recorded_every_second_the_last_is_the_results(tmp_path):
    exercise, marked = attempt(tmp_path)
    kept = recording.read(tmp_path)

    assert [t for t, _ in kept.hashes] == [60, 120, 180, 240, 300]
    assert kept.hashes[-1][1] == exercise.state_hash() == marked.result["state_hash"]
    assert kept.end == {"t": 300, "why": "closed"}


def test_the_header_tells_all_that_a_replay_needs(tmp_path):
    exercise, _ = attempt(tmp_path)
    head = recording.read(tmp_path).header

    assert head["scenario"] == {"id": "lantern-pool", "sha256": exercise.lesson.sha256}
    assert (head["seed"], head["boat"], head["started_s"]) == (1, "sloop-12", 1.5)
    assert {"program", "versions", "platform", "kernel_mode", "tick_hz"} <= set(head)


def test_the_track_holds_what_was_said_and_where_she_was(tmp_path):
    attempt(tmp_path)
    kept = track.load(tmp_path / "track.npz")

    assert len(kept["t_s"]) == 5 * 5
    spoken = [(c.who, c.key) for c in kept.calls]
    assert spoken[0] == ("demonstrator", "helm.slow_ahead")
    assert ("foredeck", "ready") in spoken


def test_a_run_that_never_let_go_is_marked_all_the_same(tmp_path):
    _, marked = attempt(tmp_path)
    result = json.loads((tmp_path / "result.json").read_text(encoding="utf-8"))

    assert not marked.outcome.held
    assert result["ended"] == {"why": "closed", "t_s": 5.0}
    assert all(p["points"] == 0.0 for p in result["phases"] if p["code"] in ("ph4", "ph5"))
    assert (tmp_path / "debrief.html").stat().st_size > 1000


def test_a_run_in_which_all_the_chain_goes_out_is_written_like_any_other(tmp_path):
    """A neglected brake and sternway: the bitter end holds, the event is on the track, the page is made."""
    exercise = Exercise(library.load_lesson("lantern-pool"), 1)
    running = Attempt(exercise, tmp_path)
    running.step([cmd.Brake(grip=0.0), cmd.Engine(lever=-0.8)])
    while not any(isinstance(e, ev.ChainOut) for e in exercise.events):
        running.step()
        assert exercise.t_s < 300.0, "the chain never ran out"
    running.finish("closed")

    assert [e.lost for e in track.load(tmp_path / "track.npz").events if isinstance(e, ev.ChainOut)] == [False]
    assert (tmp_path / "debrief.html").exists()


def test_a_run_closed_before_its_first_tick_is_written_too(tmp_path):
    running = Attempt(Exercise(library.load_lesson("lantern-pool"), 1), tmp_path)
    marked = running.finish("closed")

    assert marked.result["ended"] == {"why": "closed", "t_s": 0.0}
    assert (tmp_path / "debrief.html").exists()


def test_what_cannot_be_marked_is_kept_all_the_same(tmp_path, monkeypatch):
    """Marking breaks down: track and recording are there, and a page that says why."""

    def broken(*_args: object) -> None:
        raise ZeroDivisionError("no way in a drag of 0 < 1 m")

    monkeypatch.setattr(rubric, "judge", broken)
    with pytest.raises(NotMarked, match="no way in a drag"):
        attempt(tmp_path)

    page = (tmp_path / "debrief.html").read_text(encoding="utf-8")
    assert "ZeroDivisionError: no way in a drag of 0 &lt; 1 m" in page
    assert len(track.load(tmp_path / "track.npz")["t_s"]) == 5 * 5
    assert recording.read(tmp_path).end == {"t": 300, "why": "closed"}
    assert not (tmp_path / "result.json").exists()
