"""The exercise: a timeline that speaks once and is recorded, time that passes the same however it is looked at."""

import random

import pytest
import worlds

from sim.base.units import TICK_HZ
from sim.core import state as st
from sim.core.events import AnchorLetGo, FaultBegun, Touched, WindInjected
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout
from sim.model import layout as lay
from sim.scenario import library

TIMELINE = """timeline:
  - at_s: 2
    do: { note: { text: look astern } }
  - when: { event: anchor_let_go }
    do: { inject: { what: gust, factor: 1.5, ramp_s: 2, hold_s: 5 } }
  - at_s: 5
    do: { fault: { what: counter, value: 0.9 } }
"""
ORDERS: dict[int, list[Command]] = {
    0: [cmd.Engine(lever=0.0)],
    60: [cmd.Helm(angle_rad=0.3), cmd.Engine(lever=0.2)],
    400: [cmd.Brake(grip=0.0), cmd.Engine(lever=-0.2)],
    760: [cmd.Brake(grip=1.0)],
}
LAST_TICK = 1200

Orders = dict[int, list[Command]]

LESSONS = ("hazel-cove", "lantern-pool", "lantern-pool-2")  # three are enough for what holds of any


def sail(exercise: Exercise, orders: Orders, until: int = LAST_TICK) -> list[tuple[int, Command]]:
    """Run on to a tick and return what was applied, when."""
    applied: list[tuple[int, Command]] = []
    while exercise.tick < until:
        tick = exercise.tick
        exercise.step(orders.get(tick, ()))
        applied += [(tick, command) for command in exercise.applied]
    return applied


def test_timeline_commands_carry_the_entry_they_come_from_and_are_given_once(lesson_with):
    exercise = Exercise(lesson_with("timeline: []\n", TIMELINE), 1)
    spoken = [(t, c) for t, c in sail(exercise, ORDERS) if c.actor.startswith("timeline")]
    let_go = next(e.tick for e in exercise.events if isinstance(e, AnchorLetGo))

    assert [c.actor for _, c in spoken] == ["timeline:0", "timeline:2", "timeline:1"]
    assert [t for t, _ in spoken] == [2 * TICK_HZ, 5 * TICK_HZ, let_go + 1]
    assert isinstance(spoken[0][1], cmd.Note)


def test_what_the_timeline_orders_happens_in_the_world(lesson_with):
    exercise = Exercise(lesson_with("timeline: []\n", TIMELINE), 1)
    sail(exercise, ORDERS)

    assert sum(isinstance(e, WindInjected) for e in exercise.events) == 1
    assert sum(isinstance(e, FaultBegun) for e in exercise.events) == 1
    assert exercise.world.state.lines[0, lay.L_COUNTER_SCALE] == 0.9


def test_a_replay_runs_no_timeline_and_comes_out_the_same(lesson_with):
    """The recording holds the timeline's commands among the others."""
    lesson = lesson_with("timeline: []\n", TIMELINE)
    first = Exercise(lesson, 1)
    recorded: Orders = {}
    for tick, command in sail(first, ORDERS):
        recorded.setdefault(tick, []).append(command)
    again = Exercise(lesson, 1, timeline=False)
    applied = sail(again, recorded)

    assert again.state_hash() == first.state_hash()
    assert [c for _, c in applied] == [c for commands in recorded.values() for c in commands]


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_same_orders_give_the_same_run(lesson, sailed):
    run = sailed(lesson)
    again = Exercise(run.lesson, 1)
    sail(again, run.orders, run.exercise.tick)

    assert again.state_hash() == run.exercise.state_hash()
    assert again.events == run.exercise.events
    assert again.calls == run.exercise.calls


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_run_restored_at_random_moments_and_run_on_gives_the_same_hash(lesson, sailed):
    """Ten moments of each lesson, restored into a fresh exercise and run on to the next snapshot; one to the end."""
    run = sailed(lesson)
    ticks = [*sorted(run.snapshots), run.exercise.tick]
    ends = {tick: st.state_hash(saved) for tick, saved in run.snapshots.items()}
    ends[run.exercise.tick] = run.exercise.state_hash()
    for number, moment in enumerate(random.Random(7).sample(ticks[:-1], 10)):
        to = ticks[-1] if number == 0 else ticks[ticks.index(moment) + 1]
        exercise = Exercise(run.lesson, 1, timeline=False)
        st.restore(exercise.world.state, run.snapshots[moment])
        sail(exercise, run.orders, to)
        assert exercise.state_hash() == ends[to], f"from tick {moment} to {to}"


def test_a_run_restored_in_the_middle_of_a_contact_gives_the_same_hash():
    """Driven on to a neighbour, saved while the hulls still touch, and run on."""
    lesson = library.load_lesson("hazel-cove")
    exercise = Exercise(lesson, 1)
    s = exercise.world.state
    s.boats[0, [lay.B_NORTH, lay.B_EAST]] = s.boats[1, [lay.B_NORTH, lay.B_EAST]] + [0.0, 16.0]
    s.boats[0, lay.B_HEADING] = 4.71
    s.boats[0, lay.B_SURGE] = 1.0
    while not any(isinstance(e, Touched) for e in exercise.events):
        exercise.step()
        assert exercise.t_s < 60.0, "they never met"
    saved = st.snapshot(s)
    for _ in range(10 * TICK_HZ):
        exercise.step()
    again = Exercise(lesson, 1)
    st.restore(again.world.state, saved)
    for _ in range(10 * TICK_HZ):
        again.step()

    assert again.state_hash() == exercise.state_hash()


def test_a_snapshot_covers_displays_and_foredeck():
    """Restored, a run shows and says what it would have shown and said."""
    lesson = library.load_lesson("lantern-pool")
    exercise = Exercise(lesson, 1)
    sail(exercise, ORDERS, 700)
    saved, said = st.snapshot(exercise.world.state), len(exercise.calls)
    sail(exercise, ORDERS)
    again = Exercise(lesson, 1)
    st.restore(again.world.state, saved)
    sail(again, ORDERS)

    assert again.read() == exercise.read()
    assert again.calls == exercise.calls[said:]
    assert again.calls, "the foredeck had something to say"


def test_looking_on_changes_nothing():
    """A view every tick, or none at all: frames are nobody's business here."""
    lesson = library.load_lesson("hazel-cove")
    unseen, watched = Exercise(lesson, 3), Exercise(lesson, 3)
    lookout = Lookout(watched)
    sail(unseen, ORDERS, 600)
    while watched.tick < 600:
        watched.step(ORDERS.get(watched.tick, ()))
        lookout.view()
        watched.read()

    assert watched.state_hash() == unseen.state_hash()


def test_another_seed_is_another_day():
    lesson = library.load_lesson("lantern-pool")
    one, other = Exercise(lesson, 1), Exercise(lesson, 2)
    sail(one, ORDERS, 300)
    sail(other, ORDERS, 300)

    assert one.state_hash() != other.state_hash()


def test_it_is_over_when_she_is_secured_or_time_is_up():
    lesson = library.load_lesson("lantern-pool")
    exercise = Exercise(lesson, 1)
    exercise.step([cmd.Secure()])
    assert not exercise.over, "with no anchor down there is nothing to secure"

    sail(exercise, {1: [cmd.Brake(grip=0.0)], 300: [cmd.Secure()]}, 301)
    assert exercise.over

    late = Exercise(lesson, 1)
    late.world.state.clock[st.K_TICK] = round(lesson.limit_s * TICK_HZ) - 1
    assert not late.over
    late.step()
    assert late.over


def test_another_boat_of_the_library_can_be_taken():
    exercise = Exercise(library.load_lesson("lantern-pool"), 1, "twin-hull-12")

    assert exercise.boat == "twin-hull-12"
    assert exercise.world.params.boat.shaft_count == 2
    assert worlds.heading_deg(exercise.world) == pytest.approx(-84.0), "276, as the lesson begins"
