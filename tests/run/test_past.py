"""A run kept in a folder is marked again from what was kept, and its page drawn again."""

import json
import shutil

import pytest

from sim.base.errors import RecordingError
from sim.play import past
from sim.record import remarks
from sim.record.remarks import Remark


def test_marks_are_the_same_when_worked_out_again(demo):
    """Points, outcome and critical fails depend on track and orders alone."""
    kept = json.loads((demo.folder / "result.json").read_text(encoding="utf-8"))
    again = past.load_past(demo.folder).marked.result

    assert again["points"] == pytest.approx(kept["points"], abs=0.2)  # the kept track is in single precision
    assert again["outcome"]["held"] == kept["outcome"]["held"]
    assert again["critical"] == kept["critical"]
    assert again["state_hash"] == kept["state_hash"]


def test_the_page_is_drawn_again_beside_another_attempt(demo, here, tmp_path):
    """The run beside itself: the other's line lies under its own."""
    said = here("debrief", str(demo.folder), "--against", str(demo.folder), "--out", str(tmp_path))
    text = (tmp_path / "debrief.html").read_text(encoding="utf-8")

    assert said.code == 0
    assert "another attempt at this lesson, day 1" in text
    assert text.count('stroke-dasharray="1.5 2.5"') == 5


def test_a_folder_without_a_run_is_refused_in_one_line(here, tmp_path):
    """Nothing there, or only half of it."""
    said = here("debrief", str(tmp_path))

    assert said.code == 2
    assert "no recording here" in said.err


def test_a_run_that_was_cut_off_says_what_is_missing(demo, tmp_path):
    """A recording without its track cannot be drawn."""
    (tmp_path / "recording.jsonl.gz").write_bytes((demo.folder / "recording.jsonl.gz").read_bytes())

    with pytest.raises(RecordingError, match=r"track\.npz"):
        past.load_past(tmp_path)


def test_the_page_drawn_again_has_the_remarks_and_the_trainees_own_view(demo, tmp_path):
    """The remark beside the run and the self-rating of its result stand there; the recording is as it was."""
    folder = tmp_path / "run"
    shutil.copytree(demo.folder, folder)
    kept = json.loads((folder / "result.json").read_text(encoding="utf-8"))
    (folder / "result.json").write_text(json.dumps(kept | {"self_rating": {"ph1": 3}}), encoding="utf-8")
    before = (folder / "recording.jsonl.gz").read_bytes()
    remarks.write(folder, [Remark(61.0, "Too fast here")])
    found = past.load_past(folder)
    text = past.draw_with_remarks(folder, found.lesson).read_text(encoding="utf-8")

    assert 'data-remark="61">Too fast here</td>' in text
    assert "you said 3/5" in text.lower()
    assert (folder / "recording.jsonl.gz").read_bytes() == before
