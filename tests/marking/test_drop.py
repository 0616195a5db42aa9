"""Way off and drop, against sums done by hand."""

import numpy as np
import pytest
from marking import sailed

from sim.base.units import knots, rad
from sim.core import events as ev
from sim.marking.phases import drop

ALL = (drop.sog_at_touch_kn, drop.bow_off_lie_deg, drop.drop_error_m, drop.mark_delay_s)


def test_speed_at_the_touch_is_along_her_lie():
    """0.2 m/s astern, as drawn; across her lie only the part along it counts."""
    assert drop.sog_at_touch_kn(sailed.run()).value == pytest.approx(knots(-0.2))
    askew = sailed.run(heading_rad=rad(60.0), surge_mps=1.0, sway_mps=0.0)
    assert drop.sog_at_touch_kn(askew).value == pytest.approx(knots(0.5))


@pytest.mark.parametrize(("heading_deg", "off_deg"), [(0.0, 0.0), (25.0, 25.0), (350.0, 10.0), (250.0, 110.0)])
def test_bow_off_her_lie_either_way(heading_deg, off_deg):
    """The angle is taken the short way round."""
    run = sailed.run(sailed.instead(sailed.touch(heading_rad=rad(heading_deg))))

    assert drop.bow_off_lie_deg(run).value == pytest.approx(off_deg)


def test_drop_error_is_the_distance_from_the_plan():
    """Three north and four east make five."""
    run = sailed.run(sailed.instead(sailed.plan(drop_north_m=3.0, drop_east_m=-4.0)))

    assert drop.drop_error_m(run).value == pytest.approx(5.0)


def test_without_a_plan_there_was_no_place_to_hit():
    """No place planned earns no marks for hitting it."""
    assert drop.drop_error_m(sailed.run(sailed.without(ev.PlanMade))).value is None


def test_mark_delay():
    """Marked 2 s after the touch; at the letting go 5 s before it; never."""
    early = ev.AnchorMarked(tick=sailed.tick(95), rode=0, north_m=0.0, east_m=0.0)

    assert drop.mark_delay_s(sailed.run()).value == pytest.approx(2.0)
    assert drop.mark_delay_s(sailed.run(sailed.instead(early))).value == pytest.approx(5.0)
    assert drop.mark_delay_s(sailed.run(sailed.without(ev.AnchorMarked))).value is None


@pytest.mark.parametrize("law", ALL)
def test_an_anchor_never_dropped_earns_nothing(law):
    """What was not done has no value."""
    assert law(sailed.run([sailed.plan()])).value is None


def test_the_place_of_the_drop_is_told():
    """Each measure points at where and when it was found."""
    found = drop.bow_off_lie_deg(sailed.run())

    assert (found.from_s, found.to_s, found.at) == (100.0, 100.0, (0.0, 0.0))
    assert np.isfinite(found.value)
