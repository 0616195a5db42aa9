"""Critical fails: what caps an attempt, whatever else was well done."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import TICK_HZ, knots
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking.errors.approach import never_aborted
from sim.marking.phases import night
from sim.marking.phases.setting import moved_m
from sim.marking.run import Run
from sim.model import layout as lay
from sim.model.params import Zone
from sim.model.water import water
from sim.scenario.schema.marking import CriticalBlock

UNDER_S = 60.0  # the chain comes under the hull within this of the touch
FORBIDDEN = ("no_anchoring", "fairway", "cable", "moorings", "seagrass", "no_entry")
# What a skipper does who has noticed that she drags.
_NOTICING = (cmd.Engine, cmd.Windlass, cmd.Brake, cmd.Abort, cmd.AskCrew, cmd.TakeRange)


@dataclass(frozen=True)
class Fail:
    """A critical fail that happened."""

    code: str
    title: str
    t_s: float


def _contact(run: Run, _limit: float | None) -> float | None:
    """Return when she touched a boat, the shore or the ground, else None."""
    for e in run.track.events:
        if (isinstance(e, ev.Touched) and 0 in (e.boat, e.other)) or (isinstance(e, ev.Grounded) and e.boat == 0):
            return e.tick / TICK_HZ
    return None


def _screw_in_chain(run: Run, _limit: float | None) -> float | None:
    return screw_in_chain_s(run)


def screw_in_chain_s(run: Run) -> float | None:
    """Return when a turning propeller had the chain within a diameter of it, else None."""
    track, boat = run.track, run.params.boat
    fast = np.array([track.index(float(t)) for t in track.slow_t_s], dtype=np.int64)
    heading = track["heading_rad"][fast]
    for k in range(boat.shaft_count):
        params = boat.shafts[k]
        diameter_m = 2.0 * math.sqrt(float(params[lay.SP_DISC]) / math.pi)
        x, y = float(params[lay.SP_X]), float(params[lay.SP_Y])
        north = track["north_m"][fast] + x * np.cos(heading) - y * np.sin(heading)
        east = track["east_m"][fast] + x * np.sin(heading) + y * np.cos(heading)
        z = track["tide_m"][fast] - boat.particulars.canoe_draught_m - 0.5 * diameter_m
        away = _to_chain_m(track.chain, np.stack([north, east, z], axis=-1))
        caught = (away <= diameter_m) & (track[f"gear_{k}"][fast] != 0.0)
        if caught.any():
            return float(track.slow_t_s[int(np.argmax(caught))])
    return None


def _to_chain_m(chain: FloatArray, point: FloatArray) -> FloatArray:
    """Return ``float64[m]``: distance of a point from the chain in each shape, infinite where none is out."""
    if chain.shape[1] < 2:
        return np.full(chain.shape[0], np.inf)
    a, b = chain[:, :-1], chain[:, 1:]
    along = b - a
    length2 = np.maximum((along**2).sum(axis=-1), 1e-12)
    share = np.clip(((point[:, None] - a) * along).sum(axis=-1) / length2, 0.0, 1.0)
    away = np.linalg.norm(point[:, None] - a - share[..., None] * along, axis=-1)
    out: FloatArray = np.where(np.isnan(away), np.inf, away).min(axis=1)
    return out


def _headway(run: Run, limit: float | None) -> float | None:
    """Return the touch, where she had headway and the chain then came under the hull, else None."""
    touch = run.moments.touch
    if touch is None or knots(touch.along_mps) <= (limit or 0.0):
        return None
    under = [e.tick - touch.tick for e in run.track.events if isinstance(e, ev.ChainUnderHull)]
    return run.moments.touch_s if any(0 <= ticks <= UNDER_S * TICK_HZ for ticks in under) else None


def zones_at(run: Run) -> list[Zone]:
    """Return the zones closed to anchors in which the anchor fell."""
    touch = run.moments.touch
    if touch is None:
        return []
    closed = [z for z in run.params.bay.zones if z.rule in FORBIDDEN]
    return [z for z in closed if _inside(touch.north_m, touch.east_m, z.polygon_m)]


def _forbidden(run: Run, _limit: float | None) -> float | None:
    """Return the touch, where it fell in a zone closed to anchors or on protected ground, else None."""
    touch, bay = run.moments.touch, run.params.bay
    if touch is None:
        return None
    ground = bay.bottom_letters[water.bottom_at(touch.north_m, touch.east_m, bay.raster, bay.bottom)]
    return run.moments.touch_s if zones_at(run) or ground in bay.protected else None


def _unsafe(run: Run, _limit: float | None) -> float | None:
    """Return the touch, where nowhere in the bay was safe for the stay, else None."""
    return run.moments.touch_s if run.stay.no_safe_spot and run.moments.touch is not None else None


def _inside(north_m: float, east_m: float, polygon: FloatArray) -> bool:
    """Return whether a place lies in a polygon, by counting edges crossed on the way east."""
    n0, e0 = polygon[:, 0], polygon[:, 1]
    n1, e1 = np.roll(n0, -1), np.roll(e0, -1)
    spans = (n0 > north_m) != (n1 > north_m)
    rise = np.where(spans, n1 - n0, 1.0)
    crossing = e0 + (north_m - n0) / rise * (e1 - e0)
    return bool(np.count_nonzero(spans & (east_m < crossing)) % 2)


def _unnoticed(run: Run, limit: float | None) -> float | None:
    """Return when a drag of more than a length after she was set had gone unnoticed too long, else None."""
    m, track = run.moments, run.track
    if m.touch is None or m.secured_s is None:
        return None
    start = track.index(m.secured_s)
    aweigh = [
        e.tick / TICK_HZ for e in track.events if isinstance(e, ev.AnchorAweigh) and e.tick / TICK_HZ > m.secured_s
    ]
    last = track.index(min(aweigh, default=track.end_s))
    far = [k for k in range(start, last + 1) if moved_m(run, start, k) > run.loa_m]
    if not far:
        return None
    since_s = float(track["t_s"][far[0]])
    waited_s = limit or 0.0
    acted = [tick / TICK_HZ for tick, order in run.orders if isinstance(order, _NOTICING)]
    noticed = any(since_s - waited_s <= s <= since_s + waited_s for s in acted)
    return since_s + waited_s if not noticed and track.end_s >= since_s + waited_s else None


def _bitter_end(run: Run, _limit: float | None) -> float | None:
    """Return when the chain was lost, else None."""
    lost = [e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.ChainOut) and e.lost]
    return lost[0] if lost else None


def _night_contact(run: Run, _limit: float | None) -> float | None:
    """Return when she touched a boat, the shore or the ground in the night, else None."""
    return None if run.night is None else night.touched_s(run.night)


def _unlit(run: Run, _limit: float | None) -> float | None:
    """Return when she was reported secured in the dark without her light, else None."""
    m = run.moments
    if m.secured_s is None or not run.dark(m.secured_s):
        return None
    shown = [e for e in run.track.events if isinstance(e, ev.LightsShown)]
    return None if shown and shown[-1].anchor_light else m.secured_s


def _carried_on(run: Run, _limit: float | None) -> float | None:
    """Return when she had carried on too long past what is a reason to give up, written down or not, else None."""
    sign = never_aborted(run)
    return None if sign is None else sign.t_s


CHECKS: dict[str, Callable[[Run, float | None], float | None]] = {
    "cf1": _contact,
    "cf2": _screw_in_chain,
    "cf3": _headway,
    "cf4": _forbidden,
    "cf5": _unnoticed,
    "cf6": _bitter_end,
    "cf7": _night_contact,
    "cf8": _unlit,
    "cf9": _carried_on,
    "cf10": _unsafe,
}


DEPARTING = ("cf1", "cf2", "cf6")  # what can go wrong on the way out as well


def find_fails(run: Run, rows: Sequence[CriticalBlock]) -> tuple[Fail, ...]:
    """Return the critical fails of a profile that happened, in order of time."""
    found = []
    for row in rows:
        check = CHECKS.get(row.code)
        t_s = check(run, row.limit) if check is not None else None
        if t_s is None and check is not None and run.leaving is not None and row.code in DEPARTING:
            t_s = check(run.leaving, row.limit)
        if t_s is not None:
            found.append(Fail(row.code, row.title, t_s))
    return tuple(sorted(found, key=lambda f: f.t_s))
