"""An order that came over wrongly: noticed by what the chain does, and given again."""

from dataclasses import replace

import pytest

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.skipper import NOTICED_S
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout
from sim.play import demo
from sim.scenario import library

VEER = cmd.Windlass(actor="demonstrator", motion=1)


@pytest.fixture
def told():
    """Return what shows a skipper who has ordered to veer how the windlass runs, and gives the orders that follow."""
    lesson = library.load_lesson("lantern-pool")
    mind, view = Demonstrator(lesson.brief), Lookout(Exercise(lesson, 1)).view()
    mind._steps = iter([[VEER], *([] for _ in range(200))])
    mind.decide(view)

    def look(t_s: float, motion: int, *happened: ev.Event) -> list[cmd.Command]:
        readings = replace(view.readings, t_s=t_s)
        seen = (*view.seen, *happened)
        return mind.decide(replace(view, readings=readings, seen=seen, handling=replace(view.handling, motion=motion)))

    return look


def test_chain_that_comes_in_instead_of_going_out_is_ordered_again(told):
    """Not at once: one has to see it first."""
    assert told(0.4, -1) == []
    assert told(0.4 + NOTICED_S + 0.2, -1) == [VEER]


def test_chain_that_goes_out_as_ordered_is_left_alone(told):
    assert all(told(0.2 * k, 1) == [] for k in range(2, 40))


def test_an_order_asked_back_is_said_again_at_once(told):
    assert told(0.4, 0, ev.OrderAskedBack(tick=20, what="windlass")) == [VEER]
    assert told(0.6, 1, ev.OrderAskedBack(tick=20, what="windlass")) == []


def test_the_lesson_of_the_hand_who_mishears_is_sailed(tmp_path):
    """Heard the wrong way round once; the right way within three seconds, and she holds."""
    lesson = library.load_lesson(library.data_root() / "practice" / "misheard.yaml")
    marked = demo.sail(lesson, 1, tmp_path, sleep=False)
    (wrong,) = [e for e in marked.run.track.events if isinstance(e, ev.OrderMisheard)]
    again = [t for t, o in marked.run.orders if isinstance(o, cmd.Windlass) and o.motion > 0 and t > wrong.tick]

    assert 0 < again[0] - wrong.tick <= 180
    assert marked.outcome.held and marked.result["passed"]
