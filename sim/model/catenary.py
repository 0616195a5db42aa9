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
