"""A rig for ground tackle alone: a roller moved by hand or hung on a mass, over a flat bed."""

import math

import numpy as np

from sim.model import layout as lay
from sim.model.chain import PASSES, WORK_COLS, step_chain
from sim.model.params import Rode

NO_LEGS = np.zeros((0, 3))
FIXED_N = 1e9


class Rig:
    """A chain on a flat bed; the anchor fixed at the origin unless it is given a hold."""

    def __init__(
        self, rode: Rode, length_m: float, height_m: float, x_m: float, friction: float = 0.0, hold_n: float = FIXED_N
    ) -> None:
        """Lay ``length_m`` of chain straight from the anchor to a roller ``x_m`` away and ``height_m`` up."""
        self.rode, self.friction, self.hold_n = rode, friction, hold_n
        self.height_m, self.dt_s, self.passes = height_m, 1.0 / 60.0, PASSES
        self.weight_n = 170.0
        self.raster = np.array([-500.0, -500.0, 500.0])
        self.depth = np.zeros((3, 3))
        self.work = np.zeros((lay.NODE_CAP, WORK_COLS))
        self.nodes = np.zeros((lay.NODE_CAP, lay.NODE_COLS))
        self.line = np.zeros(lay.LINE_COLS)
        segment = rode.line[lay.LP_SEGMENT]
        count = int(round(length_m / segment)) + 1
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
        step_chain(
            self.nodes, self.line, self.rode.line, self.roller, NO_LEGS, self.friction, 20.0, self.weight_n,
            self.hold_n, 0.0 if self.hold_n < FIXED_N else FIXED_N, self.height_m, 0.0, 0.0,
            self.raster, self.depth, self.passes, self.dt_s, self.work,
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
