"""An anchor alone on flat ground, drawn along by hand."""

import math

import numpy as np
from worlds import SAND, rode

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.core.world import VEER_DRAWS
from sim.model import layout as lay
from sim.model.groups import Here, Tackle
from sim.model.tackle.anchor import step_anchor
from sim.scenario.read import shelf, tackle
from sim.scenario.read.shelf import Asked
from sim.scenario.schema.tackle import AnchorsFile, BottomsFile

DT_S = 1.0 / 60.0
DRAWS = np.full(VEER_DRAWS, 0.5)
BOTTOMS = shelf.library().read(BottomsFile, "tackle", "bottoms", Asked())[0]
ANCHORS = shelf.library().read(AnchorsFile, "tackle", "anchors", Asked())[0].anchors
KINDS = tuple(ANCHORS)


class Ground:
    """An anchor that lies on the bed, its shank to the north, and what is done to it."""

    def __init__(self, bottom: FloatArray = SAND[0], draws: FloatArray = DRAWS, dt_s: float = DT_S) -> None:
        """Let the scoop of 20 kg of ``worlds`` lie on a bottom."""
        own = rode()
        self._be(Tackle(own.line, own.anchor, own.anchor_on_bottom, draws), own.anchor_on_bottom[0], bottom)
        self.dt_s = dt_s

    @classmethod
    def shipped(cls, kind: str, letters: str = "S", seed: int = 1, mass_kg: float = 20.0) -> "Ground":
        """Let an anchor of the library's types lie on one of its bottoms, with one run's chance."""
        ground = cls()
        holds = np.array(tackle.anchor_on_bottom(ANCHORS[kind], mass_kg, letters, BOTTOMS))
        draws = rng.uniforms(seed, "veer draw", VEER_DRAWS)
        made = Tackle(ground.tackle.line, tackle.anchor_row(ANCHORS[kind], mass_kg), holds[None, :], draws)
        ground._be(made, holds, tackle.bottom_row(letters, BOTTOMS))
        return ground

    def _be(self, made: Tackle, on_bottom: FloatArray, bottom: FloatArray) -> None:
        self.tackle, self.params, self.on_bottom, self.bottom = made, made.anchor, on_bottom, bottom
        self.anchor = np.zeros(lay.ANCHOR_COLS)
        self.anchor[lay.A_ATTITUDE] = lay.LYING

    def draw(
        self, metres: float, speed_mps: float = 0.1, pull_n: float = 2000.0, from_rad: float = 0.0, up_n: float = 0.0
    ) -> "Ground":
        """Draw it over the ground by a pull from a direction."""
        steps = max(round(metres / speed_mps / self.dt_s), 1)
        for _ in range(steps):
            self.step(pull_n, from_rad, up_n, metres / steps)
        return self

    def hold(
        self, for_s: float, pull_n: float, from_rad: float = 0.0, up_n: float = 0.0, dt_s: float | None = None
    ) -> "Ground":
        """Pull without moving it."""
        dt = self.dt_s if dt_s is None else dt_s
        for _ in range(round(for_s / dt)):
            self.step(pull_n, from_rad, up_n, 0.0, dt)
        return self

    def step(self, pull_n: float, from_rad: float, up_n: float, slid_m: float, dt_s: float | None = None) -> None:
        """Let one step pass."""
        north, east = pull_n * math.cos(from_rad), pull_n * math.sin(from_rad)
        dt = self.dt_s if dt_s is None else dt_s
        step_anchor(self.anchor, self.tackle, self.here(), (north, east, up_n), slid_m, dt)

    def here(self, rise: float = 0.0) -> Here:
        """What ground it lies on."""
        return Here(self.on_bottom, self.bottom, 0.0, rise)

    @property
    def burial(self) -> float:
        """How deep it is, 0..1."""
        return float(self.anchor[lay.A_BURIAL])

    @property
    def cap_n(self) -> float:
        """What it holds now [N]."""
        return float(self.anchor[lay.A_CAP_H])

    @property
    def veer_state(self) -> int:
        """0 none, 1 turning, 2 tripped, 3 tripped for good."""
        return int(self.anchor[lay.A_VEER_STATE])
