"""The gust field beside turbulence codes of others: pyconturb (BSD, DTU) and hipersim (Mann's model, DTU)."""

import numpy as np
import pytest

from sim.base.units import mps
from sim.model import layout as lay
from sim.model.air import gusts, wind

pytestmark = pytest.mark.slow
METRES = (20.0, 40.0, 60.0)
SECONDS = 3600
NO_EPISODES = np.zeros((lay.MAX_EPISODES, lay.EPISODE_COLS))


def ours(kn: float, seeds: int) -> np.ndarray:
    """Return the mean correlation of the gusts along the wind at ``METRES`` across it."""
    rows = []
    for seed in range(1, seeds + 1):
        w = wind.pack(seed, mps(kn), 0.0, 0.13, 0.0)
        series = [
            [-wind.wind_at(0.0, e, float(t), w.air, NO_EPISODES, 0)[0] for t in range(SECONDS)] for e in (0.0, *METRES)
        ]
        rows.append(np.corrcoef(series)[0, 1:])
    found: np.ndarray = np.mean(rows, axis=0)
    return found


@pytest.mark.parametrize("kn", [8.0, 18.0, 30.0])
def test_gusts_abreast_are_as_alike_as_in_pyconturb(kn):
    """Kaimal's spectrum cut where ours is, Davenport's coherence of decay 10: means over seeds within 0.06."""
    pyconturb = pytest.importorskip("pyconturb")
    pd = pytest.importorskip("pandas")
    speed = mps(kn)
    places = pd.DataFrame(
        np.array([[0, 0.0, d, gusts.HEIGHT_M] for d in (0.0, *METRES)]).T,
        index=["k", "x", "y", "z"],
        columns=[f"u_p{i}" for i in range(1 + len(METRES))],
    )

    def spectrum(f, spat_df, **_):
        power = np.array([gusts.kaimal_along(float(n)) for n in np.asarray(f) * gusts.HEIGHT_M / speed])
        inside = (f >= gusts.LEAST_HZ) & (f <= gusts.MOST_HZ)
        return np.tile(np.where(inside, power / np.maximum(f, 1e-9), 0.0).reshape(-1, 1), (1, spat_df.shape[1]))

    theirs = []
    for seed in range(8):
        made = pyconturb.gen_turb(
            places,
            T=SECONDS,
            nt=SECONDS,
            seed=seed,
            coh_model=lambda _ic, f, r, **_: np.exp(-10.0 * f * r / speed),
            spec_func=spectrum,
            wsp_func=lambda spat_df, **_: np.full(spat_df.shape[1], speed),
            sig_func=lambda spat_df, **_: np.full(spat_df.shape[1], 0.13 * speed),
            interp_data="none",
            verbose=False,
            u_ref=speed,
            l_c=340.2,
            turb_class="B",
            z_ref=gusts.HEIGHT_M,
            alpha=0.12,
        )
        theirs.append(made.corr().to_numpy()[0, 1:])

    assert ours(kn, 8) == pytest.approx(np.mean(theirs, axis=0), abs=0.06)


def test_they_lie_between_the_small_and_the_large_eddies_of_manns_turbulence():
    """Another physics, none of our constants: IEC 61400-1 eddies of 10 m height (5.6 m) and of above 60 m (29.4 m)."""
    hipersim = pytest.importorskip("hipersim")
    found = []
    for scale_m in (5.6, 29.4):
        rows = []
        for seed in range(1, 5):
            field = hipersim.MannTurbulenceField.generate(
                alphaepsilon=1.0, L=scale_m, Gamma=3.9, Nxyz=(2048, 32, 8), dxyz=(8.0, 4.0, 4.0), seed=seed
            )
            u = np.asarray(field.uvw)[0]
            u = u - u.mean(axis=0)
            rows.append([(u[:, :-k] * u[:, k:]).mean() / (u * u).mean() for k in (5, 10)])
        found.append(np.mean(rows, axis=0))
    middle = ours(18.0, 4)[:2]

    assert np.all(found[0] < middle)
    assert middle[0] < found[1][0]
    assert middle == pytest.approx(found[1], abs=0.2)
