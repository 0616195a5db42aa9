"""What a sailor tries in the first ten minutes, before trusting any of it.

Each is common practice, without a source: what every hand who has anchored under engine has seen. The laws behind them
are checked one by one elsewhere; here the whole of them is, as it is met from the cockpit.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
import worlds
from worlds import heading_deg, let_go, lying_back, neighbour, run, steady

from sim.base.arrays import FloatArray
from sim.base.units import TICK_HZ, knots, mps, rad
from sim.core.events import AnchorDragged
from sim.core.orders import commands as cmd
from sim.core.step import advance
from sim.core.world import World
from sim.helm.crew import Crew
from sim.model import layout as lay
from sim.model.params import Start, Water
from sim.scenario import library


def off_the_wind_deg(w: World) -> float:
    return abs(heading_deg(w))


def course_deg(b: FloatArray) -> float:
    """Return which way a boat makes over the ground, degrees from north."""
    ahead, aside, heading = b[lay.B_SURGE], b[lay.B_SWAY], b[lay.B_HEADING]
    return math.degrees(math.remainder(heading + math.atan2(aside, ahead), 2.0 * math.pi))


def strip(w: World, for_s: float, *orders: cmd.Command) -> FloatArray:
    """Give orders and return, twice a second: north, speed ahead, tension at the roller, its slope, heading [deg]."""
    rows = []
    for k in range(round(2 * for_s)):
        run(w, 0.5, *(orders if k == 0 else ()))
        b, line = w.state.boats[0], w.state.lines[0]
        slope = math.degrees(math.atan2(-line[lay.L_FZ], math.hypot(line[lay.L_FN], line[lay.L_FE])))
        rows.append((b[lay.B_NORTH], b[lay.B_SURGE], line[lay.L_TENSION], slope, heading_deg(w)))
    return np.array(rows)


def test_half_astern_from_three_knots_she_carries_her_way_and_the_stern_walks_to_port():
    """Right-handed: stern to port, bow to starboard; and that way the wind then takes her."""
    w = worlds.world(boat=library.load_boat("sloop-12"), weather=steady(15.0), start=Start(0.0, 0.0, 0.0, mps(3.0)))
    run(w, 0.1, cmd.Engine(lever=-0.5))
    while w.state.boats[0, lay.B_SURGE] > 0.0:
        run(w, 0.1)
    way_m, leans_deg = w.state.boats[0, lay.B_NORTH], heading_deg(w)
    run(w, 40.0, cmd.Engine(lever=0.0))

    assert way_m > 6.0, "half her length at least"
    assert leans_deg > 1.0
    assert heading_deg(w) > 60.0, "the bow goes on the way it was leaning"


@pytest.mark.parametrize("name", library.boat_names())
@pytest.mark.parametrize("leans_deg", [-2.0, 2.0])
def test_left_in_neutral_head_to_wind_she_does_not_stay_there(name, leans_deg):
    """In 15 kn she ends near beam-on, drifting, and forging ahead only slowly."""
    w = worlds.world(boat=library.load_boat(name), weather=steady(15.0), start=Start(0.0, 0.0, rad(leans_deg), 0.0))
    run(w, 60.0)
    gone = off_the_wind_deg(w)
    run(w, 120.0)
    b = w.state.boats[0]

    assert gone > 45.0
    assert math.copysign(1.0, heading_deg(w)) == math.copysign(1.0, leans_deg), "to the side she leaned"
    assert 60.0 < off_the_wind_deg(w) < 150.0
    assert knots(math.hypot(b[lay.B_SURGE], b[lay.B_SWAY])) > 0.4
    assert abs(course_deg(b)) > 120.0, "to leeward more than ahead"


def test_thirty_metres_dumped_under_a_stopped_boat_lie_in_a_heap_and_are_towed_when_she_falls_back():
    w = worlds.world(weather=steady(12.0))
    run(w, 0.1, cmd.Brake(grip=0.0))
    while w.state.lines[0, lay.L_OUT] < 30.0:
        run(w, 0.1)
    run(w, 0.1, cmd.Brake(grip=1.0))
    dumped_m = w.state.anchors[0, lay.A_HEAP]
    happened = run(w, 60.0, cmd.Engine(lever=-0.2))

    laid = worlds.world(weather=steady(12.0))
    let_go(laid, 30.0)
    laid_m = laid.state.anchors[0, lay.A_HEAP]
    run(laid, 60.0, cmd.Engine(lever=-0.2))

    assert dumped_m > 3.0
    assert laid_m < 1.0
    assert any(isinstance(e, AnchorDragged) for e in happened)
    assert w.state.anchors[0, lay.A_DRAG] > 1.5 * laid.state.anchors[0, lay.A_DRAG]


def test_the_pull_that_two_to_one_cannot_stand_six_to_one_holds():
    """Six and a half metres from roller to bed; dug in on a long rode first, so that only the scope differs."""
    dragged = {}
    for scope in (2.0, 6.0):
        w = lying_back(wind_kn=12.0, out_m=39.0)
        run(w, 0.1, cmd.Engine(lever=0.15), cmd.Windlass(motion=-1.0))
        while w.state.lines[0, lay.L_OUT] > 6.5 * scope:
            run(w, 0.1)
        run(w, 0.1, cmd.Windlass(motion=0.0), cmd.Brake(grip=1.0), cmd.Stopper(on=True), cmd.Engine(lever=0.0))
        before = w.state.anchors[0, lay.A_DRAG]
        for lever in (-0.2, -0.4, -0.6):
            run(w, 30.0, cmd.Engine(lever=lever))
        dragged[scope] = w.state.anchors[0, lay.A_DRAG] - before

    assert dragged[2.0] > 5.0
    assert dragged[6.0] < 1.0


def test_tick_over_astern_on_a_long_chain_lifts_it_stops_her_springs_her_and_lets_it_sag_again():
    w = lying_back(wind_kn=8.0, out_m=40.0)
    log = strip(w, 60.0, cmd.Engine(lever=-0.1))
    top = int(log[:, 2].argmax())
    after = log[top:]

    assert log[top, 3] < log[0, 3] - 10.0, "the chain rises"
    assert abs(knots(log[top, 1])) < 0.1, "she has stopped when it is hardest"
    assert after[:, 1].max() > mps(0.1), "she springs ahead"
    assert after[:, 0].max() > log[top, 0] + 0.3
    assert after[:, 2].min() < 0.8 * log[top, 2], "and it sags"


def test_in_one_stream_a_long_keel_and_a_motor_yacht_lie_differently():
    """Twelve knots of wind across a knot of stream, anchors side by side on equal chain."""
    keel, motor = library.load_boat("long-keel-11"), library.load_boat("motor-14")
    fleet = []
    for east_m, boat in ((-150.0, keel), (150.0, motor)):
        fleet.append(replace(neighbour(-100.0, east_m), boat=boat))
    water = Water(tide=np.array([[0.0, 0.0]]), stream=np.array([[0.0, 0.0, mps(1.0)]]))
    w = worlds.world(weather=steady(12.0), neighbours=tuple(fleet), water=water)
    run(w, 300.0)
    mean = np.zeros(2)
    for _ in range(60):
        run(w, 5.0)
        mean += [math.remainder(w.state.boats[i, lay.B_HEADING], 2.0 * math.pi) / 60.0 for i in (1, 2)]
    long_keel, yacht = np.degrees(np.abs(mean))  # 0 to the wind, 90 to the stream

    assert long_keel > yacht + 20.0


def test_in_gusts_she_sheers_and_the_load_peaks_at_the_ends_of_the_swing():
    """Ten minutes of 20 kn: hardest where she has fallen off furthest and is drawn round, not in the middle."""
    w = worlds.world(weather=worlds.gusty(20.0, 3))
    let_go(w, 35.0)
    run(w, 60.0)
    for lever in (-0.1, -0.3, -0.5, 0.0):
        run(w, 25.0, cmd.Engine(lever=lever))
    log = strip(w, 600.0)
    off, load = np.abs(log[:, 4]), log[:, 2]
    inner, outer = load[off <= np.quantile(off, 1 / 3)], load[off >= np.quantile(off, 2 / 3)]

    assert log[:, 4].min() < -20.0
    assert log[:, 4].max() > 20.0
    assert outer.mean() > 1.1 * inner.mean()
    assert np.median(off[load > np.quantile(load, 0.95)]) > np.median(off)


def test_the_wind_turned_right_round_she_lies_to_the_chain_on_the_bed_long_before_the_anchor_feels_it():
    w = lying_back(wind_kn=16.0, out_m=40.0)
    run(w, 0.1, cmd.Inject(what="shift", ramp_s=60.0, turn_rad=math.pi))
    felt = []
    for _ in range(160):
        run(w, 5.0)
        line = w.state.lines[0]
        felt.append((math.hypot(line[lay.L_FN], line[lay.L_FE]), w.state.anchors[0, lay.A_PULL_H]))
    roller, shackle = np.array(felt).T
    hung = (roller > 150.0) & (shackle < 0.3 * roller)

    assert hung.sum() * 5.0 >= 30.0, "seconds on the chain alone"
    assert w.state.boats[0, lay.B_NORTH] > 15.0, "then she is on the other side"
    assert w.state.anchors[0, lay.A_VEERS] >= 1, "and the anchor has had to turn"


def test_driven_over_her_chain_it_leads_aft_and_the_foredeck_says_so_before_it_fouls():
    w = lying_back(wind_kn=10.0, out_m=35.0)
    hand = Crew(w)
    said = []
    for k in range(60 * TICK_HZ):
        said += hand.step(advance(w, [cmd.Engine(lever=0.35)] if k == 0 else []))

    assert "under_the_boat" in [call.key for call in said]


def test_hauled_up_to_her_anchor_by_the_windlass_alone_it_labours_in_twenty_knots():
    slow, heat = {}, {}
    for wind_kn in (5.0, 20.0):
        w = lying_back(wind_kn=wind_kn, out_m=35.0)
        free_mps = w.params.rodes[0].line[lay.LP_MOTOR_RATE]
        run(w, 45.0, cmd.Windlass(motion=-1.0))
        slow[wind_kn] = (35.0 - w.state.lines[0, lay.L_OUT]) / 45.0 / free_mps
        heat[wind_kn] = w.state.lines[0, lay.L_HEAT]

    assert slow[5.0] > 0.85
    assert slow[20.0] < slow[5.0] - 0.08
    assert heat[20.0] > 1.7 * heat[5.0]
