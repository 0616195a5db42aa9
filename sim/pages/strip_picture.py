"""Strips over time: speed along the heading, bow off her lie, chain out, pull, lead angle."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import MPS_PER_KN
from sim.marking.run import Run
from sim.pages import svg
from sim.pages.plan_picture import Moment

WIDTH = 960.0
_LEFT, _RIGHT, _TOP = 62.0, 14.0, 30.0
_TALL, _GAP = 96.0, 26.0
_BINS = 420


Say = Callable[[str, Mapping[str, Any]], str]


@dataclass(frozen=True)
class Strip:
    """One quantity over the attempt; ``key`` names it in the list of words."""

    key: str
    unit: str
    values: FloatArray
    second: FloatArray | None = None

    def title(self, say: Say) -> str:
        """Return its name and unit in words."""
        return f"{say(self.key, {})}, {self.unit}"


def strips(run: Run) -> tuple[FloatArray, list[Strip]]:
    """Return the times of the attempt and its five strips; the pull has a second line, the load at the anchor."""
    track, m = run.track, run.moments
    span = run.span(m.begin_s, m.stop_s)
    off = np.degrees(np.angle(np.exp(1j * (track["heading_rad"][span] - run.lie_rad))))
    return track["t_s"][span], [
        Strip("page.strip.speed", "kn", track["surge_mps"][span] / MPS_PER_KN),
        Strip("page.strip.bow", "°", off),
        Strip("page.strip.out", "m", track["out_m"][span]),
        Strip("page.strip.pull", "kN", track["rode_pull_n"][span] / 1000.0, track["anchor_load_n"][span] / 1000.0),
        Strip("page.strip.lead", "°", np.degrees(track["lead_angle_rad"][span])),
    ]


def _thinned(t_s: FloatArray, values: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return no more than two points a bin, its least and its greatest, in order of time: no peak is lost."""
    good = ~np.isnan(values)
    t_s, values = t_s[good], values[good]
    if t_s.size <= 2 * _BINS:
        return t_s, values
    keep: list[int] = []
    for chunk in np.array_split(np.arange(t_s.size), _BINS):
        keep += sorted({int(chunk[np.argmin(values[chunk])]), int(chunk[np.argmax(values[chunk])])})
    return t_s[keep], values[keep]


LONG_MIN = 100  # from here on minutes alone say little


def ticks(low: float, high: float, most: int) -> list[float]:
    """Return round figures between two values, no more than ``most`` + 1 of them.

    >>> ticks(-0.7, 3.1, 4)
    [0.0, 1.0, 2.0, 3.0]
    """
    width = max(high - low, 1e-9)
    power = 10.0 ** np.floor(np.log10(width / most))
    step = next(float(f * power) for f in (1.0, 2.0, 5.0, 10.0, 20.0) if width / (f * power) <= most)
    first = int(np.ceil(low / step - 1e-9))
    return [k * step for k in range(first, int(np.floor(high / step + 1e-9)) + 1)]


def clock(t_s: float) -> str:
    """Return minutes and seconds since the start, as 3:07; hours and minutes where it is long ago, as 9 h 52."""
    minutes, seconds = divmod(round(t_s), 60)
    if minutes >= LONG_MIN:
        return f"{minutes // 60} h {minutes % 60:02d}"
    return f"{minutes}:{seconds:02d}"


class Axis:
    """Where a time stands across the picture."""

    def __init__(self, from_s: float, to_s: float) -> None:
        """Lay a span of time across the picture."""
        self._from_s = from_s
        self._scale = (WIDTH - _LEFT - _RIGHT) / max(to_s - from_s, 1.0)

    def __call__(self, t_s: FloatArray) -> FloatArray:
        """Return x of times."""
        return _LEFT + (t_s - self._from_s) * self._scale


def axis(run: Run) -> Axis:
    """Return the axis of an attempt's strips."""
    t_s = run.track["t_s"][run.span(run.moments.begin_s, run.moments.stop_s)]
    return Axis(float(t_s[0]), float(t_s[-1]))


Line = tuple[FloatArray, FloatArray]  # times, values


def _range(lines: Sequence[Line]) -> tuple[float, float]:
    """Return the least and greatest value shown, nought among them, with a little room."""
    values = np.concatenate([v for _, v in lines])
    known = values[~np.isnan(values)]
    low, high = (min(float(known.min()), 0.0), max(float(known.max()), 0.0)) if known.size else (0.0, 1.0)
    pad = 0.06 * max(high - low, 0.2)
    return low - pad, high + pad


def draw_strip(title: str, lines: Sequence[Line], y0: float, to_x: Axis, least: float = 0.0) -> list[str]:
    """Return one strip: the first line in the hot ink, the second dashed, a third (another attempt's) dotted.

    Args:
        title: stands over it.
        lines: times and values; an empty one is not drawn.
        y0: its upper edge.
        to_x: the axis of time.
        least: range of values it shows at least, so that a trifle does not fill it.
    """
    low, high = _range(lines)
    if least > 0.0:
        low = min(low, 0.0)
        high = max(high, low + least)

    def y(value: FloatArray | float) -> FloatArray | float:
        return y0 + _TALL * (high - value) / (high - low)

    parts = [
        svg.tag("rect", x=_LEFT, y=y0, width=WIDTH - _LEFT - _RIGHT, height=_TALL, fill=svg.PANEL, stroke=svg.RULE)
    ]
    for value in ticks(low, high, 4):
        level = float(y(value))
        parts.append(svg.line([(_LEFT, level), (WIDTH - _RIGHT, level)], svg.INK if value == 0.0 else svg.RULE, 0.8))
        parts.append(svg.text(_LEFT - 6.0, level + 4.0, f"{value:g}".replace("-", "−"), 11.5, svg.SECOND, "end"))
    styles: tuple[tuple[str, float, str | None], ...] = (
        (svg.HOT, 1.5, None), (svg.INK, 1.1, "4 3"), (svg.SECOND, 1.3, "1.5 2.5"),
    )  # fmt: skip
    for (t_s, values), (colour, width, dash) in reversed(list(zip(lines, styles, strict=False))):
        t, v = _thinned(t_s, values)
        if t.size:
            parts.append(svg.line(np.stack([to_x(t), y(v)], axis=-1), colour, width, dash, stroke_linejoin="round"))
    parts.append(svg.text(_LEFT, y0 - 6.0, title, 12.5, svg.INK))
    return parts


def foot(t_s: Sequence[float], labels: Sequence[str], y: float, to_x: Axis) -> list[str]:
    """Return the marks of time under the strips."""
    parts = []
    for t, label in zip(t_s, labels, strict=True):
        x = float(to_x(np.array(t)))
        parts.append(svg.line([(x, y), (x, y + 5.0)], svg.INK, 1.0))
        parts.append(svg.text(x, y + 20.0, label, 11.5, svg.SECOND, "middle"))
    return parts


def strip_top(k: int) -> float:
    """Return the upper edge of the k-th strip."""
    return _TOP + _GAP + k * (_TALL + _GAP) - 6.0


def height_of(count: int) -> float:
    """Return how tall so many strips are, with the marks of time."""
    return _TOP + count * (_TALL + _GAP) + 26.0


def cursor(key: str, height: float) -> str:
    """Return the line that the page's scrubber moves over the strips; unseen until it does."""
    y1 = height - 26.0 - _GAP + 6.0
    return svg.tag("line", id=key, y1=20, y2=y1, stroke=svg.INK, stroke_width=1.8, visibility="hidden")


def draw(run: Run, moments: list[Moment], say: Say, ghost: Run | None = None) -> str:
    """Return the strips as SVG, the numbered moments running through all of them.

    Args:
        run: the run.
        moments: numbered across them.
        say: turns a key into words.
        ghost: another attempt, shifted so that both anchors touch at one time.
    """
    t_s, rows = strips(run)
    to_x = axis(run)
    others: list[Line] = []
    if ghost is not None:
        t_other, rows_other = strips(ghost)
        shift_s = run.moments.touch_s - ghost.moments.touch_s
        inside = (t_other + shift_s >= t_s[0]) & (t_other + shift_s <= t_s[-1])
        others = [(t_other[inside] + shift_s, s.values[inside]) for s in rows_other]
    height = height_of(len(rows))
    parts = [svg.tag("rect", width=WIDTH, height=height, fill=svg.PAPER)]
    low = height - 26.0 - _GAP + 6.0
    for k, strip in enumerate(rows):
        none: Line = (np.zeros(0), np.zeros(0))
        lines = [(t_s, strip.values), (t_s, strip.second) if strip.second is not None else none]
        parts += draw_strip(strip.title(say), [*lines, *others[k : k + 1]], strip_top(k), to_x)
    marks_s = [60.0 * t for t in ticks(float(t_s[0]) / 60.0, float(t_s[-1]) / 60.0, 12)]
    parts += foot(marks_s, [clock(t) for t in marks_s], low, to_x)
    parts += numbers([q for q in moments if t_s[0] <= q.t_s <= t_s[-1]], low, to_x)
    parts.append(cursor("cursor", height))
    return svg.picture(WIDTH, height, parts, say("page.strips.title", {}), "strips")


def numbers(moments: list[Moment], low: float, to_x: Axis) -> list[str]:
    """Return the numbered moments, each a line down all strips, their numbers kept apart."""
    parts: list[str] = []
    taken: list[float] = []
    for moment in moments:
        x = float(to_x(np.array(moment.t_s)))
        parts.append(svg.line([(x, 20.0), (x, low)], svg.INK, 0.9, "2 3"))
        while any(abs(x - other) < 19.0 for other in taken):
            x += 19.0
        taken.append(x)
        parts.append(svg.numbered(x, 14.0, moment.number))
    return parts


def table(run: Run, say: Say, rows: int = 24) -> tuple[list[str], list[list[str]]]:
    """Return the strips as a table: its heads, and about ``rows`` rows of figures."""
    t_s, columns = strips(run)
    heads = [say("page.time", {}), *(s.title(say) for s in columns)]
    picked = np.unique(np.linspace(0, t_s.size - 1, rows).astype(int))
    body = []
    for k in picked:
        cells = ["" if np.isnan(s.values[k]) else f"{s.values[k]:.1f}".replace("-", "−") for s in columns]
        body.append([clock(float(t_s[k])), *cells])
    return heads, body
