"""Stepping back: what is sailed after it is as if what was forgotten had never been."""

import json

import pytest

from sim.core import state as st
from sim.core.orders import commands as cmd
from sim.helm.exercise import Exercise
from sim.play.attempt import Attempt
from sim.record import recording, replay
from sim.scenario.library import load_lesson


def sail(attempt, until, orders=None):
    """Sail to a tick with orders by tick."""
    while attempt.exercise.tick < until:
        attempt.step((orders or {}).get(attempt.exercise.tick, ()))


@pytest.fixture
def attempt(tmp_path):
    """Return an attempt that has gone 20 s, 10 s of them to be forgotten, and a snapshot of the tenth second."""
    lesson = load_lesson("lantern-pool")
    run = Attempt(Exercise(lesson, 1), tmp_path / "run")
    sail(run, 600, {5: [cmd.Engine(lever=0.3)]})
    saved = st.snapshot(run.exercise.world.state)
    sail(run, 1200, {700: [cmd.Brake(grip=0.0)], 800: [cmd.Helm(angle_rad=0.3)]})
    run.rewind(saved)
    return run


def test_a_run_taken_up_again_is_the_run_that_never_strayed(attempt, tmp_path):
    """State, calls and events come out as in a run without the part that was forgotten."""
    sail(attempt, 1500)
    plain = Attempt(Exercise(load_lesson("lantern-pool"), 1), tmp_path / "plain")
    sail(plain, 1500, {5: [cmd.Engine(lever=0.3)]})

    assert attempt.exercise.state_hash() == plain.exercise.state_hash()
    assert attempt.exercise.calls == plain.exercise.calls
    assert attempt.exercise.events == plain.exercise.events


def test_a_track_as_long_as_one_block_keeps_every_sample(attempt):
    """Going back to where a block of samples is just full loses none of them, nor the samples before it."""
    while attempt.exercise.tick < 12 * 1024:
        attempt.step()
    saved = st.snapshot(attempt.exercise.world.state)
    sail(attempt, 12 * 1030)
    attempt.rewind(saved)
    sail(attempt, 12 * 1026)

    t_s = attempt.finish("closed").run.track["t_s"]
    assert t_s.tolist() == pytest.approx([0.2 * k for k in range(1, 1027)])


def test_its_recording_verifies_and_its_result_says_assisted(attempt, tmp_path):
    """The file on disk holds the run as it was taken up again; the track has as many samples as it took time."""
    attempt.step([cmd.StepBack(seconds=10.0)])
    sail(attempt, 1500)
    marked = attempt.finish("closed")
    kept = recording.read(tmp_path / "run")
    lesson = attempt.exercise.lesson
    again = Exercise(lesson, 1, timeline=False)
    here = recording.make_header(lesson.name, lesson.sha256, 1, again.boat, lesson.level)

    assert replay.verify(kept, again, here).agrees
    assert not any(isinstance(c, cmd.Brake) for _, c in kept.commands)
    assert marked.run.track["t_s"].tolist() == pytest.approx([0.2 * k for k in range(1, 126)])
    assert json.loads((tmp_path / "run" / "result.json").read_text(encoding="utf-8"))["assisted"] is True
