"""How hard she will pull, and how much rode that needs."""

import math

from sim.base.units import G_MPS2, knots
from sim.model import engine
from sim.model import layout as lay
from sim.model.fleet import suspended_m
from sim.model.params import Boat

LOAD_PER_LOA2_V2 = G_MPS2 / 500.0  # N per m2 and kn2
ENGINE_SHARE = 0.9  # of the usable pull astern: more than a skipper need ask of her engine (judgement)


def wind_load_n(loa_m: float, wind_mps: float) -> float:
    """Return the steady pull on the rode of a boat lying to a wind [N].

    Source: common practice, F [kgf] = LOA^2 V^2 / 500 with V in knots; a rule of thumb, not a measurement.

    >>> round(wind_load_n(12.0, 20.0 * 1852 / 3600))
    1130
    """
    return LOAD_PER_LOA2_V2 * loa_m**2 * knots(wind_mps) ** 2


def wind_for_load_mps(loa_m: float, load_n: float) -> float:
    """Return the wind whose steady load is ``load_n`` [m/s]: the rule above turned round."""
    return wind_load_n(1.0, 1.0) ** -0.5 * math.sqrt(max(load_n, 0.0)) / loa_m


def rode_needed_m(height_m: float, load_n: float, weight_n_per_m: float) -> float:
    """Return the chain that lies level at the anchor under a load [m].

    Args:
        height_m: bed to roller at the highest water, > 0.
        load_n: horizontal load, >= 0.
        weight_n_per_m: of the chain in water, > 0.

    Source: the catenary, L0 = sqrt(Y (Y + 2 H / w)).

    >>> round(rode_needed_m(8.0, wind_load_n(12.0, 20.0 * 1852 / 3600), 19.6))
    31
    """
    return suspended_m(height_m, load_n, weight_n_per_m)


def usable_astern_n(boat: Boat) -> float:
    """Return the pull of all engines full astern, the boat held [N]."""
    pulls = boat.shafts[: boat.shaft_count, lay.SP_BOLLARD] * boat.shafts[: boat.shaft_count, lay.SP_ASTERN]
    return float(pulls.sum()) * engine.ASTERN_RPS**2


def reach_m(length_m: float, height_m: float) -> float:
    """Return the most a rode reaches over the ground [m]: the chord of its length over the height."""
    return math.sqrt(max(length_m**2 - height_m**2, 0.0))
