"""What eight metres of nylon take off the peaks of load, in waves and in gusts alone, on both clocks."""

import math
from dataclasses import replace

import numpy as np
import pytest
import worlds

from sim.base.units import mps, rad
from sim.core import mesh, tick
from sim.core import state as st
from sim.core import world as wd
from sim.core.clock import LIVE, NIGHT
from sim.core.groups import LOG_PULL, MOST_TICKS
from sim.core.orders import commands as cmd
from sim.core.step import advance
from sim.core.world import World
from sim.lab.bench import laid_chain
from sim.model import layout as lay
from sim.model.air import wind
from sim.model.params import Start, Water
from sim.model.water import waves
from sim.scenario import library

DEPTH_M, OUT_M, NYLON_M, BIGHT_M = 5.0, 40.0, 8.0, 5.0
SEEDS = range(1, 21)


def lying(wind_kn: float, fetch_m: float, seed: int) -> World:
    """Return a sloop of 12 m laid back on 40 m of chain whose anchor holds, in gusts, over a fetch."""
    boat = library.load_boat("sloop-12")
    line = library.load_rode("sloop-12", ("S",)).line.copy()
    water = Water(
        tide=np.array([[0.0, 0.0]]),
        stream=np.array([[0.0, 0.0, 0.0]]),
        waves=waves.components(seed),
        fetch=np.full((24, 2, 2), fetch_m),
        fetch_raster=np.array([-500.0, -500.0, 1000.0]),
    )
    w = wd.build(
        worlds.params(
            seed=seed,
            boat=boat,
            rodes=(replace(worlds.rode(hold_n=1e6), line=line),),
            bay=worlds.bay(DEPTH_M),
            weather=wind.pack(seed, mps(wind_kn), 0.0, 0.13, rad(6.0)),
            water=water,
            start=Start(0.0, 0.0, rad(5.0), 0.0),
        )
    )
    s, p = w.state, boat.particulars
    away, up = laid_chain(OUT_M, DEPTH_M + p.roller_height_m)
    count = len(away)
    nodes, ln, anchor = s.nodes[0], s.lines[0], s.anchors[0]
    nodes[:count, lay.N_NORTH] = nodes[:count, lay.N_STICK_N] = -away
    nodes[:count, lay.N_Z] = up - DEPTH_M
    s.boats[0, lay.B_NORTH] = -away[-1] - p.roller_x_m
    ln[lay.L_COUNT], ln[lay.L_OUT], ln[lay.L_TOP], ln[lay.L_STOPPER] = count, count - 1.0, 1.0, 1.0
    anchor[lay.A_ATTITUDE], anchor[lay.A_BURIAL], anchor[lay.A_TIP] = lay.SET, 1.0, 1.0
    anchor[lay.A_SHANK] = math.pi
    return w


def pulls(w: World, for_s: float, watch: bool) -> np.ndarray:
    """Let time pass and return the level pull on the boat in every step [N]."""
    clock, end, seen = NIGHT if watch else LIVE, w.state.tick + round(for_s * 60.0), []
    while w.state.tick < end:
        passed, rows = tick.run(w.flat, clock, min(MOST_TICKS, end - w.state.tick))
        seen.append(w.log.rows[:rows, LOG_PULL].copy())
        if passed < MOST_TICKS and w.state.tick < end:  # something to tell: it is passed over here
            w.state.clock[st.K_TICK] += clock.ticks
    return np.concatenate(seen)


def peak_n(wind_kn: float, fetch_m: float, seed: int, nylon: bool, watch: bool) -> float:
    """Return the largest pull in ten minutes, with the nylon rigged as the crew has it or on chain alone."""
    w = lying(wind_kn, fetch_m, seed)
    if nylon:
        advance(w, [cmd.Snubber(on=True, length_m=NYLON_M), cmd.Stopper(on=False), cmd.Windlass(motion=1)])
        while w.state.lines[0, lay.L_OUT] < OUT_M + NYLON_M + BIGHT_M:
            advance(w, [])
        advance(w, [cmd.Windlass(motion=0), cmd.Stopper(on=True)])
    pulls(w, 120.0 - w.state.tick / 60.0, False)
    if watch:
        mesh.refit(w, 0, mesh.fitting_m(w, 0, NIGHT.mesh_m))
    return float(pulls(w, 600.0, watch).max())


def share(wind_kn: float, fetch_m: float, watch: bool) -> float:
    """Return the mean peak with nylon over that without."""
    with_it, without = (
        np.mean([peak_n(wind_kn, fetch_m, seed, nylon, watch) for seed in SEEDS]) for nylon in (True, False)
    )
    return float(with_it / without)


@pytest.mark.slow
@pytest.mark.parametrize("watch", [False, True], ids=["live", "watch"])
def test_over_ten_kilometres_of_water_nylon_takes_a_quarter_off_the_peaks(watch):
    assert share(30.0, 10_000.0, watch) <= 0.75


@pytest.mark.slow
@pytest.mark.parametrize("watch", [False, True], ids=["live", "watch"])
@pytest.mark.parametrize("wind_kn", [15.0, 20.0, 25.0, 30.0])
def test_in_gusts_alone_nylon_makes_no_peak_higher(wind_kn, watch):
    assert share(wind_kn, 0.0, watch) <= 1.02
