"""A rig for ground tackle alone: a roller moved by hand or hung on a mass, over a flat bed."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from moorpy.Catenary import catenary
from scipy.optimize import brentq

from sim.model import layout as lay
from sim.model.groups import End, Ground, Scratch, Sea, Step
from sim.model.params import Rode
from sim.model.tackle.chain import PASSES, step_chain
from sim.model.tackle.chain_forces import ADDED_MASS, BED_N_PER_M2, WORK_COLS

NO_LEGS, NO_SNAGS = np.zeros((0, 3)), np.zeros((0, lay.SNAG_COLS))
FIXED_N = 1e9
ANCHOR_KG = 20.0


class Rig:
    """A chain on a flat bed; the anchor fixed at the origin unless it is given a hold."""

    def __init__(
        self, rode: Rode, length_m: float, height_m: float, x_m: float, friction: float = 0.0, hold_n: float = FIXED_N
    ) -> None:
        """Lay ``length_m`` of chain straight from the anchor to a roller ``x_m`` away and ``height_m`` up."""
        self.rode, self.friction, self.hold_n = rode, friction, hold_n
        self.height_m, self.dt_s, self.passes = height_m, 1.0 / 60.0, PASSES
        self.weight_n = 170.0
        raster, depth, bottom = np.array([-500.0, -500.0, 500.0]), np.zeros((3, 3)), np.zeros((3, 3), np.int64)
        self.bottoms = np.full((1, lay.BOTTOM_COLS), friction)
        self.ground = Ground(raster, depth, bottom, self.bottoms, NO_SNAGS, np.zeros((64, 64)))
        self.work = np.zeros((lay.NODE_CAP, WORK_COLS))
        self.nodes = np.zeros((lay.NODE_CAP, lay.NODE_COLS))
        self.line = np.zeros(lay.LINE_COLS)
        segment = rode.line[lay.LP_SEGMENT]
        count = round(length_m / segment) + 1
        self.line[lay.L_COUNT], self.line[lay.L_OUT] = count, length_m
        self.line[lay.L_TOP] = length_m - (count - 2) * segment
        self.line[lay.L_HOOK] = -1.0
        share = np.linspace(0.0, 1.0, count)
        self.nodes[:count, lay.N_NORTH] = share * x_m
        self.nodes[:count, lay.N_Z] = share * height_m
        self.nodes[:count, lay.N_STICK_N] = share * x_m
        self.roller = np.array([x_m, 0.0, height_m])

    def step(self) -> None:
        """Let one step pass with the roller where it is."""
        end = End(ANCHOR_KG, self.weight_n, 0.0, float(self.hold_n), 0.0 if self.hold_n < FIXED_N else FIXED_N)
        step_chain(
            self.nodes, self.line, self.rode.line, end, Sea(float(self.height_m), 0.0, 0.0), self.ground,
            Step(self.dt_s, self.passes), Scratch(self.roller, NO_LEGS, self.work),
        )  # fmt: skip

    @property
    def count(self) -> int:
        """Nodes in use."""
        return int(self.line[lay.L_COUNT])

    def end_forces(self) -> tuple[float, float, float, float]:
        """Return (horizontal, vertical, tension) at the roller and the tension at the anchor [N]."""
        top = self.nodes[self.count - 1]
        low = self.nodes[self.count - 2]
        d = top[:3] - low[:3]
        length = float(np.linalg.norm(d))
        tension = float(low[lay.N_TENSION])
        h = tension * math.hypot(d[0], d[1]) / length
        v = tension * d[2] / length + 0.5 * self.line[lay.L_TOP] * self.rode.line[lay.LP_WEIGHT]
        return h, v, math.hypot(h, v), float(self.nodes[0, lay.N_TENSION])

    def wait(self, for_s: float) -> None:
        """Let time pass with the roller where it is."""
        for _ in range(round(for_s / self.dt_s)):
            self.step()

    def speed_mps(self) -> float:
        """Return the speed of the fastest node below the roller."""
        return float(np.linalg.norm(self.nodes[: self.count - 1, lay.N_VN : lay.N_VZ + 1], axis=1).max())

    def places(self) -> np.ndarray:
        """Return where every node is, ``[count, 3]``."""
        return self.nodes[: self.count, :3].copy()

    def energy_j(self) -> float:
        """Return the chain's energy: of motion, height, stretch and of the bed it sinks into."""
        nodes, p = self.nodes[: self.count], self.rode.line
        rest = np.full(self.count - 1, p[lay.LP_SEGMENT])
        rest[-1] = self.line[lay.L_TOP]
        own = np.zeros(self.count)
        own[:-1] += 0.5 * rest
        own[1:] += 0.5 * rest
        load, mass = p[lay.LP_WEIGHT] * own, ADDED_MASS * p[lay.LP_MASS] * own
        load[0] += self.weight_n
        mass[0] += ANCHOR_KG
        stretch = np.maximum(np.linalg.norm(np.diff(nodes[:, :3], axis=0), axis=1) - rest, 0.0)
        bed = BED_N_PER_M2 * own
        bed[0] = BED_N_PER_M2 * load[0] / p[lay.LP_WEIGHT]
        sunk = np.maximum(-nodes[:, lay.N_Z], 0.0)
        below = slice(0, self.count - 1)
        moving = 0.5 * mass * (nodes[:, lay.N_VN : lay.N_VZ + 1] ** 2).sum(axis=1)
        lying = load * nodes[:, lay.N_Z] + 0.5 * bed * sunk**2
        return float((moving + lying)[below].sum() + (0.5 * p[lay.LP_EA] / rest * stretch**2).sum())

    def snatch(self, mass_kg: float, speed_mps: float, for_s: float = 30.0) -> tuple[list[float], float]:
        """Let a hull hung on the roller run away with it; return all energy at every step [J] and the peak tension.

        The hull takes the pull of the step before, so her speed stands half a step behind her place: her energy is
        that of the speed halfway through the next change.
        """
        speed, peak, seen = speed_mps, 0.0, []
        for _ in range(round(for_s / self.dt_s)):
            speed += self.dt_s * self.pull_on_hull_n() / mass_kg
            self.roller[0] += self.dt_s * speed
            self.step()
            peak = max(peak, self.end_forces()[2])
            now = speed + 0.5 * self.dt_s * self.pull_on_hull_n() / mass_kg
            seen.append(0.5 * mass_kg * now**2 + self.energy_j())
        return seen, peak

    def pull_on_hull_n(self) -> float:
        """Return the chain's pull on the roller along x [N]."""
        d = self.nodes[self.count - 2, :3] - self.nodes[self.count - 1, :3]
        return float(self.nodes[self.count - 2, lay.N_TENSION] * d[0] / np.linalg.norm(d))

    def pull_to(self, pull_n: float, mass_kg: float = 4000.0, for_s: float = 120.0) -> list[float]:
        """Hang the roller on a damped mass pulled by ``pull_n`` until it rests; return the pulls of the last second."""
        speed, seen = 0.0, []
        damping = 2.0 * math.sqrt(mass_kg * 300.0)
        steps = int(for_s / self.dt_s)
        for k in range(steps):
            self.step()
            h = self.end_forces()[0]
            speed += self.dt_s * (pull_n - h - damping * speed) / mass_kg
            self.roller[0] += self.dt_s * speed
            if k > steps - 60:
                seen.append(h)
        return seen


def solved_catenary(
    pull_n: float, height_m: float, length_m: float, ea_n: float, w: float
) -> tuple[float, float, float]:
    """Return (reach, top tension, pull up at the anchor) of MoorPy's frictionless catenary at a horizontal pull."""

    def solved(x: float) -> tuple[float, float, float]:
        _, anchor_up, top_h, top_v, _ = catenary(x, height_m, length_m, ea_n, w, CB=0.0, Tol=1e-9)
        return anchor_up, -top_h, -top_v

    taut = math.sqrt(length_m**2 - height_m**2) * (1.0 + 1.5 * pull_n / ea_n) + 0.05
    slack = max(length_m - height_m, 0.5) + 0.05
    reach = brentq(lambda x: solved(x)[1] - pull_n, slack, taut, xtol=1e-9)
    anchor_up, top_h, top_v = solved(reach)
    return reach, math.hypot(top_h, top_v), anchor_up


Hang = tuple[float, float, float]  # reach, top tension, pull up at the anchor


def compare_catenaries(hangs: dict[Any, tuple[Hang, Hang]], record_property: Callable[[str, object], None]) -> None:
    """Hold each (seen, solved) to 0.1 % of the reach, 0.5 % of the tension, 0.05 % of the tension for the uplift."""
    bars = {"reach": 0.001, "tension": 0.005, "uplift": 0.0005}
    worst = dict.fromkeys(bars, (0.0, ""))
    for case, (seen, solved) in hangs.items():
        apart = {
            "reach": abs(seen[0] / solved[0] - 1.0),
            "tension": abs(seen[1] / solved[1] - 1.0),
            "uplift": abs(seen[2] - solved[2]) / solved[1],
        }
        for name, error in apart.items():
            worst[name] = max(worst[name], (error, str(case)))
    told = {name: f"{100.0 * error:.4f} % at {case}" for name, (error, case) in worst.items()}
    record_property("worst", told)
    print(told)  # noqa: T201

    assert all(worst[name][0] <= bar for name, bar in bars.items())
