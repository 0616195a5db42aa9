"""The brief and the plan before she sails: the chart with what is drawn on it, the facts, the tide, the sheet."""

import math
from collections.abc import Iterator, Sequence

from sim.helm.aids import Aids
from sim.scenario.library import Lesson
from sim.scenario.read.brief import Brief
from sim.ui.measures import tenths
from sim.ui.paint import fonts
from sim.ui.paint.display import LEAST_PX, Disc, Face, Hull, Item, Mark, Panel, Ring, Stroke, Words
from sim.ui.paint.sheet import BODY, LABEL, Sheet
from sim.ui.panels.layout import Layout, Rect
from sim.ui.screens.plan_rows import ROWS, PlanSheet
from sim.ui.screens.scene_chooser import facts
from sim.ui.words import Catalogue

TIDE = 152.0  # units kept free for the curve of the tide, and about it
SHEET = 470.0
ROW = 27.0
ROSE_M = 26.0
BEYOND_PX = 28.0  # from the tip of the way out to its name, to the side
Tide = Sequence[tuple[float, float]]  # hours from now, height above datum [m]


def chart_rect(layout: Layout) -> Rect:
    """Return where the chart is shown."""
    return 0, 0, layout.size[0] - round(SHEET * layout.unit), layout.size[1] - layout.rail[3]


def drawn(plan: PlanSheet, aids: Aids, words: Catalogue) -> Iterator[Item]:
    """Yield what a pencil draws on the chart: spot, circle, the circle of all the rode, her lie, the way out."""
    n, e = plan.spot_m
    lie, out = math.radians(plan.lie_deg), math.radians(plan.escape_deg)
    radius = plan.radius_m(plan.rode_m)
    yield Ring("hand", (n, e), plan.radius_m(plan.brief.boat.rode_m), "second", "dots")
    yield Ring("hand", (n, e), radius, "hot", "dashes")
    reach = radius - plan.brief.boat.loa_m
    bow = (n - reach * math.cos(lie), e - reach * math.sin(lie))
    yield Stroke("hand", ((n, e), bow), "hot", 2.0, (6.0, 4.0), True)
    middle = 0.5 * plan.brief.boat.loa_m
    yield Hull("hand", (bow[0] - middle * math.cos(lie), bow[1] - middle * math.sin(lie)), lie, 0)
    far = radius + ROSE_M
    tip = (n + far * math.cos(out), e + far * math.sin(out))
    yield Stroke("hand", ((n + radius * math.cos(out), e + radius * math.sin(out)), tip), "ink", 2.2, None, True)
    beyond = (BEYOND_PX * math.sin(out), -0.5 * BEYOND_PX * math.cos(out))
    yield Words("hand", tip, words("ui.planning.out"), "text", LABEL, "ink", "c", True, shift=beyond)
    yield Mark("hand", (n, e), "cross", "hot", 9.0)
    yield Disc("hand", (n, e), 3.0, "hot", "casing", 1.5)
    for number, pose in enumerate(aids.others, start=1):
        yield Hull("aid:ranges", (pose.north_m, pose.east_m), pose.heading_rad, number)
    yield Hull("eye", (aids.own.north_m, aids.own.east_m), aids.own.heading_rad, 0)


def sheet(
    layout: Layout, lesson: Lesson, seed: int, plan: PlanSheet, tide: Tide, taken: bool, words: Catalogue
) -> Panel:
    """Return the sheet beside the chart: aim, forecast, tide, boat, and the plan's rows.

    Args:
        layout: of the window.
        lesson: the lesson.
        seed: which of its days.
        plan: as it stands.
        tide: the curve of the stay.
        taken: whether the spot is in hand, so that the arrows move it.
        words: the catalogue.
    """
    _, top, _, tall = chart_rect(layout)
    x0 = layout.size[0] - round(SHEET * layout.unit)
    s = Sheet("planning:sheet", (x0, top, layout.size[0] - x0, tall), layout.unit)
    s.line("frame", [(1, 0), (1, s.tall)], "ink", 2.0)
    s.text("frame", 22, 12, lesson.title, "figure", 26, room=SHEET - 44)
    y = 46.0
    for line in fonts.wrapped(words.prose(lesson.brief.aim), "strong", s.size(BODY), (SHEET - 44) * s.unit)[:2]:
        s.text("brief", 22, y, line, "strong", BODY)
        y += 20
    y = _facts(s, y + 6, lesson, seed, words, plan.brief)
    if any(abs(height - tide[0][1]) > 0.05 for _, height in tide):
        y = _tide(s, y, tide, words)
    _rows(s, max(y + 6, s.tall - ROW * len(ROWS) - 22), plan, taken, words)
    return s.panel()


def _column(s: Sheet, headings: Sequence[str], face: Face, size: float, least: float, most: float) -> float:
    """Return where the values stand behind their headings, so that none is cut while there is room [units]."""
    wide = max(fonts.measure(heading, face, s.size(size)) for heading in headings) / s.unit
    return min(max(22.0 + wide + 10.0, least), most)


def _facts(s: Sheet, y: float, lesson: Lesson, seed: int, words: Catalogue, sailed: Brief) -> float:
    told = facts(lesson, seed, words, sailed)[:4]
    x = _column(s, [heading.upper() for heading, _ in told], "label", LABEL, 118.0, 150.0)
    line_tall = max(18.0, (LEAST_PX + 3.0) / s.unit)
    left = int((s.tall - ROW * len(ROWS) - TIDE - y) / line_tall)  # lines down to tide and plan
    for k, (heading, value) in enumerate(told):
        s.text("frame", 22, y + 1, heading.upper(), "label", LABEL, "second", room=x - 26)
        most = max(left - 2 * (len(told) - 1 - k), 3)
        for line in fonts.wrapped(value, "text", s.size(LABEL), (SHEET - x - 22) * s.unit)[:most]:
            s.text("brief", x, y, line, "text", LABEL)
            y += line_tall
            left -= 1
        y += 3
    return y


def _tide(s: Sheet, y: float, tide: Tide, words: Catalogue) -> float:
    """Draw the tide of the stay: heights over hours, now at the left edge."""
    left, wide, tall = 118.0, SHEET - 150.0, 44.0
    y += max(LEAST_PX / s.unit - 6.0, 0.0)  # the high water's figure stands above the curve
    low, high = min(h for _, h in tide), max(h for _, h in tide)
    hours = tide[-1][0]
    s.text("frame", 22, y + 10, words("ui.planning.tide").upper(), "label", LABEL, "second", room=92)

    def at(hour: float, height: float) -> tuple[float, float]:
        return left + wide * hour / hours, y + 8 + tall * (high - height) / max(high - low, 0.1)

    s.line("frame", [(left, y + 8 + tall), (left + wide, y + 8 + tall)], "rule", 1.0)
    s.line("brief", [at(*point) for point in tide], "ink", 2.0)
    for find in (max, min):
        hour, height = find(tide, key=lambda point: point[1])
        x, top = at(hour, height)
        s.disc("brief", x, top, 3.0, "ink")
        anchor = "se" if x > left + 0.7 * wide else "sw"
        shift = 18.0 if find is min else 0.0
        label = words("ui.planning.at", height_m=tenths(height), hours=f"{hour:.1f}")
        s.text("brief", x + (4 if anchor == "sw" else -4), top + shift, label, "text", LABEL, "ink", anchor)  # type: ignore[arg-type]
    return y + tall + 24


def _rows(s: Sheet, y: float, plan: PlanSheet, taken: bool, words: Catalogue) -> None:
    s.line("frame", [(22, y - 5), (SHEET - 22, y - 5)], "ink", 2.0)
    rows = plan.rows(words)
    x = _column(s, [heading for heading, _ in rows], "text", BODY, 198.0, 230.0)
    for k, (heading, value) in enumerate(rows):
        chosen = k == plan.row
        top = y + ROW * k
        if chosen:
            s.box("frame", (14, top, SHEET - 28, ROW), "hot" if taken else "ink", None, corner=4)
        ink = "panel" if chosen else "second"
        s.text("frame", 24, top + 0.5 * ROW, heading, "text", BODY, ink, "w", x - 30)  # type: ignore[arg-type]
        s.text(
            "hand", x, top + 0.5 * ROW, value, "strong", BODY, "panel" if chosen else "ink", "w",
            SHEET - x - (62 if chosen else 26),
        )  # fmt: skip
        if chosen:
            sign = "↑↓←→" if taken else "Enter" if plan.name == "spot" else "← →"
            s.text("frame", SHEET - 22, top + 0.5 * ROW, sign, "strong", BODY, "panel", "e")
