"""Frames: x north, y east, heading clockwise from north, z up from chart datum.

Seen in three dimensions this set is left-handed (north, east, up): said once, here. No cross products are taken in
three dimensions. In a boat's own axes x is forward and y to starboard; a positive yaw rate turns to starboard.
"""

import math

from sim.base.kernel import kernel


@kernel
def wrap_pi(angle_rad: float) -> float:
    """Return the same angle in (-pi, pi]."""
    turns = math.floor(angle_rad / (2.0 * math.pi) + 0.5)
    wrapped = angle_rad - 2.0 * math.pi * turns
    if wrapped <= -math.pi:
        wrapped += 2.0 * math.pi
    return wrapped


@kernel
def wrap_2pi(angle_rad: float) -> float:
    """Return the same angle in [0, 2 pi)."""
    wrapped = angle_rad - 2.0 * math.pi * math.floor(angle_rad / (2.0 * math.pi))
    return wrapped if 0.0 <= wrapped < 2.0 * math.pi else 0.0  # a hair below zero rounds up to a whole turn


@kernel
def to_world(forward: float, starboard: float, heading_rad: float) -> tuple[float, float]:
    """Return (north, east) of a vector given in a boat's axes."""
    c = math.cos(heading_rad)
    s = math.sin(heading_rad)
    return c * forward - s * starboard, s * forward + c * starboard


@kernel
def to_body(north: float, east: float, heading_rad: float) -> tuple[float, float]:
    """Return (forward, starboard) of a vector given north and east."""
    c = math.cos(heading_rad)
    s = math.sin(heading_rad)
    return c * north + s * east, -s * north + c * east


@kernel
def cross(an: float, ae: float, bn: float, be: float, cn: float, ce: float, dn: float, de: float) -> bool:
    """Return whether the segments a-b and c-d cross, seen from above; each point is (north, east)."""
    side_c = (bn - an) * (ce - ae) - (be - ae) * (cn - an)
    side_d = (bn - an) * (de - ae) - (be - ae) * (dn - an)
    side_a = (dn - cn) * (ae - ce) - (de - ce) * (an - cn)
    side_b = (dn - cn) * (be - ce) - (de - ce) * (bn - cn)
    return side_c * side_d < 0.0 and side_a * side_b < 0.0


def bearing_rad(north: float, east: float) -> float:
    """Return the direction of a vector, clockwise from north, in [0, 2 pi)."""
    return wrap_2pi(math.atan2(east, north))
