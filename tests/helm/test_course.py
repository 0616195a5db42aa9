"""Laying a course in: round boats and what leads from their bows, afloat, and on to the line where there is room."""

import math
from itertools import pairwise

import pytest

from sim.demonstrator import course
from sim.demonstrator.choosing import Other
from sim.helm.chartwork import Chartwork
from sim.scenario import library

NORTH, EAST = 0.0, math.pi / 2.0


@pytest.fixture(scope="module")
def pool():
    """A bay with nothing in it, and its chart."""
    brief = library.load_lesson("lantern-pool").brief
    return brief, Chartwork(brief.chart)


def clearance_m(way: list[tuple[float, float]], other: Other) -> float:
    return min(math.dist(place, point) for place in way for point in course.hull(other).tolist())


def length_m(way: list[tuple[float, float]]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(way))


def test_with_nothing_in_the_way_the_course_is_straight(pool):
    way = course.lay(*pool, [], (0.0, -60.0), (0.0, 60.0))

    assert way[-1] == (0.0, 60.0)
    assert max(abs(north) for north, _ in way) <= course.CELL_M


def test_a_boat_in_the_way_is_given_a_berth_and_passed_under_her_stern(pool):
    """Her chain leads ahead of her: the way round her stern crosses nothing."""
    other = Other(0.0, 0.0, NORTH, 12.0, 40.0, "chain")
    way = course.lay(*pool, [other], (0.0, -60.0), (0.0, 60.0))

    assert clearance_m(way, other) > course.HARD_LOA * other.loa_m
    assert min(north for north, _ in way) < -0.5 * other.loa_m
    assert length_m(way) < 1.7 * 120.0


def test_a_course_keeps_afloat():
    """Round the shallow water of a cove and not over it, where both are to be had."""
    brief = library.load_lesson("hazel-cove").brief
    chart = Chartwork(brief.chart)
    a = brief.anchorage
    way = course.lay(brief, chart, [], (a.north_m - 120.0, a.east_m + 60.0), (a.north_m, a.east_m))
    least = min(chart.at(*place) for place in way) + brief.tide.now_m - brief.boat.draught_m

    assert least > course.UNDER_KEEL_M - 0.2, "the cells of the course are eight metres wide"


def test_the_line_is_joined_nearer_where_a_boat_lies_behind_the_slot():
    free = course.gate_m((0.0, 0.0), NORTH, [])
    behind = course.gate_m((0.0, 0.0), NORTH, [Other(-75.0, 0.0, NORTH, 12.0, 30.0, "chain")])

    assert free == max(course.GATES_M)
    assert course.GATES_M[-1] <= behind <= 75.0 - course.GATE_BERTH_LOA * 12.0


def test_one_steers_for_a_place_further_along():
    way = [(0.0, float(east)) for east in range(0, 100, 10)]

    assert course.ahead_on(way, (3.0, 21.0), 25.0) == (0.0, 50.0)
    assert course.ahead_on(way, (0.0, 88.0), 25.0) == way[-1]
