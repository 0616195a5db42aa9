"""A ground-tackle rig's case out of its file: a rode on a flat bed, and what its roller does.

What a case leaves out follows from the bar's or the rope's diameter d:

chain: 0.022 d^2 kg/m (d in mm), the mean of the short-link tables (DIN 766, ISO 4565), EA = 0.854e11 d^2 N (d in m);
rope: three-strand nylon, from memory (``tackle.rope_row``), as stiff at any load as at a fifth of its breaking load.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from sim.base.arrays import FloatArray
from sim.model import layout as lay
from sim.model import params
from sim.scenario.read import load, shelf, tackle
from sim.scenario.read.shelf import Asked
from sim.scenario.schema.rig import Chain, RigFile, Series, Sway
from sim.scenario.schema.rig import Rode as RodeBlock
from sim.scenario.schema.tackle import AnchorsFile, BottomsFile

CHAIN_KGPM_PER_MM2 = 0.022
MOST_SEGMENTS = lay.NODE_CAP - 2
MOST_START_N = 200e3  # a first position that would pull harder is a slip; it breaks any chain of the range

InTime = Callable[[float], float]


@dataclass(frozen=True)
class Case:
    """A case, ready to run.

    Attributes:
        rode: its constants; the anchor's holding is given for the one bottom.
        length_m: rode out, bed to roller.
        depth_m: of the water.
        roller_height_m: roller above the water.
        bottom: ``float64[1, BOTTOM_COLS]``.
        fixed: whether the anchor cannot move.
        place_m: of a tow, where the roller is at a time, from the anchor's first place.
        force_n: of a pull, the force on the mass at a time.
        mass_kg: of a pull, the mass that hangs on the roller.
        damping_n_s_per_m: of a pull, what else slows the mass.
        for_s: how long.
        every_s: time between rows.
        dt_s: the step; an exercise's own is 1/60 s.
    """

    rode: params.Rode
    length_m: float
    depth_m: float
    roller_height_m: float
    bottom: FloatArray
    fixed: bool
    place_m: InTime | None
    force_n: InTime | None
    mass_kg: float
    damping_n_s_per_m: float
    for_s: float
    every_s: float
    dt_s: float


def chain_line(chain: Chain) -> FloatArray:
    """Return ``float64[LINE_PARAM_COLS]`` of a rode that is all chain."""
    line = np.zeros(lay.LINE_PARAM_COLS)
    mass = chain.kg_per_m or CHAIN_KGPM_PER_MM2 * chain.mm**2
    line[lay.LP_MASS], line[lay.LP_WEIGHT] = mass, tackle.chain_weight_n_per_m(mass)
    line[lay.LP_EA] = chain.ea_n or tackle.chain_ea_n(chain.mm)
    line[lay.LP_DIAMETER] = chain.mm / 1000.0
    line[lay.LP_SEGMENT] = chain.length_m / max(round(chain.length_m / chain.node_m), 1)
    line[lay.LP_CARRIED] = line[lay.LP_LEADER] = chain.length_m
    line[lay.LP_BITTER_FAST] = 1.0
    line[lay.LP_DRAG_NORMAL], line[lay.LP_DRAG_TANGENT] = tackle.CHAIN_DRAG_NORMAL, tackle.CHAIN_DRAG_TANGENT
    return line


def rode_line(rode: RodeBlock) -> FloatArray:
    """Return ``float64[LINE_PARAM_COLS]`` of a rope behind its chain leader; a node falls on the join."""
    rope = tackle.rope_row(rode.rope_mm)
    if rode.rope_ea_n is not None:
        rope[lay.LP_ROPE_EA] = rode.rope_ea_n
    # A rope without a leader has no chain anywhere: its own figures stand for both, so that no node is without mass.
    whole = Chain(mm=max(rode.rope_mm, 4.0), length_m=rode.rope_m, kg_per_m=1.0)
    line = chain_line(whole if rode.leader is None else rode.leader)
    for column, value in rope.items():
        line[column] = value
    if rode.leader is None:
        line[lay.LP_MASS], line[lay.LP_WEIGHT] = rope[lay.LP_ROPE_MASS], rope[lay.LP_ROPE_WEIGHT]
        line[lay.LP_EA], line[lay.LP_DIAMETER] = rope[lay.LP_ROPE_EA], rope[lay.LP_ROPE_DIAMETER]
        line[lay.LP_LEADER] = 0.0
    line[lay.LP_CARRIED] = line[lay.LP_LEADER] + rode.rope_m
    return line


def in_time(rows: Series) -> InTime:
    """Return what runs straight from row to row, and stands still before the first and after the last."""
    times, values = (np.array(column) for column in zip(*rows, strict=True))
    return lambda t_s: float(np.interp(t_s, times, values))


def swaying(sway: Sway) -> InTime:
    """Return hold + amplitude sin(2 pi t / period): a roller that sets off away from the anchor."""
    return lambda t_s: sway.hold_m + sway.amplitude_m * math.sin(2.0 * math.pi * t_s / sway.period_s)


def load_case(path: Path) -> Case:
    """Return the case in a file.

    Raises:
        ScenarioError: when it cannot be read, or does not fit.
    """
    document = load.read(path)
    file = load.validate(RigFile, document)
    line = rode_line(file.rode) if file.rode is not None else chain_line(_chain(file))
    if file.drag is not None:
        line[lay.LP_DRAG_NORMAL], line[lay.LP_DRAG_TANGENT] = file.drag.normal, file.drag.tangential
    line[lay.LP_ROLLER_Z] = file.roller_height_m
    bottom, rode = _ground_and_anchor(file, document, line)
    case = Case(
        rode=rode,
        length_m=float(line[lay.LP_CARRIED]),
        depth_m=file.depth_m,
        roller_height_m=file.roller_height_m,
        bottom=bottom,
        fixed=file.anchor == "fixed",
        place_m=_motion(file),
        force_n=in_time(file.force_n) if file.force_n is not None and file.rig == "pull" else None,
        mass_kg=file.mass_kg or 0.0,
        damping_n_s_per_m=file.damping_n_s_per_m,
        for_s=file.for_s,
        every_s=file.every_s,
        dt_s=1.0 / file.steps_per_s,
    )
    _check_lengths(file, case, document)
    return case


def _chain(file: RigFile) -> Chain:
    assert file.chain is not None  # the schema asks for a chain where there is no rode
    return file.chain


def _motion(file: RigFile) -> InTime | None:
    if file.rig == "pull" or file.motion is None:
        return None
    return swaying(file.motion) if isinstance(file.motion, Sway) else in_time(file.motion)


def _ground_and_anchor(file: RigFile, document: load.Document, line: FloatArray) -> tuple[FloatArray, params.Rode]:
    books = shelf.library()
    bottoms = books.read(BottomsFile, "tackle", "bottoms", Asked())[0]
    try:
        bottom = tackle.bottom_row(file.bottom, bottoms)
    except ValueError as unknown:
        known = ", ".join(bottoms.natures)
        raise document.error(("bottom",), f"letters of the chart ({known})", repr(str(unknown))) from None
    if file.friction is not None:
        bottom[lay.G_FRICTION] = file.friction
    chain_mm = 1000.0 * float(line[lay.LP_DIAMETER])
    if file.anchor == "fixed":
        anchor, holds = np.zeros(lay.ANCHOR_PARAM_COLS), np.zeros((1, lay.ANCHOR_BOTTOM_COLS))
        return bottom[None, :], params.Rode(chain_mm, line, "fixed", anchor, holds)
    kind = books.read(AnchorsFile, "tackle", "anchors", Asked())[0].anchors[file.anchor.type]
    anchor = tackle.anchor_row(kind, file.anchor.mass_kg)
    holds = np.array([tackle.anchor_on_bottom(kind, file.anchor.mass_kg, file.bottom, bottoms)])
    return bottom[None, :], params.Rode(chain_mm, line, file.anchor.type, anchor, holds)


def _check_lengths(file: RigFile, case: Case, document: load.Document) -> None:
    """Leave a rode of too many nodes, one that does not reach the bed, or a first position beyond its reach."""
    part = ("chain",) if file.chain is not None else ("rode",)
    segments = round(case.length_m / float(case.rode.line[lay.LP_SEGMENT]))
    if segments > MOST_SEGMENTS:
        raise document.error((*part,), f"at most {MOST_SEGMENTS} segments (longer node_m)", f"{segments}")
    height = case.depth_m + case.roller_height_m
    if case.length_m <= height:
        raise document.error((*part,), f"more rode than the {height:g} m from roller to bed", f"{case.length_m:g} m")
    if case.place_m is None:
        return
    first_m = case.place_m(0.0)
    give = give_m_per_n(case.rode.line, case.length_m)
    most = math.sqrt((case.length_m + MOST_START_N * give) ** 2 - height**2)
    if not 0.0 <= first_m <= most:
        raise document.error(("motion",), f"a first position of 0 to {most:.1f} m", f"{first_m:g} m")


def give_m_per_n(line: FloatArray, length_m: float) -> float:
    """Return how far a rode stretches for each newton [m/N]."""
    leader = min(float(line[lay.LP_LEADER]), length_m)
    rope = length_m - leader
    return leader / float(line[lay.LP_EA]) + (rope / float(line[lay.LP_ROPE_EA]) if rope > 0.0 else 0.0)
