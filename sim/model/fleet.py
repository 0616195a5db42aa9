"""Other boats: each lies by the same hull law on her own rode, all in one kernel.

Her rode is a table of horizontal pull against distance (catenary, then stretch), with a little damping along it and the
friction of the chain she sweeps over the ground. There is no script: she swings because the wind does.
"""

import math

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import to_body, to_world
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.boat import lying_wrench
from sim.model.hull import accelerate

LEAST_N, MOST_N = 1.0, 60_000.0
PULLS_N = np.geomspace(LEAST_N, MOST_N, lay.TABLE_POINTS)
AXIAL_DAMPING = 0.03  # of the boat's mass per second, along a taut rode (judgement)
SWEEP_SHARE = 0.35  # of the bottom chain's friction felt at the bow when it sweeps (judgement)
SWEEP_MPS = 0.1


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
def rode_pull(
    boat: FloatArray, hull: FloatArray, rode: FloatArray, tables: FloatArray, pulls: FloatArray
) -> tuple[float, float]:
    """Return (forward, starboard) of her rode's pull at the bow [N], and leave its size in her row."""
    heading = boat[lay.B_HEADING]
    bow_n, bow_e = to_world(hull[lay.H_ROLLER_X], 0.0, heading)
    dn = rode[lay.Q_ANCHOR_N] - boat[lay.B_NORTH] - bow_n
    de = rode[lay.Q_ANCHOR_E] - boat[lay.B_EAST] - bow_e
    distance = max(math.sqrt(dn * dn + de * de), 1e-6)
    dn /= distance
    de /= distance
    height = boat[lay.B_DEPTH] + hull[lay.H_ROLLER_Z]
    span = rode[lay.Q_DEPTH_HIGH] - rode[lay.Q_DEPTH_LOW]
    share = 0.0
    if span > 1e-3:
        share = min(max((height - rode[lay.Q_DEPTH_LOW]) / span, 0.0), 1.0)
    pull = (1.0 - share) * table_pull_n(distance, tables[0], pulls) + share * table_pull_n(distance, tables[1], pulls)
    vn, ve = to_world(boat[lay.B_SURGE], boat[lay.B_SWAY] + hull[lay.H_ROLLER_X] * boat[lay.B_YAW_RATE], heading)
    along = vn * dn + ve * de  # towards the anchor
    across = ve * dn - vn * de
    damping = AXIAL_DAMPING * hull[lay.H_MASS] * min(pull / 500.0, 1.0)
    pull = max(pull - damping * along, 0.0)
    boat[lay.B_RODE_H] = pull
    lifted = suspended_m(max(height, 0.1), pull, rode[lay.Q_WEIGHT])
    lying = max(rode[lay.Q_LENGTH] - lifted, 0.0)
    sweep = SWEEP_SHARE * rode[lay.Q_MU] * rode[lay.Q_WEIGHT] * lying * math.tanh(across / SWEEP_MPS)
    fn = pull * dn + sweep * de
    fe = pull * de - sweep * dn
    return to_body(fn, fe, heading)


@kernel
def bridle_m(forward_n: float, starboard_n: float, half_m: float) -> float:
    """Return where the pull crosses the bow, to starboard of the middle [m]: it goes over to the leg that is stretched.

    A stiff V, one leg going slack as she lies across her rode; 1.7 is judgement. Without a bridle ``half_m`` is 0.
    """
    share = 1.7 * starboard_n / max(abs(forward_n), 1.0)
    return -half_m * min(max(share, -1.0), 1.0)


@kernel
def advance_fleet(
    boats: FloatArray,
    hulls: FloatArray,
    foils: FloatArray,
    rudders: FloatArray,
    fleet: FloatArray,
    tables: FloatArray,
    pulls: FloatArray,
    dt_s: float,
) -> None:
    """Move every boat but the own one (row 0) one step, in place.

    Args:
        boats: ``float64[n, BOAT_COLS]``.
        hulls: ``float64[n, HULL_COLS]``.
        foils: ``float64[n, MAX_FOILS, FOIL_COLS]``.
        rudders: ``float64[n, MAX_RUDDERS, RUDDER_COLS]``.
        fleet: ``float64[n, FLEET_COLS]``.
        tables: ``float64[n, 2, TABLE_POINTS]`` at low and at high water.
        pulls: ``float64[TABLE_POINTS]``.
        dt_s: the step.
    """
    for i in range(1, boats.shape[0]):
        x, y, n = lying_wrench(boats[i], hulls[i], foils[i], rudders[i])
        if fleet[i, lay.Q_ADRIFT] == 0.0:
            px, py = rode_pull(boats[i], hulls[i], fleet[i], tables[i], pulls)
            x += px
            y += py
            n += hulls[i, lay.H_ROLLER_X] * py - bridle_m(px, py, hulls[i, lay.H_BRIDLE_Y]) * px
        accelerate(boats[i], hulls[i], x, y, n, dt_s)
