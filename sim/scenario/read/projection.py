"""From latitude and longitude to metres north and east of a bay's middle.

Azimuthal equidistant about the middle, by geodesics on the WGS 84 ellipsoid: distances from the middle are exact, and
within five kilometres every other one is true to better than a millionth (the error grows with (d / R)^2 / 6).
"""

import math

from geographiclib.geodesic import Geodesic


def local_m(latitude_deg: float, longitude_deg: float, middle: tuple[float, float]) -> tuple[float, float]:
    """Return (north, east) in metres of a place seen from ``middle``, a (latitude, longitude) in degrees.

    Args:
        latitude_deg: -90 to 90, north positive.
        longitude_deg: -180 to 180, east positive.
        middle: where north and east are nought.
    """
    line = Geodesic.WGS84.Inverse(*middle, latitude_deg, longitude_deg)
    bearing = math.radians(line["azi1"])
    return line["s12"] * math.cos(bearing), line["s12"] * math.sin(bearing)
