"""What the helm has of the foredeck while two are aboard: the last signals, as figures with a word beside."""

import math
from collections.abc import Sequence

from sim.base.units import deg
from sim.ui.input.signals import Shown, Signal
from sim.ui.paint import fonts, glyphs
from sim.ui.paint.palette import Ink
from sim.ui.paint.sheet import BODY, LABEL, LEAD, Sheet
from sim.ui.panels.scene_dials import LEFT
from sim.ui.words import Catalogue

STEEP_RAD, FLAT_RAD = math.radians(70.0), math.radians(25.0)


def word(shown: Shown, words: Catalogue) -> str:
    """Return the word beside a signal."""
    if shown.signal is Signal.TENS:
        return words("ui.two.tens", out_m=10 * shown.tens) if shown.tens else words("ui.two.none_out")
    if shown.signal is not Signal.LEAD:
        return words(f"ui.two.{shown.signal.value}")
    if shown.stowed:
        return words("ui.two.stowed")
    hour = round(deg(shown.bearing_rad) / 30.0) % 12 or 12
    slope = "down" if shown.slope_rad > STEEP_RAD else "level" if shown.slope_rad < FLAT_RAD else "slanting"
    return words("ui.two.leads", hour=hour, slope=words(f"ui.two.slope.{slope}"))


def signals(sheet: Sheet, heard: Sequence[Shown], now_s: float, words: Catalogue) -> None:
    """Set the last signal large and those before it in a line below, how long ago each was."""
    sheet.label(LEFT, 7, words("ui.two.from_foredeck"), 200)
    standing = [shown for shown in heard if shown.stands(now_s)]
    if not standing:
        sheet.text("frame", LEFT, 28, words("ui.two.nothing"), "text", LEAD, "second", room=sheet.wide - 2 * LEFT)
        return
    last, before = standing[-1], standing[-2::-1][:2]
    foot = 34.0 if before and sheet.tall > 190.0 else 0.0
    size = min((sheet.tall - 40.0 - foot) / 2.3, 76.0)
    ink: Ink = "hot" if last.fresh(now_s) else "ink"
    middle = 30.0 + 1.2 * size
    glyphs.draw(sheet, (LEFT + 1.5 * size, middle), size, last, ink)
    left = LEFT + 3.0 * size + 8.0
    room = sheet.wide - LEFT - left
    lines = fonts.wrapped(word(last, words), "strong", sheet.size(LEAD + 3), room * sheet.unit)
    for k, line in enumerate(lines[:4]):
        sheet.text("told", left, middle - 30 + 24 * k, line, "strong", LEAD + 3, ink, room=room)
    sheet.text("told", sheet.wide - LEFT, 7, ago(last, now_s, words), "label", LABEL, "second", "ne", 110)
    if foot:
        told = "   ".join(f"{word(s, words)}, {ago(s, now_s, words)}" for s in before)
        sheet.text("told", LEFT, sheet.tall - 26, told, "text", BODY, "second", room=sheet.wide - 2 * LEFT)


def ago(shown: Shown, now_s: float, words: Catalogue) -> str:
    """Return how long ago it was made, by fives beyond the first."""
    passed = now_s - shown.t_s
    return words("ui.two.now") if shown.fresh(now_s) else words("ui.two.ago", seconds=5 * round(passed / 5.0))
