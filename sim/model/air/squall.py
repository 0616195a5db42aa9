"""Squalls and gusts off high ground, drawn from a seed."""

from dataclasses import dataclass

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.units import rad
from sim.model import layout as lay

# The onset of gust fronts. Source: UFC 4-159-03 (2005), section 3-8.2, on some 500 fronts: about 60 % turn the wind by
# about 30 degrees; the onset mostly takes less than 60 s and never more than 120 s; the wind before is 48 % of the most
# on average, between 0 and 75 %. The shape of the spread within these figures is judgement.
SHIFT_SHARE, SHIFT_DEG, SHIFT_SPREAD_DEG, STEADY_DEG = 0.60, 30.0, 8.0, 8.0
QUICK_SHARE, QUICK_S, SLOW_S = 0.80, (20.0, 60.0), (60.0, 120.0)
LEAST_BEFORE, MOST_BEFORE = 0.21, 0.75
MEAN_BEFORE = 0.48
FALLS = 1024  # gusts off high ground before their train repeats


@dataclass(frozen=True)
class Front:
    """A squall's onset: seconds from first breath to full strength, its turn, the wind before it over its most."""

    onset_s: float
    turn_rad: float
    before: float


def front(seed: int, number: int) -> Front:
    """Return the ``number``-th squall of a seed."""
    draw = rng.stream(seed, "squall", number)
    quick, turns, side, before, depth = draw.random(5)
    least, most = QUICK_S if quick < QUICK_SHARE else SLOW_S
    spread = float(draw.standard_normal())
    if turns < SHIFT_SHARE:
        turn_deg = (1.0 if side < 0.5 else -1.0) * (SHIFT_DEG + SHIFT_SPREAD_DEG * spread)
    else:
        turn_deg = STEADY_DEG * max(-1.0, min(1.0, spread))
    return Front(
        onset_s=least + float(depth) * (most - least),
        turn_rad=rad(float(turn_deg)),
        before=LEAST_BEFORE + float(before) * (MOST_BEFORE - LEAST_BEFORE),
    )


def falls(seed: int, mean_mps: float, factor: float, swing_rad: float, last_s: float) -> FloatArray:
    """Return a train of gusts off high ground, ``float64[FALLS, FALL_COLS]``, one for each turn of their interval.

    Each comes somewhere in its turn, blows between half way to and all of ``factor`` times the mean, from up to
    ``swing_rad`` either side of the high ground, for 0.6 to 1.4 times ``last_s``. All of it judgement: nothing is
    published for the scale of a bay.
    """
    late, strength, side, length = rng.uniforms(seed, "high ground", 4 * FALLS).reshape(4, FALLS)
    train = np.zeros((FALLS, lay.FALL_COLS))
    train[:, lay.FL_LATE] = late
    train[:, lay.FL_SPEED] = mean_mps * (1.0 + (factor - 1.0) * (0.5 + 0.5 * strength))
    train[:, lay.FL_TURN] = swing_rad * (2.0 * side - 1.0)
    train[:, lay.FL_LAST] = last_s * (0.6 + 0.8 * length)
    return train
