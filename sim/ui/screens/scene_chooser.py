"""The list of lessons and the brief of the one chosen."""

import math
from collections.abc import Mapping, Sequence
from typing import Protocol

from sim.base.units import deg, knots
from sim.pages.asked import asked
from sim.play.history import Tried
from sim.scenario.library import Lesson
from sim.scenario.read import forecast
from sim.scenario.read.brief import Brief
from sim.ui.measures import tenths, whole
from sim.ui.paint import fonts
from sim.ui.paint.display import Panel
from sim.ui.paint.palette import Ink
from sim.ui.paint.sheet import BODY, LABEL, LEAD, Sheet
from sim.ui.panels.layout import Layout, Rect
from sim.ui.words import Catalogue

LIST = 400.0
ROW = 34.0
HEAD, FOOT = 100.0, 132.0  # of the list, above and below its rows
PICTURE = 0.54  # of the height above the rail


class Listed(Protocol):
    """What the list shows of a lesson."""

    @property
    def name(self) -> str:
        """Its name in the library."""

    @property
    def title(self) -> str:
        """Its title, in the language of the list."""

    @property
    def level(self) -> str:
        """Its level, a key of the word list."""


def picture_rect(layout: Layout) -> Rect:
    """Return where the chart of the lesson chosen is shown."""
    left = round(LIST * layout.unit)
    tall = layout.size[1] - layout.rail[3]
    return left, 0, layout.size[0] - left, round(PICTURE * tall)


def lessons(
    layout: Layout,
    all_of_them: Sequence[Listed],
    chosen: int,
    tried: Mapping[str, Sequence[Tried]],
    compiling: str,
    words: Catalogue,
) -> Panel:
    """Return the list, rolled so that the lesson chosen is in it.

    Args:
        layout: of the window.
        all_of_them: the lessons, in the order of the syllabus.
        chosen: number of the one chosen.
        tried: the person's last attempts, by lesson.
        compiling: the line that says so, empty when all is ready.
        words: the catalogue.
    """
    tall = layout.size[1] - layout.rail[3]
    sheet = Sheet("chooser:list", (0, 0, round(LIST * layout.unit), tall), layout.unit)
    sheet.text("frame", 24, 20, words("ui.chooser.title"), "figure", 34)
    sheet.text("frame", 24, 62, words("ui.chooser.lead"), "text", BODY, "second", room=LIST - 48)
    sheet.rule(92, "ink", 2.0, 24)
    shown = max(int((sheet.tall - HEAD - FOOT) / ROW), 1)
    first = min(max(chosen - shown // 2, 0), max(len(all_of_them) - shown, 0))
    for k, lesson in enumerate(all_of_them[first : first + shown]):
        _row(sheet, HEAD + k * ROW, lesson, first + k == chosen, tried.get(lesson.name, ()), words)
    if len(all_of_them) > shown:
        _roll(sheet, first, shown, len(all_of_them))
    if compiling:
        for n, line in enumerate(fonts.wrapped(compiling, "strong", sheet.size(BODY), (LIST - 48) * sheet.unit)[:3]):
            sheet.text("frame", 24, sheet.tall - 124 + 20 * n, line, "strong", BODY, "hot")
    caution = fonts.wrapped(words("ui.caution"), "text", sheet.size(LABEL), (LIST - 48) * sheet.unit)[:4]
    for n, line in enumerate(caution):
        sheet.text("frame", 24, sheet.tall - 12 - 18 * (len(caution) - n), line, "text", LABEL, "second")
    sheet.line("frame", [(LIST - 1, 0), (LIST - 1, sheet.tall)], "ink", 2.0)
    return sheet.panel()


def _row(sheet: Sheet, y: float, lesson: Listed, chosen: bool, tried: Sequence[Tried], words: Catalogue) -> None:
    """Set a lesson's row: title, a square for each of the last attempts, solid where it passed, and the level."""
    ink: Ink = "panel" if chosen else "ink"
    dim: Ink = "rule" if chosen else "second"
    if chosen:
        sheet.box("frame", (12, y, LIST - 32, ROW - 2), "ink", corner=5)
    middle = y + 0.5 * ROW - 1.0
    sheet.text("brief", 26, middle, lesson.title, "strong", LEAD, ink, "w", LIST - 142 - 13 * len(tried))
    level = words(f"ui.level.{lesson.level}") if words.known(f"ui.level.{lesson.level}") else lesson.level
    sheet.text("brief", LIST - 34, middle, level, "label", LABEL, dim, "e")
    for n, one in enumerate(tried):
        x = LIST - 96 - 13 * (len(tried) - n)
        sheet.box("told", (x, middle - 5, 10, 10), ink if one.passed and not one.assisted else None, ink, 1.6, 2)


def _roll(sheet: Sheet, first: int, shown: int, count: int) -> None:
    """Show how much of the list is in sight."""
    top, tall = HEAD, sheet.tall - HEAD - FOOT
    sheet.box("frame", (LIST - 12, top, 5, tall), "rule", corner=2)
    sheet.box("frame", (LIST - 12, top + tall * first / count, 5, tall * shown / count), "second", corner=2)


def facts(lesson: Lesson, seed: int, words: Catalogue, sailed: Brief | None = None) -> list[tuple[str, str]]:
    """Return the brief's facts, each a heading and a value: forecast, tide, boat, ground tackle, the day.

    ``sailed`` is the brief in the boat she is sailed in, where that is another than the lesson's own.
    """
    b = sailed or lesson.brief
    f, t, boat = b.forecast, b.tide, b.boat
    wind = words(
        "ui.brief.wind",
        mean_kn=f"{knots(f.mean_mps):.0f}",
        gust_kn=f"{knots(f.gust_mps):.0f}",
        source=f"{round(deg(f.from_rad)) % 360:03d}°",
        first=f"{round(deg(f.sector_rad[0])) % 360:03d}°",
        final=f"{round(deg(f.sector_rad[1])) % 360:03d}°",
    )
    moves = t.rise_m + t.fall_m > 0.05
    heights = words("ui.brief.tide", rise_m=tenths(t.rise_m), fall_m=tenths(t.fall_m), unit=words.unit("depth"))
    tide = heights if moves else words("ui.head.no_tide")
    draught, roller = tenths(boat.draught_m), tenths(boat.roller_height_m)
    ship = words("ui.brief.boat", title=boat.title, draught_m=draught, roller_m=roller)
    gear = words(
        "ui.brief.gear_rope" if boat.rope_m else "ui.brief.gear",
        chain_m=whole(boat.chain_m), chain_mm=f"{boat.chain_mm:.0f}", rope_m=whole(boat.rope_m),
        anchor=words(f"ui.anchor.{boat.anchor}") if words.known(f"ui.anchor.{boat.anchor}") else boat.anchor,
        anchor_kg=f"{boat.anchor_kg:.0f}", rate_mpmin=whole(boat.windlass_mps * 60.0),
    )  # fmt: skip
    return [
        (words("ui.brief.wind.title"), wind),
        *((words("ui.brief.warning.title"), words(key, **values)) for key, values in forecast.lines(f)),
        (words("ui.brief.tide.title"), tide),
        (words("ui.brief.boat.title"), ship),
        (words("ui.brief.gear.title"), gear),
        *_asked(lesson, words),
        (words("ui.brief.day.title"), _day(lesson, seed, words)),
    ]


def _asked(lesson: Lesson, words: Catalogue) -> list[tuple[str, str]]:
    """Return the row that says what the lesson asks for a pass beside the marks, none where it asks nothing."""
    lines = asked(lesson, lambda key, values: words(key, **values))
    return [(words("sheet.goal"), words.prose("; ".join(lines) + "."))] if lines else []


def brief(layout: Layout, lesson: Lesson, seed: int, tried: Sequence[Tried], words: Catalogue) -> Panel:
    """Return the brief of a lesson, below its chart, with the person's last attempts at it."""
    left, _, wide, top = picture_rect(layout)
    sheet = Sheet("chooser:brief", (left, top, wide, layout.size[1] - layout.rail[3] - top), layout.unit)
    sheet.line("frame", [(0, 1), (sheet.wide, 1)], "ink", 2.0)
    sheet.text("brief", 28, 16, lesson.title, "figure", 28, room=sheet.wide - 56)
    y = 56.0
    for text, face, size in (
        (words.prose(lesson.brief.aim), "strong", LEAD),
        (words.prose(lesson.brief.words), "text", LEAD),
    ):
        room = (sheet.wide - 56) * sheet.unit
        for line in fonts.wrapped(text, face, sheet.size(size), room):  # type: ignore[arg-type]
            sheet.text("brief", 28, y, line, face, size)  # type: ignore[arg-type]
            y += 23
        y += 6
    y += 6
    room = (sheet.wide - 56 - 120) * sheet.unit
    for heading, value in facts(lesson, seed, words):
        sheet.text("frame", 28, y + 1, heading.upper(), "label", LABEL, "second", room=112)
        for line in fonts.wrapped(value, "text", sheet.size(BODY), room):
            if y > sheet.tall - 22:
                break
            sheet.text("brief", 148, y, line, "text", BODY)
            y += 21
        y += 4
    if tried:
        _attempts(sheet, max(y + 6, sheet.tall - 74), tried, words)
    return sheet.panel()


def _attempts(sheet: Sheet, y: float, tried: Sequence[Tried], words: Catalogue) -> None:
    """Draw each of the last attempts as a small picture: one bar a phase, the oldest at the left, never an average."""
    sheet.text("frame", 28, y + 1, words("ui.chooser.last").upper(), "label", LABEL, "second", room=112)
    for n, one in enumerate(tried):
        left = 148.0 + 108.0 * n
        for k, share in enumerate(one.shares.values()):
            x = left + 11.0 * k
            sheet.box("frame", (x, y, 8, 34), None, "second", 1.0)
            if share > 0.02:
                sheet.box("told", (x, y + 34 * (1.0 - share), 8, 34 * share), "ink")
        mark = words("ui.chooser.assisted") if one.assisted else words("ui.chooser.points", points=f"{one.points:.0f}")
        sheet.text("told", left, y + 38, mark, "label", LABEL, room=104)


def wind_arrow(layout: Layout, lesson: Lesson, words: Catalogue) -> Panel:
    """Return the forecast wind as an arrow on the chart's corner."""
    left, top, wide, _ = picture_rect(layout)
    u = layout.unit
    w, h = round(118 * u), round(62 * u)
    sheet = Sheet("chooser:wind", (left + wide - w - round(14 * u), top + round(14 * u), w, h), u)
    sheet.box("frame", (0.75, 0.75, sheet.wide - 1.5, sheet.tall - 1.5), None, "ink", 1.5)
    f = lesson.brief.forecast
    s, c = math.sin(f.from_rad), -math.cos(f.from_rad)
    cx, cy = 32.0, 31.0
    tail, tip = (cx + 20 * s, cy + 20 * c), (cx - 20 * s, cy - 20 * c)
    base = (tip[0] + 11 * s, tip[1] + 11 * c)
    sheet.line("brief", [tail, tip], "ink", 2.4)
    sheet.fill("brief", [tip, (base[0] - 5.5 * c, base[1] + 5.5 * s), (base[0] + 5.5 * c, base[1] - 5.5 * s)], "ink")
    sheet.text("brief", 62, 8, f"{knots(f.mean_mps):.0f}", "figure", 26)
    sheet.text("frame", 62, 38, words("ui.kn"), "label", BODY, "second")
    return sheet.panel()


def _day(lesson: Lesson, seed: int, words: Catalogue) -> str:
    """Return which day it is and how long there is, at first and when the stay is over."""
    said = words("ui.brief.day", seed=seed, limit_min=f"{lesson.limit_s / 60.0:.0f}")
    out_s = lesson.brief.departure_s
    return said if out_s is None else said + words("ui.brief.departure", limit_min=f"{out_s / 60.0:.0f}")
