"""Lever, gear, shaft and propeller."""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.base.units import RHO_WATER_KGPM3
from sim.model import layout as lay
from sim.model.params import Shaft

DEAD_BAND = 0.05
GEAR_DWELL_S = 0.7  # judgement
SHAFT_LAG_S = 0.8  # judgement
ASTERN_RPS = 0.85  # of the most ahead; judgement


def bollard_pull_n(power_w: float, diameter_m: float, merit: float) -> float:
    """Return the static thrust ahead [N] of a propeller.

    Source: actuator disc at rest, T = FoM (2 rho A P^2)^(1/3); a figure of merit of 0.5 to 0.64 is judgement.
    """
    disc = 0.25 * math.pi * diameter_m**2
    return merit * (2.0 * RHO_WATER_KGPM3 * disc * power_w**2) ** (1.0 / 3.0)


def pack(shafts: tuple[Shaft, ...]) -> FloatArray:
    """Return ``float64[MAX_SHAFTS, SHAFT_PARAM_COLS]``."""
    table = np.zeros((lay.MAX_SHAFTS, lay.SHAFT_PARAM_COLS))
    for i, s in enumerate(shafts):
        row = table[i]
        row[lay.SP_X], row[lay.SP_Y] = s.x_m, s.y_m
        row[lay.SP_BOLLARD] = bollard_pull_n(s.power_w, s.diameter_m, s.merit)
        row[lay.SP_ASTERN] = s.astern_factor
        row[lay.SP_IDLE_RPS], row[lay.SP_MAX_RPS] = s.idle_rps, s.max_rps
        row[lay.SP_ZERO_SPEED] = 1.08 * s.pitch_m
        row[lay.SP_DISC] = 0.25 * math.pi * s.diameter_m**2
        row[lay.SP_PROP_CD] = s.locked_cd
        row[lay.SP_WALK], row[lay.SP_HAND] = s.walk, s.handed
        row[lay.SP_STEERS] = 1.0 if s.steers else 0.0
    return table


@kernel
def shaft_rps(lever: float, params: FloatArray) -> float:
    """Return the shaft speed [1/s] that a lever position asks for once in gear; idle inside the dead band."""
    idle = params[lay.SP_IDLE_RPS]
    most = params[lay.SP_MAX_RPS]
    if lever < 0.0:
        most *= ASTERN_RPS
    open_part = min(max((abs(lever) - DEAD_BAND) / (1.0 - DEAD_BAND), 0.0), 1.0)
    return idle + open_part * (most - idle)


@kernel
def turn_shaft(shaft: FloatArray, params: FloatArray, failed: float, dt_s: float) -> None:
    """Move gear and shaft speed one step towards what the lever asks, in place.

    The gear passes neutral with a dwell; the engine's speed follows with a first-order lag. A failed engine stops.
    """
    lever = shaft[lay.S_LEVER]
    wanted = 0.0
    if lever > DEAD_BAND:
        wanted = 1.0
    elif lever < -DEAD_BAND:
        wanted = -1.0
    if wanted != shaft[lay.S_GEAR]:
        if shaft[lay.S_GEAR] != 0.0:
            shaft[lay.S_GEAR] = 0.0
            shaft[lay.S_DWELL] = GEAR_DWELL_S
        elif shaft[lay.S_DWELL] <= 0.0:
            shaft[lay.S_GEAR] = wanted
    shaft[lay.S_DWELL] = max(shaft[lay.S_DWELL] - dt_s, 0.0)
    target = shaft_rps(lever, params)
    if shaft[lay.S_GEAR] == 0.0:
        target = params[lay.SP_IDLE_RPS]
    if failed > 0.0:
        target = 0.0
    shaft[lay.S_RPS] += (target - shaft[lay.S_RPS]) * dt_s / (SHAFT_LAG_S + dt_s)


@kernel
def thrust_n(u: float, gear: float, rps: float, params: FloatArray) -> float:
    """Return the thrust of one shaft [N], + ahead.

    Args:
        u: water speed along the shaft at the propeller [m/s].
        gear: -1, 0 or 1; in neutral the propeller only drags.
        rps: shaft speed [1/s].
        params: ``float64[SHAFT_PARAM_COLS]``.
    """
    if gear == 0.0:
        return -0.5 * RHO_WATER_KGPM3 * params[lay.SP_DISC] * params[lay.SP_PROP_CD] * u * abs(u)
    ratio = rps / params[lay.SP_MAX_RPS]
    fade = 1.0 - gear * u / max(params[lay.SP_ZERO_SPEED] * rps, 1e-6)
    fade = min(max(fade, -0.3), 1.25)
    thrust = params[lay.SP_BOLLARD] * ratio * ratio * fade
    if gear < 0.0:
        return -params[lay.SP_ASTERN] * thrust
    return thrust


@kernel
def shaft_wrench(
    u: float, r: float, helm_rad: float, shaft: FloatArray, params: FloatArray
) -> tuple[float, float, float]:
    """Return (X, Y, N) of one shaft, and leave its thrust in the state.

    An outboard turns with the helm and its thrust with it, ahead and astern. Going astern the propeller walks: a
    right-handed one pushes the stern to port, strongest at rest (sign and size are common practice,
    no source).
    """
    thrust = thrust_n(u - params[lay.SP_Y] * r, shaft[lay.S_GEAR], shaft[lay.S_RPS], params)
    shaft[lay.S_THRUST] = thrust
    side = 0.0
    if shaft[lay.S_GEAR] < 0.0:
        side = -params[lay.SP_HAND] * params[lay.SP_WALK] * abs(thrust) / (1.0 + abs(u) / 1.5)
    elif shaft[lay.S_GEAR] > 0.0:
        side = 0.15 * params[lay.SP_HAND] * params[lay.SP_WALK] * abs(thrust)
    turned = helm_rad * params[lay.SP_STEERS]
    c = math.cos(turned)
    s = math.sin(turned)
    x = c * thrust + s * side
    y = c * side - s * thrust
    return x, y, params[lay.SP_X] * y - params[lay.SP_Y] * x
