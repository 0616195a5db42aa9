"""An order that the foredeck does not catch, and another boat's rode across the chain."""

import math
from dataclasses import replace

import pytest
import worlds
from worlds import cmd, neighbour, run

from sim.core import events as ev
from sim.core.orders import hearing
from sim.core.step import advance
from sim.core.world import World
from sim.helm.crew import Crew
from sim.model import layout as lay


def said(w: World, seconds: float, *orders: cmd.Command) -> list[str]:
    """Return the keys of what the foredeck says after orders."""
    hand, calls = Crew(w), []
    for k in range(round(60 * seconds)):
        calls += hand.step(advance(w, orders if k == 0 else ()))
    return [c.key for c in calls]


def deaf(how: float) -> World:
    w = worlds.world()
    run(w, 0.1, cmd.Fault(what="ears", value=how))
    return w


def test_an_order_is_asked_back_once_and_then_done():
    w = deaf(hearing.ASKED_BACK)
    happened = run(w, 0.1, cmd.Windlass(motion=1))

    assert [e.what for e in happened if isinstance(e, ev.OrderAskedBack)] == ["windlass"]
    assert w.state.lines[0, lay.L_MOTION] == 0.0

    run(w, 0.1, cmd.Windlass(motion=1))
    assert w.state.lines[0, lay.L_MOTION] == 1.0


def test_an_order_misheard_is_carried_out_otherwise_once():
    w = deaf(hearing.MISHEARD)
    run(w, 0.1, cmd.PresetLength(length_m=30.0))
    assert w.state.lines[0, lay.L_PRESET] == 13.0

    run(w, 0.1, cmd.PresetLength(length_m=30.0))
    assert w.state.lines[0, lay.L_PRESET] == 30.0


def test_levers_and_helm_are_no_words_of_mouth():
    w = deaf(hearing.MISHEARD)
    run(w, 0.1, cmd.Engine(lever=-0.3), cmd.Helm(angle_rad=0.2), cmd.Windlass(motion=0))

    assert w.state.shafts[0, lay.S_LEVER] == -0.3
    run(w, 0.1, cmd.Windlass(motion=1))
    assert w.state.lines[0, lay.L_MOTION] == -1.0, "and the ear is still closed for what is one"


def test_the_hand_says_what_he_heard_so_that_it_can_be_noticed():
    assert said(deaf(hearing.ASKED_BACK), 4.0, cmd.Windlass(motion=1))[0] == "say_again"
    assert said(deaf(hearing.MISHEARD), 4.0, cmd.Windlass(motion=1))[0] == "aye_heave"
    assert said(deaf(hearing.MISHEARD), 4.0, cmd.PresetLength(length_m=40.0))[0] == "aye_stop_at"


def anchored_with_a_stranger() -> World:
    """Return the sloop lying to 40 m in 15 kn of northerly, with a boat to come from the south-east."""
    stranger = replace(neighbour(80.0, 200.0), rode_m=26.0, comes_from_m=(-180.0, 120.0))
    start = worlds.Start(0.0, 0.0, 0.0, -0.4)
    w = worlds.world(weather=worlds.gusty(15.0), bay=worlds.bay(5.0), neighbours=(stranger,), start=start)
    run(w, 6.0, cmd.Brake(grip=0.0))
    for _ in range(600):
        if w.state.lines[0, lay.L_OUT] > 40.0:
            break
        run(w, 0.5, cmd.Brake(grip=0.0 if w.state.lines[0, lay.L_RATE] < 0.5 else 0.4))
    run(w, 120.0, cmd.Brake(grip=1.0))
    return w


@pytest.fixture(scope="module")
def laid_over() -> tuple[World, list[ev.Event]]:
    w = anchored_with_a_stranger()
    return w, run(w, 500.0, cmd.NeighbourAct(target=1, what="lay_over"))


def test_she_lets_go_ahead_and_her_chain_comes_down_over_the_own_one(laid_over):
    w, happened = laid_over
    over = [e for e in happened if isinstance(e, ev.RodeLaidOver)]

    assert [e.target for e in over] == [1]
    assert math.hypot(over[0].north_m - w.state.nodes[0, 0, 0], over[0].east_m - w.state.nodes[0, 0, 1]) < 40.0
    assert not any(isinstance(e, ev.Touched) for e in happened), "she keeps clear of the boat whose chain it is"
    assert w.state.fleet[1, lay.Q_STATE] == lay.LIES


def test_nobody_forward_can_know_until_it_comes_up(laid_over):
    w, _ = laid_over
    assert w.state.lines[0, lay.L_CROSSED] > 0.0

    assert "foul_hawse" not in said(w, 10.0)


def test_it_is_found_when_weighing_slipped_and_then_she_can_go_on(laid_over):
    w, _ = laid_over
    seen: list[ev.Event] = []
    for _ in range(600):
        push = 0.25 if w.state.lines[0, lay.L_TENSION] > 1500.0 else 0.0
        orders = [cmd.Windlass(motion=-1), cmd.Engine(lever=push)]
        seen += run(w, 1.0, *orders)
        if any(isinstance(e, ev.RodeSeenAcross) for e in seen):
            break
    refused = run(w, 0.1, cmd.Windlass(motion=-1))
    slipped = run(w, 61.0)
    again = run(w, 0.1, cmd.Windlass(motion=-1))

    assert any(isinstance(e, ev.RodeSeenAcross) for e in seen)
    assert [e.why for e in refused if isinstance(e, ev.Declined)] == ["rode_across"]
    assert any(isinstance(e, ev.RodeSlipped) for e in slipped)
    assert not any(isinstance(e, ev.Declined) for e in again)
    assert w.state.lines[0, lay.L_CROSSED] == -1.0


def test_who_came_last_holds_off_when_hailed_and_swings_back_when_all_is_clear():
    """Who lets go over another's anchor keeps clear while that one weighs (common practice, no source)."""
    w = anchored_with_a_stranger()
    run(w, 500.0, cmd.NeighbourAct(target=1, what="lay_over"))
    before = aside_m(w)
    asked = run(w, 120.0, cmd.Hail(target=1))

    assert "holds_off" in [e.what for e in asked if isinstance(e, ev.NeighbourActed)]
    assert before < 12.0
    assert aside_m(w) > 15.0
    assert not any(isinstance(e, ev.Touched) for e in asked)

    w.state.lines[0, lay.L_COUNT] = 0.0  # the own anchor is home, and she is away
    w.state.boats[0, lay.B_EAST] += 300.0
    gone = run(w, 1.0)
    assert "lies" in [e.what for e in gone if isinstance(e, ev.NeighbourActed)]


def aside_m(w: World) -> float:
    """Return how far the stranger lies to the side of the line from the own anchor down the wind, which is north."""
    return abs(float(w.state.boats[1, lay.B_EAST] - w.state.nodes[0, 0, lay.N_EAST]))


def test_who_was_there_first_does_not_move_for_a_hail():
    w = worlds.world(weather=worlds.gusty(12.0), bay=worlds.bay(5.0), neighbours=(neighbour(30.0, 0.0),))
    run(w, 6.0, cmd.Brake(grip=0.0))
    happened = run(w, 60.0, cmd.Brake(grip=1.0), cmd.Hail(target=1))

    assert any(isinstance(e, ev.HailAnswered) for e in happened)
    assert w.state.fleet[1, lay.Q_STATE] == lay.LIES


def test_she_cannot_lay_over_an_anchor_that_is_not_down():
    stranger = replace(neighbour(80.0, 200.0), comes_from_m=(-180.0, 120.0))
    w = worlds.world(neighbours=(stranger,))

    declined = [e for e in run(w, 0.1, cmd.NeighbourAct(target=1, what="lay_over")) if isinstance(e, ev.Declined)]
    assert [e.why for e in declined] == ["no_anchor_down"]
