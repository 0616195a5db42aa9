"""The timeline: entries that speak once, at a time or on a condition, as commands of their own actor."""

import math

import pytest
from pydantic import ValidationError

from sim.base.units import TICK_HZ
from sim.core import state as st
from sim.core.events import NUMBERS, AnchorDragged, AnchorSet
from sim.core.orders.commands import Fault, Inject, NeighbourAct, Note, Wash
from sim.model import layout as lay
from sim.scenario.read import script
from sim.scenario.read.script import LOOK_TICKS
from sim.scenario.schema.lesson import AnchorageBlock, EntryBlock

ANCHORAGE = AnchorageBlock(north_m=100.0, east_m=50.0, radius_m=40.0)
SHIFT = {"inject": {"what": "shift", "turn_deg": 30, "ramp_s": 60}}
NOTE = {"note": {"text": "look"}}


def timeline(*entries: dict[str, object]) -> tuple[script.Entry, ...]:
    blocks = tuple(EntryBlock.model_validate(e) for e in entries)
    return script.build_timeline(blocks, ANCHORAGE, ("Plover", "Teasel"))


def at(tick: int = 0) -> st.State:
    state = st.empty(boats=1, rodes=1)
    state.clock[st.K_TICK] = tick
    return state


def test_an_entry_becomes_a_command_in_si_with_its_own_actor():
    entries = timeline(
        {"at_s": 1, "do": NOTE},
        {"at_s": 2, "do": SHIFT},
        {"at_s": 3, "do": {"fault": {"what": "counter", "value": 0.9}}},
    )

    assert [e.command for e in entries] == [
        Note(text="look", actor="timeline:0"),
        Inject(what="shift", ramp_s=60.0, turn_rad=math.radians(30.0), actor="timeline:1"),
        Fault(what="counter", value=0.9, actor="timeline:2"),
    ]  # fmt: skip


def test_an_entry_at_a_time_speaks_on_its_tick_and_not_before():
    entries = timeline({"at_s": 2.5, "do": NOTE})
    due = round(2.5 * TICK_HZ)

    assert script.due(entries, at(due - 1)) == []
    assert script.due(entries, at(due)) == [(0, entries[0].command)]


def test_what_has_fired_stays_silent():
    entries = timeline({"at_s": 0, "do": NOTE}, {"at_s": 0, "do": SHIFT})
    state = at()
    state.fired[0] = 1

    assert [index for index, _ in script.due(entries, state)] == [1]


def test_an_event_sets_an_entry_off():
    entries = timeline({"when": {"event": "anchor_dragged"}, "do": SHIFT})

    state = at(9)
    state.heard[NUMBERS[AnchorSet]] = 1
    assert script.due(entries, state) == []
    state.heard[NUMBERS[AnchorDragged]] = 1
    assert len(script.due(entries, state)) == 1


@pytest.mark.parametrize(
    ("when", "column", "below", "above"),
    [
        ({"out_m_over": 25}, lay.L_OUT, 25.0, 25.1),
        ({"pull_n_over": 800}, lay.L_TENSION, 800.0, 801.0),
    ],
)
def test_rode_out_and_pull_set_an_entry_off(when, column, below, above):
    entries = timeline({"when": when, "do": NOTE})
    state = at()

    state.lines[0, column] = below
    assert not script.due(entries, state)
    state.lines[0, column] = above
    assert script.due(entries, state)


def test_nearness_is_counted_from_the_middle_of_the_anchorage():
    entries = timeline({"when": {"within_m": 60}, "do": NOTE})
    state = at()

    state.boats[0, [lay.B_NORTH, lay.B_EAST]] = [100.0, 111.0]
    assert not script.due(entries, state)
    state.boats[0, [lay.B_NORTH, lay.B_EAST]] = [100.0, 109.0]
    assert script.due(entries, state)


def test_a_condition_with_a_time_waits_for_both():
    entries = timeline({"at_s": 10, "when": {"out_m_over": 5, "pull_n_over": 100}, "do": NOTE})
    early, late = at(9 * TICK_HZ), at(10 * TICK_HZ)
    for state in (early, late):
        state.lines[0, lay.L_OUT] = 6.0
    late.lines[0, lay.L_TENSION] = 99.0
    early.lines[0, lay.L_TENSION] = 101.0

    assert not script.due(entries, early)
    assert not script.due(entries, late)
    late.lines[0, lay.L_TENSION] = 101.0
    assert script.due(entries, late)


@pytest.mark.parametrize(
    "entry",
    [
        pytest.param({"do": NOTE}, id="neither-time-nor-condition"),
        pytest.param({"at_s": 1, "do": {}}, id="nothing-to-do"),
        pytest.param({"at_s": 1, "do": {**NOTE, **SHIFT}}, id="two-things-to-do"),
        pytest.param({"when": {}, "do": NOTE}, id="empty-condition"),
    ],
)
def test_an_entry_that_says_nothing_is_refused(entry):
    with pytest.raises(ValueError, match=r"exactly one|one of|at_s or when"):
        timeline(entry)


def test_another_boat_is_told_by_her_name_what_to_do():
    entries = timeline(
        {"at_s": 1, "do": {"neighbour": {"name": "Teasel", "what": "leave", "to": [-200, 30]}}},
        {"at_s": 2, "do": {"neighbour": {"name": "Plover", "what": "drag", "hold_n": 800}}},
    )

    assert [e.command for e in entries] == [
        NeighbourAct(target=2, what="leave", north_m=-200.0, east_m=30.0, actor="timeline:0"),
        NeighbourAct(target=1, what="drag", hold_n=800.0, actor="timeline:1"),
    ]


@pytest.mark.parametrize(
    "act",
    [{"what": "leave"}, {"what": "drag"}, {"what": "arrive", "to": [0, 0]}, {"what": "sink"}],
    ids=["leaves for nowhere", "drags at nothing", "arrives elsewhere", "unheard of"],
)
def test_half_an_order_to_another_boat_is_refused(act):
    with pytest.raises(ValidationError):
        EntryBlock.model_validate({"at_s": 1, "do": {"neighbour": {"name": "Teasel", **act}}})


@pytest.mark.parametrize(("surge_mps", "due"), [(0.2, 1), (-0.2, 1), (0.4, 0), (-0.4, 0)])
def test_little_way_either_way_sets_an_entry_off(surge_mps, due):
    """Half a knot is 0.257 m/s."""
    state = at(LOOK_TICKS)
    state.boats[0, lay.B_SURGE] = surge_mps

    assert len(script.due(timeline({"when": {"way_kn_under": 0.5}, "do": NOTE}), state)) == due


@pytest.mark.parametrize(
    ("north_m", "east_m", "due"), [(0.0, 10.0, 1), (0.0, -10.0, 0), (500.0, 1.0, 1), (-3.0, -1.0, 0)]
)
def test_a_line_crossed_sets_an_entry_off(north_m, east_m, due):
    """A line looked along to the north has the east on its right; it has no ends."""
    state = at(LOOK_TICKS)
    state.boats[0, lay.B_NORTH], state.boats[0, lay.B_EAST] = north_m, east_m

    assert len(script.due(timeline({"when": {"beyond": [[0, 0], [50, 0]]}, "do": NOTE}), state)) == due


def test_a_wash_and_a_hand_who_mishears_are_commands_too():
    entries = timeline(
        {"at_s": 1, "do": {"wash": {"height_m": 0.4, "from_deg": 90}}},
        {"at_s": 2, "do": {"crew": {"what": "asks_back"}}},
        {"at_s": 3, "do": {"crew": {"what": "mishears"}}},
    )

    assert [e.command for e in entries] == [
        Wash(height_m=0.4, period_s=4.0, from_rad=math.radians(90.0), last_s=60.0, actor="timeline:0"),
        Fault(what="ears", value=1.0, actor="timeline:1"),
        Fault(what="ears", value=2.0, actor="timeline:2"),
    ]


def test_the_first_snub_is_when_held_chain_takes_her_weight():
    entries = timeline({"when": {"event": "first_snub"}, "do": NOTE})
    state = at()
    line = state.lines[0]
    assert script.due(entries, state) == []

    state.anchors[0, lay.A_ATTITUDE], line[lay.L_FN] = lay.LYING, 500.0
    assert script.due(entries, state) == [], "it still runs: the brake is off"

    line[lay.L_BRAKE] = 1.0
    assert len(script.due(entries, state)) == 1

    line[lay.L_FN] = 50.0
    assert script.due(entries, state) == []
