"""What a trainee may know: the tide still to come, the sector, the card of the boat."""

import math

import numpy as np
import pytest

from sim.scenario import library
from sim.scenario.read import brief

HOUR_S = 3600.0
SPRING = np.array([[-3.0, 0.4], [3.0, 2.0], [9.0, 0.6], [15.0, 2.2]]) * [HOUR_S, 1.0]


def test_the_tide_still_to_come_is_told():
    """Half way up at the start: 1.2 m by the cosine between 0.4 and 2.0."""
    tide = brief.tide_brief(SPRING, 10.0 * HOUR_S)

    assert tide.now_m == pytest.approx(1.2)
    assert tide.next_high == (3.0 * HOUR_S, 2.0)
    assert tide.next_low == (9.0 * HOUR_S, 0.6)
    assert tide.rise_m == pytest.approx(0.8)
    assert tide.fall_m == pytest.approx(0.6)


def test_only_the_stay_counts():
    short = brief.tide_brief(SPRING, 1.0 * HOUR_S)
    long = brief.tide_brief(SPRING, 15.0 * HOUR_S)

    assert short.rise_m == pytest.approx(1.6 * 0.5 * (1.0 - math.cos(math.pi * 4.0 / 6.0)) + 0.4 - 1.2)
    assert short.fall_m == 0.0
    assert long.rise_m == pytest.approx(1.0)


def test_still_water_neither_rises_nor_falls():
    tide = brief.tide_brief(np.array([[0.0, 0.0]]), 10.0 * HOUR_S)

    assert (tide.now_m, tide.next_high, tide.next_low, tide.rise_m, tide.fall_m) == (0.0, None, None, 0.0, 0.0)


def test_a_stream_sets_to_its_bearing(school, spoil):
    spoil("lessons/lantern-pool.yaml", "stream: []", "stream: [{ at_h: 1, rate_kn: 2, to_deg: 90 }]")

    told = library.load_lesson(school / "lessons" / "lantern-pool.yaml").brief.stream

    assert told[0] == pytest.approx([HOUR_S, 0.0, 2.0 * 1852.0 / 3600.0])


def test_without_a_sector_the_wind_may_go_thirty_degrees_either_way(school, spoil):
    spoil("lessons/lantern-pool.yaml", ", sector_deg: [255, 285]", "")

    sector = library.load_lesson(school / "lessons" / "lantern-pool.yaml").brief.forecast.sector_rad

    assert sector == pytest.approx((math.radians(240.0), math.radians(300.0)))


def test_the_card_of_the_boat():
    card = library.load_lesson("hazel-cove").brief.boat

    assert (card.bridle, card.shafts, card.anchor) == (True, 2, "scoop")
    assert card.windlass_mps == pytest.approx(22.0 / 60.0)
