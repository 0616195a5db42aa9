"""Runs that lie in a folder: marked again from their track and orders, and their page drawn again."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.base.errors import RecordingError
from sim.marking import debrief
from sim.marking.result import Ended
from sim.marking.run import Run
from sim.record import night, recording, track
from sim.run.attempt import Marked, mark
from sim.scenario.language import lesson_in
from sim.scenario.library import Lesson


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
    slept = night.load(folder / "night.npz") if (folder / "night.npz").is_file() else None
    marked = mark(lesson, params, sailed, kept.commands, head, ended, last, folder, slept=slept)
    return Past(head, lesson, marked)


def draw_again(past: Past, out: Path, against: tuple[Run, str] | None = None) -> Path:
    """Write a run's debrief page into ``out`` and return its path.

    Args:
        past: the run.
        out: the folder.
        against: another attempt to lay beside it, and whose it is, in words.
    """
    m = past.marked
    out.mkdir(parents=True, exist_ok=True)
    return debrief.write(out, m.run, m.marks, m.fails, m.outcome, m.result, past.lesson, against)
