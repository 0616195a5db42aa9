"""A dozen mixed boats at anchor through half a tide with the wind across it, as a picture: who lies how, and when."""

import math
from dataclasses import replace
from pathlib import Path
from typing import Annotated

import numpy as np
import typer

from sim.base.arrays import FloatArray
from sim.base.frames import to_world, wrap_pi
from sim.base.units import TICK_HZ, deg, knots, mps, rad
from sim.core import state as st
from sim.core import world as wd
from sim.model import fleet
from sim.model import layout as lay
from sim.model.air import wind
from sim.model.params import Water, WorldParams
from sim.model.water.water import stream_at
from sim.pages import svg
from sim.pages.bay_picture import View
from sim.pages.plan_picture import outline
from sim.scenario import library
from sim.scenario.read import boat as boats
from sim.scenario.read import shelf
from sim.scenario.read.shelf import Asked
from sim.scenario.schema.base import BoatFile
from sim.scenario.schema.lesson import NeighbourBlock, NeighbourRode

LESSON = "lantern-pool-2"
KINDS = ("sloop-12", "long-keel-11", "twin-hull-12", "motor-14")
TINTS = {"sloop-12": "#2E6F8E", "long-keel-11": "#7A4E9A", "twin-hull-12": "#3F7D4B", "motor-14": "#B33A10"}
ROWS, COLUMNS, APART_M = 3, 4, 82.0
RODE_M, DEPTH_M, RANGE_M = 32.0, 6.0, 2.4
WIND_KN, WIND_FROM_DEG = 12.0, 270.0
STREAM_KN, STREAM_DEG = 1.4, 0.0  # at its strongest, half an hour before the first panel
TURN_H = 6.2  # from the strongest one way to the strongest the other way
HOURS = (1, 2, 3, 4, 5, 6)
STEP_TICKS = 6  # ten steps a second, the wind looked at in each
MEAN_S = 600.0  # headings are means over the ten minutes before the hour
PANEL, TALL, GAP, TOP = 430.0, 360.0, 16.0, 74.0
SCALE, DOWN = 1.2, 26.0  # px per metre; room at the top for wind and stream


def params(seed: int = 1) -> WorldParams:
    """Return a flat, open bay with a dozen boats in it, four kinds, and the own boat well out of the way."""
    base = library.load_lesson(LESSON).world(seed)
    files = {kind: shelf.library().read(BoatFile, "boats", kind, Asked())[0] for kind in KINDS}
    others = []
    for k in range(ROWS * COLUMNS):
        kind = KINDS[(k + k // COLUMNS) % len(KINDS)]
        block = NeighbourBlock(
            name=f"Boat {k + 1}",
            boat=kind,
            anchor_north_m=APART_M * (k // COLUMNS - 0.5 * (ROWS - 1)),
            anchor_east_m=APART_M * (k % COLUMNS - 0.5 * (COLUMNS - 1)),
            rode=NeighbourRode(kind="chain", length_m=RODE_M, snubber_m=6.0),
        )
        others.append(boats.build_neighbour(block, files[kind], seed))
    hours = np.array([0.0, TURN_H])
    rate = mps(STREAM_KN) * np.array([1.0, -1.0])
    stream = np.stack([3600.0 * hours, rate * math.cos(rad(STREAM_DEG)), rate * math.sin(rad(STREAM_DEG))], axis=1)
    tide = np.array([[-3600.0 * 3.1, -0.5 * RANGE_M], [3600.0 * 3.1, 0.5 * RANGE_M], [3600.0 * 9.3, -0.5 * RANGE_M]])
    return replace(
        base,
        bay=replace(base.bay, depth_m=np.full_like(base.bay.depth_m, DEPTH_M), shores=()),
        neighbours=tuple(others),
        weather=wind.pack(seed, mps(WIND_KN), rad(WIND_FROM_DEG), 0.10, rad(5.0)),
        water=Water(tide=tide, stream=stream),
        start=replace(base.start, north_m=2000.0, east_m=2000.0, speed_mps=0.0),
    )


def lie(world: wd.World, hours: tuple[int, ...] = HOURS) -> list[FloatArray]:
    """Return, for each hour, ``float64[boats, 3]`` of the others: north, east, mean heading over ten minutes."""
    s, k = world.state, world.constants
    found = []
    for hour in hours:
        total = np.zeros((len(s.boats) - 1, 2))
        end = 3600 * TICK_HZ * hour
        while s.tick < end:
            wd.observe_weather(world)
            dt_s = STEP_TICKS / TICK_HZ
            fleet.advance_fleet(s.boats, k.builds, s.fleet, k.tables, fleet.PULLS_N, dt_s)
            s.clock[st.K_TICK] += STEP_TICKS
            if s.tick > end - MEAN_S * TICK_HZ:
                heading = s.boats[1:, lay.B_HEADING]
                total += np.stack([np.cos(heading), np.sin(heading)], axis=1)
        mean = np.arctan2(total[:, 1], total[:, 0])
        found.append(np.column_stack([s.boats[1:, lay.B_NORTH], s.boats[1:, lay.B_EAST], mean]))
    return found


def mix(p: WorldParams, lies: list[FloatArray]) -> list[dict[str, float]]:
    """Return, for each hour, the mean heading of each kind of boat and the spread over all [deg]."""
    rows = []
    for poses in lies:
        row = {}
        for kind in KINDS:
            headings = [h for n, h in zip(p.neighbours, poses[:, 2], strict=True) if n.boat.name == kind]
            row[kind] = deg(math.atan2(np.mean(np.sin(headings)), np.mean(np.cos(headings)))) % 360.0
        middle = math.atan2(np.mean(np.sin(poses[:, 2])), np.mean(np.cos(poses[:, 2])))
        row["spread"] = deg(math.sqrt(np.mean([wrap_pi(h - middle) ** 2 for h in poses[:, 2]])))
        rows.append(row)
    return rows


def stream_kn(p: WorldParams, hour: float) -> float:
    """Return the stream's rate at an hour [kn], below 0 once it sets the other way."""
    north, east = stream_at(3600.0 * hour, p.water.stream)
    return knots(north * math.cos(rad(STREAM_DEG)) + east * math.sin(rad(STREAM_DEG)))


def _arrow(x: float, y: float, to_rad: float, length: float, stroke: str, width: float) -> list[str]:
    """Return an arrow about a point; on paper north is up."""
    c, s = math.sin(to_rad), -math.cos(to_rad)
    tail, tip = (x - 0.5 * length * c, y - 0.5 * length * s), (x + 0.5 * length * c, y + 0.5 * length * s)
    base = (tip[0] - 9.0 * c, tip[1] - 9.0 * s)
    head = np.array([tip, (base[0] - 4.5 * s, base[1] + 4.5 * c), (base[0] + 4.5 * s, base[1] - 4.5 * c)])
    return [svg.line([tail, base], stroke, width), svg.area([head], stroke)]


def _panel(p: WorldParams, poses: FloatArray, hour: int) -> list[str]:
    """Return the boats of one hour, with anchors, rodes, wind and stream, in a frame whose corner is the origin."""
    view = View(-0.5 * PANEL / SCALE, (0.5 * TALL + DOWN) / SCALE, SCALE, TALL)
    rate = stream_kn(p, hour)
    parts = [svg.tag("rect", width=PANEL, height=TALL, fill=svg.BANDS[2], stroke=svg.INK, stroke_width=1.2)]
    for other, (north, east, heading) in zip(p.neighbours, poses, strict=True):
        bow_n, bow_e = to_world(other.boat.particulars.roller_x_m, 0.0, float(heading))
        anchor = view.at(other.anchor_north_m, other.anchor_east_m)
        parts.append(svg.line([anchor, view.at(north + bow_n, east + bow_e)], svg.SECOND, 0.9))
        parts.append(svg.circle(*anchor, 1.8, fill=svg.SECOND, stroke=None))
        hull = outline(other.boat.outline_m, float(north), float(east), float(heading), view)
        parts.append(svg.area([hull], TINTS[other.boat.name], svg.PANEL, 0.8))
    parts += _arrow(38.0, 24.0, rad(WIND_FROM_DEG) + math.pi, 48.0, svg.INK, 2.0)
    parts.append(svg.text(38.0, 50.0, f"{WIND_KN:.0f} kn", 12.0, svg.INK, "middle"))
    if abs(rate) > 0.05:
        to_rad = rad(STREAM_DEG) + (0.0 if rate > 0.0 else math.pi)
        parts += _arrow(PANEL - 22.0, 30.0, to_rad, 14.0 + 24.0 * abs(rate) / STREAM_KN, "#2E6F8E", 3.0)
    parts.append(svg.text(PANEL - 38.0, 34.0, f"{abs(rate):.1f} kn", 12.0, svg.INK, "end"))
    parts.append(svg.text(0.5 * PANEL, 24.0, f"hour {hour}", 17.0, svg.INK, "middle", font_weight="700"))
    return parts


def draw(p: WorldParams, lies: list[FloatArray], hours: tuple[int, ...] = HOURS) -> str:
    """Return the picture as SVG: a panel an hour, each kind of boat in its colour."""
    across = 3
    rows = math.ceil(len(lies) / across)
    wide, high = across * PANEL + (across + 1) * GAP, TOP + rows * (TALL + GAP)
    title = f"{len(p.neighbours)} boats at anchor, {WIND_KN:.0f} kn across the stream, through a turn of the tide"
    parts = [svg.tag("rect", width=wide, height=high, fill=svg.PAPER), svg.text(GAP, 30.0, title, 20.0)]
    for k, kind in enumerate(KINDS):
        name = next(n.boat.title for n in p.neighbours if n.boat.name == kind)
        parts.append(svg.tag("rect", x=GAP + 310.0 * k, y=44.0, width=16.0, height=16.0, fill=TINTS[kind]))
        parts.append(svg.text(GAP + 22.0 + 310.0 * k, 57.0, name, 13.0))
    for k, (poses, hour) in enumerate(zip(lies, hours, strict=True)):
        x, y = GAP + (k % across) * (PANEL + GAP), TOP + (k // across) * (TALL + GAP)
        parts.append(svg.tag("g", "".join(_panel(p, poses, hour)), transform=f"translate({x:g} {y:g})"))
    whole = svg.picture(wide, high, parts, title, "anchorage")
    return whole.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" font-family="sans-serif" ', 1)


def table(p: WorldParams, lies: list[FloatArray], hours: tuple[int, ...] = HOURS) -> list[str]:
    """Return the mix of headings, a line an hour: the stream, each kind's mean, the spread over all."""
    rows = ["hour  stream  " + "  ".join(f"{kind:>12}" for kind in KINDS) + "  spread"]
    for hour, row in zip(hours, mix(p, lies), strict=True):
        means = "  ".join(f"{row[kind]:11.0f}°" for kind in KINDS)
        rows.append(f"{hour:4d}  {stream_kn(p, hour):+6.2f}  {means}  {row['spread']:5.0f}°")
    return rows


def command(
    out_file: Annotated[Path, typer.Option("--out", help="write the picture (SVG)")],
    seed: Annotated[int, typer.Option(min=0, help="of the wind and of the boats' windage")] = 1,
) -> None:
    """Draw a dozen mixed boats at anchor through a turn of the tide, wind across it, and print how each kind lies."""
    p = params(seed)
    lies = lie(wd.build(p))
    out_file.write_text(draw(p, lies), encoding="utf-8")
    for row in table(p, lies):
        typer.echo(row)
    typer.echo(f"Picture: {out_file}")
