"""The night passing: the sky going dark over the hours, wind and tide below it, and what one would know of her."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from sim.base.units import TICK_HZ, knots
from sim.core import events as ev
from sim.model.air import sky as sky_law
from sim.model.air.sky import Sky
from sim.ui.paint.display import Panel
from sim.ui.paint.palette import DAY, NIGHT, Colour, Ink
from sim.ui.paint.sheet import BODY, LABEL, LEAD, Sheet
from sim.ui.panels.layout import Layout, Rect
from sim.ui.panels.scene_dials import bearing
from sim.ui.words import Catalogue

MARGIN, GUTTER = 48.0, 132.0
SKY_TOP, SKY, STRIP, BETWEEN = 118.0, 124.0, 94.0, 10.0
LINES = 6
LEAST_KN = 20.0  # the wind's strip reaches at least so far
TOLD = (ev.AlarmRang, ev.WatchCalled, ev.WatchEnded, ev.Touched, ev.Grounded, ev.SnubberParted)


@dataclass(frozen=True)
class Hour:
    """What one would know at a time: wind by the displays, distance from the mark by the receiver, nearest by eye."""

    t_s: float
    wind_mps: float
    from_rad: float
    off_m: float | None
    near_m: float | None


@dataclass
class Passed:
    """The night as far as it has passed.

    Attributes:
        began_s: when it began; ``until_s`` when the stay ends.
        sky: the sun and the place.
        tide: times and heights of the stay, as the tables have them.
        hours: what was known, in order.
        told: what happened and could be heard or felt.
    """

    began_s: float
    until_s: float
    sky: Sky
    tide: tuple[tuple[float, float], ...]
    hours: list[Hour] = field(default_factory=list)
    told: list[ev.Event] = field(default_factory=list)

    def note(self, hour: Hour) -> None:
        """Take in what is known now."""
        self.hours.append(hour)

    def darkness(self, t_s: float) -> float:
        """Return how dark the sky is at a time, 0 by day to 1 by night."""
        return sky_law.darkness(self.sky, t_s)

    @property
    def furthest_m(self) -> float | None:
        """The furthest she has been from the mark."""
        return max((h.off_m for h in self.hours if h.off_m is not None), default=None)

    @property
    def nearest_m(self) -> float | None:
        """The nearest that another boat has seemed."""
        return min((h.near_m for h in self.hours if h.near_m is not None), default=None)

    @property
    def now_s(self) -> float:
        """When it was looked at last."""
        return self.hours[-1].t_s if self.hours else self.began_s


def _across(sheet: Sheet, passed: Passed, t_s: float) -> float:
    """Return how far from the left edge a time is drawn [units]."""
    share = (t_s - passed.began_s) / max(passed.until_s - passed.began_s, 1.0)
    return GUTTER + MARGIN + (sheet.wide - GUTTER - 2.0 * MARGIN) * min(max(share, 0.0), 1.0)


def _blank(layout: Layout) -> Sheet:
    wide, tall = layout.size
    return Sheet("night", (0, 0, wide, tall - layout.rail[3]), layout.unit)


def sky(layout: Layout, passed: Passed, t_s: float) -> Iterator[tuple[Rect, Colour]]:
    """Yield the sky of the hours that have passed, piece by piece from the left [px]."""
    sheet = _blank(layout)
    first, last = (round(sheet.px(_across(sheet, passed, at), 0.0)[0]) for at in (passed.began_s, t_s))
    top, tall = round(SKY_TOP * layout.unit) + 2, round(SKY * layout.unit) - 4
    whole = sheet.px(_across(sheet, passed, passed.until_s), 0.0)[0] - first
    day, dark = DAY["band3"], NIGHT["paper"]
    for x in range(first + 2, last - 1, 2):
        share = passed.darkness(passed.began_s + (passed.until_s - passed.began_s) * (x - first) / whole)
        red, green, blue = (round(a + (b - a) * share) for a, b in zip(day, dark, strict=True))
        yield (x, top, min(2, last - 1 - x), tall), (red, green, blue)


def page(layout: Layout, title: str, passed: Passed, deaf: bool, words: Catalogue) -> Panel:
    """Return the page of the night, but for its sky.

    Args:
        layout: of the window.
        title: of the lesson.
        passed: the night so far.
        deaf: whether she sleeps on whoever calls.
        words: the catalogue.
    """
    sheet = _blank(layout)
    right = sheet.wide - MARGIN
    sheet.text("frame", MARGIN, 26, words("ui.night.title"), "figure", 32, room=0.5 * right)
    sheet.text("frame", right, 38, title, "strong", LEAD, "second", "ne", 0.4 * right)
    lead = words("ui.night.lead_deaf" if deaf else "ui.night.lead")
    sheet.text("frame", MARGIN, 72, lead, "text", LEAD, "hot" if deaf else "second", room=right - MARGIN)
    y = SKY_TOP
    _frame(sheet, passed, y, SKY, words("ui.night.sky"))
    y = _wind(sheet, passed, y + SKY + BETWEEN, words)
    y = _tide(sheet, passed, y + BETWEEN, words)
    y = _hours(sheet, passed, y, words)
    _figures(sheet, passed, y + 40, words)
    _told(sheet, passed, y + 122, words)
    x = _across(sheet, passed, passed.now_s)
    sheet.line("frame", [(x, SKY_TOP - 6), (x, y)], "hot", 2.0)
    return sheet.panel()


def _frame(sheet: Sheet, passed: Passed, y: float, tall: float, heading: str) -> None:
    left, right = _across(sheet, passed, passed.began_s), _across(sheet, passed, passed.until_s)
    sheet.label(MARGIN, y + 6, heading, GUTTER - 12)
    sheet.box("frame", (left, y, right - left, tall), None, "second", 1.4)


def _wind(sheet: Sheet, passed: Passed, y: float, words: Catalogue) -> float:
    _frame(sheet, passed, y, STRIP, words("ui.night.wind"))
    most_kn = max([LEAST_KN, *(1.1 * knots(h.wind_mps) for h in passed.hours)])
    foot = y + STRIP - 2
    line = [(_across(sheet, passed, h.t_s), foot - (STRIP - 8) * knots(h.wind_mps) / most_kn) for h in passed.hours]
    if len(line) > 1:
        sheet.fill("display:wind", [(line[0][0], foot), *line, (line[-1][0], foot)], "rule")
        sheet.line("display:wind", line, "ink", 1.8)
    sheet.text(
        "frame", MARGIN, y + STRIP - 26, words("ui.night.to_kn", most_kn=f"{most_kn:.0f}"), "label", LABEL, "second"
    )
    return y + STRIP


def _tide(sheet: Sheet, passed: Passed, y: float, words: Catalogue) -> float:
    _frame(sheet, passed, y, STRIP, words("ui.night.tide"))
    heights = [height for _, height in passed.tide]
    low, high = min(heights), max(heights)

    def at(t_s: float, height: float) -> tuple[float, float]:
        share = (height - low) / (high - low) if high - low > 0.05 else 0.5
        return _across(sheet, passed, t_s), y + STRIP - 10 - (STRIP - 20) * share

    behind = [at(*point) for point in passed.tide if point[0] <= passed.now_s]
    ahead = [*behind[-1:], *(at(*point) for point in passed.tide if point[0] > passed.now_s)]
    if len(ahead) > 1:
        sheet.line("brief", ahead, "second", 1.4, (5.0, 5.0))
    if len(behind) > 1:
        sheet.line("brief", behind, "ink", 2.4)
    sheet.text(
        "frame",
        MARGIN,
        y + STRIP - 26,
        f"{words.figure('depth', low, 1)[0]} – {words.length('depth', high, 1)}",
        "label",
        LABEL,
        "second",
    )
    return y + STRIP


def _hours(sheet: Sheet, passed: Passed, y: float, words: Catalogue) -> float:
    """Set the hours of the stay below the strips."""
    whole_h = passed.until_s / 3600.0
    every = next(step for step in (0.25, 0.5, 1.0, 2.0, 4.0, 8.0) if whole_h / step <= 13.0)
    for k in range(int(whole_h / every) + 1):
        hour = k * every
        if passed.began_s <= 3600.0 * hour <= passed.until_s:
            x = _across(sheet, passed, 3600.0 * hour)
            sheet.line("frame", [(x, y), (x, y + 5)], "second", 1.2)
            sheet.text(
                "frame",
                x,
                y + 8,
                words("ui.night.hour", hours=f"{hour:g}"),
                "label",
                LABEL,
                "second",
                "n" if k * every < whole_h else "ne",
            )
    return y + 5


def _figures(sheet: Sheet, passed: Passed, y: float, words: Catalogue) -> None:
    """Set what one would know of her now, and the worst of it so far."""
    now = passed.hours[-1] if passed.hours else None
    hours, minutes = divmod(round((passed.now_s - passed.began_s) / 60.0), 60)
    gust = max((knots(h.wind_mps) for h in passed.hours), default=0.0)
    unknown = words("ui.night.unknown")
    wind = unknown if now is None else f"{knots(now.wind_mps):.0f} kn  {bearing(now.from_rad)}"
    off = unknown if now is None or now.off_m is None else words.length("distance", now.off_m)
    near = unknown if now is None or now.near_m is None else words.length("distance", now.near_m)
    furthest, nearest = passed.furthest_m, passed.nearest_m
    rows = (
        ("ui.night.asleep", f"{hours}:{minutes:02d}", words("ui.night.of", hours=f"{passed.until_s / 3600.0:g}")),
        ("ui.wind", wind, words("ui.night.most", figure=f"{gust:.0f} kn")),
        (
            "ui.night.mark",
            off,
            "" if furthest is None else words("ui.night.most", figure=words.length("distance", furthest)),
        ),
        (
            "ui.night.near",
            near,
            "" if nearest is None else words("ui.night.least", figure=words.length("distance", nearest)),
        ),
    )
    column = (sheet.wide - 2.0 * MARGIN) / len(rows)
    for k, (heading, figure, more) in enumerate(rows):
        x = MARGIN + column * k
        sheet.label(x, y, words(heading), column - 16)
        sheet.text("told", x, y + 17, figure, "figure", 28, room=column - 16)
        sheet.text("told", x, y + 52, more, "text", BODY, "second", room=column - 16)


def told(event: ev.Event, words: Catalogue) -> str:
    """Return an event of the night in words."""
    if isinstance(event, ev.WatchCalled):
        return words(f"ui.night.woke.{event.why}")
    return words("event." + "".join("_" + c.lower() if c.isupper() else c for c in type(event).__name__).lstrip("_"))


def _told(sheet: Sheet, passed: Passed, y: float, words: Catalogue) -> None:
    sheet.line("frame", [(MARGIN, y), (sheet.wide - MARGIN, y)], "ink", 2.0)
    lines = int(max(min((sheet.tall - y - 20.0) / 24.0, LINES), 1))
    if not passed.told:
        sheet.text("told", MARGIN, y + 12, words("ui.night.quiet"), "text", LEAD, "second")
    for k, event in enumerate(passed.told[-lines:]):
        hours, minutes = divmod(round((event.tick / TICK_HZ) / 60.0), 60)
        sheet.text("told", MARGIN, y + 12 + 24 * k, f"{hours}:{minutes:02d}", "figure", LEAD)
        ink: Ink = "second" if isinstance(event, ev.WatchEnded) else "hot"
        line = told(event, words)
        sheet.text("told", MARGIN + 66, y + 12 + 24 * k, line, "strong", LEAD, ink, room=sheet.wide - 2 * MARGIN - 66)


def rouse(layout: Layout, why: str, ago_s: float, sign: str, words: Catalogue) -> Panel:
    """Return the slip at the plan's head that says what rang, how long ago, and how to lie down again.

    Args:
        layout: of the window.
        why: "alarm", an order of the watch, or "self".
        ago_s: seconds since.
        sign: of the keys, as bound: to report her secured, and to go back to bed.
        words: the catalogue.
    """
    left, top, wide, _ = layout.plan
    u = layout.small
    w, h = min(round(620 * u), wide - 40), round(66 * u)
    sheet = Sheet("plan:rouse", (left + (wide - w) // 2, top + round(56 * u), w, h), u)
    sheet.box("frame", (1, 1, sheet.wide - 2, sheet.tall - 2), None, "hot", 2.5)
    minutes, seconds = divmod(int(ago_s), 60)
    ago = words("ui.night.ago", ago=f"{minutes}:{seconds:02d}")
    sheet.text("told", 16, 8, words(f"ui.night.woke.{why}"), "strong", 19, "hot", room=sheet.wide - 140)
    sheet.text("told", sheet.wide - 16, 9, ago, "figure", 18, "ink", "ne", 120)
    sheet.text("frame", 16, 37, words("ui.night.up", sign=sign), "text", BODY, "second", room=sheet.wide - 32)
    return sheet.panel()
