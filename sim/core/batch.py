"""The watch's kernel: many steps of a night in one compiled call, by the laws of the live tick at a coarser step.

A block is a fifth of a second: three steps of the own boat and her rodes, one of the other boats, one look round. The
call ends early where something has happened that must be told, or where hulls could touch.
"""

import math

from sim.base.arrays import FloatArray, IntArray
from sim.base.frames import to_world, wrap_pi
from sim.base.kernel import kernel
from sim.core import state as st
from sim.core.contact import find_near, keel_line, segment_gap
from sim.core.world import LOG_BOAT, LOG_GAP, LOG_PULL, LOG_UPLIFT
from sim.model import layout as lay
from sim.model.boat import advance_own, work_controls
from sim.model.fix import fix_error_m
from sim.model.fleet import advance_fleet
from sim.model.ground import feel_ground
from sim.model.params import Air, Streams, Swell
from sim.model.rode import step_rode
from sim.model.wash import feel_wash, wash_boats
from sim.model.water import float_boats, tide_height_m
from sim.model.waves import heave_bow
from sim.model.wind import blow

BLOCK_TICKS = 12
OWN_STEPS = 3  # a block: 15 a second, the other boats 5
OWN_DT_S, BLOCK_S = 1.0 / 15.0, 0.2
QUIET_S = 600.0  # on watch, after a call, before the same order calls again (judgement)
UNBROKEN_S = 60.0  # of it, whatever comes: somebody is up already
STEPS = (5.0, 2.5, 0.35, 5.0)  # worse by so much an order calls again: m, m/s, rad, m (judgement)
PASSES = 2  # a third moves no load by half a per cent (windrode night-fidelity)
OTHERS_TICKS = 60  # wind and water at the other boats: the quickest gust takes two seconds
FIX_TICKS = 60
NOW_S, MEAN_S = 10.0, 300.0  # what the watch takes for the wind, and for its direction (judgement)
FAR_M = 1e6


@kernel
def nearest(boats: FloatArray, hulls: FloatArray) -> tuple[float, int]:
    """Return the least gap from the own hull to another [m], between centre lines less half beams, and whose."""
    least = FAR_M
    whose = 0
    an, ae, bn, be = keel_line(boats[0], hulls[0])
    for i in range(1, boats.shape[0]):
        if boats[i, lay.B_AWAY] > 0.0:
            continue
        dn = boats[i, lay.B_NORTH] - boats[0, lay.B_NORTH]
        de = boats[i, lay.B_EAST] - boats[0, lay.B_EAST]
        half = 0.5 * (hulls[i, lay.H_BEAM] + hulls[0, lay.H_BEAM])
        if math.hypot(dn, de) - 0.5 * (hulls[i, lay.H_LOA] + hulls[0, lay.H_LOA]) - half > least:
            continue
        cn, ce, fn, fe = keel_line(boats[i], hulls[i])
        gap = max(segment_gap(an, ae, bn, be, cn, ce, fn, fe) - half, 0.0)
        if gap < least:
            least = gap
            whose = i
    return least, whose


@kernel
def beyond_reach_m(
    boat: FloatArray, hull: FloatArray, line: FloatArray, places: FloatArray, fix_n: float, fix_e: float, aft_m: float
) -> float:
    """Return how much further the fix, ``aft_m`` abaft the roller, lies from the anchor's mark than they reach [m]."""
    height = boat[lay.B_DEPTH] + hull[lay.H_ROLLER_Z]
    out = line[lay.L_OUT] * line[lay.L_COUNTER_SCALE]
    reach = math.sqrt(max(out * out - height * height, 0.0)) + aft_m
    return math.hypot(fix_n - places[st.P_MARK_N], fix_e - places[st.P_MARK_E]) - reach


@kernel
def watch_values(
    boats: FloatArray,
    hull: FloatArray,
    line: FloatArray,
    places: FloatArray,
    watch: FloatArray,
    fix_n: float,
    fix_e: float,
    aft_m: float,
    found: FloatArray,
) -> None:
    """Write what each of the watch's orders looks at into ``found``, ``float64[4]``: drag, wind, shift, gap."""
    found[st.V_DRAG] = beyond_reach_m(boats[0], hull, line, places, fix_n, fix_e, aft_m)
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
        rung[k, st.R_QUIET] = max(rung[k, st.R_QUIET] - FIX_TICKS / 60.0, 0.0)
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
def look_at_wind(boat: FloatArray, watch: FloatArray) -> None:
    """Follow the wind as a watch does: of the last seconds, and its direction over the last minutes."""
    if watch[st.V_SINCE] == 0.0:
        watch[st.V_NOW_N] = watch[st.V_MEAN_N] = boat[lay.B_WIND_N]
        watch[st.V_NOW_E] = watch[st.V_MEAN_E] = boat[lay.B_WIND_E]
    before = watch[st.V_SINCE]
    watch[st.V_SINCE] += BLOCK_S
    watch[st.V_NOW_N] += (boat[lay.B_WIND_N] - watch[st.V_NOW_N]) * BLOCK_S / NOW_S
    watch[st.V_NOW_E] += (boat[lay.B_WIND_E] - watch[st.V_NOW_E]) * BLOCK_S / NOW_S
    watch[st.V_MEAN_N] += (boat[lay.B_WIND_N] - watch[st.V_MEAN_N]) * BLOCK_S / MEAN_S
    watch[st.V_MEAN_E] += (boat[lay.B_WIND_E] - watch[st.V_MEAN_E]) * BLOCK_S / MEAN_S
    if before <= MEAN_S < watch[st.V_SINCE]:
        watch[st.V_FROM_N] = watch[st.V_MEAN_N]
        watch[st.V_FROM_E] = watch[st.V_MEAN_E]


@kernel
def to_be_told(
    boats: FloatArray,
    fleet: FloatArray,
    lines: FloatArray,
    line_params: FloatArray,
    anchors: FloatArray,
    memory: FloatArray,
) -> bool:
    """Return whether ground tackle, keel or another boat have done something that must become an event."""
    for i in range(1, fleet.shape[0]):
        if fleet[i, lay.Q_STATE] != fleet[i, lay.Q_TOLD]:
            return True
    for k in range(lines.shape[0]):
        if anchors[k, lay.A_ATTITUDE] != memory[k, st.M_ATTITUDE]:
            return True
        if lines[k, lay.L_COUNT] == 0.0:
            continue
        moves = anchors[k, lay.A_SPEED] > 0.03 and anchors[k, lay.A_LOAD] > 50.0
        if moves and memory[k, st.M_MOVING] == 0.0:
            return True
        if (lines[k, lay.L_HOOK] >= 0.0) != (memory[k, st.M_HOOKED] > 0.0):
            return True
        if lines[k, lay.L_STOPPER] != memory[k, st.M_STOPPED]:
            return True
        if lines[k, lay.L_RATE] > 0.02 and memory[k, st.M_SLIPPING] == 0.0:
            return True
        if lines[k, lay.L_OUT] >= line_params[k, lay.LP_CARRIED] - 0.01 and memory[k, st.M_ALL_OUT] == 0.0:
            return True
    aground = boats[0, lay.B_GROUND] > 0.0
    noted = memory[0, st.M_AGROUND] > 0.0
    return bool(aground != noted)


@kernel
def run_blocks(
    tick: int,
    most: int,
    boats: FloatArray,
    control: FloatArray,
    shafts: FloatArray,
    lines: FloatArray,
    nodes: FloatArray,
    anchors: FloatArray,
    fleet: FloatArray,
    episodes: FloatArray,
    episode_count: int,
    places: FloatArray,
    alarm: bool,
    memory: FloatArray,
    faults: FloatArray,
    watch: FloatArray,
    rung: FloatArray,
    hulls: FloatArray,
    foils: FloatArray,
    rudders: FloatArray,
    shaft_params: FloatArray,
    limits: FloatArray,
    tables: FloatArray,
    pulls: FloatArray,
    line_params: FloatArray,
    anchor_params: FloatArray,
    on_bottoms: FloatArray,
    draws: FloatArray,
    bottoms: FloatArray,
    bottom: IntArray,
    snags: FloatArray,
    noise: FloatArray,
    raster: FloatArray,
    depth: FloatArray,
    shore: FloatArray,
    tide: FloatArray,
    streams: Streams,
    swell: Swell,
    air: Air,
    antenna_x_m: float,
    fix_phases: FloatArray,
    roller: FloatArray,
    legs: FloatArray,
    work: FloatArray,
    found: FloatArray,
    near: IntArray,
    log: FloatArray,
) -> int:
    """Run up to ``most`` blocks from ``tick`` on, in place, and return how many; arrays as in ``layout`` and ``state``.

    ``line_params``, ``anchor_params`` and ``on_bottoms`` have a row per rode. ``log`` (``float64[3 most, LOG_COLS]``)
    gets a row for every step of the own boat; ``near`` is left as ``find_near`` marks it.
    """
    aft_m = hulls[0, lay.H_ROLLER_X] - antenna_x_m
    for block in range(most):
        t_s = tick / 60.0
        count = boats.shape[0] if tick % OTHERS_TICKS == 0 else 1
        blow(boats[:count], t_s, air, episodes, episode_count)
        float_boats(boats[:count], hulls, t_s, tide_height_m(t_s, tide), streams, raster, depth)
        feel_ground(boats[:1], raster, bottom, bottoms, BLOCK_S)
        if count > 1:
            feel_ground(boats[1:], raster, bottom, bottoms, OTHERS_TICKS / 60.0)
        if boats.shape[0] > 1:
            wash_boats(boats, hulls, 1, t_s, BLOCK_S, episodes, episode_count)
            advance_fleet(boats, hulls, foils, rudders, fleet, tables, pulls, BLOCK_S)
        for step in range(OWN_STEPS):
            tide_m = tide_height_m(t_s + step * OWN_DT_S, tide)
            boats[0, lay.B_HEAVE] = 0.0
            if swell[0].shape[0] > 0:
                heave_bow(boats[0], hulls[0], t_s + step * OWN_DT_S, air, swell, episodes, episode_count)
            feel_wash(boats[0], hulls[0], t_s + step * OWN_DT_S, OWN_DT_S, episodes, episode_count)
            work_controls(control, shafts, shaft_params, limits, faults, OWN_DT_S)
            advance_own(boats[0], control, shafts, lines, hulls[0], foils[0], rudders[0], shaft_params, OWN_DT_S)
            for k in range(lines.shape[0]):
                step_rode(
                    nodes[k], lines[k], line_params[k], anchors[k], anchor_params[k], on_bottoms[k], bottoms, bottom,
                    snags, noise, draws, boats[0], hulls[0], roller, legs, tide_m, raster, depth,
                    faults[st.FAULT_WINDLASS], PASSES, OWN_DT_S, work,
                )  # fmt: skip
            row = OWN_STEPS * block + step
            log[row, LOG_PULL] = math.hypot(lines[0, lay.L_FN], lines[0, lay.L_FE])
            log[row, LOG_UPLIFT] = anchors[0, lay.A_UPLIFT]
        tick += BLOCK_TICKS
        gap, whose = nearest(boats, hulls)
        for step in range(OWN_STEPS):
            log[OWN_STEPS * block + step, LOG_GAP] = gap
            log[OWN_STEPS * block + step, LOG_BOAT] = whose
        watch[st.V_GAP] = gap
        look_at_wind(boats[0], watch)
        ends = find_near(boats, hulls, shore, near) > 0
        ends = to_be_told(boats, fleet, lines, line_params, anchors, memory) or ends
        if tick % FIX_TICKS == 0:
            n, e = to_world(antenna_x_m, 0.0, boats[0, lay.B_HEADING])
            off_n, off_e = fix_error_m(tick / 60.0, fix_phases)
            fix_n = boats[0, lay.B_NORTH] + n + off_n
            fix_e = boats[0, lay.B_EAST] + e + off_e
            away = math.hypot(fix_n - places[st.P_ALARM_N], fix_e - places[st.P_ALARM_E])
            watch_values(boats, hulls[0], lines[0], places, watch, fix_n, fix_e, aft_m, found)
            settle(watch, rung, found)
            ends = ends or (alarm and away > places[st.P_ALARM_R]) or calls(watch, rung, found) >= 0
        if ends:
            return block + 1
    return most
