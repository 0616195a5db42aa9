"""Time at sea: fast while nothing threatens, back to life's rate by itself, and thirty seconds back."""

import dataclasses

import pytest

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.helm.crew import Call
from sim.play import watchful
from sim.play.hands import Act
from sim.play.pacer import CALM
from sim.play.session import Session
from sim.record import recording
from sim.scenario.library import load_lesson
from sim.ui.input.keys import Press
from sim.ui.paint.palette import DAY
from sim.ui.screens.sail import SailScreen


@pytest.fixture
def session(tmp_path):
    """Return the first lesson, just begun."""
    return Session(load_lesson("lantern-pool"), 1, tmp_path / "run")


def sail(session, seconds):
    """Sail on."""
    for _ in range(round(60 * seconds)):
        session.tick()


def fastest(session):
    """Ask for the fastest rate and return what is had."""
    for _ in range(8):
        session.rate(1)
    return session.pacer.rate


def test_time_runs_sixty_times_as_fast_while_nothing_threatens(session):
    """With the engine in neutral and water under her; a frame then owes a second."""
    assert fastest(session) == 60.0
    assert session.pacer.ticks(1.0 / 60.0) == 60


def test_fast_time_is_refused_while_the_engine_is_in_gear(session):
    """It goes to four times and says why."""
    session.press(Act.AHEAD)
    sail(session, 0.1)

    assert fastest(session) == CALM
    assert session.why_slow == "in_gear"


def test_fast_time_ends_when_the_alarm_rings(session):
    """The alarm circle is laid where she is not: time drops to the rate of life, and the record has it."""
    session.hands.order(cmd.SetAlarm(north_m=0.0, east_m=0.0, radius_m=5.0))
    fastest(session)
    for _ in range(200):
        session.advance(1.0 / 60.0)
        if session.pacer.rate == 1.0:
            break
    session.advance(1.0 / 60.0)

    assert any(isinstance(e, ev.AlarmRang) for e in session.exercise.events)
    assert session.pacer.rate == 1.0
    assert session.exercise.applied == [] or isinstance(session.exercise.applied[0], cmd.TimeRate)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"depth_m": 2.2}, "shoal"),
        ({"wind_mps": 40.0}, "gust"),
        ({"levers": (0.2,)}, "in_gear"),
    ],
)
def test_what_threatens_is_read_from_the_displays(session, change, why):
    """Little water under the keel, more wind than forecast, an engine in gear."""
    view = session.view
    assert watchful.threat(view, session.brief) is None
    worse = dataclasses.replace(view, readings=dataclasses.replace(view.readings, **change))

    assert watchful.threat(worse, session.brief) == why


def test_an_urgent_call_is_alarming_and_a_count_is_not():
    """A dragging anchor stops the clock's haste; metres called are news only."""
    assert watchful.alarming([], [Call(1, "dragging")])
    assert not watchful.alarming([], [Call(1, "metres_out")])
    assert watchful.news([], [Call(1, "metres_out")])
    assert watchful.alarming([ev.Touched(tick=1, boat=0, other=1, closing_mps=1.0, impulse_ns=1.0)], [])


def test_thirty_seconds_back_and_take_over(session, tmp_path):
    """Wheel, lever, tackle and record are as they were; the hands go on from there; the result will say assisted."""
    session.press(Act.AHEAD)
    session.hands.release(Act.AHEAD)
    sail(session, 20.0)
    before = session.exercise.state_hash()
    sail(session, 15.0)
    session.press(Act.BRAKE)
    session.press(Act.STARBOARD)
    sail(session, 15.0)
    session.step_back()

    assert session.exercise.t_s == 20.0
    assert session.exercise.state_hash() == before
    assert session.pacer.paused
    assert session.assisted
    assert session.hands.levers == [0.1]
    assert session.view.handling.brake == 1.0
    sail(session, 1.0)
    session.finish("closed")
    kept = recording.read(tmp_path / "run")
    assert [round(c.seconds) for _, c in kept.commands if isinstance(c, cmd.StepBack)] == [30]
    assert not any(isinstance(c, cmd.Brake) for _, c in kept.commands)


def test_there_is_nothing_before_the_start(session):
    """Back from the fifth second is the start."""
    sail(session, 4.0)
    session.step_back()

    assert session.exercise.tick == 0


def test_the_instructor_freezes_everything_to_ask(session, words):
    """Keys do nothing while it lasts, time stands, and the record has when."""
    screen = SailScreen(session, DAY, words)
    screen.press(Press.FREEZE)
    screen.press(Press.PAUSE)
    screen.press_act(Act.BRAKE)
    assert screen.standing
    assert not session.pacer.paused
    screen.press(Press.FREEZE)
    assert not screen.standing
    session.tick()

    actors = {order.actor for order in session.exercise.applied}
    assert actors == {"desk"}
    assert any(isinstance(order, cmd.Bookmark) for order in session.exercise.applied)
