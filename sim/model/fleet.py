"""Other boats: each lies by the same hull law on her own rode, all in one kernel.

Her rode is a table of horizontal pull against distance (catenary, then stretch), with a little damping along it, led to
where her chain leaves the bed (``ground_chain``). There is no script: she swings because the wind does. Those that
come, leave or drag do so by simple laws of their own (``motoring_wrench``, ``work_state``), all judgement.
"""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import to_body, to_world, wrap_pi
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.groups import Builds
from sim.model.hull.boat import common_wrench, lying_wrench, water_flow
from sim.model.hull.hull import accelerate
from sim.model.hull.rudder import rudder_wrench
from sim.model.tackle.ground_chain import drag_links, lay_straight

LEAST_N, MOST_N = 1.0, 60_000.0
PULLS_N = np.geomspace(LEAST_N, MOST_N, lay.TABLE_POINTS)
AXIAL_DAMPING = 0.03  # of the boat's mass per second, along a taut rode (judgement)
# How the others are handled under way; all judgement.
PUSH_N_PER_KG = 0.25  # what their engines have
SPEED_TIME_S = 5.0  # in which they would reach the speed they want
CRUISE_MPS, CLOSING_MPS, STEERAGE_MPS = 1.8, 1.2, 0.4
FRESH_MPS, PRESSED = 5.0, 0.14  # above this wind faster up to the berth, so much for each m/s, or the bow falls off
ASTERN_MPS = 0.4  # falling back
LEEWARD_M = 50.0  # they round up so far to leeward of where their anchor shall lie
ROUNDED_M, AT_IT_M = 12.0, 3.0
KICK_RAD, KICK_MPS, KICK = math.radians(50.0), 1.2, 0.7  # off her course by more, below this speed: of her power
# She holds aside at this of her rode's length, so far round from where she lay; her bow off the wind, power there.
HELD_OFF, HELD_OFF_RAD, HELD_OFF_BOW_RAD, HELD_OFF_PUSH = 0.85, math.radians(60.0), math.radians(50.0), 0.15
HELD_OFF_HIGH_M = 4.0
MISSED_RAD, MISSED_M, NEAR_ENOUGH_M = math.radians(80.0), 20.0, 9.0  # her berth abeam: she lets go, or rounds up anew
HELD_BACK = 0.02  # of her weight in N/kg on the chain that runs out
TAUT_N = 100.0  # enough for her to be called lying
CREEP_MPS = 0.6  # an anchor that is pulled with twice what it holds comes home so fast
MEAN_WIND_S = 60.0
MOST_HELM_RAD = math.radians(30.0)


@kernel
def suspended_m(height_m: float, pull_n: float, weight_n_per_m: float) -> float:
    """Return the length of chain lifted off a flat bed by a horizontal pull [m].

    Source: the catenary tangent to the bed, s = sqrt(h (h + 2 H / w)).

    Args:
        height_m: roller above the bed, > 0.
        pull_n: horizontal pull, >= 0.
        weight_n_per_m: weight in water per metre, > 0.
    """
    return math.sqrt(height_m * (height_m + 2.0 * pull_n / weight_n_per_m))


def reach_m(height_m: float, pull_n: float, length_m: float, weight_n_per_m: float, compliance_m_per_n: float) -> float:
    """Return the horizontal distance from anchor to roller under a horizontal pull [m].

    Catenary with the rest lying straight on the bed; where all is lifted, the catenary between its two ends, from
    sqrt(L^2 - h^2) = 2 a sinh(x / 2 a), a = H / w; plus the rode's stretch.
    """
    lifted = suspended_m(height_m, pull_n, weight_n_per_m)
    a = pull_n / weight_n_per_m
    if lifted < length_m:
        flat = length_m - lifted + a * math.acosh(1.0 + height_m / a)
    else:
        flat = 2.0 * a * math.asinh(math.sqrt(max(length_m**2 - height_m**2, 0.0)) / (2.0 * a))
    return flat + compliance_m_per_n * pull_n


def rode_table(height_m: float, length_m: float, weight_n_per_m: float, compliance_m_per_n: float) -> FloatArray:
    """Return ``float64[TABLE_POINTS]`` distances for the pulls ``PULLS_N``, rising."""
    row = np.array([reach_m(height_m, float(h), length_m, weight_n_per_m, compliance_m_per_n) for h in PULLS_N])
    rising: FloatArray = np.maximum.accumulate(row + 1e-6 * np.arange(lay.TABLE_POINTS))
    return rising


@kernel
def table_pull_n(distance_m: float, row: FloatArray, pulls: FloatArray) -> float:
    """Return the horizontal pull at a distance [N], linear between the table's points, 0 when slack."""
    if distance_m <= row[0]:
        return 0.0
    last = row.shape[0] - 1
    low = 0
    high = last
    while high - low > 1:
        mid = (low + high) // 2
        if row[mid] <= distance_m:
            low = mid
        else:
            high = mid
    share = (distance_m - row[low]) / (row[high] - row[low])
    return pulls[low] + min(share, 4.0) * (pulls[high] - pulls[low])


@kernel
def held_pull_n(
    distance_m: float,
    height_m: float,
    low_m: float,
    high_m: float,
    at_low: FloatArray,
    at_high: FloatArray,
    pulls: FloatArray,
) -> float:
    """Return the pull at a distance [N] between the tables of low and of high water, by the height above the bed."""
    share = 0.0
    if high_m - low_m > 1e-3:
        share = min(max((height_m - low_m) / (high_m - low_m), 0.0), 1.0)
    pull = table_pull_n(distance_m, at_low, pulls)
    if share > 0.0:
        pull = (1.0 - share) * pull + share * table_pull_n(distance_m, at_high, pulls)
    return pull


@kernel
def rode_pull(
    boat: FloatArray, hull: FloatArray, rode: FloatArray, tables: FloatArray, pulls: FloatArray, dt_s: float
) -> tuple[float, float]:
    """Return (forward, starboard) of her rode's pull at the bow [N], and leave its size in her row.

    It leads to where her chain leaves the bed; the chain that lies is dragged after it (``ground_chain``).
    """
    heading = boat[lay.B_HEADING]
    out_n, out_e = to_world(hull[lay.H_ROLLER_X], 0.0, heading)
    bow_n = boat[lay.B_NORTH] + out_n
    bow_e = boat[lay.B_EAST] + out_e
    height = boat[lay.B_DEPTH] + hull[lay.H_ROLLER_Z]
    links = rode[lay.Q_LINKS :]
    from_n = rode[lay.Q_ANCHOR_N]
    from_e = rode[lay.Q_ANCHOR_E]
    before = 0.0
    if rode[lay.Q_STATE] == lay.LIES:
        lifted = suspended_m(max(height, 0.1), boat[lay.B_RODE_H], rode[lay.Q_WEIGHT])
        from_n, from_e, before = drag_links(
            links, (from_n, from_e), (bow_n, bow_e), rode[lay.Q_LENGTH] - lifted, rode[lay.Q_LENGTH],
            boat[lay.B_RODE_H], rode[lay.Q_MU] * rode[lay.Q_WEIGHT], dt_s,
        )  # fmt: skip
    else:
        lay_straight(links, (from_n, from_e), (bow_n, bow_e), rode[lay.Q_LENGTH])
    dn = from_n - bow_n
    de = from_e - bow_e
    distance = max(math.sqrt(dn * dn + de * de), 1e-6)
    dn /= distance
    de /= distance
    distance += before
    pull = held_pull_n(distance, height, rode[lay.Q_DEPTH_LOW], rode[lay.Q_DEPTH_HIGH], tables[0], tables[1], pulls)
    vn, ve = to_world(boat[lay.B_SURGE], boat[lay.B_SWAY] + hull[lay.H_ROLLER_X] * boat[lay.B_YAW_RATE], heading)
    along = vn * dn + ve * de  # towards where it leaves the bed
    damping = AXIAL_DAMPING * hull[lay.H_MASS] * min(pull / 500.0, 1.0)
    pull = max(pull - damping * along, 0.0)
    if rode[lay.Q_STATE] == lay.FALLING_BACK:  # the weight of what hangs, and a hand on the brake
        pull = max(pull, HELD_BACK * hull[lay.H_MASS] * min(0.2 * distance, 1.0))
    boat[lay.B_RODE_H] = pull
    return to_body(pull * dn, pull * de, heading)


@kernel
def second_wrench(
    boat: FloatArray, hull: FloatArray, rode: FloatArray, tables: FloatArray, pulls: FloatArray
) -> tuple[float, float, float]:
    """Return (X, Y, N) of a second anchor over the bow, or of a line from the middle of her stern."""
    heading = boat[lay.B_HEADING]
    lead_x = hull[lay.H_ROLLER_X] if rode[lay.Q_SECOND] == 1.0 else -0.5 * hull[lay.H_LOA]
    lead_n, lead_e = to_world(lead_x, 0.0, heading)
    dn = rode[lay.Q_SECOND_N] - boat[lay.B_NORTH] - lead_n
    de = rode[lay.Q_SECOND_E] - boat[lay.B_EAST] - lead_e
    distance = max(math.sqrt(dn * dn + de * de), 1e-6)
    dn /= distance
    de /= distance
    height = boat[lay.B_DEPTH] + hull[lay.H_ROLLER_Z]
    pull = held_pull_n(distance, height, rode[lay.Q_SECOND_LOW], rode[lay.Q_SECOND_HIGH], tables[2], tables[3], pulls)
    vn, ve = to_world(boat[lay.B_SURGE], boat[lay.B_SWAY] + lead_x * boat[lay.B_YAW_RATE], heading)
    damping = AXIAL_DAMPING * hull[lay.H_MASS] * min(pull / 500.0, 1.0)
    pull = max(pull - damping * (vn * dn + ve * de), 0.0)
    x, y = to_body(pull * dn, pull * de, heading)
    return x, y, lead_x * y


@kernel
def bridle_m(forward_n: float, starboard_n: float, half_m: float) -> float:
    """Return where the pull crosses the bow, to starboard of the middle [m]: it goes over to the leg that is stretched.

    A stiff V, one leg going slack as she lies across her rode; 1.7 is judgement. Without a bridle ``half_m`` is 0.
    """
    share = 1.7 * starboard_n / max(abs(forward_n), 1.0)
    return -half_m * min(max(share, -1.0), 1.0)


@kernel
def come_home(boat: FloatArray, hull: FloatArray, rode: FloatArray, dt_s: float) -> None:
    """Let her anchor creep towards her, in place, while the pull on it is more than it holds (judgement)."""
    hold = rode[lay.Q_HOLD]
    if hold <= 0.0 or boat[lay.B_RODE_H] <= hold:
        return
    bow_n, bow_e = to_world(hull[lay.H_ROLLER_X], 0.0, boat[lay.B_HEADING])
    dn = boat[lay.B_NORTH] + bow_n - rode[lay.Q_ANCHOR_N]
    de = boat[lay.B_EAST] + bow_e - rode[lay.Q_ANCHOR_E]
    distance = max(math.sqrt(dn * dn + de * de), 1e-6)
    step = dt_s * CREEP_MPS * min(boat[lay.B_RODE_H] / hold - 1.0, 1.0)
    rode[lay.Q_ANCHOR_N] += step * dn / distance
    rode[lay.Q_ANCHOR_E] += step * de / distance
    rode[lay.Q_DRAGGED] += step


@kernel
def goal_of(rode: FloatArray) -> tuple[float, float]:
    """Return (north, east) of the place she makes for: to leeward of her berth, her anchor, aside of it, or out."""
    state = rode[lay.Q_STATE]
    if state == lay.LEAVING:
        return rode[lay.Q_GOAL_N], rode[lay.Q_GOAL_E]
    north = rode[lay.Q_ANCHOR_N]
    east = rode[lay.Q_ANCHOR_E]
    if state == lay.HOLDING_OFF:
        speed = max(math.hypot(rode[lay.Q_MEAN_N], rode[lay.Q_MEAN_E]), 0.1)
        back = HELD_OFF * rode[lay.Q_LENGTH] * math.cos(HELD_OFF_RAD) / speed
        aside = math.copysign(HELD_OFF * rode[lay.Q_LENGTH] * math.sin(HELD_OFF_RAD) / speed, rode[lay.Q_ASIDE])
        north += back * rode[lay.Q_MEAN_N] + aside * rode[lay.Q_MEAN_E]
        east += back * rode[lay.Q_MEAN_E] - aside * rode[lay.Q_MEAN_N]
    if state == lay.ROUNDING_UP:
        speed = max(math.hypot(rode[lay.Q_MEAN_N], rode[lay.Q_MEAN_E]), 0.1)
        north += (LEEWARD_M * rode[lay.Q_MEAN_N] + rode[lay.Q_ASIDE] * rode[lay.Q_MEAN_E]) / speed
        east += (LEEWARD_M * rode[lay.Q_MEAN_E] - rode[lay.Q_ASIDE] * rode[lay.Q_MEAN_N]) / speed
    return north, east


@kernel
def motoring_wrench(
    boat: FloatArray, hull: FloatArray, foils: FloatArray, rudders: FloatArray, rode: FloatArray
) -> tuple[float, float, float]:
    """Return (X, Y, N) on a boat under engine that makes for where she is bound, or falls back on her chain.

    A helmsman of few thoughts: rudder by the bearing of the goal off her bow, engine by the speed wanted there.
    """
    u, v = water_flow(boat)
    r = boat[lay.B_YAW_RATE]
    x, y, n = common_wrench(boat, hull, foils)
    mass = hull[lay.H_MASS]
    if rode[lay.Q_STATE] == lay.FALLING_BACK:
        push = mass / SPEED_TIME_S * (-ASTERN_MPS - boat[lay.B_SURGE])
        return x + max(min(push, 0.0), -0.3 * PUSH_N_PER_KG * mass), y, n
    bow_n, bow_e = to_world(hull[lay.H_ROLLER_X], 0.0, boat[lay.B_HEADING])
    goal_n, goal_e = goal_of(rode)
    dn = goal_n - boat[lay.B_NORTH] - bow_n
    de = goal_e - boat[lay.B_EAST] - bow_e
    off = wrap_pi(math.atan2(de, dn) - boat[lay.B_HEADING])
    most = CRUISE_MPS
    if rode[lay.Q_STATE] == lay.CLOSING or rode[lay.Q_STATE] == lay.WEIGHING:
        wind_mps = math.hypot(rode[lay.Q_MEAN_N], rode[lay.Q_MEAN_E])
        most = min(CLOSING_MPS, STEERAGE_MPS + 0.04 * math.hypot(dn, de)) + PRESSED * max(wind_mps - FRESH_MPS, 0.0)
    want = max(most * math.cos(min(abs(off), 0.5 * math.pi)), STEERAGE_MPS)
    push = min(max(mass / SPEED_TIME_S * (want - boat[lay.B_SURGE]), -PUSH_N_PER_KG * mass), PUSH_N_PER_KG * mass)
    if rode[lay.Q_STATE] == lay.HOLDING_OFF:  # her bow so far off the wind, power by how far she has still to go aside
        eye = math.atan2(-rode[lay.Q_MEAN_E], -rode[lay.Q_MEAN_N])
        side = math.copysign(1.0, rode[lay.Q_ASIDE])
        off = wrap_pi(eye + side * HELD_OFF_BOW_RAD - boat[lay.B_HEADING])
        short = side * (de * math.cos(eye) - dn * math.sin(eye))
        high = -dn * math.cos(eye) - de * math.sin(eye)  # to windward of where she wants to be
        push = PUSH_N_PER_KG * mass * min(max(HELD_OFF_PUSH + 0.04 * short, 0.0), 0.5 * KICK)
        if high > HELD_OFF_HIGH_M or boat[lay.B_SURGE] > STEERAGE_MPS:
            push = 0.0
    elif abs(off) > KICK_RAD and boat[lay.B_SURGE] < KICK_MPS:  # a wind on the bow is not turned against at tick-over
        push = KICK * PUSH_N_PER_KG * mass
    push += 0.002 * mass * boat[lay.B_SURGE]
    helm = min(max(1.5 * off - 4.0 * r, -MOST_HELM_RAD), MOST_HELM_RAD)
    for i in range(int(hull[lay.H_RUDDERS])):
        rx, ry, rn = rudder_wrench(u, v, r, helm, max(push, 0.0), rudders[i])
        x += rx
        y += ry
        n += rn
    return x + push, y, n


@kernel
def work_state(boat: FloatArray, hull: FloatArray, rode: FloatArray) -> None:
    """Go on to what she is about next, in place, where she has come to the end of what she is about."""
    state = rode[lay.Q_STATE]
    bow_n, bow_e = to_world(hull[lay.H_ROLLER_X], 0.0, boat[lay.B_HEADING])
    north = boat[lay.B_NORTH] + bow_n
    east = boat[lay.B_EAST] + bow_e
    goal_n, goal_e = goal_of(rode)
    away = math.hypot(goal_n - north, goal_e - east)
    off = wrap_pi(math.atan2(goal_e - east, goal_n - north) - boat[lay.B_HEADING])
    abeam = abs(off) > MISSED_RAD
    if state == lay.ROUNDING_UP and away < ROUNDED_M:
        rode[lay.Q_STATE] = lay.CLOSING
    elif state == lay.CLOSING and (away < AT_IT_M or (abeam and away < NEAR_ENOUGH_M)):
        rode[lay.Q_STATE] = lay.FALLING_BACK
        rode[lay.Q_ANCHOR_N] = north
        rode[lay.Q_ANCHOR_E] = east
        rode[lay.Q_ADRIFT] = 0.0
    elif state == lay.CLOSING and abeam and away < MISSED_M:
        rode[lay.Q_STATE] = lay.ROUNDING_UP
    elif state == lay.FALLING_BACK and boat[lay.B_RODE_H] > TAUT_N + HELD_BACK * hull[lay.H_MASS]:
        rode[lay.Q_STATE] = lay.LIES
    elif state == lay.WEIGHING and away < AT_IT_M:
        rode[lay.Q_STATE] = lay.LEAVING
        rode[lay.Q_ADRIFT] = 1.0
    elif state == lay.LEAVING and away < ROUNDED_M:
        rode[lay.Q_STATE] = lay.AWAY
        boat[lay.B_AWAY] = 1.0
        boat[lay.B_SURGE] = 0.0
        boat[lay.B_SWAY] = 0.0
        boat[lay.B_YAW_RATE] = 0.0


@kernel
def advance_fleet(
    boats: FloatArray, builds: Builds, fleet: FloatArray, tables: FloatArray, pulls: FloatArray, dt_s: float
) -> None:
    """Move every boat but the own one (row 0) one step, in place.

    Args:
        boats: ``float64[n, BOAT_COLS]``.
        builds: what each of them is.
        fleet: ``float64[n, FLEET_COLS]``.
        tables: ``float64[n, TABLE_ROWS, TABLE_POINTS]`` at low and at high water.
        pulls: ``float64[TABLE_POINTS]``.
        dt_s: the step.
    """
    hulls, foils, rudders = builds
    for i in range(1, boats.shape[0]):
        state = fleet[i, lay.Q_STATE]
        if state == lay.AWAY:
            continue
        if state == lay.LIES:
            x, y, n = lying_wrench(boats[i], hulls[i], foils[i], rudders[i])
        else:
            share = dt_s / MEAN_WIND_S
            fleet[i, lay.Q_MEAN_N] += share * (boats[i, lay.B_WIND_N] - fleet[i, lay.Q_MEAN_N])
            fleet[i, lay.Q_MEAN_E] += share * (boats[i, lay.B_WIND_E] - fleet[i, lay.Q_MEAN_E])
            x, y, n = motoring_wrench(boats[i], hulls[i], foils[i], rudders[i], fleet[i])
        if fleet[i, lay.Q_ADRIFT] == 0.0:
            px, py = rode_pull(boats[i], hulls[i], fleet[i], tables[i], pulls, dt_s)
            x += px
            y += py
            n += hulls[i, lay.H_ROLLER_X] * py - bridle_m(px, py, hulls[i, lay.H_BRIDLE_Y]) * px
            come_home(boats[i], hulls[i], fleet[i], dt_s)
        else:
            boats[i, lay.B_RODE_H] = 0.0
        if fleet[i, lay.Q_SECOND] > 0.0:
            sx, sy, sn = second_wrench(boats[i], hulls[i], fleet[i], tables[i], pulls)
            x += sx
            y += sy
            n += sn
        accelerate(boats[i], hulls[i], x, y, n, dt_s)
        if state != lay.LIES:
            work_state(boats[i], hulls[i], fleet[i])
