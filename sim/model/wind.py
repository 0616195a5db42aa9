"""Wind as a function of seed, place and time, plus episodes that only commands add.

Gusts are a sum of sinusoids with the amplitudes of a published spectrum, carried downwind at the mean speed (frozen
turbulence, after Taylor), so that each boat meets the same gust at her own time. Slow veering is a second, slower sum.
"""

import math

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.params import Weather

GUST_WAVES = 24
VEER_WAVES = 8
LEAST_HZ, MOST_HZ = 1.0 / 300.0, 0.5
HEIGHT_M = 10.0
VEER_TIME_S = 180.0


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


def pack(seed: int, mean_mps: float, from_rad: float, intensity: float, veer_sigma_rad: float) -> Weather:
    """Return the weather of one run.

    Args:
        seed: the run's seed.
        mean_mps: mean speed at 10 m, >= 0.
        from_rad: direction it blows from.
        intensity: standard deviation of the speed over its mean, 0 for a steady wind; 0.13 over open water (judgement).
        veer_sigma_rad: standard deviation of the slow veering.
    """
    edges = np.geomspace(LEAST_HZ, MOST_HZ, GUST_WAVES + 1)
    freq = np.sqrt(edges[1:] * edges[:-1])
    width = np.log(edges[1:] / edges[:-1])
    reduced = freq * HEIGHT_M / max(mean_mps, 1.0)
    gusts = np.zeros((GUST_WAVES, lay.GUST_COLS))
    gusts[:, lay.T_FREQ] = freq
    # Frequencies are shifted a little within their bands, so that no two seeds beat alike.
    jitter = rng.uniforms(seed, "gust frequency", GUST_WAVES) - 0.5
    gusts[:, lay.T_FREQ] *= np.exp(jitter * width)
    for law, sigma, amp, phase, name in (
        (kaimal_along, intensity, lay.T_ALONG_AMP, lay.T_ALONG_PHASE, "gust along"),
        (kaimal_across, 0.75 * intensity, lay.T_ACROSS_AMP, lay.T_ACROSS_PHASE, "gust across"),
    ):
        variance = np.array([law(float(n)) for n in reduced]) * width
        gusts[:, amp] = sigma * np.sqrt(2.0 * variance / variance.sum())
        gusts[:, phase] = 2.0 * math.pi * rng.uniforms(seed, name, GUST_WAVES)
    veers = np.zeros((VEER_WAVES, lay.VEER_COLS))
    # An Ornstein-Uhlenbeck process of that deviation and time constant, as a sum of waves:
    # S ~ 1 / (1 + (2 pi f tau)^2).
    slow = np.geomspace(1.0 / 3600.0, 1.0 / 120.0, VEER_WAVES)
    power = slow / (1.0 + (2.0 * math.pi * slow * VEER_TIME_S) ** 2)
    veers[:, lay.V_FREQ] = slow
    veers[:, lay.V_AMP] = veer_sigma_rad * np.sqrt(2.0 * power / power.sum())
    veers[:, lay.V_PHASE] = 2.0 * math.pi * rng.uniforms(seed, "veer", VEER_WAVES)
    wind = np.zeros(lay.WIND_COLS)
    wind[lay.W_MEAN], wind[lay.W_FROM] = mean_mps, from_rad
    return Weather(wind=wind, gusts=gusts, veers=veers)


@kernel
def episode_shape(t_s: float, start_s: float, ramp_s: float, hold_s: float, passes: bool) -> float:
    """Return how much of an episode is felt at ``t_s``: 0 before, 1 in full, and 0 again after one that passes."""
    t = t_s - start_s
    if t <= 0.0:
        return 0.0
    ramp = max(ramp_s, 1e-3)
    if t < ramp:
        return 0.5 - 0.5 * math.cos(math.pi * t / ramp)
    if not passes or t < ramp + hold_s:
        return 1.0
    t -= ramp + hold_s
    if t < ramp:
        return 0.5 + 0.5 * math.cos(math.pi * t / ramp)
    return 0.0


@kernel
def wind_at(
    north_m: float,
    east_m: float,
    t_s: float,
    wind: FloatArray,
    gusts: FloatArray,
    veers: FloatArray,
    episodes: FloatArray,
    episode_count: int,
) -> tuple[float, float]:
    """Return (north, east) of the wind's velocity [m/s] at a place and time; it blows towards this vector."""
    turn = 0.0
    for k in range(veers.shape[0]):
        turn += veers[k, lay.V_AMP] * math.sin(2.0 * math.pi * veers[k, lay.V_FREQ] * t_s + veers[k, lay.V_PHASE])
    factor = 1.0
    for k in range(episode_count):
        passes = episodes[k, lay.E_KIND] == lay.EPISODE_GUST
        share = episode_shape(
            t_s, episodes[k, lay.E_START_S], episodes[k, lay.E_RAMP_S], episodes[k, lay.E_HOLD_S], passes
        )
        turn += share * episodes[k, lay.E_TURN]
        factor *= 1.0 + share * (episodes[k, lay.E_FACTOR] - 1.0)
    mean = wind[lay.W_MEAN]
    base = wind[lay.W_FROM]
    downwind = -(north_m * math.cos(base) + east_m * math.sin(base))
    delay = t_s - downwind / max(mean, 1.0)
    along = 1.0
    across = 0.0
    for k in range(gusts.shape[0]):
        angle = 2.0 * math.pi * gusts[k, lay.T_FREQ] * delay
        along += gusts[k, lay.T_ALONG_AMP] * math.sin(angle + gusts[k, lay.T_ALONG_PHASE])
        across += gusts[k, lay.T_ACROSS_AMP] * math.sin(angle + gusts[k, lay.T_ACROSS_PHASE])
    speed = mean * factor
    c = math.cos(base + turn)
    s = math.sin(base + turn)
    return -speed * (along * c + across * -s), -speed * (along * s + across * c)


@kernel
def blow(
    boats: FloatArray,
    t_s: float,
    wind: FloatArray,
    gusts: FloatArray,
    veers: FloatArray,
    episodes: FloatArray,
    episode_count: int,
) -> None:
    """Write the wind at every boat into her row, in place."""
    for i in range(boats.shape[0]):
        wn, we = wind_at(boats[i, lay.B_NORTH], boats[i, lay.B_EAST], t_s, wind, gusts, veers, episodes, episode_count)
        boats[i, lay.B_WIND_N] = wn
        boats[i, lay.B_WIND_E] = we
