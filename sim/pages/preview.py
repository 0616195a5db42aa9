"""A lesson's bay as a picture: chart, boats as they lie, and where she is asked to anchor."""

import math
from dataclasses import replace

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import to_world
from sim.core import world as wd
from sim.model import layout as lay
from sim.model.params import Neighbour
from sim.model.tackle.catenary import reach_on_bed_m
from sim.pages import bay_picture, preview_legend, shifts, svg
from sim.pages.bay_picture import WIDTH, Sheet, View
from sim.pages.label_places import Labels
from sim.pages.plan_picture import outline
from sim.pages.shifts import Shifted
from sim.scenario import library
from sim.scenario.library import Lesson, load_words

XMLNS = "http://www.w3.org/2000/svg"
PAGE = 0.9  # height over width of a chart on a page
MOVED_M = 3.0  # who lies no further from where she lay stays as drawn: less is her sheering about (judgement)


def draw(lesson: Lesson, answer: bool = True, seed: int = 1, whole: bool = True, legend: bool = False) -> str:
    """Return the picture as SVG.

    Args:
        lesson: the lesson.
        answer: also what the trainee is not told: uncharted ground and snags, the reference plan, others' rodes.
        seed: of the wind the others lie in.
        whole: the whole of a long bay; else only so much of it about start and anchorage as fits a page.
        legend: for the author: what the signs mean, in a strip below; with the answer, the others after a shift too.
    """
    lesson = lesson.on(seed)
    world = wd.build(lesson.world(seed))
    bay = world.params.bay
    view = _view(bay.depth_m, bay.raster)
    if not whole:
        view = _about(lesson, view)
    wind = lesson.brief.forecast
    after = _after(lesson) if legend and answer else None
    sheet: Sheet = bay if answer else lesson.brief.chart
    labels = Labels(WIDTH, view.height, [(10.0, 10.0, 134.0, 74.0 if after is None else 122.0)])
    words = load_words(lesson.language)
    layers = (
        bay_picture.depths(bay, view),
        _asked(lesson, view),
        bay_picture.charted(sheet, view, labels),
        bay_picture.obstructions(
            [(s.name, s.north_m, s.east_m) for s in lesson.sources.bay.snags if s.charted or answer], view, labels
        ),
        _answer(lesson, view) if answer else [],
        _shifted(turned(lesson, after, seed), world, view, labels) if after is not None else [],
        _boats(world, view, answer, labels),
        bay_picture.rose(view, *to_world(-wind.mean_mps, 0.0, wind.from_rad), words["page.plan.wind"]),
        _then(after, words["preview.then" if after.at_h > 0.0 else "preview.or"]) if after is not None else [],
    )
    parts = [part for layer in layers for part in layer]
    tall = view.height
    if legend:
        strip = preview_legend.columns(lesson, sheet, answer, after)
        parts += preview_legend.draw(strip, tall)
        tall += preview_legend.height(strip)
    picture = svg.picture(WIDTH, tall, parts, lesson.title, "preview")
    return picture.replace("<svg ", f'<svg xmlns="{XMLNS}" font-family="Fira Sans, sans-serif" ', 1)


def _after(lesson: Lesson) -> Shifted | None:
    """Return the wind that a day turns to; else, where others lie, that of the far end of the forecast's sector."""
    day = lesson.sources.lesson
    return shifts.furthest(day) or (shifts.sector_end(day) if day.neighbours else None)


def turned(lesson: Lesson, after: Shifted, seed: int) -> wd.World:
    """Return the world of a lesson's day with the others as they lie after a shift, in the water of the start."""
    day = lesson.sources.lesson
    given = {"from_deg": after.from_deg, "mean_kn": after.mean_kn, "gust_kn": max(day.wind.gust_kn, after.mean_kn)}
    wind = day.wind.model_copy(update=given | {"shifts": (), "squalls": ()})
    sources = replace(lesson.sources, lesson=day.model_copy(update={"wind": wind}))
    return wd.build(library.make(lesson.path, lesson.sha256, sources, lesson.profile).world(seed))


def _shifted(world: wd.World, before: wd.World, view: View, labels: Labels) -> list[str]:
    """Return the hulls of those that lie elsewhere once the wind has shifted."""
    parts: list[str] = []
    for k, other in enumerate(world.params.neighbours, start=1):
        north, east, heading = (float(world.state.boats[k, c]) for c in (lay.B_NORTH, lay.B_EAST, lay.B_HEADING))
        was = before.state.boats[k]
        moved = math.hypot(north - was[lay.B_NORTH], east - was[lay.B_EAST]) > MOVED_M
        if other.comes_from_m is None and moved:
            x, y = view.at(north, east)
            labels.taken.append((x - 8.0, y - 8.0, x + 8.0, y + 8.0))
            parts.append(svg.line([view.at(other.anchor_north_m, other.anchor_east_m), (x, y)], svg.SECOND, 0.6))
            parts.append(
                svg.area([outline(other.boat.outline_m, north, east, heading, view)], svg.SECOND, svg.PANEL, 1.2)
            )
    return parts


def _then(after: Shifted, words: str) -> list[str]:
    """Return the wind after the shift under that of the start, in the grey of the hulls that lie in it."""
    parts = [svg.tag("rect", x=10.0, y=74.0, width=124.0, height=48.0, fill=svg.PANEL, stroke=svg.INK)]
    angle = math.radians(after.from_deg)
    dx, dy = -math.sin(angle), math.cos(angle)
    tip = (34.0 + 17.0 * dx, 98.0 + 17.0 * dy)
    wing = [(tip[0] - 9.0 * dx + s * 5.0 * dy, tip[1] - 9.0 * dy - s * 5.0 * dx) for s in (-1.0, 1.0)]
    parts.append(svg.line([(34.0 - 17.0 * dx, 98.0 - 17.0 * dy), tip], svg.SECOND, 2.0))
    parts.append(svg.area([[tip, *wing]], svg.SECOND))
    parts.append(svg.text(62.0, 102.0, words.format(source=f"{after.from_deg:03.0f}"), 12.0, svg.SECOND))
    return parts


def _view(depth_m: FloatArray, raster: FloatArray) -> View:
    """Return a view of the whole bay."""
    cell = float(raster[lay.Y_CELL])
    tall, wide = (cell * (n - 1) for n in depth_m.shape)
    scale = WIDTH / wide
    return View(float(raster[lay.Y_EAST]), float(raster[lay.Y_NORTH]) + tall, scale, tall * scale)


def _about(lesson: Lesson, view: View) -> View:
    """Return a view no taller than a page allows, about the middle between start and anchorage."""
    tall = min(view.height, PAGE * WIDTH)
    middle = 0.5 * (lesson.sources.lesson.start.north_m + lesson.brief.anchorage.north_m)
    top = min(max(middle + 0.5 * tall / view.scale, view.north_m - (view.height - tall) / view.scale), view.north_m)
    return View(view.west_m, top, view.scale, tall)


def _asked(lesson: Lesson, view: View) -> list[str]:
    """Return the anchorage asked for and the seat, where one is given."""
    a = lesson.brief.anchorage
    x, y = view.at(a.north_m, a.east_m)
    parts = [svg.circle(x, y, a.radius_m * view.scale, stroke=svg.HOT, stroke_width=1.6, stroke_dasharray="2 5")]
    if a.seat_m is not None:
        x, y = view.at(*a.seat_m)
        parts += [svg.line([(x - 7.0, y - 7.0), (x + 7.0, y + 7.0)], svg.HOT, 2.2)]
        parts += [svg.line([(x - 7.0, y + 7.0), (x + 7.0, y - 7.0)], svg.HOT, 2.2)]
    return parts


def _answer(lesson: Lesson, view: View) -> list[str]:
    """Return the reference plan: its region, the drop, and her swing to the rode of the plan at low water."""
    plan = lesson.teacher.reference
    if plan is None:
        return []
    parts = []
    if plan.region is not None:
        region = np.array(plan.region)
        parts.append(svg.area([view.xy(region[:, 0], region[:, 1])], "none", svg.HOT, 2.0, stroke_dasharray="10 4"))
    x, y = view.at(plan.drop_north_m, plan.drop_east_m)
    b, tide = lesson.brief.boat, lesson.brief.tide
    depth_m = lesson.charted_m(plan.drop_north_m, plan.drop_east_m) + tide.now_m - tide.fall_m
    reach = reach_on_bed_m(plan.rode_m, max(depth_m + b.roller_height_m, 1.0)) + b.loa_m
    parts.append(svg.circle(x, y, reach * view.scale, stroke=svg.HOT, stroke_width=1.0, stroke_dasharray="9 6"))
    parts.append(svg.circle(x, y, 4.5, fill=svg.HOT, stroke=svg.PANEL, stroke_width=1.6))
    return parts


def _berth(other: Neighbour) -> tuple[float, float]:
    return other.anchor_north_m, other.anchor_east_m


def _boats(world: wd.World, view: View, answer: bool, labels: Labels) -> list[str]:
    """Return every boat as she lies at the start, the own one filled; with their rodes where asked."""
    parts: list[str] = []
    names: list[str] = []
    for k, pose in enumerate(world.state.boats):
        north, east, heading = (float(pose[c]) for c in (lay.B_NORTH, lay.B_EAST, lay.B_HEADING))
        boat = world.params.boat if k == 0 else world.params.neighbours[k - 1].boat
        shape = outline(boat.outline_m, north, east, heading, view)
        if k == 0:
            parts.append(svg.area([shape], svg.HOT, svg.PANEL, 1.4))
            continue
        other = world.params.neighbours[k - 1]
        if other.comes_from_m is not None:  # not here yet: who sails it does not know of her
            if not answer:
                continue
            parts.append(svg.line([view.at(north, east), view.at(*_berth(other))], svg.SECOND, 1.0, "1.5 4"))
        elif answer and other.rode_m > 0.0:
            bow = boat.particulars.roller_x_m
            bx, by = view.at(north + bow * math.cos(heading), east + bow * math.sin(heading))
            ax, ay = view.at(other.anchor_north_m, other.anchor_east_m)
            parts.append(svg.line([(ax, ay), (bx, by)], svg.SECOND, 1.2, "4 2" if other.rode_kind == "rope" else None))
            parts.append(svg.circle(ax, ay, 2.6, fill=svg.SECOND, stroke=svg.PANEL))
        parts.append(svg.area([shape], svg.PANEL, svg.INK, 1.4))
        x, y = view.at(north, east)
        names.append(labels.put(x, y, other.name, 11.5))
    return parts + names
