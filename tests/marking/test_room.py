"""Plan and spot: depth, room, bottom and plan, against sums done by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest
import worlds
from marking import sailed
from marking.weedy import weedy

from sim.base.units import mps, rad
from sim.core import events as ev
from sim.marking.phases import circles, plan_and_spot

REACH_M = math.sqrt(32.5**2 - 6.5**2)  # 31.84


def shelving(per_m: float):
    """Return a bay that deepens to the north by so much a metre, 5 m at the origin."""
    bay = worlds.bay()
    north = -500.0 + 10.0 * np.arange(101)
    return replace(bay, depth_m=np.repeat((5.0 + per_m * north)[:, None], 101, axis=1))


def test_water_under_the_keel_is_that_of_the_shallowest_edge_at_low_water():
    """At the south end of the circle, 43.84 m from the anchor, a bed rising 2 in 100 takes 0.88 m, the fall 0.5 m."""
    stay = replace(sailed.STAY, low_m=-0.5)
    reach = math.sqrt(32.5**2 - 6.0**2)  # the roller is half a metre lower at low water
    found = plan_and_spot.min_ukc_m(sailed.run(stay=stay, params={"bay": shelving(0.02)}))

    assert found.value == pytest.approx(5.0 - 0.02 * (reach + 12.0) - 0.5 - 2.03, abs=1e-6)
    assert found.at == pytest.approx((-(reach + 12.0), 0.0), abs=1e-6)


def test_without_plan_or_anchor_there_is_no_spot_to_judge():
    """What was not done has no value, so it earns nothing."""
    assert plan_and_spot.min_ukc_m(sailed.run([])).value is None


def test_a_plan_alone_is_judged_by_its_own_circle():
    """Before the anchor is down the circle is that of the plan."""
    found = plan_and_spot.min_ukc_m(sailed.run([sailed.plan()], params={"bay": shelving(0.02)}))

    assert found.value == pytest.approx(5.0 - 0.02 * (math.sqrt(33.0**2 - 6.5**2) + 12.0) - 2.03, abs=1e-6)


def test_a_boat_on_rope_is_taken_at_her_worst():
    """Anchors 200 m apart: what her circle and half my beam leave of it, wherever her wind may be."""
    rope = replace(worlds.neighbour(-200.0, 0.0), rode_kind="rope")
    stay = replace(sailed.STAY, sector_rad=(0.0, 1e-6))
    found = plan_and_spot.min_gap_loa(
        sailed.run(stay=stay, params={"neighbours": (rope,)}, others=[(-160.0, 0.0, 0.0)])
    )
    hers = math.sqrt(30.0**2 - 6.5**2) + 12.0

    assert found.value == pytest.approx((200.0 - (REACH_M + 12.0) - hers - 1.95) / 12.0, abs=1e-6)


def test_boats_on_chain_share_water_that_a_mooring_may_not():
    """Two like boats abeam may overlap their circles; the same circle on a mooring comes closer."""
    stay = replace(sailed.STAY, sector_rad=(0.0, 1e-6))
    gaps = {}
    for kind in ("chain", "mooring"):
        other = replace(worlds.neighbour(0.0, 60.0), rode_kind=kind)
        found = plan_and_spot.min_gap_loa(
            sailed.run(stay=stay, params={"neighbours": (other,)}, others=[(-35.0, 60.0, 0.0)])
        )
        gaps[kind] = 12.0 * found.value
    circles_overlap_m = (REACH_M + 12.0) + (math.sqrt(30.0**2 - 6.5**2) + 12.0) - 60.0

    assert circles_overlap_m > 0.0
    assert gaps["chain"] > gaps["mooring"] > 0.0


def test_an_empty_bay_has_no_gap():
    """The measure drops out where there is nobody to swing into."""
    assert plan_and_spot.min_gap_loa(sailed.run()) is None


def test_every_wind_of_the_sector_is_looked_at():
    """A sector across north from 330 to 030 spans 60 degrees, both ends included."""
    winds = circles.bearings_rad(sailed.run())

    assert winds[0] == pytest.approx(rad(330.0))
    assert winds[-1] - winds[0] == pytest.approx(rad(60.0))


@pytest.mark.parametrize(
    ("per_m", "abort", "value"),
    [
        pytest.param(0.0, "", 1.0, id="clear"),
        pytest.param(0.04, "bow off 45", 0.5, id="stated"),
        pytest.param(0.04, "", 0.0, id="neither"),
    ],
)
def test_room_to_veer_all_the_chain(per_m, abort, value):
    """With all 80 m out she lies 92 m to the south, where a bed rising 4 in 100 leaves no water."""
    happened = sailed.instead(sailed.plan(abort=abort))

    assert plan_and_spot.veer_room(sailed.run(happened, params={"bay": shelving(per_m)})).value == value


def test_weed_with_sand_near_is_one_class_down():
    """Sand lies within 40 m of the weed it fell on."""
    assert plan_and_spot.bottom_class(sailed.run(params=weedy())).value == 1.0
    assert (
        plan_and_spot.bottom_class(sailed.run(sailed.instead(sailed.touch(north_m=30.0)), params=weedy())).value == 0.0
    )
    assert plan_and_spot.bottom_class(sailed.run()) is None


def test_rode_planned_over_rode_needed():
    """A gust of 15 kn pulls a 12 m boat with 635 N; the catenary wants 21.5 m for 6.5 m, 33 were planned."""
    load_n = 9.80665 * 12.0**2 * 15.0**2 / 500.0
    weight = 2.3 * 9.80665 * worlds.SUBMERGED_STEEL
    needed_m = math.sqrt(6.5 * (6.5 + 2.0 * load_n / weight))

    assert needed_m == pytest.approx(21.5, abs=0.1)
    assert plan_and_spot.rode_ratio(sailed.run()).value == pytest.approx(33.0 / needed_m, rel=1e-9)
    stronger = plan_and_spot.rode_ratio(sailed.run(stay=replace(sailed.STAY, gust_mps=mps(30.0), high_m=2.0)))
    assert stronger.value < 0.8


def test_items_of_the_plan_are_counted():
    """Five stood in it; without reading and escape three; without a plan none."""
    assert plan_and_spot.plan_items(sailed.run()).value == 5.0
    assert plan_and_spot.plan_items(sailed.run(sailed.instead(sailed.plan(reading="", escape_rad=0.0)))).value == 3.0
    assert plan_and_spot.plan_items(sailed.run(sailed.without(ev.PlanMade))).value == 0.0
