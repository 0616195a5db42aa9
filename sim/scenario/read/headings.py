"""What a list of lessons shows of each, read without building its bay: for a list that is there at once."""

from dataclasses import dataclass

from sim.scenario.library import lesson_names
from sim.scenario.read import load, shelf
from sim.scenario.read.shelf import Asked
from sim.scenario.schema.lesson import LessonFile
from sim.scenario.schema.words import LessonWordsFile
from sim.scenario.words.catalogue import ENGLISH, LONGER, longer

BESIDE = 1000  # the place of a lesson without a number of its own


@dataclass(frozen=True)
class Heading:
    """A lesson's name, its title in a language, its level, and its place in the syllabus."""

    name: str
    title: str
    level: str
    order: int


def heading(name: str, language: str = ENGLISH) -> Heading:
    """Return what a list shows of a lesson of the library.

    Raises:
        ScenarioError: when its file, or that of its words, does not fit.
    """
    path = shelf.library().find("lessons", name, Asked())
    file = load.validate(LessonFile, load.read(path))
    title, words = file.title, path.parent / language / path.name
    if language == LONGER:
        title = longer(title)
    elif language != ENGLISH and words.is_file():
        title = load.validate(LessonWordsFile, load.read(words)).title or title
    return Heading(name, title, file.level, file.order or BESIDE)


def headings(language: str = ENGLISH) -> list[Heading]:
    """Return the headings of the library's lessons in the order of the syllabus, those beside it last."""
    found = [heading(name, language) for name in lesson_names()]
    return sorted(found, key=lambda one: (one.order, one.name))
