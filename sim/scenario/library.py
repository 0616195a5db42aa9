"""Lessons, boats, marking profiles and words by name, and the world that a lesson becomes."""

import hashlib
from dataclasses import dataclass
from pathlib import Path

from sim.base.units import mps, rad
from sim.model import params, water
from sim.scenario import bay as bays
from sim.scenario import boat as boats
from sim.scenario import brief as briefs
from sim.scenario import load, profile, script, shelf, tackle, weather
from sim.scenario.brief import Brief
from sim.scenario.profile import Profile
from sim.scenario.schema import BayFile, BoatFile
from sim.scenario.schema_lesson import LessonFile, TeacherBlock
from sim.scenario.schema_marking import ProfileFile, WordsFile
from sim.scenario.schema_tackle import AnchorsFile, BottomsFile
from sim.scenario.script import Entry
from sim.scenario.shelf import Asked, Shelf, assets_root, data_root

__all__ = [
    "Lesson", "Sources", "assets_root", "boat_names", "data_root", "lesson_names", "load_boat", "load_lesson",
    "load_profile", "load_rode", "load_words",
]  # fmt: skip


@dataclass(frozen=True)
class Sources:
    """The files a lesson is made of, as read."""

    lesson: LessonFile
    bay: BayFile
    boats: dict[str, BoatFile]
    anchors: AnchorsFile
    bottoms: BottomsFile
    shelf: Shelf


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
        night_h: hours of the night run on after she is secured, None for no night.
        teacher: the instructor's page.
        sources: the files.
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
    night_h: float | None
    teacher: TeacherBlock
    sources: Sources

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
            aids=self.aids,
            crew=s.lesson.crew,
        )

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
    """Return the words of a language by their key.

    Raises:
        ScenarioError: when there is no such language, or its file does not fit.
    """
    return shelf.library().read(WordsFile, "words", language, Asked())[0].words


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
    lesson = load.validate(LessonFile, document)
    read = [document]
    sources = _sources(lesson, document, books, read)
    marking = _profile(books, lesson.level, Asked(document, ("level",)), read)
    return Lesson(
        name=path.stem,
        title=lesson.title,
        level=lesson.level,
        path=path,
        sha256=_sha256(read),
        brief=briefs.build_brief(lesson, sources.bay, lesson.boat, sources.boats[lesson.boat]),
        aids=lesson.aids,
        boat=lesson.boat,
        profile=marking,
        timeline=script.build_timeline(lesson.timeline, lesson.anchorage, tuple(n.name for n in lesson.neighbours)),
        limit_s=lesson.limit_min * 60.0,
        night_h=lesson.night_h,
        teacher=lesson.teacher,
        sources=sources,
    )


def _sources(lesson: LessonFile, document: load.Document, books: Shelf, read: list[load.Document]) -> Sources:
    """Return the files a lesson refers to, checked against each other; their documents are added to ``read``."""
    asked: dict[str, Asked] = {lesson.boat: Asked(document, ("boat",))}
    for i, other in enumerate(lesson.neighbours):
        asked.setdefault(other.boat, Asked(document, ("neighbours", i, "boat")))
    fleet: dict[str, BoatFile] = {}
    for name, by in asked.items():
        fleet[name], boat_document = books.read(BoatFile, "boats", name, by)
        read.append(boat_document)
    bottoms, bottoms_document = books.read(BottomsFile, "tackle", "bottoms", Asked())
    anchors, anchors_document = books.read(AnchorsFile, "tackle", "anchors", Asked())
    _check_grips(anchors, anchors_document, bottoms)
    bay, bay_document = books.read(BayFile, "bays", lesson.bay, Asked(document, ("bay",)))
    _check_letters(bay, bay_document, bottoms)
    read += [bottoms_document, anchors_document, bay_document]
    sources = Sources(lesson, bay, fleet, anchors, bottoms, books)
    _check_places(sources, document)
    return sources


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


def _check_grips(anchors: AnchorsFile, document: load.Document, bottoms: BottomsFile) -> None:
    for kind, anchor in anchors.anchors.items():
        for letter in bottoms.natures:
            if letter not in anchor.grips:
                raise document.error(("anchors", kind, "grips", letter), f"the holding in {letter}", "nothing")


def _check_letters(bay: BayFile, document: load.Document, bottoms: BottomsFile) -> None:
    places: list[tuple[load.KeyPath, str]] = [(("bottom",), bay.bottom)]
    places += [(("patches", i, "letters"), p.letters) for i, p in enumerate(bay.patches)]
    for path, letters in places:
        try:
            tackle.parts(letters, bottoms)
        except ValueError as unknown:
            known = ", ".join(bottoms.natures)
            raise document.error(path, f"letters of the chart ({known})", repr(str(unknown))) from None


def _check_places(sources: Sources, document: load.Document) -> None:
    """Refuse a lesson whose boats would begin on land, aground or off the chart."""
    lesson, extent = sources.lesson, sources.bay.extent
    bay = bays.build_bay(lesson.bay, sources.bay, sources.bottoms, 0)
    tide_m = water.tide_height_m(0.0, weather.tide_and_stream(lesson).tide)
    draught_m = sources.boats[lesson.boat].hull.draught_m
    spots: list[tuple[load.KeyPath, float, float, float]] = [
        (("start",), lesson.start.north_m, lesson.start.east_m, draught_m),
        (("anchorage",), lesson.anchorage.north_m, lesson.anchorage.east_m, draught_m),
    ]
    spots += [
        (("neighbours", i), n.anchor_north_m, n.anchor_east_m, sources.boats[n.boat].hull.draught_m)
        for i, n in enumerate(lesson.neighbours)
    ]
    spots += [
        (("neighbours", i, "comes_from"), *n.comes_from, sources.boats[n.boat].hull.draught_m)
        for i, n in enumerate(lesson.neighbours)
        if n.comes_from is not None
    ]
    for path, north_m, east_m, least_m in spots:
        if not (extent.south_m <= north_m <= extent.north_m and extent.west_m <= east_m <= extent.east_m):
            raise document.error(path, "a place inside the bay's extent", f"{north_m:g} north, {east_m:g} east")
        depth_m = water.charted_depth_m(north_m, east_m, bay.raster, bay.depth_m) + tide_m
        if depth_m <= least_m:
            raise document.error(path, f"more than {least_m:g} m of water", f"{depth_m:.1f} m")
