"""The others after the anchor is down: two ranges are a trend, and one who drags is given room."""

import math
from dataclasses import replace

import pytest

from sim.core.orders import commands as cmd
from sim.demonstrator.anchor_watch import COMES_M, GOES_ON_M
from sim.demonstrator.demonstrator import Demonstrator
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout
from sim.play import demo
from sim.scenario import library

HALBERD = 1


@pytest.fixture
def skipper(monkeypatch):
    """A skipper at the origin, the wind northerly."""
    exercise = Exercise(library.load_lesson("three-towers"), 1)
    mind, view = Demonstrator(exercise.lesson.brief), Lookout(exercise).view()
    mind.decide(replace(view, readings=replace(view.readings, north_m=0.0, east_m=0.0)))
    monkeypatch.setattr(mind, "wind_from", lambda *_: 0.0)
    return mind


def test_a_boat_that_comes_down_the_wind_drags(skipper):
    """From 100 m to windward, ten metres a look: seen once she has come farther than a boat that holds swings."""
    skipper.trends = {HALBERD: [(100.0, 5.0), (90.0, 5.0)]}
    assert skipper.coming() is None
    skipper.trends[HALBERD].append((80.0, 5.0))
    found = skipper.coming()
    assert found.number == HALBERD and found.came_m == pytest.approx(20.0) and found.side_m == pytest.approx(5.0)


@pytest.mark.parametrize(
    "places",
    [
        [(100.0, 0.0), (95.0, 25.0), (96.0, -25.0), (94.0, 20.0)],  # sheers about, and holds
        [(100.0, 0.0), (60.0, 0.0), (60.0 - 0.5 * GOES_ON_M, 0.0)],  # dragged, and has stopped
        [(100.0, 0.0), (40.0, 0.0), (-40.0, 0.0)],  # is past
        [(100.0 - COMES_M, 0.0)],  # one look is a number
    ],
    ids=["sheers", "stopped", "past", "once"],
)
def test_whoever_does_not_come_is_left_alone(skipper, places):
    """Sheering, brought up again, gone by, or seen but once."""
    skipper.trends = {HALBERD: places}
    assert skipper.coming() is None


@pytest.fixture(scope="module")
def night(tmp_path_factory):
    """Three Towers, where Halberd's anchor comes home as soon as one's own has bitten."""
    return demo.sail(library.load_lesson("three-towers"), 402, tmp_path_factory.mktemp("towers"), sleep=False)


def test_the_boat_to_windward_is_ranged_again_and_given_room(night):
    """Ranged more than twice after the drop, answered with the engine before she is reported secured, never touched."""
    touch_s = night.run.moments.touch_s
    orders = [(t / 60.0, o) for t, o in night.run.orders if t / 60.0 > touch_s]
    looks = [t for t, o in orders if isinstance(o, cmd.TakeRange) and o.target == HALBERD]
    assert len(looks) > 2
    hailed = min(t for t, o in orders if isinstance(o, cmd.Hail) and o.target == HALBERD)
    secured = max(t for t, o in orders if isinstance(o, cmd.Secure))
    assert any(isinstance(o, cmd.Engine) and o.lever > 0.0 and hailed <= t < hailed + 60.0 for t, o in orders)
    assert hailed < secured and not night.outcome.contact


def test_in_a_fresh_wind_chain_runs_under_a_light_brake(night):
    """Neither towed nor heaped: the brake is eased by hand, and no more chain lies than she has gone astern."""
    grips = [o.grip for _, o in night.run.orders if isinstance(o, cmd.Brake)]
    assert any(0.0 < grip < 0.5 for grip in grips)
    codes = {error["code"] for error in night.result["errors"]}
    assert not codes & {"C1", "C2", "C3", "C10"}
    assert math.isfinite(night.outcome.drag_m)
