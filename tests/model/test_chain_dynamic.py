"""A chain in motion makes no energy, comes to rest, stays where it lies, and rubs over the ground as published."""

import math

import numpy as np
import pytest
import yaml
from published import published
from rig import Rig
from worlds import rode

from sim.base.units import mps
from sim.model import layout as lay
from sim.scenario.library import data_root

SAND = published("ground_tackle")["chain_friction"]["sliding"]["sand"]
SNATCHES = [(kg, kn, slack) for kg in (5e3, 8e3, 12e3) for kn in (2.0, 4.0) for slack in (10.0, 15.0, 20.0)]


def energy_made(rig: Rig, mass_kg: float, speed_mps: float) -> tuple[float, float]:
    """Return (rise above the start, rise above the least so far) in a snatch, as shares of the hull's energy."""
    rig.wait(60.0)
    of = 0.5 * mass_kg * speed_mps**2
    seen = np.array([of + rig.energy_j(), *rig.snatch(mass_kg, speed_mps)[0]])
    return float((seen - seen[0]).max() / of), float((seen - np.minimum.accumulate(seen)).max() / of)


@pytest.mark.parametrize(("mass_kg", "speed_kn", "slack_m"), SNATCHES)
@pytest.mark.parametrize("friction", [0.0, SAND], ids=["smooth", "sand"])
def test_snatch_makes_no_energy(mass_kg, speed_kn, slack_m, friction):
    """50 m at its real stiffness: never 0.1 % above the start, never 0.3 % above the least so far."""
    rig = Rig(rode(10.0), 50.0, 8.0, 50.0 - slack_m, friction)

    above_start, above_least = energy_made(rig, mass_kg, mps(speed_kn))

    assert above_start <= 0.001
    assert above_least <= 0.003


@pytest.mark.slow
@pytest.mark.parametrize("height_m", [4.0, 15.0])
@pytest.mark.parametrize("length_m", [30.0, 50.0, 70.0])
@pytest.mark.parametrize(("mass_kg", "speed_kn"), [(5e3, 2.0), (8e3, 4.0), (12e3, 4.0)])
def test_snatch_makes_no_energy_in_any_depth(height_m, length_m, mass_kg, speed_kn):
    """As above, a bar-tight 2:1 among them that brings up 12 t from 4 kn with 90 kN."""
    rig = Rig(rode(10.0), length_m, height_m, 0.7 * length_m, SAND)

    above_start, above_least = energy_made(rig, mass_kg, mps(speed_kn))

    assert above_start <= 0.001
    assert above_least <= 0.003


@pytest.mark.parametrize("friction", [0.0, SAND], ids=["smooth", "sand"])
def test_chain_at_rest_does_not_chatter(friction):
    """A light pull on 70 m of chain: its tension stands still, and so does every node."""
    rig = Rig(rode(10.0), 70.0, 8.0, 67.0, friction)
    rig.pull_to(200.0, for_s=180.0)
    tops, anchors = [], []
    for _ in range(600):
        rig.step()
        tops.append(rig.end_forces()[2])
        anchors.append(rig.end_forces()[3])

    assert np.std(tops) <= 0.1
    assert np.std(anchors) <= 0.1
    assert rig.speed_mps() <= 1e-3


def test_heap_dropped_on_the_spot_lies_still():
    """40 m lowered at 0.6 m/s under a stopped bow: a heap that creeps under 5 mm in a minute, at under 1 mm/s."""
    rig = Rig(rode(10.0), 9.0, 8.0, 0.5, SAND)
    rig.line[lay.L_RATE] = 0.6
    rig.wait(40.0 / 0.6)
    rig.line[lay.L_RATE] = 0.0
    rig.wait(60.0)
    before = rig.places()
    rig.wait(60.0)

    lying = before[:, 2] < 0.05
    weight = rig.rode.line[lay.LP_WEIGHT]
    assert np.count_nonzero(lying) >= 38
    assert np.abs(rig.places() - before)[lying].max() <= 0.005
    assert rig.speed_mps() <= 1e-3
    assert np.hypot(*before[lying, :2].T).max() <= 3.0
    assert rig.end_forces()[1] == pytest.approx(8.0 * weight, rel=0.06)  # the node at touch-down is partly carried


def test_chain_swept_round_lies_in_an_arc_and_stays():
    """The bow swings 90 degrees on 40 m at half a metre a second: the chain follows it bent, and stays bent."""
    rig = Rig(rode(10.0), 50.0, 8.0, 40.0, SAND)
    rig.wait(20.0)
    steps = round(0.5 * math.pi * 40.0 / 0.5 / rig.dt_s)
    for k in range(steps):
        angle = 0.5 * math.pi * (k + 1) / steps
        rig.roller[:2] = 40.0 * math.cos(angle), 40.0 * math.sin(angle)
        rig.step()
    rig.wait(30.0)
    swept = rig.places()
    rig.wait(120.0)

    from_first_line = swept[:, 1]  # metres off the line it was laid on
    from_last_line = swept[:, 0]
    lying = swept[:, 2] < 0.02
    assert np.abs(rig.places() - swept)[lying].max() <= 0.005
    assert from_last_line[lying].max() >= 3.0  # bent: neither along the old lead nor along the new
    assert from_first_line[lying].max() >= 10.0
    bends = np.diff(np.unwrap(np.arctan2(np.diff(swept[lying, 1]), np.diff(swept[lying, 0]))))
    assert bends.sum() >= math.radians(45.0)


def hauled_n(steps_per_s: float, friction: float) -> list[float]:
    """Return the pulls at the bow while she gathers way astern, ten a second."""
    rig = Rig(rode(10.0), 60.0, 8.0, 50.0, friction)
    rig.dt_s = 1.0 / steps_per_s
    rig.wait(20.0)
    seen, every = [], round(steps_per_s / 10.0)
    for k in range(round(20.0 * steps_per_s)):
        rig.roller[0] = 50.0 + 8.6 * 0.5 * (1.0 - math.cos(math.pi * min(k / (18.0 * steps_per_s), 1.0)))
        rig.step()
        if k % every == every - 1:
            seen.append(rig.end_forces()[0])
    return seen


def test_chain_does_not_depend_on_the_step():
    """Hauled taut in eighteen seconds, at 60 and at 120 steps a second: peak 2 %, mean 1 %, root mean square 6 %.

    The jerk with which it comes taut falls a step earlier or later: that is the root mean square.
    """
    coarse, fine = np.array(hauled_n(60.0, SAND)), np.array(hauled_n(120.0, SAND))

    assert fine.max() >= 1000.0
    assert coarse.max() == pytest.approx(fine.max(), rel=0.02)
    assert coarse.mean() == pytest.approx(fine.mean(), rel=0.01)
    assert np.sqrt(np.mean((coarse - fine) ** 2)) <= 0.06 * np.sqrt(np.mean(fine**2))


@pytest.mark.parametrize("friction", [0.56, 0.69, SAND])
def test_towed_chain_pulls_as_its_friction_says(friction):
    """A loose chain towed slowly over the bed pulls with mu w times the length that lies, within 3 %."""
    rig = Rig(rode(10.0), 50.0, 2.0, 47.0, friction, hold_n=1.0)
    rig.weight_n = 0.0
    seen = []
    for k in range(round(120.0 / rig.dt_s)):
        rig.roller[0] += 0.1 * rig.dt_s
        rig.step()
        if k > 90.0 / rig.dt_s:
            seen.append(rig.end_forces())
    pull = float(np.mean([h for h, *_ in seen]))
    lying_m = rig.line[lay.L_OUT] - float(np.mean([v for _, v, *_ in seen])) / rig.rode.line[lay.LP_WEIGHT]

    assert pull == pytest.approx(friction * rig.rode.line[lay.LP_WEIGHT] * lying_m, rel=0.03)


def test_bottoms_rub_as_published():
    """The shipped bottoms carry the sliding friction of NCEL N-1688 where it has one. An echo, and from memory."""
    table = published("ground_tackle")["chain_friction"]
    natures = yaml.safe_load((data_root() / "tackle" / "bottoms.yaml").read_text(encoding="utf-8"))["natures"]

    assert {name: natures[letter]["friction"] for name, letter in table["letters"].items()} == {
        name: table["sliding"][name] for name in table["letters"]
    }
