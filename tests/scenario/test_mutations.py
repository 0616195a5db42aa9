"""A scenario file however spoiled: never a traceback, never long, always file, line and, where there is one, key."""

import random
import re
import shutil
import time
import tracemalloc
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.base.errors import ScenarioError
from sim.scenario import library

MOST_S, MOST_MB = 2.0, 300.0
FILES = (
    "lessons/dark-fell-haven.yaml", "lessons/examiners-bay.yaml", "lessons/sallowmarket-quay.yaml",
    "bays/dark-fell-haven.yaml", "boats/sloop-12.yaml", "marking/skipper.yaml", "tackle/anchors.yaml",
)  # fmt: skip
ODD = (
    "", "~", "true", "-1", "1e308", "-.5", ".nan", ".inf", "9" * 30, "0x10", "1_000", "on", "[]", "{}", "[1, 2]",
    "{ a: 1 }", "'", '"', "&a 1", "*a", "!!python/object:os.system x", "%", "@", "`", "\t", "- -", "?", ": :", "|", ">",
    "é", "\u202e", "\x00", "\ufeff", "\u2028", "<<", "2026-01-01", "12:30:00", "a" * 5000,
)  # fmt: skip


def spoil(text: str, chance: random.Random, kind: int) -> bytes:
    """Return a file's text spoiled in one of a dozen ways."""
    rows = text.split("\n")
    keyed = [i for i, row in enumerate(rows) if re.match(r"\s*[a-z_]+:", row)] or [0]
    i = chance.choice(keyed)
    odd = chance.choice(ODD)
    if kind == 0:  # another value
        rows[i] = re.sub(r":.*", lambda _: ": " + odd, rows[i], count=1)
    elif kind == 1:  # a line less
        del rows[i]
    elif kind == 2:  # a line twice
        rows.insert(i, rows[i])
    elif kind == 3:  # a key misspelt
        rows[i] = re.sub(r"([a-z])([a-z_]*:)", lambda m: m[1] + chance.choice("abxyz") + m[2], rows[i], count=1)
    elif kind == 4:  # a key nobody knows
        rows.insert(i, re.match(r"\s*", rows[i])[0] + f"k{chance.randrange(99)}: {odd}")
    elif kind == 5:  # half a file
        return text.encode()[: chance.randrange(len(text))]
    elif kind == 6:  # bytes in it that are no text
        raw, at = bytearray(text.encode()), chance.randrange(len(text))
        raw[at:at] = bytes(chance.randrange(256) for _ in range(chance.randrange(1, 9)))
        return bytes(raw)
    elif kind == 7:  # deep nesting
        deep = chance.choice((5, 19, 21, 300, 20_000))
        rows[i] = re.sub(r":.*", lambda _: ": " + "[" * deep + "]" * chance.choice((deep, deep // 2)), rows[i], count=1)
    elif kind == 8:  # a huge list
        item = chance.choice(("0", "[0, 0]", "[1, 2, 3]", "x", "{ a: 1 }"))
        size = chance.choice((50, 3000, 60_000))
        rows[i] = re.sub(r":.*", lambda _: ": [" + ", ".join([item] * size) + "]", rows[i], count=1)
    elif kind == 9:  # a figure far off
        figures = list(re.finditer(r"-?\d+(\.\d+)?", text))
        m = chance.choice(figures)
        worth = str(float(m[0]) * chance.choice((-1.0, 0.0, 10.0, 1000.0, 1e-3, 1e12)))
        return (text[: m.start()] + worth + text[m.end() :]).encode()
    elif kind == 10:  # another encoding
        return text.encode(chance.choice(("utf-16", "utf-32", "utf-8-sig")))
    else:  # many keys nobody knows
        indent = re.match(r"\s*", rows[i])[0]
        rows[i:i] = [f"{indent}k{n}: 1" for n in range(chance.choice((20, 20_000)))]
    return "\n".join(rows).encode("utf-8", "surrogatepass")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("school") / "school"
    shutil.copytree(library.data_root(), root)
    return root


def lesson_for(file: str) -> str:
    return file if file.startswith("lessons/") else "lessons/dark-fell-haven.yaml"


def prove(folder: Path, seed: int) -> None:
    """Spoil one file, load the lesson that needs it, and put the file back."""
    chance = random.Random(seed)
    file = chance.choice(FILES)
    path = folder / file
    whole = path.read_bytes()
    path.write_bytes(spoil(whole.decode(), chance, chance.randrange(12)))
    began = time.process_time()
    try:
        library.load_lesson(folder / lesson_for(file)).on(3)
    except ScenarioError as error:
        for one in error.every():
            assert one.file
            assert "\n" not in str(one)
            assert len(str(one)) < 2000
            assert one.line > 0 or not one.key, str(one)
    finally:
        took = time.process_time() - began
        path.write_bytes(whole)
    assert took < MOST_S


AS_IT_COMES = settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture], database=None)


@settings(AS_IT_COMES, max_examples=100)
@given(seed=st.integers(0, 2**32))
def test_a_spoiled_file_is_told_in_lines(folder, seed):
    prove(folder, seed)


@pytest.mark.slow
@settings(AS_IT_COMES, max_examples=2000)
@given(seed=st.integers(0, 2**32))
def test_two_thousand_spoiled_files_are_told_in_lines(folder, seed):
    prove(folder, seed)


@pytest.mark.parametrize(
    "text",
    [
        "[" * 400_000,
        "a: [" + "0, " * 300_000 + "0]",
        "format: 1\n" + "".join(f"k{n}: 1\n" for n in range(90_000)),
        "format: 1\nsoundings: [" + "[0, 0, 1], " * 80_000 + "]",
        "a: &x [*x, *x]",
        "format: 1\ntitle: '" + "x" * 900_000 + "'",
        "- " * 300_000,
        "? " * 100_000,
    ],
    ids=["deep", "long", "keys", "soundings", "alias", "words", "dashes", "questions"],
)
def test_the_worst_file_of_a_megabyte_is_refused_within_two_seconds_and_300_megabytes(tmp_path, text):
    path = tmp_path / "lessons" / "worst.yaml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    began = time.process_time()
    with pytest.raises(ScenarioError):
        library.load_lesson(path)
    took = time.process_time() - began
    tracemalloc.start()
    with pytest.raises(ScenarioError):
        library.load_lesson(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()

    assert took < MOST_S
    assert peak < MOST_MB * 1e6
