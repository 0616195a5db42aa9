"""Windlass: motor, clutch or brake, stopper, and the free-running gypsy."""

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model import layout as lay

GYPSY_KG = 40.0  # effective mass of gypsy, shaft and the chain in the locker that follows (judgement)
FREE_FRICTION_N = 40.0  # judgement
FREE_DRAG = 90.0  # N s/m, chain clattering over the gypsy; sets free fall near 2 m/s (judgement)
FASTEST_MPS = 5.0
MOTOR_LAG_S = 0.3
HEAT_S = 90.0  # heaving at the stall limit this long trips the breaker (judgement)
COOL_S = 300.0
HOME_M = 0.3
ALL_OUT_M = 0.01  # as near its end as this, all of it is out
TRIPPED, AT_PRESET = 1, 2  # what a windlass does of itself


@kernel
def motor_rate_mps(motion: float, tension_n: float, params: FloatArray) -> float:
    """Return the rate the motor makes of its switch: + out; heaving it slows with the load and stalls.

    Lowering runs at the rated speed whatever hangs there (a worm drive does not run away).
    """
    rated = params[lay.LP_MOTOR_RATE]
    if motion > 0.0:
        return rated
    if motion < 0.0:
        return -rated * max(1.0 - tension_n / params[lay.LP_MOTOR_STALL], 0.0)
    return 0.0


@kernel
def stop_of_itself(line: FloatArray) -> int:
    """Stop a windlass that has tripped or has come to the length it was to stop at, in place; return what it did."""
    did = 0
    if line[lay.L_TRIPPED] > 0.0 and line[lay.L_MOTION] != 0.0:
        line[lay.L_MOTION] = 0.0
        did |= TRIPPED
    preset = line[lay.L_PRESET]
    if preset > 0.0 and line[lay.L_MOTION] > 0.0 and line[lay.L_OUT] >= preset:
        line[lay.L_MOTION] = 0.0
        did |= AT_PRESET
    return did


@kernel
def is_all_out(line: FloatArray, params: FloatArray) -> bool:
    """Return whether all the rode that is carried is out."""
    return bool(line[lay.L_OUT] >= params[lay.LP_CARRIED] - ALL_OUT_M)


@kernel
def lose_bitter_end(line: FloatArray, params: FloatArray) -> bool:
    """Let a rode go that is all out and whose bitter end is not made fast, in place; return whether it went."""
    if not is_all_out(line, params) or params[lay.LP_BITTER_FAST] > 0.0 or line[lay.L_LOST] > 0.0:
        return False
    line[lay.L_LOST] = 1.0
    line[lay.L_COUNT] = 0.0
    for k in (lay.L_FN, lay.L_FE, lay.L_FZ, lay.L_YAW, lay.L_TENSION):
        line[k] = 0.0
    return True


@kernel
def run_windlass(
    line: FloatArray, params: FloatArray, depth_m: float, hanging_kg: float, failed: float, dt_s: float
) -> None:
    """Set the pay-out rate for the coming step from switch, brake, stopper and load, in place.

    Args:
        line: ``float64[LINE_COLS]``.
        params: ``float64[LINE_PARAM_COLS]``.
        depth_m: roller to bed.
        hanging_kg: mass of the anchor while it is off the bed, else 0.
        failed: 1 when the windlass has no power.
        dt_s: the step.
    """
    tension = line[lay.L_TENSION]
    motion = line[lay.L_MOTION]
    if failed > 0.0 or line[lay.L_TRIPPED] > 0.0:
        motion = 0.0
    rate = line[lay.L_RATE]
    before = rate
    if line[lay.L_STOPPER] > 0.0 and tension > params[lay.LP_STOPPER_LIMIT]:
        line[lay.L_STOPPER] = 0.0  # it has bent or torn out
    if line[lay.L_STOPPER] > 0.0:
        rate = 0.0
    elif motion != 0.0 and line[lay.L_BRAKE] > 0.5:
        target = motor_rate_mps(motion, tension, params)
        rate += (target - rate) * dt_s / (MOTOR_LAG_S + dt_s)
    else:
        # A taut hanging chain speeds up with the gypsy: counting its mass here keeps the explicit step stable.
        hanging = params[lay.LP_MASS] * min(line[lay.L_OUT], depth_m) + hanging_kg
        grip = line[lay.L_BRAKE] * params[lay.LP_CLUTCH] + FREE_FRICTION_N
        pull = tension + hanging * line[lay.L_ACCEL]
        mass = GYPSY_KG + hanging
        if rate <= 0.0 and pull <= grip:
            rate = 0.0
        else:
            rate = max(rate, 0.0) + dt_s * (pull - grip - FREE_DRAG * max(rate, 0.0)) / mass
            rate = min(max(rate, 0.0), FASTEST_MPS)
    if rate > 0.0 and line[lay.L_OUT] + rate * dt_s >= params[lay.LP_CARRIED]:
        rate = max((params[lay.LP_CARRIED] - line[lay.L_OUT]) / dt_s, 0.0)
    line[lay.L_RATE] = rate
    line[lay.L_ACCEL] = (rate - before) / dt_s
    warming = dt_s / HEAT_S * tension / params[lay.LP_MOTOR_STALL] if motion < 0.0 else -dt_s / COOL_S
    line[lay.L_HEAT] = max(line[lay.L_HEAT] + warming, 0.0)
    if line[lay.L_HEAT] >= 1.0:
        line[lay.L_TRIPPED] = 1.0
    elif line[lay.L_HEAT] < 0.5:
        line[lay.L_TRIPPED] = 0.0
