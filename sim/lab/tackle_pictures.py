"""Pictures of ground tackle at work, each run on the test rig and drawn to scale: a heap, a tow, a snatch, a veer."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import DT_S, mps
from sim.lab.tackle_rig import Rig
from sim.model import layout as lay
from sim.model.params import Rode
from sim.pages import svg
from sim.scenario.read import shelf, tackle
from sim.scenario.read.rig import chain_line
from sim.scenario.read.shelf import Asked
from sim.scenario.schema.base import AnchorKind
from sim.scenario.schema.rig import Chain
from sim.scenario.schema.tackle import AnchorsFile, BottomsFile

WIDTH, EDGE, TITLE = 880.0, 16.0, 40.0
CAPTION = 22.0
DEPTH_M, ROLLER_M = 6.0, 1.4
ABOVE_M, BELOW_M = 2.2, 1.0  # air and ground drawn
WATER, AIR, GROUND = svg.BANDS[3], svg.PANEL, svg.DRYING
MOUND_CELL_M = 0.5
CHAIN_M, ANCHOR_KG, BOAT_KG = 45.0, 20.0, 8000.0


@dataclass(frozen=True)
class Frame:
    """A moment: where the chain is, what it pulls, how deep the anchor is."""

    t_s: float
    nodes_m: FloatArray  # [count, 3] along, across, height above the water
    lying_m: FloatArray  # [count] length of chain that each node has on the bed
    pull_n: float
    grounded_m: float
    burial: float
    note: str


def _rig(out_m: float, kind: AnchorKind | None) -> Rig:
    """Return 10 mm chain in 6 m over sand, with a fixed anchor or one of a type."""
    books = shelf.library()
    bottoms = books.read(BottomsFile, "tackle", "bottoms", Asked())[0]
    line = chain_line(Chain(mm=10.0, length_m=CHAIN_M))
    row, holds = np.zeros(lay.ANCHOR_PARAM_COLS), np.zeros((1, lay.ANCHOR_BOTTOM_COLS))
    if kind is not None:
        of_kind = books.read(AnchorsFile, "tackle", "anchors", Asked())[0].anchors[kind]
        row = tackle.anchor_row(of_kind, ANCHOR_KG)
        holds = np.array([tackle.anchor_on_bottom(of_kind, ANCHOR_KG, "S", bottoms)])
    rode = Rode(10.0, line, kind or "fixed", row, holds)
    return Rig(rode, out_m, DEPTH_M, ROLLER_M, tackle.bottom_row("S", bottoms)[None, :], fixed=kind is None)


def _frame(rig: Rig, t_s: float, note: str) -> Frame:
    places = rig.places_m
    own = np.where(places[:, 2] <= 0.02 - DEPTH_M, float(rig.rode.line[lay.LP_SEGMENT]), 0.0)
    return Frame(t_s, places, own, rig.read().tension_roller_n, rig.grounded_m, rig.burial, note)


def heap() -> list[Frame]:
    """Return a heap lowered under a bow that hardly moves, and how it pulls out when she gathers sternway."""
    rig, out = _rig(9.0, None), []
    rig.place(0.6)
    rig.line[lay.L_RATE] = 0.5
    x, moments = 0.6, {4: "the anchor is down, chain runs", 74: "all of it let out on the spot"}
    for tick in range(1, 60 * 150 + 1):
        t_s = tick * DT_S
        if t_s >= (CHAIN_M - 9.0) / 0.5:
            rig.line[lay.L_RATE] = 0.0
        x += DT_S * (0.02 if t_s < 76.0 else 0.55 if x < 41.5 else 0.0)
        rig.step(x)
        if tick % 60 == 0 and tick // 60 in moments:
            out.append(_frame(rig, t_s, moments[tick // 60]))
        if tick in (60 * 110, 60 * 150):
            out.append(_frame(rig, t_s, "sternway: it pulls out link by link" if len(out) == 2 else "laid out"))
    return out


def tow() -> tuple[list[Frame], list[tuple[float, float]], list[tuple[float, float]]]:
    """Return a scoop drawn over sand until it holds: frames, pull and burial by time."""
    rig = _rig(CHAIN_M, "scoop")
    rig.lay_to(39.0)
    notes = {0: "laid out, slack", 45: "it tips and bites", 75: "it buries as it comes", 140: "dug in"}
    frames, pull, burial = [_frame(rig, 0.0, notes[0])], [], []
    for tick in range(1, 60 * 140 + 1):
        rig.step(min(39.0 + 0.1 * tick * DT_S, 48.2))
        if tick % 15 == 0:
            pull.append((tick * DT_S, rig.read().horizontal_roller_n))
            burial.append((tick * DT_S, 100.0 * rig.burial))
        if tick % 60 == 0 and tick // 60 in notes:
            frames.append(_frame(rig, tick * DT_S, notes[tick // 60]))
    return frames, pull, burial


def snatch() -> tuple[list[Frame], list[tuple[float, float]]]:
    """Return eight tonnes that run away with slack chain at 3 kn: frames, and the tension by time."""
    rig = _rig(CHAIN_M, None)
    rig.lay_to(34.0)
    speed, x, most = mps(3.0), 34.0, 0.0
    tension, all_of_it = [], []
    for tick in range(60 * 24):
        speed -= DT_S * rig.read().pull_x_n / BOAT_KG
        x += DT_S * speed
        rig.step(x)
        now = rig.read().tension_roller_n
        most = max(most, now)
        tension.append((tick * DT_S, now))
        all_of_it.append(_frame(rig, tick * DT_S, ""))
    peak = max(range(len(tension)), key=lambda k: tension[k][1])
    rising = next(k for k in range(peak) if tension[k][1] > 0.2 * most)
    picked = [(0, "slack"), (rising, "it lifts"), (peak, "bar tight"), (min(peak + 360, 1439), "she springs back")]
    frames = [
        Frame(f.t_s, f.nodes_m, f.lying_m, f.pull_n, f.grounded_m, f.burial, note)
        for f, note in ((all_of_it[k], note) for k, note in picked)
    ]
    return frames, tension


def veer() -> list[Frame]:
    """Return the bow swinging by 90 degrees round the anchor at half a metre a second, then lying still."""
    rig, out, radius = _rig(CHAIN_M, None), [], 40.0
    rig.lay_to(radius)
    swing_s = 0.5 * math.pi * radius / 0.5
    out.append(_frame(rig, 0.0, ""))
    for tick in range(1, round((swing_s + 60.0) / DT_S) + 1):
        angle = 0.5 * math.pi * min(tick * DT_S / swing_s, 1.0)
        rig.step(radius * math.cos(angle), radius * math.sin(angle))
        if tick % round(swing_s / 5.0 / DT_S) == 0 and tick * DT_S <= swing_s + 0.1:
            out.append(_frame(rig, tick * DT_S, ""))
    return [*out, _frame(rig, swing_s + 60.0, "")]


def _side(frame: Frame, x: float, y: float, width: float, from_m: float, to_m: float) -> str:
    """Return a moment seen from the side, to scale, under its caption; its top left corner at (x, y)."""
    scale = (width - 2.0) / (to_m - from_m)
    measured = f"{frame.pull_n:.0f} N at the roller, {frame.grounded_m:.0f} m on the bed"
    y += CAPTION
    sea, bed = y + ABOVE_M * scale, y + (ABOVE_M + DEPTH_M) * scale
    bottom = bed + BELOW_M * scale

    def at(along_m: float, up_m: float) -> tuple[float, float]:
        return x + scale * (along_m - from_m), sea - scale * up_m

    shackle = at(float(frame.nodes_m[0, 0]), -DEPTH_M - 0.35 * frame.burial)
    chain = [shackle] + [at(float(a), float(u)) for a, _, u in frame.nodes_m[1:]]
    parts = [
        svg.tag("rect", x=x, y=y, width=width, height=bottom - y, fill=AIR),
        svg.tag("rect", x=x, y=sea, width=width, height=bed - sea, fill=WATER),
        svg.tag("rect", x=x, y=bed, width=width, height=bottom - bed, fill=GROUND),
        svg.line([(x, sea), (x + width, sea)], svg.SECOND, 1.0),
        svg.line([(x, bed), (x + width, bed)], svg.INK, 1.0),
        _mound(frame, at),
        svg.line(chain, svg.HOT, 2.2, stroke_linejoin="round"),
        _anchor(*shackle, scale),
        _bow(*chain[-1], scale),
        svg.tag("rect", x=x, y=y, width=width, height=bottom - y, fill="none", stroke=svg.RULE),
        svg.text(x, y - 6.0, f"{round(frame.t_s, 1):g} s: {frame.note}", 13.0, font_weight="600"),
        svg.text(x + width, y - 6.0, measured, 13.0, anchor="end"),
    ]
    return "".join(parts)


def _mound(frame: Frame, at: Callable[[float, float], tuple[float, float]]) -> str:
    """Return the chain heaped beyond one layer: a mound as high as the root of its length in each half metre."""
    along, lying = frame.nodes_m[:, 0], frame.lying_m
    parts = []
    for cell in np.unique(np.floor(along[lying > 0.0] / MOUND_CELL_M)):
        here = float(lying[np.floor(along / MOUND_CELL_M) == cell].sum()) - 1.0
        if here > 1.0:
            middle, high = (cell + 0.5) * MOUND_CELL_M, 0.16 * math.sqrt(here)
            ring = [at(middle - 2.0 * high, -DEPTH_M), at(middle, high - DEPTH_M), at(middle + 2.0 * high, -DEPTH_M)]
            parts.append(svg.area([ring], svg.HOT, opacity=0.85))
    return "".join(parts)


def _anchor(x: float, y: float, scale: float) -> str:
    size = 0.8 * scale
    shank = svg.line([(x, y - 1.0), (x - size, y + 0.25 * size)], svg.INK, 2.4)
    return shank + svg.area(
        [[(x - size, y - 0.1 * size), (x - 0.35 * size, y + 0.65 * size), (x - 1.1 * size, y + 0.5 * size)]], svg.INK
    )


def _bow(x: float, y: float, scale: float) -> str:
    hull = [(0.0, 0.0), (0.5, 0.15), (0.9, 1.4), (3.2, 1.7), (3.2, -0.1)]
    return svg.area([[(x + a * scale, y + b * scale) for a, b in hull]], svg.PANEL, svg.INK, 1.3)


def _strip(rows: Sequence[tuple[float, float]], y: float, height: float, unit: str, marks: Sequence[float] = ()) -> str:
    """Return a figure by time: its line, a rule at round values, and thin lines at the moments drawn above."""
    left, right, low = EDGE + 52.0, WIDTH - EDGE, y + height - 20.0
    most_t, most = rows[-1][0], max(value for _, value in rows)
    step = next(s for s in (10.0, 25.0, 50.0, 100.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0) if most / s <= 5.0)
    top = step * math.ceil(most / step)

    def at(t_s: float, value: float) -> tuple[float, float]:
        return left + (right - left) * t_s / most_t, low - (low - y) * value / top

    parts = [svg.line([at(t, 0.0), at(t, top)], svg.SECOND, 1.0, "3 3") for t in marks]
    for k in range(round(top / step) + 1):
        parts += [svg.line([at(0.0, k * step), at(most_t, k * step)], svg.RULE, 1.0)]
        parts += [svg.text(left - 6.0, at(0.0, k * step)[1] + 4.0, f"{k * step:g}", 11.0, svg.SECOND, "end")]
    parts.append(svg.line([at(t, value) for t, value in rows], svg.HOT, 1.8, stroke_linejoin="round"))
    parts.append(svg.text(left + 4.0, y + 12.0, unit, 12.0, svg.INK, halo=True))
    parts.append(svg.text(right, low + 16.0, f"{most_t:.0f} s", 11.0, svg.SECOND, "end"))
    return "".join(parts)


def _sides(frames: Sequence[Frame], from_m: float, to_m: float) -> tuple[str, float]:
    """Return moments one under the other, and how far down they reach."""
    width = WIDTH - 2.0 * EDGE
    height = CAPTION + (width - 2.0) / (to_m - from_m) * (ABOVE_M + DEPTH_M + BELOW_M) + 0.5 * EDGE
    parts = [_side(f, EDGE, TITLE + k * height, width, from_m, to_m) for k, f in enumerate(frames)]
    return "".join(parts), TITLE + len(frames) * height + 0.5 * EDGE


def _sheet(parts: Sequence[str], height: float, title: str, key: str) -> str:
    ground = svg.tag("rect", width=WIDTH, height=height, fill=svg.PAPER)
    words = svg.text(EDGE, 28.0, title, 16.0, font_weight="700")
    drawn = svg.picture(WIDTH, height, [ground, words, *parts], title, key)
    return drawn.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" font-family="sans-serif" ', 1)


def _plan(frames: Sequence[Frame], title: str) -> str:
    """Return the chain seen from above at each moment, the first pale, the last strong; thick where it lies."""
    scale, left, low = 17.0, 70.0, 760.0

    def at(along_m: float, across_m: float) -> tuple[float, float]:
        return left + scale * along_m, low - scale * across_m

    parts = [svg.tag("rect", x=EDGE, y=TITLE, width=WIDTH - 2.0 * EDGE, height=low + 50.0 - TITLE, fill=GROUND)]
    arc = [at(40.0 * math.cos(a), 40.0 * math.sin(a)) for a in np.linspace(0.0, 0.5 * math.pi, 60)]
    parts.append(svg.line(arc, svg.SECOND, 1.0, "4 4"))
    for k, frame in enumerate(frames):
        last = k == len(frames) - 1
        stroke = svg.HOT if last else svg.INK
        points = [at(float(a), float(c)) for a, c, _ in frame.nodes_m]
        lying = [p for p, m in zip(points, frame.lying_m, strict=True) if m > 0.0]
        opacity = 1.0 if last else 0.35 + 0.5 * k / len(frames)
        parts += [svg.line(points, stroke, 1.2, opacity=opacity), svg.line(lying, stroke, 3.0, opacity=opacity)]
        if not last:
            x, y = points[-1]
            words = f"{frame.t_s:.0f} s, {frame.pull_n:.0f} N"
            parts += [svg.circle(x, y, 4.0, svg.INK), svg.text(x + 8.0, y - 6.0, words, 12.0)]
    parts += [svg.circle(*at(0.0, 0.0), 5.0, svg.INK), svg.text(left - 8.0, low + 24.0, "anchor", 13.0)]
    words = f"red: a minute after the swing, {frames[-1].pull_n:.0f} N; thick lies on the bed, thin is lifted"
    parts.append(svg.text(EDGE + 90.0, low + 40.0, words, 13.0))
    return _sheet(parts, low + 66.0, title, "veer")


def pictures() -> dict[str, str]:
    """Return every picture as SVG, by the name of its file."""
    out = {}
    sides, low = _sides(heap(), -3.0, 48.0)
    out["heap.svg"] = _sheet([sides], low, "45 m of 10 mm chain let out on the spot in 6 m, then pulled out", "heap")
    frames, pull, burial = tow()
    sides, low = _sides(frames, -3.0, 54.0)
    marks = [f.t_s for f in frames]
    parts = [
        sides, _strip(pull, low + 6.0, 130.0, "horizontal pull, N", marks),
        _strip(burial, low + 142.0, 100.0, "burial, %", marks),
    ]  # fmt: skip
    out["tow.svg"] = _sheet(parts, low + 252.0, "A 20 kg scoop dragged over sand at 0.1 m/s", "tow")
    frames, tension = snatch()
    sides, low = _sides(frames, -3.0, 50.0)
    strip = _strip(tension, low + 6.0, 150.0, "tension at the roller, N", [f.t_s for f in frames])
    out["snatch.svg"] = _sheet([sides, strip], low + 166.0, "8 t running back on slack chain at 3 kn", "snatch")
    out["veer.svg"] = _plan(veer(), "The bow swings by 90 degrees at 0.5 m/s on 45 m of chain, from above")
    return out


def write(folder: Path) -> list[Path]:
    """Write every picture into a folder, made where it is missing, and return their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for name, drawn in pictures().items():
        (folder / name).write_text(drawn, encoding="utf-8")
        paths.append(folder / name)
    return paths
