"""What a person types and gets: bad input is one line and exit 2, a failed purpose exit 1, never a traceback."""

import json
import re
import subprocess
import sys

import pytest

from sim import __version__
from sim.helm.exercise import Exercise
from sim.model import layout as lay
from sim.record import recording
from sim.scenario import library


def one_line(err: str) -> str:
    """Return the only line of what was said on the error stream."""
    lines = err.splitlines()
    assert len(lines) == 1, err
    return lines[0]


BOMB = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n" + "\n".join(
    f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 12)
)


@pytest.mark.parametrize(
    ("old", "new", "key", "says"),
    [
        pytest.param("limit_min: 25", "limit_min: 25\ncolour: red", "colour", "an unknown key", id="unknown-key"),
        pytest.param("limit_min: 25", "limit_s: 1500", "limit_s", "did you mean limit_min?", id="wrong-unit"),
        pytest.param("boat: sloop-12", "boat: sloop-21", "boat", "did you mean sloop-12?", id="no-such-boat"),
        pytest.param("bay: lantern-pool", "bay: lantern", "bay", "expected a bay", id="no-such-bay"),
        pytest.param("stay_h: 10", "stay_h: long", "stay_h", "expected a number", id="no-number"),
    ],
)
def test_a_lesson_that_does_not_fit_is_refused_with_file_line_and_key(here, lesson_file, old, new, key, says):
    path = lesson_file(old, new)
    line = next(n for n, row in enumerate(path.read_text(encoding="utf-8").splitlines(), 1) if row.startswith(key))
    for words in (["check", str(path)], ["demo", str(path), "--headless"]):
        said = here(*words)

        assert said.code == 2
        assert one_line(said.err).startswith(f"{path}:{line}: {key}: ")
        assert says in said.err


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param("", "an empty file", id="empty"),
        pytest.param("format: 1\n\ttitle: x\n", "a tab", id="tab"),
        pytest.param(BOMB, "an alias or anchor", id="alias-bomb"),
        pytest.param("format: 1\nformat: 1\n", "it again", id="key-twice"),
        pytest.param("format: [1\n", "", id="no-yaml"),
        pytest.param("\x00\x01", "", id="no-text"),
    ],
)
def test_a_file_that_is_no_lesson_is_refused_with_its_line(here, tmp_path, text, says):
    path = tmp_path / "mine.yaml"
    path.write_text(text, encoding="utf-8")
    said = here("check", str(path))

    assert said.code == 2
    assert re.match(rf"{re.escape(str(path))}:\d+: ", one_line(said.err))
    assert says in said.err


@pytest.mark.parametrize(
    "words",
    [
        pytest.param(["demo", "lantern-pol", "--headless"], id="demo"),
        pytest.param(["check", "lantern-pol"], id="check"),
        pytest.param(["trials", "lantern-pol"], id="trials"),
    ],
)
def test_a_lesson_that_is_not_there_is_refused_with_those_that_are(here, words):
    said = here(*words)

    assert said.code == 2
    for name in ("lantern-pol:", *library.lesson_names()):
        assert name in one_line(said.err)


def test_a_boat_that_is_not_there_is_refused_with_those_that_are(here, tmp_path):
    said = here("demo", "lantern-pool", "--headless", "--boat", "sloop-21", "--out", str(tmp_path / "run"))

    assert said.code == 2
    assert "sloop-12" in one_line(said.err)
    assert not (tmp_path / "run").exists()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param(None, "no recording here", id="missing"),
        pytest.param("", "format", id="empty"),
        pytest.param("hello\n", "line 1", id="words"),
        pytest.param('{"format":99}\n', "format 1", id="newer"),
        pytest.param('{"format":1}\n', "", id="half-a-header"),
    ],
)
def test_what_is_no_recording_is_refused(here, tmp_path, text, says):
    path = tmp_path / "recording.jsonl"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    said = here("replay", str(path), "--verify")

    assert said.code == 2
    assert str(path) in one_line(said.err)
    assert says in said.err


def test_a_folder_that_is_a_file_is_refused(here, tmp_path):
    (tmp_path / "run").touch()
    said = here("demo", "lantern-pool", "--headless", "--out", str(tmp_path / "run"))

    assert said.code == 2
    assert str(tmp_path / "run") in one_line(said.err)


@pytest.mark.parametrize("seeds", ["3", "a:b", "5:5", "-1:3", "1:2:3"])
def test_seeds_that_are_no_range_are_refused(here, seeds):
    said = here("trials", "lantern-pool", f"--seeds={seeds}")

    assert said.code == 2
    assert "first:last+1" in said.err
    assert "Traceback" not in said.err


def test_bad_input_in_a_process_of_its_own_leaves_no_traceback(windrode, lesson_file):
    path = lesson_file("limit_min: 25", "limit_s: 1500")
    said = windrode("demo", str(path), "--headless")

    assert said.code == 2
    assert one_line(said.err).startswith(f"{path}:")
    assert said.out == ""


def test_all_shipped_lessons_check(here):
    said = here("check", *library.lesson_names())

    assert said.code == 0
    assert said.out.count(": good") == len(library.lesson_names())
    assert said.err == ""


def test_check_goes_on_after_a_bad_file_and_tells_all(here, lesson_file):
    said = here("check", str(lesson_file("stay_h: 10", "stay_h: long")), "nowhere", "lantern-pool")

    assert said.code == 2
    assert len(said.err.splitlines()) == 2
    assert "lantern-pool: good" in said.out


def test_a_run_that_diverges_keeps_its_recording_and_exits_1(here, monkeypatch, tmp_path):
    """Forced: a number is spoilt in the fourth second."""
    step = Exercise.step

    def spoilt(self, commands=(), most=1):
        if self.tick == 192:
            self.world.state.boats[0, lay.B_SURGE] = float("nan")
        return step(self, commands, most)

    monkeypatch.setattr(Exercise, "step", spoilt)
    said = here("demo", "lantern-pool", "--headless", "--quiet", "--out", str(tmp_path / "run"))
    monkeypatch.undo()
    kept = recording.read(tmp_path / "run")

    assert said.code == 1
    assert "diverged at tick 192: boat 0" in one_line(said.err)
    assert kept.end is not None
    assert kept.end["why"] == "diverged"
    assert [tick for tick, _ in kept.hashes] == [60, 120, 180]
    assert "3 hashes agree" in here("replay", str(tmp_path / "run"), "--verify").out


def test_trials_of_two_seeds_give_a_table_and_rows(windrode, tmp_path):
    rows = tmp_path / "rows.csv"
    said = windrode("trials", "lantern-pool", "--seeds", "1:3", "--jobs", "2", "--csv", str(rows))
    head, *body = [line.split(",") for line in rows.read_text(encoding="utf-8").splitlines()]

    assert said.code == 0, said.err
    assert "2 of 2 passed" in said.out
    assert [(row[head.index("lesson")], row[head.index("seed")]) for row in body] == [
        ("lantern-pool", "1"),
        ("lantern-pool", "2"),
    ]
    assert {"held", "contact", "drag_m", "points", "state_hash", "ph3", "ph4", "ph5"} <= set(head)


def test_trials_come_out_the_same_with_one_process_or_two(demo, windrode, tmp_path):
    """The row of seed 1 is the run that the demonstration made."""
    rows = tmp_path / "rows.csv"
    windrode("trials", "lantern-pool", "--seeds", "1:2", "--jobs", "1", "--csv", str(rows))
    result = json.loads((demo.folder / "result.json").read_text(encoding="utf-8"))

    assert result["state_hash"] in rows.read_text(encoding="utf-8")


def test_bench_tells_its_figures_by_their_keys(windrode):
    said = windrode("bench", "--quick", "--json")
    figures = json.loads(said.out)

    assert said.code == 0
    assert set(figures) == {"kernel_mode", "core", "first_tick_ms", "chain_us", "fleet_us", "peak_mb"}
    assert set(figures["core"]["times_real_time"]) == {f"boats_{n}" for n in (0, 6, 20, 60, 200)}
    assert set(figures["chain_us"]) == {"40", "60", "100"}
    assert set(figures["fleet_us"]) == {"20", "100", "200"}
    assert all(v > 0.0 for v in (*figures["core"]["times_real_time"].values(), *figures["chain_us"].values()))


def test_all_cautions_are_printed(here):
    """From what the program certifies (nothing) to whose the data are: thirteen at least."""
    said = here("cautions")
    words = library.load_words("en")
    cautions = [words[key] for key in words if key.startswith("caution.")]
    out = " ".join(said.out.split())

    assert said.code == 0
    assert len(cautions) >= 13
    assert all(caution in out for caution in cautions)


def test_lessons_are_listed_with_their_aims(here):
    out = " ".join(here("lessons").out.split())

    for name in library.lesson_names():
        assert f"{name} " in out
        assert library.load_lesson(name).brief.aim in out


def test_the_version_is_told_before_anything_heavy_is_loaded(windrode):
    assert windrode("--version").out == f"windrode {__version__}\n"
    loaded = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "sim", "--version"], capture_output=True, text=True, check=True
    )
    assert not {"numpy", "numba", "typer", "pydantic"} & set(re.findall(r"\| +([\w.]+)$", loaded.stderr, re.M))


def test_an_unknown_command_is_refused(here):
    said = here("anchor")

    assert said.code == 2
    assert "anchor" in said.err


@pytest.mark.parametrize("command", ["demo", "replay", "check", "trials", "bench", "lessons", "cautions"])
def test_every_command_explains_itself(here, command):
    said = here(command, "--help")

    assert said.code == 0
    assert f"windrode {command}" in said.out


def test_what_a_language_lacks_is_told(here):
    said = here("check", "--language", "de")

    assert (said.code, said.out) == (0, "de: complete\n")


def test_a_language_that_is_not_there_is_refused_with_those_that_are(here):
    said = here("lessons", "--language", "dd")

    assert said.code == 2
    assert "dd: expected a language of the library (de, en), found no such name" in said.err


def test_a_language_may_be_named_once_for_all_commands(here, monkeypatch):
    monkeypatch.setenv("WINDRODE_LANGUAGE", "de")

    assert library.load_words("de")["caution.holding"] in " ".join(here("cautions").out.split())


def test_check_wants_something_to_check(here):
    assert here("check").code == 2
