"""A rode that sweeps on to a post bends round it, is held there, and comes clear when it is swept back or lifted."""

import dataclasses
import math

import numpy as np
import pytest
import worlds
from tackle.stand import chain, energy_j, fixed, lead, mixed

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.model import layout as lay

RADIUS_M = 0.2
GIVE_M = 0.03  # how deep the chain may press in, by the post's own spring
POST_M = (25.0, 1.0)
BOW_M, TURN_S = 48.0, 60.0


def post(rig, north_m=POST_M[0], east_m=POST_M[1], height_m=3.0):
    """Stand a post on the rig's bed."""
    rig.snags = np.array([[north_m, east_m, RADIUS_M, height_m - rig.depth_m]])
    return rig


def swung(to_deg, from_deg=0.0):
    """Return a bow that swings round the post as far out as its rode lets it, with an easy beginning and end."""
    out_m = math.dist((BOW_M, 0.0), POST_M)

    def at(t_s):
        share = 0.5 * (1.0 - math.cos(math.pi * min(t_s / TURN_S, 1.0)))
        angle = math.radians(from_deg + share * (to_deg - from_deg)) - math.asin(POST_M[1] / out_m)
        return POST_M[0] + out_m * math.cos(angle), POST_M[1] + out_m * math.sin(angle)

    return at


def gap_m(rig):
    """Return how far the rode below the post's top stays off the post's axis [m]."""
    axis, top = rig.snags[0, :2], rig.snags[0, lay.SG_TOP]
    share = np.linspace(0.0, 1.0, 21)[:, None, None]
    low, high = rig.places_m[:-1], rig.places_m[1:]
    points = (low + share * (high - low)).reshape(-1, 3)
    points = points[points[:, 2] < top - 0.3]
    return float(np.hypot(*(points[:, :2] - axis).T).min())


def leads_deg(rig):
    """Return where the rode leads from the bow, seen from above [degrees]."""
    d = rig.nodes[rig.count - 2, :2] - rig.nodes[rig.count - 1, :2]
    return math.degrees(math.atan2(d[1], d[0]))


@pytest.mark.parametrize(
    ("line", "within_deg"),
    [(chain(50.0), 3.0), (mixed(15.0, 35.0), 6.0)],
    ids=["chain", "nylon behind chain"],
)
def test_a_veer_sweeps_the_rode_on_to_a_post_and_bends_it_round(line, within_deg):
    """Through 75 degrees, a post half way out: the rode never passes through it, and leads from the bow to the post.

    The nylon ends up nearly slack and bowed, so that it leads there less closely.
    """
    rig = post(fixed(line), height_m=6.0)
    rig.lay_to(BOW_M)
    nearest, caught = math.inf, False
    for k in range(round(1.5 * TURN_S / rig.dt_s)):
        rig.step(*swung(75.0)(k * rig.dt_s))
        nearest = min(nearest, gap_m(rig))
        caught |= rig.line[lay.L_SNAG] == 1.0

    to_post = np.array(POST_M) - rig.roller[:2]
    assert nearest >= RADIUS_M - GIVE_M
    assert caught
    assert leads_deg(rig) == pytest.approx(math.degrees(math.atan2(to_post[1], to_post[0])), abs=within_deg)


def test_swept_back_it_comes_clear():
    rig = post(fixed(chain(50.0)))
    rig.lay_to(BOW_M)
    lead(rig, swung(60.0), TURN_S)
    caught = rig.line[lay.L_SNAG]
    lead(rig, swung(-30.0, 60.0), TURN_S)

    assert caught == 1.0
    assert rig.line[lay.L_SNAG] == 0.0


def test_hove_short_it_lifts_over_the_top_and_no_longer_holds():
    """A rock head 0.6 m high: shortened to up and down beyond it, the rode swings over it either way."""
    rig = post(fixed(chain(50.0)), height_m=0.6)
    rig.lay_to(BOW_M)
    lead(rig, swung(50.0), TURN_S)
    caught = rig.line[lay.L_SNAG]
    rig.line[lay.L_RATE] = -0.4
    begun = rig.roller.copy()
    to_s = 39.0 / 0.4
    lead(rig, lambda t: tuple(begun[:2] * (1.0 - 0.93 * t / to_s)), to_s)

    assert caught == 1.0
    assert rig.line[lay.L_SNAG] == 0.0


def test_laid_across_a_rock_head_it_lies_on_top():
    """Let fall from above on to a head 1 m high and 1 m in radius: it comes to rest on it, not in it."""
    rig = fixed(chain(30.0))
    rig.snags = np.array([[12.0, 0.0, 1.0, 1.0 - rig.depth_m]])
    rig.place(28.0, straight=True)
    lead(rig, lambda _t: (27.0, 0.0), 30.0)
    over = np.abs(rig.places_m[:, 0] - 12.0) < 0.6

    assert rig.places_m[over, 2].min() >= rig.snags[0, lay.SG_TOP] - 0.01
    assert np.abs(rig.nodes[: rig.count - 1, lay.N_VN : lay.N_VZ + 1]).max() < 0.01


@pytest.mark.parametrize("friction", [0.0, 0.74])
def test_a_rode_flung_against_a_post_gains_no_energy(friction):
    """Let fall from a straight line and flung sideways at 2 m/s, its roller still: the bar of a rode with no post."""
    rig = post(fixed(chain(50.0), friction=friction), 20.0, 0.4, height_m=6.0)
    rig.place(40.0, straight=True)
    inner = slice(1, rig.count - 1)
    rig.nodes[inner, lay.N_VE] = 2.0 * np.sin(np.linspace(0.0, math.pi, rig.count - 2))
    seen, touched = [energy_j(rig)], False
    for _ in range(round(30.0 / rig.dt_s)):
        rig.step(40.0)
        touched |= bool(rig.line[lay.L_SNAG])
        seen.append(energy_j(rig))
    energy = np.array(seen)

    assert touched
    assert (energy - np.minimum.accumulate(energy)).max() <= 0.001 * (energy[0] - energy[-1]) + 0.05


def test_a_post_out_of_reach_changes_not_one_bit():
    """The same veer in a bay without any and in one with a post 300 m off."""
    ends = []
    for rig in (fixed(chain(50.0)), post(fixed(chain(50.0)), -300.0, 0.0)):
        rig.lay_to(BOW_M)
        lead(rig, swung(40.0), 20.0)
        ends.append((rig.nodes.copy(), rig.line.copy()))

    assert np.array_equal(ends[0][0], ends[1][0])
    assert np.array_equal(ends[0][1], ends[1][1])


def shifted(snags):
    """Return (world, what happened) of the sloop on 35 m in 20 kn that shifts by 90 degrees and back."""
    flat = dataclasses.replace(worlds.bay(), snags=np.array(snags).reshape(-1, 4), snag_names=("pile",) * len(snags))
    w = worlds.world(bay=flat, weather=worlds.steady(20.0), rodes=(worlds.rode(hold_n=20e3),))
    worlds.let_go(w, 35.0)
    worlds.run(w, 60.0)
    happened = worlds.run(w, 240.0, cmd.Inject(what="shift", turn_rad=math.radians(100.0), ramp_s=60.0))
    return w, happened


def test_she_rides_from_the_post_and_says_so():
    """The wind veers by 100 degrees: she lies to the post, well short of where her anchor alone would let her."""
    free, _ = shifted([])
    anchor = free.state.nodes[0, 0, :2].copy()
    held, happened = shifted([[anchor[0] - 14.0, anchor[1] - 2.0, 0.3, 0.0]])
    told = [e for e in happened if isinstance(e, (ev.ChainCaught, ev.ChainCleared))]
    swing = [float(np.hypot(*(w.state.boats[0, :2] - anchor))) for w in (free, held)]

    assert [type(e) for e in told] == [ev.ChainCaught]
    assert told[0].snag == "pile"
    assert swing[1] < swing[0] - 3.0

    back = worlds.run(held, 300.0, cmd.Inject(what="shift", turn_rad=math.radians(-140.0), ramp_s=60.0))
    assert ev.ChainCleared in [type(e) for e in back]
