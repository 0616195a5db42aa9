"""How a boat goes under engine and in the wind, as the trade says boats of these kinds do.

Where no source is named a figure is common practice or judgement.
"""

import math
from dataclasses import replace

import pytest
import worlds
from published import published
from worlds import SLOOP, SLOOP_SHAFT, TWIN, heading_deg, run, steady

from sim.base.units import knots, mps, rad
from sim.core import commands as cmd
from sim.core.world import World
from sim.model import engine, rudder
from sim.model import layout as lay
from sim.model.engine import shaft_rps
from sim.model.params import Boat, Particulars, Start

HULL = published("hull")
BOTH = pytest.mark.parametrize("p", [SLOOP, TWIN], ids=["sloop", "twin"])


def afloat(p: Particulars, heading_deg: float = 0.0, speed_kn: float = 0.0, wind_kn: float = 0.0) -> World:
    """Return a world of deep water with one boat in it and a steady wind from the north."""
    return worlds.world(
        boat=worlds.boat(p),
        bay=worlds.bay(30.0),
        weather=steady(wind_kn),
        start=Start(0.0, 0.0, rad(heading_deg), mps(speed_kn)),
    )


def speed_kn(w: World) -> float:
    """Return her speed ahead."""
    return knots(w.state.boats[0, lay.B_SURGE])


def until(w: World, done, limit_s: float = 400.0) -> float:
    """Let time pass until something is so; return the seconds it took."""
    start = w.state.tick
    while not done() and w.state.tick - start < limit_s * 60.0:
        run(w, 1.0 / 60.0)
    assert done(), "it never happened"
    return (w.state.tick - start) / 60.0


@pytest.mark.parametrize(
    ("p", "lever", "least", "most"),
    [
        (SLOOP, 0.06, 2.0, 3.0),
        (SLOOP, 0.5, 4.5, 5.5),
        (SLOOP, 1.0, 6.8, 7.8),
        (TWIN, 0.06, 2.0, 3.0),
        (TWIN, 0.5, 4.5, 5.5),
        (TWIN, 1.0, 7.0, 8.2),
    ],
)
def test_speed_by_lever(p, lever, least, most):
    """Common practice for 12 m under engine: idle, half and full; two engines push a light twin a little faster."""
    w = afloat(p)
    run(w, 150.0, cmd.Engine(lever=lever))

    assert least <= speed_kn(w) <= most


@BOTH
def test_from_four_knots_she_carries_her_way_many_lengths(p):
    """Common practice: 6 to 12 lengths in neutral down to one knot."""
    w = afloat(p, speed_kn=4.0)
    until(w, lambda: speed_kn(w) <= 1.0)

    assert 6.0 <= math.hypot(*w.state.boats[0, :2]) / p.loa_m <= 12.0


@BOTH
def test_half_astern_stops_her_in_one_to_three_lengths(p):
    """Common practice: from four knots, and in less than half a minute."""
    w = afloat(p, speed_kn=4.0)
    run(w, 1.0 / 60.0, cmd.Engine(lever=-0.5))
    took_s = until(w, lambda: speed_kn(w) <= 0.0)

    assert took_s <= 30.0
    assert 1.0 <= math.hypot(*w.state.boats[0, :2]) / p.loa_m <= 3.0


@pytest.mark.parametrize("wind_kn", [10.0, 15.0])
@BOTH
def test_stopped_head_to_wind_she_gathers_sternway(p, wind_kn):
    """Common practice, no source: 0.25 to 1.2 kn between 10 and 20 s; the tall twin gathers half as much again."""
    w = afloat(p, heading_deg=3.0, wind_kn=wind_kn)
    run(w, 10.0)
    ten = -speed_kn(w)
    run(w, 10.0)
    twenty = -speed_kn(w)

    assert 0.25 <= ten < twenty <= (1.7 if p.hulls == 2 else 1.2)


def falls_off_s(p: Particulars, wind_kn: float) -> float:
    """Return the seconds from rest at 10 degrees off the wind to 45 degrees."""
    w = afloat(p, heading_deg=10.0, wind_kn=wind_kn)
    return until(w, lambda: abs(heading_deg(w)) >= 45.0)


@BOTH
def test_the_bow_blows_off_in_the_seconds_judged_right(p):
    """Within a quarter of what was judged right for her kind."""
    for wind_kn, seconds in HULL["blow_off"]["seconds"][p.kind].items():
        assert falls_off_s(p, wind_kn) == pytest.approx(seconds, rel=0.25)


@BOTH
def test_twice_the_wind_blows_the_bow_off_in_half_the_time(p):
    """All forces go with the square of speed, so time goes with its inverse: 10 %."""
    assert falls_off_s(p, 12.5) / falls_off_s(p, 25.0) == pytest.approx(2.0, rel=0.10)


@pytest.mark.parametrize("wind_kn", [10.0, 25.0])
@BOTH
def test_left_to_herself_she_lies_across_the_wind_and_drifts(p, wind_kn):
    """90 to 120 degrees off, downwind within the leeway band of search and rescue for sailing boats."""
    w = afloat(p, heading_deg=10.0, wind_kn=wind_kn)
    run(w, 900.0)
    north = w.state.boats[0, lay.B_NORTH]
    run(w, 120.0)
    percent = 100.0 * (north - w.state.boats[0, lay.B_NORTH]) / 120.0 / mps(wind_kn)

    assert 90.0 <= abs(heading_deg(w)) <= 120.0
    assert HULL["leeway"]["least_percent"] <= percent <= HULL["leeway"]["most_percent"]


def test_a_right_handed_propeller_walks_the_stern_to_port():
    """The sign is published handbook knowledge; 4 to 15 degrees in ten seconds from rest is common practice."""
    w = afloat(SLOOP)
    run(w, 10.0, cmd.Engine(lever=-0.5))
    left = worlds.world(boat=left_handed(), bay=worlds.bay(30.0))
    run(left, 10.0, cmd.Engine(lever=-0.5))

    assert 4.0 <= heading_deg(w) <= 15.0  # stern to port is bow to starboard
    assert heading_deg(left) == pytest.approx(-heading_deg(w), abs=1e-6)


def left_handed() -> Boat:
    """Return the sloop with a left-handed propeller."""
    return replace(worlds.boat(SLOOP), shafts=engine.pack((replace(SLOOP_SHAFT, handed=-1),)))


def test_handed_propellers_do_not_walk():
    w = afloat(TWIN)
    run(w, 20.0, cmd.Engine(lever=-0.5))

    assert heading_deg(w) == pytest.approx(0.0, abs=1e-6)


def test_twin_screws_turn_her_where_she_lies():
    """One ahead, one astern at low revolutions: about a right angle in half a minute, within a length of the spot."""
    w = afloat(TWIN)
    run(w, 30.0, cmd.Engine(lever=0.3, shaft=0), cmd.Engine(lever=-0.3, shaft=1))

    assert 70.0 <= heading_deg(w) <= 110.0  # port ahead, starboard astern: to starboard
    assert math.hypot(*w.state.boats[0, :2]) <= TWIN.loa_m


def test_the_gear_dwells_in_neutral():
    """From ahead to astern the shaft first stands disengaged, and revolutions follow the lever with a lag."""
    w = afloat(SLOOP)
    run(w, 10.0, cmd.Engine(lever=0.5))
    run(w, 0.1, cmd.Engine(lever=-0.5))
    between = w.state.shafts[0, lay.S_GEAR]
    run(w, 1.0)
    shaft = w.state.shafts[0]

    assert between == 0.0
    assert shaft[lay.S_GEAR] == -1.0
    assert shaft[lay.S_RPS] < shaft_rps(-0.5, w.params.boat.shafts[0])


def test_a_blade_turns_aside_no_more_than_the_propeller_makes():
    """At rest with the rudder hard over, the washed part is capped at 0.65 of the thrust."""
    blade = worlds.boat(SLOOP).rudders[0]
    for angle_deg in range(0, 36, 5):
        x, y, _ = rudder.rudder_wrench(0.0, 0.0, 0.0, rad(angle_deg), 3000.0, blade)

        assert math.hypot(x, y) <= 0.65 * 3000.0 + 1.0


def test_rudder_alone_does_nothing_when_stopped_and_everything_with_a_kick_ahead():
    """Common practice: without way and without wash a rudder does not steer; a burst ahead turns her at once."""
    idle, kick = afloat(SLOOP), afloat(SLOOP)
    run(idle, 4.0, cmd.Helm(angle_rad=rad(35.0)))
    run(kick, 4.0, cmd.Helm(angle_rad=rad(35.0)), cmd.Engine(lever=0.5))

    assert heading_deg(idle) == pytest.approx(0.0, abs=1e-6)
    assert heading_deg(kick) >= 1.0
