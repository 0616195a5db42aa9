"""The watch's orders: what each looks at, when it calls, and when it is quiet again."""

import math

from sim.base.arrays import FloatArray
from sim.base.frames import wrap_pi
from sim.base.kernel import kernel
from sim.base.units import TICK_HZ
from sim.core import state as st
from sim.core.clock import FIX_TICKS
from sim.model import layout as lay

QUIET_S = 600.0  # on watch, after a call, before the same order calls again (judgement)
UNBROKEN_S = 60.0  # of it, whatever comes: somebody is up already
STEPS = (5.0, 2.5, 0.35, 5.0)  # worse by so much an order calls again: m, m/s, rad, m (judgement)
NOW_S, MEAN_S = 10.0, 300.0  # what the watch takes for the wind, and for its direction (judgement)
WHYS = ("drag", "wind", "shift", "near")


@kernel
def beyond_reach_m(
    boat: FloatArray, hull: FloatArray, line: FloatArray, places: FloatArray, fix: tuple[float, float]
) -> float:
    """Return how far the fix of the antenna lies beyond what rode and boat can reach from the anchor's mark [m]."""
    height = boat[lay.B_DEPTH] + hull[lay.H_ROLLER_Z]
    out = line[lay.L_OUT] * line[lay.L_COUNTER_SCALE]
    reach = math.sqrt(max(out * out - height * height, 0.0)) + (hull[lay.H_ROLLER_X] - hull[lay.H_ANTENNA_X])
    return float(math.hypot(fix[0] - places[st.P_MARK_N], fix[1] - places[st.P_MARK_E]) - reach)


@kernel
def watch_values(
    boat: FloatArray,
    hull: FloatArray,
    line: FloatArray,
    places: FloatArray,
    watch: FloatArray,
    fix: tuple[float, float],
    found: FloatArray,
) -> None:
    """Write what each of the watch's orders looks at into ``found``, ``float64[4]``: drag, wind, shift, gap."""
    found[st.V_DRAG] = beyond_reach_m(boat, hull, line, places, fix)
    found[st.V_WIND] = math.hypot(watch[st.V_NOW_N], watch[st.V_NOW_E])
    found[st.V_SHIFT] = 0.0
    if watch[st.V_SINCE] > MEAN_S:
        was = math.atan2(watch[st.V_FROM_E], watch[st.V_FROM_N])
        found[st.V_SHIFT] = abs(wrap_pi(math.atan2(watch[st.V_MEAN_E], watch[st.V_MEAN_N]) - was))
    found[st.V_NEAR] = watch[st.V_GAP]


@kernel
def settle(watch: FloatArray, rung: FloatArray, found: FloatArray) -> None:
    """Let a fix's time pass for what has called: the quiet runs out; what has gone back by half a step is forgotten."""
    for k in range(4):
        rung[k, st.R_QUIET] = max(rung[k, st.R_QUIET] - FIX_TICKS / TICK_HZ, 0.0)
        back = found[k] - watch[k] if k == st.V_NEAR else watch[k] - found[k]
        if (int(watch[st.V_CALLED]) >> k) & 1 == 1 and back > 0.5 * STEPS[k]:
            watch[st.V_CALLED] = float(int(watch[st.V_CALLED]) - (1 << k))


@kernel
def calls(watch: FloatArray, rung: FloatArray, found: FloatArray) -> int:
    """Return the first of the watch's orders that is to call now, -1 for none.

    One that has come true. After its call there is a quiet time, broken after a minute by what is worse by a step than
    it was then; when it is over one that has cleared (``settle``) and come back calls again too.
    """
    for k in range(4):
        over = watch[k] - found[k] if k == st.V_NEAR else found[k] - watch[k]
        if watch[k] <= 0.0 or over <= 0.0:
            continue
        quiet_s = rung[k, st.R_QUIET]
        called = (int(watch[st.V_CALLED]) >> k) & 1 == 1
        if not called and quiet_s <= 0.0:
            return k
        worse = rung[k, st.R_AT] - found[k] if k == st.V_NEAR else found[k] - rung[k, st.R_AT]
        if worse > STEPS[k] and quiet_s <= QUIET_S - UNBROKEN_S:
            return k
    return -1


@kernel
def look_at_wind(boat: FloatArray, watch: FloatArray, passed_s: float) -> None:
    """Follow the wind as a watch does: of the last seconds, and its direction over the last minutes."""
    if watch[st.V_SINCE] == 0.0:
        watch[st.V_NOW_N] = watch[st.V_MEAN_N] = boat[lay.B_WIND_N]
        watch[st.V_NOW_E] = watch[st.V_MEAN_E] = boat[lay.B_WIND_E]
    before = watch[st.V_SINCE]
    watch[st.V_SINCE] += passed_s
    watch[st.V_NOW_N] += (boat[lay.B_WIND_N] - watch[st.V_NOW_N]) * passed_s / NOW_S
    watch[st.V_NOW_E] += (boat[lay.B_WIND_E] - watch[st.V_NOW_E]) * passed_s / NOW_S
    watch[st.V_MEAN_N] += (boat[lay.B_WIND_N] - watch[st.V_MEAN_N]) * passed_s / MEAN_S
    watch[st.V_MEAN_E] += (boat[lay.B_WIND_E] - watch[st.V_MEAN_E]) * passed_s / MEAN_S
    if before <= MEAN_S < watch[st.V_SINCE]:
        watch[st.V_FROM_N] = watch[st.V_MEAN_N]
        watch[st.V_FROM_E] = watch[st.V_MEAN_E]


@kernel
def call(watch: FloatArray, rung: FloatArray, found: FloatArray) -> int:
    """Let every order that is to call now call, in place, and return which did: bit 1 << k for the order k."""
    called = 0
    which = calls(watch, rung, found)
    while which >= 0:
        watch[st.V_CALLED] = float(int(watch[st.V_CALLED]) | (1 << which))
        rung[which, st.R_QUIET] = QUIET_S
        rung[which, st.R_AT] = found[which]
        called |= 1 << which
        which = calls(watch, rung, found)
    return called
