"""Benchmarks of the parts that cost most: ``pytest -m bench``; ``windrode bench --json`` tells it all at once."""

import math

import numpy as np
import pytest
import worlds
from pytest_benchmark.fixture import BenchmarkFixture
from rig import Rig

from sim.base.units import DT_S, TICK_HZ
from sim.core.orders import commands as cmd
from sim.lab import bench
from sim.model import fleet
from sim.model import layout as lay

pytestmark = pytest.mark.bench

DEPTH_M = 8.0
SURGE_S = 6.0


@pytest.mark.parametrize("nodes", [40, 60, 100])
def test_one_step_of_the_chain(benchmark: BenchmarkFixture, nodes: int):
    """Half of it lifted, the roller surging by a metre every six seconds."""
    length = nodes - 1.0
    chain = Rig(worlds.rode(carried_m=length), length, DEPTH_M, 0.9 * length, friction=0.7)
    rest, passed = chain.roller[0], iter(range(10**9))

    def step() -> None:
        chain.roller[0] = rest + 0.5 * math.sin(2.0 * math.pi * next(passed) * DT_S / SURGE_S)
        chain.step()

    step()  # compiled before it is timed
    benchmark(step)
    assert chain.count == nodes
    assert np.isfinite(chain.places()).all()


@pytest.mark.parametrize("boats", [20, 100, 200])
def test_one_step_of_the_fleet(benchmark: BenchmarkFixture, boats: int):
    world = bench.crowded_exercise(boats).world
    s, k = world.state, world.constants
    benchmark(fleet.advance_fleet, s.boats, k.builds, s.fleet, k.tables, fleet.PULLS_N, DT_S)
    assert len(s.boats) == boats + 1
    assert np.isfinite(s.boats).all()


@pytest.mark.parametrize("boats", [0, 6, 20])
def test_one_tick_of_the_whole_exercise(benchmark: BenchmarkFixture, boats: int):
    """Timeline, instruments and foredeck included; 60 m of chain swept round by a shift of the wind."""
    exercise = bench.crowded_exercise(boats)
    exercise.step([cmd.Inject(what="shift", ramp_s=60.0, turn_rad=1.0)])
    benchmark(exercise.step)
    assert exercise.tick > TICK_HZ
    assert exercise.world.state.lines[0, lay.L_OUT] == pytest.approx(bench.RODE_M, abs=1.0)
