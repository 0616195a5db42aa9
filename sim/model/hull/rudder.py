"""Rudder: the hull's foil formula with the flow turned by the blade's angle, and the propeller's wash ahead."""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.base.units import RHO_WATER_KGPM3
from sim.model import layout as lay
from sim.model.hull.hull import foil_force, lift_slope
from sim.model.params import Rudder


def pack(rudders: tuple[Rudder, ...], prop_diameter_m: float) -> FloatArray:
    """Return ``float64[MAX_RUDDERS, RUDDER_COLS]``; ``prop_diameter_m`` of the propeller ahead of each."""
    table = np.zeros((lay.MAX_RUDDERS, lay.RUDDER_COLS))
    for i, b in enumerate(rudders):
        slope = b.slope_factor * lift_slope(b.span_m**2 / b.area_m2)
        table[i] = [b.x_m, b.y_m, b.area_m2, b.span_m, slope, prop_diameter_m]
    return table


@kernel
def blade_force(u: float, v: float, angle_rad: float, slope: float, area_m2: float) -> float:
    """Return the force normal to a blade turned by ``angle_rad``, in flow (u, v) in the boat's axes [N]."""
    along = u * math.cos(angle_rad) - v * math.sin(angle_rad)
    across = u * math.sin(angle_rad) + v * math.cos(angle_rad)
    force, _ = foil_force(along, across, slope, 1.1)
    return 0.5 * RHO_WATER_KGPM3 * area_m2 * force


@kernel
def rudder_wrench(
    u: float, v: float, r: float, angle_rad: float, thrust_n: float, rudder: FloatArray
) -> tuple[float, float, float]:
    """Return (X, Y, N) of one rudder.

    Args:
        u: surge through the water [m/s].
        v: sway through the water [m/s].
        r: yaw rate [rad/s].
        angle_rad: rudder angle; positive turns her to starboard going ahead.
        thrust_n: thrust of the propeller ahead of it; only thrust ahead washes over the blade.
        rudder: ``float64[RUDDER_COLS]``.

    Source: wash speed by momentum theory, sqrt(u^2 + 2 T / rho A); a share 0.8 D / span of the blade sees 0.85 of
    it (judgement), its force capped at 0.65 of the thrust: the blade cannot turn aside more than the propeller makes.
    """
    x = rudder[lay.R_X]
    local_u = u - rudder[lay.R_Y] * r
    local_v = v + x * r
    share = 0.0
    washed = 0.0
    slope = rudder[lay.R_SLOPE]
    area = rudder[lay.R_AREA]
    if thrust_n > 0.0:
        diameter = rudder[lay.R_PROP_D]
        share = min(0.8 * diameter / rudder[lay.R_SPAN], 0.9)
        disc = 0.25 * math.pi * diameter * diameter
        wash = 0.85 * math.sqrt(max(u, 0.0) ** 2 + 2.0 * thrust_n / (RHO_WATER_KGPM3 * disc))
        washed = blade_force(wash, local_v, angle_rad, slope, share * area)
        cap = 0.65 * thrust_n
        washed = max(-cap, min(cap, washed))
    normal = blade_force(local_u, local_v, angle_rad, slope, (1.0 - share) * area) + washed
    x_force = normal * math.sin(angle_rad)
    y_force = normal * math.cos(angle_rad)
    return x_force, y_force, x * y_force - rudder[lay.R_Y] * x_force
