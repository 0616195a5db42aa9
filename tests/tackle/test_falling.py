"""An anchor that falls is slowed by the water, to the closed form's terminal speed, and not above it."""

import math

import numpy as np
import pytest
from tackle.stand import anchored, mixed

from sim.base.units import G_MPS2, RHO_WATER_KGPM3
from sim.model import layout as lay


def dropped(kind, mass_kg, from_m, depth_m=40.0):
    """Return (rig, speeds down) of an anchor on a rope of no weight, slack, let fall for four seconds."""
    line = mixed(0.0, 60.0)
    line[lay.LP_WEIGHT] = line[lay.LP_ROPE_WEIGHT] = line[lay.LP_DRAG_NORMAL] = line[lay.LP_DRAG_TANGENT] = 0.0
    line[lay.LP_MASS] = line[lay.LP_ROPE_MASS] = 1e-4
    rig = anchored(line, kind, mass_kg, "S", depth_m, 10.0)
    rig.place(0.0)
    count = rig.count
    rig.nodes[:count, lay.N_NORTH] = np.linspace(0.0, 2.0, count)
    rig.nodes[:count, lay.N_Z] = np.linspace(from_m, from_m + 1.0, count)
    rig.nodes[:, lay.N_STICK_N] = rig.nodes[:, lay.N_NORTH]
    rig.roller[:] = 2.0, 0.0, from_m + 1.0
    speeds = []
    for _ in range(round(4.0 / rig.dt_s)):
        rig.step(2.0)
        speeds.append(-float(rig.nodes[0, lay.N_VZ]))
    return rig, np.array(speeds)


@pytest.mark.parametrize(("kind", "mass_kg"), [("scoop", 15.0), ("fluke", 10.0), ("fisherman", 40.0)])
def test_it_falls_at_the_terminal_speed_of_the_closed_form(kind, mass_kg):
    """The root of 2 W / (rho Cd A), W its weight in water: 1 %, and reached within four seconds."""
    rig, speeds = dropped(kind, mass_kg, -1.0)
    row = rig.rode.anchor
    terminal = math.sqrt(2.0 * row[lay.AP_WEIGHT] / (RHO_WATER_KGPM3 * row[lay.AP_DRAG_AREA]))

    assert 0.5 < terminal < 3.0
    assert speeds[-30:] == pytest.approx(terminal, rel=0.01)
    assert np.ptp(speeds[-30:]) < 0.01 * terminal


def test_above_the_water_nothing_slows_it():
    """From 9 m up: no faster and no slower than its weight, here that in water, would have it fall."""
    rig, speeds = dropped("scoop", 15.0, 9.0)
    row = rig.rode.anchor
    in_air = round(0.8 / rig.dt_s)
    share = row[lay.AP_WEIGHT] / (row[lay.AP_MASS] * G_MPS2)

    assert speeds[in_air] == pytest.approx(share * G_MPS2 * (in_air + 1) * rig.dt_s, rel=0.02)
