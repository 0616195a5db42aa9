"""A transit of two named marks: which is to the left, by how much, whether it opens, and how it is chosen and drawn."""

import dataclasses
import math

import pytest

from sim.base.units import deg
from sim.core import events as ev
from sim.helm.aids import Pose
from sim.model.params import Mark
from sim.play import transit
from sim.play.hands import Act
from sim.play.session import Session
from sim.scenario.library import load_lesson
from sim.ui.chart import scene_plan
from sim.ui.paint.display import Disc, Stroke, texts
from sim.ui.paint.palette import DAY
from sim.ui.panels import scene_lookout
from sim.ui.panels.layout import lay_out
from sim.ui.screens.sail import SailScreen

FRONT = Mark("beacon", "beacon", 100.0, 0.0, 5.0)
REAR = Mark("tower", "tower", 200.0, 0.0, 20.0, lit=True)


@pytest.fixture
def session(tmp_path):
    """Return a session in a bay with marks, having seen where she is."""
    one = Session(load_lesson("hazel-cove"), 1, tmp_path)
    one.tick()
    one.look()
    return one


def seen(session, east_m, t_s=0.0, before=None, **more):
    """Return the two marks as they stand from a place so far east of their line, both to the north."""
    readings = dataclasses.replace(session.view.readings, t_s=t_s)
    view = dataclasses.replace(session.view, readings=readings, **more)
    return transit.look([REAR, FRONT], view, Pose(0.0, east_m, 0.0), before)


def test_from_east_of_the_line_the_front_mark_stands_to_the_left(session):
    """By plane geometry: atan(-10/100) less atan(-10/200) is 2.85 degrees to the left; to a tenth, 2.8 or 2.9."""
    two = seen(session, 10.0)
    exact = deg(math.atan2(-10.0, 100.0) - math.atan2(-10.0, 200.0))

    assert (two.front, two.rear) == (FRONT, REAR)
    assert deg(two.open_rad) == pytest.approx(exact, abs=0.051)
    assert two.open_rad < 0.0 < seen(session, -10.0).open_rad
    assert seen(session, 0.0).open_rad == 0.0


def test_they_open_as_she_leaves_the_line_and_close_as_she_comes_back(session):
    """Told against four seconds ago, and not before; neither while she stands still."""
    two = None
    trends = []
    for t_s, east_m in ((0.0, 2.0), (2.0, 4.0), (4.0, 6.0), (8.0, 3.0), (12.0, 3.0)):
        two = seen(session, east_m, t_s, two)
        trends.append(two.trend)

    assert trends == [0, 0, 1, -1, 0]


def test_what_cannot_be_seen_is_no_transit(session):
    """By night both must be lit; in rain both within its veil."""
    assert seen(session, 5.0, darkness=1.0) is None
    assert seen(session, 5.0, raining=True) is not None
    assert transit.look([FRONT, dataclasses.replace(REAR, north_m=400.0)], dataclasses.replace(
        session.view, raining=True), Pose(0.0, 0.0, 0.0), None) is None  # fmt: skip
    assert transit.look([FRONT], session.view, Pose(0.0, 0.0, 0.0), None) is None


def pressed(session, act):
    """Press and release a key, and let its order be carried out."""
    session.press(act)
    session.hands.release(act)
    session.tick()
    session.look()


def test_two_marks_are_noted_one_after_the_other_and_dropped_by_one_more_press(session):
    """The first press chooses a mark where none is; each further one notes the one chosen; the record has a transit."""
    pressed(session, Act.LEADING)
    assert session.hands.target == -1
    pressed(session, Act.LEADING)
    pressed(session, Act.LEADING)  # the same one again is not two
    assert session.hands.pair == (1,)
    session.hands.choose(-2)
    pressed(session, Act.LEADING)
    taken = [e for e in session.exercise.events if isinstance(e, ev.TransitTaken)]

    assert session.hands.pair == (1, 2)
    assert [e.on for e in taken] == [True]
    assert {session.leading.front, session.leading.rear} == set(session.brief.chart.marks[:2])
    pressed(session, Act.LEADING)
    assert session.hands.pair == ()
    assert session.leading is None
    assert session.view.transit_open_m is None


def test_a_single_bearing_takes_the_place_of_two_marks(session):
    """The key of the single transit drops what is taken, two marks as well."""
    session.hands.pair = (1, 2)
    pressed(session, Act.TRANSIT)

    assert session.hands.pair == ()


def test_it_is_drawn_on_strip_plan_and_ledger(session, words):
    """A straight line through both on the plan; two hot lines and the glass on the strip; the angle in words."""
    screen = SailScreen(session, DAY, words)
    session.hands.pair = (1, 2)
    session.look()
    a, b = session.pair
    (line,) = [i for i in screen.around() if isinstance(i, Stroke) and i.source == "chart"]
    (n0, e0), (n1, e1) = line.points
    for mark in (a, b):
        cross = (n1 - n0) * (mark.east_m - e0) - (e1 - e0) * (mark.north_m - n0)
        assert abs(cross) / math.hypot(n1 - n0, e1 - e0) < 0.01
    assert len([i for i in screen.around() if isinstance(i, Disc) and i.source == "hand"]) == 2
    ledger = [t for p in screen.panels(1, screen.camera()) for t in texts(p.items)]
    assert scene_lookout.angle(session.leading) in ledger
    own = session.aids.own
    look = math.atan2(a.east_m - own.east_m, a.north_m - own.north_m) - session.view.readings.heading_rad
    strip = [
        scene_lookout.lookout(
            lay_out((1280, 800), True), session.view, own, session.brief, look, screen._depth_at, words, True, two
        )
        for two in (None, session.leading)
    ]
    hot = [sum(getattr(i, "ink", None) == "hot" for i in p.items) for p in strip]
    assert hot[0] == 0
    assert hot[1] >= 3


def test_one_mark_alone_is_ringed_and_ruled_nowhere(session):
    """Until the second is noted there is no line."""
    items = list(scene_plan.leading([FRONT]))

    assert [type(i) for i in items] == [Disc]
