"""The page of settings: a few rows at the left, every key at the right, rolled so that the row in hand is seen."""

from collections.abc import Sequence

from sim.ui.paint.display import Panel
from sim.ui.paint.palette import Ink
from sim.ui.paint.sheet import BODY, LEAD, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.panels.scene_rail import cap_width
from sim.ui.words import Catalogue

MARGIN, TOP = 48.0, 132.0
ROW, KEY_ROW = 46.0, 36.0
SHARE = 0.44  # of the width that the settings take


def page(
    layout: Layout,
    rows: Sequence[tuple[str, str]],
    signs: Sequence[tuple[str, str, bool]],
    chosen: int,
    waiting: bool,
    problem: str,
    words: Catalogue,
) -> Panel:
    """Return the page.

    Args:
        layout: of the window.
        rows: each setting's heading and value.
        signs: what each key does, what is written on it, and whether it is the person's own.
        chosen: number of the row under the bar, settings first.
        waiting: whether the next key that goes down is the one for the row.
        problem: why a key was not taken, empty where there is nothing to say.
        words: the catalogue.
    """
    wide, tall = layout.size
    sheet = Sheet("settings", (0, 0, wide, tall - layout.rail[3]), layout.unit)
    sheet.text("frame", MARGIN, 26, words("ui.settings.title"), "figure", 32)
    sheet.text("frame", MARGIN, 70, words("ui.settings.kept"), "text", BODY, "second", room=sheet.wide - 2 * MARGIN)
    column = SHARE * (sheet.wide - 2 * MARGIN)
    _heading(sheet, MARGIN, column - 36, words("ui.settings.window"))
    for k, (heading, value) in enumerate(rows):
        _setting(sheet, TOP + ROW * k, column - 36, heading, value, k == chosen)
    _heading(sheet, MARGIN + column, sheet.wide - 2 * MARGIN - column, words("ui.settings.keys"))
    _keys(sheet, MARGIN + column, signs, chosen - len(rows), waiting, words)
    line = words("ui.settings.press") if waiting else problem
    sheet.text("told", MARGIN, sheet.tall - 40, line, "strong", LEAD, "hot", room=column - 36)
    return sheet.panel()


def _heading(sheet: Sheet, x: float, wide: float, text: str) -> None:
    sheet.text("frame", x, TOP - 36, text.upper(), "label", 16, "second", room=wide)
    sheet.line("frame", [(x, TOP - 12), (x + wide, TOP - 12)], "ink", 2.0)


def _setting(sheet: Sheet, y: float, wide: float, heading: str, value: str, on: bool) -> None:
    ink: Ink = "panel" if on else "ink"
    if on:
        sheet.box("frame", (MARGIN - 12, y, wide + 24, ROW - 6), "ink", corner=5)
    middle = y + 0.5 * ROW - 3.0
    sheet.text("frame", MARGIN, middle, heading, "text", LEAD, ink, "w", 0.5 * wide)
    sheet.text("hand", MARGIN + 0.54 * wide, middle, value, "strong", LEAD, ink, "w", 0.46 * wide - (44 if on else 0))
    if on:
        sheet.text("frame", MARGIN + wide, middle, "← →", "strong", BODY, "panel", "e")


def _keys(
    sheet: Sheet, x: float, signs: Sequence[tuple[str, str, bool]], chosen: int, waiting: bool, words: Catalogue
) -> None:
    right = sheet.wide - MARGIN
    shown = max(int((sheet.tall - TOP - 12) / KEY_ROW), 1)
    first = min(max(chosen - shown // 2, 0), max(len(signs) - shown, 0))
    for k, (what, key, own) in enumerate(signs[first : first + shown]):
        y, on = TOP + KEY_ROW * k, first + k == chosen
        ink: Ink = "panel" if on else "ink"
        if on:
            sheet.box("frame", (x - 12, y, right - x + 12, KEY_ROW - 3), "hot" if waiting else "ink", corner=5)
        middle = y + 0.5 * KEY_ROW - 1.5
        wide = cap_width(key)
        sheet.box("hand", (x, y + 3, wide, KEY_ROW - 9), None, ink, 1.6, 4)
        sign = "?" if on and waiting else key
        sheet.text("hand", x + 0.5 * wide, middle, sign, "figure", LEAD, ink, "c")
        sheet.text("frame", x + 118, middle, what, "text", BODY, ink, "w", right - x - 118 - (90 if own else 16))
        if own:
            sheet.text("hand", right - 12, middle, words("ui.settings.own"), "label", BODY, ink, "e", 70)
    top, tall = TOP, shown * KEY_ROW
    sheet.box("frame", (right + 6, top, 5, tall), "rule", corner=2)
    share = tall / max(len(signs), 1)
    sheet.box("frame", (right + 6, top + first * share, 5, min(shown, len(signs)) * share), "second", corner=2)
