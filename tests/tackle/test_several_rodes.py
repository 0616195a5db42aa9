"""A second anchor and a line ashore, as the library's boats carry them: how several rodes share what one would bear."""

import dataclasses
import math

import numpy as np
import pytest
import worlds

from sim.base.units import mps
from sim.core import events as ev
from sim.core import world as wd
from sim.core.orders import commands as cmd
from sim.core.step import advance
from sim.model import layout as lay
from sim.model.params import Mark, Start, Water
from sim.scenario import library

FROM_S = 120.0  # means are taken over so long


def carried(boat="sloop-12", twice_main=False):
    """Return the boat and her rodes from the library; her main one twice where two alike are wanted."""
    p = library.load_lesson("lantern-pool").world(1, boat)
    rodes = (p.rodes[0], dataclasses.replace(p.rodes[0], role="second")) if twice_main else p.rodes
    return p.boat, rodes


def lying(wind_kn, anchors, boat="sloop-12", twice_main=False, **changes):
    """Return a world in which she lies with her bow at the origin, heading north, on the rodes given.

    ``anchors`` maps a rode's number to (north, east, length out): it lies straight from anchor to bow and is dug in.
    """
    own, rodes = carried(boat, twice_main)
    start = Start(-own.particulars.roller_x_m, 0.0, 0.0, 0.0)
    base = {"boat": own, "rodes": rodes, "weather": worlds.steady(wind_kn), "start": start}
    w = worlds.world(**{**base, **changes})
    for number, (north, east, out_m) in anchors.items():
        lay_out(w, number, north, east, out_m)
    return w


def lay_out(w, number, north, east, out_m):
    """Lay a rode along the bed and then up to the bow, its anchor buried."""
    line, nodes, anchor = w.state.lines[number], w.state.nodes[number], w.state.anchors[number]
    own = w.params.rodes[number]
    segment = own.line[lay.LP_SEGMENT]
    count = int(out_m / segment) + 1
    bow = np.array([0.0, 0.0, own.line[lay.LP_ROLLER_Z]])
    along = np.minimum(np.arange(count) * segment, out_m)
    along[-1] = out_m
    up = np.maximum(along - (out_m - 6.5), 0.0)
    share = np.minimum(along / (out_m - 6.5), 1.0)
    nodes[:count, lay.N_NORTH], nodes[:count, lay.N_EAST] = north * (1.0 - share), east * (1.0 - share)
    nodes[:count, lay.N_Z] = up - 5.0
    nodes[count - 1, :3] = bow
    nodes[:count, lay.N_STICK_N : lay.N_STICK_E + 1] = nodes[:count, :2]
    line[lay.L_COUNT], line[lay.L_OUT], line[lay.L_TOP] = count, out_m, out_m - (count - 2) * segment
    line[lay.L_STOPPER] = 1.0
    anchor[lay.A_ATTITUDE], anchor[lay.A_BURIAL], anchor[lay.A_SOAK] = lay.SET, 1.0, 3600.0
    anchor[lay.A_TIP] = own.anchor[lay.AP_FLUKE]
    anchor[lay.A_SHANK] = math.atan2(-east, -north)
    anchor[lay.A_CAP_H], anchor[lay.A_CAP_V] = own.anchor_on_bottom[0, lay.AB_HOLD], 500.0


def mean_pulls(w, settle_s=300.0):
    """Let her settle and return, by rode, the mean horizontal pull on her, ``[rodes, 2]`` north and east."""
    worlds.run(w, settle_s)
    seen = []
    for _ in range(round(60.0 * FROM_S)):
        advance(w, ())
        seen.append(w.state.lines[:, [lay.L_FN, lay.L_FE]].copy())
    return np.mean(seen, axis=0)


def pull_n(vector):
    return float(np.hypot(*vector))


@pytest.mark.parametrize("half_deg", [20.0, 35.0])
def test_two_anchors_in_a_vee_share_her_pull_by_their_angle(half_deg):
    """Two alike, each ``half_deg`` off the wind: F / (2 cos a) each, F what she pulls on one; 8 %."""
    alone = mean_pulls(lying(25.0, {0: (38.0, 0.0, 42.0)}))
    one = pull_n(alone[0])
    a = math.radians(half_deg)
    at = 38.0 * math.cos(a), 38.0 * math.sin(a)
    w = lying(25.0, {0: (at[0], at[1], 42.0), 1: (at[0], -at[1], 42.0)}, twice_main=True)
    both = mean_pulls(w)
    bow = w.state.nodes[0, int(w.state.lines[0, lay.L_COUNT]) - 1, :2]
    to_anchor = w.state.nodes[:, 0, :2] - bow
    half = 0.5 * abs(float(np.subtract(*np.arctan2(to_anchor[:, 1], to_anchor[:, 0]))))

    assert math.degrees(half) == pytest.approx(half_deg, abs=8.0)
    assert pull_n(both.sum(axis=0)) == pytest.approx(one, rel=0.08)
    for share in both:
        assert pull_n(share) == pytest.approx(one / (2.0 * math.cos(half)), rel=0.08)


def test_main_anchor_and_kedge_in_a_vee_share_by_the_sine_law():
    """Chain one side, nylon the other, unlike in length and angle: F sin b / sin(a + b); 10 %."""
    w = lying(22.0, {0: (36.0, 14.0, 44.0), 1: (30.0, -16.0, 40.0)})
    pulls = mean_pulls(w)
    whole = pulls.sum(axis=0)
    bow = w.state.nodes[0, int(w.state.lines[0, lay.L_COUNT]) - 1, :2]
    lead = w.state.nodes[:2, 0, :2] - bow
    off = np.arctan2(lead[:, 1], lead[:, 0]) - math.atan2(whole[1], whole[0])
    spread = math.sin(abs(off[0]) + abs(off[1]))

    assert off[0] > 0.0 > off[1]
    assert pull_n(pulls[0]) == pytest.approx(pull_n(whole) * math.sin(abs(off[1])) / spread, rel=0.10)
    assert pull_n(pulls[1]) == pytest.approx(pull_n(whole) * math.sin(abs(off[0])) / spread, rel=0.10)


def turning(rate_kn):
    """Return a stream that sets south for a quarter of an hour and then north."""
    rate = mps(rate_kn)
    return Water(
        tide=np.array([[0.0, 0.0]]), stream=np.array([[0.0, -rate, 0.0], [900.0, -rate, 0.0], [1200.0, rate, 0.0]])
    )


def test_a_bahamian_moor_keeps_her_near_the_middle_when_the_stream_turns():
    """One anchor up the stream and one down it, both from the bow: the bow moves less than half as far as on one."""
    moves = {}
    for name, anchors in {"one": {0: (26.0, 0.0, 30.0)}, "two": {0: (26.0, 0.0, 30.0), 1: (-26.0, 0.0, 30.0)}}.items():
        w = lying(0.0, anchors, water=turning(1.5), weather=worlds.steady(3.0, 90.0))
        ends = []
        for _ in range(2):
            worlds.run(w, 900.0)
            n = int(w.state.lines[0, lay.L_COUNT]) - 1
            ends.append(w.state.nodes[0, n, :2].copy())
        moves[name] = (float(np.hypot(*(ends[1] - ends[0]))), float(np.hypot(*ends[1])))

    assert moves["one"][0] > 30.0
    assert moves["two"][0] < 0.4 * moves["one"][0]
    assert moves["two"][1] < 12.0


def test_a_line_ashore_holds_her_stern_when_the_wind_goes_round():
    """Anchor to the north, a line from the stern to a post in the south: the wind goes abeam and turns her little."""
    headings = {}
    for ashore in (False, True):
        bay = dataclasses.replace(worlds.bay(), marks=(Mark("stern post", "post", -50.0, 0.0, 3.0),))
        w = lying(12.0, {0: (30.0, 0.0, 34.0)}, bay=bay)
        if ashore:
            w.state.acts[0] = 0
            happened = worlds.run(w, 1.0, cmd.LineToShore(mark=1))
            w.state.acts[0, 1] = w.state.tick
            happened += worlds.run(w, 1.0)
            assert ev.LineAshore in [type(e) for e in happened]
        worlds.run(w, 120.0)
        worlds.run(w, 480.0, cmd.Inject(what="shift", turn_rad=math.radians(90.0), ramp_s=120.0))
        headings[ashore] = worlds.heading_deg(w)

    assert abs(headings[False]) > 60.0
    assert abs(headings[True]) < 30.0


@pytest.mark.parametrize("boat", ["sloop-12", "twin-hull-12"])
def test_the_library_s_boats_carry_a_kedge_and_a_shore_line(boat):
    """Kedge by UK MGN 280 (M) table 20.1 for 12 to 13 m: 9 to 10 kg, 8 mm chain, 12 mm rope."""
    _, rodes = carried(boat)

    assert [r.role for r in rodes] == ["main", "second", "shore"]
    kedge, shore = rodes[1], rodes[2]
    assert 9.0 <= kedge.anchor[lay.AP_MASS] <= 10.0
    assert kedge.chain_mm == 8.0
    assert kedge.line[lay.LP_ROPE_DIAMETER] == pytest.approx(0.012)
    assert 0.0 < kedge.line[lay.LP_LEADER] < kedge.line[lay.LP_CARRIED]
    assert shore.line[lay.LP_LEADER] == 0.0
    assert shore.line[lay.LP_LEAD_X] < 0.0


def test_stowed_rodes_change_nothing():
    """Bit for bit: she sails and lies to her main rode alike, whether she carries others or not."""
    ends = []
    for several in (True, False):
        own, rodes = carried()
        w = wd.build(worlds.params(boat=own, rodes=rodes if several else rodes[:1], weather=worlds.steady(15.0)))
        worlds.let_go(w, 25.0)
        worlds.run(w, 60.0)
        ends.append((w.state.boats[0].copy(), w.state.nodes[0].copy()))

    assert np.array_equal(ends[0][0], ends[1][0])
    assert np.array_equal(ends[0][1], ends[1][1])
