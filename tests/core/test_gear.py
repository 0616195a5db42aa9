"""What gives way, what is carried besides, and what the chain meets: rodes are a list."""

import dataclasses
import math

import numpy as np
import pytest
import worlds

from sim.core import events as ev
from sim.core import state as st
from sim.core.across import cross_own
from sim.core.groups import Rodes
from sim.core.orders import commands as cmd
from sim.core.step import advance
from sim.model import layout as lay
from sim.model.params import Mark, Start


def kinds(happened):
    return [type(e) for e in happened]


def run(world, seconds, *orders):
    happened = advance(world, orders)
    for _ in range(round(60 * seconds) - 1):
        happened += advance(world, [])
    return happened


def second_rode():
    main = worlds.rode()
    line = np.array(main.line)
    line[lay.LP_LEAD_Y] = 0.5
    return dataclasses.replace(main, line=line, role="second")


def shore_line(length_m=60.0):
    rode = worlds.rode(carried_m=length_m)
    line = np.array(rode.line)
    line[[lay.LP_LEADER, lay.LP_LEAD_X]] = 0.0, -6.0
    line[lay.LP_ROPE_MASS], line[lay.LP_ROPE_WEIGHT] = 0.12, 0.12
    line[lay.LP_ROPE_EA], line[lay.LP_ROPE_DIAMETER] = 50e3, 0.014
    line[lay.LP_CLUTCH] = line[lay.LP_STOPPER_LIMIT] = 30e3
    return dataclasses.replace(rode, line=line, role="shore")


def test_a_second_anchor_is_let_go_by_its_own_number():
    world = worlds.world(rodes=(worlds.rode(), second_rode()))

    happened = run(world, 8.0, cmd.Brake(grip=0.0, rode=1))

    touched = [e for e in happened if isinstance(e, ev.AnchorTouched)]
    assert [e.rode for e in touched] == [1]
    assert world.state.lines[0, lay.L_COUNT] == 0.0


def test_the_second_anchor_pulls_where_it_leads_over_the_bow():
    """A rode half a metre to starboard of the stem turns her to starboard while it is hauled straight ahead."""
    world = worlds.world(rodes=(worlds.rode(), second_rode()), start=Start(0.0, 0.0, 0.0, -0.3))
    run(world, 8.0, cmd.Brake(grip=0.0, rode=1), cmd.Engine(lever=-0.1))
    run(world, 12.0, cmd.Engine(lever=0.0))
    run(world, 30.0, cmd.Brake(grip=1.0, rode=1))
    line = world.state.lines[1]

    heading = world.state.boats[0, lay.B_HEADING]
    ahead = math.cos(heading) * line[lay.L_FN] + math.sin(heading) * line[lay.L_FE]
    side = -math.sin(heading) * line[lay.L_FN] + math.cos(heading) * line[lay.L_FE]
    expected = worlds.SLOOP.roller_x_m * side - 0.5 * ahead
    assert line[lay.L_YAW] == pytest.approx(expected, rel=1e-6, abs=1e-6)


def bay_with_a_post(north_m):
    return dataclasses.replace(worlds.bay(), marks=(Mark("stern post", "post", north_m, 0.0, 3.0),))


def test_a_line_ashore_takes_the_dinghys_time_and_then_holds_her():
    world = worlds.world(
        rodes=(worlds.rode(), shore_line()), bay=bay_with_a_post(-40.0), weather=worlds.steady(15.0, 180.0)
    )
    world.state.boats[0, lay.B_HEADING] = 0.0

    early = run(world, 60.0, cmd.LineToShore(mark=1))
    assert ev.LineAshore not in kinds(early)
    # Held in place while the dinghy rows: only the line is tried here.
    world.state.boats[0, : lay.B_WIND_N] = 0.0
    world.state.acts[0, 1] = world.state.tick
    made = [e for e in run(world, 1.0) if isinstance(e, ev.LineAshore)]
    run(world, 240.0)

    assert made[0].mark == "stern post"
    place = world.state.boats[0, :2]
    stern = place - 6.0 * np.array([math.cos(world.state.boats[0, 2]), math.sin(world.state.boats[0, 2])])
    assert np.hypot(*(stern - [-40.0, 0.0])) < made[0].out_m + 2.0
    assert np.hypot(world.state.boats[0, lay.B_SURGE], world.state.boats[0, lay.B_SWAY]) < 0.3


@pytest.mark.parametrize("watch", [False, True], ids=["live", "watch"])
def test_where_a_line_is_fast_ashore_nothing_moves(watch):
    """Half an hour's pull: a bollard does not gather way, neither by the live clock nor by the watch's."""
    world = worlds.world(
        rodes=(worlds.rode(), shore_line()), bay=bay_with_a_post(-40.0), weather=worlds.steady(15.0, 180.0)
    )
    world.state.boats[0, lay.B_HEADING] = 0.0
    run(world, 0.1, cmd.LineToShore(mark=1))
    world.state.acts[0, 1] = world.state.tick
    run(world, 60.0)
    made = world.state.nodes[1, 0, :3].copy()
    until = world.state.tick + 1800 * 60
    advance(world, [cmd.BeginWatch()] if watch else ())
    while world.state.tick < until:
        advance(world, ())

    assert world.state.anchors[1, lay.A_ATTITUDE] == lay.ASHORE
    assert world.state.lines[1, lay.L_TENSION] > 10.0
    assert np.linalg.norm(world.state.nodes[1, 0, :3] - made) < 0.001


def test_a_line_ashore_is_cast_off_by_whoever_leaves():
    """With no anchor out she may go; what holds her to the shore is let go from aboard."""
    world = worlds.world(rodes=(worlds.rode(), shore_line()), bay=bay_with_a_post(-40.0))
    run(world, 0.1, cmd.LineToShore(mark=1))
    world.state.acts[0, 1] = world.state.tick
    run(world, 1.0)
    assert world.state.lines[1, lay.L_COUNT] > 0.0

    assert [e.reason for e in run(world, 0.1, cmd.Leave(reason="room")) if isinstance(e, ev.Left)] == ["room"]


def test_a_line_that_does_not_reach_is_declined():
    world = worlds.world(rodes=(worlds.rode(), shore_line(20.0)), bay=bay_with_a_post(-40.0))

    happened = run(world, 245.0, cmd.LineToShore(mark=1))

    assert [e.why for e in happened if isinstance(e, ev.Declined)] == ["too_far"]


def test_a_boat_without_a_line_declines_it():
    happened = run(worlds.world(), 0.1, cmd.LineToShore(mark=1))

    assert [e.why for e in happened if isinstance(e, ev.Declined)] == ["not_fitted"]


def test_a_stopper_gives_way_beyond_its_limit():
    rode = worlds.rode()
    line = np.array(rode.line)
    line[lay.LP_STOPPER_LIMIT] = 300.0
    world = worlds.world(rodes=(dataclasses.replace(rode, line=line),), start=Start(0.0, 0.0, 0.0, -0.5))
    run(world, 10.0, cmd.Brake(grip=0.0), cmd.Engine(lever=-0.5))

    happened = run(world, 40.0, cmd.Brake(grip=1.0), cmd.Stopper(on=True))

    assert ev.StopperFailed in kinds(happened)
    assert world.state.lines[0, lay.L_STOPPER] == 0.0


def test_an_overloaded_snubber_parts_and_says_so():
    rode = worlds.rode()
    line = np.array(rode.line)
    line[lay.LP_SNUB_BREAK] = 200.0
    world = worlds.world(rodes=(dataclasses.replace(rode, line=line),), start=Start(0.0, 0.0, 0.0, -0.5))
    run(world, 20.0, cmd.Brake(grip=0.0), cmd.Engine(lever=-0.3))
    happened = run(world, 1.0, cmd.Brake(grip=1.0), cmd.Snubber(on=True))
    happened += run(world, 30.0, cmd.Windlass(motion=1))

    assert ev.SnubberParted in kinds(happened)
    assert world.state.lines[0, lay.L_HOOK] == -1.0


def test_chain_under_a_boat_that_runs_over_it_meets_her_parts():
    """Ahead over a short chain: it leads under her, and the propeller turns beside it."""
    world = worlds.world(bay=worlds.bay(2.2))
    run(world, 6.0, cmd.Brake(grip=0.0))
    run(world, 30.0, cmd.Brake(grip=1.0), cmd.Windlass(motion=1))

    happened = run(world, 60.0, cmd.Windlass(motion=0), cmd.Engine(lever=0.3))

    assert ev.ChainUnderHull in kinds(happened)
    parts = {e.part for e in happened if isinstance(e, ev.ChainTouched)}
    assert parts & {"keel", "rudder", "propeller"}


def test_a_rode_laid_across_another_rests_on_it():
    """The one whose anchor went down first lies underneath and carries the other's weight where they cross."""
    world = worlds.world(rodes=(worlds.rode(), second_rode()))
    run(world, 6.0, cmd.Brake(grip=0.0, rode=0))
    run(world, 6.0, cmd.Brake(grip=0.0, rode=1))
    s = world.state
    for rode, (dn, de) in enumerate(((1.0, 0.0), (0.0, 1.0))):
        count = 20
        s.lines[rode, [lay.L_COUNT, lay.L_TOP, lay.L_OUT]] = count, 1.0, count - 1.0
        away = np.arange(count, dtype=float)
        s.nodes[rode, :count, lay.N_NORTH] = 20.0 + dn * (away - 10.5)
        s.nodes[rode, :count, lay.N_EAST] = de * (away - 10.5)
    s.memory[:, st.M_DOWN] = 1.0, 2.0
    cross_own(Rodes(s.nodes, s.lines, s.anchors, world.constants.lines, s.memory))

    assert s.lines[0, lay.L_CROSSED] == 10.0
    assert s.lines[0, lay.L_CROSS_WEIGHT] == worlds.rode().line[lay.LP_WEIGHT]
    assert s.lines[1, lay.L_CROSSED] == -1.0
