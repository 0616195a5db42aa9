"""Small waves that lift the roller: height and period from wind and fetch, and the bow's heave on them.

A handful of components with fixed frequencies and seeded phases, whose heights follow the wind: a function of time, the
wind's slow part and the fetch, so that nothing needs remembering. A hull longer than the waves bridges them.
"""

import math

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.frames import to_body, wrap_pi
from sim.base.kernel import kernel
from sim.base.units import G_MPS2, RHO_WATER_KGPM3
from sim.model import layout as lay
from sim.model.air.shelter import by_direction
from sim.model.groups import Swell
from sim.model.hull.heave_pitch import drift_share, roller_response, surge_response

COMPONENTS = 24
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


def responses(hull: FloatArray, waves: FloatArray) -> FloatArray:
    """Return ``float64[COMPONENTS, WAVE_SECTORS, RESPONSE_COLS]``: how a hull answers each component at her roller."""
    hulls = 2.0 if hull[lay.H_ASIDE] > 0.0 else 1.0
    length, draught = float(hull[lay.H_LWL]), float(hull[lay.H_CANOE])
    # Waterline breadth times the block coefficient: the displacement over length and draught.
    breadth = float(hull[lay.H_MASS]) / (RHO_WATER_KGPM3 * length * draught * hulls)
    beam = float(hull[lay.H_BEAM]) - 2.0 * float(hull[lay.H_ASIDE])
    table = np.zeros((len(waves), lay.WAVE_SECTORS, lay.RESPONSE_COLS))
    for k, freq in enumerate(waves[:, lay.WV_FREQ]):
        for j, off in enumerate(np.linspace(0.0, math.pi, lay.WAVE_SECTORS)):
            at = (float(freq), float(off))
            table[k, j, : lay.RS_SURGE] = roller_response(*at, length, breadth, draught, float(hull[lay.H_ROLLER_X]))
            table[k, j, lay.RS_SURGE] = surge_response(*at, length, draught)
            table[k, j, lay.RS_DRIFT] = drift_share(*at, length, hulls * beam)
    return table


@kernel
def ride(
    boat: FloatArray,
    hull: FloatArray,
    answers: FloatArray,
    swell: Swell,
    blows: tuple[float, float],
    t_s: float,
    dt_s: float,
) -> None:
    """Let a boat ride the waves for a step, in place: her bow's heave, the water at her, and her way.

    The components share out the energy of waves so high, (H / 4)^2, by the spectrum's shape. What drives her fore and
    aft is the slope of the surface, as far as she is not longer than the waves, and the mean drift of what she throws
    back.

    Args:
        boat: ``float64[BOAT_COLS]``.
        hull: ``float64[HULL_COLS]``.
        answers: ``float64[COMPONENTS, WAVE_SECTORS, RESPONSE_COLS]``, from ``responses``.
        swell: components and fetch.
        blows: (speed, direction it comes from) of the slow wind.
        t_s: now.
        dt_s: the step; 0 looks only.
    """
    waves, fetch, raster = swell
    boat[lay.B_HEAVE] = 0.0
    boat[lay.B_ORBIT_N] = 0.0
    boat[lay.B_ORBIT_E] = 0.0
    speed, comes = blows
    reach = by_direction(boat[lay.B_NORTH], boat[lay.B_EAST], comes, raster, fetch)
    height = significant_height_m(speed, reach)
    if height <= 0.0:
        return
    heading = boat[lay.B_HEADING]
    sector = abs(wrap_pi(comes - heading)) / math.pi * (lay.WAVE_SECTORS - 1)
    low = min(int(sector), lay.WAVE_SECTORS - 2)
    share = sector - low
    peak = 1.0 / peak_period_s(speed, reach)
    energy = 0.0
    lift = 0.0
    slope = 0.0
    orbit = 0.0
    thrown = 0.0
    for k in range(waves.shape[0]):
        freq = waves[k, lay.WV_FREQ]
        part = spectrum_shape(freq, peak) * waves[k, lay.WV_WIDTH]
        energy += part
        rise = math.sqrt(2.0 * part)
        omega = 2.0 * math.pi * freq
        angle = omega * t_s + waves[k, lay.WV_PHASE]
        c = math.cos(angle)
        s = math.sin(angle)
        real = (1.0 - share) * answers[k, low, lay.RS_REAL] + share * answers[k, low + 1, lay.RS_REAL]
        imaginary = (1.0 - share) * answers[k, low, lay.RS_IMAGINARY] + share * answers[k, low + 1, lay.RS_IMAGINARY]
        follows = (1.0 - share) * answers[k, low, lay.RS_SURGE] + share * answers[k, low + 1, lay.RS_SURGE]
        lift += rise * (real * c - imaginary * s)
        orbit += rise * follows * omega * c
        slope -= rise * follows * omega * omega * s
        thrown += part * ((1.0 - share) * answers[k, low, lay.RS_DRIFT] + share * answers[k, low + 1, lay.RS_DRIFT])
    size = 0.25 * height / math.sqrt(energy)
    boat[lay.B_HEAVE] = size * lift
    boat[lay.B_ORBIT_N] = -size * orbit * math.cos(comes)
    boat[lay.B_ORBIT_E] = -size * orbit * math.sin(comes)
    if dt_s > 0.0:
        # 1/2 rho g a^2 with a^2 / 2 the part of the energy
        drift = RHO_WATER_KGPM3 * G_MPS2 * size * size * thrown
        ahead, starboard = to_body(-math.cos(comes), -math.sin(comes), heading)
        mass = hull[lay.H_MASS]
        boat[lay.B_SURGE] += dt_s * ahead * (size * slope + drift / (mass + hull[lay.H_A11]))
        boat[lay.B_SWAY] += dt_s * starboard * (size * slope + drift / (mass + hull[lay.H_A22]))
