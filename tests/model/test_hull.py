"""A hull, her engines and the wind: exact symmetries and published coefficients."""

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
import worlds
from hypothesis import given
from hypothesis import strategies as some
from published import published
from worlds import SLOOP, SLOOP_RUDDER, SLOOP_SHAFT, TWIN, TWIN_RUDDERS, TWIN_SHAFTS

from sim.base.frames import to_body, to_world
from sim.base.units import RHO_AIR_KGPM3, RHO_WATER_KGPM3, mps, rad
from sim.model import boat as law
from sim.model import engine, hull, rudder
from sim.model import layout as lay
from sim.model.engine import thrust_n
from sim.model.params import Particulars, Shaft
from sim.model.windage import wind_wrench

HULL = published("hull")
BOTH = pytest.mark.parametrize("p", [SLOOP, TWIN], ids=["sloop", "twin"])
POUND_FORCE_N = 4.448222
NO_WALK = replace(SLOOP_SHAFT, walk=0.0)


@dataclass
class Sailed:
    """One boat without a rode, moved by the laws alone at any step."""

    row: np.ndarray
    shafts: np.ndarray
    control: np.ndarray

    @property
    def pose(self) -> tuple[float, float, float]:
        """North, east [m], heading [degrees]."""
        return self.row[lay.B_NORTH], self.row[lay.B_EAST], math.degrees(self.row[lay.B_HEADING])


def sail(
    p: Particulars,
    shafts: tuple[Shaft, ...],
    for_s: float,
    *,
    hz: float = 60.0,
    lever: float = 0.0,
    helm_deg: float = 0.0,
    heading_deg: float = 0.0,
    wind_mps: tuple[float, float] = (0.0, 0.0),
    stream_mps: tuple[float, float] = (0.0, 0.0),
    speed_mps: float = 0.0,
) -> Sailed:
    """Sail a boat under a lever and a helm; ``speed_mps`` is through the water, wind and stream as (north, east)."""
    rudders = TWIN_RUDDERS if p.hulls == 2 else (SLOOP_RUDDER,)
    packed, foils = hull.pack(p, shafts, rudders)
    blades, params = rudder.pack(rudders, shafts[0].diameter_m), engine.pack(shafts)
    row = np.zeros(lay.BOAT_COLS)
    row[lay.B_HEADING] = rad(heading_deg) % (2.0 * math.pi)
    row[lay.B_WIND_N], row[lay.B_WIND_E] = wind_mps
    row[lay.B_STREAM_N], row[lay.B_STREAM_E] = stream_mps
    along, across = to_body(*stream_mps, row[lay.B_HEADING])
    row[lay.B_SURGE], row[lay.B_SWAY] = speed_mps + along, across
    state, control = np.zeros((lay.MAX_SHAFTS, lay.SHAFT_COLS)), np.zeros(lay.CONTROL_COLS)
    state[:, lay.S_LEVER], control[lay.C_RUDDER_ORDER] = lever, rad(helm_deg)
    limits, sound, lines = np.array([rad(35.0), rad(20.0), 0.0]), np.zeros(4), np.zeros((1, lay.LINE_COLS))
    for _ in range(round(for_s * hz)):
        law.work_controls(control, state, params, limits, sound, 1.0 / hz)
        law.advance_own(row, control, state, lines, packed, foils, blades, params, 1.0 / hz)
    return Sailed(row, state, control)


def turn_deg(a: float, b: float) -> float:
    """Return the angle between two headings in degrees."""
    return abs(math.remainder(a - b, 360.0))


@BOTH
def test_a_stream_carries_everything_along(p):
    """Boat, stream and a wind that moves with it, against still water: 5 cm and 0.1 degrees in a minute."""
    shafts = TWIN_SHAFTS if p.hulls == 2 else (SLOOP_SHAFT,)
    stream, wind = (0.7, -0.4), (-4.0, 3.0)
    how = {"lever": 0.4, "helm_deg": 20.0, "speed_mps": 1.0, "heading_deg": 30.0}
    still = sail(p, shafts, 60.0, wind_mps=wind, **how)
    carried = sail(p, shafts, 60.0, wind_mps=(wind[0] + stream[0], wind[1] + stream[1]), stream_mps=stream, **how)

    assert carried.pose[0] - 60.0 * stream[0] == pytest.approx(still.pose[0], abs=0.05)
    assert carried.pose[1] - 60.0 * stream[1] == pytest.approx(still.pose[1], abs=0.05)
    assert turn_deg(carried.pose[2], still.pose[2]) <= 0.1


@BOTH
def test_motion_does_not_depend_on_the_step(p):
    """A minute's turn under power in 20 kn, at 60 and at 240 steps a second: 0.2 m and 0.5 degrees."""
    shafts = TWIN_SHAFTS if p.hulls == 2 else (SLOOP_SHAFT,)
    how = {"lever": 0.3, "helm_deg": 25.0, "wind_mps": (-mps(20.0), 0.0), "heading_deg": 40.0}
    coarse, fine = sail(p, shafts, 60.0, hz=60.0, **how), sail(p, shafts, 60.0, hz=240.0, **how)

    assert math.dist(coarse.pose[:2], fine.pose[:2]) <= 0.2
    assert turn_deg(coarse.pose[2], fine.pose[2]) <= 0.5


@pytest.mark.parametrize("lever", [0.4, -0.4])
@pytest.mark.parametrize(("p", "shafts"), [(SLOOP, (NO_WALK,)), (TWIN, TWIN_SHAFTS)], ids=["sloop", "twin"])
def test_port_mirrors_starboard(p, shafts, lever):
    """Without prop walk, helm and wind from either side give mirrored tracks to a millionth of a metre."""
    to_starboard = sail(p, shafts, 60.0, lever=lever, helm_deg=20.0, heading_deg=30.0, wind_mps=(-6.0, 0.0))
    to_port = sail(p, shafts, 60.0, lever=lever, helm_deg=-20.0, heading_deg=-30.0, wind_mps=(-6.0, 0.0))

    assert to_port.pose[0] == pytest.approx(to_starboard.pose[0], abs=1e-6)
    assert to_port.pose[1] == pytest.approx(-to_starboard.pose[1], abs=1e-6)
    assert turn_deg(to_port.pose[2], -to_starboard.pose[2]) <= 1e-6


@given(
    surge=some.floats(-2.5, 3.5), sway=some.floats(-1.5, 1.5), turn=some.floats(-0.4, 0.4), twin=some.booleans()
)  # fmt: skip
def test_a_boat_left_alone_never_gains_energy(surge, sway, turn, twin):
    """Coasting with stopped propellers in still air and water, her energy of motion only falls."""
    b = worlds.boat(TWIN if twin else SLOOP)
    row = np.zeros(lay.BOAT_COLS)
    row[lay.B_SURGE], row[lay.B_SWAY], row[lay.B_YAW_RATE] = surge, sway, turn
    energy = law.kinetic_energy_j(row, b.hull)
    for _ in range(600):
        hull.accelerate(row, b.hull, *law.lying_wrench(row, b.hull, b.foils, b.rudders), 1.0 / 60.0)
        now = law.kinetic_energy_j(row, b.hull)
        assert now <= energy * (1.0 + 1e-9) + 1e-9
        energy = now


def test_full_levers_in_a_gale_stay_finite():
    """Forty knots from everywhere, hard over, full power, at half the usual steps."""
    for k in range(16):
        angle = 2.0 * math.pi * k / 16.0
        lever = 1.0 if k % 2 else -1.0
        wind = to_world(mps(40.0), 0.0, angle)
        s = sail(SLOOP, (SLOOP_SHAFT,), 60.0, hz=30.0, lever=lever, helm_deg=35.0, wind_mps=wind)

        assert np.isfinite(s.row).all()
        assert abs(s.row[lay.B_SURGE]) < 8.0


@pytest.mark.parametrize("angle_deg", sorted(HULL["blendermann"]["cx"]))
def test_wind_has_the_published_coefficients(angle_deg):
    """Blendermann's speed boat at seven angles, to the rounding of the table."""
    b = HULL["blendermann"]
    packed = np.zeros(lay.HULL_COLS)
    packed[lay.H_AF], packed[lay.H_AL], packed[lay.H_LOA] = b["frontal_m2"], b["lateral_m2"], b["loa_m"]
    packed[lay.H_CDL_BOW], packed[lay.H_CDL_STERN] = b["cdl_bow"], b["cdl_stern"]
    packed[lay.H_CDT], packed[lay.H_DELTA] = b["cdt"], b["delta"]
    speed = 10.0
    along, across = -speed * math.cos(rad(angle_deg)), -speed * math.sin(rad(angle_deg))
    x, y, n = wind_wrench(along, across, packed)
    q = 0.5 * RHO_AIR_KGPM3 * speed**2

    assert x / (q * b["frontal_m2"]) == pytest.approx(b["cx"][angle_deg], abs=1e-4)
    assert -y / (q * b["lateral_m2"]) == pytest.approx(b["cy"][angle_deg], abs=1e-4)
    assert -n / (q * b["lateral_m2"] * b["loa_m"]) == pytest.approx(b["cn"][angle_deg], abs=1e-4)


@pytest.mark.parametrize(
    ("p", "cd"), [(SLOOP, HULL["hoerner"]["wide"]), (TWIN, HULL["hoerner"]["narrow"])], ids=["sloop", "twin"]
)
def test_pushed_sideways_the_canoe_body_drags_as_hoerner_says(p, cd):
    """Hoerner's cross-flow drag of a section as wide and deep as hers, on her profile under water: 3 %."""
    packed, foils = hull.pack(replace(p, keels=0), (SLOOP_SHAFT,), (SLOOP_RUDDER,))
    sideways = 0.8
    _, y, _ = hull.hull_wrench(0.0, sideways, 0.0, packed, foils)
    creep = packed[lay.H_MASS] / 150.0 * sideways
    profile_m2 = foils[: int(packed[lay.H_FOILS]), lay.F_AREA].sum()

    assert -(y + creep) == pytest.approx(0.5 * RHO_WATER_KGPM3 * cd * profile_m2 * sideways**2, rel=0.03)


def test_static_pull_astern_lies_in_the_measured_band():
    """One skipper's load cell on a 36 ft cruiser; nothing better is published for boats of this size."""
    m = HULL["astern_pull"]
    shaft = replace(SLOOP_SHAFT, power_w=m["power_w"], diameter_m=m["diameter_m"], pitch_m=m["pitch_m"])
    params = engine.pack((shaft,))[0]
    pull = -thrust_n(0.0, -1.0, m["revolutions"] * shaft.max_rps, params) / POUND_FORCE_N

    assert m["least_lbf"] <= pull <= m["most_lbf"]
