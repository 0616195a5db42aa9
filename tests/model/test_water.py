"""Tide, stream and depth: the rule of twelfths, the profile over the bed, the raster and its edge."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from published import published
from scipy.interpolate import PchipInterpolator

from sim.model import layout as lay
from sim.model.params import Water
from sim.model.water.water import (
    bottom_at,
    charted_depth_m,
    draught_share,
    float_boats,
    patchiness,
    shear,
    stream_at,
    tide_height_m,
)

WEATHER = published("weather")
TIDE = np.array([[0.0, 0.4], [6.0 * 3600.0, 4.4], [12.0 * 3600.0, 0.8]])
RASTER = np.array([-10.0, -20.0, 5.0])


def test_the_tide_rises_by_the_rule_of_twelfths():
    """The rule (common practice) stands for the cosine that the tide follows; they differ by 1.64 % of the range."""
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


def test_from_flood_to_ebb_the_stream_follows_a_cosine():
    """Given only its strongest each way, six hours apart: within 2.1 % of the strongest at any time, 0 half way."""
    rows = np.array([[0.0, 1.5, -0.5], [6 * 3600.0, -1.5, 0.5], [12 * 3600.0, 1.5, -0.5]])
    for t in np.arange(0.0, 12 * 3600.0, 600.0):
        share = np.cos(np.pi * t / (6 * 3600.0))
        assert stream_at(float(t), rows) == pytest.approx((1.5 * share, -0.5 * share), abs=0.021 * 1.5)

    assert stream_at(3 * 3600.0, rows) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_an_hourly_table_is_followed_through_slack_without_overshoot():
    """A sine sampled each hour comes back within 3 % of its strongest, and never beyond the rows beside it.

    Not in the first and last hour: the stream stands before and after the table, and eases into that.
    """
    hours = np.arange(0.0, 13.0)
    north = 1.2 * np.sin(2.0 * np.pi * hours / 12.4)
    rows = np.stack([3600.0 * hours, north, 0.0 * hours], axis=1)
    for t in np.arange(1.0, 11.0, 0.1):
        found = stream_at(3600.0 * float(t), rows)[0]
        k = min(int(t), 11)
        assert found == pytest.approx(1.2 * np.sin(2.0 * np.pi * t / 12.4), abs=0.03 * 1.2)
        assert min(north[k], north[k + 1]) - 1e-9 <= found <= max(north[k], north[k + 1]) + 1e-9


@given(rates=some.lists(some.floats(-3.0, 3.0), min_size=5, max_size=9), seed=some.integers(0, 99))
def test_between_its_inner_rows_the_stream_is_the_monotone_cubic_of_a_library(rates, seed):
    """SciPy's PchipInterpolator, slopes by Fritsch and Butland (1984), rows unevenly apart: 1e-9 m/s.

    Not next to the first and the last row, where the stream eases into standing still and the library into a parabola.
    """
    t = np.cumsum(np.random.default_rng(seed).uniform(600.0, 5400.0, len(rates)))
    rows = np.stack([t, np.array(rates), 0.0 * t], axis=1)
    library = PchipInterpolator(t, rates)
    for at in np.linspace(t[1], t[-2], 40):
        assert stream_at(float(at), rows)[0] == pytest.approx(float(library(at)), abs=1e-9)


@given(draught=some.floats(0.05, 12.0), depth=some.floats(0.5, 12.0))
def test_a_hull_feels_the_stream_averaged_over_her_draught(draught, depth):
    """Against the profile itself, added up in a thousand layers; a hull that touches feels all of it, 7/8."""
    reach = min(draught, depth)
    heights = depth - reach * (np.arange(1000) + 0.5) / 1000.0
    expected = np.mean([shear(float(h), depth) for h in heights])

    assert draught_share(draught, depth) == pytest.approx(expected, abs=2e-3)


def test_no_draught_feels_the_surface():
    assert draught_share(0.0, 5.0) == 1.0
    assert draught_share(2.0, 0.0) == WEATHER["stream_profile"]["mean"]
    assert draught_share(1e-6, 5.0) == pytest.approx(1.0, abs=1e-6)


def test_every_boat_has_her_own_stream():
    """A deep keel in shallow water feels less than a shallow one; both chains lie in the same water."""
    boats = np.zeros((2, lay.BOAT_COLS))
    hulls = np.zeros((2, lay.HULL_COLS))
    hulls[:, lay.H_DRAUGHT] = 0.5, 2.5
    rows = np.array([[0.0, 0.6, -0.8]])
    streams = Water(np.zeros((1, 2)), rows).streams
    float_boats(boats, hulls, 0.0, 1.0, streams, RASTER, np.full((5, 9), 3.0))

    assert boats[:, lay.B_SURFACE_N].tolist() == [0.6, 0.6]
    felt = -boats[:, lay.B_STREAM_E] / 0.8
    assert felt == pytest.approx([draught_share(0.5, 4.0), draught_share(2.5, 4.0)])
    assert felt[0] > felt[1] > 0.875
    assert boats[:, lay.B_DEPTH].tolist() == [4.0, 4.0]


def test_the_stream_falls_towards_the_bed_by_the_seventh_root():
    """DNV-RP-C205's power law of tidal current, 1/7; an echo of the law, its mean of 7/8 is worked out."""
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
