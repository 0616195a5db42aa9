"""A hull at low speed: forces of the water at every drift angle, ahead, astern and at rest, and the motion they make.

The hull is a row of foil elements (strips of canoe body and of keel). One formula serves each of them at any drift
angle: a linear lift that saturates, and cross-flow drag. Current enters only as relative velocity, wind in
``windage``; the sums move her through the mass matrix with its added mass.
"""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.base.units import G_MPS2, RHO_WATER_KGPM3
from sim.model import layout as lay
from sim.model.ground import rub
from sim.model.params import Particulars, Rudder, Shaft

CANOE_STRIPS = 9
KEEL_STRIPS = 4
FULLNESS = 0.4  # canoe draught (1 - xi^2)^0.4 along the hull; judgement, gives 0.72 of a box's added mass
GROUNDED_CD = 3.2  # sideways drag of a hull that all but touches the bottom (UFC 4-159-03, broadside current loads)
STEADY_SLOPE = 2.25  # Fujii and Tsuda's lift slope 6.13 L / (L + 2.25), as in the MMG standard method (from memory)

# Two-dimensional cross-flow drag against beam over twice the draught: Hoerner's curve, its twenty points as read from
# the Marine Systems Simulator (HYDRO/Hoerner.m), rounded; notice and licence in assets/licences/MSS-MIT.txt.
# fmt: off
HOERNER_B2T = (
    0.0109, 0.1766, 0.3530, 0.4519, 0.4728, 0.4929, 0.4933, 0.5585, 0.6464, 0.8336,
    0.9880, 1.3081, 1.6392, 1.8600, 2.3129, 2.6000, 3.0088, 3.4508, 3.7379, 4.0031,
)
HOERNER_CD = (
    1.9661, 1.9657, 1.8976, 1.7872, 1.5837, 1.2786, 1.2108, 1.0836, 0.9986, 0.8796,
    0.8284, 0.7599, 0.6914, 0.6571, 0.6307, 0.5962, 0.5868, 0.5859, 0.5599, 0.5593,
)
# fmt: on


def cross_flow_cd(beam_m: float, draught_m: float) -> float:
    """Return the cross-flow drag coefficient of a hull section, 0.56 to 1.97.

    Source: Hoerner's curve against B/2T, see the table above.
    """
    return float(np.interp(beam_m / (2.0 * draught_m), HOERNER_B2T, HOERNER_CD))


def lift_slope(aspect: float) -> float:
    """Return the lift slope per radian of a foil of effective aspect ratio ``aspect`` > 0.

    Source: Fujii and Tsuda, 6.13 L / (L + 2.25), quoted by Yasukawa and Yoshimura (2015); from memory.
    """
    return 6.13 * aspect / (aspect + STEADY_SLOPE)


def _canoe(p: Particulars) -> list[list[float]]:
    dx = p.lwl_m / CANOE_STRIPS
    rows = []
    for i in range(CANOE_STRIPS):
        x = (i + 0.5) * dx - 0.5 * p.lwl_m
        depth = p.canoe_draught_m * (1.0 - (2.0 * x / p.lwl_m) ** 2) ** FULLNESS
        rows.append(
            [
                x,
                p.hulls * depth * dx,
                lift_slope(2.0 * p.canoe_draught_m / p.lwl_m),
                p.cross_flow * cross_flow_cd(p.hull_beam_m, p.canoe_draught_m),
                0.0,
                0.0,
            ]
        )
    return rows


def _keel(p: Particulars) -> list[list[float]]:
    if p.keels == 0:
        return []
    strips = KEEL_STRIPS if p.keel_chord_m > 0.25 * p.lwl_m else 1
    dx = p.keel_chord_m / strips
    slope = lift_slope(2.0 * p.keel_span_m / p.keel_chord_m)
    cp = p.keel_centre_of_pressure * p.keel_chord_m
    first = p.keel_x_m - 0.5 * p.keel_chord_m
    area, cd = p.keels * dx * p.keel_span_m, 1.1 * p.cross_flow
    return [[first + (i + 0.5) * dx, area, slope, cd, cp, 1.0] for i in range(strips)]


def _added_mass(p: Particulars) -> tuple[float, float, float, float, float]:
    """Return (A11, A22 canoe, A22, A26, A66).

    Sources: A11 Soeding (1982), 2.7 rho V^(5/3) / L^2; strips rho pi/2 T^2 dx of a half ellipse; fin a flat plate with
    its image (all from memory); 0.70 on a long keel's is judgement.
    """
    rho = RHO_WATER_KGPM3
    a11 = 2.7 * rho * (p.mass_kg / rho) ** (5.0 / 3.0) / p.lwl_m**2
    dx = p.lwl_m / CANOE_STRIPS
    a22c = a26 = a66 = 0.0
    for x, area, *_ in _canoe(p):
        depth = area / (p.hulls * dx)
        a = p.hulls * rho * 0.5 * math.pi * depth * depth * dx
        a22c += a
        a26 += a * x
        a66 += a * x * x
    keel = 0.0
    if p.keels:
        c, s = p.keel_chord_m, p.keel_span_m
        if c > 0.25 * p.lwl_m:
            keel = p.keels * 0.70 * rho * 0.5 * math.pi * ((p.canoe_draught_m + s) ** 2 - p.canoe_draught_m**2) * c
        else:
            aspect = 2.0 * s / c
            keel = p.keels * rho * 0.25 * math.pi * c * c * s * aspect / math.sqrt(1.0 + aspect * aspect)
        a26 += keel * p.keel_x_m
        a66 += keel * (p.keel_x_m**2 + c * c / 12.0)
    return a11, a22c, a22c + keel, a26, a66


def _shallow(p: Particulars, elements: list[list[float]]) -> float:
    """Return (C1 / C0 - 1) T^2 of ``shallow_factor`` [m2], T the mean draught of one hull with her keel."""
    area = sum(row[1] for row in elements)
    deep_cd = sum(row[1] * row[3] for row in elements) / area
    draught = area / (p.hulls * p.lwl_m)
    return max(GROUNDED_CD / deep_cd - 1.0, 0.0) * draught * draught


def pack(p: Particulars, shafts: tuple[Shaft, ...], rudders: tuple[Rudder, ...]) -> tuple[FloatArray, FloatArray]:
    """Return (``float64[HULL_COLS]``, ``float64[MAX_FOILS, FOIL_COLS]``) of a boat from her particulars."""
    a11, a22c, a22, a26, a66 = _added_mass(p)
    rho = RHO_WATER_KGPM3
    elements = _canoe(p) + _keel(p)
    foils = np.zeros((lay.MAX_FOILS, lay.FOIL_COLS))
    foils[: len(elements)] = elements
    hull = np.zeros(lay.HULL_COLS)
    hull[lay.H_MASS] = p.mass_kg
    hull[lay.H_A11], hull[lay.H_A22], hull[lay.H_A22_CANOE], hull[lay.H_A26] = a11, a22, a22c, a26
    hull[lay.H_M33] = p.mass_kg * (p.gyradius * p.lwl_m) ** 2 + a66
    hull[lay.H_A66], hull[lay.H_SHALLOW] = a66, _shallow(p, elements)
    hull[lay.H_LOA], hull[lay.H_LWL], hull[lay.H_BEAM], hull[lay.H_DRAUGHT] = p.loa_m, p.lwl_m, p.beam_m, p.draught_m
    hull[lay.H_WETTED] = p.wetted_m2 * p.fouling  # friction is all it is used for
    hull[lay.H_RESIDUARY], hull[lay.H_ASTERN] = p.residuary, p.astern_resistance
    depth = p.canoe_draught_m + (p.keel_span_m if p.keels else 0.0)
    hull[lay.H_YAW_DAMP] = p.yaw_damping * 0.5 * rho * depth * p.lwl_m**3
    hull[lay.H_AF], hull[lay.H_AL], hull[lay.H_SL] = p.frontal_m2, p.lateral_m2, p.windage_x_m
    hull[lay.H_CDL_BOW], hull[lay.H_CDL_STERN] = p.cd_bow, p.cd_stern
    hull[lay.H_CDT], hull[lay.H_DELTA] = p.cd_beam, p.cross_force
    hull[lay.H_PROP_DRAG] = sum(0.5 * rho * 0.25 * math.pi * s.diameter_m**2 * s.locked_cd for s in shafts)
    hull[lay.H_ROLLER_X], hull[lay.H_ROLLER_Z], hull[lay.H_BRIDLE_Y] = p.roller_x_m, p.roller_height_m, p.bridle_half_m
    hull[lay.H_FOILS], hull[lay.H_RUDDERS] = len(elements), len(rudders)
    # Without a keel it is the after body, with skeg and propellers, that is deepest (judgement).
    middle, half = (p.keel_x_m, 0.5 * p.keel_chord_m) if p.keels else (-0.2 * p.lwl_m, 0.2 * p.lwl_m)
    hull[lay.H_CANOE], hull[lay.H_KEEL_AFT], hull[lay.H_KEEL_FORE] = p.canoe_draught_m, middle - half, middle + half
    hull[lay.H_ANTENNA_X] = p.antenna_x_m
    hull[lay.H_ASIDE] = 0.5 * (p.beam_m - p.hull_beam_m) if p.hulls == 2 else 0.0
    return hull, foils


@kernel
def shallow_factor(depth_m: float, hull: FloatArray) -> float:
    """Return by how much shallow water raises her sideways drag, 1 in deep water, 1.4 to 2.5 about to ground.

    Source: UFC 4-159-03 (3 October 2005), section 4-5.1, broadside current load C0 + (C1 - C0) (T/d)^2 with C1 3.2; the
    blend agrees with its table 4-6 to 1 %. T is taken as the mean draught over her length, since most of a keel boat's
    bottom is far above the ground (judgement).
    """
    depth = max(depth_m, hull[lay.H_DRAUGHT])
    return 1.0 + hull[lay.H_SHALLOW] / (depth * depth)


@kernel
def added_mass_factor(depth_m: float, hull: FloatArray) -> float:
    """Return by how much shallow water raises her added mass in sway and yaw.

    Half of what it adds to the drag (judgement): within a fifth of Clarke, Gedling and Hine (1983), from memory.
    """
    return 0.5 + 0.5 * shallow_factor(depth_m, hull)


@kernel
def resistance_n(u: float, v: float, hull: FloatArray) -> float:
    """Return the resistance to running at ``u`` [m/s] through the water while drifting at ``v``, with the sign of u.

    Friction on the wetted surface, along the whole flow, plus a residuary part growing as Fn^5.6 (fitted to the usual
    trend of the Delft series, from memory). Valid to Froude number 0.45; no planing.
    """
    froude = abs(u) / math.sqrt(G_MPS2 * hull[lay.H_LWL])
    growth = min((froude / 0.40) ** 5.6, 3.0)
    friction = 0.5 * RHO_WATER_KGPM3 * hull[lay.H_WETTED] * 1.15 * 0.0036 * u * math.sqrt(u * u + v * v)
    wave = hull[lay.H_MASS] * G_MPS2 * hull[lay.H_RESIDUARY] * growth
    if u < 0.0:
        return hull[lay.H_ASTERN] * (friction - wave)
    return friction + wave


@kernel
def foil_force(u: float, v: float, slope: float, cd: float) -> tuple[float, float]:
    """Return (side force, lift part q) of a foil per 1/2 rho A, for flow ``u`` along it and ``v`` across it.

    Linear lift slope*u*v that saturates near a normal force coefficient of 1.1, plus cross-flow drag. Products of
    velocities instead of angles: exact at rest and the same ahead and astern (0.7 of the lift going backwards).
    """
    speed2 = u * u + v * v + 1e-9
    q = slope * v * abs(u) / speed2
    if u < 0.0:
        q *= 0.7
    q2 = q * q
    q = q / math.sqrt(math.sqrt(1.0 + q2 * q2 / 1.46))
    return -(speed2 * q + cd * v * abs(v)), q


@kernel
def hull_wrench(
    u: float, v: float, r: float, depth_m: float, hull: FloatArray, foils: FloatArray
) -> tuple[float, float, float]:
    """Return (X, Y, N) [N, N, N m] of the water on the hull.

    Args:
        u: surge through the water [m/s].
        v: sway through the water [m/s].
        r: yaw rate [rad/s].
        depth_m: water under her, surface to bed.
        hull: ``float64[HULL_COLS]``.
        foils: ``float64[MAX_FOILS, FOIL_COLS]``.

    Source: the strip sum is the cross-flow integral of Fossen's MSS ``crossFlowDrag.m``; the lift as in the MMG
    standard method. The linear damping only ends residual creep (judgement).
    """
    half_rho = 0.5 * RHO_WATER_KGPM3
    shallow = shallow_factor(depth_m, hull)
    x_force = -resistance_n(u, v, hull)
    y_force = 0.0
    n_moment = 0.0
    for i in range(int(hull[lay.H_FOILS])):
        x = foils[i, lay.F_X]
        slope = foils[i, lay.F_SLOPE]
        vi = v + x * r
        force, q = foil_force(u, vi, slope, shallow * foils[i, lay.F_CD])
        force *= half_rho * foils[i, lay.F_AREA]
        speed2 = u * u + vi * vi + 1e-9
        y_force += force
        n_moment += (x + foils[i, lay.F_CP] * u / math.sqrt(speed2)) * force
        if foils[i, lay.F_KEEL] > 0.0:
            drag = half_rho * foils[i, lay.F_AREA] * speed2 * q * q / (2.0 * math.pi * max(slope, 0.3))
            x_force -= drag * u / math.sqrt(speed2)
    n_moment -= hull[lay.H_YAW_DAMP] * abs(r) * r
    x_force -= hull[lay.H_MASS] / 400.0 * u
    y_force -= hull[lay.H_MASS] / 150.0 * v
    n_moment -= hull[lay.H_M33] / 60.0 * r
    return x_force, y_force, n_moment


@kernel
def accelerate(boat: FloatArray, hull: FloatArray, x: float, y: float, n: float, dt_s: float) -> None:
    """Move one boat one step under the wrench (x, y, n), in place: velocities first, then heading, then place.

    A keel in the ground rubs on it last, when all else has had its say.

    Source: Fossen's relative-velocity equations for a steady uniform current (from memory); the surge cross terms
    reduced as in the MMG method, 0.4 of A22 (judgement); half of the canoe body's Munk moment (judgement).
    """
    heading = boat[lay.B_HEADING]
    c = math.cos(heading)
    s = math.sin(heading)
    flow_n = boat[lay.B_STREAM_N] + boat[lay.B_ORBIT_N]
    flow_e = boat[lay.B_STREAM_E] + boat[lay.B_ORBIT_E]
    uc = c * flow_n + s * flow_e
    vc = -s * flow_n + c * flow_e
    u = boat[lay.B_SURGE] - uc
    v = boat[lay.B_SWAY] - vc
    r = boat[lay.B_YAW_RATE]
    mass = hull[lay.H_MASS]
    m11 = mass + hull[lay.H_A11]
    shallow = added_mass_factor(boat[lay.B_DEPTH], hull)
    a22 = shallow * hull[lay.H_A22]
    m22 = mass + a22
    m23 = shallow * hull[lay.H_A26]
    m33 = hull[lay.H_M33] + (shallow - 1.0) * hull[lay.H_A66]
    det = m22 * m33 - m23 * m23
    x_all = x + ((mass + 0.4 * a22) * v + 0.4 * m23 * r) * r
    y_all = y - m11 * u * r
    n_all = n - 0.5 * (shallow * hull[lay.H_A22_CANOE] - hull[lay.H_A11]) * u * v - m23 * u * r
    surge = boat[lay.B_SURGE] + dt_s * (x_all / m11 + r * vc)
    sway = boat[lay.B_SWAY] + dt_s * ((m33 * y_all - m23 * n_all) / det - r * uc)
    r += dt_s * (m22 * n_all - m23 * y_all) / det
    if boat[lay.B_GROUND] > 0.0:
        surge, sway, r = rub(boat, hull, surge, sway, r, dt_s)
    heading += dt_s * r
    if heading >= 2.0 * math.pi:
        heading -= 2.0 * math.pi
    elif heading < 0.0:
        heading += 2.0 * math.pi
    c = math.cos(heading)
    s = math.sin(heading)
    boat[lay.B_SURGE] = surge
    boat[lay.B_SWAY] = sway
    boat[lay.B_YAW_RATE] = r
    boat[lay.B_HEADING] = heading
    boat[lay.B_NORTH] += dt_s * (c * surge - s * sway)
    boat[lay.B_EAST] += dt_s * (s * surge + c * sway)
