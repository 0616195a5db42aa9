"""Runs that lie in a folder: marked again from their track and orders, and their page drawn again."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.base.errors import RecordingError
from sim.marking.result import Ended
from sim.marking.run import Run
from sim.pages import debrief
from sim.play.attempt import After, Marked, mark
from sim.record import recording, remarks, track
from sim.scenario.library import Lesson
from sim.scenario.words.language import lesson_in


@dataclass(frozen=True)
class Past:
    """A run as it was kept.

    Attributes:
        header: of its recording.
        lesson: the lesson it was sailed in, as the library (or the file given) has it now.
        marked: its marks, worked out again.
    """

    header: dict[str, Any]
    lesson: Lesson
    marked: Marked


def load_past(folder: Path, lesson_file: str | None = None, language: str = "en") -> Past:
    """Return a run kept in ``folder``, marked again by the lesson's present profile.

    Args:
        folder: with recording and track.
        lesson_file: the lesson's file where it is not in the library.
        language: of lesson, marks and page.

    Raises:
        RecordingError: where the folder has no finished run.
        ScenarioError: where the lesson cannot be read.
    """
    kept = recording.read(folder)
    path = folder / "track.npz"
    if not path.is_file():
        raise RecordingError(str(folder), "expected a finished run with track.npz, found only its recording")
    head = kept.header
    lesson = lesson_in(lesson_file or head["scenario"]["id"], language)
    sailed = track.load(path)
    end = kept.end or {"t": int(60 * sailed.end_s), "why": "closed"}
    ended = Ended(str(end["why"]), end["t"] / 60.0)
    last = kept.hashes[-1][1] if kept.hashes else ""
    params = lesson.world(head["seed"], head["boat"])
    rated = _rated(folder / "result.json")
    marked = mark(lesson, params, sailed, kept.commands, head, ended, last, folder, rated, After.load(folder))
    return Past(head, lesson, marked)


def _rated(result: Path) -> dict[str, int] | None:
    """Return the trainee's own view as it was kept with the marks, None where there is none."""
    try:
        given = json.loads(result.read_text(encoding="utf-8"))["self_rating"]
        return {str(phase): int(points) for phase, points in given.items()} if given else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def draw_again(past: Past, out: Path, against: tuple[Run, str] | None = None) -> Path:
    """Write a run's debrief page, the remarks beside the run on it, into ``out`` and return its path.

    Args:
        past: the run.
        out: the folder.
        against: another attempt to lay beside it, and whose it is, in words.
    """
    m = past.marked
    out.mkdir(parents=True, exist_ok=True)
    said = remarks.read(m.folder)
    return debrief.write(out, m.run, m.marks, m.fails, m.outcome, m.result, past.lesson, against, said)


def draw_with_remarks(folder: Path, lesson: Lesson) -> Path:
    """Write the page of a run again into its folder, with the remarks that lie there by now, and return its path.

    Raises:
        RecordingError: where the folder has no finished run.
    """
    return draw_again(load_past(folder, str(lesson.path), lesson.language), folder)
