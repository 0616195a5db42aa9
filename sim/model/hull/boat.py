"""One tick of a boat: all forces on her summed in one place. The same law moves the own boat and every other."""

import math

from sim.base.arrays import FloatArray
from sim.base.frames import to_body
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.groups import Build, Helm
from sim.model.hull.engine import shaft_wrench, turn_shaft
from sim.model.hull.hull import accelerate, added_mass_factor, hull_wrench
from sim.model.hull.rudder import rudder_wrench
from sim.model.hull.windage import wind_wrench

THRUSTER_LAG_S = 0.3
THRUSTER_X = 0.42  # of LOA
THRUSTER_FADES_MPS = 2.06  # no push left at 4 kn (judgement)
THRUSTER_HEAT_S = 150.0  # seconds of full push before it cuts out (judgement)


@kernel
def water_flow(boat: FloatArray) -> tuple[float, float]:
    """Return (surge, sway) through the water [m/s]."""
    n = boat[lay.B_STREAM_N] + boat[lay.B_ORBIT_N]
    e = boat[lay.B_STREAM_E] + boat[lay.B_ORBIT_E]
    uc, vc = to_body(n, e, boat[lay.B_HEADING])
    return boat[lay.B_SURGE] - uc, boat[lay.B_SWAY] - vc


@kernel
def common_wrench(boat: FloatArray, hull: FloatArray, foils: FloatArray) -> tuple[float, float, float]:
    """Return (X, Y, N) of water and wind on a hull."""
    u, v = water_flow(boat)
    r = boat[lay.B_YAW_RATE]
    x, y, n = hull_wrench(u, v, r, boat[lay.B_DEPTH], hull, foils)
    wind_u, wind_v = to_body(boat[lay.B_WIND_N], boat[lay.B_WIND_E], boat[lay.B_HEADING])
    wx, wy, wn = wind_wrench(wind_u - boat[lay.B_SURGE], wind_v - boat[lay.B_SWAY], hull)
    x += wx
    y += wy
    n += wn
    return x, y, n


@kernel
def work_controls(helm: Helm, build: Build, dt_s: float) -> None:
    """Move rudder, thruster, gears and shafts one step towards what was ordered, in place."""
    control, shafts, faults = helm
    limits = build.limits
    if faults[3] == 0.0:
        order = max(-limits[0], min(limits[0], control[lay.C_RUDDER_ORDER]))
        step = limits[1] * dt_s
        control[lay.C_RUDDER] += max(-step, min(step, order - control[lay.C_RUDDER]))
    push = control[lay.C_THRUSTER_ORDER]
    if faults[2] > 0.0 or control[lay.C_THRUSTER_HEAT] >= 1.0:
        push = 0.0
    control[lay.C_THRUSTER] += (push * limits[2] - control[lay.C_THRUSTER]) * dt_s / (THRUSTER_LAG_S + dt_s)
    warming = abs(push) / THRUSTER_HEAT_S if push != 0.0 else -1.0 / (4.0 * THRUSTER_HEAT_S)
    control[lay.C_THRUSTER_HEAT] = min(max(control[lay.C_THRUSTER_HEAT] + warming * dt_s, 0.0), 1.0)
    for i in range(shafts.shape[0]):
        if build.shafts[i, lay.SP_MAX_RPS] > 0.0:
            turn_shaft(shafts[i], build.shafts[i], faults[0], dt_s)


@kernel
def advance_own(boat: FloatArray, helm: Helm, lines: FloatArray, build: Build, dt_s: float) -> None:
    """Move the own boat one step under water, wind, engines, rudders, thruster, ground and her rodes, in place.

    ``lines`` is ``float64[rodes, LINE_COLS]``.
    """
    control, shafts, _faults = helm
    hull, foils, rudders, shaft_params, _limits = build
    u, v = water_flow(boat)
    r = boat[lay.B_YAW_RATE]
    x, y, n = common_wrench(boat, hull, foils)
    for i in range(shafts.shape[0]):
        if shaft_params[i, lay.SP_MAX_RPS] > 0.0:
            sx, sy, sn = shaft_wrench(u, r, control[lay.C_RUDDER], shafts[i], shaft_params[i])
            x += sx
            y += sy
            n += sn
    for i in range(int(hull[lay.H_RUDDERS])):
        washing = i if shaft_params[i, lay.SP_MAX_RPS] > 0.0 else 0
        washed = shafts[washing, lay.S_GEAR] > 0.0 and shaft_params[washing, lay.SP_STEERS] == 0.0
        thrust = shafts[washing, lay.S_THRUST] if washed else 0.0
        rx, ry, rn = rudder_wrench(u, v, r, control[lay.C_RUDDER], thrust, rudders[i])
        x += rx
        y += ry
        n += rn
    bow = control[lay.C_THRUSTER] * max(1.0 - abs(u) / THRUSTER_FADES_MPS, 0.0)
    y += bow
    n += THRUSTER_X * hull[lay.H_LOA] * bow
    for k in range(lines.shape[0]):
        px, py = to_body(lines[k, lay.L_FN], lines[k, lay.L_FE], boat[lay.B_HEADING])
        x += px
        y += py
        n += lines[k, lay.L_YAW]
    boat[lay.B_RODE_H] = math.sqrt(lines[0, lay.L_FN] ** 2 + lines[0, lay.L_FE] ** 2)
    accelerate(boat, hull, x, y, n, dt_s)


@kernel
def lying_wrench(
    boat: FloatArray, hull: FloatArray, foils: FloatArray, rudders: FloatArray
) -> tuple[float, float, float]:
    """Return (X, Y, N) on a boat that lies with rudder amidships and propellers stopped, without her rode."""
    u, v = water_flow(boat)
    r = boat[lay.B_YAW_RATE]
    x, y, n = common_wrench(boat, hull, foils)
    x -= hull[lay.H_PROP_DRAG] * u * abs(u)
    for i in range(int(hull[lay.H_RUDDERS])):
        rx, ry, rn = rudder_wrench(u, v, r, 0.0, 0.0, rudders[i])
        x += rx
        y += ry
        n += rn
    return x, y, n


@kernel
def kinetic_energy_j(boat: FloatArray, hull: FloatArray) -> float:
    """Return the kinetic energy of boat and moved water, of her motion through the water [J]."""
    u, v = water_flow(boat)
    r = boat[lay.B_YAW_RATE]
    m11 = hull[lay.H_MASS] + hull[lay.H_A11]
    shallow = added_mass_factor(boat[lay.B_DEPTH], hull)
    m22 = hull[lay.H_MASS] + shallow * hull[lay.H_A22]
    m33 = hull[lay.H_M33] + (shallow - 1.0) * hull[lay.H_A66]
    return 0.5 * (m11 * u * u + m22 * v * v + m33 * r * r) + shallow * hull[lay.H_A26] * v * r


@kernel
def sail_free(boat: FloatArray, helm: Helm, lines: FloatArray, build: Build, dt_s: float, log: FloatArray) -> None:
    """Sail one boat on, in place, as her levers and helm stand: a step for each row of ``log``, her state into it.

    ``log`` is ``float64[steps, BOAT_COLS]``; the rest as for ``work_controls`` and ``advance_own``.
    """
    for k in range(log.shape[0]):
        work_controls(helm, build, dt_s)
        advance_own(boat, helm, lines, build, dt_s)
        log[k] = boat
