"""Wheel and levers: what a competent hand does with them, from the displays alone."""

import dataclasses
import math

import pytest

from sim.base.units import mps
from sim.core.orders import commands as cmd
from sim.demonstrator.pilot import EVERY_S, Pilot
from sim.helm.instruments import Readings
from sim.scenario import library

STILL = Readings(
    t_s=0.0, sog_mps=0.0, along_mps=0.0, cog_rad=0.0, heading_rad=0.0, wind_mps=5.0, wind_angle_rad=0.0, depth_m=5.0,
    counter_m=0.0, stw_mps=0.0, rudder_rad=0.0, levers=(0.0,), rps=(0.0,), north_m=0.0, east_m=0.0,
)  # fmt: skip


def pilot(lesson: str = "lantern-pool", **shown: float) -> Pilot:
    """Return a pilot who has just looked at the displays."""
    hand = Pilot(library.load_lesson(lesson).brief.boat)
    hand.look(dataclasses.replace(STILL, **shown))
    return hand


def test_she_is_steered_towards_a_heading_the_short_way():
    (helm,) = pilot(heading_rad=math.radians(350.0)).steer(math.radians(10.0))
    assert isinstance(helm, cmd.Helm)
    assert helm.angle_rad > 0.0


def test_going_astern_the_wheel_works_backwards():
    (ahead,) = pilot(along_mps=1.0).steer(0.3)
    (astern,) = pilot(along_mps=-1.0).steer(0.3)

    assert astern.angle_rad == pytest.approx(-ahead.angle_rad)


def test_an_order_is_given_once():
    hand = pilot()
    assert len(hand.levers(0.3)) == len(hand.helm(0.2)) == 1
    assert hand.levers(0.3) == hand.helm(0.2) == []


@pytest.mark.parametrize(("along_mps", "sense"), [(0.0, 1), (3.0, -1)])
def test_she_is_brought_to_a_speed_from_below_and_from_above(along_mps, sense):
    lever = pilot(along_mps=along_mps, stw_mps=along_mps).run_at(mps(3.0))

    assert math.copysign(1.0, lever) == sense


def test_the_lag_of_the_display_is_allowed_for():
    """Slowing down, she is already slower than is shown."""
    hand = pilot(along_mps=1.0)
    for step in range(1, 10):
        hand.look(dataclasses.replace(STILL, t_s=step * EVERY_S, along_mps=1.0 - 0.05 * step))

    assert hand.way_mps < hand.now.along_mps - 0.2


def test_the_bow_is_found_from_antenna_and_heading():
    hand = pilot(north_m=100.0, east_m=50.0, heading_rad=0.5 * math.pi)
    ahead = hand.boat.roller_x_m - hand.boat.antenna_x_m

    assert hand.bow() == pytest.approx((100.0, 50.0 + ahead))


def test_two_engines_twist_her_and_one_lever_each_is_ordered():
    hand = pilot("hazel-cove", levers=(0.0, 0.0))
    orders = [c for c in hand.twist(0.5, 0.0) if isinstance(c, cmd.Engine)]

    assert {c.shaft: math.copysign(1.0, c.lever) for c in orders} == {0: 1.0, 1: -1.0}, "port ahead turns to starboard"


def test_a_bow_that_falls_off_is_kicked_back_and_not_for_long():
    """Astern of the wind's eye by 25 degrees: wheel over, a short push ahead, then a rest."""
    hand = pilot(heading_rad=math.radians(25.0))
    orders = hand.hold_up(math.radians(25.0), 0.2)
    helm, engine = orders

    assert helm.angle_rad < 0.0 < engine.lever, "back to port"
    hand.look(dataclasses.replace(STILL, t_s=1.0))
    assert hand.hold_up(math.radians(25.0), 0.2) == [], "while the kick lasts"
    hand.look(dataclasses.replace(STILL, t_s=3.0))
    assert all(c.lever <= 0.0 for c in hand.hold_up(math.radians(25.0), 0.2) if isinstance(c, cmd.Engine))


def test_a_course_is_made_good_against_the_set():
    """Set to starboard by a stream, she heads up to port of the course; standing still nothing is learnt of a set."""
    set_off = math.radians(12.0)
    crossing, still = pilot(), pilot()
    for step in range(1, 200):
        shown = {"t_s": step * EVERY_S, "cog_rad": set_off}
        crossing.look(dataclasses.replace(STILL, along_mps=1.5, **shown))
        still.look(dataclasses.replace(STILL, along_mps=0.1, **shown))
    helm = next(c for c in crossing.make_good(0.0, 1.5) if isinstance(c, cmd.Helm))

    assert crossing.set_rad == pytest.approx(set_off, abs=0.01)
    assert still.set_rad == 0.0
    assert helm.angle_rad < 0.0
