"""A boat's sea trial as one picture: speed by lever, way carried, the bow blown off, and how she lies in a stream."""

import math
from collections.abc import Sequence

import numpy as np

from sim.base.units import TICK_HZ, deg, mps, rad
from sim.lab import seatrial_runs as runs
from sim.model import layout as lay
from sim.model.params import Boat
from sim.pages import svg
from sim.scenario.read.boat import build_boat
from sim.scenario.schema.base import BoatFile

WIDTH, HEIGHT = 860.0, 640.0
PANEL_W, PANEL_H, LEFT, TOP, GAP_X, GAP_Y = 330.0, 215.0, 62.0, 66.0, 90.0, 80.0
COLOURS = (svg.INK, svg.HOT, svg.SECOND, "#6E8F3C")
DASHES = (None, "7 4", "2 3", "10 3 2 3")

Curve = tuple[str, Sequence[tuple[float, float]]]


def _ticks(least: float, most: float) -> list[float]:
    step = next(s for s in (0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0) if (most - least) / s <= 6.5)
    return [step * k for k in range(math.ceil(least / step), math.floor(most / step) + 1)]


def _panel(
    column: int, row: int, title: str, axes: tuple[str, str], span: tuple[float, float, float, float],
    curves: Sequence[Curve],
) -> list[str]:  # fmt: skip
    """Return one diagram; ``span`` is least and most of x, then of y."""
    x0, y0 = LEFT + column * (PANEL_W + GAP_X), TOP + row * (PANEL_H + GAP_Y)
    left, right, low, high = span

    def at(x: float, y: float) -> tuple[float, float]:
        return x0 + PANEL_W * (x - left) / (right - left), y0 + PANEL_H * (high - y) / (high - low)

    parts = [svg.text(x0, y0 - 12, title, 14.0, font_weight="700")]
    for value in _ticks(left, right):
        parts += [svg.line([at(value, low), at(value, high)], svg.RULE, 1.0)]
        parts += [svg.text(at(value, low)[0], y0 + PANEL_H + 15, f"{value:g}", 11.0, svg.SECOND, "middle")]
    for value in _ticks(low, high):
        parts += [svg.line([at(left, value), at(right, value)], svg.RULE, 1.0)]
        parts += [svg.text(x0 - 6, at(left, value)[1] + 4, f"{value:g}", 11.0, svg.SECOND, "end")]
    parts.append(svg.text(x0 + PANEL_W, y0 + PANEL_H + 30, axes[0], 12.0, svg.SECOND, "end"))
    parts.append(svg.text(x0 - 46, y0 - 12, axes[1], 12.0, svg.SECOND))
    for i, (_, points) in enumerate(curves):
        inside = [at(x, y) for x, y in points if left <= x <= right and low <= y <= high]
        parts.append(svg.line(inside, COLOURS[i % 4], 2.2, DASHES[i % 4]))
    names = [name for name, _ in curves if name]
    for i, name in enumerate(names):
        y = y0 + (PANEL_H - 12 - 16 * (len(names) - 1) if row else 16) + 16 * i  # where no curve runs
        parts.append(svg.line([(x0 + PANEL_W - 118, y - 4), (x0 + PANEL_W - 92, y - 4)], COLOURS[i], 2.2, DASHES[i]))
        parts.append(svg.text(x0 + PANEL_W - 86, y, name, 12.0, halo=True))
    return parts


def _speeds(boat: Boat) -> Curve:
    levers = [-1.0, -0.75, -0.5, -0.25, -0.06, 0.0, 0.06, 0.25, 0.5, 0.75, 1.0]
    return "", [(100.0 * lever, runs.speed_kn(boat, lever) if lever else 0.0) for lever in levers]


def _stops(boat: Boat) -> list[Curve]:
    out: list[Curve] = []
    for name, lever in (("neutral", 0.0), ("tick-over", -runs.IDLE), ("half", -runs.HALF), ("full", -runs.FULL)):
        a = runs.afloat(boat, speed_kn=4.0)
        a.order(lever)
        log = a.sail(120.0)[:: TICK_HZ // 4]
        ended = np.flatnonzero(log[:, lay.B_SURGE] <= 0.0)
        log = log[: ended[0] + 1] if len(ended) else log
        metres = np.hypot(log[:, lay.B_NORTH], log[:, lay.B_EAST])
        out.append((name, list(zip(metres.tolist(), (log[:, lay.B_SURGE] / mps(1.0)).tolist(), strict=True))))
    return out


def _blown(boat: Boat) -> list[Curve]:
    out: list[Curve] = []
    for wind_kn in (10.0, 15.0, 25.0):
        log = runs.afloat(boat, heading_deg=10.0, wind_kn=wind_kn).sail(60.0)[:: TICK_HZ // 2]
        out.append((f"{wind_kn:g} kn", [(0.5 * i, deg(h)) for i, h in enumerate(log[:, lay.B_HEADING])]))
    return out


def _lies(found: dict[str, float]) -> list[str]:
    """Return the boat drawn three times between a wind from above and a stream from the right."""
    x0, y0 = LEFT + PANEL_W + GAP_X, TOP + PANEL_H + GAP_Y
    parts = [svg.text(x0, y0 - 12, "At anchor, 12 kn of wind across a stream", 14.0, font_weight="700")]
    for i, tenths in enumerate((5, 10, 15)):
        x, y = x0 + 55 + 110 * i, y0 + 118
        off = rad(found[f"stream_{tenths:02d}kn_deg"])
        bow, aside = (-math.sin(off), -math.cos(off)), (math.cos(off), -math.sin(off))
        hull = [(1.0, 0.0), (0.55, 0.28), (-0.3, 0.32), (-1.0, 0.22), (-1.0, -0.22), (-0.3, -0.32), (0.55, -0.28)]
        outline = [(x + 34 * (f * bow[0] + s * aside[0]), y + 34 * (f * bow[1] + s * aside[1])) for f, s in hull]
        anchor = (x + 62 * bow[0], y + 62 * bow[1])
        parts.append(svg.line([anchor, (x + 34 * bow[0], y + 34 * bow[1])], svg.SECOND, 1.5, "3 3"))
        parts.append(svg.circle(*anchor, 3.0, svg.SECOND, None))
        parts.append(svg.area([outline], svg.PAPER, svg.INK, 1.8))
        parts.append(svg.text(x, y0 + 192, f"{tenths / 10.0:g} kn", 13.0, svg.INK, "middle"))
        parts.append(svg.text(x, y0 + 208, f"{deg(off):.0f}° from the wind", 12.0, svg.SECOND, "middle"))
    parts.append(_arrow(x0 + 6, y0 + 8, 0.0, 26.0))
    parts.append(svg.text(x0 + 16, y0 + 20, "wind", 12.0, svg.SECOND))
    parts.append(_arrow(x0 + 60, y0 + 16, 26.0, 0.0))
    parts.append(svg.text(x0 + 92, y0 + 20, "stream", 12.0, svg.SECOND))
    return parts


def _arrow(x: float, y: float, dx: float, dy: float) -> str:
    size = math.hypot(dx, dy)
    ux, uy = dx / size, dy / size
    tip = (x + dx, y + dy)
    head = [(tip[0] - 8 * ux + k * 4 * uy, tip[1] - 8 * uy - k * 4 * ux) for k in (1, -1)]
    return svg.line([(x, y), tip], svg.SECOND, 2.0) + svg.area([[tip, *head]], svg.SECOND)


def draw(file: BoatFile, found: dict[str, float]) -> str:
    """Return the picture as SVG; ``found`` are her trial's figures."""
    boat = build_boat("trial", file)
    speed, stops, blown = _speeds(boat), _stops(boat), _blown(boat)
    fastest = max(4.0, *(abs(y) for _, y in speed[1]))
    longest = max(x for _, points in stops for x, _ in points)
    parts = [
        svg.tag("rect", width=WIDTH, height=HEIGHT, fill=svg.PANEL),
        svg.text(LEFT, 30, f"Sea trial of the {file.title}", 17.0, font_weight="700"),
        *_panel(0, 0, "Speed by lever", ("lever, %", "kn"), (-100.0, 100.0, -0.8 * fastest, 1.05 * fastest),
                [speed]),
        *_panel(1, 0, "Stopping from 4 kn", ("distance run, m", "kn"), (0.0, 1.02 * longest, 0.0, 4.2), stops),
        *_panel(0, 1, "Bow blown off from rest", ("seconds", "° off"), (0.0, 60.0, 0.0, 120.0), blown),
        *_lies(found),
    ]  # fmt: skip
    return svg.picture(WIDTH, HEIGHT, parts, f"Sea trial of the {file.title}", "trial").replace(
        "<svg ", '<svg xmlns="http://www.w3.org/2000/svg" font-family="sans-serif" ', 1
    )
