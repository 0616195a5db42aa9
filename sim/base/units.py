"""The only unit conversions, and the physical constants.

Everything inside the program is SI and radians. Knots, degrees and rpm exist in scenario files, on screen and here.
"""

import math

G_MPS2 = 9.80665
RHO_WATER_KGPM3 = 1025.0  # sea water, 15 degrees C, nominal
RHO_AIR_KGPM3 = 1.225  # ISO 2533 standard atmosphere at sea level
RHO_STEEL_KGPM3 = 7850.0
SUBMERGED_STEEL = 1.0 - RHO_WATER_KGPM3 / RHO_STEEL_KGPM3  # 0.8694 of the weight in air

MPS_PER_KN = 1852.0 / 3600.0  # exact, by the definition of the nautical mile

TICK_HZ = 60
DT_S = 1.0 / TICK_HZ


def mps(knots: float) -> float:
    """Return a speed in m/s from knots."""
    return knots * MPS_PER_KN


def knots(speed_mps: float) -> float:
    """Return a speed in knots from m/s."""
    return speed_mps / MPS_PER_KN


def rad(degrees: float) -> float:
    """Return an angle in radians from degrees."""
    return math.radians(degrees)


def deg(angle_rad: float) -> float:
    """Return an angle in degrees from radians."""
    return math.degrees(angle_rad)


def seconds(tick: int) -> float:
    """Return the time in seconds of a tick, exactly on whole seconds."""
    return tick / TICK_HZ


def ticks(time_s: float) -> int:
    """Return the tick nearest to a time in seconds."""
    return round(time_s * TICK_HZ)
