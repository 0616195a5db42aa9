"""The result: the verdict and why, what became of her and how it was done, what to change; the plan beside it."""

from typing import Any

from sim.marking import advice
from sim.marking.errors.found import root
from sim.pages import page_rows, plan_picture
from sim.pages.bay_picture import WIDTH
from sim.pages.debrief import speaker
from sim.pages.plan_picture import Moment
from sim.play.attempt import Marked
from sim.ui.measures import tenths, whole
from sim.ui.paint import fonts
from sim.ui.paint.display import Panel
from sim.ui.paint.sheet import BODY, LEAD, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.words import Catalogue

MARGIN = 36.0
PICTURE = 0.46  # of the window's width


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


def _phases(sheet: Sheet, marked: Marked, x: float, y: float, wide: float, words: Catalogue) -> float:
    rated = marked.result["self_rating"] or {}
    for phase in marked.marks.phases:
        said = rated.get(phase.code)
        title = phase.title if said is None else f"{phase.title} · {words('page.you_said')} {said}/5"
        sheet.text("told", x, y + 4, title, "text", LEAD, room=wide - 94)
        bar = 30.0
        left = x + wide - bar - 56
        sheet.box("frame", (left, y + 9, bar, 7), "rule", corner=4)
        share = phase.points / phase.of if phase.of else 0.0
        if share > 0.01:
            sheet.box("told", (left, y + 9, bar * share, 7), "ink", corner=4)
        sheet.text("told", x + wide, y + 3, f"{phase.points:.0f}/{phase.of:.0f}", "figure", 19, anchor="ne")
        y += 27
    return y


def first_cause(marked: Marked) -> tuple[float, str] | None:
    """Return when what should be changed first happened, and its sentence; None where no error was named."""
    if not marked.errors:
        return None
    first = root(marked.errors[0], marked.errors)
    return first.t_s, first.text(marked.language)


def plan(marked: Marked, words: Catalogue) -> str:
    """Return the bay from above as SVG: track, chain and anchor, the moments numbered, the first cause marked."""
    say = speaker(words.words)
    shown = page_rows.moments(marked.run, say)
    cause = first_cause(marked)
    if cause is not None and marked.run.moments.touch is not None:
        shown.append(Moment("!", min(cause[0], marked.run.track.end_s), words("ui.result.cause")))
    return plan_picture.draw(marked.run, shown, words("page.plan.title"), words("page.plan.wind"))


def picture_rect(layout: Layout, marked: Marked) -> tuple[int, int, int, int]:
    """Return where the plan stands, in pixels: left, top, width, height."""
    wide, tall, u = layout.size[0], layout.size[1] - layout.rail[3], layout.unit
    left = round((1.0 - PICTURE) * wide)
    room = wide - left - round(MARGIN * u), tall - round((74 + 70) * u)
    share = plan_picture.make_view(marked.run).height / WIDTH
    across = min(room[0], round(room[1] / share))
    return left, round(74 * u), across, round(across * share)


def result(layout: Layout, marked: Marked, title: str, words: Catalogue) -> Panel:
    """Return the result's panel, the whole screen above the rail, but for the plan at its right."""
    wide_px, tall_px = layout.size
    sheet = Sheet("result", (0, 0, wide_px, tall_px - layout.rail[3]), layout.unit)
    right = sheet.wide - MARGIN
    sheet.text("frame", MARGIN, 26, title, "figure", 30, room=right - MARGIN - 330)
    passed = marked.marks.passed
    total = words("ui.result.points", points=f"{marked.marks.points:.0f}")
    verdict = f"{total}, {words('ui.result.passed' if passed else 'ui.result.again')}"
    sheet.text("told", right, 32, verdict, "figure", 22, "ink" if passed else "hot", "ne")
    wide = picture_rect(layout, marked)[0] / layout.unit - 2 * MARGIN
    y = _verdict(sheet, marked, 74.0, wide, words)
    y = _columns(sheet, marked, y + 8, wide, words)
    y = _advice(sheet, marked, y + 10, wide, words)
    _costliest(sheet, marked, y + 8, wide, words)
    _moments(sheet, marked, layout, words)
    where = words("ui.result.page", path=str((marked.folder / "debrief.html").absolute()))
    sheet.text("told", MARGIN, sheet.tall - 18, where, "text", BODY, "second", "sw", right - MARGIN)
    return sheet.panel()


def _lines(sheet: Sheet, at: tuple[float, float], text: str, wide: float, most: int, **look: Any) -> float:
    """Set a sentence on as many lines as it needs, at most so many; return where the next begins."""
    x, y = at
    face, ink = look.get("face", "text"), look.get("ink", "ink")
    for line in fonts.wrapped(text, face, sheet.size(LEAD), wide * sheet.unit)[:most]:
        sheet.text("told", x, y, line, face, LEAD, ink, room=wide)
        y += 22
    return y


def _verdict(sheet: Sheet, marked: Marked, y: float, wide: float, words: Catalogue) -> float:
    """Say why she passed or not, and what held the points: the gravest three."""
    for row in marked.result["verdict"][:3]:
        ink = "hot" if row["fails"] else "ink"
        y = _lines(sheet, (MARGIN, y), words.prose(row["text"]), wide, 2, face="strong", ink=ink) + 3
    return y


def _columns(sheet: Sheet, marked: Marked, y: float, wide: float, words: Catalogue) -> float:
    """Set the outcome and what the lesson asks at the left, the phases at their right."""
    gap = 28.0
    column = 0.42 * (wide - gap)
    right = wide - gap - column
    _heading(sheet, MARGIN, y, words("ui.result.outcome"), column)
    below = y + 34
    rows = outcome_lines(marked, words)
    for goal in page_rows.goals(marked.marks, lambda key, values: words(key, **values)):
        value, wanted = words.prose(goal["value"] or "–"), words.prose(goal["wanted"])
        rows.append((words("ui.result.goal", title=goal["title"], value=value, wanted=wanted), goal["met"]))
    for line, good in rows:
        sheet.disc("told", MARGIN + 6, below + 11, 5, "ink" if good else "hot")
        ink = "ink" if good else "hot"
        below = _lines(sheet, (MARGIN + 22, below), line, column - 22, 4, ink=ink) + 4
    left = MARGIN + column + gap
    _heading(sheet, left, y, words("ui.result.process"), right)
    return max(_phases(sheet, marked, left, y + 32, right, words), below)


def _advice(sheet: Sheet, marked: Marked, y: float, wide: float, words: Catalogue) -> float:
    """Say what to change first, what to watch and what to keep, in the order and the words of the debrief page."""
    for key in ("change", "watch", "keep"):
        text = words.prose(marked.result["feedback"].get(key, ""))
        if not text or y > sheet.tall - 90:
            continue
        sheet.text("frame", MARGIN, y + 1, words(f"page.{key}").upper(), "label", 14, "second", room=92)
        y = _lines(sheet, (MARGIN + 98, y), text, wide - 98, 3) + 6
    return y


def _costliest(sheet: Sheet, marked: Marked, y: float, wide: float, words: Catalogue) -> None:
    """Name the measures that cost most, as many as there is room for, each with what it came to."""
    if y > sheet.tall - 130 or not marked.marks.costliest:
        return
    _heading(sheet, MARGIN, y, words("ui.result.costliest"), wide)
    y += 34
    for m in marked.marks.costliest:
        if y > sheet.tall - 70:
            break
        row = page_rows.measure(m)
        sheet.text("told", MARGIN, y, f"−{m.lost:.1f}", "figure", 19, "hot")
        below = _lines(sheet, (MARGIN + 60, y + 1), m.title, wide - 60 - 90, 3)
        value = f"{row['value'] or '–'}{'°' if m.unit == 'deg' else ' ' + m.unit}".rstrip()
        sheet.text("told", MARGIN + wide, y + 1, words.prose(value), "text", LEAD, anchor="ne")
        y = below + 4


def _moments(sheet: Sheet, marked: Marked, layout: Layout, words: Catalogue) -> None:
    """Name the moments below the plan, on at most two lines."""
    left, top, wide, tall = (v / layout.unit for v in picture_rect(layout, marked))
    say = speaker(words.words)
    named = [f"{q.number} {q.words}" for q in page_rows.moments(marked.run, say)]
    if first_cause(marked) is not None:
        named.append(f"! {words('ui.result.cause')}")
    text = " · ".join(named)
    for k, line in enumerate(fonts.wrapped(text, "text", sheet.size(BODY), wide * sheet.unit)[:3]):
        sheet.text("told", left, top + tall + 6 + 18 * k, line, "text", BODY, "second", room=wide)
