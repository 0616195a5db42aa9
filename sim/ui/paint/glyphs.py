"""The signals as figures of our own: a person with the arm and hand that make them, on any sheet of paper."""

import math
from collections.abc import Callable

from sim.ui.input.signals import Shown, Signal
from sim.ui.paint.display import Point
from sim.ui.paint.palette import Ink
from sim.ui.paint.sheet import Sheet

HAND_R = 0.11
FINGERS = 5


class Figure:
    """Draws a person of a size about a place; x to the right and y down, 1 from waist to crown or sole."""

    def __init__(self, sheet: Sheet, at: Point, size: float, ink: Ink, source: str) -> None:
        """Take paper and ink."""
        self.sheet, self.at, self.size, self.ink, self.source = sheet, at, size, ink, source

    def pt(self, x: float, y: float) -> Point:
        """Return a place on the sheet."""
        return self.at[0] + x * self.size, self.at[1] + y * self.size

    def line(self, *points: Point, thick: float = 0.13, ink: Ink | None = None) -> None:
        """Draw a limb, its joints rounded."""
        places = [self.pt(*p) for p in points]
        self.sheet.line(self.source, places, ink or self.ink, thick * self.size)
        for place in places:
            self.sheet.disc(self.source, *place, 0.46 * thick * self.size, ink or self.ink)

    def disc(self, x: float, y: float, r: float) -> None:
        """Draw something round."""
        self.sheet.disc(self.source, *self.pt(x, y), r * self.size, self.ink)

    def body(self, arms: int = 1, throat: float = 0.0) -> None:
        """Draw head, trunk and legs, and the arms that hang."""
        self.disc(0.0, -0.72 - throat, 0.19)
        self.line((0.0, -0.44), (0.0, 0.28), thick=0.26)
        for side in (-1, 1):
            self.line((0.06 * side, 0.28), (0.2 * side, 0.95), thick=0.15)
        if arms:
            self.line((-0.13, -0.4), (-0.32, -0.1), (-0.3, 0.2))

    def arm(self, *points: Point, fist: bool = False) -> None:
        """Draw the arm that speaks, from the shoulder."""
        self.line((0.13, -0.4), *points, thick=0.14)
        self.disc(*points[-1], 0.16 if fist else HAND_R)

    def arrow(self, points: list[Point]) -> None:
        """Draw a movement: a thin line with a barb at its end."""
        self.line(*points, thick=0.06)
        (x0, y0), (x1, y1) = points[-2:]
        away = math.hypot(x1 - x0, y1 - y0) or 1.0
        c, s = (x1 - x0) / away, (y1 - y0) / away
        wide, deep = 0.13, 0.2
        base = (x1 - 0.3 * deep * c, y1 - 0.3 * deep * s)
        tip = (x1 + deep * c, y1 + deep * s)
        barbs = [(base[0] - wide * s, base[1] + wide * c), (base[0] + wide * s, base[1] - wide * c)]
        self.sheet.fill(self.source, [self.pt(*p) for p in (tip, *barbs)], self.ink)


def _turn(cx: float, cy: float, r: float, first: float, last: float) -> list[Point]:
    return [
        (cx + r * math.cos(math.radians(a)), cy + r * math.sin(math.radians(a)))
        for a in (first + (last - first) * k / 14.0 for k in range(15))
    ]


def _hold(f: Figure) -> None:
    f.body()
    f.arm((0.42, -0.55), (0.42, -1.0), fist=True)


def _circling(f: Figure) -> None:
    f.body()
    f.arm((0.4, -0.5), (0.5, -0.86))
    f.arrow(_turn(0.5, -0.86, 0.33, 100.0, 400.0))


def _pushing_down(f: Figure) -> None:
    f.body()
    f.arm((0.46, -0.22), (0.72, 0.02))
    f.line((0.6, 0.05), (0.92, 0.05), thick=0.11)
    f.arrow([(0.76, 0.2), (0.76, 0.62)])


def _crossed(f: Figure) -> None:
    f.body(arms=0)
    for side in (-1, 1):
        f.line((0.13 * side, -0.4), (0.52 * side, -0.62), (-0.3 * side, -1.24), thick=0.14)
        f.disc(-0.3 * side, -1.24, 0.13)


def _patting(f: Figure) -> None:
    f.body()
    f.arm((0.48, -0.3), (0.72, -0.3))
    f.line((0.7, -0.33), (1.02, -0.33), thick=0.12)
    for k in range(2):
        y = -0.12 + 0.17 * k
        f.line((0.66, y), (1.0, y), thick=0.05)


def _across_the_throat(f: Figure) -> None:
    f.body(throat=0.1)
    f.line((0.13, -0.36), (0.56, -0.34), (0.16, -0.56), thick=0.13)
    f.line((-0.34, -0.57), (0.24, -0.57), thick=0.1)
    f.arrow([(-0.4, -0.57), (-0.62, -0.57)])


def _dropped(f: Figure) -> None:
    f.body()
    f.arm((0.46, -0.2), (0.66, 0.16))
    f.arrow(_turn(0.13, -0.4, 0.84, -66.0, 18.0))


DRAW: dict[Signal, Callable[[Figure], None]] = {
    Signal.HOLD: _hold, Signal.WAIT: _hold, Signal.HEAVING: _circling, Signal.HEAVE: _circling,
    Signal.VEERING: _pushing_down, Signal.VEER: _pushing_down, Signal.BROUGHT_UP: _crossed, Signal.SLOWER: _patting,
    Signal.STOP_PROPELLER: _across_the_throat, Signal.LET_GO: _dropped,
}  # fmt: skip


def _hand(f: Figure, x: float, fingers: int) -> None:
    """Draw an open hand with so many fingers up."""
    f.line((x, 0.75), (x, 0.2), thick=0.26)
    f.sheet.fill(f.source, [f.pt(x + dx, y) for dx, y in ((-0.3, 0.3), (-0.3, -0.15), (0.3, -0.15), (0.3, 0.3))], f.ink)
    for k in range(min(fingers, 4)):
        dx = -0.23 + 0.153 * k
        f.line((x + dx, -0.1), (x + dx, -0.72), thick=0.11)
    if fingers >= FINGERS:
        f.line((x + 0.26, 0.2), (x + 0.5, -0.2), thick=0.12)


def _tens(f: Figure, tens: int) -> None:
    """Draw one hand up to five, two up to ten."""
    if tens <= FINGERS:
        _hand(f, 0.0, tens)
        return
    _hand(f, -0.55, FINGERS)
    _hand(f, 0.55, min(tens - FINGERS, FINGERS))


def _lead(f: Figure, shown: Shown) -> None:
    """Draw the bow from above with the arm along the chain; and, beside it, the arm's slope from the shoulder."""
    bow = [(-0.95, -0.45), (-0.72, -0.1), (-0.62, 0.35), (-0.6, 0.85), (-1.3, 0.85), (-1.28, 0.35), (-1.18, -0.1)]
    f.sheet.line(f.source, [f.pt(*p) for p in bow], f.ink, 0.06 * f.size, closed=True)
    s, c = math.sin(shown.bearing_rad), -math.cos(shown.bearing_rad)
    f.disc(-0.95, -0.25, 0.16)
    f.arrow([(-0.95, -0.25), (-0.95 + 0.72 * s, -0.25 + 0.72 * c)])
    f.line((-0.95, -0.25), (-0.95 + 0.7 * s, -0.25 + 0.7 * c), thick=0.12)
    side = Figure(f.sheet, f.pt(0.62, 0.05), 0.85 * f.size, f.ink, f.source)
    side.disc(0.0, -0.72, 0.19)
    side.line((0.0, -0.44), (0.0, 0.28), thick=0.26)
    side.line((0.0, 0.28), (0.0, 0.95), thick=0.17)
    reach = 0.86
    a = shown.slope_rad
    hand = (0.27 + reach * math.cos(a), -0.38 + reach * math.sin(a))  # clear of the trunk, where it hangs
    side.line((0.0, -0.42), (0.27, -0.38), hand, thick=0.14)
    side.disc(*hand, HAND_R)


def draw(sheet: Sheet, at: Point, size: float, shown: Shown, ink: Ink, source: str = "told") -> None:
    """Set the figure of a signal about a place, ``size`` units from its waist to its crown."""
    f = Figure(sheet, at, size, ink, source)
    if shown.signal is Signal.TENS:
        _tens(f, shown.tens)
    elif shown.signal is Signal.LEAD and not shown.stowed:
        _lead(f, shown)
    elif shown.signal is Signal.LEAD:
        f.body()
        f.line((-0.1, 0.1), (0.3, 0.1), thick=0.12)
    else:
        DRAW[shown.signal](f)
