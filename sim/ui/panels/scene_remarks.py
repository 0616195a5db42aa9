"""The remarks beside a run looked at again: the list of them over the chart, and the line being written."""

from collections.abc import Sequence

from sim.pages.strip_picture import clock
from sim.record.remarks import Remark
from sim.ui.paint import fonts
from sim.ui.paint.display import Panel
from sim.ui.paint.sheet import BODY, LABEL, LEAD, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.words import Catalogue

WIDE, ROW, MOST = 330.0, 22.0, 8


def listed(
    layout: Layout, kept: Sequence[Remark], here: Remark | None, t_s: float, gone: str, words: Catalogue
) -> Panel | None:
    """Return the list of remarks round a time, the one that is here hot and ``gone`` below; None where are none."""
    if not kept:
        return None
    u = layout.small
    at = next((k for k, one in enumerate(kept) if one.t_s >= t_s), len(kept) - 1)
    first = max(min(at - MOST // 2, len(kept) - MOST), 0)
    shown = kept[first : first + MOST]
    left, top = layout.plan[:2]
    rect = (
        left + round(12 * u),
        top + round(12 * u),
        round(WIDE * u),
        round((38 + ROW * (len(shown) + (here is not None))) * u),
    )
    sheet = Sheet("plan:remarks", rect, u)
    sheet.box("frame", (1, 1, sheet.wide - 2, sheet.tall - 2), None, "ink", 2.0)
    sheet.label(12, 7, words("ui.remarks.title"), sheet.wide - 24)
    for k, one in enumerate(shown):
        y, on = 29 + ROW * k, one == here
        sheet.text("told", 12, y, clock(one.t_s), "figure", BODY, "hot" if on else "second")
        sheet.text("told", 62, y, one.text, "strong" if on else "text", BODY, "hot" if on else "ink", room=WIDE - 74)
    if here is not None:
        sheet.text("frame", 62, 29 + ROW * len(shown), gone, "text", LABEL, "second", room=WIDE - 74)
    return sheet.panel()


def line(layout: Layout, text: str, at_s: float, words: Catalogue) -> Panel:
    """Return the field in which a remark is written; of a long one its end is seen."""
    u = layout.small
    left, top, wide, tall = layout.plan
    rect = (left + round(12 * u), top + tall - round(84 * u), wide - round(24 * u), round(72 * u))
    sheet = Sheet("plan:remark", rect, u)
    sheet.box("frame", (1.5, 1.5, sheet.wide - 3, sheet.tall - 3), None, "hot", 3.0)
    sheet.text("frame", 14, 8, words("ui.remarks.for", at=clock(at_s)), "label", LABEL, "second", room=220)
    how = words("ui.remarks.how")
    sheet.text("frame", sheet.wide - 14, 8, how, "text", LABEL, "second", "ne", sheet.wide - 260)
    shown, size = text + "|", sheet.size(LEAD)
    while fonts.measure(shown, "text", size) > (sheet.wide - 28) * u and len(shown) > 1:
        shown = shown[1:]
    sheet.text("hand", 14, 36, shown, "text", LEAD)
    return sheet.panel()
