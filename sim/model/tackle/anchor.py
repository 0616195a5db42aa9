"""The anchor: it lands, tips, buries with the distance it is dragged under load, holds, drags, veers, breaks out.

Nothing sets by dice: everything follows from how the chain pulls, except how an anchor takes a hard veer, which is
drawn once per veer from a seeded stream. Holding figures and rates are teaching values, sourced in their data files.
"""

import math

from sim.base.arrays import FloatArray
from sim.base.frames import wrap_pi
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.groups import Here, Tackle

VEER_RAD = math.radians(45.0)  # beyond this an anchor may trip (judgement)
VEER_LEAST_N = 150.0  # a lighter pull does not trouble a buried anchor (judgement)
TURN_RADPS = math.radians(1.5)  # how fast a buried anchor screws itself round under load (judgement)
NO_BURIAL_RAD = math.radians(32.0)  # a steeper pull lifts the shank instead of burying the fluke (judgement)
NO_HOLD_DEG = 48.0  # judgement, with the angle above: so that 2:1 on rope holds about a third, as the press has it
PULL_OUT_S = 1.5  # time constant of breaking out (judgement)
SKATE_S = 1.0  # time constant of skating out when dragged fast (judgement)
HEAP_M = 3.0  # more chain than this on top of it keeps an anchor from tipping (judgement)
COVER_SHARE = 0.5  # of its hold-down, felt sideways at any slope of the pull (judgement)
DRAG_MPS, DRAG_N = 0.03, 50.0  # faster than this under more than this it drags, else it lies or creeps (judgement)
ROCK_STIFF = 0.95
ROCK_HOOK = 0.8  # hooks on about a fifth of the ground (judgement)
SLOPE_GAIN = 1.5  # uphill pulls hold more, downhill less (judgement)


@kernel
def uplift_factor(uplift_rad: float) -> float:
    """Return the share of horizontal holding left when the rode rises at ``uplift_rad`` from the anchor.

    1.00, 0.81, 0.60 at 0, 6, 12 degrees (NCEL's rule, from memory), then falling to nothing at 48 degrees (judgement).
    An older British rule, 0.75 at 5 and 0.50 at 15 degrees, disagrees; this one is used throughout.
    """
    t = math.degrees(max(uplift_rad, 0.0))
    if t < 6.0:
        return 1.0 - 0.19 * t / 6.0
    if t < 12.0:
        return 0.81 - 0.21 * (t - 6.0) / 6.0
    return max(0.60 * (1.0 - (t - 12.0) / (NO_HOLD_DEG - 12.0)), 0.0)


@kernel
def soak_factor(soak_s: float, bottom: FloatArray) -> float:
    """Return the share of strength the ground has regained after ``soak_s`` at rest; grows with log time."""
    least = bottom[lay.G_UNSOAKED]
    full = max(bottom[lay.G_SOAK_S], 1.0)
    share = min(math.log1p(soak_s / 60.0) / math.log1p(full / 60.0), 1.0)
    return least + (1.0 - least) * share


@kernel
def resistance_n(anchor: FloatArray, params: FloatArray, here: Here, off_rad: float) -> tuple[float, float]:
    """Return (horizontal resistance, hold-down) of an anchor on the ground [N].

    Args:
        anchor: ``float64[ANCHOR_COLS]``.
        params: ``float64[ANCHOR_PARAM_COLS]``.
        here: the ground it lies on.
        off_rad: angle between pull and shank, seen from above.
    """
    bottom = here.bottom
    strength = max(1.0 + bottom[lay.G_PATCHY] * here.noise, 0.2)
    align = max(0.5 + 0.5 * math.cos(off_rad), 0.1)
    slope = max(1.0 + SLOPE_GAIN * here.rise, 0.3)
    ultimate = here.on_bottom[lay.AB_HOLD] * anchor[lay.A_BURIAL] * strength * (1.0 - anchor[lay.A_CLOG])
    ultimate *= soak_factor(anchor[lay.A_SOAK], bottom)
    # A steep pull costs the fluke its hold, but a buried anchor must still be pulled through the ground that covers it.
    least = COVER_SHARE * bottom[lay.G_SUCTION]
    hold = ultimate * max(uplift_factor(anchor[lay.A_UPLIFT]), least) * align * slope
    return params[lay.AP_SLIDE] * params[lay.AP_WEIGHT] + hold, bottom[lay.G_SUCTION] * ultimate


@kernel
def veer(anchor: FloatArray, params: FloatArray, draws: FloatArray) -> None:
    """Answer a pull from another side, once per veer.

    The odds are a published veer-and-reset test's (popular press): about a third never broke out, a third re-set
    after a while, two did not.
    """
    count = int(anchor[lay.A_VEERS])
    chance = draws[(2 * count) % draws.shape[0]]
    anchor[lay.A_VEERS] = count + 1
    if chance < params[lay.AP_P_TURN]:
        anchor[lay.A_VEER_STATE] = 1.0
    else:
        anchor[lay.A_VEER_STATE] = 2.0 if chance < params[lay.AP_P_TURN] + params[lay.AP_P_RESET] else 3.0
        anchor[lay.A_VEER_LEFT] = 1.0 + 4.0 * draws[(2 * count + 1) % draws.shape[0]]
        anchor[lay.A_BURIAL] = 0.0
        anchor[lay.A_TIP] = 0.0


@kernel
def turn_shank(anchor: FloatArray, pull_bearing: float, draws: FloatArray, params: FloatArray, dt_s: float) -> None:
    """Turn the shank towards the pull: freely while it lies, slowly in the ground, or by tripping on a hard veer."""
    off = wrap_pi(pull_bearing - anchor[lay.A_SHANK])
    if anchor[lay.A_BURIAL] < 0.02 or anchor[lay.A_VEER_STATE] >= 2.0:
        anchor[lay.A_SHANK] = pull_bearing
        return
    if abs(off) > VEER_RAD and anchor[lay.A_VEER_STATE] == 0.0 and anchor[lay.A_LOAD] > VEER_LEAST_N:
        veer(anchor, params, draws)
    if anchor[lay.A_LOAD] > 0.3 * VEER_LEAST_N:
        step = TURN_RADPS * dt_s
        anchor[lay.A_SHANK] += max(-step, min(step, off))
    if abs(off) < 0.2 and anchor[lay.A_VEER_STATE] == 1.0:
        anchor[lay.A_VEER_STATE] = 0.0


@kernel
def foul(anchor: FloatArray, draws: FloatArray) -> None:
    """Draw once, when a heap lies on an anchor and the pull first moves it, whether the chain wraps its shank.

    The odds grow with the heap, to six in ten (judgement). A wrapped anchor buries little until it is lifted.
    """
    if anchor[lay.A_FOUL_DRAWN] > 0.0 or anchor[lay.A_HEAP] < HEAP_M:
        return
    anchor[lay.A_FOUL_DRAWN] = 1.0
    count = int(anchor[lay.A_VEERS])
    anchor[lay.A_VEERS] = count + 1
    if draws[(2 * count) % draws.shape[0]] < min(anchor[lay.A_HEAP] / 30.0, 0.6):
        anchor[lay.A_ATTITUDE] = lay.FOULED


@kernel
def bury(anchor: FloatArray, params: FloatArray, here: Here, slid_m: float, dt_s: float) -> None:
    """Change tipping, burial, clogging and soak by the distance slid in this step, in place."""
    bottom = here.bottom
    anchor[lay.A_DRAG] += slid_m
    anchor[lay.A_CLOG] = min(anchor[lay.A_CLOG] + slid_m * bottom[lay.G_CLOG_PER_M], 1.0)
    anchor[lay.A_SOAK] = (anchor[lay.A_SOAK] + dt_s) * math.exp(-slid_m)
    fluke = params[lay.AP_FLUKE]
    if anchor[lay.A_VEER_STATE] == 2.0:
        anchor[lay.A_VEER_LEFT] -= slid_m
        if anchor[lay.A_VEER_LEFT] <= 0.0:
            anchor[lay.A_VEER_STATE] = 0.0
    free = anchor[lay.A_VEER_STATE] < 2.0 and anchor[lay.A_HEAP] < HEAP_M
    if params[lay.AP_SELF_TIPS] > 0.0 and free:
        anchor[lay.A_TIP] = fluke
    if anchor[lay.A_TIP] < fluke:
        if free:
            anchor[lay.A_TIP] += slid_m
        anchor[lay.A_BURIAL] = 0.0
        return
    deepest = here.on_bottom[lay.AB_BURIAL_MAX] * (1.0 - anchor[lay.A_CLOG])
    if anchor[lay.A_ATTITUDE] == lay.FOULED:
        deepest = min(deepest, 0.3)
    if bottom[lay.G_STIFF] >= ROCK_STIFF:
        anchor[lay.A_BURIAL] = deepest if here.noise > ROCK_HOOK else 0.0
        return
    burial = anchor[lay.A_BURIAL]
    reach = bottom[lay.G_BURY_FLUKES] * fluke
    lean = 1.0 - max(anchor[lay.A_UPLIFT], 0.0) / NO_BURIAL_RAD
    if anchor[lay.A_SPEED] > bottom[lay.G_SKATE]:
        burial -= burial * dt_s / SKATE_S
    elif lean > 0.0:
        burial += (deepest - burial) * lean * slid_m / reach
    else:
        burial += burial * max(lean, -1.0) * slid_m / reach
    anchor[lay.A_BURIAL] = min(max(burial, 0.0), 1.0)


@kernel
def is_dragging(anchor: FloatArray) -> bool:
    """Return whether an anchor on the ground moves over it under load."""
    moves = anchor[lay.A_SPEED] > DRAG_MPS and anchor[lay.A_LOAD] > DRAG_N
    return bool(moves and anchor[lay.A_ATTITUDE] > lay.HANGING)


@kernel
def judge_attitude(anchor: FloatArray, params: FloatArray) -> None:
    """Name what the anchor is doing, for events, crew and pictures."""
    if anchor[lay.A_ATTITUDE] == lay.FOULED:
        return
    if anchor[lay.A_CLOG] > 0.6:
        anchor[lay.A_ATTITUDE] = lay.CLOGGED
    elif anchor[lay.A_VEER_STATE] >= 2.0:
        anchor[lay.A_ATTITUDE] = lay.TURNED
    elif anchor[lay.A_TIP] < params[lay.AP_FLUKE]:
        anchor[lay.A_ATTITUDE] = lay.TIPPING if anchor[lay.A_TIP] > 0.02 else lay.LYING
    elif is_dragging(anchor):
        anchor[lay.A_ATTITUDE] = lay.DRAGGING
    else:
        anchor[lay.A_ATTITUDE] = lay.SET


@kernel
def step_anchor(
    anchor: FloatArray, tackle: Tackle, here: Here, pull_n: tuple[float, float, float], slid_m: float, dt_s: float
) -> None:
    """Move an anchor that lies on the ground one step on, in place; its resistance is left in A_CAP_H and A_CAP_V.

    Args:
        anchor: ``float64[ANCHOR_COLS]``.
        tackle: what it and its rode are.
        here: the ground it lies on.
        pull_n: (north, east, up) of the chain at the shackle.
        slid_m: how far it slid over the ground in the last step.
        dt_s: the step.
    """
    params = tackle.anchor
    pull_north_n, pull_east_n, pull_up_n = pull_n
    pull = math.sqrt(pull_north_n * pull_north_n + pull_east_n * pull_east_n)
    anchor[lay.A_PULL_H] = pull
    anchor[lay.A_LOAD] += (pull - anchor[lay.A_LOAD]) * dt_s / (1.0 + dt_s)
    anchor[lay.A_UPLIFT] = math.atan2(max(pull_up_n, 0.0), max(pull, 1e-9)) if pull + pull_up_n > 20.0 else 0.0
    anchor[lay.A_SPEED] += (slid_m / dt_s - anchor[lay.A_SPEED]) * dt_s / (0.25 + dt_s)
    if pull > 20.0:
        turn_shank(anchor, math.atan2(pull_east_n, pull_north_n), tackle.draws, params, dt_s)
    if slid_m > 0.0:
        foul(anchor, tackle.draws)
    bury(anchor, params, here, slid_m, dt_s)
    judge_attitude(anchor, params)
    off = 0.0
    if pull > 20.0:
        off = wrap_pi(math.atan2(pull_east_n, pull_north_n) - anchor[lay.A_SHANK])
    hold, down = resistance_n(anchor, params, here, off)
    if pull_up_n > params[lay.AP_WEIGHT] + down:
        anchor[lay.A_BURIAL] -= anchor[lay.A_BURIAL] * dt_s / PULL_OUT_S
        if anchor[lay.A_BURIAL] < 0.02:
            anchor[lay.A_BURIAL] = 0.0
            down = 0.0
    anchor[lay.A_CAP_H] = hold
    anchor[lay.A_CAP_V] = down
