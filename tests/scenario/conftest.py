"""A school's own folder: a copy of the library in which a test may spoil a file."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from sim.base.errors import ScenarioError
from sim.scenario import library

Spoil = Callable[[str, str, str], Path]
LineOf = Callable[[Path, str], int]
Refusal = Callable[[Path], ScenarioError]


@pytest.fixture
def school(tmp_path: Path) -> Path:
    """Return a folder with a copy of the library."""
    shutil.copytree(library.data_root(), tmp_path / "school")
    return tmp_path / "school"


@pytest.fixture
def spoil(school: Path) -> Spoil:
    """Return what replaces one text in one file of the school and gives that file."""

    def replace(file: str, old: str, new: str) -> Path:
        path = school / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        path.write_text(text.replace(old, new), encoding="utf-8")
        return path

    return replace


@pytest.fixture
def refusal(school: Path) -> Refusal:
    """Return what loads a lesson of the school and gives the one error it is refused with."""

    def refuse(lesson: Path = school / "lessons" / "lantern-pool.yaml") -> ScenarioError:
        with pytest.raises(ScenarioError) as caught:
            library.load_lesson(lesson)
        assert "\n" not in str(caught.value)
        return caught.value

    return refuse


@pytest.fixture
def line_of() -> LineOf:
    """Return what gives the 1-based line of a file on which a text first stands."""

    def find(path: Path, text: str) -> int:
        rows = path.read_text(encoding="utf-8").splitlines()
        return next(number for number, row in enumerate(rows, start=1) if text in row)

    return find
