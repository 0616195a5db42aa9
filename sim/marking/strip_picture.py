"""Strips over time: speed along the heading, bow off her lie, chain out, pull, lead angle."""

from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import MPS_PER_KN
from sim.marking import svg
from sim.marking.plan_picture import Moment
from sim.marking.run import Run

WIDTH = 960.0
_LEFT, _RIGHT, _TOP = 62.0, 14.0, 30.0
_TALL, _GAP = 96.0, 26.0
_BINS = 420


@dataclass(frozen=True)
class Strip:
    """One quantity over the attempt."""

    title: str
    unit: str
    values: FloatArray
    zero_line: bool = True
    second: FloatArray | None = None
    second_title: str = ""


def strips(run: Run) -> tuple[FloatArray, list[Strip]]:
    """Return the times of the attempt and its five strips."""
    track, m = run.track, run.moments
    span = run.span(m.begin_s, m.stop_s)
    off = np.degrees(np.angle(np.exp(1j * (track["heading_rad"][span] - run.lie_rad))))
    return track["t_s"][span], [
        Strip("Speed over the ground along the heading, − astern", "kn", track["surge_mps"][span] / MPS_PER_KN),
        Strip("Bow off her lie, + to starboard", "deg", off),
        Strip("Chain out", "m", track["out_m"][span]),
        Strip(
            "Pull of the rode on the boat", "kN", track["rode_pull_n"][span] / 1000.0,
            second=track["anchor_load_n"][span] / 1000.0, second_title="at the anchor",
        ),
        Strip("Lead at the roller, below level", "deg", np.degrees(track["lead_angle_rad"][span])),
    ]  # fmt: skip


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
    """Return minutes and seconds since the start, as 3:07."""
    minutes, seconds = divmod(round(t_s), 60)
    return f"{minutes}:{seconds:02d}"


def _one(strip: Strip, t_s: FloatArray, y0: float, to_x: "_Axis") -> list[str]:
    values = strip.values if strip.second is None else np.concatenate([strip.values, strip.second])
    known = values[~np.isnan(values)]
    low, high = (float(known.min()), float(known.max())) if known.size else (0.0, 1.0)
    low, high = min(low, 0.0), max(high, 0.0)
    pad = 0.06 * max(high - low, 0.2)
    low, high = low - pad, high + pad

    def y(value: FloatArray | float) -> FloatArray | float:
        return y0 + _TALL * (high - value) / (high - low)

    parts = [
        svg.tag("rect", x=_LEFT, y=y0, width=WIDTH - _LEFT - _RIGHT, height=_TALL, fill=svg.PANEL, stroke=svg.RULE)
    ]
    for value in ticks(low, high, 4):
        level = float(y(value))
        heavy = value == 0.0 and strip.zero_line
        parts.append(svg.line([(_LEFT, level), (WIDTH - _RIGHT, level)], svg.INK if heavy else svg.RULE, 0.8))
        label = f"{value:g}".replace("-", "−")
        parts.append(svg.text(_LEFT - 6.0, level + 4.0, label, 11.5, svg.SECOND, "end"))
    if strip.second is not None:
        t, v = _thinned(t_s, strip.second)
        parts.append(svg.line(np.stack([to_x(t), y(v)], axis=-1), svg.INK, 1.1, "4 3"))
    t, v = _thinned(t_s, strip.values)
    parts.append(svg.line(np.stack([to_x(t), y(v)], axis=-1), svg.HOT, 1.5, stroke_linejoin="round"))
    title = f"{strip.title}, {strip.unit}" + (f" (dashed: {strip.second_title})" if strip.second is not None else "")
    parts.append(svg.text(_LEFT, y0 - 6.0, title, 12.5, svg.INK))
    return parts


class _Axis:
    """Where a time stands across the picture."""

    def __init__(self, from_s: float, to_s: float) -> None:
        self._from_s = from_s
        self._scale = (WIDTH - _LEFT - _RIGHT) / max(to_s - from_s, 1.0)

    def __call__(self, t_s: FloatArray) -> FloatArray:
        """Return x of times."""
        return _LEFT + (t_s - self._from_s) * self._scale


def draw(run: Run, moments: list[Moment]) -> str:
    """Return the strips as SVG, the numbered moments running through all of them."""
    t_s, rows = strips(run)
    axis = _Axis(float(t_s[0]), float(t_s[-1]))
    height = _TOP + len(rows) * (_TALL + _GAP) + 26.0
    parts = [svg.tag("rect", width=WIDTH, height=height, fill=svg.PAPER)]
    foot = height - 26.0 - _GAP + 6.0
    inside = [q for q in moments if t_s[0] <= q.t_s <= t_s[-1]]
    for k, strip in enumerate(rows):
        parts += _one(strip, t_s, _TOP + _GAP + k * (_TALL + _GAP) - 6.0, axis)
    for t in ticks(float(t_s[0]) / 60.0, float(t_s[-1]) / 60.0, 12):
        x = float(axis(np.array(60.0 * t)))
        parts.append(svg.line([(x, foot), (x, foot + 5.0)], svg.INK, 1.0))
        parts.append(svg.text(x, foot + 20.0, clock(60.0 * t), 11.5, svg.SECOND, "middle"))
    taken: list[float] = []
    for moment in inside:
        x = float(axis(np.array(moment.t_s)))
        parts.append(svg.line([(x, 20.0), (x, foot)], svg.INK, 0.9, "2 3"))
        while any(abs(x - other) < 19.0 for other in taken):
            x += 19.0
        taken.append(x)
        parts.append(svg.numbered(x, 14.0, moment.number))
    return svg.picture(WIDTH, height, parts, "Speed, bow, chain, pull and lead over time", "strips")


def table(run: Run, rows: int = 24) -> tuple[list[str], list[list[str]]]:
    """Return the strips as a table: its heads, and about ``rows`` rows of figures."""
    t_s, columns = strips(run)
    heads = ["time", *(f"{s.title}, {s.unit}" for s in columns)]
    picked = np.unique(np.linspace(0, t_s.size - 1, rows).astype(int))
    body = []
    for k in picked:
        cells = ["" if np.isnan(s.values[k]) else f"{s.values[k]:.1f}".replace("-", "−") for s in columns]
        body.append([clock(float(t_s[k])), *cells])
    return heads, body
