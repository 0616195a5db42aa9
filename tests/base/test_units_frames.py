"""Units and frames: exact constants, and angles that mean what the layout says they mean."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as some

from sim.base import units
from sim.base.frames import bearing_rad, to_body, to_world, wrap_2pi, wrap_pi

ANGLES = some.floats(-1e4, 1e4)
LENGTHS = some.floats(-1e3, 1e3)


def test_a_knot_is_a_nautical_mile_an_hour():
    """1852 m by definition."""
    assert units.mps(1.0) * 3600.0 == pytest.approx(1852.0, rel=1e-15)
    assert units.knots(units.mps(7.3)) == pytest.approx(7.3, rel=1e-15)


def test_degrees_and_radians():
    assert units.rad(180.0) == math.pi
    assert units.deg(units.rad(217.0)) == pytest.approx(217.0)


def test_steel_in_sea_water_keeps_seven_eighths_of_its_weight():
    """1 - 1025 / 7850."""
    assert pytest.approx(0.8694, abs=1e-4) == units.SUBMERGED_STEEL


@given(second=some.integers(0, 10**6))
def test_ticks_fall_on_whole_seconds(second):
    assert units.seconds(units.ticks(float(second))) == second


@given(angle=ANGLES)
def test_wrapping_keeps_the_direction(angle):
    for wrapped in (wrap_pi(angle), wrap_2pi(angle)):
        assert math.cos(wrapped) == pytest.approx(math.cos(angle), abs=1e-9)
        assert math.sin(wrapped) == pytest.approx(math.sin(angle), abs=1e-9)
    assert -math.pi < wrap_pi(angle) <= math.pi
    assert 0.0 <= wrap_2pi(angle) < 2.0 * math.pi


def test_a_hair_west_of_north_is_north():
    """What rounds up to a whole turn is none."""
    assert wrap_2pi(-1e-20) == bearing_rad(1.0, -1e-20) == 0.0


def test_half_a_turn_wraps_to_plus_pi():
    assert wrap_pi(-math.pi) == wrap_pi(math.pi) == math.pi


def test_a_boat_heading_east_has_south_to_starboard():
    assert to_world(1.0, 0.0, math.pi / 2.0) == pytest.approx((0.0, 1.0))
    assert to_world(0.0, 1.0, math.pi / 2.0) == pytest.approx((-1.0, 0.0))


@given(forward=LENGTHS, starboard=LENGTHS, heading=ANGLES)
def test_to_world_and_back(forward, starboard, heading):
    assert to_body(*to_world(forward, starboard, heading), heading) == pytest.approx((forward, starboard), abs=1e-9)


@pytest.mark.parametrize(
    ("north", "east", "bearing_deg"), [(1.0, 0.0, 0.0), (0.0, 2.0, 90.0), (-1.0, 0.0, 180.0), (0.0, -1.0, 270.0)]
)
def test_bearings_count_clockwise_from_north(north, east, bearing_deg):
    assert math.degrees(bearing_rad(north, east)) == pytest.approx(bearing_deg)
