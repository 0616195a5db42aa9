"""The watch's clock: the same night by coarser steps, repeatable to the last bit, that ends where it must be told."""

import itertools
import math

import numpy as np
import pytest
import worlds
from worlds import run

from sim.base.units import mps, rad
from sim.core import events as ev
from sim.core import mesh, watch
from sim.core import state as st
from sim.core.clock import FIX_TICKS, NIGHT
from sim.core.groups import LOG_PULL
from sim.core.orders import commands as cmd
from sim.core.orders import watch_orders
from sim.core.step import advance
from sim.core.world import World
from sim.model import layout as lay

STEP_TICKS = watch.STEP_TICKS


def anchored(wind_kn: float = 18.0, seed: int = 1, snubber: bool = True, **changes: object) -> World:
    """Return a boat that lies to 35 m of chain in a gusty northerly, her snubber on, some metres veered."""
    w = worlds.world(seed=seed, weather=worlds.gusty(wind_kn, seed), **changes)
    worlds.let_go(w, 35.0)
    run(w, 60.0)
    run(w, 30.0, cmd.Engine(lever=-0.5))
    run(w, 10.0, cmd.Engine(lever=0.0))
    if snubber:
        run(w, 32.0, cmd.Snubber(on=True), cmd.Windlass(motion=1))  # veer until the nylon has the load
        run(w, 10.0, cmd.Windlass(motion=0))
    return w


def keep_watch(w: World, for_s: float, *orders: cmd.Command) -> list[ev.Event]:
    """Give orders and let the watch's clock run on; return what happened."""
    until = w.state.tick + round(for_s * 60)
    happened = advance(w, orders)
    while w.state.tick < until:
        happened += advance(w, ())
    return happened


def kinds(happened: list[ev.Event]) -> list[type[ev.Event]]:
    return [type(e) for e in happened]


def test_a_step_of_the_watch_lasts_until_the_next_ten_seconds_are_full():
    w = anchored()
    happened = keep_watch(w, 30.0, cmd.BeginWatch())
    ticks = [w.state.tick]
    for _ in range(3):
        advance(w, ())
        ticks.append(w.state.tick)

    assert kinds(happened).count(ev.WatchBegan) == 1
    assert watch.kept(w)
    assert [t % STEP_TICKS for t in ticks[1:]] == [0, 0, 0]
    assert ticks[-1] - ticks[1] == 2 * STEP_TICKS


def test_begin_and_end_leave_the_rode_as_it_lay():
    """Nodes 2.5 m apart and back: path to some centimetres, length, anchor and tension as they were."""
    w = anchored(snubber=False)
    while w.state.tick % 12:
        advance(w, ())
    before = st.snapshot(w.state)
    mesh.refit(w, 0, mesh.fitting_m(w, 0, NIGHT.mesh_m))
    coarse = int(w.state.lines[0, lay.L_COUNT])
    mesh.refit(w, 0, 1.0)
    after = w.state

    count = int(before.lines[0, lay.L_COUNT])
    assert coarse < 0.55 * count
    assert after.lines == pytest.approx(before.lines, abs=1e-9)
    assert np.array_equal(before.anchors, after.anchors)
    away = np.linalg.norm(before.nodes[0, :count, :3] - after.nodes[0, :count, :3], axis=1)
    assert away.max() < 0.1  # a chord's sagitta where the chain curves most
    assert away[[0, -1]].max() == 0.0
    tension = before.nodes[0, : count - 1, lay.N_TENSION] - after.nodes[0, : count - 1, lay.N_TENSION]
    assert np.abs(tension).max() < 0.1 * before.nodes[0, : count - 1, lay.N_TENSION].max()


def test_a_heap_stays_a_heap():
    w = worlds.world()
    run(w, 60.0, cmd.Brake(grip=0.0))
    run(w, 20.0, cmd.Brake(grip=1.0))
    count = int(w.state.lines[0, lay.L_COUNT])
    before = w.state.nodes[0, :count, :3].copy()
    mesh.refit(w, 0, mesh.fitting_m(w, 0, NIGHT.mesh_m))
    mesh.refit(w, 0, 1.0)

    assert w.state.lines[0, lay.L_COUNT] == count
    assert np.abs(w.state.nodes[0, :count, :3] - before).max() < 2.5


def test_the_hook_keeps_its_link_and_the_watch_its_load():
    """The snubber hangs on the same metre of chain, and still has the load after a minute."""
    w = anchored()
    hook_m = float(w.state.lines[0, lay.L_HOOK])
    keep_watch(w, 60.0, cmd.BeginWatch())
    line = w.state.lines[0]

    assert w.state.lines[0, lay.L_HOOK] * mesh.segment_m(w, 0) == pytest.approx(hook_m)
    assert line[lay.L_SNUB_A] > 1.5 * line[lay.L_TENSION] > 0.0
    advance(w, [cmd.EndWatch()])
    assert line[lay.L_HOOK] == hook_m


@pytest.mark.parametrize("snubber", [True, False])
def test_a_steady_night_carries_the_load_of_the_wind(snubber):
    """In a steady wind the watch's mean pull is the live clock's, within two per cent."""
    means = []
    for on_watch in (False, True):
        w = worlds.lying_back(wind_kn=22.0)
        if snubber:
            advance(w, [cmd.Snubber(on=True)])
        run(w, 30.0)
        pulls: list[float] = []
        until = w.state.tick + 300 * 60
        orders = [cmd.BeginWatch()] if on_watch else []
        while w.state.tick < until:
            advance(w, orders)
            orders = []
            pulls += w.log.last[:, LOG_PULL].tolist()
        means.append(float(np.mean(pulls)))

    assert means[1] == pytest.approx(means[0], rel=0.02)


def test_the_same_night_twice_is_the_same_to_the_last_bit():
    hashes = []
    for _ in range(2):
        w = anchored(neighbours=(worlds.neighbour(60.0, 50.0),))
        keep_watch(w, 1800.0, cmd.BeginWatch(), cmd.Inject(what="shift", ramp_s=600.0, turn_rad=0.8))
        hashes.append(st.state_hash(w.state))

    assert hashes[0] == hashes[1]


def test_a_night_restored_runs_on_to_the_same_state():
    w = anchored(neighbours=(worlds.neighbour(60.0, 50.0),))
    keep_watch(w, 300.0, cmd.BeginWatch())
    saved = st.snapshot(w.state)
    keep_watch(w, 900.0)
    expected = st.state_hash(w.state)
    st.restore(w.state, saved)
    keep_watch(w, 900.0)

    assert st.state_hash(w.state) == expected


def test_a_night_without_wind_moves_nothing():
    """Ten hours of calm: the anchor does not stir, the boat does not run about."""
    w = anchored(wind_kn=2.0)
    place = w.state.nodes[0, 0, :2].copy()
    keep_watch(w, 10 * 3600.0, cmd.BeginWatch())

    assert np.hypot(*(w.state.nodes[0, 0, :2] - place)) < 0.05
    assert abs(w.state.boats[0, lay.B_SURGE]) < 0.3


def test_the_helm_answers_again_when_the_watch_ends():
    w = anchored()
    happened = keep_watch(w, 60.0, cmd.BeginWatch()) + advance(w, [cmd.EndWatch(), cmd.Engine(lever=0.3)])
    began = w.state.tick
    run(w, 5.0)

    assert kinds(happened).count(ev.WatchEnded) == 1
    assert w.state.tick == began + 300
    assert w.state.shafts[0, lay.S_THRUST] > 0.0
    assert w.state.lines[0, lay.L_MESH] == 0.0


def test_leaving_the_helm_stops_the_engine():
    w = anchored()
    advance(w, [cmd.Engine(lever=0.4), cmd.Helm(angle_rad=0.3)])
    keep_watch(w, 60.0, cmd.BeginWatch())

    assert w.state.shafts[0, lay.S_LEVER] == 0.0
    assert w.state.control[lay.C_RUDDER] == 0.0


def test_what_cannot_be_is_declined():
    w = worlds.world()
    orders = cmd.BeginWatch(), cmd.EndWatch(), cmd.WatchOrders(drag_m=5.0)
    declined = [e.why for e in advance(w, orders) if isinstance(e, ev.Declined)]
    w = anchored()
    declined += [e.why for e in advance(w, [cmd.BeginWatch(), cmd.BeginWatch()]) if isinstance(e, ev.Declined)]

    assert declined == ["no_anchor_down", "not_on_watch", "no_mark", "on_watch"]


def test_the_alarm_rings_in_the_night_and_the_step_ends_there():
    """The bow mark's circle is too small for her swing: the alarm rings on the second, not when ten are full."""
    w = anchored()
    anchor = w.state.nodes[0, 0, :2]
    circle = cmd.SetAlarm(north_m=float(anchor[0]), east_m=float(anchor[1]), radius_m=42.0)
    happened = keep_watch(w, 3600.0, circle, cmd.BeginWatch())
    rang = [e for e in happened if isinstance(e, ev.AlarmRang)]

    assert len(rang) == 1
    assert rang[0].distance_m > 42.0
    assert rang[0].tick % 60 == 0


def test_each_order_calls_when_it_comes_true():
    """Wind, a shift and a boat that lies near: each is called, and never twice within a minute."""
    w = anchored(neighbours=(worlds.neighbour(45.0, 30.0),))
    orders = cmd.WatchOrders(wind_mps=mps(21.0), shift_rad=rad(25.0), near_m=60.0)
    shift = cmd.Inject(what="shift", ramp_s=900.0, turn_rad=rad(50.0))
    happened = keep_watch(w, 600.0, orders, cmd.BeginWatch()) + keep_watch(w, 3600.0, shift)
    called = [e for e in happened if isinstance(e, ev.WatchCalled)]
    value = {e.why: e.value for e in reversed(called)}
    apart_s = [(b.tick - a.tick) / 60.0 for a, b in itertools.pairwise(called) if a.why == b.why]

    assert sorted(value) == ["near", "shift", "wind"]
    assert all(gap >= watch_orders.UNBROKEN_S for gap in apart_s)
    assert value["wind"] > mps(21.0)
    assert value["shift"] == pytest.approx(rad(25.0), abs=rad(0.5))
    assert value["near"] < 60.0


def test_back_to_bed_an_order_that_still_holds_does_not_call_at_once():
    """A boat lies within what was ordered: one call, and none more in an hour though the watch is begun again."""
    w = anchored(wind_kn=8.0, neighbours=(worlds.neighbour(45.0, 30.0),))
    happened = keep_watch(w, 60.0, cmd.WatchOrders(near_m=80.0), cmd.BeginWatch())
    advance(w, [cmd.EndWatch()])
    run(w, 5.0)
    again = keep_watch(w, 3600.0, cmd.BeginWatch())

    assert [e.why for e in happened if isinstance(e, ev.WatchCalled)] == ["near"]
    assert not [e for e in again if isinstance(e, ev.WatchCalled)]


def ring(found: list[float], wind_mps: float = 10.0) -> list[int]:
    """Return the fixes, two seconds apart, at which an order for wind calls, given what each finds."""
    watched, rung, values = np.zeros(st.WATCH_COLS), np.zeros((4, st.RUNG_COLS)), np.zeros(4)
    watched[st.V_WIND] = wind_mps
    calls = []
    for k, value in enumerate(found):
        values[st.V_WIND] = value
        watch_orders.settle(watched, rung, values)
        if watch_orders.calls(watched, rung, values) == st.V_WIND:
            calls.append(k)
            watched[st.V_CALLED] = int(watched[st.V_CALLED]) | (1 << st.V_WIND)
            rung[st.V_WIND] = watch_orders.QUIET_S, value
    return calls


QUIET = round(watch_orders.QUIET_S * 60.0 / FIX_TICKS)
MINUTE = round(watch_orders.UNBROKEN_S * 60.0 / FIX_TICKS)


@pytest.mark.parametrize(
    ("then", "calls"),
    [
        ([11.0] * 3 * QUIET, [0]),  # it goes on as it was
        ([13.0] * 3 * QUIET, [0]),  # worse, but by less than a step
        ([14.0] * QUIET, [0, MINUTE]),  # worse by a step: as soon as the first call has been answered
        ([14.0] * 3 * QUIET, [0, MINUTE]),  # and again only from there
        ([11.0] * QUIET + [14.0] * QUIET, [0, QUIET + 1]),  # or whenever it becomes so
        ([9.5] * QUIET + [11.0] * QUIET, [0]),  # a lull that does not clear it
        ([8.0] * QUIET + [11.0] * QUIET, [0, QUIET + 1]),  # cleared and come back
        ([8.0] * 9 + [11.0] * 2 * QUIET, [0, QUIET]),  # come back soon: once the quiet time is over
    ],
)
def test_an_order_calls_again_when_it_is_worse_or_has_come_back(then, calls):
    """Ordered at 10 m/s, called at 11: a step is 2.5 m/s, half of it back clears."""
    assert ring([11.0, *then]) == calls


def test_the_watch_is_called_by_a_drag_as_the_receiver_shows_it():
    """Poor ground and half a gale: she goes, and the call comes within some metres of what was ordered."""
    w = anchored(rodes=(worlds.rode(hold_n=1500.0),), wind_kn=15.0)
    bow = cmd.MarkAnchor()
    anchor = w.state.nodes[0, 0, :2].copy()
    advance(w, [bow])
    w.state.places[[st.P_MARK_N, st.P_MARK_E]] = anchor
    gale = cmd.Inject(what="gust", ramp_s=300.0, hold_s=7000.0, factor=2.2)
    happened = keep_watch(w, 3600.0, cmd.WatchOrders(drag_m=10.0), gale, cmd.BeginWatch())
    called = [e for e in happened if isinstance(e, ev.WatchCalled)]

    assert {e.why for e in called} == {"drag"}
    assert all(b.value > a.value + watch_orders.STEPS[st.V_DRAG] for a, b in itertools.pairwise(called)), (
        "worse by a step"
    )
    assert all(b.tick - a.tick >= 60.0 * watch_orders.UNBROKEN_S for a, b in itertools.pairwise(called))
    assert called[0].value == pytest.approx(10.0, abs=1.5)
    assert ev.AnchorDragged in kinds(happened)


def test_boats_that_meet_in_the_night_touch():
    """A neighbour whose anchor lies too near, and the wind backs round: hulls meet, and stay out of each other."""
    w = anchored(wind_kn=15.0, neighbours=(worlds.neighbour(-18.0, 0.0, 30.0),))
    shift = cmd.Inject(what="shift", ramp_s=900.0, turn_rad=rad(170.0))
    happened = keep_watch(w, 1800.0, cmd.BeginWatch(), shift)
    own, other = w.state.boats[:2]

    assert [(e.boat, e.other) for e in happened if isinstance(e, ev.Touched)][:1] == [(0, 1)]
    assert math.hypot(own[lay.B_NORTH] - other[lay.B_NORTH], own[lay.B_EAST] - other[lay.B_EAST]) > 3.0


def test_a_second_rode_lies_coarse_too():
    w = worlds.world(rodes=(worlds.rode(), worlds.rode()), weather=worlds.gusty(15.0))
    worlds.let_go(w, 30.0)
    run(w, 20.0, cmd.Brake(grip=0.0, rode=1))
    run(w, 10.0, cmd.Brake(grip=1.0, rode=1))
    counts = w.state.lines[:, lay.L_COUNT].copy()
    keep_watch(w, 600.0, cmd.BeginWatch())

    assert (w.state.lines[:, lay.L_COUNT] < 0.6 * counts).all()
    advance(w, [cmd.EndWatch()])
    assert np.array_equal(w.state.lines[:, lay.L_COUNT], counts)
