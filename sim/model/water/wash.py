"""The wash of a ship that passed: one train of long waves that lifts the roller and carries the hulls to and fro.

The train grows and dies away over its time, and runs from one place to the next as waves on deep water do. A hull
follows the water of waves that are long beside her: what drives her is the slope of the surface (the pressure in the
undisturbed wave, as Froude and Krylov put it). Left out: that the train reaches one place later than another, its
reflection from the shore, rolling, and drag by the water's own motion.
"""

import math

from sim.base.arrays import FloatArray
from sim.base.frames import to_body, wrap_pi
from sim.base.kernel import kernel
from sim.base.units import G_MPS2, RHO_WATER_KGPM3
from sim.model import layout as lay
from sim.model.hull.heave_pitch import roller_response, surge_response


@kernel
def wash_height_m(t_s: float, start_s: float, last_s: float, height_m: float) -> float:
    """Return the height of the waves, crest to trough, at a time: most half way, none before or after (judgement)."""
    share = (t_s - start_s) / max(last_s, 1.0)
    if not 0.0 < share < 1.0:
        return 0.0
    return height_m * math.sin(math.pi * share) ** 2


@kernel
def wash_here(
    north_m: float, east_m: float, t_s: float, height_m: float, period_s: float, from_rad: float
) -> tuple[float, float]:
    """Return (rise of the surface [m], acceleration of the water along the waves' way [m/s2]) at a place and time.

    Source: linear waves on deep water, wave number (2 pi / T)^2 / g; the acceleration is g times the slope.
    """
    omega = 2.0 * math.pi / period_s
    number = omega * omega / G_MPS2
    along = -(north_m * math.cos(from_rad) + east_m * math.sin(from_rad))
    phase = number * along - omega * t_s
    return 0.5 * height_m * math.cos(phase), 0.5 * height_m * omega * omega * math.sin(phase)


@kernel
def feel_wash(
    boat: FloatArray, hull: FloatArray, t_s: float, dt_s: float, episodes: FloatArray, episode_count: int
) -> None:
    """Add the wash that is about to a boat's row, in place: to her way over a step, and to the heave of her bow."""
    for k in range(episode_count):
        if episodes[k, lay.E_KIND] != lay.EPISODE_WASH:
            continue
        height = wash_height_m(t_s, episodes[k, lay.E_START_S], episodes[k, lay.E_HOLD_S], episodes[k, lay.E_HEIGHT_M])
        if height == 0.0:
            continue
        period = episodes[k, lay.E_PERIOD_S]
        comes = episodes[k, lay.E_FROM]
        heading = boat[lay.B_HEADING]
        off = wrap_pi(comes - heading)
        length = hull[lay.H_LWL]
        draught = hull[lay.H_CANOE]
        follows = surge_response(1.0 / period, off, length, draught)
        rise, pushed = wash_here(boat[lay.B_NORTH], boat[lay.B_EAST], t_s, height, period, comes)
        push = dt_s * follows * pushed
        ahead, starboard = to_body(-push * math.cos(comes), -push * math.sin(comes), heading)
        boat[lay.B_SURGE] += ahead
        boat[lay.B_SWAY] += starboard
        hulls = 2.0 if hull[lay.H_ASIDE] > 0.0 else 1.0
        breadth = hull[lay.H_MASS] / (RHO_WATER_KGPM3 * length * draught * hulls)
        real, imaginary = roller_response(1.0 / period, off, length, breadth, draught, hull[lay.H_ROLLER_X])
        omega = 2.0 * math.pi / period
        # rise is a cos(w t + .) and the acceleration -a w^2 sin(w t + .)
        boat[lay.B_HEAVE] += real * rise + imaginary * pushed / (omega * omega)


@kernel
def wash_boats(
    boats: FloatArray, hulls: FloatArray, first: int, t_s: float, dt_s: float, episodes: FloatArray, episode_count: int
) -> None:
    """Let every boat from row ``first`` on feel the wash for a step, in place; those that are away do not."""
    for i in range(first, boats.shape[0]):
        if boats[i, lay.B_AWAY] > 0.0:
            continue
        if i > 0:
            boats[i, lay.B_HEAVE] = 0.0
        feel_wash(boats[i], hulls[i], t_s, dt_s, episodes, episode_count)
