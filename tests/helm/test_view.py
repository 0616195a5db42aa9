"""The view: what a trainee can know. Bearings without ranges, an arm without degrees, nothing of the anchor's truth."""

import dataclasses
import math
import typing

import numpy as np
import pytest

from sim.base.units import ticks
from sim.core import events as ev
from sim.core import state as st
from sim.core import watch_events as watch
from sim.core.orders import commands as cmd
from sim.helm import eye
from sim.helm import view as views
from sim.helm.aids import Granted
from sim.helm.exercise import Exercise
from sim.helm.sight import RAIN_M, in_sight
from sim.helm.view import Arm, Lookout, Sighted, View
from sim.model import layout as lay
from sim.model.air.sky import Sky
from sim.scenario import library

HIDDEN = (
    ev.AnchorTouched, ev.AnchorSet, ev.AnchorDragged, ev.AnchorHeld, ev.AnchorVeered, ev.AnchorAweigh,
    ev.ChainUnderHull, ev.ChainTouched, ev.ChainCaught, ev.ChainCleared, ev.BrakeSlipped,
    ev.WindInjected, ev.FaultBegun, ev.NeighbourActed, ev.WashBegan,
    ev.OrderMisheard, ev.RodeLaidOver,
)  # fmt: skip
TRUTH_OF_ANCHOR = [
    lay.A_BURIAL, lay.A_CLOG, lay.A_SOAK, lay.A_TIP, lay.A_DRAG, lay.A_CAP_H, lay.A_CAP_V, lay.A_PULL_H, lay.A_UPLIFT,
    lay.A_SPEED, lay.A_TOUCH_N, lay.A_TOUCH_E, lay.A_BOTTOM, lay.A_HEAP, lay.A_LOAD,
]  # fmt: skip


def cove(seed: int = 1) -> tuple[Exercise, Lookout]:
    """Return the exercise with two boats at anchor, and a lookout in it."""
    exercise = Exercise(library.load_lesson("hazel-cove"), seed)
    return exercise, Lookout(exercise)


def anchored() -> tuple[Exercise, Lookout]:
    """Return an exercise with the anchor on the bottom and some chain out."""
    exercise, lookout = cove()
    exercise.step([cmd.Brake(grip=0.0), cmd.Engine(lever=-0.5)])
    while exercise.world.state.lines[0, lay.L_OUT] < 20.0:
        exercise.step()
    exercise.step([cmd.Brake(grip=1.0)])
    return exercise, lookout


def fields_below(kind: type) -> set[str]:
    """Return the names of all fields of a dataclass and of the dataclasses in it, events aside."""
    names: set[str] = set()
    for name, hint in typing.get_type_hints(kind).items():
        names.add(name)
        for inner in (hint, *typing.get_args(hint)):
            if dataclasses.is_dataclass(inner) and inner is not ev.Event:
                names |= fields_below(inner)
    return names


def test_the_eye_has_bearing_and_heading_of_a_boat_and_judges_her_distance_poorly():
    """Farther off on the same bearing only the distance changes, and it is wrong by the same share."""
    exercise, lookout = cove()
    before = lookout.view().others
    own, other = exercise.world.state.boats[0], exercise.world.state.boats[1]
    away = other[: lay.B_HEADING] - own[: lay.B_HEADING]
    other[: lay.B_HEADING] = own[: lay.B_HEADING] + 3.0 * away

    assert lookout.view().others[0].bearing_rad == pytest.approx(before[0].bearing_rad)
    after = lookout.view().others[0]
    alike = dataclasses.replace(after, bearing_rad=before[0].bearing_rad, judged_m=before[0].judged_m)
    assert alike == before[0]
    assert after.judged_m == pytest.approx(3.0 * before[0].judged_m)
    truth = math.hypot(*away[:2])
    assert 0.01 < abs(before[0].judged_m / truth - 1.0) < 0.5
    assert not {f.name for f in dataclasses.fields(Sighted)} & {"range_m", "north_m", "east_m", "rode_m"}


def test_what_rode_a_neighbour_has_out_is_learnt_by_asking_only():
    exercise, lookout = cove()
    before = lookout.view().others
    exercise.world.state.fleet[1:, lay.Q_LENGTH : lay.Q_ADRIFT] = 7.0

    assert lookout.view().others == before


def test_no_field_of_a_view_is_the_truth_about_the_anchor():
    names = fields_below(View)

    assert {"slope_rad", "counter_m", "bearing_rad"} <= names, "the search goes all the way down"
    assert not {n for n in names if any(w in n for w in ("burial", "drag", "set", "tension", "uplift", "attitude"))}


def test_whatever_the_anchor_does_below_the_view_stays_the_same():
    exercise, lookout = anchored()
    before = lookout.view()
    s = exercise.world.state
    s.anchors[0, TRUTH_OF_ANCHOR] = 0.77
    s.anchors[0, lay.A_ATTITUDE] = lay.TURNED
    s.nodes[0, :5, : lay.N_Z] += 3.0

    assert before.arm is not None
    assert lookout.view() == before


@pytest.mark.parametrize("kind", HIDDEN, ids=lambda kind: kind.__name__)
def test_what_happens_out_of_sight_is_not_seen(kind):
    """The foredeck may feel it and say so; the helm reads it nowhere."""
    exercise, lookout = cove()
    values = {f.name: 0 for f in dataclasses.fields(kind)}
    exercise.events.append(kind(**values))

    assert lookout.view().seen == ()


def test_every_event_is_either_seen_told_or_hidden_on_purpose():
    told = {ev.CrewAsked, watch.WatchBegan, watch.WatchOrdered, watch.WatchCalled, watch.WatchEnded}

    assert set(ev.KINDS.values()) == {*views.SEEN, *HIDDEN, *told}


def test_the_eye_errs_the_same_way_all_day_and_otherwise_on_another():
    def slips(seed: int, for_ticks: int = 0) -> list[float]:
        exercise, lookout = cove(seed)
        for _ in range(for_ticks):
            exercise.step()
        row, own = exercise.world.state.boats, exercise.world.state.boats[0]
        return [
            math.remainder(
                o.bearing_rad - math.atan2(row[o.number, lay.B_EAST] - own[lay.B_EAST],
                                           row[o.number, lay.B_NORTH] - own[lay.B_NORTH]), 2.0 * math.pi,
            )
            for o in lookout.view().others
        ]  # fmt: skip

    assert slips(1) == pytest.approx(slips(1, for_ticks=600), abs=1e-9)
    assert slips(1) != pytest.approx(slips(2), abs=1e-6)


def test_the_eye_errs_by_degrees():
    """One degree on a bearing, four on how another boat heads (judgement): over many days, not more, not less."""
    bearings, headings = [], []
    for seed in range(60):
        exercise, _ = cove(seed)
        slips = Lookout(exercise).eye._slips
        bearings += list(np.degrees(eye.BEARING_SD_RAD * slips[:, 0]))
        headings += list(np.degrees(eye.LIE_SD_RAD * slips[:, 1]))

    assert np.std(bearings) == pytest.approx(1.0, abs=0.2)
    assert np.std(headings) == pytest.approx(4.0, abs=0.8)


def test_the_arm_points_to_fifteen_degrees():
    exercise, lookout = anchored()
    seen: set[Arm] = set()
    for _ in range(600):
        exercise.step()
        arm = lookout.view().arm
        assert arm is not None
        seen.add(arm)

    for arm in seen:
        for angle in (arm.bearing_rad, arm.slope_rad):
            assert math.degrees(angle) / 15.0 == pytest.approx(round(math.degrees(angle) / 15.0))


def test_there_is_no_arm_to_see_while_the_anchor_is_at_the_roller():
    _, lookout = cove()
    assert lookout.view().arm is None


def test_a_transit_opens_in_half_metres_and_only_once_it_is_taken():
    exercise, lookout = cove()
    assert lookout.view().transit_open_m is None

    exercise.step([cmd.TakeTransit(bearing_rad=0.5 * math.pi)])  # abeam to the east: it opens as she moves along north
    assert lookout.view().transit_open_m == 0.0
    own = exercise.world.state.boats[0]
    opened = []
    for north in (0.2, 0.3, 1.1, -2.0):
        own[lay.B_NORTH] = exercise.world.state.places[st.P_TRANSIT_N] + north
        opened.append(abs(lookout.view().transit_open_m))
    assert opened == [0.0, 0.5, 1.0, 2.0]

    exercise.step([cmd.TakeTransit(bearing_rad=0.0, on=False)])
    assert lookout.view().transit_open_m is None


def test_answers_to_acts_are_seen_when_they_come():
    exercise, lookout = cove()
    exercise.step([cmd.TakeRange(target=1), cmd.Hail(target=1)])
    assert lookout.view().seen == ()
    for _ in range(16 * 60):
        exercise.step()

    assert [type(e) for e in lookout.view().seen] == [ev.RangeTaken, ev.HailAnswered]


def test_what_a_hand_has_done_a_hand_knows():
    exercise, lookout = cove()
    exercise.step([cmd.Stopper(on=True), cmd.Lights(ball=True), cmd.MarkAnchor(), cmd.Abort(reason="too close")])
    handling = lookout.view().handling

    assert (handling.stopper, handling.ball, handling.light, handling.marked, handling.aborts) == (
        True, True, False, True, 1,
    )  # fmt: skip


def test_the_mark_of_the_anchor_is_no_truer_than_the_fix():
    """It is taken from the receiver: it lies off the bow by what the antenna's fix lies off the antenna."""
    exercise, lookout = cove()
    exercise.step([cmd.MarkAnchor()])
    marked = next(e for e in lookout.view().seen if isinstance(e, ev.AnchorMarked))
    true = next(e for e in exercise.events if isinstance(e, ev.AnchorMarked))
    own, antenna = exercise.world.state.boats[0], exercise.world.params.boat.particulars.antenna_x_m
    shown, heading = exercise.read(), exercise.world.state.boats[0, lay.B_HEADING]
    off = (
        shown.north_m - own[lay.B_NORTH] - antenna * math.cos(heading),
        shown.east_m - own[lay.B_EAST] - antenna * math.sin(heading),
    )

    assert math.hypot(*off) > 0.2
    assert (marked.north_m - true.north_m, marked.east_m - true.east_m) == pytest.approx(off, abs=0.05)


def test_who_has_gone_or_is_not_here_yet_is_neither_sighted_nor_hailed():
    exercise, lookout = cove()
    exercise.world.state.boats[1, lay.B_AWAY] = 1.0

    assert [o.number for o in lookout.view().others] == [2]
    happened = exercise.step([cmd.Hail(target=1), cmd.TakeRange(target=1)])
    assert [e.why for e in happened if isinstance(e, ev.Declined)] == ["no_such_target"] * 2


def test_by_night_a_boat_without_a_light_is_sighted_only_when_she_is_near():
    exercise, _ = cove()
    world = exercise.world
    night = dataclasses.replace(world, params=dataclasses.replace(world.params, sky=Sky(starts_h=23.0)))
    world.state.fleet[1, lay.Q_LIT] = 0.0

    assert in_sight(world) == (1, 2), "by day"
    assert in_sight(night) == (2,)
    world.state.boats[0, :2] = world.state.boats[1, :2] + 30.0
    assert in_sight(night) == (1, 2)


def test_the_light_goes_with_the_clock_of_a_lesson_that_began_by_day():
    """At three in the morning a boat without a light is out of sight, one with a light is seen by it alone."""
    exercise, lookout = cove()
    assert lookout.view().darkness == 0.0
    assert all(o.light_m is None and o.shown for o in lookout.view().others)
    exercise.world.state.fleet[1, lay.Q_LIT], exercise.world.state.fleet[2, lay.Q_LIT] = 0.0, 1.0
    exercise.world.state.clock[st.K_TICK] = ticks(9.0 * 3600.0)
    view = lookout.view()

    assert view.darkness == 1.0
    assert [o.number for o in view.others] == [2]
    assert view.others[0].light_m is not None
    assert not view.others[0].shown


def test_in_the_rain_of_a_squall_far_boats_are_out_of_sight():
    exercise, lookout = cove()
    rows = exercise.world.state.boats
    rows[1, :2], rows[2, :2] = rows[0, :2] + (0.0, 60.0), rows[0, :2] + (0.0, RAIN_M + 20.0)
    assert [o.number for o in lookout.view().others] == [1, 2]
    exercise.step([cmd.Inject(what="squall", ramp_s=5.0, hold_s=60.0, factor=1.5)])

    assert lookout.view().raining
    assert [o.number for o in lookout.view().others] == [1]


def test_aids_and_view_speak_of_the_same_boats():
    """A screen lays one beside the other."""
    exercise, lookout = cove()
    granted = Granted(exercise, ("ranges", "circles"))
    exercise.world.state.boats[1, lay.B_AWAY] = 1.0
    aids, view = granted.now(), lookout.view()

    assert len(aids.others) == len(aids.ranges_m) == len(aids.swings) == len(view.others) == 1
    assert aids.others[0].north_m == exercise.world.state.boats[2, lay.B_NORTH]
