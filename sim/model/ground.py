"""A keel on the ground: how deep it stands in it along her length, and what soft and hard ground do to her."""

import math

from sim.base.arrays import FloatArray, IntArray
from sim.base.kernel import kernel
from sim.base.units import G_MPS2
from sim.model import layout as lay
from sim.model.water.water import bottom_at

LIFT_HARD_M, LIFT_SOFT_M = (
    0.6,
    1.1,
)  # penetration at which the ground carries all of her, on rock and in ooze (judgement)
SUCTION = 0.6  # of what holds her in soft ground, more to start again once she has lain in it (judgement)
SETTLE_S = 60.0  # at rest, until the mud has closed round the keel (judgement)
AFLOAT_S = 5.0  # moving, until it has let go again
RESTING_MPS = 0.02
HARD = 0.45  # of stiffness: from sand upwards it is hard ground
FOOTPRINT = 0.1  # of the waterline: half the length over which the ground bears, so that it resists turning (judgement)


@kernel
def friction_on(stiff: float) -> float:
    """Return the friction of a keel on ground of stiffness 0 (ooze) to 1 (rock): 0.2 to 0.9.

    The U.S. Navy Salvor's Handbook (S0300-A7-HBK-010) gives stranded ships 0.2 to 0.3 on mud, 0.3 to 0.4 on sand, 0.8
    and more on rock (from memory; its table was not seen).
    """
    return 0.2 + 0.7 * stiff * stiff


@kernel
def carried_n(boat: FloatArray, hull: FloatArray) -> float:
    """Return the weight that the ground carries of her [N]."""
    depth = LIFT_SOFT_M + (LIFT_HARD_M - LIFT_SOFT_M) * min(boat[lay.B_STIFF] / HARD, 1.0)
    return hull[lay.H_MASS] * G_MPS2 * min(boat[lay.B_GROUND] / depth, 1.0)


@kernel
def grip_n(boat: FloatArray, hull: FloatArray) -> float:
    """Return the horizontal force that it takes to move her over the ground she stands in [N]."""
    soft = 1.0 - min(boat[lay.B_STIFF] / HARD, 1.0)
    return carried_n(boat, hull) * (friction_on(boat[lay.B_STIFF]) + SUCTION * soft * boat[lay.B_STUCK])


@kernel
def rub(
    boat: FloatArray, hull: FloatArray, surge: float, sway: float, yaw_rate: float, dt_s: float
) -> tuple[float, float, float]:
    """Return (surge, sway, yaw rate) over the ground after a step's friction of the keel where it stands.

    Coulomb friction as an impulse: it takes off her way as far as it can, never turns her back, and holds her where she
    stands against any force that is less.
    """
    grip = grip_n(boat, hull) * dt_s
    x_at = boat[lay.B_GROUND_X]
    m11 = hull[lay.H_MASS] + hull[lay.H_A11]
    m22 = hull[lay.H_MASS] + hull[lay.H_A22]
    m33 = hull[lay.H_M33]
    there = sway + x_at * yaw_rate
    needed_x = m11 * surge
    needed_y = there / (1.0 / m22 + x_at * x_at / m33)
    share = min(grip / max(math.sqrt(needed_x * needed_x + needed_y * needed_y), 1e-9), 1.0)
    surge -= share * surge
    sway -= share * needed_y / m22
    yaw_rate -= share * x_at * needed_y / m33
    twist = grip * FOOTPRINT * hull[lay.H_LWL]
    yaw_rate -= yaw_rate * min(twist / max(m33 * abs(yaw_rate), 1e-9), 1.0)
    return surge, sway, yaw_rate


@kernel
def feel_ground(boats: FloatArray, raster: FloatArray, bottom: IntArray, bottoms: FloatArray, passed_s: float) -> None:
    """Note what ground lies under every boat that stands in it, and how it closes round her keel, in place."""
    for i in range(boats.shape[0]):
        if boats[i, lay.B_GROUND] <= 0.0:
            boats[i, lay.B_STUCK] = 0.0
            continue
        here = bottom_at(boats[i, lay.B_NORTH], boats[i, lay.B_EAST], raster, bottom)
        boats[i, lay.B_STIFF] = bottoms[here, lay.G_STIFF]
        still = math.hypot(boats[i, lay.B_SURGE], boats[i, lay.B_SWAY]) < RESTING_MPS
        change = passed_s / SETTLE_S if still else -passed_s / AFLOAT_S
        boats[i, lay.B_STUCK] = min(max(boats[i, lay.B_STUCK] + change, 0.0), 1.0)
