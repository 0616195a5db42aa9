"""The foredeck's slip: the spoken line, and three signs for how the chain leads, how it slopes and how it feels."""

import math

from sim.base.units import deg
from sim.helm.view import Arm, View
from sim.play.logbook import Logbook
from sim.ui.paint.fonts import wrapped
from sim.ui.paint.sheet import BODY, LABEL, Sheet
from sim.ui.words import Catalogue

LEFT = 18.0
SAID = 17.0
PITCH = 21.0  # from line to line


def foredeck(sheet: Sheet, view: View, log: Logbook, words: Catalogue) -> None:
    """Set the slip."""
    right = sheet.wide - LEFT
    sheet.label(LEFT, 7, words("ui.foredeck"))
    if log.call is not None:
        at = int(log.call.tick / 60)
        sheet.text("told", right, 7, f"{at // 60:02d}:{at % 60:02d}", "label", LABEL, "second", "ne")
        spoken = f"“{words.call(log.call)}”"
        urgent = log.call.key in ("dragging", "under_the_boat", "surging")
        room = (right - LEFT) * sheet.unit
        for k, line in enumerate(wrapped(spoken, "strong", sheet.size(SAID), room)[:2]):
            sheet.text(
                "told", LEFT, 25 + PITCH * k, line, "strong", SAID, "hot" if urgent else "ink", room=right - LEFT
            )
    else:
        sheet.text("frame", LEFT, 26, words("ui.foredeck.silent"), "text", SAID - 1, "second", room=right - LEFT)
    tall = sheet.tall
    top, foot = 25 + 2 * PITCH + 5, tall - 25
    size = min(34.0, (foot - top) / 2.2)
    middle = 0.5 * (top + foot) + 0.1 * size
    thirds = (LEFT + 46, sheet.wide * 0.5, right - 48)
    clock(sheet, thirds[0], middle, size, view.arm, words)
    slope(sheet, thirds[1], middle, size, view.arm, log.stay, words)
    feel(sheet, thirds[2], middle, size, log.feel, words)


def _caption(sheet: Sheet, x: float, text: str) -> None:
    sheet.text("eye", x, sheet.tall - 6, text, "label", BODY, "ink" if text != "–" else "second", "s", 112)


def clock(sheet: Sheet, x: float, y: float, r: float, arm: Arm | None, words: Catalogue) -> None:
    """Set the boat in a clock face, the lead a hand of it."""
    sheet.disc("frame", x, y, r, None, "ink", 1.6)
    for k in range(12):
        a = k * math.pi / 6.0
        inner = r - (5.0 if k % 3 else 8.0)
        near, far = ((x + d * math.sin(a), y - d * math.cos(a)) for d in (inner, r))
        sheet.line("frame", [near, far], "ink", 1.2)
    hull = [(0.0, -0.6), (0.17, -0.25), (0.2, 0.1), (0.14, 0.52), (-0.14, 0.52), (-0.2, 0.1), (-0.17, -0.25)]
    sheet.fill("frame", [(x + px * r, y + py * r) for px, py in hull], "second")
    if arm is None:
        _caption(sheet, x, words("ui.stowed"))
        return
    s, c = math.sin(arm.bearing_rad), -math.cos(arm.bearing_rad)
    bow = (x, y - 0.6 * r)
    tip = (x + 1.06 * r * s, y + 1.06 * r * c)
    sheet.line("eye", [bow, tip], "hot", 3.6)
    sheet.disc("eye", *tip, 4.8, "hot")
    hour = round(deg(arm.bearing_rad) / 30.0) % 12 or 12
    _caption(sheet, x, words("ui.oclock", hour=hour))


def slope(sheet: Sheet, x: float, y: float, r: float, arm: Arm | None, stay: str, words: Catalogue) -> None:
    """Set the chain's slope at the roller, seen from the side, the bow to the left."""
    x0, y0 = x - 0.9 * r, y - 0.85 * r
    reach = 1.75 * r
    sheet.line("frame", [(x0 - 14, y0), (x0 + 2.1 * r, y0)], "ink", 1.8)
    for d in (30.0, 60.0, 90.0):
        a = math.radians(d)
        sheet.line("frame", [(x0, y0), (x0 + reach * math.cos(a), y0 + reach * math.sin(a))], "rule", 1.6)
    if arm is None:
        _caption(sheet, x, "–")
        return
    a = arm.slope_rad
    sheet.line("eye", [(x0, y0), (x0 + reach * math.cos(a), y0 + reach * math.sin(a))], "hot", 4.0)
    sheet.disc("eye", x0, y0, 3.2, "ink")
    _caption(sheet, x, words(f"stay.{stay}") if stay else "–")


def feel(sheet: Sheet, x: float, y: float, r: float, felt: str, words: Catalogue) -> None:
    """Set what hand and foot feel: a quiet line under load, a tremor, or nothing."""
    left, wide = x - 1.35 * r, 2.7 * r
    sheet.line("frame", [(left, y + 0.75 * r), (left + wide, y + 0.75 * r)], "rule", 1.4)
    if not felt:
        _caption(sheet, x, "–")
        return
    points = []
    for k in range(61):
        share = k / 60.0
        if felt == "trembling":
            lift = 0.42 * r * math.sin(23.0 * share * math.pi) * (0.45 + 0.55 * abs(math.sin(7.3 * share)))
            points.append((left + share * wide, y + lift))
        elif felt == "slack":
            points.append((left + share * wide, y + 0.15 * r + 0.5 * r * (1.0 - (2.0 * share - 1.0) ** 2)))
        else:
            points.append((left + share * wide, y - 0.1 * r))
    sheet.line("told", points, "hot", 3.2 if felt == "steady" else 2.0)
    _caption(sheet, x, words(f"feel.{felt}"))
