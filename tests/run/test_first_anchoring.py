"""The whole job by the command line: sail, leave the files, prove the recording."""

import gzip
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from sim.batch import trials
from sim.record import recording, track
from sim.scenario import library

FILES = {"recording.jsonl.gz", "track.npz", "result.json", "debrief.html"}
NIGHT_FILES = FILES | {"night.npz"}
PHASES = ("ph3", "ph4", "ph5")  # way off and drop, lay, set


def lines_of(folder: Path) -> list[dict[str, Any]]:
    with gzip.open(folder / "recording.jsonl.gz", "rt", encoding="utf-8") as file:
        return [json.loads(line) for line in file]


def write_lines(folder: Path, lines: list[dict[str, Any]]) -> Path:
    folder.mkdir()
    with gzip.open(folder / "recording.jsonl.gz", "wt", encoding="utf-8") as file:
        file.writelines(json.dumps(line) + "\n" for line in lines)
    return folder


def seconds_agreed(said: str) -> float:
    found = re.search(r"hashes agree, up to ([\d.]+) s", said)
    assert found, said
    return float(found[1])


def test_the_first_lesson_is_sailed_and_leaves_four_files(demo):
    assert demo.said.code == 0, demo.said.err
    assert {path.name for path in demo.folder.iterdir()} == FILES


def test_she_is_brought_up_and_holds_with_the_chain_laid(demo):
    """Drag after the set under three metres, no contact, the chain neither heaped nor under her."""
    result = json.loads((demo.folder / "result.json").read_text(encoding="utf-8"))
    phases = {p["code"]: p for p in result["phases"]}

    assert result["ended"]["why"] == "secured"
    assert result["outcome"]["held"]
    assert not result["outcome"]["contact"]
    assert result["outcome"]["drag_m"] < 3.0
    assert all(phases[code]["points"] >= 0.5 * phases[code]["of"] for code in PHASES)
    heard = {call.key for call in track.load(demo.folder / "track.npz").calls if call.who == "foredeck"}
    assert {"on_the_bottom", "brought_up"} <= heard
    assert not heard & {"under_the_boat", "surging"}


def test_the_summary_tells_outcome_and_process_apart_and_names_the_debrief(demo):
    words = " ".join(demo.said.out.split())

    assert "Outcome held;" in words
    assert re.search(r"Process Plan and spot \d+/\d+; Approach", words)
    assert str(demo.folder / "debrief.html") in demo.said.out.replace("\n", "")


@pytest.mark.skipif(sys.platform in ("win32", "darwin", "cygwin"), reason="there is always a display")
def test_without_a_display_the_bare_command_sails_the_first_lesson_and_names_the_debrief(windrode, tmp_path):
    said = windrode(cwd=tmp_path)

    assert said.code == 0, said.err
    assert "the demonstrator sails the lesson instead" in said.out
    assert str(Path("run") / "debrief.html") in said.out
    assert {path.name for path in (tmp_path / "run").iterdir()} == NIGHT_FILES


def test_the_caution_comes_first_and_every_decision_with_its_reason(demo):
    out = " ".join(demo.said.out.split())

    assert out.startswith("A practice aid, not a certificate. Not for navigation.")
    words = library.load_words("en")
    for key in ("helm.slow_ahead", "helm.touch_astern", "helm.transit", "helm.riding"):
        assert words[key] in out, key


def test_the_debrief_needs_nothing_from_anywhere(demo):
    page = (demo.folder / "debrief.html").read_text(encoding="utf-8")

    assert "<svg" in page
    assert not re.search(r"""(?:src|href)=["']?(?:https?:|//|[\w./-]+\.(?:css|js|png|svg))""", page)


def test_it_verifies_in_another_process_under_another_hash_seed(demo, windrode):
    said = windrode("replay", str(demo.folder), "--verify", hash_seed="4711")

    assert said.code == 0, said.err
    ended = json.loads((demo.folder / "result.json").read_text(encoding="utf-8"))["ended"]
    assert seconds_agreed(said.out) == pytest.approx(ended["t_s"], abs=0.001)
    assert "not guaranteed" not in said.out


def test_the_same_seed_sails_the_same_run_again(demo):
    """In this process, without a window or a terminal: the same hash at the end."""
    row = trials.one("lantern-pool", 1)

    assert row.state_hash == json.loads((demo.folder / "result.json").read_text(encoding="utf-8"))["state_hash"]


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_one_altered_command_is_reported_at_the_first_second_that_differs(demo, here, tmp_path, share):
    lines = lines_of(demo.folder)
    helms = [i for i, line in enumerate(lines) if line.get("do") == "helm"]
    altered = helms[int(share * (len(helms) - 1))]
    lines[altered]["angle_rad"] += 1e-6
    said = here("replay", str(write_lines(tmp_path / "run", lines)), "--verify")

    assert said.code == 1
    assert f"differs from {lines[altered]['t'] // 60 + 1} s on" in said.out


def test_one_dropped_command_is_reported(demo, here, tmp_path):
    lines = lines_of(demo.folder)
    dropped = next(i for i, line in enumerate(lines) if line.get("do") == "brake")
    tick = lines.pop(dropped)["t"]
    said = here("replay", str(write_lines(tmp_path / "run", lines)), "--verify")

    assert said.code == 1
    assert f"differs from {tick // 60 + 1} s on" in said.out


def test_a_recording_of_a_lesson_outside_the_library_is_proved_with_its_file(here, lesson_file, tmp_path):
    path = lesson_file("limit_min: 25", "limit_min: 5")
    run = tmp_path / "run"
    assert here("demo", str(path), "--headless", "--quiet", "--out", str(run)).code == 0

    assert here("replay", str(run), "--verify").code == 2, "there is no such name in the library"
    assert here("replay", str(run), "--verify", "--lesson", str(path)).code == 0


def test_a_lesson_that_has_changed_since_is_said_to_have(here, lesson_file, tmp_path):
    path = lesson_file("limit_min: 25", "limit_min: 5")
    run = tmp_path / "run"
    here("demo", str(path), "--headless", "--quiet", "--out", str(run))
    path.write_text(path.read_text(encoding="utf-8").replace("mean_kn: 8", "mean_kn: 9"), encoding="utf-8")
    said = here("replay", str(run), "--verify", "--lesson", str(path))

    assert said.code == 1
    assert "the scenario's file has changed" in " ".join(said.out.split())


@pytest.fixture
def under_way(tmp_path):
    """Return what starts a demonstration in a process of its own and waits until so many seconds are recorded."""
    running: list[subprocess.Popen[str]] = []

    def start(seconds: int) -> tuple[subprocess.Popen[str], Path]:
        folder = tmp_path / "run"
        process = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "sim",
                "demo",
                "hazel-cove",
                "--headless",
                "--quiet",
                "--no-night",
                "--out",
                str(folder),
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            cwd=tmp_path,
            # A suite started in the background ignores Ctrl-C, and its children would inherit that.
            preexec_fn=None if os.name == "nt" else lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # noqa: PLW1509
        )
        running.append(process)
        plain = folder / "recording.jsonl"
        patience = time.monotonic() + 120.0
        while not plain.exists() or plain.read_bytes().count(b'"hash"') < seconds:
            assert process.poll() is None, process.communicate()[1]
            assert time.monotonic() < patience
            time.sleep(0.005)
        return process, folder

    yield start
    for process in running:
        process.kill()
        process.wait()


def test_a_killed_run_leaves_a_recording_that_verifies_up_to_its_last_second(under_way, here):
    process, folder = under_way(seconds=40)
    process.kill()
    process.communicate()
    kept = recording.read(folder)
    said = here("replay", str(folder), "--verify")

    assert {path.name for path in folder.iterdir()} == {"recording.jsonl"}
    assert kept.end is None
    assert said.code == 0
    assert seconds_agreed(said.out) == kept.hashes[-1][0] / 60 >= 40
    assert "cut off" in said.out


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C cannot be sent to one process here")
def test_ctrl_c_says_one_line_and_leaves_a_readable_recording(under_way, here):
    process, folder = under_way(seconds=40)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=30)

    assert process.returncode == 130
    assert "Traceback" not in err
    assert err.strip().count("\n") == 0
    assert here("replay", str(folder), "--verify").code == 0


def test_a_recording_torn_in_the_middle_of_a_line_verifies_up_to_there(demo, here, tmp_path):
    text = gzip.decompress((demo.folder / "recording.jsonl.gz").read_bytes())
    (tmp_path / "run").mkdir()
    (tmp_path / "run" / "recording.jsonl").write_bytes(text[: len(text) // 2 + 7])
    said = here("replay", str(tmp_path / "run"), "--verify")

    assert said.code == 0
    assert "cut off" in said.out


def test_a_new_run_in_an_old_folder_replaces_it(demo, here, tmp_path):
    run = tmp_path / "run"
    shutil.copytree(demo.folder, run)
    here("demo", "hazel-cove", "--headless", "--quiet", "--out", str(run))

    assert recording.read(run).header["scenario"]["id"] == "hazel-cove"
    assert {path.name for path in run.iterdir()} == NIGHT_FILES
