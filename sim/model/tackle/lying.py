"""How a keel boat lies to wind and stream together."""

import math

STREAM_AS_WIND = 16.0  # amid the bands of the boats' trials of 12 knots across half, one and one and a half


def resultant_rad(from_rad: float, wind_mps: float, stream: tuple[float, float]) -> float:
    """Return the heading a keel boat lies to in wind and stream.

    Each pulls as its square, a knot of stream as much as ``STREAM_AS_WIND`` knots of wind.

    >>> round(resultant_rad(0.0, 6.0, (0.0, 0.0)), 3), round(resultant_rad(0.0, 6.0, (2.0, 0.0)), 3)
    (0.0, 3.142)
    """
    rate = math.hypot(*stream)
    pull = STREAM_AS_WIND**2 * rate
    north = wind_mps**2 * math.cos(from_rad) - pull * stream[0]
    east = wind_mps**2 * math.sin(from_rad) - pull * stream[1]
    return math.atan2(east, north) % (2.0 * math.pi)
