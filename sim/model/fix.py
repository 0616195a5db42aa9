"""The satellite receiver's error: slow, seeded, and a function of time alone."""

import math

from sim.base.arrays import FloatArray
from sim.base.frames import to_world
from sim.base.kernel import kernel
from sim.model import layout as lay

# Standard deviation of a fix per axis: 2.9 m at 95 %, a good receiver under open sky. The FAA's performance analysis of
# April to June 2013 found about 3 m without augmentation; the GPS SPS Performance Standard (2008) promises 9 m.
WANDER_M = 1.2
WANDER_PERIODS_S = (47.0, 173.0, 611.0)


@kernel
def fix_error_m(t_s: float, phases: FloatArray) -> tuple[float, float]:
    """Return the error of a fix, north and east [m], at ``t_s``; ``phases`` is ``float64[2, 3]`` in radians."""
    amplitude = WANDER_M * math.sqrt(2.0 / phases.shape[1])
    north = 0.0
    east = 0.0
    for k in range(phases.shape[1]):
        angle = 2.0 * math.pi * t_s / WANDER_PERIODS_S[k]
        north += math.sin(angle + phases[0, k])
        east += math.sin(angle + phases[1, k])
    return amplitude * north, amplitude * east


@kernel
def fix_of(boat: FloatArray, hull: FloatArray, t_s: float, phases: FloatArray) -> tuple[float, float]:
    """Return the receiver's fix of a boat's antenna at ``t_s``, north and east [m], with its error."""
    n, e = to_world(hull[lay.H_ANTENNA_X], 0.0, boat[lay.B_HEADING])
    off_n, off_e = fix_error_m(t_s, phases)
    return boat[lay.B_NORTH] + n + off_n, boat[lay.B_EAST] + e + off_e
