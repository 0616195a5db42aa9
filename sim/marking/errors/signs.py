"""What detectors of errors are made of: a sign of an error, and how to look for one in a run."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from sim.base.arrays import FloatArray
from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core.orders.commands import Command
from sim.marking.phases import needed_pull
from sim.marking.run import Found, Run
from sim.model import layout as lay

E = TypeVar("E", bound=ev.Event)
C = TypeVar("C", bound=Command)
Mask = npt.NDArray[np.bool_]
HELD_MPS = 0.02  # chain that runs slower than this is held
DOUBTFUL = 0.5  # certainty at the threshold of an error


@dataclass(frozen=True)
class Sign:
    """What gives an error away.

    Attributes:
        t_s: when it happened.
        certainty: 0 to 1; 0.5 where it just counts as an error.
        values: for its sentence, in the units that stand there.
        at: north, east of the place, where there is one.
        weight: where it depends on how bad it was, instead of the catalogue's.
        way: which of an error's sentences tells of it; empty for the plain one.
    """

    t_s: float
    certainty: float
    values: dict[str, float] = field(default_factory=dict)
    at: tuple[float, float] | None = None
    way: str = ""
    weight: int | None = None


Detector = Callable[[Run], Sign | None]


def sure(value: float, threshold: float, plain: float) -> float:
    """Return how certain an error is: 0.5 at its threshold, 1 from where it is plain, straight between.

    >>> sure(0.3, 0.3, 1.0), sure(2.0, 0.3, 1.0), sure(0.4, 0.5, 0.3)
    (0.5, 1.0, 0.75)
    """
    share = (value - threshold) / (plain - threshold)
    return round(DOUBTFUL + (1.0 - DOUBTFUL) * min(max(share, 0.0), 1.0), 6)


def happened(run: Run, kind: type[E], from_s: float = 0.0, to_s: float = float("inf")) -> list[E]:
    """Return the events of a kind within a span of time."""
    return [e for e in run.track.events if isinstance(e, kind) and from_s <= e.tick / TICK_HZ <= to_s]


def ordered(run: Run, kind: type[C], from_s: float = 0.0, to_s: float = float("inf")) -> list[tuple[float, C]]:
    """Return (time, order) of the orders of a kind within a span of time."""
    return [(t / TICK_HZ, o) for t, o in run.orders if isinstance(o, kind) and from_s <= t / TICK_HZ <= to_s]


def seconds(event: ev.Event) -> float:
    """Return when an event happened [s]."""
    return event.tick / TICK_HZ


def spell(t_s: FloatArray, mask: Mask, least_s: float) -> tuple[float, float] | None:
    """Return the first stretch of at least ``least_s`` over which ``mask`` holds throughout, else None."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], mask.astype(np.int8), [0]])))
    for first, after in zip(edges[::2], edges[1::2], strict=True):
        if t_s[after - 1] - t_s[first] >= least_s:
            return float(t_s[first]), float(t_s[after - 1])
    return None


def place(run: Run, t_s: float) -> tuple[float, float]:
    """Return where she was."""
    k = run.track.index(t_s)
    return float(run.track["north_m"][k]), float(run.track["east_m"][k])


def touch_at(run: Run) -> tuple[float, float] | None:
    """Return where the anchor landed, None where it never did."""
    touch = run.moments.touch
    return None if touch is None else (touch.north_m, touch.east_m)


def bow_m(run: Run) -> tuple[FloatArray, FloatArray]:
    """Return north and east of the roller over the whole run."""
    ahead = run.params.boat.particulars.roller_x_m
    track = run.track
    north = track["north_m"] + ahead * np.cos(track["heading_rad"])
    east = track["east_m"] + ahead * np.sin(track["heading_rad"])
    return north, east


def height_m(run: Run) -> FloatArray:
    """Return the height of the roller above the bed over the whole run."""
    out: FloatArray = run.track["depth_m"] + float(run.line[lay.LP_ROLLER_Z])
    return out


def astern_share(run: Run) -> FloatArray:
    """Return thrust astern over the usable pull astern, over the whole run; below 0 ahead."""
    thrust: FloatArray = -(run.track["thrust_n_0"] + run.track["thrust_n_1"])
    return thrust / needed_pull.usable_astern_n(run.params.boat)


def speed_mps(run: Run) -> FloatArray:
    """Return the speed over the ground, without sense, over the whole run."""
    out: FloatArray = np.hypot(run.track["surge_mps"], run.track["sway_mps"])
    return out


def from_anchor_m(run: Run) -> FloatArray:
    """Return how far the bow is from the anchor over the ground, NaN while none is out."""
    north, east = bow_m(run)
    out: FloatArray = np.hypot(north - run.track["anchor_n_m"], east - run.track["anchor_e_m"])
    return out


def held_on_s(run: Run) -> float:
    """Return when the rode was first held for five seconds after most of it was out; the end if never."""
    m = run.moments
    span = run.span(m.laid_s, m.stop_s)
    found = spell(run.track["t_s"][span], np.abs(run.track["rate_mps"][span]) < HELD_MPS, 5.0)
    return found[0] if found is not None else m.stop_s


def of_measure(found: Found | None, certainty: float, **values: float) -> Sign | None:
    """Return the sign that a measure's finding gives, None where it has no value."""
    if found is None or found.value is None:
        return None
    return Sign(found.from_s, certainty, values, found.at)
