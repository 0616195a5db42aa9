"""Lessons, boats, marking profiles and words by name, and the world that a lesson becomes."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel

from sim.base.errors import ScenarioError, together
from sim.base.units import mps, rad
from sim.model import params
from sim.model.water import water
from sim.scenario.read import bay as bays
from sim.scenario.read import boat as boats
from sim.scenario.read import brief as briefs
from sim.scenario.read import checks, draws, load, profile, script, shelf, tackle, weather
from sim.scenario.read.brief import Brief
from sim.scenario.read.profile import Profile
from sim.scenario.read.script import Entry
from sim.scenario.read.shelf import Asked, Shelf, assets_root, data_root
from sim.scenario.schema.base import BayFile, BoatFile
from sim.scenario.schema.lesson import LessonFile, TeacherBlock
from sim.scenario.schema.marking import ProfileFile
from sim.scenario.schema.tackle import AnchorsFile, BottomsFile
from sim.scenario.words import catalogue

__all__ = [
    "Lesson", "Sources", "assets_root", "boat_names", "data_root", "lesson_names", "load_boat", "load_lesson",
    "load_profile", "load_rode", "load_words",
]  # fmt: skip

T = TypeVar("T")
F = TypeVar("F", bound=BaseModel)


@dataclass(frozen=True)
class Sources:
    """The files a lesson is made of, as read."""

    lesson: LessonFile
    bay: BayFile
    boats: dict[str, BoatFile]
    anchors: AnchorsFile
    bottoms: BottomsFile
    shelf: Shelf
    data: dict[str, Any]  # the lesson's own, as read


@dataclass(frozen=True)
class Lesson:
    """A lesson, read and checked.

    Attributes:
        name: its name in the library, or the stem of its file.
        title: in words.
        level: the marking profile's name.
        path: the lesson's file.
        sha256: over the bytes of the lesson and of every file it refers to.
        brief: what the trainee may know.
        aids: what the screen may show.
        boat: name of the boat it asks for.
        profile: how it is marked.
        timeline: what happens by itself.
        limit_s: longest attempt.
        teacher: the instructor's page.
        sources: the files.
        language: of title, brief and marking.
    """

    name: str
    title: str
    level: str
    path: Path
    sha256: str
    brief: Brief
    aids: tuple[str, ...]
    boat: str
    profile: Profile
    timeline: tuple[Entry, ...]
    limit_s: float
    teacher: TeacherBlock
    sources: Sources
    language: str = "en"

    def world(self, seed: int, boat: str | None = None) -> params.WorldParams:
        """Return what a world is built from, for a seed >= 0, in the lesson's own boat or another of the library.

        Raises:
            ScenarioError: when there is no such boat.
        """
        s = self.sources
        name = boat or self.boat
        file = _boat(s, name)
        bay = bays.build_bay(s.lesson.bay, s.bay, s.bottoms, seed)
        start = s.lesson.start
        return params.WorldParams(
            seed=seed,
            boat=boats.build_boat(name, file),
            rodes=tackle.build_rodes(file.tackle, file.deck, s.anchors, s.bottoms, bay.bottom_letters),
            bay=bay,
            weather=weather.build_weather(s.lesson, s.bay, seed),
            water=weather.build_water(s.lesson, s.bay, seed),
            neighbours=tuple(boats.build_neighbour(n, s.boats[n.boat], seed) for n in s.lesson.neighbours),
            start=params.Start(start.north_m, start.east_m, rad(start.heading_deg), mps(start.speed_kn)),
            night=s.lesson.dark,
            sky=weather.build_sky(s.lesson),
            aids=self.aids,
            crew=s.lesson.crew,
        )

    def on(self, seed: int) -> "Lesson":
        """Return the lesson as the day of a seed has it; itself where nothing is left to the day."""
        s = self.sources
        file = s.lesson
        if not file.drawn and not draws.varies(file.timeline):
            return self
        day = LessonFile.model_validate(draws.drawn(s.data, file.drawn, seed))
        timeline = draws.entries(day.timeline, seed)
        day = day.model_copy(update={"timeline": timeline, "drawn": ()})
        return make(self.path, self.sha256, replace(s, lesson=day), self.profile, self.language)

    def charted_m(self, north_m: float, east_m: float) -> float:
        """Return the depth below chart datum at a place [m]."""
        bay = bays.build_bay(self.sources.lesson.bay, self.sources.bay, self.sources.bottoms, 0)
        return water.charted_depth_m(north_m, east_m, bay.raster, bay.depth_m)

    def brief_in(self, boat: str) -> Brief:
        """Return the brief for another boat of the library."""
        return briefs.build_brief(self.sources.lesson, self.sources.bay, boat, _boat(self.sources, boat))


def lesson_names() -> list[str]:
    """Return the names of the library's lessons."""
    return shelf.library().names("lessons")


def boat_names() -> list[str]:
    """Return the names of the library's boats."""
    return shelf.library().names("boats")


def load_boat(name: str) -> params.Boat:
    """Return a boat of the library.

    Raises:
        ScenarioError: when there is none of that name, or her file does not fit.
    """
    return boats.build_boat(name, shelf.library().read(BoatFile, "boats", name, Asked())[0])


def load_rode(name: str, letters: tuple[str, ...] = ("S",)) -> params.Rode:
    """Return the rode of a boat of the library, her anchor's holding given for each of ``letters``.

    Raises:
        ScenarioError: when there is none of that name, or her file does not fit.
    """
    books = shelf.library()
    file = books.read(BoatFile, "boats", name, Asked())[0]
    bottoms = books.read(BottomsFile, "tackle", "bottoms", Asked())[0]
    anchors = books.read(AnchorsFile, "tackle", "anchors", Asked())[0]
    return tackle.build_rode(file.tackle, file.deck, anchors, bottoms, letters)


def load_profile(name: str) -> Profile:
    """Return a marking profile of the library.

    Raises:
        ScenarioError: when there is none of that name, or its file does not fit.
    """
    return _profile(shelf.library(), name, Asked(), [])


def load_words(language: str) -> dict[str, str]:
    """Return the words of a language by their key, in English where it has none.

    Raises:
        ScenarioError: when there is no such language, or its file does not fit.
    """
    return catalogue.words(shelf.library(), language)


def load_lesson(name_or_path: str | Path) -> Lesson:
    """Return a lesson by its name in the library or by the path of its file.

    Beside a lesson given by path, its own folder's neighbours ``boats``, ``bays`` and the like are looked in first.

    Raises:
        ScenarioError: when anything in it, or in a file it refers to, is missing or does not fit.
    """
    text = str(name_or_path)
    books = shelf.library()
    if text.endswith((".yaml", ".yml")) or len(Path(text).parts) > 1:
        path = Path(name_or_path)
        books = Shelf((path.absolute().parent.parent, *books.roots))
    else:
        path = books.find("lessons", text, Asked())
    document = load.read(path)
    file = load.validate(LessonFile, document)
    read = [document]
    found: list[ScenarioError] = checks.drawn(file, document)
    marking = _tried(found, lambda: _profile(books, file.level, Asked(document, ("level",)), read))
    sources = _tried(found, lambda: _sources(file, document, books, read))
    if marking is not None:
        found += checks.goals(file, document, marking)
    if found or marking is None or sources is None:
        raise together(found)
    return make(path, _sha256(read), sources, marking)


def make(path: Path, sha256: str, sources: Sources, marking: Profile, language: str = "en") -> Lesson:
    """Return the lesson that sources and marking, read and checked, and said in ``language``, come to."""
    file = sources.lesson
    return Lesson(
        name=path.stem,
        title=file.title,
        level=file.level,
        path=path,
        sha256=sha256,
        brief=briefs.build_brief(file, sources.bay, file.boat, sources.boats[file.boat]),
        aids=file.aids,
        boat=file.boat,
        profile=marking,
        timeline=script.build_timeline(file.timeline, file.anchorage, tuple(n.name for n in file.neighbours)),
        limit_s=file.limit_min * 60.0,
        teacher=file.teacher,
        sources=sources,
        language=language,
    )


def _tried(found: list[ScenarioError], make: Callable[[], T]) -> T | None:
    """Return what ``make`` makes, or None with its errors added to ``found``."""
    try:
        return make()
    except ScenarioError as error:
        found += error.every()
        return None


def _sources(lesson: LessonFile, document: load.Document, books: Shelf, read: list[load.Document]) -> Sources:
    """Return the files a lesson refers to, checked against each other; their documents are added to ``read``."""
    found: list[ScenarioError] = []

    def fetch(model: type[F], folder: str, name: str, by: Asked) -> tuple[F, load.Document] | None:
        got = _tried(found, lambda: books.read(model, folder, name, by))
        if got is not None:
            read.append(got[1])
        return got

    asked: dict[str, Asked] = {lesson.boat: Asked(document, ("boat",))}
    for i, other in enumerate(lesson.neighbours):
        asked.setdefault(other.boat, Asked(document, ("neighbours", i, "boat")))
    for k, block in enumerate(lesson.drawn):
        if block.key == "boat":
            asked |= {str(name): Asked(document, ("drawn", k)) for name in block.one_of or () if name not in asked}
    fleet: dict[str, BoatFile] = {}
    for name, by in asked.items():
        got = fetch(BoatFile, "boats", name, by)
        if got is not None:
            fleet[name] = got[0]
    bottoms = fetch(BottomsFile, "tackle", "bottoms", Asked())
    anchors = fetch(AnchorsFile, "tackle", "anchors", Asked())
    bay = fetch(BayFile, "bays", lesson.bay, Asked(document, ("bay",)))
    if bottoms is not None and anchors is not None:
        found += checks.grips(*anchors, bottoms[0])
    if bottoms is not None and bay is not None:
        found += checks.letters(*bay, bottoms[0])
    if found or bottoms is None or anchors is None or bay is None:
        raise together(found)
    found += checks.places(lesson, document, bay[0], fleet, bottoms[0])
    if found:
        raise together(found)
    return Sources(lesson, bay[0], fleet, anchors[0], bottoms[0], books, document.data)


def _boat(sources: Sources, name: str) -> BoatFile:
    if name in sources.boats:
        return sources.boats[name]
    return sources.shelf.read(BoatFile, "boats", name, Asked())[0]


def _profile(books: Shelf, name: str, asked: Asked, read: list[load.Document]) -> Profile:
    file, document = books.read(ProfileFile, "marking", name, asked)
    read.append(document)

    def find(base: str) -> ProfileFile:
        other, other_document = books.read(ProfileFile, "marking", base, Asked(document, ("based_on",)))
        read.append(other_document)
        return other

    try:
        return profile.whole(name, file, find)
    except ValueError as ring:
        raise document.error(("based_on",), str(ring), repr(file.based_on)) from None


def _sha256(read: list[load.Document]) -> str:
    digest = hashlib.sha256()
    for one in read:
        digest.update(Path(one.file).name.encode())
        digest.update(one.raw)
    return digest.hexdigest()
