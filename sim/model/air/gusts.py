"""Gusts that are not alike across the wind: a sum of waves, each with a wavenumber across the wind of its own.

Along the wind the waves are carried at the mean speed (frozen turbulence, after Taylor). Across it the wavenumbers of
the waves are spread after Cauchy with scale C f / U, whose mean cosine at a distance is Davenport's coherence,
exp(-C f y / U). No two waves have the same frequency, so the variance is the same at every place.
"""

import math

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model import layout as lay

GUST_WAVES = 60
LEAST_HZ, MOST_HZ = 1.0 / 300.0, 0.5
HEIGHT_M = 10.0
MOST_LATERAL = 2.0 * math.pi / 6.0  # [rad/m]; larger ones are folded back: a hull takes the mean of them (judgement)
DRAWS = 100  # of the wavenumbers across; the one that comes nearest to Davenport is kept
NEAR_M = (10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 150.0, 200.0, 300.0)  # at these distances
DECAY = 10.0  # Davenport's, across the wind
GOLDEN = 0.6180339887498949  # steps of it fall into every part of a turn as evenly as can be, however few or many


def kaimal_along(n: float) -> float:
    """Return f S_u / u*^2 at the reduced frequency n = f z / U.

    Source: Kaimal's form 105 n / (1 + 33 n)^(5/3), from memory; its integral over ln n is 105/22.
    """
    return 105.0 * n / (1.0 + 33.0 * n) ** (5.0 / 3.0)


def kaimal_across(n: float) -> float:
    """Return f S_v / u*^2 at the reduced frequency n = f z / U.

    Source: Kaimal's form 17 n / (1 + 9.5 n)^(5/3), from memory.
    """
    return 17.0 * n / (1.0 + 9.5 * n) ** (5.0 / 3.0)


def correlation(power: FloatArray, lateral: FloatArray, distances_m: FloatArray) -> FloatArray:
    """Return the correlation over all time at distances across the wind, of waves of such power and wavenumber."""
    found: FloatArray = power @ np.cos(np.outer(lateral, distances_m)) / power.sum()
    return found


def spread_across(seed: int, freq: FloatArray, powers: list[FloatArray], carried_mps: float) -> FloatArray:
    """Return ``float64[waves]``: the wavenumber of each wave across the wind [rad/m].

    Quantiles of Cauchy's distribution of scale C f / U, dealt out by golden steps, so that neighbours in frequency
    share it among them. Finite sums scatter: of ``DRAWS`` seeded starts that one is kept whose worst departure from
    exp(-C f y / U), over ``NEAR_M`` and both components, is least.
    """
    at_m = np.array(NEAR_M)
    coherence = np.exp(-DECAY * np.outer(freq, at_m) / carried_mps)
    wanted = [p @ coherence / p.sum() for p in powers]
    best, kept = math.inf, freq
    for start in rng.uniforms(seed, "gust lateral", DRAWS):
        turn = (start + GOLDEN * np.arange(len(freq))) % 1.0
        lateral = np.fmod(DECAY * freq / carried_mps * np.tan(math.pi * (turn - 0.5)), MOST_LATERAL)
        off = max(float(np.abs(correlation(p, lateral, at_m) - w).max()) for p, w in zip(powers, wanted, strict=True))
        if off < best:
            best, kept = off, lateral
    return kept


def gust_waves(seed: int, mean_mps: float, intensity: float, waves: int = GUST_WAVES) -> FloatArray:
    """Return ``float64[waves, GUST_COLS]``: rate [rad/s], wavenumber across [rad/m], amplitudes over the mean.

    Args:
        seed: the run's seed.
        mean_mps: mean speed at 10 m, >= 0.
        intensity: standard deviation along the wind over the mean; three quarters of it across (judgement).
        waves: how many.
    """
    edges = np.geomspace(LEAST_HZ, MOST_HZ, waves + 1)
    width = np.log(edges[1:] / edges[:-1])
    carried = max(mean_mps, 1.0)
    middle = np.sqrt(edges[1:] * edges[:-1])
    # Frequencies are shifted a little within their bands, so that no two seeds beat alike.
    freq = middle * np.exp((rng.uniforms(seed, "gust frequency", waves) - 0.5) * width)
    reduced = middle * HEIGHT_M / carried
    table = np.zeros((waves, lay.GUST_COLS))
    powers = []
    for law, sigma, at, name in (
        (kaimal_along, intensity, lay.T_ALONG_SIN, "gust along"),
        (kaimal_across, 0.75 * intensity, lay.T_ACROSS_SIN, "gust across"),
    ):
        variance = np.array([law(float(n)) for n in reduced]) * width
        powers.append(variance / variance.sum())
        size = sigma * np.sqrt(2.0 * powers[-1])
        phase = 2.0 * math.pi * rng.uniforms(seed, name, waves)
        table[:, at] = size * np.cos(phase)
        table[:, at + 1] = size * np.sin(phase)
    table[:, lay.T_RATE] = 2.0 * math.pi * freq
    table[:, lay.T_LATERAL] = spread_across(seed, freq, powers, carried)
    return table


@kernel
def gusts_here(delay_s: float, lateral_m: float, waves: FloatArray) -> tuple[float, float]:
    """Return (along, across) of the gusts over the mean speed.

    Args:
        delay_s: time less the time the wind takes to the place, [s].
        lateral_m: how far the place lies across the wind, to the right of where it blows to [m].
        waves: ``float64[waves, GUST_COLS]``.
    """
    along = 0.0
    across = 0.0
    for k in range(waves.shape[0]):
        angle = waves[k, lay.T_RATE] * delay_s + waves[k, lay.T_LATERAL] * lateral_m
        s = math.sin(angle)
        c = math.cos(angle)
        along += waves[k, lay.T_ALONG_SIN] * s + waves[k, lay.T_ALONG_COS] * c
        across += waves[k, lay.T_ACROSS_SIN] * s + waves[k, lay.T_ACROSS_COS] * c
    return along, across
