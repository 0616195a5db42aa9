"""Wind as a function of seed, place and time, plus episodes that only commands add.

Gusts are a sum of sinusoids with the amplitudes of a published spectrum, carried downwind at the mean speed (frozen
turbulence, after Taylor), so that each boat meets the same gust at her own time. Slow veering is a second, slower sum.
Shifts and squalls foreseen by the lesson are episodes like those that commands add. To leeward of high land the mean is
less and the gusts are more; gusts off it come as a train of their own.
"""

import math

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.air.gusts import gust_waves, gusts_here
from sim.model.air.shelter import LEE_ROUGHENS, by_direction
from sim.model.groups import Air
from sim.model.params import Weather

VEER_WAVES = 8
VEER_TIME_S = 180.0
SQUALL_FADES = 4.0  # a squall dies away so many times as slowly as it came (judgement)


def pack(seed: int, mean_mps: float, from_rad: float, intensity: float, veer_sigma_rad: float) -> Weather:
    """Return the weather of one run.

    Args:
        seed: the run's seed.
        mean_mps: mean speed at 10 m, >= 0.
        from_rad: direction it blows from.
        intensity: standard deviation of the speed over its mean, 0 for a steady wind; 0.13 over open water (judgement).
        veer_sigma_rad: standard deviation of the slow veering.
    """
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
    return Weather(wind=wind, gusts=gust_waves(seed, mean_mps, intensity), veers=veers)


@kernel
def episode_shape(t_s: float, start_s: float, ramp_s: float, hold_s: float, passes: bool, fade: float) -> float:
    """Return how much of an episode is felt at ``t_s``: 0 before, 1 in full, and 0 again after one that passes.

    One that passes takes ``fade`` times as long to die away as it took to come.
    """
    t = t_s - start_s
    if t <= 0.0:
        return 0.0
    ramp = max(ramp_s, 1e-3)
    if t < ramp:
        return 0.5 - 0.5 * math.cos(math.pi * t / ramp)
    if not passes or t < ramp + hold_s:
        return 1.0
    t -= ramp + hold_s
    ramp *= fade
    if t < ramp:
        return 0.5 + 0.5 * math.cos(math.pi * t / ramp)
    return 0.0


@kernel
def felt(t_s: float, episodes: FloatArray, count: int) -> tuple[float, float]:
    """Return (turn [rad], factor on the speed) of the first ``count`` episodes at a time."""
    turn = 0.0
    factor = 1.0
    for k in range(count):
        kind = episodes[k, lay.E_KIND]
        if kind == lay.EPISODE_WASH:
            continue
        fade = SQUALL_FADES if kind == lay.EPISODE_SQUALL else 1.0
        share = episode_shape(
            t_s,
            episodes[k, lay.E_START_S],
            episodes[k, lay.E_RAMP_S],
            episodes[k, lay.E_HOLD_S],
            kind != lay.EPISODE_SHIFT,
            fade,
        )
        turn += share * episodes[k, lay.E_TURN]
        factor *= 1.0 + share * (episodes[k, lay.E_FACTOR] - 1.0)
    return turn, factor


@kernel
def slow_wind(t_s: float, air: Air, episodes: FloatArray, episode_count: int) -> tuple[float, float]:
    """Return (speed [m/s], direction it blows from [rad]) at a time, without gusts: the same all over the bay."""
    wind, _gusts, veers, _falls, planned, _lee, _lee_raster = air
    turn = 0.0
    for k in range(veers.shape[0]):
        turn += veers[k, lay.V_AMP] * math.sin(2.0 * math.pi * veers[k, lay.V_FREQ] * t_s + veers[k, lay.V_PHASE])
    coming, strength = felt(t_s, planned, planned.shape[0])
    ordered, more = felt(t_s, episodes, episode_count)
    return wind[lay.W_MEAN] * strength * more, wind[lay.W_FROM] + turn + coming + ordered


@kernel
def falling_gusts(
    north_m: float, east_m: float, t_s: float, wind: FloatArray, falls: FloatArray, wind_n: float, wind_e: float
) -> tuple[float, float]:
    """Return the wind (north, east) with gusts off high ground in it, given that without them [m/s].

    One comes in each turn of their interval, somewhere in it, and travels away from the high ground. While it lasts its
    own wind stands instead of the other.
    """
    every = wind[lay.W_FALL_EVERY]
    source = wind[lay.W_FALL_FROM]
    away = -(north_m * math.cos(source) + east_m * math.sin(source))
    here = t_s - away / wind[lay.W_FALL_SPEED]
    now = math.floor(here / every)
    for turn in range(now - 1, now + 1):
        row = turn % falls.shape[0]
        last = falls[row, lay.FL_LAST]
        start = (turn + falls[row, lay.FL_LATE]) * every
        share = episode_shape(here, start, 0.25 * last, 0.5 * last, True, 1.0)
        speed = falls[row, lay.FL_SPEED]
        comes = source + falls[row, lay.FL_TURN]
        wind_n = (1.0 - share) * wind_n - share * speed * math.cos(comes)
        wind_e = (1.0 - share) * wind_e - share * speed * math.sin(comes)
    return wind_n, wind_e


@kernel
def wind_here(
    north_m: float, east_m: float, t_s: float, speed_mps: float, from_rad: float, air: Air
) -> tuple[float, float]:
    """Return (north, east) of the wind's velocity [m/s] at a place and time, given the slow wind of that time."""
    wind, gusts, _veers, falls, _planned, lee, lee_raster = air
    c = math.cos(from_rad)
    s = math.sin(from_rad)
    # Along and across the slow wind of the moment, so that after a shift they come with the new wind.
    delay = t_s + (north_m * c + east_m * s) / max(wind[lay.W_MEAN], 1.0)
    along, across = gusts_here(delay, north_m * s - east_m * c, gusts)
    left = 1.0
    if lee.shape[0] > 0:
        left = by_direction(north_m, east_m, from_rad, lee_raster, lee)
        rough = 1.0 + LEE_ROUGHENS * (1.0 - left)
        along *= rough
        across *= rough
    along += left
    wind_n = -speed_mps * (along * c - across * s)
    wind_e = -speed_mps * (along * s + across * c)
    if falls.shape[0] > 0:
        return falling_gusts(north_m, east_m, t_s, wind, falls, wind_n, wind_e)
    return wind_n, wind_e


@kernel
def wind_at(
    north_m: float, east_m: float, t_s: float, air: Air, episodes: FloatArray, episode_count: int
) -> tuple[float, float]:
    """Return (north, east) of the wind's velocity [m/s] at a place and time; it blows towards this vector."""
    speed, comes = slow_wind(t_s, air, episodes, episode_count)
    return wind_here(north_m, east_m, t_s, speed, comes, air)


@kernel
def blow(boats: FloatArray, t_s: float, air: Air, episodes: FloatArray, episode_count: int) -> None:
    """Write the wind at every boat into her row, in place."""
    speed, comes = slow_wind(t_s, air, episodes, episode_count)
    for i in range(boats.shape[0]):
        wn, we = wind_here(boats[i, lay.B_NORTH], boats[i, lay.B_EAST], t_s, speed, comes, air)
        boats[i, lay.B_WIND_N] = wn
        boats[i, lay.B_WIND_E] = we
