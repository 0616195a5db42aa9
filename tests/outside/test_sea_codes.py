"""How hulls ride waves, and the waves themselves, beside codes of others: capytaine, wavespectra, mhkit."""

import math

import numpy as np
import pytest

from sim.base.units import G_MPS2, RHO_WATER_KGPM3, mps
from sim.model import layout as lay
from sim.model.hull.heave_pitch import drift_share, roller_response
from sim.model.water import waves
from sim.scenario import library

pytestmark = pytest.mark.slow
PERIODS_S = (3.0, 3.5, 4.0, 5.0)


def shape(name: str) -> tuple[float, float, float, float]:
    """Return (length, breadth of the box, draught, place of the roller) of a boat."""
    hull = library.load_boat(name).hull
    length, draught = float(hull[lay.H_LWL]), float(hull[lay.H_CANOE])
    return length, float(hull[lay.H_MASS]) / (RHO_WATER_KGPM3 * length * draught), draught, float(hull[lay.H_ROLLER_X])


def panelled(name: str):
    """Return capytaine's body of the box of a boat, free to heave and pitch about the waterline."""
    cpt = pytest.importorskip("capytaine")
    xr = pytest.importorskip("xarray")
    length, breadth, draught, _ = shape(name)
    mesh = cpt.mesh_parallelepiped(
        size=(length, breadth, 2.0 * draught), center=(0, 0, 0), resolution=(40, 8, 5), name="box"
    ).immersed_part()
    body = cpt.FloatingBody(
        mesh=mesh, dofs=cpt.rigid_body_dofs(rotation_center=(0, 0, 0)), center_of_mass=(0, 0, 0), name="box"
    )
    mass = RHO_WATER_KGPM3 * body.disp_volume
    turns = mass * length**2 / 12.0
    dofs = list(body.dofs)
    body.inertia_matrix = xr.DataArray(
        np.diag([mass, mass, mass, mass * breadth**2, turns, turns]),
        dims=["influenced_dof", "radiating_dof"],
        coords={"influenced_dof": dofs, "radiating_dof": dofs},
        name="inertia_matrix",
    )
    body.hydrostatic_stiffness = body.compute_hydrostatic_stiffness(rho=RHO_WATER_KGPM3, g=G_MPS2)
    return cpt, xr, body, dofs


@pytest.mark.parametrize("name", ["sloop-12", "motor-14", "long-keel-11"])
@pytest.mark.parametrize("off_deg", [0.0, 45.0])
def test_a_box_heaves_and_pitches_as_a_panel_code_has_it(name, off_deg):
    """Rise at the roller by capytaine (Ancellin and Dias 2019), a box of the hull's closed form: 25 % at 3 to 5 s.

    The closed form leaves out diffraction; that is what it differs by in the shorter waves.
    """
    cpt, xr, body, dofs = panelled(name)
    length, breadth, draught, x = shape(name)
    found = xr.Dataset(
        coords={
            "omega": [2.0 * math.pi / t for t in PERIODS_S],
            "wave_direction": [math.pi - math.radians(off_deg)],
            "radiating_dof": dofs,
            "water_depth": [np.inf],
            "rho": [RHO_WATER_KGPM3],
            "g": [G_MPS2],
        }
    )
    answer = cpt.post_pro.rao(cpt.BEMSolver().fill_dataset(found, body, hydrostatics=True))
    rise = answer.sel(radiating_dof="Heave") - x * answer.sel(radiating_dof="Pitch")
    for period in PERIODS_S:
        theirs = abs(complex(rise.sel(omega=2.0 * math.pi / period, method="nearest").squeeze().to_numpy()))
        ours = math.hypot(*roller_response(1.0 / period, math.radians(off_deg), length, breadth, draught, x))

        assert ours == pytest.approx(theirs, rel=0.25)
        if period >= 4.0:
            assert ours == pytest.approx(theirs, rel=0.10)


def test_waves_longer_than_three_beams_push_little_and_shorter_ones_most_of_what_they_carry():
    """The rise of the drift force with frequency, beside Faltinsen's asymptote for short waves."""
    length, _, _, _ = shape("sloop-12")
    shares = [drift_share(1.0 / t, math.pi / 2.0, length, 3.3) / length for t in (1.6, 2.0, 2.5, 3.0, 5.0)]

    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 0.7
    assert shares[-1] < 0.02


def scaled(freq: np.ndarray, height: float, peak_hz: float) -> np.ndarray:
    """Return the model's spectrum of waves so high [m2/Hz]."""
    form = np.array([waves.spectrum_shape(float(f), peak_hz) for f in freq])
    return form * (height / 4.0) ** 2 / np.trapezoid(form, freq)


@pytest.mark.parametrize("fetch_m", [1000.0, 10_000.0])
def test_the_spectrum_is_that_of_wavespectra(fetch_m):
    """JONSWAP by wavespectra (Oceanum), same height and peak: 2 % of the peak."""
    frequency = pytest.importorskip("wavespectra.construct.frequency")
    freq = np.linspace(0.05, 5.0, 2500)
    height, period = waves.significant_height_m(mps(30.0), fetch_m), waves.peak_period_s(mps(30.0), fetch_m)
    ours = scaled(freq, height, 1.0 / period)
    theirs = np.asarray(frequency.jonswap(freq=freq, fp=1.0 / period, gamma=3.3, hs=height))

    assert np.abs(ours - theirs).max() < 0.02 * ours.max()


def test_the_spectrum_is_that_of_mhkit():
    """JONSWAP by mhkit (IEC TS 62600-2), same height and peak: 2 % of the peak."""
    resource = pytest.importorskip("mhkit.wave.resource")
    freq = np.linspace(0.05, 1.2, 600)
    height, period = waves.significant_height_m(mps(30.0), 10_000.0), waves.peak_period_s(mps(30.0), 10_000.0)
    ours = scaled(freq, height, 1.0 / period)
    theirs = np.asarray(resource.jonswap_spectrum(freq, period, height, gamma=3.3)).ravel()

    assert np.abs(ours - theirs).max() < 0.02 * ours.max()


def smb(speed: float, fetch: float) -> tuple[float, float]:
    """Return (height, period): Sverdrup, Munk and Bretschneider, Shore Protection Manual 1973, from memory."""
    x = G_MPS2 * fetch / speed**2
    height = 0.283 * math.tanh(0.0125 * x**0.42)
    return height * speed**2 / G_MPS2, 7.54 * math.tanh(0.077 * x**0.25) * speed / G_MPS2


def cem(speed: float, fetch: float) -> tuple[float, float]:
    """Return (height, period): Coastal Engineering Manual 2002, from memory."""
    friction = math.sqrt(0.001 * (1.1 + 0.035 * speed)) * speed
    x = G_MPS2 * fetch / friction**2
    return 0.0413 * x**0.5 * friction**2 / G_MPS2, 0.651 * x ** (1.0 / 3.0) * friction / G_MPS2


@pytest.mark.parametrize("kn", [15.0, 20.0, 25.0, 30.0])
@pytest.mark.parametrize("fetch_m", [1000.0, 2000.0, 5000.0, 10_000.0])
def test_waves_grow_between_the_published_laws(kn, fetch_m):
    """Height and period lie between the lowest and the highest of two other laws, with a tenth to spare."""
    height, period = waves.significant_height_m(mps(kn), fetch_m), waves.peak_period_s(mps(kn), fetch_m)
    laws = np.array([law(mps(kn), fetch_m) for law in (smb, cem)])

    assert 0.9 * laws[:, 0].min() <= height <= 1.1 * laws[:, 0].max()
    assert 0.9 * laws[:, 1].min() <= period <= 1.1 * laws[:, 1].max()
