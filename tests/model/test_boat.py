"""How every boat of the library goes under engine, in the wind and at anchor, as the trade says boats of her kind do.

Her own file gives the band of each figure with its source; here are the bands, and what holds between boats. Where no
source is named a figure is common practice or judgement.
"""

import math
from dataclasses import replace
from functools import cache
from itertools import combinations

import numpy as np
import pytest
import worlds
from published import published
from worlds import SLOOP, SLOOP_SHAFT, TWIN, heading_deg, run, steady

from sim.base.units import knots, mps, rad
from sim.core.orders import commands as cmd
from sim.core.world import World
from sim.lab import seatrial_runs as trials
from sim.model import layout as lay
from sim.model.hull import engine, rudder
from sim.model.hull.engine import shaft_rps
from sim.model.params import Boat, Particulars, Start
from sim.scenario import library
from sim.scenario.read import load
from sim.scenario.read.boat import build_boat
from sim.scenario.schema.base import BoatFile

LEEWAY = published("hull")["leeway"]
NAMES = library.boat_names()
EACH = pytest.mark.parametrize("name", NAMES)
KEEL_YACHTS = ["fin-keel-9", "sloop-12", "long-keel-11"]
ALWAYS = {  # every boat says what she is expected to do here
    "ahead_idle_kn", "ahead_half_kn", "pull_astern_n", "coast_4kn_m", "stop_idle_s", "stop_half_s", "stop_half_m",
    "stop_full_m", "walk_half_deg", "turn_lengths", "off45_15kn_s", "off90_15kn_s", "sternway_10kn_20s_kn",
    "lies_off_deg", "drift_15kn_kn", "across_15kn_kn", "sheer_25kn_deg", "stream_05kn_deg", "stream_10kn_deg",
    "stream_15kn_deg", "opposed_10kn_deg",
}  # fmt: skip


@cache
def file(name: str) -> BoatFile:
    return load.validate(BoatFile, load.read(library.data_root() / "boats" / f"{name}.yaml"))


@cache
def figures(name: str) -> dict[str, float]:
    return trials.measure(file(name))


@EACH
def test_she_does_what_her_file_expects_of_her(name):
    """Every figure of her sea trial inside the band that was written before her constants were tuned."""
    assert file(name).expects is not None
    bands = {key: band for key, band in file(name).expects if band is not None}
    outside = {
        key: (band.low, round(figures(name)[key], 2), band.high)
        for key, band in bands.items()
        if not band.low <= figures(name)[key] <= band.high
    }

    assert set(bands) >= ALWAYS | ({"pivot_30s_deg"} if len(file(name).shafts) == 2 else set())
    assert outside == {}


def ten_seconds(name: str) -> np.ndarray:
    """Return what ten seconds show: blown off in 15 kn, gathering way at half lever, and walk at half astern."""
    boat = build_boat(name, file(name))
    blown = trials.afloat(boat, heading_deg=10.0, wind_kn=15.0)
    blown.sail(10.0)
    ahead = trials.afloat(boat)
    ahead.order(0.5)
    ahead.sail(10.0)
    return np.array(
        [math.degrees(blown.row[lay.B_HEADING]), knots(ahead.row[lay.B_SURGE]), trials.walk_deg(boat, -0.5)]
    )


def test_no_two_boats_feel_alike_in_ten_seconds():
    """Any two: a quarter in the bow's fall or the way gathered, or five degrees of walk."""
    shown = {name: ten_seconds(name) for name in NAMES}
    for one, other in combinations(NAMES, 2):
        a, b = shown[one], shown[other]
        apart = np.abs(a[:2] - b[:2]) / np.minimum(a[:2], b[:2])

        assert apart.max() >= 0.25 or abs(a[2] - b[2]) >= 5.0, (one, a, other, b)


@EACH
def test_twice_the_wind_blows_the_bow_off_in_half_the_time(name):
    """All forces go with the square of speed, so time goes with its inverse: 10 %."""
    boat = build_boat(name, file(name))
    slow, fast = (trials.bow_off_s(boat, wind_kn, 45.0) for wind_kn in (12.5, 25.0))

    assert slow / fast == pytest.approx(2.0, rel=0.10)


def test_a_twin_hull_blows_off_at_least_as_fast_as_a_fin_keel_of_her_length():
    """From memory; a long keel holds her head longest of the yachts."""
    off = {name: figures(name)["off45_15kn_s"] for name in NAMES}

    assert off["twin-hull-12"] <= off["sloop-12"] < off["long-keel-11"]


@pytest.mark.parametrize("wind_kn", [10, 15, 25])
@pytest.mark.parametrize("name", KEEL_YACHTS)
def test_left_alone_she_drifts_within_the_leeway_tables(name, wind_kn):
    """Downwind slope between the least and the most of fin-keel and bare-masted rows: 2.67 to 6.66 % of the wind."""
    percent = 100.0 * figures(name)[f"drift_{wind_kn}kn_kn"] / wind_kn
    slopes = [downwind for downwind, *_ in LEEWAY["rows"].values()]

    assert min(slopes) <= percent <= max(slopes)


@pytest.mark.parametrize("name", KEEL_YACHTS)
def test_left_alone_she_forges_ahead_no_faster_than_the_leeway_tables_say(name):
    """Slope across the wind of the same rows, 2.81 to 7.53 %, wider by the standard deviation of the bare-masted."""
    across_kn, spread_kn = figures(name)["across_15kn_kn"], knots(LEEWAY["across_sd_mps"])
    slopes = [across for _, *sides in LEEWAY["rows"].values() for across in sides]
    print(name, f"{across_kn:.2f} kn across the wind in 15 kn")  # noqa: T201

    assert 0.15 * min(slopes) - spread_kn <= across_kn <= 0.15 * max(slopes) + spread_kn


@pytest.mark.parametrize("tenths", [5, 10, 15])
def test_in_one_water_long_keel_and_motor_yacht_lie_differently(tenths):
    """Twelve knots across a stream: long keel nearest the stream, motor yacht nearest the wind (from memory)."""
    lie = {name: figures(name)[f"stream_{tenths:02d}kn_deg"] for name in NAMES}
    order = sorted(lie, key=lambda name: lie[name])
    print(tenths / 10.0, "kn:", {name: round(lie[name]) for name in order})  # noqa: T201

    assert order[0] == "motor-14"
    assert order[-1] == "long-keel-11"
    assert lie["long-keel-11"] < 90.0


@EACH
def test_wind_against_the_stream_she_turns_to_the_tide_with_her_chain_aft(name):
    """From about a knot on, from memory. Her head stays in the tide's half as she sheers; the chain often leads aft."""
    boat = build_boat(name, file(name))
    lain = trials.at_anchor(file(name), boat, 12.0, (mps(1.1), 0.0), 150.0, 900.0)[1200:]
    heading = lain[:, lay.B_HEADING]
    off = np.abs([math.remainder(h - math.pi, 2.0 * math.pi) for h in heading])
    bow_n = lain[:, lay.B_NORTH] + boat.particulars.roller_x_m * np.cos(heading)
    bow_e = lain[:, lay.B_EAST] + boat.particulars.roller_x_m * np.sin(heading)
    leads = np.abs([math.remainder(a, 2.0 * math.pi) for a in np.arctan2(-bow_e, -bow_n) - heading])
    print(name, f"{np.degrees(off.mean()):.0f} off the tide, chain {np.degrees(leads.mean()):.0f} off the bow")  # noqa: T201

    assert np.quantile(off, 0.98) < 0.5 * math.pi
    assert (leads > 0.5 * math.pi).mean() >= 0.4


def afloat(p: Particulars, heading_deg: float = 0.0, speed_kn: float = 0.0, wind_kn: float = 0.0) -> World:
    """Return a world of deep water with one boat in it and a steady wind from the north."""
    return worlds.world(
        boat=worlds.boat(p),
        bay=worlds.bay(30.0),
        weather=steady(wind_kn),
        start=Start(0.0, 0.0, rad(heading_deg), mps(speed_kn)),
    )


@EACH
def test_in_a_world_she_goes_as_in_her_trial(name):
    """The trial runs the laws alone; the same boat in a bay, through the core, gives the same speed: 1 %."""
    w = worlds.world(boat=library.load_boat(name), bay=worlds.bay(30.0))
    run(w, 150.0, cmd.Engine(lever=0.5))
    u, v = w.state.boats[0, lay.B_SURGE], w.state.boats[0, lay.B_SWAY]

    assert knots(math.hypot(u, v)) == pytest.approx(figures(name)["ahead_half_kn"], rel=0.01)


def test_stopped_from_three_knots_she_walks_the_right_way_then_blows_off_the_way_she_leans():
    """Half astern in 15 kn from ahead: carries her way, stern to port; left in neutral the bow goes on to starboard."""
    boat = library.load_boat("sloop-12")
    a = trials.afloat(boat, wind_kn=15.0, speed_kn=3.0)
    a.order(-0.5)
    took_s, row = a.until(lambda log: log[:, lay.B_SURGE] <= 0.0)
    leaning = math.degrees(math.remainder(row[lay.B_HEADING], 2.0 * math.pi))
    a.order(0.0)
    a.sail(45.0)

    assert 3.0 < took_s < 25.0
    assert row[lay.B_NORTH] > 0.5 * boat.particulars.loa_m
    assert 1.0 < leaning < 45.0
    assert math.degrees(math.remainder(a.row[lay.B_HEADING], 2.0 * math.pi)) > 60.0


def test_a_right_handed_propeller_walks_the_stern_to_port():
    """Sign and size, 4 to 15 degrees in ten seconds from rest, are common practice, no source."""
    w = afloat(SLOOP)
    run(w, 10.0, cmd.Engine(lever=-0.5))
    left = worlds.world(boat=left_handed(), bay=worlds.bay(30.0))
    run(left, 10.0, cmd.Engine(lever=-0.5))

    assert 4.0 <= heading_deg(w) <= 15.0  # stern to port is bow to starboard
    assert heading_deg(left) == pytest.approx(-heading_deg(w), abs=1e-6)


def left_handed() -> Boat:
    """Return the sloop with a left-handed propeller."""
    return replace(worlds.boat(SLOOP), shafts=engine.pack((replace(SLOOP_SHAFT, handed=-1),)))


def test_a_long_keel_walks_more_than_a_fin_keel():
    """Common practice, no source."""
    assert figures("long-keel-11")["walk_half_deg"] > 1.2 * figures("sloop-12")["walk_half_deg"]


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
