"""Matching a boat of the library to five figures measured on a real one, by a few of her constants.

Five figures, five constants, each mostly answerable for one figure: friction for the way she carries, the pull astern
for stopping her, the walk for turning her, windage for the bow's falling off, drag sideways for her drift. All are
moved together, by damped least squares in their logarithms, inside bounds that a real boat keeps.
"""

import copy
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.base.arrays import FloatArray
from sim.lab import seatrial_runs as runs
from sim.model.params import Boat
from sim.scenario.read.boat import build_boat
from sim.scenario.read.load import KeyPath
from sim.scenario.schema.base import BoatFile
from sim.scenario.schema.trial import Measured

FITTED: dict[str, Callable[[Boat], float]] = {
    "coast_3kn_m": lambda b: runs.coast_m(b, 3.0),
    "stop_5kn_s": lambda b: runs.stop(b, 5.0, -runs.HALF)[0],
    "walk_full_deg": lambda b: runs.walk_deg(b, -runs.FULL),
    "off45_15kn_s": lambda b: runs.bow_off_s(b, 15.0, 45.0),
    "drift_15kn_kn": lambda b: runs.drifting(b, 15.0)[1],
}
MATCHED = 0.10  # a figure within a tenth counts as matched
NEVER = 1000.0  # stands for what never happened
LEAST_WALK_DEG = 3.0  # a walk is compared on no finer scale than this
STEPS, NUDGE, TIE = 12, 0.03, 0.02  # rounds; of each constant, to feel its effect; how dearly a constant is moved


@dataclass(frozen=True)
class Constant:
    """One constant that may be moved.

    Attributes:
        name: in words.
        paths: the keys it stands at; all are scaled alike.
        low: least and most value of the first of them; beyond, something else is wrong.
        high: see ``low``.
        beyond: what to look at when it stands at a bound.
    """

    name: str
    paths: tuple[KeyPath, ...]
    low: float
    high: float
    beyond: str


@dataclass(frozen=True)
class Fit:
    """What came of it.

    Attributes:
        file: the boat with her new constants.
        before: the fitted figures of the boat started from.
        after: of the new boat.
        measured: as given.
        changes: new values by key, those that moved.
        moved: (constant in words, from, to).
        notes: what could not be matched, and why, a sentence each.
    """

    file: BoatFile
    before: dict[str, float]
    after: dict[str, float]
    measured: dict[str, float]
    changes: dict[KeyPath, float | str]
    moved: list[tuple[str, float, float]]
    notes: list[str]


def constants(file: BoatFile) -> list[Constant]:
    """Return the constants of a boat that may be moved, walk and pull on all her shafts alike."""
    shafts = range(len(file.shafts))
    lateral = file.windage.lateral_m2
    return [
        Constant(
            "friction of her bottom", (("hull", "fouling"),), 0.6, 4.0,
            "no bottom is as clean or as foul as that: look at her mass and at the propeller at rest (locked_cd)",
        ),
        Constant(
            "pull astern", tuple(("shafts", i, "astern_factor") for i in shafts), 0.25, 0.95,
            "no propeller pulls so differently astern from ahead: look at power, diameter and pitch",
        ),
        Constant(
            "prop walk", tuple(("shafts", i, "walk") for i in shafts), 0.005, 0.9,
            "no propeller walks as much or as little: look at her mass, keel and yaw_damping",
        ),
        Constant(
            "windage", (("windage", "lateral_m2"), ("windage", "frontal_m2")), 0.55 * lateral, 1.8 * lateral,
            "no boat of her size shows so much or so little to the wind: look at windage.x_m and the keel",
        ),
        Constant(
            "drag sideways", (("hull", "cross_flow"),), 0.5, 2.5,
            "no hull drags so much or so little sideways: look at draught, keel and the wind as it was measured",
        ),
    ]  # fmt: skip


def _get(data: Mapping[str, Any], path: KeyPath) -> float:
    here: Any = data
    for part in path:
        here = here[part]
    return float(here)


def _with(data: dict[str, Any], values: Mapping[KeyPath, float | str]) -> BoatFile:
    changed = copy.deepcopy(data)
    for path, value in values.items():
        here: Any = changed
        for part in path[:-1]:
            here = here[part]
        here[path[-1]] = value
    return BoatFile.model_validate(changed)


def measure(file: BoatFile, names: list[str]) -> dict[str, float]:
    """Return some of the fitted figures of a boat; ``NEVER`` for what never happens."""
    boat = build_boat("trial", file)
    found = {name: FITTED[name](boat) for name in names}
    return {name: NEVER if math.isnan(value) else value for name, value in found.items()}


def _miss(measured: dict[str, float], found: dict[str, float]) -> FloatArray:
    """Return the error of each figure: of its logarithm, or for a walk of its size."""
    out = []
    for name, wanted in measured.items():
        if name == "walk_full_deg":
            out.append((found[name] - wanted) / max(abs(wanted), LEAST_WALK_DEG))
        else:
            out.append(math.log(max(found[name], 1e-3) / wanted))
    return np.array(out)


@dataclass
class _Search:
    """The damped least squares: where the constants stand, as logarithms of what they began with."""

    data: dict[str, Any]
    free: list[Constant]
    measured: dict[str, float]

    def values(self, x: FloatArray) -> dict[KeyPath, float | str]:
        return {
            path: _get(self.data, path) * math.exp(x[i]) for i, c in enumerate(self.free) for path in c.paths
        }  # fmt: skip

    def miss(self, x: FloatArray) -> FloatArray:
        return _miss(self.measured, measure(_with(self.data, self.values(x)), list(self.measured)))

    def slope(self, x: FloatArray, miss: FloatArray, high: FloatArray) -> FloatArray:
        """Return how each figure's error goes with each constant, felt on the side that is allowed."""
        nudges = np.where(x + NUDGE > high, -NUDGE, NUDGE)
        columns = [(self.miss(x + step) - miss) / n for step, n in zip(np.diag(nudges), nudges, strict=True)]
        matrix: FloatArray = np.array(columns).T
        return matrix

    def run(self) -> FloatArray:
        starts = [_get(self.data, c.paths[0]) for c in self.free]
        low = np.log([c.low / s for c, s in zip(self.free, starts, strict=True)])
        high = np.log([c.high / s for c, s in zip(self.free, starts, strict=True)])
        x = np.clip(np.zeros(len(self.free)), low, high)
        miss, damping = self.miss(x), 1e-3
        for _ in range(STEPS):
            if np.abs(miss).max() < 0.003:
                break
            slope = self.slope(x, miss, high)
            for _ in range(5):
                square = slope.T @ slope + (damping + TIE**2) * np.eye(len(x))
                tried = np.clip(x - np.linalg.solve(square, slope.T @ miss + TIE**2 * x), low, high)
                then = self.miss(tried)
                if then @ then + (TIE * tried) @ (TIE * tried) < miss @ miss + (TIE * x) @ (TIE * x):
                    x, miss, damping = tried, then, 0.3 * damping
                    break
                damping = max(10.0 * damping, 1e-3)
            else:
                break
        return x


def _turned(data: dict[str, Any], wanted_deg: float) -> tuple[dict[KeyPath, float | str], list[str]]:
    """Return the changes, and the sentence, that make one screw walk the way it was measured."""
    if len(data["shafts"]) != 1 or abs(wanted_deg) < 0.5:
        return {}, []
    hand = "right" if wanted_deg > 0.0 else "left"
    if data["shafts"][0]["hand"] == hand:
        return {}, []
    return {("shafts", 0, "hand"): hand}, [f"She walks the other way: her propeller is taken as {hand}-handed."]


def fit(file: BoatFile, wanted: Measured) -> Fit:
    """Return a boat matched to measured figures as far as her constants go."""
    measured = {name: value for name in FITTED if (value := getattr(wanted, name)) is not None}
    data = file.model_dump()
    before = measure(file, list(measured))
    changes, notes = _turned(data, measured.get("walk_full_deg", 0.0))
    data = _with(data, changes).model_dump()
    free = constants(file)
    if len(file.shafts) == 2 or "walk_full_deg" not in measured:
        free = [c for c in free if c.name != "prop walk"]
    else:
        data["shafts"][0]["walk"] = max(data["shafts"][0]["walk"], 0.02)  # from nothing no factor leads anywhere
    search = _Search(data, free, measured)
    x = search.run()
    values = {path: float(f"{value:.4g}") for path, value in search.values(x).items() if isinstance(value, float)}
    moved = [(c.name, _get(file.model_dump(), c.paths[0]), values[c.paths[0]]) for c in free]
    changes |= {p: v for p, v in values.items() if abs(v / max(_get(file.model_dump(), p), 1e-9) - 1.0) > 1e-3}
    new = _with(file.model_dump(), changes)
    after = measure(new, list(measured))
    notes += _unmatched(measured, after, free, values, len(file.shafts))
    return Fit(new, before, after, measured, changes, moved, notes)


def _unmatched(
    measured: dict[str, float],
    after: dict[str, float],
    free: list[Constant],
    values: dict[KeyPath, float],
    shafts: int,
) -> list[str]:
    notes = []
    misses = dict(zip(measured, np.abs(_miss(measured, after)), strict=True))
    for name, miss in misses.items():
        if miss <= MATCHED:
            continue
        why = " Her propellers counter-rotate: no prop walk." if name == "walk_full_deg" and shafts == 2 else ""
        notes.append(f"{name}: {measured[name]:g} measured, {after[name]:.3g} is as close as she gets.{why}")
    for c in free:
        value = values[c.paths[0]]
        if value <= 1.001 * c.low or value >= 0.999 * c.high:
            end = "least" if value <= 1.001 * c.low else "most"
            notes.append(f"The {c.name} is at the {end} allowed ({value:.3g}): {c.beyond}.")
    return notes
