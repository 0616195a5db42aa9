"""Earlier attempts are told from their results; what cannot be read is passed over, never fatal."""

import json

from sim.play import history, places


def put(root, name, **changes):
    """Write a result as an attempt leaves it."""
    result = {
        "scenario": {"id": "lantern-pool"},
        "seed": 3,
        "started_s": 100.0,
        "points": 81.0,
        "passed": True,
        "assisted": False,
        "phases": [{"code": "ph3", "points": 9.0, "of": 18.0}, {"code": "ph6", "points": 0.0, "of": 0.0}],
    } | changes
    folder = root / name
    folder.mkdir()
    (folder / "result.json").write_text(json.dumps(result), encoding="utf-8")


def test_the_last_five_attempts_at_a_lesson_the_oldest_first(tmp_path):
    """By the clock, not by the folder's name; half the marks of a phase is a share of one half."""
    for k in range(7):
        put(tmp_path, f"run-{k}", started_s=100.0 * ((k * 3) % 7), points=float(k))

    tried = history.attempts(tmp_path)["lantern-pool"]

    assert [t.started_s for t in tried] == [200.0, 300.0, 400.0, 500.0, 600.0]
    assert tried[0].shares == {"ph3": 0.5}


def test_torn_and_foreign_files_are_passed_over(tmp_path):
    """Half a file, a list, and a result without its seed."""
    put(tmp_path, "good")
    for name, text in (("half", '{"seed": 3,'), ("list", "[1]"), ("poor", '{"scenario": {"id": "x"}}')):
        (tmp_path / name).mkdir()
        (tmp_path / name / "result.json").write_text(text, encoding="utf-8")

    assert list(history.attempts(tmp_path)) == ["lantern-pool"]
    assert history.attempts(tmp_path / "nowhere") == {}


def test_every_attempt_gets_a_folder_of_its_own(tmp_path):
    """The next free number, gaps used again."""
    first = history.fresh_folder(tmp_path, "hazel-cove")
    first.mkdir()

    assert first.name == "hazel-cove-001"
    assert history.fresh_folder(tmp_path, "hazel-cove").name == "hazel-cove-002"


def test_a_school_can_move_where_runs_are_kept(tmp_path, monkeypatch):
    """By one variable of the environment."""
    monkeypatch.setenv("WINDRODE_HOME", str(tmp_path))

    assert places.runs() == tmp_path / "runs"
