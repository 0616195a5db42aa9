"""The list of lessons and the brief of the one chosen."""

import math
from collections.abc import Sequence

from sim.base.units import deg, knots
from sim.scenario.library import Lesson
from sim.ui import fonts
from sim.ui.display import Panel
from sim.ui.layout import Layout, Rect
from sim.ui.sheet import BODY, LABEL, LEAD, Sheet
from sim.ui.words import Catalogue

LIST = 400.0
ROW = 84.0
PICTURE = 0.54  # of the height above the rail


def picture_rect(layout: Layout) -> Rect:
    """Return where the chart of the lesson chosen is shown."""
    left = round(LIST * layout.unit)
    tall = layout.size[1] - layout.rail[3]
    return left, 0, layout.size[0] - left, round(PICTURE * tall)


def lessons(layout: Layout, all_of_them: Sequence[Lesson], chosen: int, compiling: str, words: Catalogue) -> Panel:
    """Return the list; ``compiling`` is the line that says so, empty when all is ready."""
    tall = layout.size[1] - layout.rail[3]
    sheet = Sheet("chooser:list", (0, 0, round(LIST * layout.unit), tall), layout.unit)
    sheet.text("frame", 24, 20, words("ui.chooser.title"), "figure", 34)
    sheet.text("frame", 24, 62, words("ui.chooser.lead"), "text", BODY, "second", room=LIST - 48)
    sheet.rule(92, "ink", 2.0, 24)
    for k, lesson in enumerate(all_of_them):
        y = 102 + k * ROW
        if k == chosen:
            sheet.box("frame", (12, y, LIST - 24, ROW - 8), "ink", corner=5)
        ink, dim = ("panel", "rule") if k == chosen else ("ink", "second")
        sheet.text("brief", 26, y + 9, lesson.title, "strong", 19, ink, room=LIST - 160)  # type: ignore[arg-type]
        level = words(f"ui.level.{lesson.level}") if words.known(f"ui.level.{lesson.level}") else lesson.level
        sheet.text("brief", LIST - 26, y + 12, level, "label", BODY, dim, "ne")  # type: ignore[arg-type]
        room = (LIST - 52) * sheet.unit
        for n, line in enumerate(fonts.wrapped(lesson.brief.aim, "text", sheet.size(LABEL), room)[:2]):
            sheet.text("brief", 26, y + 35 + 18 * n, line, "text", LABEL, dim)  # type: ignore[arg-type]
    if compiling:
        for n, line in enumerate(fonts.wrapped(compiling, "strong", sheet.size(BODY), (LIST - 48) * sheet.unit)):
            sheet.text("frame", 24, sheet.tall - 110 + 21 * n, line, "strong", BODY, "hot")
    caution = fonts.wrapped(words("ui.caution"), "text", sheet.size(LABEL), (LIST - 48) * sheet.unit)[:3]
    for n, line in enumerate(caution):
        sheet.text("frame", 24, sheet.tall - 16 - 18 * (len(caution) - n), line, "text", LABEL, "second")
    sheet.line("frame", [(LIST - 1, 0), (LIST - 1, sheet.tall)], "ink", 2.0)
    return sheet.panel()


def facts(lesson: Lesson, seed: int, words: Catalogue) -> list[tuple[str, str]]:
    """Return the brief's facts, each a heading and a value: forecast, tide, boat, ground tackle, the day."""
    b = lesson.brief
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
    heights = words("ui.brief.tide", rise_m=f"{t.rise_m:.1f}", fall_m=f"{t.fall_m:.1f}")
    tide = heights if moves else words("ui.head.no_tide")
    draught, roller = f"{boat.draught_m:.1f}", f"{boat.roller_height_m:.1f}"
    ship = words("ui.brief.boat", title=boat.title, draught_m=draught, roller_m=roller)
    gear = words(
        "ui.brief.gear", chain_m=f"{boat.chain_m:.0f}", chain_mm=f"{boat.chain_mm:.0f}",
        anchor=words(f"ui.anchor.{boat.anchor}") if words.known(f"ui.anchor.{boat.anchor}") else boat.anchor,
        anchor_kg=f"{boat.anchor_kg:.0f}", rate_mpmin=f"{boat.windlass_mps * 60.0:.0f}",
    )  # fmt: skip
    return [
        (words("ui.brief.wind.title"), wind),
        (words("ui.brief.tide.title"), tide),
        (words("ui.brief.boat.title"), ship),
        (words("ui.brief.gear.title"), gear),
        (words("ui.brief.day.title"), words("ui.brief.day", seed=seed, limit_min=f"{lesson.limit_s / 60.0:.0f}")),
    ]


def brief(layout: Layout, lesson: Lesson, seed: int, words: Catalogue) -> Panel:
    """Return the brief of a lesson, below its chart."""
    left, _, wide, top = picture_rect(layout)
    sheet = Sheet("chooser:brief", (left, top, wide, layout.size[1] - layout.rail[3] - top), layout.unit)
    sheet.line("frame", [(0, 1), (sheet.wide, 1)], "ink", 2.0)
    sheet.text("brief", 28, 16, lesson.title, "figure", 28, room=sheet.wide - 56)
    y = 56.0
    for text, face, size in ((lesson.brief.aim, "strong", LEAD), (lesson.brief.words, "text", LEAD)):
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
    return sheet.panel()


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
