"""Choosing a spot: good ground, room to swing, rode from the roller at high water, and the drop is not the seat."""

import dataclasses
import math

import numpy as np
import pytest

from sim.base.units import mps
from sim.demonstrator import choosing
from sim.demonstrator.choosing import Other, Spot
from sim.helm.chartwork import Chartwork
from sim.helm.exercise import Exercise
from sim.model.tackle.catenary import reach_on_bed_m
from sim.model.tackle.lying import resultant_rad
from sim.scenario import library
from sim.scenario.read.brief import Anchorage, Brief

NORTH = 0.0
REFUSED = ("bramble-gale", "copperwick-gale", "saltmarrow-springs", "scart-skerries", "thimble-cove")
STAYED = ("lantern-pool", "hazel-cove", "saltmarrow-reach", "three-towers")
_charts: dict[int, Chartwork] = {}


def drawn(brief: Brief) -> Chartwork:
    """Return the chart's depths, worked out once for each chart."""
    return _charts.setdefault(id(brief.chart), Chartwork(brief.chart))


@pytest.fixture(scope="module")
def cove() -> Brief:
    """The brief of the cove with a bed of weed in its middle and a cable across its mouth."""
    return library.load_lesson("hazel-cove").brief


def asked(brief: Brief, north_m: float, east_m: float, radius_m: float = 45.0, seat: tuple | None = None) -> Brief:
    """Return the brief with another anchorage asked for."""
    return dataclasses.replace(brief, anchorage=Anchorage(north_m, east_m, radius_m, seat))


def centre(polygon: np.ndarray) -> tuple[float, float]:
    north, east = polygon.mean(axis=0)
    return float(north), float(east)


def away_m(spot: Spot, north_m: float, east_m: float) -> float:
    return math.hypot(spot.drop_north_m - north_m, spot.drop_east_m - east_m)


def test_an_empty_patch_of_sand_is_taken_in_its_middle(cove):
    spot = choosing.choose(asked(cove, -90.0, 0.0, radius_m=20.0), NORTH, [], cove.tide.now_m, drawn(cove))

    assert away_m(spot, -90.0, 0.0) < 1e-9


def test_no_anchor_goes_into_charted_weed_or_on_rock(cove):
    for letters, polygon in cove.chart.patches:
        north, east = centre(polygon)
        assert not drawn(cove).good_ground(north, east), letters
    weed = centre(cove.chart.patches[0][1])
    spot = choosing.choose(asked(cove, *weed), NORTH, [], cove.tide.now_m, drawn(cove))

    assert drawn(cove).good_ground(spot.drop_north_m, spot.drop_east_m)
    assert 0.0 < away_m(spot, *weed) <= 45.0


def test_no_anchor_goes_into_a_zone_with_a_rule_against_it(cove):
    cable = centre(cove.chart.zones[0].polygon_m)
    assert not drawn(cove).good_ground(*cable)
    spot = choosing.choose(asked(cove, *cable), NORTH, [], cove.tide.now_m, drawn(cove))

    assert drawn(cove).good_ground(spot.drop_north_m, spot.drop_east_m)


def test_no_anchor_goes_on_land(cove):
    assert not drawn(cove).good_ground(0.0, 215.0)
    assert not drawn(cove).good_ground(0.0, -220.0)


def test_contours_count_where_soundings_are_far(cove):
    """On the two-metre line the nearest sounding is seventy metres off and twice as deep."""
    on_the_line = next(line for depth, line in cove.chart.contours if depth == 2.0)

    for north, east in on_the_line:
        assert drawn(cove).at(north, east) == pytest.approx(2.0, abs=0.1)


def test_where_the_depth_would_not_float_her_at_low_water_no_anchor_goes(cove):
    """A deep keel, on an anchorage that runs up to the two-metre line: the deep part of it is taken."""
    deep = dataclasses.replace(cove, boat=dataclasses.replace(cove.boat, draught_m=3.0))
    at = (60.0, 140.0)
    least = 3.0 + cove.tide.fall_m + 1.0
    assert drawn(deep).at(*at) + cove.tide.now_m < least
    spot = choosing.choose(asked(deep, *at, radius_m=60.0), NORTH, [], cove.tide.now_m, drawn(cove))

    assert spot.depth_m >= least


def test_a_neighbour_in_the_middle_is_given_room(cove):
    """One lies where the anchorage's middle would put her; the spot chosen leaves both room to swing."""
    brief = asked(cove, -90.0, 0.0)
    middle = choosing.choose(brief, NORTH, [], cove.tide.now_m, drawn(cove))
    there = Other(middle.drop_north_m - 52.0, 5.0, NORTH, 12.0, 30.0, "chain")
    spot = choosing.choose(brief, NORTH, [there], cove.tide.now_m, drawn(cove))

    assert choosing.least_gap_m(brief, middle, [there], drawn(brief)) < 0.0
    assert spot.gap_m > 0.5 * cove.boat.loa_m
    assert spot.gap_m == pytest.approx(choosing.least_gap_m(brief, spot, [there], drawn(brief)))


def test_room_is_counted_with_boats_up_to_thirty_degrees_out_of_step(cove):
    """Side by side on equal rodes they never near each other in step; out of step they do."""
    spot = Spot(-90.0, 0.0, 6.0, 35.0, NORTH, 0.0)
    reach = reach_on_bed_m(35.0, 7.5) + 6.0
    beside = Other(-90.0 - reach, 40.0, NORTH, 12.0, 35.0, "chain")
    gap = choosing.least_gap_m(cove, spot, [beside], drawn(cove))
    in_step = 40.0 - 0.5 * (cove.boat.loa_m + 12.0)

    assert in_step - 2.0 * reach * math.sin(math.radians(15.0)) - 1.0 < gap < in_step - 10.0


def test_rode_is_counted_from_the_roller_at_high_water(cove):
    """5:1 of the height from the bed to the roller at the highest water, to the whole metre above. Common practice."""
    height = 6.0 + cove.tide.rise_m + cove.boat.roller_height_m
    calm = dataclasses.replace(cove, forecast=dataclasses.replace(cove.forecast, gust_mps=mps(5.0)))

    assert cove.tide.rise_m > 0.5
    assert choosing.rode_m(calm, 6.0) == math.ceil(5.0 * height)


def test_more_wind_asks_for_more_rode_than_a_fixed_scope(cove):
    blow = dataclasses.replace(cove, forecast=dataclasses.replace(cove.forecast, gust_mps=mps(35.0)))

    assert choosing.rode_m(blow, 4.0) > choosing.rode_m(cove, 4.0)


def test_no_more_rode_is_planned_than_she_carries(cove):
    gale = dataclasses.replace(cove, forecast=dataclasses.replace(cove.forecast, gust_mps=mps(60.0)))

    assert choosing.rode_m(gale, 12.0) == cove.boat.rode_m - choosing.LEAST_SPARE_M


@pytest.mark.parametrize("lie_deg", [0.0, 90.0, 225.0])
def test_where_a_seat_is_given_the_anchor_goes_to_windward_of_it(cove, lie_deg):
    """She lies a rode's reach and half her length to leeward of her anchor: the drop is not the seat."""
    lie = math.radians(lie_deg)
    seat = (-90.0, 0.0)
    spot = choosing.choose(asked(cove, *seat, radius_m=60.0, seat=seat), lie, [], cove.tide.now_m, drawn(cove))
    reach = reach_on_bed_m(spot.rode_m, spot.depth_m + cove.boat.roller_height_m) + cove.boat.roller_x_m
    lies = (spot.drop_north_m - reach * math.cos(lie), spot.drop_east_m - reach * math.sin(lie))

    assert away_m(spot, *seat) > 25.0
    assert math.dist(lies, seat) < 15.0, "as near as the spots tried lie to each other"


def test_an_anchorage_with_no_good_ground_still_gives_a_plan(cove):
    """Nothing fits: its middle, and the skipper will see."""
    north, east = centre(cove.chart.patches[0][1])
    spot = choosing.choose(asked(cove, north, east, radius_m=2.0), NORTH, [], cove.tide.now_m, drawn(cove))

    assert away_m(spot, north, east) == 0.0
    assert spot.rode_m > 0.0


def test_the_mean_of_directions_crosses_north():
    mean = choosing.mean_direction([math.radians(d) for d in (350.0, 10.0, 355.0, 5.0)])

    assert math.cos(mean) == pytest.approx(1.0)


def test_charted_depth_by_eye_is_the_sounding_at_a_sounding(cove):
    for north, east, depth in cove.chart.soundings:
        assert drawn(cove).at(north, east) == pytest.approx(depth, abs=0.1)


def as_ranged(name: str) -> tuple[Brief, list[Other]]:
    """Return a lesson's brief, and its boats as they lie at the start, ranged without error."""
    lesson = library.load_lesson(name)
    exercise = Exercise(lesson, 1)
    rows = exercise.world.state.boats[1:]
    others = [
        Other(float(r[0]), float(r[1]), float(r[2]), n.boat.particulars.loa_m, n.rode_m, n.rode_kind)
        for r, n in zip(rows, exercise.world.params.neighbours, strict=True)
    ]
    return lesson.brief, others


@pytest.mark.parametrize("name", [*REFUSED, *STAYED])
def test_a_bay_is_left_where_its_best_spot_would_not_do_and_only_there(name):
    """Too deep for the chain, too shallow at low water, foul ground, or full: no honest spot is left."""
    brief, others = as_ranged(name)
    spot = choosing.choose(brief, brief.forecast.from_rad, others, brief.tide.now_m)

    assert bool(spot.faults(brief.boat.loa_m)) == (name in REFUSED)


def test_no_anchor_goes_down_again_where_one_came_home(cove):
    """The next try is well clear of the furrow."""
    first = choosing.choose(asked(cove, -90.0, 0.0), NORTH, [], cove.tide.now_m, drawn(cove))
    place = (first.drop_north_m, first.drop_east_m)
    again = choosing.choose(asked(cove, -90.0, 0.0), NORTH, [], cove.tide.now_m, drawn(cove), [place])

    assert away_m(again, *place) >= choosing.ELSEWHERE_M


def test_a_boat_that_does_not_swing_is_taken_where_she_lies_and_one_on_rope_at_her_worst(cove):
    """Beside a boat on two anchors there is the gap one sees; a boat on rope may come anywhere in her circle."""
    spot = Spot(-90.0, 0.0, 6.0, 35.0, NORTH, 0.0)
    reach = reach_on_bed_m(35.0, 7.5) + 6.0
    still = Other(-90.0 - reach, 60.0, NORTH, 12.0, 35.0, "two_anchors")
    calm = dataclasses.replace(cove, forecast=dataclasses.replace(cove.forecast, sector_rad=(0.0, 0.01)))

    assert choosing.least_gap_m(calm, spot, [still], drawn(cove)) == pytest.approx(60.0, abs=8.0)
    assert choosing.least_gap_m(calm, spot, [dataclasses.replace(still, rode_kind="rope")], drawn(cove)) < 25.0


def test_a_lee_shore_in_the_worst_hour_is_left_whatever_the_hour_of_arrival_is_like():
    """A light wind off the beach now, and gusts over force 9 on to it later: the place is named a lee shore."""
    brief, others = as_ranged("copperwick-gale")
    spot = choosing.choose(brief, brief.forecast.from_rad, others, brief.tide.now_m)
    fine = dataclasses.replace(brief, forecast=dataclasses.replace(brief.forecast, shifts=()))

    assert "lee_shore" in spot.faults(brief.boat.loa_m)
    assert choosing.worst_gust_mps(brief) == pytest.approx(1.4 * mps(32.0))
    assert choosing.choose(fine, brief.forecast.from_rad, others, brief.tide.now_m).faults(brief.boat.loa_m) == ()


def test_a_rode_with_rope_in_it_is_laid_longer_than_one_of_chain(cove):
    """Seven times the height at the roller once rope goes out (common practice), five while chain alone does."""
    part = library.load_lesson("hazel-cove").brief_in("fin-keel-9")
    height = 3.5 + part.tide.rise_m + part.boat.roller_height_m

    assert part.boat.rope_m > 0.0
    assert choosing.rode_m(part, 3.5) == math.ceil(7.0 * height) > part.boat.chain_m


@pytest.mark.parametrize(
    ("rate_kn", "least_deg", "most_deg"), [(0.5, 18.0, 52.0), (1.0, 45.0, 76.0), (1.5, 62.0, 85.0)]
)
def test_across_a_stream_she_lies_between_wind_and_stream(rate_kn, least_deg, most_deg):
    """12 knots of wind across: the bands within which a fin keel of the library lies in her trials."""
    off = math.degrees(resultant_rad(0.0, mps(12.0), (0.0, -mps(rate_kn))))

    assert least_deg < off < most_deg


def test_room_is_counted_for_how_she_lies_to_every_stream_of_the_stay():
    """Where the stream turns she turns with it, whatever the wind does."""
    brief = library.load_lesson("tollgate-slot").brief
    slack = dataclasses.replace(brief, stream=np.zeros((0, 3)))
    across = np.abs(np.sin(choosing.lies_rad(brief) - brief.forecast.from_rad)).max()

    assert across > np.abs(np.sin(choosing.lies_rad(slack) - slack.forecast.from_rad)).max() + 0.2
