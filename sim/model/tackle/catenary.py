"""The catenary, in closed form: what a plan needs and a test checks against."""

import math

from sim.base.units import G_MPS2, knots, mps
from sim.model.fleet import suspended_m


def rode_needed_m(height_m: float, pull_n: float, weight_n_per_m: float) -> float:
    """Return the least rode [m] for which the chain still leads flat along the bed at the anchor.

    Source: the catenary, sqrt(h (h + 2 H / w)); textbook mechanics.
    """
    return suspended_m(height_m, pull_n, weight_n_per_m)


def wind_load_n(loa_m: float, wind_mps: float) -> float:
    """Return a cruising boat's steady pull on her rode in wind [N].

    Source: the rule of thumb F [kgf] = LOA^2 V^2 / 500 with V in knots (common practice, no source), about half of the
    design loads of ABYC H-40, which hold surge and sheering.
    """
    return G_MPS2 * loa_m**2 * knots(wind_mps) ** 2 / 500.0


def wind_for_load_mps(loa_m: float, pull_n: float) -> float:
    """Return the wind that would pull as hard; the inverse of ``wind_load_n``."""
    return mps(math.sqrt(max(pull_n, 0.0) * 500.0 / (G_MPS2 * loa_m**2)))


def reach_on_bed_m(out_m: float, height_m: float) -> float:
    """Return the greatest horizontal distance from anchor to roller with ``out_m`` of rode, a straight rode [m]."""
    return math.sqrt(max(out_m**2 - height_m**2, 0.0))


def lifted_start_m(height_m: float, length_m: float, pull_n: float, weight_n_per_m: float) -> float:
    """Return how far along its catenary, from the lowest point, a rode begins at the anchor [m].

    0 while some of it lies on the bed. The slope at the anchor is this over a = H / w.

    Args:
        height_m: roller above the bed, > 0.
        length_m: rode out, > ``height_m``.
        pull_n: horizontal pull, > 0.
        weight_n_per_m: weight in water per metre, > 0.

    Source: the catenary through two points, h = hypot(a, s + L) - hypot(a, s), solved for s by halving.
    """
    if suspended_m(height_m, pull_n, weight_n_per_m) <= length_m:
        return 0.0
    a = pull_n / weight_n_per_m
    low, high = 0.0, 2.0 * a * height_m / math.sqrt(length_m**2 - height_m**2)
    for _ in range(80):
        middle = 0.5 * (low + high)
        if math.hypot(a, middle + length_m) - math.hypot(a, middle) < height_m:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def uplift_rad(height_m: float, length_m: float, pull_n: float, weight_n_per_m: float) -> float:
    """Return the slope of the rode at the shackle [rad]; arguments as in ``lifted_start_m``."""
    return math.atan2(lifted_start_m(height_m, length_m, pull_n, weight_n_per_m), pull_n / weight_n_per_m)


def shape_m(
    height_m: float, length_m: float, pull_n: float, weight_n_per_m: float, points: int = 60
) -> list[tuple[float, float]]:
    """Return (distance from the anchor, height above the bed) along a rode at rest, anchor first [m]."""
    a = pull_n / weight_n_per_m
    start = lifted_start_m(height_m, length_m, pull_n, weight_n_per_m)
    flat = max(length_m - suspended_m(height_m, pull_n, weight_n_per_m), 0.0)
    out = [(0.0, 0.0)] if flat > 0.0 else []
    lifted = length_m - flat
    for k in range(points + 1):
        s = start + lifted * k / points
        out.append((flat + a * (math.asinh(s / a) - math.asinh(start / a)), math.hypot(a, s) - math.hypot(a, start)))
    return out
