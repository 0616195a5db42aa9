"""A lesson to start from: a copy of another, comments and all, under a name of its own."""

import re
from pathlib import Path

from sim.base.errors import WindrodeError
from sim.scenario import library
from sim.scenario.library import Lesson

NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,59}")


class CannotWrite(WindrodeError):  # noqa: N818 - told to a person as it stands
    """The lesson could not be written where it was asked for."""


def title_of(name: str) -> str:
    """Return a title out of a file's name.

    >>> title_of("grey-pan-2")
    'Grey Pan 2'
    """
    return " ".join(part.capitalize() for part in name.split("-"))


def write_bay(name: str, lesson: Lesson, folder: Path) -> Path:
    """Write ``folder``/bays/NAME.yaml as a copy of a lesson's bay, to be redrawn, and return its path.

    Raises:
        CannotWrite: when the name is none, or a file of that name already exists.
    """
    if NAME.fullmatch(name) is None:
        raise CannotWrite(f"{name!r}: expected small letters, digits and hyphens, such as my-bay")
    path = folder / "bays" / f"{name}.yaml"
    if path.exists():
        raise CannotWrite(f"{path}: already exists")
    text = bay_path(lesson).read_text(encoding="utf-8")
    text = re.sub(r"(?m)^title:.*(?:\n +.*)*$", lambda _: f"title: {title_of(name)}", text, count=1)
    path.parent.mkdir(parents=True, exist_ok=True)
    head = f"# Made from {lesson.sources.lesson.bay}. Redraw it: shores are land, closed beyond the extent."
    path.write_text(f"{head}\n{text}", "utf-8")
    return path


def bay_path(lesson: Lesson) -> Path:
    """Return the file of a lesson's bay: beside the lesson, else the library's."""
    beside = lesson.path.parent.parent / "bays" / f"{lesson.sources.lesson.bay}.yaml"
    return beside if beside.is_file() else library.data_root() / "bays" / beside.name


def write(name: str, lesson: Lesson, folder: Path, *, own_bay: bool = False) -> Path:
    """Write ``folder``/lessons/NAME.yaml as a copy of a lesson and return its path.

    The title is the new name's, place in the syllabus and seeds are left out; every other line is the old one's,
    comments included. The bay, boats and marking it names are looked for beside it first, in the library else.

    Raises:
        CannotWrite: when the name is none, or a file of that name already exists.
    """
    if NAME.fullmatch(name) is None:
        raise CannotWrite(f"{name!r}: expected small letters, digits and hyphens, such as my-bay")
    path = folder / "lessons" / f"{name}.yaml"
    if path.exists():
        raise CannotWrite(f"{path}: already exists")
    text = lesson.path.read_text(encoding="utf-8")
    text = re.sub(r"(?m)^title:.*(?:\n +.*)*$", lambda _: f"title: {title_of(name)}", text, count=1)
    text = re.sub(r"(?m)^(order|seeds):.*\n", "", text)
    if own_bay:
        text = re.sub(r"(?m)^bay:.*$", f"bay: {name}", text, count=1)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f"# Made from {lesson.name}. Change what you like, then: windrode check {path}\n{text}", "utf-8")
    return path
