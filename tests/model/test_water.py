"""Tide, stream and depth: the rule of twelfths, the profile over the bed, the raster and its edge."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from published import published

from sim.model.water import bottom_at, charted_depth_m, patchiness, shear, stream_at, tide_height_m

WEATHER = published("weather")
TIDE = np.array([[0.0, 0.4], [6.0 * 3600.0, 4.4], [12.0 * 3600.0, 0.8]])
RASTER = np.array([-10.0, -20.0, 5.0])


def test_the_tide_rises_by_the_rule_of_twelfths():
    """The rule stands for a cosine; they differ by at most 1.64 % of the range, at the first and fifth hour."""
    most = WEATHER["twelfths"]["most_difference"]
    for hour, share in enumerate(WEATHER["twelfths"]["share_of_range"]):
        rising = (tide_height_m(hour * 3600.0, TIDE) - 0.4) / 4.0
        falling = (4.4 - tide_height_m((6 + hour) * 3600.0, TIDE)) / 3.6

        assert rising == pytest.approx(share, abs=most)
        assert falling == pytest.approx(share, abs=most)


def test_outside_the_table_the_tide_stands():
    assert tide_height_m(-100.0, TIDE) == 0.4
    assert tide_height_m(13.0 * 3600.0, TIDE) == 0.8
    assert tide_height_m(5.0, np.array([[0.0, 1.5]])) == 1.5


def test_the_stream_turns_between_its_rows():
    rows = np.array([[0.0, 1.0, 0.0], [100.0, 0.0, -1.0]])

    assert stream_at(-1.0, rows) == (1.0, 0.0)
    assert stream_at(50.0, rows) == pytest.approx((0.5, -0.5))
    assert stream_at(101.0, rows) == (0.0, -1.0)


def test_the_stream_falls_towards_the_bed_by_the_seventh_root():
    profile = WEATHER["stream_profile"]
    heights = (np.arange(2000) + 0.5) / 2000.0

    assert shear(8.0, 8.0) == 1.0
    assert shear(4.0, 8.0) == pytest.approx(profile["half_depth"], abs=1e-4)
    assert np.mean([shear(8.0 * h, 8.0) for h in heights]) == pytest.approx(profile["mean"], abs=1e-3)
    assert shear(0.0, 8.0) == shear(-1.0, 8.0) == shear(1.0, 0.0) == 0.0
    assert shear(9.0, 8.0) == 1.0


@given(north=some.floats(-9.0, 9.0), east=some.floats(-19.0, 19.0))
def test_depth_is_read_between_the_raster_s_points(north, east):
    """On a plane bilinear reading is exact."""
    n = RASTER[0] + 5.0 * np.arange(5)
    e = RASTER[1] + 5.0 * np.arange(9)
    plane = 6.0 + 0.1 * n[:, None] - 0.05 * e[None, :]

    assert charted_depth_m(north, east, RASTER, plane) == pytest.approx(6.0 + 0.1 * north - 0.05 * east, abs=1e-9)


def test_beyond_the_raster_the_edge_goes_on():
    depth = np.tile(np.arange(5.0)[:, None], (1, 9))

    assert charted_depth_m(-500.0, 0.0, RASTER, depth) == 0.0
    assert charted_depth_m(500.0, 900.0, RASTER, depth) == pytest.approx(4.0, abs=0.01)
    assert bottom_at(500.0, 900.0, RASTER, np.arange(45).reshape(5, 9)) == 44
    assert bottom_at(-500.0, -900.0, RASTER, np.arange(45).reshape(5, 9)) == 0


def test_patchiness_repeats_every_128_metres():
    noise = np.random.default_rng(3).standard_normal((64, 64))

    assert patchiness(3.3, -7.1, noise) == pytest.approx(patchiness(131.3, 120.9, noise), abs=1e-9)
    assert patchiness(4.0, 6.0, noise) == noise[2, 3]
