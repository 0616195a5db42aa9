"""Small waves that lift the roller: height and period from wind and fetch, and the bow's heave on them.

A handful of components with fixed frequencies and seeded phases, whose heights follow the wind: a function of time, the
wind's slow part and the fetch, so that nothing needs remembering. A hull longer than the waves bridges them.
"""

import math

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.base.units import G_MPS2
from sim.model import layout as lay
from sim.model.air.shelter import by_direction
from sim.model.air.wind import slow_wind
from sim.model.groups import Air, Swell

COMPONENTS = 12
LEAST_HZ, MOST_HZ = 0.12, 1.2
PEAKED = 3.3  # the mean of JONSWAP's peak enhancement
LEAST_MPS = 0.5


def components(seed: int) -> FloatArray:
    """Return ``float64[COMPONENTS, WAVE_COLS]``: frequencies, the widths of their bands, seeded phases."""
    edges = np.geomspace(LEAST_HZ, MOST_HZ, COMPONENTS + 1)
    jitter = rng.uniforms(seed, "wave frequency", COMPONENTS) - 0.5
    table = np.zeros((COMPONENTS, lay.WAVE_COLS))
    table[:, lay.WV_FREQ] = np.sqrt(edges[1:] * edges[:-1]) * np.exp(jitter * np.log(edges[1] / edges[0]))
    table[:, lay.WV_WIDTH] = np.diff(edges)
    table[:, lay.WV_PHASE] = 2.0 * math.pi * rng.uniforms(seed, "wave phase", COMPONENTS)
    return table


@kernel
def significant_height_m(wind_mps: float, fetch_m: float) -> float:
    """Return the significant height of waves that a wind raises over a fetch in deep water [m].

    Source: JONSWAP's growth (Hasselmann and others 1973), g H / U^2 = 0.0016 (g F / U^2)^(1/2), no more than the fully
    grown 0.243 of Carter (1982), from memory. Steady wind for as long as the fetch takes, which in a bay is minutes.
    """
    if wind_mps < LEAST_MPS or fetch_m <= 0.0:
        return 0.0
    grown = 0.0016 * math.sqrt(G_MPS2 * fetch_m) / wind_mps
    return min(grown, 0.243) * wind_mps * wind_mps / G_MPS2


@kernel
def peak_period_s(wind_mps: float, fetch_m: float) -> float:
    """Return the peak period of those waves [s].

    Source: JONSWAP, g T / U = 0.286 (g F / U^2)^(1/3), no more than the fully grown 8.134, as in Carter (1982).
    """
    if wind_mps < LEAST_MPS or fetch_m <= 0.0:
        return 0.0
    grown = 0.286 * (G_MPS2 * fetch_m / (wind_mps * wind_mps)) ** (1.0 / 3.0)
    return min(grown, 8.134) * wind_mps / G_MPS2


@kernel
def spectrum_shape(freq_hz: float, peak_hz: float) -> float:
    """Return the energy of a frequency, unscaled: JONSWAP's shape."""
    x = peak_hz / freq_hz
    narrow = 0.07 if freq_hz <= peak_hz else 0.09
    off = (freq_hz / peak_hz - 1.0) / narrow
    return freq_hz**-5.0 * math.exp(-1.25 * x**4.0) * PEAKED ** math.exp(-0.5 * off * off)


@kernel
def bridged(freq_hz: float, loa_m: float) -> float:
    """Return how much of a wave's height lifts the bow: min(1, wave length over twice the boat's) (judgement)."""
    return min(1.0, G_MPS2 / (2.0 * math.pi * freq_hz * freq_hz) / (2.0 * loa_m))


@kernel
def heave_m(t_s: float, wind_mps: float, fetch_m: float, loa_m: float, waves: FloatArray) -> float:
    """Return how high the bow is lifted [m] at ``t_s``.

    The components share out the energy of waves so high, (H / 4)^2, by the spectrum's shape.
    """
    height = significant_height_m(wind_mps, fetch_m)
    if height <= 0.0:
        return 0.0
    peak = 1.0 / peak_period_s(wind_mps, fetch_m)
    energy = 0.0
    lift = 0.0
    for k in range(waves.shape[0]):
        freq = waves[k, lay.WV_FREQ]
        part = spectrum_shape(freq, peak) * waves[k, lay.WV_WIDTH]
        energy += part
        rise = math.sqrt(2.0 * part) * bridged(freq, loa_m)
        lift += rise * math.cos(2.0 * math.pi * freq * t_s + waves[k, lay.WV_PHASE])
    return 0.25 * height * lift / math.sqrt(energy)


@kernel
def heave_bow(
    boat: FloatArray,
    hull: FloatArray,
    t_s: float,
    air: Air,
    swell: Swell,
    episodes: FloatArray,
    episode_count: int,
) -> None:
    """Write the heave of a boat's bow into her row, in place."""
    waves, fetch, raster = swell
    speed, comes = slow_wind(t_s, air, episodes, episode_count)
    reach = by_direction(boat[lay.B_NORTH], boat[lay.B_EAST], comes, raster, fetch)
    boat[lay.B_HEAVE] = heave_m(t_s, speed, reach, hull[lay.H_LOA], waves)
