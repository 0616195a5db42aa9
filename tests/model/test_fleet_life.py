"""Other boats that come, leave, drag, part or hardly swing; and how boats of four kinds sheer at anchor."""

import math
from dataclasses import replace

import numpy as np
import pytest
import worlds
from worlds import TWIN, cmd, neighbour, run, steady

from sim.base.units import RHO_AIR_KGPM3, mps, rad
from sim.core import events as ev
from sim.core import world as wd
from sim.core.near import find_near
from sim.core.orders import commands as all_commands
from sim.core.world import World
from sim.model import fleet
from sim.model import layout as lay
from sim.model.params import Neighbour, Second
from sim.scenario import library

CHAIN_N_PER_M, CHAIN_EA_N = 19.6, 8.5e6


def anchorage(weather, *neighbours, **changes) -> World:
    """Return a bay 8 m deep at the roller with neighbours, the own boat far away."""
    far = worlds.Start(400.0, 400.0, 0.0, 0.0)
    return worlds.world(weather=weather, bay=worlds.bay(6.5), neighbours=neighbours, start=far, **changes)


def told(happened: list[ev.Event]) -> list[str]:
    return [e.what for e in happened if isinstance(e, ev.NeighbourActed)]


def reach_of(w: World, row: int, north: float, east: float) -> float:
    b = w.state.boats[row]
    return math.hypot(b[lay.B_NORTH] - north, b[lay.B_EAST] - east)


def test_nobody_begins_standing_dead_head_to_a_steady_wind():
    """Else she would stand so for ever: each is laid a few degrees aside, to her own side."""
    w = anchorage(steady(25.0), *(replace(neighbour(0.0, 60.0 * k), name=f"Boat {k}") for k in range(6)))
    run(w, 300.0)
    headings = [worlds.heading_deg(w, row) for row in range(1, 7)]

    assert min(abs(h) for h in headings) > 0.05
    assert np.std(headings) > 3.0


def test_she_comes_in_rounds_up_lets_go_and_lies_to_leeward_of_her_anchor():
    n = replace(neighbour(80.0, 0.0), comes_from_m=(-250.0, 60.0))
    w = anchorage(worlds.gusty(12.0), n)
    run(w, 60.0)
    assert w.state.boats[1, lay.B_NORTH] == -250.0, "not before she is told to"

    happened = run(w, 600.0, cmd.NeighbourAct(target=1, what="arrive"))
    rode = w.state.fleet[1]

    assert told(happened) == ["under_way", "closing", "let_go", "lies"]
    assert math.hypot(rode[lay.Q_ANCHOR_N] - 80.0, rode[lay.Q_ANCHOR_E]) < 2.0 * fleet.AT_IT_M
    assert w.state.boats[1, lay.B_NORTH] < rode[lay.Q_ANCHOR_N] - 15.0, "to leeward in a northerly"
    assert w.state.boats[1, lay.B_RODE_H] > 0.0


def test_she_weighs_goes_where_she_is_sent_and_is_gone():
    w = anchorage(worlds.gusty(12.0), neighbour(0.0, 0.0))
    happened = run(w, 500.0, cmd.NeighbourAct(target=1, what="leave", north_m=-250.0, east_m=-40.0))
    row = w.state.boats[1]

    assert told(happened) == ["weighs", "leaving", "away"]
    assert row[lay.B_AWAY] == 1.0
    assert math.hypot(row[lay.B_NORTH] + 250.0, row[lay.B_EAST] + 40.0) < 25.0
    w.state.boats[0, :2] = row[:2]
    near = np.zeros(2, np.int64)
    assert find_near(w.state.boats, w.constants.hulls, w.constants.shore, near, True) == 0, (
        "who is away is not in the way"
    )


def test_she_drags_while_the_pull_is_more_than_her_anchor_holds():
    w = anchorage(steady(20.0), neighbour(0.0, 0.0))
    run(w, 60.0)
    mean = 0.0
    for _ in range(120):
        run(w, 1.0)
        mean += w.state.boats[1, lay.B_RODE_H] / 120.0
    happened = run(w, 120.0, cmd.NeighbourAct(target=1, what="drag", hold_n=0.7 * mean))
    came = -w.state.fleet[1, lay.Q_ANCHOR_N]

    assert told(happened)[0] == "drags"
    assert came > 15.0
    assert w.state.fleet[1, lay.Q_DRAGGED] == pytest.approx(came, rel=0.1)

    run(w, 30.0, cmd.NeighbourAct(target=1, what="drag", hold_n=20.0 * mean))
    stopped = w.state.fleet[1, lay.Q_ANCHOR_N]
    run(w, 60.0)
    assert w.state.fleet[1, lay.Q_ANCHOR_N] == stopped, "more than the wind can pull"


def test_a_rode_that_parts_lets_her_go_to_leeward():
    w = anchorage(steady(15.0), neighbour(0.0, 0.0))
    before = w.state.boats[1, lay.B_NORTH]
    run(w, 120.0, cmd.NeighbourAct(target=1, what="part"))

    assert w.state.boats[1, lay.B_NORTH] < before - 20.0
    assert w.state.boats[1, lay.B_RODE_H] == 0.0


@pytest.mark.parametrize(
    ("what", "why"), [("arrive", "not_now"), ("fly", "not_now")], ids=["is here already", "unheard of"]
)
def test_what_she_cannot_do_is_declined(what, why):
    w = anchorage(steady(10.0), neighbour(0.0, 0.0))
    happened = run(w, 0.1, cmd.NeighbourAct(target=1, what=what), cmd.NeighbourAct(target=9, what="drag"))

    assert [e.why for e in happened if isinstance(e, ev.Declined)] == [why, "no_such_target"]


def test_the_command_has_one_text_line_each_way():
    act = cmd.NeighbourAct(target=2, what="leave", north_m=-250.0, east_m=4.0, actor="timeline:1")

    assert all_commands.from_dict(all_commands.to_dict(act)) == act


def mooring(north: float, east: float) -> Neighbour:
    return replace(
        neighbour(north, east), name="Moored", rode_kind="mooring", rode_m=10.0, weight_n_per_m=48.0, snubber_m=0.0
    )


def rope(north: float, east: float) -> Neighbour:
    return replace(
        neighbour(north, east),
        name="Roped",
        rode_kind="rope",
        rode_m=40.0,
        weight_n_per_m=0.5,
        ea_n=50e3,
        snubber_m=0.0,
    )


def test_a_mooring_keeps_her_close_and_a_rope_lets_her_range():
    """Mean distance of the bow from what holds her: under 10 m of riser in 8 m; a rope is all but straight."""
    w = anchorage(worlds.gusty(12.0), mooring(0.0, 0.0), rope(0.0, 150.0))
    close, far = [], []
    for _ in range(240):
        run(w, 1.0)
        close.append(reach_of(w, 1, 0.0, 0.0) - worlds.SLOOP.roller_x_m)
        far.append(reach_of(w, 2, 0.0, 150.0) - worlds.SLOOP.roller_x_m)

    assert np.mean(close) < math.sqrt(10.0**2 - 8.0**2) + 1.0
    assert np.mean(far) > 0.9 * math.sqrt(40.0**2 - 8.0**2)


def test_between_two_anchors_she_stays_while_the_others_swing_round():
    """A half turn of the wind: who lies to one chain goes round; who lies between two anchors moves a few metres."""
    second = Second(-36.0, 150.0, 25.0, CHAIN_N_PER_M, CHAIN_EA_N, from_stern=False)
    two = replace(neighbour(0.0, 150.0, 25.0), name="Two", rode_kind="two_anchors", second=second)
    w = anchorage(steady(12.0), neighbour(0.0, 0.0, 30.0), two)
    run(w, 120.0)
    was = w.state.boats[:, :2].copy()
    run(w, 600.0, cmd.Inject(what="shift", ramp_s=60.0, turn_rad=math.pi))
    moved = np.hypot(*(w.state.boats[:, :2] - was).T)

    assert moved[1] > 50.0
    assert moved[2] < 0.6 * moved[1]
    assert reach_of(w, 2, -18.0, 150.0) < 25.0


def test_a_line_from_the_stern_keeps_her_across_a_shift():
    """Bow to seaward, stern to the shore: a quarter turn of the wind leaves her heading within 15 degrees."""
    ashore = Second(-60.0, 0.0, 20.0, 0.5, 50e3, from_stern=True)
    n = replace(neighbour(0.0, 0.0, 30.0), rode_kind="stern_line", second=ashore)
    w = anchorage(steady(12.0, 0.0), n)
    run(w, 120.0)
    first = worlds.heading_deg(w, 1)
    run(w, 300.0, cmd.Inject(what="shift", ramp_s=30.0, turn_rad=0.5 * math.pi))

    assert abs(first) < 15.0
    assert abs(math.remainder(worlds.heading_deg(w, 1) - first, 360.0)) < 15.0


def test_wind_against_stream_each_kind_lies_her_own_way():
    """Twelve knots of northerly over half a knot setting east: long keel, fin keel and motor yacht do not lie alike."""
    kinds = ("sloop-12", "long-keel-11", "motor-14")
    boats = [
        replace(neighbour(0.0, 120.0 * k), name=kind, boat=library.load_boat(kind)) for k, kind in enumerate(kinds)
    ]
    stream = worlds.Water(tide=np.array([[0.0, 0.0]]), stream=np.array([[0.0, 0.0, mps(0.5)]]))
    w = anchorage(steady(12.0), *boats, water=stream)
    run(w, 420.0)
    means = []
    for _ in range(120):
        run(w, 1.0)
        means.append([worlds.heading_deg(w, row) for row in (1, 2, 3)])
    lies = np.mean(means, axis=0)
    print(f"lie of sloop, long keel, motor: {lies.round()}")  # noqa: T201 (the figures themselves)

    assert np.all(lies < -15.0)
    assert np.ptp(lies) > 5.0


# Half range of yaw, in degrees either side; period [s]; mean and 99th percentile of the pull over the windage head to
# wind. Plausible bands, set beforehand round what boats of these kinds are seen to do (judgement); a published
# anecdote has 120 degrees from board to board. In 15 kn they reach as far as own boat does on her segmented chain.
BANDS = {
    ("sloop-12", 15): ((5, 45), (60, 160), (0.9, 1.5), (1.2, 4.0)),
    ("sloop-12", 25): ((25, 60), (60, 150), (1.0, 1.8), (1.8, 6.0)),
    ("sloop-12", 35): ((25, 65), (45, 120), (1.0, 1.8), (2.0, 6.0)),
    ("long-keel-11", 15): ((5, 45), (60, 200), (0.9, 1.5), (1.2, 4.0)),
    ("long-keel-11", 25): ((25, 60), (60, 160), (1.0, 1.8), (1.5, 6.0)),
    ("long-keel-11", 35): ((25, 65), (50, 130), (1.0, 1.8), (2.0, 6.0)),
    ("twin-hull-12", 15): ((3, 30), (40, 250), (0.9, 1.3), (1.2, 4.0)),
    ("twin-hull-12", 25): ((5, 35), (20, 250), (0.9, 1.3), (1.5, 4.0)),
    ("twin-hull-12", 35): ((5, 35), (15, 200), (0.9, 1.3), (1.5, 4.0)),
    ("motor-14", 15): ((10, 50), (60, 220), (0.9, 1.7), (1.2, 6.0)),
    ("motor-14", 25): ((25, 65), (60, 200), (1.0, 2.0), (2.0, 9.0)),
    ("motor-14", 35): ((25, 70), (45, 150), (1.0, 2.0), (2.0, 9.0)),
}


def sheer(kind: str, wind_kn: float, for_s: float = 900.0) -> tuple[float, float, float, float]:
    """Return (half range [deg], period [s], mean pull, 99th percentile [N]) of a boat on 40 m of chain in gusts.

    Eight metres deep at the roller, 6 m of nylon; the first five minutes are left out.
    """
    boat = library.load_boat(kind)
    high = boat.particulars.roller_height_m
    n = Neighbour(kind, boat, 0.0, 0.0, "chain", 40.0, 22.0, CHAIN_EA_N, 6.0, 90e3, high)
    far = worlds.Start(400.0, 400.0, 0.0, 0.0)
    w = worlds.world(weather=worlds.gusty(wind_kn), bay=worlds.bay(8.0 - high), neighbours=(n,), start=far)
    s, k = w.state, w.constants
    seen = []
    for tick in range(round(for_s * 60.0)):
        if tick % 6 == 0:
            wd.observe_weather(w)
        fleet.advance_fleet(s.boats, k.builds, s.fleet, k.tables, fleet.PULLS_N, 1.0 / 60.0)
        s.clock[0] += 1
        if tick % 30 == 0:
            seen.append((worlds.heading_deg(w, 1), s.boats[1, lay.B_RODE_H]))
    yaw, pull = np.array(seen)[600:].T
    half = 0.5 * (np.quantile(yaw, 0.98) - np.quantile(yaw, 0.02))
    crossings = np.count_nonzero(np.diff(np.sign(yaw - yaw.mean())) > 0)
    return half, (for_s - 300.0) / max(crossings, 1), pull.mean(), np.quantile(pull, 0.99)


@pytest.mark.parametrize("wind_kn", [15, 25, 35])
@pytest.mark.parametrize("kind", ["sloop-12", "long-keel-11", "twin-hull-12", "motor-14"])
def test_boats_sheer_as_their_kind_does(kind, wind_kn):
    """Printed with ``-s``: half range of yaw, period, mean and 99th percentile of the pull."""
    half, period, mean, top = sheer(kind, wind_kn)
    p = library.load_boat(kind).particulars
    head_on = 0.5 * RHO_AIR_KGPM3 * p.cd_bow * p.frontal_m2 * mps(wind_kn) ** 2
    print(f"{kind} {wind_kn} kn: +-{half:.0f} deg, {period:.0f} s, mean {mean:.0f} N, p99 {top:.0f} N")  # noqa: T201 (the figures themselves)
    found = (half, period, mean / head_on, top / head_on)
    for value, (least, most) in zip(found, BANDS[kind, wind_kn], strict=True):
        assert least <= value <= most


def test_where_her_windage_sits_decides_how_far_she_sheers():
    """Half a metre further forward sheers more, half a metre further aft less: why no two boats of a kind lie alike."""
    swings = []
    for shift_m in (-0.5, 0.0, 0.5):
        p = replace(worlds.SLOOP, windage_x_m=worlds.SLOOP.windage_x_m + shift_m)
        w = anchorage(steady(25.0), replace(neighbour(0.0, 0.0, 40.0, p), snubber_m=6.0))
        run(w, 300.0)
        yaw = []
        for _ in range(300):
            run(w, 1.0)
            yaw.append(worlds.heading_deg(w, 1))
        swings.append(np.ptp(yaw))

    assert swings[0] < swings[1] < swings[2]


@pytest.mark.parametrize("p", [worlds.SLOOP, TWIN], ids=["sloop", "twin"])
def test_no_boat_breaks_the_numbers_in_a_squall(p):
    """Short scope and a squall of 45 kn from another side: finite, and still on her rode."""
    w = anchorage(steady(15.0), neighbour(0.0, 0.0, 20.0, p))
    squall = cmd.Inject(what="gust", ramp_s=5.0, hold_s=60.0, factor=3.0)
    run(w, 180.0, squall, cmd.Inject(what="shift", ramp_s=10.0, turn_rad=rad(100.0)))

    assert reach_of(w, 1, 0.0, 0.0) < 20.0 + p.roller_x_m + 3.0
