"""A run looked at again: where she was, what lay on the bottom and the strips, at one time. It shows the truth."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.helm.aids import Aids, Anchor, Pose, Section
from sim.marking.run import Run
from sim.model import layout as lay
from sim.pages.strip_picture import clock, strips
from sim.record.ground import charted_depths_m
from sim.ui.paint.display import Disc, Hull, Item, Panel, Point, Stroke
from sim.ui.paint.sheet import BODY, LABEL, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.words import Catalogue

LYING_M = 0.1  # a node so near the bed lies on it
BED_POINTS = 33
MOST_POINTS = 160  # of a strip's line


@dataclass(frozen=True)
class Strip:
    """One strip, thinned for drawing: values at even times, with the run's own and another's."""

    title: str
    unit: str
    own: FloatArray
    other: FloatArray | None
    low: float
    high: float


def _even(t_s: FloatArray, values: FloatArray, times: FloatArray) -> FloatArray:
    known = ~np.isnan(values)
    if not known.any():
        return np.full(times.size, np.nan)
    out: FloatArray = np.interp(times, t_s[known], values[known], left=np.nan, right=np.nan)
    return out


def thinned(run: Run, ghost: Run | None, words: Catalogue) -> tuple[FloatArray, list[Strip]]:
    """Return even times over the attempt and its strips at those times, the other attempt's beside it."""
    t_s, rows = strips(run)
    times = np.linspace(float(t_s[0]), float(t_s[-1]), MOST_POINTS)
    shift_s = run.moments.touch_s - ghost.moments.touch_s if ghost is not None else 0.0
    others = strips(ghost) if ghost is not None else None
    out = []
    for k, row in enumerate(rows):
        own = _even(t_s, row.values, times)
        other = _even(others[0] + shift_s, others[1][k].values, times) if others is not None else None
        both = np.concatenate([own, other]) if other is not None else own
        known = both[~np.isnan(both)]
        low, high = (min(float(known.min()), 0.0), max(float(known.max()), 0.0)) if known.size else (0.0, 1.0)
        out.append(Strip(words(row.key.replace("page.", "ui.")), row.unit, own, other, low, max(high, low + 0.2)))
    return times, out


def pose_at(run: Run, t_s: float) -> Pose:
    """Return where she was."""
    k = run.track.index(t_s)
    return Pose(*(float(run.track[name][k]) for name in ("north_m", "east_m", "heading_rad")))


def _others(run: Run, t_s: float) -> tuple[Pose, ...]:
    if not run.params.neighbours or not len(run.track.others):
        return ()
    return tuple(Pose(float(n), float(e), float(h)) for n, e, h in run.track.others[run.track.slow_index(t_s)])


def truth_at(run: Run, t_s: float) -> Aids:
    """Return everything that was true at a time, as the side view takes it."""
    track, k = run.track, run.track.index(t_s)
    shape, own = run.track.chain_at(t_s), pose_at(run, t_s)
    if not len(shape):
        return Aids(own, (own.north_m, own.east_m), others=_others(run, t_s))
    run_n, run_e = shape[-1, 0] - shape[0, 0], shape[-1, 1] - shape[0, 1]
    length = math.hypot(run_n, run_e)
    dn, de = -math.cos(own.heading_rad), -math.sin(own.heading_rad)
    if length > 1.0:
        dn, de = run_n / length, run_e / length
    along = (shape[:, 0] - shape[0, 0]) * dn + (shape[:, 1] - shape[0, 1]) * de
    loa = run.loa_m
    x = np.linspace(min(float(along.min()), 0.0) - 6.0, float(along.max()) + loa + 6.0, BED_POINTS)
    bed = -charted_depths_m(run.params.bay, shape[0, 0] + x * dn, shape[0, 1] + x * de)
    under = -charted_depths_m(run.params.bay, shape[:, 0], shape[:, 1])
    lifted = np.flatnonzero(shape[1:, 2] > under[1:] + LYING_M)
    lying = int(lifted[0]) if lifted.size else len(shape) - 1
    section = Section(
        chain_m=tuple(zip(along.tolist(), shape[:, 2].tolist(), strict=True)),
        bed_m=tuple(zip(x.tolist(), bed.tolist(), strict=True)),
        surface_m=float(track["tide_m"][k]),
        roller_m=(float(along[-1]), float(shape[-1, 2])),
    )
    anchor = Anchor(
        north_m=float(shape[0, 0]),
        east_m=float(shape[0, 1]),
        shank_rad=math.atan2(de, dn),
        attitude=lay.ATTITUDES[int(track["attitude"][k])],
        burial=float(track["burial"][k]),
        drag_m=float(track["anchor_drag_m"][k]),
        pull_n=float(track["anchor_load_n"][k]),
        lying_m=lying * float(run.line[lay.LP_SEGMENT]),
        lying_nodes=lying,
    )
    chain = tuple((float(n), float(e)) for n, e, _ in shape)
    roller = (float(shape[-1, 0]), float(shape[-1, 1]))
    return Aids(own, roller, _others(run, t_s), chain_m=chain, section=section, anchor=anchor, truth=True)


def drawn(run: Run, wake: Sequence[Point], t_s: float, ghost: tuple[Run, Sequence[Point]] | None) -> Iterator[Item]:
    """Yield what lies over the chart: her track, the chain as it lies, the anchor, all boats; the other attempt's."""
    if ghost is not None:
        other, trail = ghost
        at_s = t_s - run.moments.touch_s + other.moments.touch_s
        shape = other.track.chain_at(at_s)
        yield Stroke("truth", tuple(trail), "second", 1.4, (3.0, 5.0), True)
        if len(shape):
            yield Stroke("truth", tuple((float(n), float(e)) for n, e, _ in shape), "second", 1.8, None, True)
        yield Disc("truth", (pose_at(other, at_s).north_m, pose_at(other, at_s).east_m), 5.0, None, "second", 2.0)
    now = truth_at(run, t_s)
    yield Stroke("truth", tuple(wake), "hot", 1.3, (6.0, 4.0), True)
    for number, pose in enumerate(now.others, start=1):
        yield Hull("truth", (pose.north_m, pose.east_m), pose.heading_rad, number)
    if now.chain_m:
        yield Stroke("truth", now.chain_m, "hot", 2.4, None, True)
        yield Disc("truth", now.chain_m[0], 4.5, "hot", "casing", 1.6)
    yield Hull("truth", (now.own.north_m, now.own.east_m), now.own.heading_rad, 0)


def head(
    layout: Layout, title: str, span: tuple[float, float], t_s: float, marks: Sequence[tuple[float, str]]
) -> Panel:
    """Return the bar of time: what was sailed, the time, and where moments, bookmarks and remarks stand on it."""
    s = Sheet("replay:head", layout.lookout, layout.unit)
    s.text("frame", 14, 8, title, "figure", 22, room=s.wide - 200)
    s.text("frame", s.wide - 14, 6, clock(t_s), "figure", 28, anchor="ne")
    left, right, y = 20.0, s.wide - 20.0, 66.0
    scale = (right - left) / max(span[1] - span[0], 1.0)
    s.line("frame", [(left, y), (right, y)], "ink", 2.0)
    for at_s, kind in marks:
        x = left + scale * (at_s - span[0])
        if kind == "bookmark":
            s.fill("frame", [(x - 5, y - 15), (x + 5, y - 15), (x, y - 4)], "hot")
        elif kind == "remark":
            s.box("frame", (x - 6, y + 5, 12, 9), "panel", "hot", 2.0)
        else:
            s.line("frame", [(x, y - 7), (x, y + 7)], "ink", 2.0)
    s.disc("frame", left + scale * (t_s - span[0]), y, 9, "hot", "casing", 2.0)
    s.line("frame", [(0, s.tall - 1), (s.wide, s.tall - 1)], "ink", 2.0)
    return s.panel()


def strip_panel(layout: Layout, times: FloatArray, rows: Sequence[Strip], t_s: float, said: Sequence[str]) -> Panel:
    """Return the strips with one cursor through all of them, and the last words said."""
    s = Sheet("replay:strips", layout.ledger, layout.unit)
    left, wide = 18.0, s.wide - 36.0
    tall = min((s.tall - 150.0) / len(rows) - 30.0, 96.0)
    first, last = float(times[0]), float(times[-1])
    x_now = left + wide * (t_s - first) / max(last - first, 1.0)
    now = int(np.clip(np.searchsorted(times, t_s), 0, times.size - 1))
    for k, row in enumerate(rows):
        y = 34.0 + k * (tall + 30.0)
        value = "–" if np.isnan(row.own[now]) else f"{row.own[now]:.1f}".replace("-", "−")
        s.text("frame", left, y - 21, row.title, "text", LABEL, "second", room=wide - 92)
        s.text("truth", left + wide, y - 23, f"{value} {row.unit}", "strong", BODY, anchor="ne")
        s.box("frame", (left, y, wide, tall), None, "rule", 1.0)
        zero = y + tall * row.high / (row.high - row.low)
        s.line("frame", [(left, zero), (left + wide, zero)], "rule", 1.2)
        for values, ink, dash in ((row.other, "second", (2.0, 3.0)), (row.own, "hot", None)):
            if values is not None:
                _trace(s, values, row, (left, y, wide, tall), ink, dash)
        s.line("frame", [(x_now, y), (x_now, y + tall)], "ink", 1.8)
    y = 34.0 + len(rows) * (tall + 30.0) - 6.0
    for n, line in enumerate(said):
        s.text("told", left, y + 20 * n, line, "text", BODY, room=wide)
    return s.panel()


def _trace(
    s: Sheet,
    values: FloatArray,
    row: Strip,
    box: tuple[float, float, float, float],
    ink: str,
    dash: tuple[float, float] | None,
) -> None:
    left, top, wide, tall = box
    known = np.flatnonzero(~np.isnan(values))
    if known.size > 1:
        x = left + wide * known / (values.size - 1)
        y = top + tall * (row.high - values[known]) / (row.high - row.low)
        s.line("truth", list(zip(x.tolist(), y.tolist(), strict=True)), ink, 1.6, dash)  # type: ignore[arg-type]
