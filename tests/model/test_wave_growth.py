"""Waves of a bay against growth curves that the model does not carry, fitted to other measurements."""

import math

import pytest
from published import published

from sim.model.water import waves

CURVES = published("weather")["wave_growth_composite"]
G = 9.80665


@pytest.mark.parametrize("wind_mps", [5.0, 10.0, 17.0])
@pytest.mark.parametrize("fetch_m", [300.0, 1000.0, 5000.0])
def test_waves_lie_near_the_composite_growth_of_other_measurements(wind_mps, fetch_m):
    """Kahma and Calkoen (1992): height and period of either fit within two fifths and three tenths of the other's.

    The bands are what the two fits were found to differ by, not what measurements scatter: JONSWAP's is the lower one,
    the more so the shorter the fetch.
    """
    far = G * fetch_m / wind_mps**2
    height = 4.0 * math.sqrt(CURVES["energy"] * far ** CURVES["energy_power"]) * wind_mps**2 / G
    period = 2.0 * math.pi * wind_mps / G / (CURVES["peak"] * far ** CURVES["peak_power"])
    found = waves.significant_height_m(wind_mps, fetch_m) / height, waves.peak_period_s(wind_mps, fetch_m) / period
    print(f"{wind_mps} m/s, {fetch_m} m: height {found[0]:.2f}, period {found[1]:.2f} of theirs")  # noqa: T201

    assert 0.60 <= found[0] <= 1.0 / 0.60
    assert 0.70 <= found[1] <= 1.0 / 0.70
