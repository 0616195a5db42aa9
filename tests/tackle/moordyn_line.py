"""The same rode in MoorDyn: its input written from a rode's constants, its roller led along the same path."""

import math
import time
from pathlib import Path as Folder

import moordyn
import numpy as np
from tackle.stand import Path

from sim.base.arrays import FloatArray
from sim.base.units import DT_S, G_MPS2, RHO_STEEL_KGPM3, RHO_WATER_KGPM3
from sim.lab.tackle_rig import Rig
from sim.model import layout as lay
from sim.model.tackle.chain_forces import ADDED_MASS, BED_N_PER_M2
from sim.scenario.read.tackle import NYLON_KGPM3

COURANT = 0.5  # of the time an axial wave takes through a segment
FRICTION_DAMP = 2000.0  # full friction from about 0.01 m/s on; below, MoorDyn's is viscous where ours sticks
SETTLE_S = 5.0
DAMPING_RATIO = 0.8  # of a segment's own critical damping, as its manual advises

HEAD = """A rode from a fixed anchor to a led roller
---------------------- LINE TYPES ----------------------
TypeName Diam Mass/m EA BA/-zeta EI Cd Ca CdAx CaAx
(name) (m) (kg/m) (N) (N-s/-) (N-m^2) (-) (-) (-) (-)
"""
POINTS = """---------------------- POINTS ----------------------
ID Type X Y Z Mass Volume CdA Ca
(#) (-) (m) (m) (m) (kg) (m^3) (m^2) (-)
"""
LINES = """---------------------- LINES ----------------------
ID LineType AttachA AttachB UnstrLen NumSegs Outputs
(#) (name) (#) (#) (m) (-) (-)
"""


def _pieces(line: FloatArray) -> list[tuple[str, float, float, float, float, float]]:
    """Return (name, length, mass, stiffness, bar or rope diameter, density) from the anchor up."""
    leader, out = float(line[lay.LP_LEADER]), float(line[lay.LP_CARRIED])
    steel = ("chain", leader, *map(float, line[[lay.LP_MASS, lay.LP_EA, lay.LP_DIAMETER]]), RHO_STEEL_KGPM3)
    nylon = [lay.LP_ROPE_MASS, lay.LP_ROPE_EA, lay.LP_ROPE_DIAMETER]
    return [steel] + ([("rope", out - leader, *map(float, line[nylon]), NYLON_KGPM3)] if out > leader else [])


def input_text(rig: Rig, segments: int) -> str:
    """Return MoorDyn's input; drag moves from the bar to a rod of the same volume, along it to the rod's skin."""
    rig_line, depth_m, friction = rig.rode.line, rig.depth_m, float(rig.bottoms[0, lay.G_FRICTION])
    types, lines, points = "", "", f"1 Fixed 0 0 {-depth_m:.6f} 0 0 0 0\n"
    pieces = _pieces(rig_line)
    whole, done, steps, rod_m, moved = float(rig_line[lay.LP_CARRIED]), 0.0, 1, 0.0, 0.0
    for k, (name, length, mass, ea, bar, density) in enumerate(pieces, start=1):
        rod = math.sqrt(4.0 * mass / (math.pi * density))
        added = (ADDED_MASS - 1.0) * density / RHO_WATER_KGPM3
        cd = float(rig_line[lay.LP_DRAG_NORMAL]) * bar / rod
        cd_axial = float(rig_line[lay.LP_DRAG_TANGENT]) * bar / (math.pi * rod)
        types += (
            f"{name} {rod:.9f} {mass:.9f} {ea:.3f} {-DAMPING_RATIO} 0 {cd:.6f} {added:.6f} {cd_axial:.6f} {added:.6f}\n"
        )
        count = max(round(segments * length / whole), 1)
        done += length
        kind = "Coupled" if k == len(pieces) else "Free"
        x, y, z = rig.places_m[round(done / float(rig_line[lay.LP_SEGMENT]))]
        points += f"{k + 1} {kind} {x:.9f} {y:.9f} {z:.6f} 0 0 0 0\n"
        lines += f"{k} {name} {k} {k + 1} {length:.9f} {count} -\n"
        wave_mps = math.sqrt(ea / (ADDED_MASS * mass))
        steps = max(steps, math.ceil(DT_S / (COURANT * length / count / wave_mps)))
        if k == 1:
            rod_m, moved = rod, ADDED_MASS * mass
    options = {
        "dtM": DT_S / steps, "g": G_MPS2, "rho": RHO_WATER_KGPM3, "WtrDpth": depth_m, "kBot": BED_N_PER_M2 / rod_m,
        "cBot": math.sqrt(BED_N_PER_M2 * moved) / rod_m, "FrictionCoefficient": friction, "FricDamp": FRICTION_DAMP,
        "StatDynFricScale": 1.0, "dtIC": 0.5, "TmaxIC": SETTLE_S, "CdScaleIC": 2, "threshIC": 1e-9, "writeLog": 0,
        "disableOutput": 1,
    }  # fmt: skip
    ends = "".join(f"{value:.9g} {key}\n" for key, value in options.items())
    return HEAD + types + POINTS + points + LINES + lines + f"---- OPTIONS ----\nrk2 tScheme\n{ends}---- END ----\n"


def lead_moordyn(
    folder: Folder, rig: Rig, path: Path, for_s: float, segments: int
) -> tuple[FloatArray, FloatArray, float]:
    """Return tension at roller and anchor [N] after every sixtieth of a second, and the seconds it took to compute.

    ``rig`` must lie at rest at the path's beginning, not so slack that MoorDyn's own catenary fails.
    """
    roller_m, pieces = float(rig.roller[2]), len(_pieces(rig.rode.line))
    begin = [*path(0.0), roller_m]
    file = folder / f"rode-{segments}.txt"
    file.write_text(input_text(rig, segments), encoding="utf-8")
    system = moordyn.Create(str(file))
    try:
        moordyn.Init(system, begin, [0.0, 0.0, 0.0])
        lines = [moordyn.GetLine(system, k) for k in range(1, pieces + 1)]
        top = moordyn.GetLineN(lines[-1])
        seen = []
        began = time.perf_counter()
        for tick in range(round(for_s / DT_S)):
            here, there = path(tick * DT_S), path((tick + 1) * DT_S)
            speed = [(b - a) / DT_S for a, b in zip(here, there, strict=True)]
            moordyn.Step(system, [*here, roller_m], [*speed, 0.0], tick * DT_S, DT_S)
            ends = moordyn.GetLineNodeTen(lines[-1], top), moordyn.GetLineNodeTen(lines[0], 0)
            seen.append([float(np.linalg.norm(end)) for end in ends])
        took = time.perf_counter() - began
    finally:
        moordyn.Close(system)
    roller, anchor = np.array(seen).T
    return roller, anchor, took
