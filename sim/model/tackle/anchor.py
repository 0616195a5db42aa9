"""The anchor: it lands, tips, buries and rises with the distance it is dragged, holds, ploughs, veers, breaks out.

Nothing sets by dice: everything follows from how the chain pulls, except how an anchor takes a hard veer, which is
drawn once per veer from a seeded stream. What happens to it in the ground goes by metres dragged; only soaking and a
pull straight up go by seconds. Holding figures and rates are teaching values, sourced in their data files.
"""

import math

from sim.base.arrays import FloatArray
from sim.base.frames import wrap_pi
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.groups import Here, Tackle

DEPTH_POWER = 1.5  # holding over depth: 1 if its area alone went in, 3 for a pointed fluke in sand (judgement between)
LEVEL_RAD = math.radians(8.0)  # up to here a pull costs no depth (boating press, weak)
LIFTS_RAD = math.radians(30.0)  # from here on an anchor that is dragged comes right out (judgement)
NO_HOLD_DEG = 48.0  # judgement: so that 2:1 on rope holds about a third, as the press has it
RATE_PER_DECADE = 0.15  # more resistance at ten times the speed: clay 0.10 to 0.20, from memory; all ground: judgement
TEST_MPS = 0.05  # a few metres a minute, at which holding is measured (judgement)
VEER_RAD, OVER_RAD = math.radians(75.0), math.radians(165.0)  # a pull from aside may trip it from .. to (judgement)
FACED_RAD = 0.2  # within this it has come round
IN_GROUND = 0.02  # buried less, the shank swings as it lies
PULL_OUT_S = 1.5  # time constant of breaking out by a pull straight up (judgement)
HEAP_M = 3.0  # more chain than this on top of it keeps an anchor from tipping (judgement)
FOULED_SHARE = 0.3  # of its depth, where the chain wraps its shank (judgement)
COVER_SHARE = 0.5  # of its hold-down, felt sideways at any slope of the pull (judgement)
DRAG_MPS, DRAG_N = 0.03, 50.0  # faster than this under more than this it drags, else it lies or creeps (judgement)
ROCK_STIFF = 0.95
ROCK_HOOK = 0.8  # hooks on about a fifth of the ground (judgement)
LET_GO_M = 0.2  # a hook that gives is lost over this distance (judgement)
SLOPE_GAIN = 1.5  # uphill pulls hold more, downhill less (judgement)


@kernel
def uplift_factor(uplift_rad: float) -> float:
    """Return the share of horizontal holding left when the rode rises at ``uplift_rad`` from a buried anchor.

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
def depth_share(uplift_rad: float) -> float:
    """Return the share of its depth that an anchor dragged by a rode rising at ``uplift_rad`` comes to."""
    return min(max((LIFTS_RAD - uplift_rad) / (LIFTS_RAD - LEVEL_RAD), 0.0), 1.0)


@kernel
def entry_share(speed_mps: float, skate_mps: float) -> float:
    """Return the share of its depth that an anchor dragged so fast comes to.

    All of it up to half the ground's skating speed, two thirds at that speed, none at twice it (judgement).
    """
    return min(max((2.0 - speed_mps / skate_mps) / 1.5, 0.0), 1.0)


@kernel
def rate_factor(speed_mps: float) -> float:
    """Return the resistance of the ground at a speed over that at rest."""
    return 1.0 + RATE_PER_DECADE * math.log10(1.0 + speed_mps / TEST_MPS)


@kernel
def side_factor(off_rad: float, side: float) -> float:
    """Return the share of its holding left to a pull ``off_rad`` from the shank; ``side`` from abeam to astern."""
    return 1.0 - (1.0 - side) * min(1.0 - math.cos(off_rad), 1.0)


@kernel
def trip_odds(off_rad: float, trips: float) -> float:
    """Return the odds that a pull ``off_rad`` from the shank trips it: none to 75 degrees, ``trips`` from 165."""
    x = min(max((abs(off_rad) - VEER_RAD) / (OVER_RAD - VEER_RAD), 0.0), 1.0)
    return trips * x * x * (3.0 - 2.0 * x)


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
    bottom, on_bottom = here.bottom, here.on_bottom
    strength = max(1.0 + bottom[lay.G_PATCHY] * here.noise, 0.2)
    slope = max(1.0 + SLOPE_GAIN * here.rise, 0.3)
    depth = min(anchor[lay.A_BURIAL] / max(on_bottom[lay.AB_BURIAL_MAX], 1e-6), 1.0)
    ultimate = on_bottom[lay.AB_HOLD] * depth**DEPTH_POWER * strength * (1.0 - anchor[lay.A_CLOG])
    ultimate *= soak_factor(anchor[lay.A_SOAK], bottom)
    # A steep pull costs the fluke its hold, but a buried anchor must still be pulled through the ground that covers it.
    least = COVER_SHARE * bottom[lay.G_SUCTION]
    hold = ultimate * max(uplift_factor(anchor[lay.A_UPLIFT]), least) * slope
    hold *= side_factor(off_rad, params[lay.AP_SIDE]) * rate_factor(anchor[lay.A_SPEED])
    return params[lay.AP_SLIDE] * params[lay.AP_WEIGHT] + hold, bottom[lay.G_SUCTION] * ultimate


@kernel
def trip(anchor: FloatArray, params: FloatArray, chance: float) -> None:
    """Let it break out: it re-sets after some metres, or stays out until it is lifted, as ``chance`` has it."""
    stays = params[lay.AP_STAYS]
    anchor[lay.A_BURIAL] = 0.0
    anchor[lay.A_TIP] = 0.0
    if chance < stays:
        anchor[lay.A_VEER_STATE] = 3.0
        anchor[lay.A_VEER_LEFT] = 0.0
    else:
        anchor[lay.A_VEER_STATE] = 2.0
        anchor[lay.A_VEER_LEFT] = 1.0 + 4.0 * (chance - stays) / (1.0 - stays)


@kernel
def turn_shank(anchor: FloatArray, params: FloatArray, pull_bearing: float, draws: FloatArray, slid_m: float) -> None:
    """Turn the shank towards the pull: freely while it lies; in the ground only as it is dragged, or by tripping.

    One draw a veer says from how far aside a pull would trip it; what it never feels from so far aside it follows.
    """
    off = wrap_pi(pull_bearing - anchor[lay.A_SHANK])
    if anchor[lay.A_BURIAL] < IN_GROUND or anchor[lay.A_VEER_STATE] >= 2.0:
        anchor[lay.A_SHANK] = pull_bearing
        return
    if slid_m <= 0.0:
        return
    if abs(off) > VEER_RAD and anchor[lay.A_VEER_STATE] == 0.0:
        anchor[lay.A_VEER_STATE] = 1.0
        anchor[lay.A_VEER_LEFT] = draws[(2 * int(anchor[lay.A_VEERS])) % draws.shape[0]]
        anchor[lay.A_VEERS] += 1.0
    if anchor[lay.A_VEER_STATE] == 1.0 and anchor[lay.A_VEER_LEFT] < trip_odds(off, params[lay.AP_TRIPS]):
        trip(anchor, params, draws[(2 * int(anchor[lay.A_VEERS]) - 1) % draws.shape[0]])
        return
    anchor[lay.A_SHANK] += off * (1.0 - math.exp(-slid_m / (params[lay.AP_TURN] * params[lay.AP_FLUKE])))
    if abs(off) < FACED_RAD and anchor[lay.A_VEER_STATE] == 1.0:
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
def hook(anchor: FloatArray, params: FloatArray, deepest: float, slid_m: float, noise: float) -> None:
    """Let it hook on rock where there is something to hook on, and let go with a jump when it is pulled off."""
    if anchor[lay.A_BURIAL] > 0.0:
        anchor[lay.A_BURIAL] *= math.exp(-slid_m / LET_GO_M)
        if anchor[lay.A_BURIAL] < 0.1 * deepest:
            anchor[lay.A_BURIAL] = 0.0
            anchor[lay.A_TIP] = -params[lay.AP_FLUKE] * params[lay.AP_SELF_TIPS]
    elif noise > ROCK_HOOK:
        anchor[lay.A_BURIAL] = deepest


@kernel
def bury(anchor: FloatArray, params: FloatArray, here: Here, off_rad: float, slid_m: float, dt_s: float) -> None:
    """Change tipping, burial, clogging and soak by the distance slid in this step, in place.

    Dragged on and on, it comes to the depth that slope, side and speed of the pull allow, from above or from below.
    """
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
    if params[lay.AP_SELF_TIPS] > 0.0 and free and anchor[lay.A_TIP] >= 0.0:
        anchor[lay.A_TIP] = fluke
    if anchor[lay.A_TIP] < fluke:
        if free:
            anchor[lay.A_TIP] += slid_m
        anchor[lay.A_BURIAL] = 0.0
        return
    deepest = here.on_bottom[lay.AB_BURIAL_MAX] * (1.0 - anchor[lay.A_CLOG])
    if anchor[lay.A_ATTITUDE] == lay.FOULED:
        deepest = min(deepest, FOULED_SHARE * here.on_bottom[lay.AB_BURIAL_MAX])
    if bottom[lay.G_STIFF] >= ROCK_STIFF:
        hook(anchor, params, deepest, slid_m, here.noise)
        return
    sought = deepest * depth_share(anchor[lay.A_UPLIFT]) * max(math.cos(off_rad), 0.0)
    sought *= entry_share(anchor[lay.A_SPEED], bottom[lay.G_SKATE])
    reach = bottom[lay.G_BURY_FLUKES] * fluke
    anchor[lay.A_BURIAL] = sought + (anchor[lay.A_BURIAL] - sought) * math.exp(-slid_m / reach)


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
    off = 0.0
    if pull > 20.0:
        bearing = math.atan2(pull_east_n, pull_north_n)
        turn_shank(anchor, params, bearing, tackle.draws, slid_m)
        off = wrap_pi(bearing - anchor[lay.A_SHANK])
    if slid_m > 0.0:
        foul(anchor, tackle.draws)
    bury(anchor, params, here, off, slid_m, dt_s)
    judge_attitude(anchor, params)
    hold, down = resistance_n(anchor, params, here, off)
    if pull_up_n > params[lay.AP_WEIGHT] + down:
        anchor[lay.A_BURIAL] -= anchor[lay.A_BURIAL] * dt_s / PULL_OUT_S
        if anchor[lay.A_BURIAL] < IN_GROUND:
            anchor[lay.A_BURIAL] = 0.0
            down = 0.0
    anchor[lay.A_CAP_H] = hold
    anchor[lay.A_CAP_V] = down
