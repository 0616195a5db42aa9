"""Rigs for proofs: a chain, or rope behind a chain leader, on a flat bed; led along a path, measured step by step."""

import math
from collections.abc import Callable

import numpy as np

from sim.base.arrays import FloatArray
from sim.lab.tackle_rig import Rig
from sim.model import layout as lay
from sim.model.params import Rode
from sim.model.tackle.chain_forces import ADDED_MASS, BED_N_PER_M2, is_rope
from sim.scenario.read import shelf, tackle
from sim.scenario.read.rig import chain_line, rode_line
from sim.scenario.read.shelf import Asked
from sim.scenario.schema.rig import Chain
from sim.scenario.schema.rig import Rode as RopeAndChain
from sim.scenario.schema.tackle import AnchorsFile, BottomsFile

Path = Callable[[float], tuple[float, float]]


def chain(length_m: float = 50.0, ea_n: float | None = None, mm: float = 10.0, node_m: float = 1.0) -> FloatArray:
    """Return the constants of a chain."""
    return chain_line(Chain(mm=mm, length_m=length_m, ea_n=ea_n, node_m=node_m))


def mixed(leader_m: float, rope_m: float, mm: float = 8.0, rope_mm: float = 14.0) -> FloatArray:
    """Return the constants of a rope behind ``leader_m`` of chain, or of rope alone where that is 0."""
    leader = Chain(mm=mm, length_m=leader_m) if leader_m > 0.0 else None
    return rode_line(RopeAndChain(leader=leader, rope_mm=rope_mm, rope_m=rope_m))


def fixed(line: FloatArray, depth_m: float = 6.5, roller_m: float = 1.5, friction: float = 0.74) -> Rig:
    """Return a rig whose anchor cannot move."""
    ground = np.zeros((1, lay.BOTTOM_COLS))
    ground[0, lay.G_FRICTION] = friction
    held = Rode(10.0, line, "fixed", np.zeros(lay.ANCHOR_PARAM_COLS), np.zeros((1, lay.ANCHOR_BOTTOM_COLS)))
    return Rig(held, float(line[lay.LP_CARRIED]), depth_m, roller_m, ground, fixed=True)


def anchored(line: FloatArray, kind: str, mass_kg: float, letters: str, depth_m: float, roller_m: float) -> Rig:
    """Return a rig with an anchor of the library's types on one of its bottoms."""
    books = shelf.library()
    bottoms = books.read(BottomsFile, "tackle", "bottoms", Asked())[0]
    of_kind = books.read(AnchorsFile, "tackle", "anchors", Asked())[0].anchors[kind]
    holds = np.array([tackle.anchor_on_bottom(of_kind, mass_kg, letters, bottoms)])
    rode = Rode(10.0, line, kind, tackle.anchor_row(of_kind, mass_kg), holds)
    ground = tackle.bottom_row(letters, bottoms)[None, :]
    return Rig(rode, float(line[lay.LP_CARRIED]), depth_m, roller_m, ground, fixed=False)


def lead(rig: Rig, path: Path, for_s: float) -> tuple[FloatArray, FloatArray]:
    """Lead the roller along a path and return the tension at it and at the anchor after every step [N]."""
    seen = []
    for k in range(round(for_s / rig.dt_s)):
        rig.step(*path((k + 1) * rig.dt_s))
        reading = rig.read()
        seen.append((reading.tension_roller_n, reading.tension_anchor_n))
    return tuple(np.array(seen).T)  # type: ignore[return-value]


def energy_j(rig: Rig) -> float:
    """Return the rode's energy of motion, height and stretch, and that of the bed it sinks into [J]."""
    nodes, line, count = rig.nodes[: rig.count], rig.rode.line, rig.count
    rope = np.array([is_rope(line, i, float(line[lay.LP_SEGMENT])) for i in range(count - 1)])
    rest = np.full(count - 1, line[lay.LP_SEGMENT])
    rest[-1] = rig.line[lay.L_TOP]
    ea = np.where(rope, line[lay.LP_ROPE_EA], line[lay.LP_EA])
    own = _of_nodes(rest)
    mass = ADDED_MASS * _of_nodes(rest * np.where(rope, line[lay.LP_ROPE_MASS], line[lay.LP_MASS]))
    load = _of_nodes(rest * np.where(rope, line[lay.LP_ROPE_WEIGHT], line[lay.LP_WEIGHT]))
    sunk = np.maximum(-rig.depth_m - nodes[:, lay.N_Z], 0.0)
    stretch = np.maximum(np.linalg.norm(np.diff(nodes[:, :3], axis=0), axis=1) - rest, 0.0)
    moving = 0.5 * mass * (nodes[:, lay.N_VN : lay.N_VZ + 1] ** 2).sum(axis=1)
    lying = load * nodes[:, lay.N_Z] + 0.5 * BED_N_PER_M2 * own * sunk**2
    return float((moving + lying)[:-1].sum() + (0.5 * ea / rest * stretch**2).sum())


def _of_nodes(of_segments: FloatArray) -> FloatArray:
    return 0.5 * (np.append(of_segments, 0.0) + np.insert(of_segments, 0, 0.0))


def after(first: Path, first_s: float, then: Path) -> Path:
    """Return one path and, ``first_s`` later, another."""
    return lambda t_s: first(t_s) if t_s < first_s else then(t_s - first_s)


def surge(hold_m: float, amplitude_m: float, period_s: float) -> Path:
    """Return a roller that surges about a place and sets off from rest at its near end."""
    return lambda t_s: (hold_m - amplitude_m * math.cos(2.0 * math.pi * t_s / period_s), 0.0)


def hauled(from_m: float, to_m: float, begin_s: float, for_s: float) -> Path:
    """Return a roller that is hauled from place to place, gathering way and losing it."""

    def at(t_s: float) -> tuple[float, float]:
        share = min(max((t_s - begin_s) / for_s, 0.0), 1.0)
        return from_m + (to_m - from_m) * 0.5 * (1.0 - math.cos(math.pi * share)), 0.0

    return at


def veered(radius_m: float, for_s: float) -> Path:
    """Return a roller that swings by 90 degrees round the anchor."""

    def at(t_s: float) -> tuple[float, float]:
        angle = 0.25 * math.pi * (1.0 - math.cos(math.pi * min(t_s / for_s, 1.0)))
        return radius_m * math.cos(angle), radius_m * math.sin(angle)

    return at
