"""Two charted marks taken for a transit: how far the front one stands open of the rear one, and whether it opens."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sim.base.frames import wrap_pi
from sim.base.units import rad
from sim.helm.aids import Pose
from sim.helm.sight import RAIN_M
from sim.helm.view import View
from sim.model.params import Mark

STEP_RAD = rad(0.1)  # what an eye tells apart without a glass, in a seaway (judgement)
MOVED_RAD = rad(0.04)  # so much more or less shows which way they go (judgement)
AGO_S = 4.0  # opening and closing are told by comparing with so long ago (judgement)
DARK = 0.4375  # darker than this only lights are made out: there the window turns to its colours of the night


@dataclass(frozen=True)
class Leading:
    """A transit of two marks as it looks from aboard.

    Attributes:
        front: the nearer of the two.
        rear: the one behind it.
        open_rad: how far the front one stands to the right of the rear one, to a tenth of a degree; negative to the
            left, 0 in line.
        trend: 1 while they open, -1 while they close, 0 while neither is to be seen.
        past: times and angles of the last seconds.
    """

    front: Mark
    rear: Mark
    open_rad: float
    trend: int
    past: tuple[tuple[float, float], ...] = ()


def is_seen(mark: Mark, view: View, own: Pose) -> bool:
    """Return whether a mark is made out: by night only its light, in rain only so far."""
    away = math.hypot(mark.north_m - own.north_m, mark.east_m - own.east_m)
    return not (view.darkness > DARK and not mark.lit) and not (view.raining and away > RAIN_M)


def open_rad(own: Pose, front: Mark, rear: Mark) -> float:
    """Return the bearing of the front mark less that of the rear one, as it is [rad], from -pi to pi."""
    angles = [math.atan2(m.east_m - own.east_m, m.north_m - own.north_m) for m in (front, rear)]
    return wrap_pi(angles[0] - angles[1])


def look(pair: Sequence[Mark], view: View, own: Pose, before: Leading | None) -> Leading | None:
    """Return two marks as they stand to each other now, None where fewer are chosen or one is not seen."""
    if len(pair) < 2 or not all(is_seen(mark, view, own) for mark in pair):
        return None
    front, rear = sorted(pair, key=lambda m: math.hypot(m.north_m - own.north_m, m.east_m - own.east_m))
    now, t_s = open_rad(own, front, rear), view.readings.t_s
    kept = before.past if before is not None and {before.front, before.rear} == set(pair) else ()
    past = [(at, was) for at, was in kept if t_s - 2.0 * AGO_S <= at < t_s]
    was = next((angle for at, angle in reversed(past) if at <= t_s - AGO_S), None)
    grown = 0.0 if was is None else abs(now) - abs(was)
    trend = 0 if abs(grown) < MOVED_RAD else 1 if grown > 0.0 else -1
    return Leading(front, rear, round(now / STEP_RAD) * STEP_RAD, trend, (*past, (t_s, now)))
