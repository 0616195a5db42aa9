"""Wind on a hull: Blendermann's form."""

import math

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.base.units import RHO_AIR_KGPM3
from sim.model import layout as lay


@kernel
def wind_wrench(along_mps: float, across_mps: float, hull: FloatArray) -> tuple[float, float, float]:
    """Return (X, Y, N) of the wind on a boat.

    Args:
        along_mps: air over the deck, forward component of its velocity (negative when it blows from ahead).
        across_mps: starboard component (positive when it blows from port).
        hull: ``float64[HULL_COLS]``.

    Source: W. Blendermann (1994), J. Wind Eng. Ind. Aerodyn. 51, 339-351, as read from the Marine Systems Simulator
    (GNC/blendermann94.m). The side force acts 0.28 L forward of the centre head to wind: the bow blows off.
    """
    speed2 = along_mps * along_mps + across_mps * across_mps
    if speed2 < 1e-12:
        return 0.0, 0.0, 0.0
    gamma = math.atan2(-across_mps, -along_mps)  # where it comes from: 0 ahead, + starboard
    c = math.cos(gamma)
    s = math.sin(gamma)
    cdl_front = hull[lay.H_CDL_BOW] if c > 0.0 else hull[lay.H_CDL_STERN]
    cdt = hull[lay.H_CDT]
    cdl = cdl_front * hull[lay.H_AF] / hull[lay.H_AL]
    sin2 = 2.0 * s * c
    den = 1.0 - 0.5 * hull[lay.H_DELTA] * (1.0 - cdl / cdt) * sin2 * sin2
    q = 0.5 * RHO_AIR_KGPM3 * speed2
    x = -q * hull[lay.H_AF] * cdl_front * c / den
    y = -q * hull[lay.H_AL] * cdt * s / den
    lever = hull[lay.H_SL] + 0.18 * hull[lay.H_LOA] * (0.5 * math.pi - abs(gamma))
    return x, y, y * lever
