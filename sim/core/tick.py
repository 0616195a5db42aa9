"""THE order of a tick, for both clocks: ``run`` lets steps pass in one compiled call until something must be told.

A step of the live clock is a tick, one of the night's is twelve (``core.clock``); what happens in it, and in which
order, stands in ``run`` once. Hulls that touch are left to the caller, because their solver is not a kernel.
"""

import math

from sim.base.arrays import FloatArray, IntArray
from sim.base.kernel import kernel
from sim.base.units import TICK_HZ
from sim.core import detect
from sim.core import state as st
from sim.core.across import cross_own, look_across
from sim.core.bounds import first_bad
from sim.core.clock import FIX_TICKS, Clock
from sim.core.groups import (
    LOG_ASTERN,
    LOG_BOAT,
    LOG_FELT,
    LOG_GAP,
    LOG_OWN,
    LOG_PULL,
    LOG_SHAFT,
    LOG_UPLIFT,
    Flat,
    Others,
    Rodes,
    Seen,
    Watch,
)
from sim.core.near import find_near, nearest
from sim.core.orders.watch_orders import call, look_at_wind, settle, watch_values
from sim.model import layout as lay
from sim.model.air.wind import blow, slow_wind
from sim.model.fix import fix_of
from sim.model.fleet import advance_fleet
from sim.model.ground import feel_ground
from sim.model.groups import Air, Build, Builds, Ground, Helm, Lying, Scratch, Step, Streams, Swell, Tackle
from sim.model.hull.boat import advance_own, work_controls
from sim.model.tackle.rode import step_rode
from sim.model.tackle.windlass import AT_PRESET, TRIPPED, lose_bitter_end, stop_of_itself
from sim.model.water.wash import feel_wash, wash_boats
from sim.model.water.water import float_boats, tide_height_m
from sim.model.water.waves import ride


@kernel
def log_step(own: FloatArray, line: FloatArray, anchor: FloatArray, shafts: FloatArray, row: FloatArray) -> None:
    """Write what the own boat and her first rode do in a step into the log's row."""
    fn = line[lay.L_FN]
    fe = line[lay.L_FE]
    fz = line[lay.L_FZ]
    row[LOG_FELT] = math.sqrt(fn * fn + fe * fe + fz * fz)
    row[LOG_PULL] = math.hypot(fn, fe)
    row[LOG_UPLIFT] = anchor[lay.A_UPLIFT]
    row[LOG_ASTERN] = 0.0
    for k in range(shafts.shape[0]):
        if -shafts[k, lay.S_THRUST] > row[LOG_ASTERN]:
            row[LOG_ASTERN] = -shafts[k, lay.S_THRUST]
            row[LOG_SHAFT] = k
    row[LOG_OWN:] = own


@kernel
def tend_rode(rodes: Rodes, k: int, snags: bool, tick: int, seen: IntArray) -> int:
    """Let windlass and bitter end do what they do of themselves, in place; return what happened to a rode."""
    line = rodes.lines[k]
    memory = rodes.memory[k]
    anchor = rodes.anchors[k]
    bits = detect.of_anchor(anchor, memory, tick, seen)
    if snags:
        bits |= detect.of_snag(line, memory, tick, seen)
    if line[lay.L_COUNT] == 0.0:
        return bits
    bits |= detect.of_motion(anchor, memory, tick)
    bits |= detect.of_windlass(line, rodes.params[k], memory)
    did = stop_of_itself(line)
    if did & TRIPPED:
        bits |= detect.TRIPS
    if did & AT_PRESET:
        bits |= detect.AT_LENGTH
    lose_bitter_end(line, rodes.params[k])
    return bits | detect.of_gear(line, memory)


@kernel
def look_under(rodes: Rodes, build: Build, boat: FloatArray, tide_m: float, seen: IntArray) -> int:
    """Return whether a rode has begun to lead under her, or to meet a part of her; ``seen`` has a row for each."""
    bits = 0
    for k in range(rodes.lines.shape[0]):
        count = int(rodes.lines[k, lay.L_COUNT])
        if count == 0:
            continue
        x_m = build.shafts[0, lay.SP_X]
        now = detect.chain_meets(rodes.nodes[k], count, boat, build.hull, build.rudders[0], x_m, tide_m)
        new = now & ~int(rodes.memory[k, st.M_UNDER])
        rodes.memory[k, st.M_UNDER] = now
        seen[k, detect.W_UNDER] = new
        if new:
            seen[k, detect.W_BITS] |= detect.UNDER
            bits = detect.RODES
    return bits


@kernel
def look_round(rodes: Rodes, build: Build, others: Others, tick: int, tide_m: float, seen: Seen) -> int:
    """Look at what is looked at now and then: rodes under her and across each other, the ground, the other boats."""
    bits = look_under(rodes, build, others.boats[0], tide_m, seen.rodes)
    cross_own(rodes)
    if look_across(others, rodes, tide_m, seen.boats):
        bits |= detect.OTHERS
    if detect.of_ground(others.boats[0], rodes.memory[0]):
        bits |= detect.GROUNDED
    if detect.of_fleet(others.fleet, tick, seen.boats):
        bits |= detect.OTHERS
    return bits


@kernel
def mind_alarm(clock: IntArray, places: FloatArray, fix: tuple[float, float], found: FloatArray) -> int:
    """Let the alarm ring where a fix lies outside its circle, in place; it rings once until it is set again."""
    if clock[st.K_ALARM_ON] == 0 or clock[st.K_ALARM_RANG] != 0:
        return 0
    away = math.hypot(fix[0] - places[st.P_ALARM_N], fix[1] - places[st.P_ALARM_E])
    if away <= places[st.P_ALARM_R]:
        return 0
    clock[st.K_ALARM_RANG] = 1
    found[detect.F_AWAY] = away
    return detect.ALARM


@kernel
def keep_watch(others: Others, watch: Watch, log: FloatArray, step_s: float) -> None:
    """Note what whoever keeps the watch sees of a step: the wind, and the gap to the next hull."""
    gap, whose = nearest(others.boats, others.hulls)
    for k in range(log.shape[0]):
        log[k, LOG_GAP] = gap
        log[k, LOG_BOAT] = whose
    watch.watch[st.V_GAP] = gap
    look_at_wind(others.boats[0], watch.watch, step_s)


@kernel
def mind_orders(
    boat: FloatArray, hull: FloatArray, line: FloatArray, watch: Watch, fix: tuple[float, float], seen: Seen
) -> int:
    """Let the watch's orders call that are to call with this fix, in place."""
    watch_values(boat, hull, line, watch.places, watch.watch, fix, seen.found)
    settle(watch.watch, watch.rung, seen.found)
    seen.orders[0] = call(watch.watch, watch.rung, seen.found)
    return detect.CALLED if seen.orders[0] > 0 else 0


@kernel
def run(flat: Flat, clock: Clock, most: int) -> tuple[int, int]:
    """Let up to ``most`` ticks pass in whole steps of a clock, in place; return (how many passed, rows logged).

    Stops at a step in which something happened, before its time is counted: the caller tells it and counts it. What
    happened is left in scratch, as bits of ``detect``.

    Args:
        flat: ``Flat``, as a plain tuple.
        clock: step lengths and rates.
        most: how many ticks at the most, 1 to ``MOST_TICKS``; a step that has begun is ended.
    """
    # fmt: off
    (
        now, boats, control, shafts, lines, nodes, anchors, fleet, episodes, acts, places, memory, faults, near,
        watched, rung,
        hulls, foils, rudders, shaft_params, limits, answers, tables, pulls,
        line_params, anchor_params, on_bottoms, draws,
        raster, depth, bottom, bottoms, snags, noise, shore,
        wind, gusts, veers, falls, planned, lee, lee_raster,
        tide, stream, eddies, formed, eddy_raster, waves, fetch, fetch_raster, fix_phases,
        roller, legs, work, seen_world, seen_rodes, seen_boats, seen_orders, found, log,
    ) = flat
    # fmt: on
    build = Build(hulls[0], foils[0], rudders[0], shaft_params, limits)
    builds = Builds(hulls, foils, rudders)
    helm = Helm(control, shafts, faults)
    others = Others(boats, hulls, fleet)
    rodes = Rodes(nodes, lines, anchors, line_params, memory)
    ground = Ground(raster, depth, bottom, bottoms, snags, noise)
    air = Air(wind, gusts, veers, falls, planned, lee, lee_raster)
    streams = Streams(stream, eddies, formed, eddy_raster)
    swell = Swell(waves, fetch, fetch_raster)
    scratch = Scratch(roller, legs, work)
    seen = Seen(seen_world, seen_rodes, seen_boats, seen_orders, found)
    watch = Watch(watched, rung, places)
    own = boats[0]
    count = boats.shape[0]
    added = now[st.K_EPISODES]
    step_s = clock.ticks / TICK_HZ
    dt_s = step_s / clock.own_steps
    passed = 0
    row = 0
    detect.clear(seen)
    while passed < most:
        tick = now[st.K_TICK]
        t_s = tick / TICK_HZ
        # 1 wind, stream, depth and ground at every boat
        windy = tick % clock.weather_ticks == 0
        blown = count if tick % clock.others_weather_ticks == 0 else 1
        afloat = count if tick % clock.others_water_ticks == 0 else 1
        if windy:
            blow(boats[:blown], t_s, air, episodes, added)
        float_boats(boats[:afloat], hulls, t_s, tide_height_m(t_s, tide), streams, raster, depth)
        if windy:
            feel_ground(boats[:1], raster, bottom, bottoms, clock.weather_ticks / TICK_HZ)
            feel_ground(boats[1:blown], raster, bottom, bottoms, clock.others_weather_ticks / TICK_HZ)
        # 2 the other boats move
        wash_boats(boats, hulls, 1, t_s, step_s, episodes, added)
        advance_fleet(boats, builds, fleet, tables, pulls, step_s)
        first = row
        for k in range(clock.own_steps):
            # 3 waves lift and push the own boat; rudder, gears, shafts, thruster move to what was ordered; she moves,
            # under the pull her rodes had at the end of the last step
            now_s = t_s + k * dt_s
            own[lay.B_HEAVE] = 0.0
            if waves.shape[0] > 0:
                ride(own, build.hull, answers, swell, slow_wind(now_s, air, episodes, added), now_s, dt_s)
            feel_wash(own, build.hull, now_s, dt_s, episodes, added)
            work_controls(helm, build, dt_s)
            advance_own(own, helm, lines, build, dt_s)
            # 4 windlass, chain, anchor and snubber of every rode, with the roller where it is now
            tide_m = tide_height_m(now_s, tide)
            for i in range(lines.shape[0]):
                lying = Lying(nodes[i], lines[i], anchors[i])
                tackle = Tackle(line_params[i], anchor_params[i], on_bottoms[i], draws)
                step_rode(
                    lying, tackle, own, ground, tide_m, faults[st.FAULT_WINDLASS], Step(dt_s, clock.passes), scratch
                )
            log_step(own, lines[0], anchors[0], shafts, log[row])
            row += 1
        # 5 what windlass and bitter end do of themselves, and what happened to each rode
        bits = 0
        for i in range(lines.shape[0]):
            seen_rodes[i, detect.W_BITS] = tend_rode(rodes, i, snags.shape[0] > 0, tick, seen_rodes[i])
            if seen_rodes[i, detect.W_BITS] > 0:
                bits |= detect.RODES
        # 6 what is looked at now and then
        looks = tick % clock.look_ticks == 0
        if looks:
            bits |= look_round(rodes, build, others, tick, tide_height_m(t_s, tide), seen)
        # 7 the alarm and the watch
        if clock.watch:
            keep_watch(others, watch, log[first:row], step_s)
        if tick % FIX_TICKS == 0:
            fix = fix_of(own, build.hull, t_s, fix_phases)
            bits |= mind_alarm(now, places, fix, found)
            if clock.watch:
                bits |= mind_orders(own, build.hull, lines[0], watch, fix, seen)
        # 8 acts that are done, hulls that are near, and is it still a boat?
        if detect.is_act_due(acts, tick):
            bits |= detect.ACT_DUE
        if find_near(boats, hulls, shore, near, looks) > 0:
            bits |= detect.NEAR
        seen_world[1] = first_bad(boats, nodes, lines)
        if seen_world[1] >= 0:
            bits |= detect.DIVERGED
        seen_world[0] = bits
        if bits > 0:
            break
        # 9 time
        now[st.K_TICK] += clock.ticks
        passed += clock.ticks
    return passed, row
