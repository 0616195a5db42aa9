"""Secure and settle: each item by itself."""

from dataclasses import replace

import numpy as np
import pytest
from marking import sailed

from sim.core import events as ev
from sim.marking.phases import secure
from sim.model.air.sky import Sky


def test_everything_done_is_all_of_it():
    """Snubber, alarm, ball and a watch kept."""
    assert secure.secured_items(sailed.run()).value == 1.0
    assert set(secure.items(sailed.run())) == {"snubber", "alarm_centre", "alarm_radius", "light", "watched"}


def alarm(**changes: float | bool) -> list[ev.Event]:
    """Return what happened with the alarm placed otherwise."""
    placed = ev.AlarmSet(tick=sailed.tick(366), north_m=0.0, east_m=0.0, radius_m=55.0, on=True)
    return sailed.instead(replace(placed, **changes))


LATE_SNUBBER = ev.SnubberHooked(tick=sailed.tick(400), rode=0, out_m=32.5)


@pytest.mark.parametrize(
    ("item", "happened"),
    [
        pytest.param("alarm_centre", alarm(north_m=-36.0), id="on-the-boat"),
        pytest.param("alarm_radius", alarm(radius_m=20.0), id="too-small"),
        pytest.param("alarm_radius", alarm(radius_m=120.0), id="too-large"),
        pytest.param("light", sailed.without(ev.LightsShown), id="no-ball"),
        pytest.param("watched", sailed.instead(LATE_SNUBBER), id="left-at-once"),
    ],
)
def test_each_item_that_is_missing_costs_a_fifth(item, happened):
    """One item undone, the others as before."""
    run = sailed.run(happened)

    assert [name for name, done in secure.items(run).items() if not done] == [item]
    assert secure.secured_items(run).value == pytest.approx(0.8)


def test_an_alarm_switched_off_is_none():
    """Neither centre nor radius count."""
    assert secure.secured_items(sailed.run(alarm(on=False))).value == pytest.approx(0.6)


def test_by_night_a_light_is_due_and_by_day_a_ball():
    """The ball is no light."""
    dark = replace(sailed.STAY, dark=True)
    lit = sailed.instead(ev.LightsShown(tick=sailed.tick(366), anchor_light=True, ball=False))

    assert not secure.items(sailed.run(stay=dark))["light"]
    assert secure.items(sailed.run(lit, stay=dark))["light"]


def test_from_sunset_on_a_light_is_due_on_a_day_lesson_too():
    """COLREG 20 (b): lights from sunset to sunrise, shapes by day. At 50 north in August the sun is down by 20 h."""
    lit = sailed.instead(ev.LightsShown(tick=sailed.tick(366), anchor_light=True, ball=False))

    for hour, light_due in ((12.0, False), (18.0, False), (20.5, True), (3.0, True)):
        when = {"sky": Sky(starts_h=hour)}
        assert secure.items(sailed.run(lit, params=when))["light"] is light_due
        assert secure.items(sailed.run(params=when))["light"] is not light_due


@pytest.mark.parametrize(
    ("hook", "nylon_n", "chain_n", "carries"),
    [
        pytest.param(20.0, 200.0, 60.0, True, id="bight-slack"),
        pytest.param(20.0, 60.0, 150.0, True, id="light-air"),
        pytest.param(20.0, 100.0, 900.0, False, id="hooked-but-not-veered"),
        pytest.param(20.0, 0.0, 60.0, False, id="nothing-on-it"),
        pytest.param(-1.0, 200.0, 60.0, False, id="not-hooked"),
    ],
)
def test_the_snubber_must_carry_her(hook, nylon_n, chain_n, carries):
    """Hooked, pulling, and beside it no more than the weight of a hanging bight."""
    run = sailed.run(hook=hook, snubber_a_n=nylon_n, tension_n=chain_n)

    assert secure.snubber_carries(run) is carries


def test_nothing_down_is_nothing_secured():
    """What was not done has no value."""
    assert secure.secured_items(sailed.run([sailed.plan()])).value is None
    assert np.isfinite(secure.alarm_radius_m(sailed.run(), 0.0, 0.0, 32.5))
