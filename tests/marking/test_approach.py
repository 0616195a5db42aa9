"""The approach: speed, distance and line, against sums done by hand."""

import numpy as np
import pytest
import worlds
from marking import sailed

from sim.base.units import knots
from sim.marking.phases import approach

PLOVER = worlds.neighbour(-24.0, 20.0)


def test_speed_counts_within_three_lengths_of_the_spot():
    """She passes 36 m from the spot at 1.0 m/s; further off nothing is asked."""
    assert approach.max_sog_near_kn(sailed.run()).value == pytest.approx(knots(1.0))
    fast_far_off = np.where(sailed.T_S < 50.0, 4.0, sailed.fast()["surge_mps"])
    assert approach.max_sog_near_kn(sailed.run(surge_mps=fast_far_off)).value == pytest.approx(knots(1.0))


def test_speed_counts_near_a_boat_as_well():
    """A neighbour beside her track makes the speed there count, but for that which the lesson starts her with."""

    def fastest_kn(until_s: float) -> float | None:
        run = sailed.run(
            surge_mps=np.where(until_s > sailed.T_S, 2.0, sailed.fast()["surge_mps"]),
            params={"neighbours": (worlds.neighbour(-60.0, 20.0),)},
            others=[(-100.0, 20.0, 0.0)],
        )
        return approach.max_sog_near_kn(run).value

    assert fastest_kn(until_s=25.0) == pytest.approx(knots(2.0))
    assert fastest_kn(until_s=approach.GIVEN_S) == pytest.approx(knots(1.0))


def test_nearest_to_a_hull_is_between_the_sides():
    """Centre lines 20 m apart, half a beam off for each."""
    run = sailed.run(params={"neighbours": (PLOVER,)}, others=[(-60.0, 20.0, 0.0)])

    assert approach.min_cpa_loa(run).value == pytest.approx((20.0 - 1.95 - 1.95) / 12.0, abs=0.01)


def test_crossing_the_rode_close_ahead_of_a_bow_is_no_distance():
    """Her rode leads across the track just ahead of her bow."""
    other = worlds.neighbour(-60.0, -30.0)
    run = sailed.run(params={"neighbours": (other,)}, others=[(-60.0, 13.0, -np.pi / 2.0)])

    assert approach.min_cpa_loa(run).value == pytest.approx(0.0, abs=0.1)


def test_an_empty_bay_has_no_nearest():
    """The measure drops out."""
    assert approach.min_cpa_loa(sailed.run()) is None


@pytest.mark.parametrize("wind_from_deg", [0.0, 30.0, -45.0])
def test_the_last_leg_is_compared_with_her_lie(wind_from_deg):
    """She comes up due north; she will lie into the wind."""
    wind = np.radians(wind_from_deg)
    run = sailed.run(wind_n_mps=-5.0 * np.cos(wind), wind_e_mps=-5.0 * np.sin(wind))

    assert approach.approach_error_deg(run).value == pytest.approx(abs(wind_from_deg), abs=1e-6)


def test_a_stream_turns_her_lie():
    """In no wind she lies to the stream: one setting south-west lets her head north-east."""
    run = sailed.run(wind_n_mps=0.0, stream_n_mps=-0.5, stream_e_mps=-0.5)

    assert np.degrees(run.lie_rad) == pytest.approx(45.0)


def test_never_under_way_towards_it_earns_nothing():
    """Without way on there is no leg to judge."""
    assert approach.approach_error_deg(sailed.run(surge_mps=0.0)).value is None


def test_the_gap_that_really_was_is_hull_to_hull():
    """From the touch on she falls back from -6 m to -36 m; a boat lies 40 m astern of there."""
    run = sailed.run(params={"neighbours": (PLOVER,)}, others=[(-88.0, 0.0, 0.0)])

    assert approach.least_gap_to_boats_m(run, 100.0) == pytest.approx(52.0 - 12.0 - 3.9, abs=1e-6)
    assert approach.least_gap_to_boats_m(sailed.run(), 100.0) is None
