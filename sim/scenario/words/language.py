"""A lesson in another language, and what a language still lacks."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from sim.scenario import library
from sim.scenario.library import Lesson
from sim.scenario.read import load, shelf
from sim.scenario.read.profile import Profile
from sim.scenario.read.shelf import Asked
from sim.scenario.schema.base import BayFile
from sim.scenario.schema.lesson import LessonFile, TeacherBlock
from sim.scenario.schema.marking import MeasureBlock, PhaseBlock, WordsFile
from sim.scenario.schema.words import LessonWordsFile, TeacherWords
from sim.scenario.words.catalogue import ENGLISH, LONGER, longer, own_words

SAID = ("teaches", "reading", "intended_error", "debrief")  # of the instructor's page
SYMBOLS = ("", "m", "kn", "deg", "s", "min")  # units that are the same in every language

Tell = Callable[[str, str], str]  # a key and its English words -> the language's words


def lesson_in(name_or_path: str | Path, language: str) -> Lesson:
    """Return a lesson with its words, its boat's name and its marking in a language, in English what that lacks.

    The words of ``lessons/NAME.yaml`` lie in ``lessons/LANGUAGE/NAME.yaml`` beside it. Nothing but words differs: the
    same days, the same hash.

    Raises:
        ScenarioError: when anything in it, or in a file it refers to, is missing or does not fit.
    """
    lesson = library.load_lesson(name_or_path)
    if language == ENGLISH:
        return lesson
    tell, words, sources = _teller(language), _lesson_words(lesson, language), lesson.sources
    boats = {
        name: boat.model_copy(update={"title": tell(f"boat.{name}", boat.title)})
        for name, boat in sources.boats.items()
    }
    said = {key: text for key in ("title", "aim", "words") if (text := getattr(words, key)) is not None}
    file, data = sources.lesson.model_copy(update=said), sources.data | said  # a day is made from the data again
    if words.shift is not None:
        file = file.model_copy(update={"wind": file.wind.model_copy(update={"shift": words.shift})})
        data |= {"wind": data["wind"] | {"shift": words.shift}}
    page = _told(file.teacher, words.teacher)
    file, data = file.model_copy(update={"teacher": page}), data | {"teacher": page.model_dump(exclude_none=True)}
    told = replace(sources, lesson=file, bay=_bay(sources.bay, tell), boats=boats, data=data)
    return library.make(lesson.path, lesson.sha256, told, _profile(lesson.profile, tell), language)


def _told(page: TeacherBlock, words: TeacherWords) -> TeacherBlock:
    """Return the instructor's page with what a language says of it."""
    said: dict[str, object] = {key: text for key in SAID if (text := getattr(words, key)) is not None}
    if page.reference is not None and words.why is not None:
        said["reference"] = page.reference.model_copy(update={"why": words.why})
    if page.refusal is not None and words.refusal is not None:
        said["refusal"] = page.refusal.model_copy(update={"why": words.refusal})
    return page.model_copy(update=said)


def _asked_of(page: TeacherBlock) -> list[str]:
    """Return the keys of the instructor's page that a language should have words for."""
    keys = [key for key in SAID if getattr(page, key) is not None]
    return keys + ["why"] * (page.reference is not None) + ["refusal"] * (page.refusal is not None)


def _bay(bay: BayFile, tell: Tell) -> BayFile:
    """Return a bay with its marks and zones told; what has no words keeps its name."""
    marks = tuple(m.model_copy(update={"name": tell(_place(m.name), m.name)}) for m in bay.marks)
    zones = tuple(z.model_copy(update={"name": tell(_place(z.name), z.name)}) for z in bay.zones)
    return bay.model_copy(update={"marks": marks, "zones": zones})


def _place(name: str) -> str:
    return f"place.{name.replace(' ', '_')}"


def languages() -> dict[str, str]:
    """Return the languages there are, each with its own name for itself.

    Raises:
        ScenarioError: when a file of words does not fit.
    """
    books = shelf.library()
    return {name: books.read(WordsFile, "words", name, Asked())[0].language for name in books.names("words")}


def lacking(language: str) -> list[str]:
    """Return what a language has no words for: keys of its file, and keys of its lessons.

    What stands on a chart may keep its name and is not asked for.

    Raises:
        ScenarioError: when there is no such language, or one of its files does not fit.
    """
    own = own_words(shelf.library(), language)
    if language == ENGLISH:
        return []
    found = [key for key in [*library.load_words(ENGLISH), *_named()] if key not in own]
    return found + [key for name in library.lesson_names() for key in lesson_lacking(name, language)]


def lesson_lacking(name_or_path: str | Path, language: str) -> list[str]:
    """Return the keys that the words of one lesson, of the library or a school's own, lack in a language.

    Raises:
        ScenarioError: when the lesson or its words do not fit.
    """
    lesson = library.load_lesson(name_or_path)
    if language == ENGLISH:
        return []
    words, page = _lesson_words(lesson, language), _asked_of(lesson.teacher)
    asked = ["title", "aim", "words", *(["shift"] if lesson.brief.forecast.shift else [])]
    found = [key for key in asked if getattr(words, key) is None]
    found += [f"teacher.{key}" for key in page if getattr(words.teacher, key) is None]
    return [f"lessons/{language}/{lesson.path.name}: {key}" for key in found]


def unknown(language: str) -> list[str]:
    """Return the keys of a language's file that nothing asks for: misspelt, or gone from the program."""
    known = {*library.load_words(ENGLISH), *_named()}
    for name in library.lesson_names():
        bay = library.load_lesson(name).sources.bay
        known |= {_place(place) for place in [*(m.name for m in bay.marks), *(z.name for z in bay.zones)]}
    return [key for key in own_words(shelf.library(), language) if key not in known]


def _named() -> list[str]:
    """Return the keys of what is named in files of boats and of marking, where it is English."""
    keys = [f"boat.{boat}" for boat in library.boat_names()]
    for level in shelf.library().names("marking"):
        keys += _profile_keys(library.load_profile(level))
    return list(dict.fromkeys(keys))


def _profile_keys(profile: Profile) -> list[str]:
    asked: list[str] = []

    def note(key: str, english: str) -> str:
        asked.append(key)
        return english

    _profile(profile, note)
    return asked


def _profile(profile: Profile, tell: Tell) -> Profile:
    """Return a marking profile with its titles and units told."""

    def measure(m: MeasureBlock) -> MeasureBlock:
        unit = m.unit if m.unit in SYMBOLS else tell(f"unit.{m.unit.replace(' ', '_')}", m.unit)
        return m.model_copy(update={"title": tell(f"measure.{m.name}", m.title), "unit": unit})

    def phase(p: PhaseBlock) -> PhaseBlock:
        measures = tuple(measure(m) for m in p.measures)
        return p.model_copy(update={"title": tell(f"phase.{p.code}", p.title), "measures": measures})

    fails = tuple(c.model_copy(update={"title": tell(f"fail.{c.code}", c.title)}) for c in profile.critical)
    title, phases = tell(f"level.{profile.name}", profile.title), tuple(phase(p) for p in profile.phases)
    return replace(profile, title=title, phases=phases, leaving=phase(profile.leaving), critical=fails)


def _teller(language: str) -> Tell:
    if language == LONGER:
        return lambda _key, english: longer(english)
    own = own_words(shelf.library(), language)

    def tell(key: str, english: str) -> str:
        return own.get(key, english)

    return tell


def _side_file(lesson: Lesson, language: str) -> Path:
    return lesson.path.parent / language / f"{lesson.path.stem}.yaml"


def _lesson_words(lesson: Lesson, language: str) -> LessonWordsFile:
    if language == LONGER:
        return _lengthened(lesson.sources.lesson)
    path = _side_file(lesson, language)
    return load.validate(LessonWordsFile, load.read(path)) if path.is_file() else LessonWordsFile(format=1)


def _lengthened(file: LessonFile) -> LessonWordsFile:
    shift = longer(file.wind.shift) if file.wind.shift else None
    page = file.teacher
    teacher = {key: longer(text) for key in SAID if (text := getattr(page, key)) is not None}
    if page.reference is not None:
        teacher["why"] = longer(page.reference.why)
    if page.refusal is not None:
        teacher["refusal"] = longer(page.refusal.why)
    return LessonWordsFile(
        format=1,
        title=longer(file.title),
        aim=longer(file.aim),
        words=longer(file.words),
        shift=shift,
        teacher=TeacherWords(**teacher),
    )
