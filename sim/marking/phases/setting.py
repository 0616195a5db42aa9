"""Phase 5, set and prove: load in steps, each held, and the proof that nothing moved."""

import math
from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import TICK_HZ, mps
from sim.core import events as ev
from sim.marking.phases import needed_pull
from sim.marking.run import Found, Run

HOLD_S = 25.0  # a step is held so long (common practice)
PROVED_S = 20.0  # a load is proved when held so long ...
PROVED_M = 1.0  # ... with the anchor moving no more than this
STEADY = 0.05  # of the usable pull astern: thrust within this is one step
RISE = 0.05  # of it: a step is higher by at least this
WIND_SET_MPS = mps(20.0)  # from here on the wind may set the anchor instead of the engine
LEAST_TEST = 0.2  # of the load to prove, by the engine: less is no test (judgement)
TREND_S = 30.0  # a load held so long shows whether the speed dies away


@dataclass(frozen=True)
class Step:
    """A load step: thrust astern held steady."""

    from_s: float
    to_s: float
    thrust_n: float


def _not_set(run: Run) -> Found:
    return Found(None, run.moments.laid_s, run.moments.stop_s)


def load_steps_held(run: Run) -> list[Step]:
    """Return the rising steps of thrust astern, each held 25 s, from when the chain was laid until she was secured."""
    m = run.moments
    if m.touch is None:
        return []
    usable_n = needed_pull.usable_astern_n(run.params.boat)
    steps: list[Step] = []
    for plateau in _plateaus(run, m.laid_s, m.stop_s, STEADY * usable_n):
        best = steps[-1].thrust_n if steps else 0.0
        if plateau.thrust_n > best + RISE * usable_n:
            steps.append(plateau)
    return steps


def _plateaus(run: Run, from_s: float, to_s: float, width_n: float) -> list[Step]:
    """Return spans of 25 s or more within which the thrust astern keeps inside ``width_n``."""
    span = run.span(from_s, to_s)
    t_s = run.track["t_s"][span]
    astern_n = -(run.track["thrust_n_0"][span] + run.track["thrust_n_1"][span])
    least = int(np.searchsorted(t_s, t_s[0] + HOLD_S)) + 1
    if least > t_s.size:
        return []
    windows = np.lib.stride_tricks.sliding_window_view(astern_n, least)
    steady = np.flatnonzero(np.ptp(windows, axis=1) <= width_n)
    out: list[Step] = []
    free = 0
    for first in steady.tolist():
        if first < free:
            continue
        free = first + _stays_within(astern_n[first:], width_n)
        out.append(Step(float(t_s[first]), float(t_s[free - 1]), float(astern_n[first:free].mean())))
    return out


def _stays_within(values: FloatArray, width: float) -> int:
    """Return how many of the first values differ by no more than ``width``, at least 1."""
    spread = np.maximum.accumulate(values) - np.minimum.accumulate(values)
    beyond = np.flatnonzero(spread > width)
    return int(beyond[0]) if beyond.size else values.size


def moved_m(run: Run, first: int, last: int) -> float:
    """Return how far the anchor lies at one fast sample from where it lay at another [m]."""
    north, east = run.track["anchor_n_m"], run.track["anchor_e_m"]
    return float(np.hypot(north[last] - north[first], east[last] - east[first]))


def proved(run: Run) -> Step | None:
    """Return the highest mean pull of the rode held for 20 s while the anchor moved no more than a metre."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    span = run.span(m.laid_s, m.stop_s)
    t_s = track["t_s"][span]
    if t_s[-1] - t_s[0] < PROVED_S:
        return None
    width = int(np.searchsorted(t_s, t_s[0] + PROVED_S))
    total = np.concatenate([[0.0], np.cumsum(track["rode_pull_n"][span])])
    mean_n = (total[width:] - total[:-width]) / width
    north, east = track["anchor_n_m"][span], track["anchor_e_m"][span]
    shift = np.hypot(north[width - 1 :] - north[: 1 - width], east[width - 1 :] - east[: 1 - width])
    held = np.where(shift <= PROVED_M, mean_n, -1.0)
    k = int(np.argmax(held))
    return Step(float(t_s[k]), float(t_s[k + width - 1]), float(held[k])) if held[k] >= 0.0 else None


def _proof(run: Run) -> Step | None:
    """Return the span of the proof: the last step of thrust, else the highest load held."""
    steps = load_steps_held(run)
    return steps[-1] if steps else proved(run)


def _wind_set(run: Run) -> bool:
    """Return whether she was left to the wind to set, with wind enough for it."""
    m = run.moments
    span = run.span(m.laid_s, m.stop_s)
    astern_n = -(run.track["thrust_n_0"][span] + run.track["thrust_n_1"][span])
    wind = np.hypot(run.track["wind_n_mps"][span], run.track["wind_e_mps"][span]).mean()
    return bool(astern_n.max() < RISE * needed_pull.usable_astern_n(run.params.boat) and wind >= WIND_SET_MPS)


def tested_share(run: Run) -> float:
    """Return the highest thrust astern held for 20 s after the rode was laid, over the load to prove."""
    m = run.moments
    span = run.span(m.laid_s, m.stop_s)
    t_s = run.track["t_s"][span]
    if m.touch is None or t_s[-1] - t_s[0] < PROVED_S:
        return 0.0
    width = int(np.searchsorted(t_s, t_s[0] + PROVED_S))
    astern_n = -(run.track["thrust_n_0"][span] + run.track["thrust_n_1"][span])
    least = np.lib.stride_tricks.sliding_window_view(astern_n, width).min(axis=1)
    return float(max(least.max(), 0.0)) / run.target_load_n


def was_tested(run: Run) -> bool:
    """Return whether the anchor was put to a test: by the engine, by wind enough, or in a berth by the windlass."""
    return run.stay.berth_rad is not None or _wind_set(run) or tested_share(run) >= LEAST_TEST


def load_steps(run: Run) -> Found | None:
    """Rising steps of load held 25 s each; None where the wind sets the anchor, which is as good."""
    m = run.moments
    if m.touch is None:
        return _not_set(run)
    if _wind_set(run):
        return None
    steps = load_steps_held(run)
    first, last = (steps[0].from_s, steps[-1].to_s) if steps else (m.laid_s, m.stop_s)
    return Found(float(len(steps)), first, last)


def proved_load_ratio(run: Run) -> Found:
    """Highest load proved over the load to prove."""
    best = proved(run)
    if best is None:
        return _not_set(run)
    return Found(best.thrust_n / run.target_load_n, best.from_s, best.to_s)


def drag_m(run: Run) -> Found:
    """How far the anchor moved during the last and highest step [m]; no marks where there was no proof."""
    proof = _proof(run)
    if proof is None:
        return _not_set(run)
    last = run.track.index(proof.to_s)
    moved = moved_m(run, run.track.index(proof.from_s), last)
    if math.isnan(moved):  # it was aboard by then, or lost
        return _not_set(run)
    at = (float(run.track["anchor_n_m"][last]), float(run.track["anchor_e_m"][last]))
    return Found(moved, proof.from_s, proof.to_s, at)


def proofs(run: Run) -> Found:
    """Proofs taken, of three: a transit, the chain felt, the trend of speed or of a range."""
    m = run.moments
    if m.touch is None:
        return _not_set(run)
    during = [e for e in run.track.events if m.touch_s <= e.tick / TICK_HZ <= m.stop_s]
    transit = any(isinstance(e, ev.TransitTaken) and e.on for e in during)
    felt = any(isinstance(e, ev.CrewAsked) and e.tick / TICK_HZ >= m.laid_s for e in during)
    targets = [e.target for e in during if isinstance(e, ev.RangeTaken)]
    proof = _proof(run)
    watched = proof is not None and proof.to_s - proof.from_s >= TREND_S
    trend = watched or len(targets) > len(set(targets))
    return Found(float(transit + felt + trend), m.laid_s, m.stop_s)


def scope_at_highest(run: Run) -> float | None:
    """Return the rode out over roller to bed at the highest water of the stay; None where nothing is down."""
    m = run.moments
    if m.touch is None:
        return None
    k = run.track.index(m.stop_s)
    north, east = float(run.track["anchor_n_m"][k]), float(run.track["anchor_e_m"][k])
    if np.isnan(north):
        north, east = m.touch.north_m, m.touch.east_m
    return float(run.track["out_m"][k]) / run.roller_above_bed_m(north, east, run.stay.high_m)


def scope_ratio(run: Run) -> Found:
    """Scope at the highest water over the scope asked for."""
    scope = scope_at_highest(run)
    if scope is None:
        return _not_set(run)
    return Found(scope / run.stay.scope, run.moments.stop_s, run.moments.stop_s)
