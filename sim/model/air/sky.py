"""How dark it is: the sun's elevation by the clock of the place, and what it leaves of the light."""

import math
from dataclasses import dataclass

DEG = math.pi / 180.0
TILT = 23.45 * DEG
SET_RAD = -0.833 * DEG  # its upper limb on the horizon, bent by the air: the almanac's sunset
NIGHT_RAD = -12.0 * DEG  # the end of nautical twilight: the horizon can no longer be made out


@dataclass(frozen=True)
class Sky:
    """The sky of a day.

    Attributes:
        starts_h: the sun's own time at the place when the exercise begins, 12 when it stands highest.
        latitude_rad: north above 0, -pi/2 to pi/2.
        day: of the year, 1 to 366.
        dark_until_s: it counts as night until then whatever the clock says, 0 for never.
    """

    starts_h: float = 18.0
    latitude_rad: float = 50.0 * DEG
    day: int = 220
    dark_until_s: float = 0.0


def elevation_rad(sky: Sky, t_s: float) -> float:
    """Return how high the sun's middle stands above the horizon [rad], ``t_s`` after the start.

    sin h = sin(lat) sin(decl) + cos(lat) cos(decl) cos(15 deg (hour - 12)) with decl =
    23.45 deg sin(360 deg (284 + n) / 365).
    Source: P. I. Cooper, The absorption of radiation in solar stills, Solar Energy 12 (1969), for the
    declination, within a degree, at worst near the equinoxes. Refraction is left to the limits that it is
    compared with.
    """
    hours = sky.starts_h + t_s / 3600.0
    declination = TILT * math.sin(2.0 * math.pi * (284 + sky.day + math.floor(hours / 24.0)) / 365.0)
    turn = math.pi * (hours - 12.0) / 12.0
    height = math.sin(sky.latitude_rad) * math.sin(declination)
    height += math.cos(sky.latitude_rad) * math.cos(declination) * math.cos(turn)
    return math.asin(max(-1.0, min(1.0, height)))


def darkness(sky: Sky, t_s: float) -> float:
    """Return how dark it is, 0 from sunrise to sunset to 1 without a horizon, evenly between (judgement)."""
    if t_s < sky.dark_until_s:
        return 1.0
    return max(0.0, min(1.0, (SET_RAD - elevation_rad(sky, t_s)) / (SET_RAD - NIGHT_RAD)))
