"""How hard she will pull, and how much rode that needs."""

import math

from sim.base.units import G_MPS2, knots
from sim.model import engine
from sim.model import layout as lay
from sim.model.params import Boat

LOAD_PER_LOA2_V2 = G_MPS2 / 500.0  # N per m2 and kn2
ENGINE_SHARE = 0.9  # of the usable pull astern: more than a skipper need ask of her engine (judgement)


def wind_load_n(loa_m: float, wind_mps: float) -> float:
    """Return the steady pull on the rode of a boat lying to a wind [N].

    Source: common practice, F [kgf] = LOA^2 V^2 / 500 with V in knots; a rule of thumb, not a measurement.

    >>> round(wind_load_n(12.0, 20.0 * 1852 / 3600))
    1130
    """
    load_n: float = LOAD_PER_LOA2_V2 * loa_m**2 * knots(wind_mps) ** 2
    return load_n


def wind_for_load_mps(loa_m: float, load_n: float) -> float:
    """Return the wind whose steady load is ``load_n`` [m/s]: the rule above turned round."""
    return math.sqrt(max(load_n, 0.0) / wind_load_n(loa_m, 1.0))


def usable_astern_n(boat: Boat) -> float:
    """Return the pull of all engines full astern, the boat held [N]."""
    pulls = boat.shafts[: boat.shaft_count, lay.SP_BOLLARD] * boat.shafts[: boat.shaft_count, lay.SP_ASTERN]
    return float(pulls.sum()) * engine.ASTERN_RPS**2
