"""What a lesson and the files it refers to must agree on; each check returns every error it finds."""

from sim.base.errors import ScenarioError
from sim.model.water import water
from sim.scenario.read import bay as bays
from sim.scenario.read import draws, load, slips, tackle, weather
from sim.scenario.read.load import Document, KeyPath
from sim.scenario.read.profile import Profile
from sim.scenario.schema.base import BayFile, BoatFile
from sim.scenario.schema.lesson import LessonFile
from sim.scenario.schema.tackle import AnchorsFile, BottomsFile


def goals(lesson: LessonFile, document: Document, marking: Profile) -> list[ScenarioError]:
    """Goals are measures of the lesson's marking."""
    known = [row.name for phase in marking.phases for row in phase.measures]
    expected = f"a measure of the marking such as {known[0]}"
    return [
        document.error(("goals", i, "measure"), expected, repr(g.measure), slips.near(g.measure, known))
        for i, g in enumerate(lesson.goals)
        if g.measure not in known
    ]


def grips(anchors: AnchorsFile, document: Document, bottoms: BottomsFile) -> list[ScenarioError]:
    """Every anchor has its holding in every bottom."""
    return [
        document.error(("anchors", kind, "grips", letter), f"the holding in {letter}", "nothing")
        for kind, anchor in anchors.anchors.items()
        for letter in bottoms.natures
        if letter not in anchor.grips
    ]


def letters(bay: BayFile, document: Document, bottoms: BottomsFile) -> list[ScenarioError]:
    """Every ground of the bay is made of letters that are known."""
    places: list[tuple[KeyPath, str]] = [(("bottom",), bay.bottom)]
    places += [(("patches", i, "letters"), p.letters) for i, p in enumerate(bay.patches)]
    out = []
    for path, ground in places:
        try:
            tackle.parts(ground, bottoms)
        except ValueError as unknown:
            known = ", ".join(bottoms.natures)
            out.append(document.error(path, f"letters of the chart ({known})", repr(str(unknown))))
    charted = {ground for _, ground in places}
    out += [
        document.error(("protected", i), "letters of the bay's own ground", repr(ground), slips.near(ground, charted))
        for i, ground in enumerate(bay.protected)
        if ground not in charted
    ]
    return out


def places(
    lesson: LessonFile, document: Document, bay_file: BayFile, fleet: dict[str, BoatFile], bottoms: BottomsFile
) -> list[ScenarioError]:
    """No boat begins on land, aground or off the chart."""
    extent = bay_file.extent
    bay = bays.build_bay(lesson.bay, bay_file, bottoms, 0)
    tide_m = water.tide_height_m(0.0, weather.tide_and_stream(lesson).tide)
    draught_m = fleet[lesson.boat].hull.draught_m
    spots: list[tuple[KeyPath, float, float, float]] = [
        (("start",), lesson.start.north_m, lesson.start.east_m, draught_m),
        (("anchorage",), lesson.anchorage.north_m, lesson.anchorage.east_m, draught_m),
    ]
    for i, n in enumerate(lesson.neighbours):
        her_draught_m = fleet[n.boat].hull.draught_m
        spots.append((("neighbours", i), n.anchor_north_m, n.anchor_east_m, her_draught_m))
        if n.comes_from is not None:
            spots.append((("neighbours", i, "comes_from"), *n.comes_from, her_draught_m))
    out = []
    for path, north_m, east_m, least_m in spots:
        if not (extent.south_m <= north_m <= extent.north_m and extent.west_m <= east_m <= extent.east_m):
            out.append(document.error(path, "a place inside the bay's extent", f"{north_m:g} north, {east_m:g} east"))
            continue
        depth_m = water.charted_depth_m(north_m, east_m, bay.raster, bay.depth_m) + tide_m
        if depth_m <= least_m:
            hint = "does a shore lie over it?" if depth_m <= 0.0 else ""
            out.append(document.error(path, f"more than {least_m:g} m of water", f"{depth_m:.1f} m", hint))
    return out


def drawn(lesson: LessonFile, document: Document) -> list[ScenarioError]:
    """Whatever a day may draw stands at a key there is, and fits it."""
    out: list[ScenarioError] = []
    for k, block in enumerate(lesson.drawn):
        path: KeyPath = ("drawn", k)
        try:
            draws.parse_key(block.key)
            if block.over is not None:
                draws.parse_key(block.over)
        except ValueError:
            out.append(document.error(path, "a key such as wind.mean_kn or timeline[0].at_s", repr(block.key)))
    if out:
        return out
    try:
        for k, data in draws.extremes(document.data, lesson.drawn):
            slip = load.misfit(LessonFile, data, document)
            if slip is not None:
                where = slips.dotted(slip.path)
                out.append(document.error(("drawn", k), f"at {where} {slip.expected}", slip.found, slip.hint))
    except (LookupError, TypeError):
        out.append(document.error(("drawn",), "keys that stand in this lesson", "one that does not"))
    return out
