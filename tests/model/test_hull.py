"""A hull, her engines and the wind: exact symmetries and published coefficients, for every boat of the library."""

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from published import published

from sim.base.frames import to_body, to_world
from sim.base.units import RHO_AIR_KGPM3, RHO_WATER_KGPM3, mps, rad
from sim.core.state import FAULT_COLS
from sim.model import layout as lay
from sim.model.groups import Build, Helm
from sim.model.hull import boat as law
from sim.model.hull import hull
from sim.model.hull.engine import thrust_n
from sim.model.hull.windage import wind_wrench
from sim.model.params import Boat
from sim.scenario import library
from sim.scenario.read import load
from sim.scenario.read.boat import build_boat
from sim.scenario.schema.base import BoatFile

HULL = published("hull")
NAMES = library.boat_names()
EACH = pytest.mark.parametrize("name", NAMES)
POUND_FORCE_N = 4.448222
DEEP_M = 30.0


@dataclass
class Sailed:
    """One boat without a rode, moved by the laws alone at any step."""

    row: np.ndarray
    log: np.ndarray

    @property
    def pose(self) -> tuple[float, float, float]:
        """North, east [m], heading [degrees]."""
        return self.row[lay.B_NORTH], self.row[lay.B_EAST], math.degrees(self.row[lay.B_HEADING])


def sail(
    b: Boat,
    for_s: float,
    *,
    hz: float = 60.0,
    lever: float = 0.0,
    helm_deg: float = 0.0,
    heading_deg: float = 0.0,
    wind_mps: tuple[float, float] = (0.0, 0.0),
    stream_mps: tuple[float, float] = (0.0, 0.0),
    speed_mps: float = 0.0,
    depth_m: float = DEEP_M,
) -> Sailed:
    """Sail a boat under a lever and a helm; ``speed_mps`` is through the water, wind and stream as (north, east)."""
    row = np.zeros(lay.BOAT_COLS)
    row[lay.B_HEADING], row[lay.B_DEPTH] = rad(heading_deg) % (2.0 * math.pi), depth_m
    row[lay.B_WIND_N], row[lay.B_WIND_E] = wind_mps
    row[lay.B_STREAM_N], row[lay.B_STREAM_E] = stream_mps
    along, across = to_body(*stream_mps, row[lay.B_HEADING])
    row[lay.B_SURGE], row[lay.B_SWAY] = speed_mps + along, across
    state, control = np.zeros((lay.MAX_SHAFTS, lay.SHAFT_COLS)), np.zeros(lay.CONTROL_COLS)
    state[:, lay.S_LEVER], control[lay.C_RUDDER_ORDER] = lever, rad(helm_deg)
    limits, lines = np.array([rad(35.0), rad(20.0), 0.0]), np.zeros((1, lay.LINE_COLS))
    log = np.zeros((round(for_s * hz), lay.BOAT_COLS))
    build = Build(b.hull, b.foils, b.rudders, np.array(b.shafts), limits)
    law.sail_free(row, Helm(control, state, np.zeros(FAULT_COLS)), lines, build, 1.0 / hz, log)
    return Sailed(row, log)


def without_walk(b: Boat) -> Boat:
    """Return a boat whose propellers do not walk."""
    shafts = np.array(b.shafts)
    shafts[:, lay.SP_WALK] = 0.0
    return replace(b, shafts=shafts)


def turn_deg(a: float, b: float) -> float:
    """Return the angle between two headings in degrees."""
    return abs(math.remainder(a - b, 360.0))


@EACH
def test_a_stream_carries_everything_along(name):
    """Boat, stream and a wind that moves with it, against still water: 5 cm and 0.1 degrees in a minute."""
    b = library.load_boat(name)
    stream, wind = (0.7, -0.4), (-4.0, 3.0)
    how = {"lever": 0.4, "helm_deg": 20.0, "speed_mps": 1.0, "heading_deg": 30.0}
    still = sail(b, 60.0, wind_mps=wind, **how)
    carried = sail(b, 60.0, wind_mps=(wind[0] + stream[0], wind[1] + stream[1]), stream_mps=stream, **how)

    assert carried.pose[0] - 60.0 * stream[0] == pytest.approx(still.pose[0], abs=0.05)
    assert carried.pose[1] - 60.0 * stream[1] == pytest.approx(still.pose[1], abs=0.05)
    assert turn_deg(carried.pose[2], still.pose[2]) <= 0.1


@EACH
def test_motion_does_not_depend_on_the_step(name):
    """A minute's turn under power in 20 kn, at 60 and at 240 steps a second: 0.2 m and 0.5 degrees."""
    b = library.load_boat(name)
    how = {"lever": 0.3, "helm_deg": 25.0, "wind_mps": (-mps(20.0), 0.0), "heading_deg": 40.0}
    coarse, fine = sail(b, 60.0, hz=60.0, **how), sail(b, 60.0, hz=240.0, **how)

    assert math.dist(coarse.pose[:2], fine.pose[:2]) <= 0.2
    assert turn_deg(coarse.pose[2], fine.pose[2]) <= 0.5


@pytest.mark.parametrize("lever", [0.4, -0.4])
@EACH
def test_port_mirrors_starboard(name, lever):
    """Without prop walk, helm and wind from either side give mirrored tracks to a millionth of a metre."""
    b = without_walk(library.load_boat(name))
    to_starboard = sail(b, 60.0, lever=lever, helm_deg=20.0, heading_deg=30.0, wind_mps=(-6.0, 0.0))
    to_port = sail(b, 60.0, lever=lever, helm_deg=-20.0, heading_deg=-30.0, wind_mps=(-6.0, 0.0))

    assert to_port.pose[0] == pytest.approx(to_starboard.pose[0], abs=1e-6)
    assert to_port.pose[1] == pytest.approx(-to_starboard.pose[1], abs=1e-6)
    assert turn_deg(to_port.pose[2], -to_starboard.pose[2]) <= 1e-6


@settings(deadline=None)
@given(
    surge=some.floats(-2.5, 3.5), sway=some.floats(-1.5, 1.5), turn=some.floats(-0.4, 0.4),
    name=some.sampled_from(NAMES), depth_m=some.sampled_from([2.5, 5.0, DEEP_M]),
)  # fmt: skip
def test_a_boat_left_alone_never_gains_energy(surge, sway, turn, name, depth_m):
    """Coasting with stopped propellers in still air and water, deep or shallow, her energy of motion only falls."""
    b = library.load_boat(name)
    row = np.zeros(lay.BOAT_COLS)
    row[lay.B_SURGE], row[lay.B_SWAY], row[lay.B_YAW_RATE], row[lay.B_DEPTH] = surge, sway, turn, depth_m
    energy = law.kinetic_energy_j(row, b.hull)
    for _ in range(600):
        hull.accelerate(row, b.hull, *law.lying_wrench(row, b.hull, b.foils, b.rudders), 1.0 / 60.0)
        now = law.kinetic_energy_j(row, b.hull)
        assert now <= energy * (1.0 + 1e-9) + 1e-9
        energy = now


@EACH
def test_full_levers_in_a_gale_stay_finite(name):
    """Forty knots from everywhere, hard over, full power, at half the usual steps."""
    b = library.load_boat(name)
    for k in range(16):
        angle = 2.0 * math.pi * k / 16.0
        lever = 1.0 if k % 2 else -1.0
        s = sail(b, 60.0, hz=30.0, lever=lever, helm_deg=35.0, wind_mps=to_world(mps(40.0), 0.0, angle))

        assert np.isfinite(s.row).all()
        assert np.abs(s.log[:, lay.B_SURGE]).max() < 9.0


def from_angle(b: np.ndarray, angle_deg: float, speed_mps: float = 10.0) -> tuple[float, float, float]:
    """Return the wind's (X, Y, N) on a hull from an angle off the bow."""
    return wind_wrench(-speed_mps * math.cos(rad(angle_deg)), -speed_mps * math.sin(rad(angle_deg)), b)


@pytest.mark.parametrize("angle_deg", sorted(HULL["blendermann"]["cx"]))
def test_wind_has_the_published_coefficients(angle_deg):
    """Blendermann's speed boat at seven angles, to the rounding of the table. An echo of the form: it guards signs."""
    b = HULL["blendermann"]
    packed = np.zeros(lay.HULL_COLS)
    packed[lay.H_AF], packed[lay.H_AL], packed[lay.H_LOA] = b["frontal_m2"], b["lateral_m2"], b["loa_m"]
    packed[lay.H_CDL_BOW], packed[lay.H_CDL_STERN] = b["cdl_bow"], b["cdl_stern"]
    packed[lay.H_CDT], packed[lay.H_DELTA] = b["cdt"], b["delta"]
    x, y, n = from_angle(packed, angle_deg)
    q = 0.5 * RHO_AIR_KGPM3 * 10.0**2

    assert x / (q * b["frontal_m2"]) == pytest.approx(b["cx"][angle_deg], abs=1e-4)
    assert -y / (q * b["lateral_m2"]) == pytest.approx(b["cy"][angle_deg], abs=1e-4)
    assert -n / (q * b["lateral_m2"] * b["loa_m"]) == pytest.approx(b["cn"][angle_deg], abs=1e-4)


@EACH
def test_every_boat_has_the_wind_on_her_by_that_form(name):
    """Ahead and abeam 1/2 rho Cd A V^2, and at 30 degrees what Blendermann's form makes of it: 1 %. An echo."""
    b = library.load_boat(name)
    p, q = b.particulars, 0.5 * RHO_AIR_KGPM3 * 10.0**2
    ahead, abeam, slant = (from_angle(b.hull, angle) for angle in (0.0, 90.0, 30.0))
    longwise = p.cd_bow * p.frontal_m2 / p.lateral_m2
    less = 1.0 - 0.5 * p.cross_force * (1.0 - longwise / p.cd_beam) * math.sin(rad(60.0)) ** 2

    assert -ahead[0] == pytest.approx(q * p.cd_bow * p.frontal_m2, rel=0.01)
    assert -abeam[1] == pytest.approx(q * p.cd_beam * p.lateral_m2, rel=0.01)
    assert slant[1] / abeam[1] == pytest.approx(0.5 / less, rel=0.01)


@EACH
def test_windage_coefficients_lie_within_blendermanns_small_craft(name):
    """Abeam 0.85 to 0.95 (tender to fishing vessel); ahead 0.55 to 0.70, and up to 0.80 where there is a rig."""
    p, table = library.load_boat(name).particulars, HULL["blendermann_rows"]
    rig = 0.10 if p.kind in ("fin", "long", "twin") else 0.0

    assert table["cdt"][0] <= p.cd_beam <= table["cdt"][1]
    assert table["cdl"][0] <= min(p.cd_bow, p.cd_stern) <= max(p.cd_bow, p.cd_stern) <= table["cdl"][1] + rig + 1e-9


@EACH
def test_pushed_sideways_the_canoe_body_drags_as_hoerner_says(name):
    """Hoerner's cross-flow drag of a section as wide and deep as hers, on her profile under water: 3 %.

    An echo of the curve, which the hull carries; that her strips add up to it is worked out.
    """
    p, curve = library.load_boat(name).particulars, HULL["hoerner"]
    cd = np.interp(p.hull_beam_m / (2.0 * p.canoe_draught_m), curve["b_over_2t"], curve["cd"])
    packed, foils = hull.pack(replace(p, keels=0, cross_flow=1.0), (), ())
    sideways = 0.8
    _, y, _ = hull.hull_wrench(0.0, sideways, 0.0, 1000.0, packed, foils)
    creep = packed[lay.H_MASS] / 150.0 * sideways
    profile_m2 = foils[: int(packed[lay.H_FOILS]), lay.F_AREA].sum()

    assert -(y + creep) == pytest.approx(0.5 * RHO_WATER_KGPM3 * cd * profile_m2 * sideways**2, rel=0.03)


INBOARD = [n for n in NAMES if library.load_boat(n).shaft_count == 1 and library.load_boat(n).particulars.kind != "day"]


@pytest.mark.parametrize("name", INBOARD)
def test_static_pull_astern_lies_in_the_measured_band(name):
    """One skipper's load cell on a 36 ft cruiser (press, not traceable), her engine in each boat of one shaft."""
    m = HULL["astern_pull"]
    file = load.validate(BoatFile, load.read(library.data_root() / "boats" / f"{name}.yaml"))
    other = {"power_kw": m["power_w"] / 1000.0, "diameter_m": m["diameter_m"], "pitch_m": m["pitch_m"]}
    screw = file.shafts[0].model_copy(update=other)
    row = build_boat(name, file.model_copy(update={"shafts": (screw,)})).shafts[0]
    pull = -thrust_n(0.0, -1.0, m["revolutions"] * row[lay.SP_MAX_RPS], row) / POUND_FORCE_N

    assert m["least_lbf"] <= pull <= m["most_lbf"]


@EACH
def test_shallow_water_holds_her_as_published_laws_say(name):
    """Sideways: the broadside factor of UFC 4-159-03 (an echo of its law); added mass within a fifth of Clarke's.

    UFC 4-159-03 (2005), section 4-5.1: C0 + (C1 - C0) (T/d)^2 with C1 3.2. Clarke, Gedling and Hine, The application of
    manoeuvring criteria in hull design using linear theory, Trans. RINA 125 (1983): K0 + 2/3 K1 B/T + 8/15 K2 (B/T)^2,
    from memory. Both with the mean draught that the model uses.
    """
    b = library.load_boat(name)
    p, foils = b.particulars, b.foils[: int(b.hull[lay.H_FOILS])]
    profile_m2 = foils[:, lay.F_AREA].sum()
    deep, mean = (foils[:, lay.F_AREA] @ foils[:, lay.F_CD]) / profile_m2, profile_m2 / p.hulls / p.lwl_m
    for depth_m in (2.5, 3.0, 5.0, 10.0):
        factor = hull.shallow_factor(depth_m, b.hull)

        assert deep * factor == pytest.approx(deep + (3.2 - deep) * (mean / depth_m) ** 2, rel=1e-9)
        grown = hull.added_mass_factor(depth_m, b.hull)
        assert grown == pytest.approx(clarke(depth_m / mean - 1.0, p.hull_beam_m / mean), rel=0.20)
    assert 1.0 < hull.shallow_factor(DEEP_M, b.hull) < 1.005


def test_shallow_water_raises_a_ships_drag_as_the_published_table_has_it():
    """UFC 4-159-03 (2005), table 4-6: the depths between its first and last row, to the table's rounding (1.5 %).

    First and last row give the two constants that the table does not print, drag in deep water and force over drag.
    """
    table = HULL["broadside_current"]
    draught, rows = table["draught_m"], table["rows"]
    (first_m, least), (last_m, most) = rows[0], rows[-1]
    a, b = (draught / first_m) ** 2, (draught / last_m) ** 2
    # most / least = (C0 + (3.2 - C0) b) / (C0 + (3.2 - C0) a), solved for C0.
    deep = 3.2 * (b - most / least * a) / (most / least * (1.0 - a) - (1.0 - b))
    packed = np.zeros(lay.HULL_COLS)
    packed[lay.H_SHALLOW] = (hull.GROUNDED_CD / deep - 1.0) * draught**2
    unit = least / hull.shallow_factor(first_m, packed)
    found = {depth_m: unit * hull.shallow_factor(depth_m, packed) for depth_m, _ in rows}
    print(f"deep water {deep:.2f}", {d: round(f, 3) for d, f in found.items()})  # noqa: T201

    assert found == {depth_m: pytest.approx(force, rel=0.015) for depth_m, force in rows}


def clarke(gap: float, beam_over_draught: float) -> float:
    """Return how much added mass in sway grows over its value in deep water; ``gap`` is depth over draught less one."""
    k0 = 1.0 + 0.0775 / gap**2 - 0.0110 / gap**3 + 0.000068 / gap**5
    k1 = -0.0643 / gap + 0.0724 / gap**2 - 0.0113 / gap**3 + 0.0000767 / gap**5
    k2 = 0.0342 / gap
    return k0 + 2.0 / 3.0 * k1 * beam_over_draught + 8.0 / 15.0 * k2 * beam_over_draught**2


@EACH
def test_in_shallow_water_she_drifts_more_slowly(name):
    b = library.load_boat(name)
    shallow_m = 1.2 * b.particulars.draught_m
    deep, shallow = (
        sail(b, 120.0, heading_deg=90.0, wind_mps=(-mps(15.0), 0.0), depth_m=d).row for d in (DEEP_M, shallow_m)
    )

    assert 0.5 < shallow[lay.B_NORTH] / deep[lay.B_NORTH] < 0.97


def test_an_outboard_steers_ahead_and_astern_without_way():
    """Its thrust turns with the helm: at once, both ways; the same helm turns her the other way going astern."""
    b = without_walk(library.load_boat("day-boat-7"))
    ahead = sail(b, 4.0, lever=0.4, helm_deg=30.0)
    astern = sail(b, 4.0, lever=-0.4, helm_deg=30.0)

    assert math.remainder(ahead.pose[2], 360.0) > 5.0
    assert math.remainder(astern.pose[2], 360.0) < -3.0
