"""A rode, whole: a 12 m sloop lays, digs, proofs and drags a scoop that holds 7 kN, in 5 m of water over sand."""

import itertools

import numpy as np
import pytest
import worlds
from worlds import let_go, run

from sim.base.units import mps
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.world import World
from sim.model import layout as lay
from sim.model.air import wind
from sim.model.groups import Ground, Lying, Scratch, Step, Tackle
from sim.model.tackle.rode import step_rode

OUT = {2: 13.0, 4: 26.0, 6: 39.0}  # metres out by scope, roller 6.5 m above the bed
STEPS = (-0.06, -0.3, -0.6, -1.0)  # tick-over, then up in steps


def moved_m(w: World) -> float:
    """Return how far the anchor has been drawn over the ground since it touched."""
    return float(w.state.anchors[0, lay.A_DRAG])


def burial(w: World) -> float:
    """Return how deep the anchor is, 0..1."""
    return float(w.state.anchors[0, lay.A_BURIAL])


def moored(out_m: float, levers: tuple[float, ...], each_s: float = 30.0) -> World:
    """Return a world in which she lies to so much rode and has gone astern at these levers in turn."""
    w = worlds.world()
    let_go(w, out_m)
    run(w, 20.0)
    for lever in levers:
        run(w, each_s, cmd.Engine(lever=lever))
    return w


def test_let_go_in_a_stopped_boat_heaps_the_chain():
    stopped = worlds.world()
    happened = run(stopped, 20.0, cmd.Brake(grip=0.0))
    run(stopped, 10.0, cmd.Brake(grip=1.0))
    laid = moored(OUT[6], ())

    assert any(isinstance(e, ev.AnchorTouched) for e in happened)
    assert stopped.state.anchors[0, lay.A_HEAP] > 5.0
    assert laid.state.anchors[0, lay.A_HEAP] < 2.0


def test_the_pull_that_holds_at_six_to_one_drags_at_two_to_one():
    """The same steps up to full astern."""
    long, short = moored(OUT[6], STEPS), moored(OUT[2], STEPS)

    assert moved_m(long) < 2.0
    assert long.state.anchors[0, lay.A_PULL_H] > 1500.0
    assert moved_m(short) > 20.0


@pytest.mark.parametrize("scope", [4, 6])
def test_a_burst_from_slack_drags_further_than_steps_that_end_at_the_same_lever(scope):
    steps = moored(OUT[scope], STEPS)
    burst = moored(OUT[scope], (-1.0,), each_s=30.0 * len(STEPS))

    assert moved_m(burst) > 1.3 * moved_m(steps)


def test_tick_over_alone_sets_less_than_steps():
    tick_over = moored(OUT[6], (-0.06,), each_s=120.0)
    steps = moored(OUT[6], STEPS)

    assert burial(tick_over) < 0.75 * burial(steps)
    assert tick_over.state.anchors[0, lay.A_CAP_H] < 0.75 * steps.state.anchors[0, lay.A_CAP_H]


def test_the_proof_load_bounds_what_it_later_holds():
    """Proofed at half astern it bears half astern again without stirring, and gives ground to more.

    She is eased no further than low revolutions between: from slack she would come back with a jerk above the proof.
    """
    w = moored(OUT[6], (-0.06, -0.3, -0.6))
    proofed = moved_m(w)
    run(w, 60.0, cmd.Engine(lever=-0.3))
    run(w, 60.0, cmd.Engine(lever=-0.6))
    again = moved_m(w)
    run(w, 40.0, cmd.Engine(lever=-1.0))

    assert again - proofed < 0.02
    assert moved_m(w) - again > 0.05


def test_a_dragging_boat_brings_up_again_when_she_eases():
    """Torn out by a burst on a short rode, the anchor buries anew once she lies back gently."""
    w = moored(OUT[2], (-1.0,), each_s=60.0)
    torn, out = moved_m(w), burial(w)
    run(w, 60.0, cmd.Engine(lever=0.0))
    for lever in STEPS[:2]:
        run(w, 40.0, cmd.Engine(lever=lever))

    assert torn > 20.0
    assert burial(w) > 2.0 * out
    assert w.state.anchors[0, lay.A_SPEED] < 0.01


def test_slack_chain_moves_no_anchor():
    w = moored(OUT[6], ())
    run(w, 60.0, cmd.Engine(lever=0.1))
    run(w, 60.0, cmd.Engine(lever=0.0))
    before = w.state.nodes[0, 0, :2].copy()
    run(w, 300.0)

    assert np.hypot(*(w.state.nodes[0, 0, :2] - before)) < 1e-3


def test_in_a_squall_more_rode_drags_less():
    """45 kn on a lightly dug anchor: distance dragged falls with every metre out."""
    dragged = []
    for out_m in (20.0, 26.0, 39.0, 52.0):
        w = worlds.world(weather=wind.pack(1, mps(20.0), 0.0, 0.0, 0.0))
        let_go(w, out_m)
        run(w, 60.0)
        start = moved_m(w)
        run(w, 120.0, cmd.Inject(what="gust", ramp_s=20.0, hold_s=60.0, factor=2.25))
        dragged.append(moved_m(w) - start)

    assert dragged[0] > 1.0
    assert all(a >= b - 0.02 for a, b in itertools.pairwise(dragged))
    assert dragged[-1] < 0.5 * dragged[0]


@pytest.mark.parametrize("hz", [30.0, 120.0])
def test_drag_and_burial_do_not_depend_on_the_step(hz):
    """Hauled astern with a tenth of a metre a second: 5 % of the drag and of the burial at 60 steps a second."""
    assert hauled(hz) == pytest.approx(hauled(60.0), rel=0.05)


def hauled(hz: float) -> tuple[float, float]:
    """Return (metres dragged, burial) of an anchor hauled 3 m beyond taut by a bow that nothing stops."""
    w = moored(26.0, ())
    s, bay, k = w.state, w.params.bay, w.constants
    start = moved_m(w)
    lying = Lying(s.nodes[0], s.lines[0], s.anchors[0])
    tackle = Tackle(k.lines[0], k.anchors[0], k.on_bottoms[0], k.draws)
    ground = Ground(bay.raster, bay.depth_m, bay.bottom, bay.bottoms, bay.snags, bay.noise)
    scratch = Scratch(w.scratch.roller, w.scratch.no_legs, w.scratch.work)
    for _ in range(round(60.0 * hz)):
        s.boats[0, lay.B_NORTH] -= 0.1 / hz
        step_rode(lying, tackle, s.boats[0], ground, 0.0, 0.0, Step(1.0 / hz, 2), scratch)
    return moved_m(w) - start, burial(w)
