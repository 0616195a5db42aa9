"""Keys held and pressed become commands, tick by tick."""

import pytest

from sim.base.units import deg
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.model import layout as lay
from sim.play.hands import LEVER_EVERY, LEVER_WAIT, MOST_HELM_RAD, Act, Can, Hands
from sim.play.session import Session
from sim.scenario.library import load_lesson


@pytest.fixture
def sloop(tmp_path):
    """Return a session in the sloop, one screw."""
    return Session(load_lesson("lantern-pool"), 1, tmp_path)


@pytest.fixture
def twin(tmp_path):
    """Return a session in the twin hull, two screws."""
    return Session(load_lesson("hazel-cove"), 1, tmp_path)


def given(session: Session, ticks: int) -> list[cmd.Command]:
    """Return the commands of so many ticks."""
    out = []
    for _ in range(ticks):
        session.tick()
        out += session.exercise.applied
    return out


def test_a_tap_moves_the_wheel_by_a_nudge_and_it_stays(sloop):
    """Two and a half degrees a tap, in the tick of the tap; nothing when the key comes up."""
    sloop.press(Act.STARBOARD)
    sloop.hands.release(Act.STARBOARD)

    assert [round(deg(c.angle_rad), 1) for c in given(sloop, 60)] == [2.5]


def test_the_wheel_held_goes_hard_over_and_no_further(sloop):
    """Hard over is 35 degrees."""
    sloop.press(Act.PORT)
    orders = given(sloop, 240)

    assert round(deg(orders[-1].angle_rad)) == -35
    assert max(abs(c.angle_rad) for c in orders) <= MOST_HELM_RAD + 1e-4  # orders are rounded


def test_a_lever_key_repeats_while_it_is_held(sloop):
    """A tenth at once, then after a moment a tenth at a time."""
    sloop.press(Act.AHEAD)
    levers = [c.lever for c in given(sloop, LEVER_WAIT + 3 * LEVER_EVERY)]

    assert levers[:3] == [0.1, 0.2, 0.3]


def test_neutral_is_a_notch(sloop):
    """A lever key held from ahead stops at neutral until it is pressed again."""
    for _ in range(2):
        sloop.press(Act.AHEAD)
        sloop.hands.release(Act.AHEAD)
    sloop.press(Act.ASTERN)
    assert given(sloop, 300)[-1].lever == 0.0
    sloop.hands.release(Act.ASTERN)
    sloop.press(Act.ASTERN)

    assert given(sloop, 1)[-1].lever == -0.1


def test_each_screw_of_two_has_its_own_keys(twin):
    """Port ahead and starboard astern twist her; the common key then moves both from where they are."""
    twin.press(Act.PORT_AHEAD)
    twin.press(Act.STBD_ASTERN)
    orders = given(twin, 1)

    assert [(c.shaft, c.lever) for c in orders] == [(0, 0.1), (1, -0.1)]


def test_a_single_screw_has_no_second_lever(sloop):
    """The keys of the starboard engine do nothing in a boat with one."""
    sloop.press(Act.STBD_AHEAD)

    assert given(sloop, 60) == []


def test_the_windlass_runs_while_its_key_is_held(sloop):
    """Down veers, up stops; losing the keyboard stops it too."""
    sloop.press(Act.VEER)
    assert given(sloop, 30) == [cmd.Windlass(motion=1)]
    sloop.hands.let_go_of_all()

    assert given(sloop, 30) == [cmd.Windlass(motion=0)]


def test_the_brake_key_lets_go_and_holds(sloop):
    """Each press turns the brake over."""
    orders = []
    for _ in range(2):
        sloop.press(Act.BRAKE)
        orders += given(sloop, 1)

    assert orders == [cmd.Brake(grip=0.0), cmd.Brake(grip=1.0)]


def test_ranges_go_round_boats_and_then_marks(twin):
    """Each press ranges the next: both boats, then the chart's marks, then the first boat again."""
    marks = len(twin.brief.chart.marks)
    targets = []
    for _ in range(2 + marks + 1):
        twin.press(Act.RANGE)
        targets += [c.target for c in given(twin, 1)]

    assert targets == [1, 2, *range(-1, -marks - 1, -1), 1]


def test_the_alarm_is_laid_round_the_mark(sloop):
    """Its centre is where the anchor was marked, its radius holds chain, boat and fix."""
    sloop.press(Act.BRAKE)
    given(sloop, 600)
    sloop.press(Act.MARK)
    given(sloop, 1)
    sloop.look()
    mark = next(e for e in sloop.view.seen if type(e).__name__ == "AnchorMarked")
    sloop.press(Act.ALARM)
    ring = given(sloop, 1)[0]

    assert (ring.north_m, ring.east_m) == (round(mark.north_m, 1), round(mark.east_m, 1))
    assert ring.radius_m > sloop.brief.boat.loa_m


def test_what_cannot_be_done_is_known(sloop):
    """At the start no snubber can be hooked and nothing reported; with the stopper on the windlass stands."""
    at_first = Can(windlass=True, snubber=False, secure=False, signal=False, hail=False, leave=True)
    assert Can.now(sloop.view) == at_first
    sloop.press(Act.STOPPER)
    given(sloop, 1)
    sloop.look()

    assert not Can.now(sloop.view).windlass


def test_a_key_that_is_down_is_not_pressed_again(sloop):
    """The keyboard's own repeat changes nothing."""
    hands: Hands = sloop.hands
    for _ in range(5):
        hands.press(Act.AHEAD, sloop.view, sloop.exercise.tick)

    assert hands.levers == [0.1]


def test_the_windlass_can_be_told_to_stop_on_the_rope(tmp_path):
    """Rope behind the chain is rode too: steps of five metres, up to all of both."""
    session = Session(load_lesson("lantern-pool"), 1, tmp_path, "fin-keel-9")
    for _ in range(14):
        session.press(Act.PRESET_MORE)
        session.tick()

    assert session.lookout.view().handling.stop_at_m == 60.0


def test_with_the_chain_lost_there_is_nothing_to_secure_and_she_can_leave(sloop):
    """Its bitter end was not made fast: the counter still shows all of it."""
    sloop.exercise.world.constants.lines[0, lay.LP_BITTER_FAST] = 0.0
    sloop.press(Act.BRAKE)
    while not any(isinstance(e, ev.ChainOut) for e in sloop.exercise.events):
        sloop.tick()
    view = sloop.lookout.view()
    can = Can.now(view)

    assert view.readings.counter_m > 50.0
    assert can.leave
    assert not (can.secure or can.snubber or can.signal)


def test_a_line_ashore_goes_to_the_nearest_mark_where_none_was_chosen(tmp_path):
    """Off the berth that is a bollard; a mark chosen comes first."""
    session = Session(load_lesson("sallowmarket-quay"), 13, tmp_path)
    marks = session.brief.chart.marks
    session.exercise.world.state.boats[0, :2] = 80.0, -76.0
    for _ in range(120):
        session.tick()
    session.press(Act.ASHORE)
    session.hands.choose(-1)
    session.press(Act.ASHORE)
    lines = [c.mark for c in given(session, 1) if isinstance(c, cmd.LineToShore)]

    assert [marks[number - 1].name for number in lines] == ["west bollard", marks[0].name]
