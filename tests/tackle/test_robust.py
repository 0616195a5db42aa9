"""Whatever is rigged: nothing that is not a number, no energy out of nothing, the same heap pulled out the same way."""

import math
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tackle.stand import anchored, chain, energy_j, fixed, hauled, lead, mixed

from sim.base.units import mps
from sim.model import layout as lay

SNATCH_S, AFTER_S = 8.0, 3.0
MOST_N = 5e5  # ten times the breaking load of the largest chain drawn


@dataclass(frozen=True)
class Drawn:
    """A rig at random: water, rode, ground, anchor, and how fast a slack rode is run out."""

    height_m: float
    leader_m: float
    rope_m: float
    mm: float
    slack: float
    speed_mps: float
    friction: float
    kind: str
    letters: str


@st.composite
def rigs(draw):
    """Return a rig from 0.3 to 25 m of water, all chain, all rope or both, slack to begin with."""
    height = draw(st.floats(0.3, 25.0)) + 1.0
    length = min(height * draw(st.floats(1.1, 8.0)) + 1.0, 120.0)
    share = draw(st.sampled_from([0.0, 0.1, 0.5, 1.0]))
    return Drawn(
        height_m=height,
        leader_m=max(share * length, 1.0) if share > 0.0 else 0.0,
        rope_m=(1.0 - share) * length if share < 1.0 else 0.0,
        mm=draw(st.sampled_from([6.0, 8.0, 10.0, 13.0])),
        slack=draw(st.floats(0.0, 1.0)),
        speed_mps=mps(draw(st.floats(0.1, 3.0))),
        friction=draw(st.floats(0.0, 1.0)),
        kind=draw(st.sampled_from(["fixed", "scoop", "fluke", "fisherman"])),
        letters=draw(st.sampled_from(["S", "M", "R", "Wd", "fS.M.Sh"])),
    )


def snatched(d: Drawn) -> None:
    """Run a rode out of slack until it is taut, hold it there, and check every step."""
    line = mixed(d.leader_m, d.rope_m, d.mm) if d.rope_m >= 1.0 else chain(d.leader_m, mm=d.mm)
    rig = (
        fixed(line, d.height_m - 1.0, 1.0, d.friction)
        if d.kind == "fixed"
        else anchored(line, d.kind, 15.0, d.letters, d.height_m - 1.0, 1.0)
    )
    out = float(line[lay.LP_CARRIED])
    slackest = max(out - d.height_m, 0.0) * d.slack
    rig.place(slackest)
    most = 1.002 * math.sqrt(out**2 - d.height_m**2)
    x = slackest
    for k in range(round((SNATCH_S + AFTER_S) / rig.dt_s)):
        if k * rig.dt_s < SNATCH_S:
            x = min(x + d.speed_mps * rig.dt_s, most)
        rig.step(x)
        assert rig.read().tension_roller_n < MOST_N  # no number is below anything, if it is not a number
    assert np.isfinite(rig.nodes).all()
    assert np.isfinite(rig.anchor).all()
    assert rig.nodes[: rig.count, lay.N_Z].min() > -rig.depth_m - 0.5


@settings(max_examples=400, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(rigs())
def test_no_rig_runs_wild(drawn):
    """Four hundred rigs, run out of slack at up to 3 kn and held."""
    snatched(drawn)


@pytest.mark.slow
@settings(max_examples=10_000, deadline=None, suppress_health_check=list(HealthCheck))
@given(rigs())
def test_no_rig_of_ten_thousand_runs_wild(drawn):
    """The same, ten thousand of them, others in every run."""
    snatched(drawn)


UNFORCED = {
    "chain dropped from a straight line": (chain(50.0), 40.0, 0.74),
    "chain on a smooth bed": (chain(50.0), 45.0, 0.0),
    "nylon behind 10 m of chain": (mixed(10.0, 30.0), 34.0, 0.74),
    "nylon alone": (mixed(0.0, 30.0), 25.0, 0.74),
}


@pytest.mark.parametrize("name", UNFORCED)
def test_energy_never_grows_unforced(name):
    """Flung aside and let fall from a straight line, its roller still: never 0.1 % of it all above any earlier time."""
    line, x_m, friction = UNFORCED[name]
    rig = fixed(line, friction=friction)
    rig.place(x_m, straight=True)
    inner = slice(1, rig.count - 1)
    rig.nodes[inner, lay.N_VE] = 2.0 * np.sin(np.linspace(0.0, math.pi, rig.count - 2))
    seen = [energy_j(rig)]
    for _ in range(round(30.0 / rig.dt_s)):
        rig.step(x_m)
        seen.append(energy_j(rig))
    energy = np.array(seen)
    start = energy[0] - energy[-1]

    assert start > 10.0
    assert (energy - np.minimum.accumulate(energy)).max() <= 0.001 * start + 0.05


def heaped():
    """Return a rig with 30 m of chain lowered on the spot beside its anchor, and the chain brought up."""
    line = chain(10.0)
    line[lay.LP_LEADER] = 60.0  # chain enough in the locker
    rig = fixed(line)
    rig.place(1.0)
    rig.line[lay.L_RATE] = 0.6
    lead(rig, lambda t: (1.0, 0.0), 30.0 / 0.6)
    rig.line[lay.L_RATE] = 0.0
    lead(rig, lambda t: (1.0, 0.0), 20.0)
    return rig


def test_the_same_heap_pulled_out_twice_gives_the_same_tension():
    """Bit for bit, from the same heap put back and from another lowered alike."""
    pulled = hauled(1.0, 35.0, 0.0, 60.0)
    rig = heaped()
    kept = rig.nodes.copy(), rig.line.copy()
    first = lead(rig, pulled, 62.0)[0]
    rig.nodes[:], rig.line[:] = kept
    again = lead(rig, pulled, 62.0)[0]
    other = lead(heaped(), pulled, 62.0)[0]

    assert np.array_equal(first, again)
    assert np.array_equal(first, other)


def test_a_heap_pulls_out_link_by_link():
    """Hauled off at up to 0.9 m/s it comes without a jerk: never a third above what the same chain laid out pulls."""
    rig = heaped()
    pull = lead(rig, hauled(1.0, 35.0, 0.0, 60.0), 62.0)[0]
    laid = fixed(chain(40.0))
    laid.lay_to(35.0)
    friction_n = 0.74 * 32.0 * laid.rode.line[lay.LP_WEIGHT]

    assert rig.nodes[0, :2] == pytest.approx(0.0, abs=0.01)
    assert pull.max() <= 1.33 * (laid.read().tension_roller_n + friction_n)


@pytest.mark.parametrize(("depth_m", "wet"), [(0.5, False), (10.0, True)])
def test_only_what_is_in_the_water_is_slowed_by_it(depth_m, wet):
    """Flung aside at 3 m/s: above the water as if there were no drag, below it a tenth less far in half a second."""
    ways = []
    for drag in (0.0, 2.4):
        line = chain(12.0)
        line[lay.LP_DRAG_NORMAL] = line[lay.LP_DRAG_TANGENT] = drag
        rig = fixed(line, depth_m, 10.5 - depth_m)
        rig.place(1.5)
        rig.nodes[4:10, lay.N_VE] = 3.0
        lead(rig, lambda t_s: (1.5, 0.0), 0.5)
        ways.append(float(rig.nodes[7:10, lay.N_EAST].mean()))

    lost = 1.0 - ways[1] / ways[0]
    assert ways[0] > 0.3
    assert lost > 0.1 if wet else abs(lost) < 0.02
