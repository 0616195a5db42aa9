"""The result: what became of her and how it was done, apart; and the three measures that cost most, in words."""

from sim.marking import advice
from sim.pages import page_rows
from sim.play.attempt import Marked
from sim.ui.measures import tenths, whole
from sim.ui.paint import fonts
from sim.ui.paint.display import Panel
from sim.ui.paint.sheet import BODY, LEAD, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.words import Catalogue

MARGIN = 48.0


def outcome_lines(marked: Marked, words: Catalogue) -> list[tuple[str, bool]]:
    """Return what became of her, each line with whether it is good."""
    came = marked.outcome
    lines = []
    if marked.result["refused"]:
        rightly = marked.marks.passed
        lines.append((words("ui.result.left" if rightly else "ui.result.left_wrongly"), rightly))
    elif came.drag_m is None:
        lines.append((words("ui.result.not_anchored"), False))
    else:
        lines.append((words("ui.result.held" if came.held else "ui.result.not_held"), came.held))
        moved = "ui.result.drag" if came.tested else "ui.result.drag_untested"
        lines.append((words(moved, drag_m=tenths(came.drag_m)), came.tested and came.drag_m <= 3.0))
    if came.min_gap_m is not None:
        lines.append((words("ui.result.gap", gap_m=tenths(came.min_gap_m)), came.min_gap_m > 5.0))
    if came.grounded:
        lines.append((words("event.grounded"), False))
    if came.contact:
        lines.append((words("event.touched"), False))
    if came.held_through_night is not None:
        lines.append((words(f"ui.result.night.{came.held_through_night}"), came.held_through_night))
    if marked.result["departure"] is not None:
        gone = marked.result["departure"]["gone_s"] is not None
        lines.append((words(f"ui.result.departed.{gone}"), gone))
    if came.scope is not None:
        lines.append((words("ui.result.scope", out_m=whole(came.out_m), scope=advice.figure(came.scope)), True))
    return lines


def _heading(sheet: Sheet, x: float, y: float, text: str, wide: float) -> None:
    sheet.text("frame", x, y, text.upper(), "label", 16, "second")
    sheet.line("frame", [(x, y + 24), (x + wide, y + 24)], "ink", 2.0)


def _phases(sheet: Sheet, marked: Marked, x: float, y: float, wide: float) -> float:
    for phase in marked.marks.phases:
        sheet.text("told", x, y + 4, phase.title, "text", LEAD, room=wide - 210)
        bar = 120.0
        left = x + wide - bar - 62
        sheet.box("frame", (left, y + 10, bar, 8), "rule", corner=4)
        share = phase.points / phase.of if phase.of else 0.0
        if share > 0.01:
            sheet.box("told", (left, y + 10, bar * share, 8), "ink", corner=4)
        sheet.text("told", x + wide, y + 3, f"{phase.points:.0f} / {phase.of:.0f}", "figure", 19, anchor="ne")
        y += 31
    return y


def result(layout: Layout, marked: Marked, title: str, words: Catalogue) -> Panel:
    """Return the result's panel, the whole screen above the rail."""
    wide_px, tall_px = layout.size
    sheet = Sheet("result", (0, 0, wide_px, tall_px - layout.rail[3]), layout.unit)
    right = sheet.wide - MARGIN
    sheet.text("frame", MARGIN, 30, title, "figure", 32, room=right - MARGIN - 260)
    verdict = words("ui.result.passed" if marked.marks.passed else "ui.result.again")
    sheet.text("told", right, 38, verdict, "strong", 20, "ink", "ne")
    column = 0.38 * (right - MARGIN)
    _heading(sheet, MARGIN, 88, words("ui.result.outcome"), column)
    y = 124.0
    for line, good in outcome_lines(marked, words):
        sheet.disc("told", MARGIN + 6, y + 12, 5, "ink" if good else "hot")
        for part in fonts.wrapped(line, "strong", sheet.size(LEAD + 1), (column - 24) * sheet.unit)[:2]:
            sheet.text("told", MARGIN + 24, y, part, "strong", LEAD + 1, "ink" if good else "hot", room=column - 24)
            y += 23
        y += 8
    for goal in page_rows.goals(marked.marks, lambda key, values: words(key, **values)):
        line = words(
            "ui.result.goal",
            title=goal["title"],
            value=words.prose(goal["value"] or "–"),
            wanted=words.prose(goal["wanted"]),
        )
        sheet.disc("told", MARGIN + 6, y + 12, 5, "ink" if goal["met"] else "hot")
        for part in fonts.wrapped(line, "text", sheet.size(LEAD), (column - 24) * sheet.unit)[:2]:
            sheet.text("told", MARGIN + 24, y, part, "text", LEAD, "ink" if goal["met"] else "hot", room=column - 24)
            y += 23
        y += 8
    for fail in marked.fails:
        sheet.text("told", MARGIN + 24, y, fail.title, "strong", LEAD, "hot", room=column - 24)
        y += 28
    left, wide = MARGIN + column + 56, right - MARGIN - column - 56
    _heading(sheet, left, 88, words("ui.result.process"), wide)
    total = words("ui.result.points", points=f"{marked.marks.points:.0f}")
    sheet.text("told", left + wide, 84, total, "figure", 20, anchor="ne")
    y = max(_phases(sheet, marked, left, 122, wide), y) + 22
    y = _costliest(sheet, marked, y, words)
    keep = words.prose(marked.result["feedback"].get("keep", ""))
    if keep:
        _heading(sheet, MARGIN, y + 6, words("ui.result.keep"), right - MARGIN)
        for k, line in enumerate(fonts.wrapped(keep, "text", sheet.size(LEAD), (right - MARGIN) * sheet.unit)[:2]):
            sheet.text("told", MARGIN, y + 42 + 23 * k, line, "text", LEAD)
    where = words("ui.result.page", path=str((marked.folder / "debrief.html").absolute()))
    sheet.text("told", MARGIN, sheet.tall - 18, where, "text", BODY, "second", "sw", right - MARGIN)
    return sheet.panel()


def _costliest(sheet: Sheet, marked: Marked, y: float, words: Catalogue) -> float:
    right = sheet.wide - MARGIN
    _heading(sheet, MARGIN, y, words("ui.result.costliest"), right - MARGIN)
    y += 36
    if not marked.marks.costliest:
        sheet.text("told", MARGIN, y, words("ui.result.nothing_lost"), "text", LEAD)
        y += 36
    room = (right - MARGIN - 130) * sheet.unit
    for m in marked.marks.costliest:
        sheet.text("told", MARGIN, y + 1, f"−{m.lost:.1f}", "figure", 26, "hot")
        lines = fonts.wrapped(words.prose(advice.sentence(m, marked.language)), "text", sheet.size(LEAD), room)[:3]
        for k, line in enumerate(lines):
            sheet.text("told", MARGIN + 84, y + 23 * k, line, "text", LEAD)
        y += 23 * max(len(lines), 1) + 17
    return y
