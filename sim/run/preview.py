"""A lesson's bay as a picture: chart, boats as they lie, and where she is asked to anchor."""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import to_world
from sim.core import world as wd
from sim.marking import bay_picture, svg
from sim.marking.bay_picture import WIDTH, Sheet, View
from sim.marking.label_places import Labels
from sim.marking.plan_picture import outline
from sim.model import layout as lay
from sim.model.catenary import reach_on_bed_m
from sim.scenario.library import Lesson, load_words

XMLNS = "http://www.w3.org/2000/svg"
PAGE = 0.9  # height over width of a chart on a page


def draw(lesson: Lesson, answer: bool = True, seed: int = 1, whole: bool = True) -> str:
    """Return the picture as SVG.

    Args:
        lesson: the lesson.
        answer: also what the trainee is not told: uncharted ground and snags, the reference plan, others' rodes.
        seed: of the wind the others lie in.
        whole: the whole of a long bay; else only so much of it about start and anchorage as fits a page.
    """
    lesson = lesson.on(seed)
    world = wd.build(lesson.world(seed))
    bay = world.params.bay
    view = _view(bay.depth_m, bay.raster)
    if not whole:
        view = _about(lesson, view)
    wind = lesson.brief.forecast
    sheet: Sheet = bay if answer else lesson.brief.chart
    labels = Labels(WIDTH, view.height, [(10.0, 10.0, 134.0, 74.0)])
    layers = (
        bay_picture.depths(bay, view),
        _asked(lesson, view),
        bay_picture.charted(sheet, view, labels),
        bay_picture.obstructions(
            [(s.name, s.north_m, s.east_m) for s in lesson.sources.bay.snags if s.charted or answer], view, labels
        ),
        _answer(lesson, view) if answer else [],
        _boats(world, view, answer, labels),
        bay_picture.rose(
            view, *to_world(-wind.mean_mps, 0.0, wind.from_rad), load_words(lesson.language)["page.plan.wind"]
        ),
    )
    parts = [part for layer in layers for part in layer]
    picture = svg.picture(WIDTH, view.height, parts, lesson.title, "preview")
    return picture.replace("<svg ", f'<svg xmlns="{XMLNS}" font-family="Fira Sans, sans-serif" ', 1)


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
        if answer and other.rode_m > 0.0:
            bow = boat.particulars.roller_x_m
            bx, by = view.at(north + bow * math.cos(heading), east + bow * math.sin(heading))
            ax, ay = view.at(other.anchor_north_m, other.anchor_east_m)
            parts.append(svg.line([(ax, ay), (bx, by)], svg.SECOND, 1.2, "4 2" if other.rode_kind == "rope" else None))
            parts.append(svg.circle(ax, ay, 2.6, fill=svg.SECOND, stroke=svg.PANEL))
        parts.append(svg.area([shape], svg.PANEL, svg.INK, 1.4))
        x, y = view.at(north, east)
        names.append(labels.put(x, y, other.name, 11.5))
    return parts + names
