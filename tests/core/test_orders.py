"""Every order is carried out or declined with a reason; none breaks the world."""

import dataclasses
import typing

import pytest
import worlds
from hypothesis import given, settings
from hypothesis import strategies as some
from worlds import SLOOP, TWIN, run

from sim.base.units import rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.step import advance
from sim.core.world import World
from sim.model import layout as lay
from sim.model.params import Mark

WILD = {
    bool: some.booleans(),
    int: some.integers(-3, 300),
    float: some.one_of(some.floats(-2.0, 2.0), some.floats(-1e4, 1e4)),
    str: some.sampled_from(["", "lead", "shift", "gust", "engine", "counter", "windlass", "helm", "no such thing"]),
}


def any_order() -> some.SearchStrategy:
    """Return a strategy for any command with any plausible or implausible values."""

    def one(kind: type) -> some.SearchStrategy:
        hints = typing.get_type_hints(kind)
        return some.builds(kind, **{f.name: WILD[hints[f.name]] for f in dataclasses.fields(kind)})

    return some.one_of([one(kind) for kind in cmd.KINDS.values()])


@settings(max_examples=40)
@given(orders=some.lists(any_order(), min_size=1, max_size=12), twin=some.booleans())
def test_no_order_breaks_the_world(orders, twin):
    """Whatever is ordered, alone or in a row, the world runs on."""
    w = worlds.world(boat=worlds.boat(TWIN if twin else SLOOP), neighbours=(worlds.neighbour(60.0, 30.0),))
    for order in orders:
        for event in advance(w, [order]):
            assert isinstance(event, ev.Event)
        run(w, 0.5)

    assert w.state.tick == 31 * len(orders)


@pytest.mark.parametrize("kind", cmd.KINDS.values(), ids=lambda k: k.__name__)
def test_every_kind_is_known_to_the_world(kind):
    hints = typing.get_type_hints(kind)
    plain = {bool: True, int: 0, float: 1.0, str: "lead"}
    needed = {f.name: plain[hints[f.name]] for f in dataclasses.fields(kind) if f.default is dataclasses.MISSING}

    advance(worlds.world(), [kind(**needed)])


def declined(w: World, *orders: cmd.Command) -> list[tuple[str, str]]:
    """Return (what, why) of the orders declined."""
    return [(e.what, e.why) for e in advance(w, orders) if isinstance(e, ev.Declined)]


@pytest.mark.parametrize(
    ("order", "why"),
    [
        (cmd.Engine(lever=0.5, shaft=1), "not_fitted"),
        (cmd.Thruster(push=1.0), "not_fitted"),
        (cmd.Windlass(motion=1, rode=1), "no_such_rode"),
        (cmd.Windlass(motion=1, rode=-1), "no_such_rode"),
        (cmd.Snubber(on=True), "no_chain_out"),
        (cmd.Snubber(on=False), "not_hooked"),
        (cmd.TakeRange(target=1), "no_such_target"),
        (cmd.TakeRange(target=0), "no_such_target"),
        (cmd.Hail(target=1), "no_such_target"),
        (cmd.SoundRound(radius_m=2.0), "radius"),
        (cmd.Secure(), "no_anchor_down"),
        (cmd.Inject(what="hurricane", ramp_s=1.0), "unknown"),
        (cmd.Fault(what="stern"), "unknown"),
    ],
)
def test_what_cannot_be_done_is_declined_with_the_reason(order, why):
    assert [reason for _, reason in declined(worlds.world(), order)] == [why]


def test_a_windlass_does_not_work_against_what_holds_the_chain():
    """Stopper, free clutch, snubber and a dead motor, each named."""
    w = worlds.world()
    run(w, 30.0, cmd.Windlass(motion=1))
    heave = cmd.Windlass(motion=-1)

    assert declined(w, cmd.Stopper(on=True), heave) == [("windlass", "stopper_on")]
    assert declined(w, cmd.Stopper(on=False), cmd.Brake(grip=0.2), heave) == [("windlass", "clutch_free")]
    assert declined(w, cmd.Brake(grip=1.0), cmd.Snubber(on=True), heave) == [("windlass", "snubber_on")]
    assert declined(w, cmd.Snubber(on=False), cmd.Fault(what="windlass"), heave) == [("windlass", "no_power")]
    assert declined(w, cmd.Fault(what="windlass", value=0.0), heave) == []


def test_orders_beyond_the_stops_go_to_the_stops():
    w = worlds.world()
    run(w, 5.0, cmd.Engine(lever=7.0), cmd.Helm(angle_rad=rad(80.0)))

    assert w.state.shafts[0, lay.S_LEVER] == 1.0
    assert w.state.control[lay.C_RUDDER] == pytest.approx(rad(35.0))


def test_acts_that_take_time_are_answered_when_they_are_done():
    """A range, soundings round the spot, a hail and a diver's report; each once."""
    bay = dataclasses.replace(worlds.bay(), marks=(Mark("beacon", "beacon", 180.0, 240.0, 8.0),))
    w = worlds.world(bay=bay, neighbours=(worlds.neighbour(60.0, 0.0, 32.0),))
    orders = cmd.TakeRange(target=-1), cmd.SoundRound(radius_m=30.0), cmd.Hail(target=1), cmd.Dive()
    at_once = advance(w, orders)
    happened = run(w, 320.0)
    answers = {k: [e for e in happened if isinstance(e, k)] for k in (ev.RangeTaken, ev.DepthSounded, ev.HailAnswered)}

    assert at_once == []
    assert [len(found) for found in answers.values()] == [1, 1, 1]
    assert answers[ev.RangeTaken][0].tick == 180
    assert answers[ev.DepthSounded][0].least_m == pytest.approx(5.0, abs=0.5)
    assert answers[ev.HailAnswered][0].rode_m == 30.0  # told to the nearest five
    assert len([e for e in happened if isinstance(e, ev.DiverReported)]) == 1


def test_ranges_err_by_about_a_metre_and_never_twice_alike():
    """A laser on a good target: one metre standard deviation (common practice, no source)."""
    bay = dataclasses.replace(worlds.bay(), marks=(Mark("beacon", "beacon", 180.0, 240.0, 8.0),))
    w = worlds.world(bay=bay)
    found = []
    for _ in range(40):
        found += [e.range_m for e in run(w, 4.0, cmd.TakeRange(target=-1)) if isinstance(e, ev.RangeTaken)]
    spread = (sum((r - 300.0) ** 2 for r in found) / len(found)) ** 0.5

    assert len(set(found)) == 40
    assert 0.7 <= spread <= 1.4


def test_the_alarm_rings_once_when_she_leaves_its_circle():
    w = worlds.world(start=worlds.Start(0.0, 0.0, 0.0, 2.0))
    happened = run(w, 30.0, cmd.SetAlarm(north_m=0.0, east_m=0.0, radius_m=20.0))
    rang = [e for e in happened if isinstance(e, ev.AlarmRang)]

    assert len(rang) == 1
    # What the receiver shows, looked at once a second while she makes two metres in it, and its own error of a few.
    assert 20.0 < rang[0].distance_m < 22.5
    assert rang[0].tick % 60 == 0
