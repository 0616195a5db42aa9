"""The speed figures, measured here and now."""

import math
import os
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.kernel import KERNEL_MODE
from sim.base.units import DT_S, TICK_HZ, mps, rad
from sim.core import world as wd
from sim.core.orders import commands as cmd
from sim.core.watch import STEP_TICKS
from sim.core.world import World
from sim.helm.exercise import Exercise
from sim.model import fleet
from sim.model import layout as lay
from sim.model.air import wind
from sim.model.groups import Ground, Scratch
from sim.model.params import Neighbour, Rode, WorldParams
from sim.model.tackle import chain, chain_forces
from sim.play.attempt import Attempt
from sim.record.night import NightRecorder
from sim.scenario.library import Lesson, load_lesson

LESSON = "lantern-pool-2"
RODE_M = 60.0
APART_M = 40.0
NIGHT_BOATS, NIGHT_APART_M = 20, 80.0  # room to swing: hulls that touch are another matter
WIND_KN = 25.0
UNCOMPILED_TICKS = 300
DECIDES_TICKS = 12
CHAIN_60_US = 12.0  # of the machine on which the bars were set


def _grid(boats: int, apart_m: float) -> list[tuple[float, float]]:
    """Return places so far apart, nearest to the origin first, the origin itself left free."""
    half = math.ceil(math.sqrt(boats + 1))
    spots = [(apart_m * i, apart_m * j) for i in range(-half, half + 1) for j in range(-half, half + 1) if i or j]
    return sorted(spots, key=lambda s: (math.hypot(*s), s))[:boats]


def _crowd(params: WorldParams, boats: int, apart_m: float) -> WorldParams:
    """Return the world with 25 kn of gusty wind, a flat bed, and so many others on 25 m of chain."""
    bay = replace(params.bay, depth_m=np.full_like(params.bay.depth_m, 6.0), shores=())
    others = tuple(
        Neighbour(f"Boat {k + 1}", params.boat, n, e, "chain", 25.0, 19.6, 8.5e6, 8.0, 9e4, 1.5)
        for k, (n, e) in enumerate(_grid(boats, apart_m))
    )
    weather = wind.pack(1, mps(WIND_KN), float(params.weather.wind[lay.W_FROM]), 0.13, rad(6.0))
    return replace(params, bay=bay, neighbours=others, weather=weather)


def _with_world(lesson: Lesson, boats: int, apart_m: float) -> Lesson:
    """Return ``lesson`` whose worlds are crowded."""

    class Crowded(type(lesson)):  # type: ignore[misc]
        def world(self, seed: int, boat: str | None = None) -> WorldParams:
            return _crowd(super().world(seed, boat), boats, apart_m)

    fields = {name: getattr(lesson, name) for name in lesson.__dataclass_fields__}
    crowded: Lesson = Crowded(**fields)
    return crowded


def laid_chain(out_m: float, height_m: float) -> tuple[FloatArray, FloatArray]:
    """Return (distance from the anchor, height above the bed) of nodes a metre apart: flat, then straight up."""
    along = np.arange(round(out_m) + 1, dtype=float)
    lifted = min(2.0 * height_m, out_m)
    up = np.maximum(along - (out_m - lifted), 0.0)
    slope = height_m / lifted
    return along - up + up * math.sqrt(1.0 - slope * slope), up * slope


def lay_rode(exercise: Exercise, out_m: float) -> None:
    """Put the anchor down with ``out_m`` of chain laid straight to windward of the bow."""
    s, p = exercise.world.state, exercise.world.params
    own, nodes, line, anchor = s.boats[0], s.nodes[0], s.lines[0], s.anchors[0]
    heading = float(p.weather.wind[lay.W_FROM])
    own[: lay.B_SWAY] = 0.0, 0.0, heading, 0.0
    wd.observe_weather(exercise.world)
    tide = wd.tide_m(exercise.world)
    height = float(own[lay.B_DEPTH]) + p.boat.particulars.roller_height_m
    away, up = laid_chain(out_m, height)
    count = len(away)
    ahead = p.boat.particulars.roller_x_m + away[-1] - away
    nodes[:count, lay.N_NORTH] = nodes[:count, lay.N_STICK_N] = ahead * math.cos(heading)
    nodes[:count, lay.N_EAST] = nodes[:count, lay.N_STICK_E] = ahead * math.sin(heading)
    nodes[:count, lay.N_Z] = tide - float(own[lay.B_DEPTH]) + up
    line[lay.L_COUNT], line[lay.L_OUT], line[lay.L_TOP] = count, count - 1.0, 1.0
    line[lay.L_STOPPER] = 1.0
    anchor[lay.A_ATTITUDE], anchor[lay.A_BURIAL], anchor[lay.A_TIP] = lay.SET, 1.0, 1.0
    anchor[lay.A_SHANK] = heading + math.pi


def crowded_exercise(boats: int, apart_m: float = APART_M) -> Exercise:
    """Return an exercise in 25 kn, so many others about her, riding to 60 m of chain."""
    exercise = Exercise(_with_world(load_lesson(LESSON), boats, apart_m), 1)
    lay_rode(exercise, min(RODE_M, float(exercise.world.params.rodes[0].line[lay.LP_CARRIED]) - 1.0))
    return exercise


def under_way(boats: int, folder: Path, apart_m: float = APART_M) -> Attempt:
    """Return a recorded exercise in 25 kn that has run for two seconds, its 60 m of chain about to be swept round."""
    attempt = Attempt(crowded_exercise(boats, apart_m), folder)
    attempt.step([cmd.Inject(what="shift", ramp_s=60.0, turn_rad=rad(60.0))])
    sail_on(attempt, 2 * TICK_HZ)
    return attempt


def sail_on(attempt: Attempt, ticks: int) -> float:
    """Let ticks pass as the demonstrator does, who decides five times a second; return the seconds it took."""
    end = attempt.tick + ticks
    began = time.perf_counter()
    while attempt.tick < end:
        attempt.step((), min(DECIDES_TICKS, end - attempt.tick))
    return time.perf_counter() - began


def times_real_time(boats: int, seconds: float, folder: Path) -> float:
    """Return how many times faster than life a whole recorded exercise runs, in 25 kn, on 60 m of sweeping chain."""
    attempt = under_way(boats, folder)
    return seconds / sail_on(attempt, round(seconds * TICK_HZ))


def overhead(boats: int, folder: Path, rounds: int = 12) -> float:
    """Return what a live recorded tick costs over its two largest parts: the chain of 60 nodes and the other boats.

    The three are timed in turn, a twentieth of a second each, and the least of each counts: what else the machine does
    in the meantime falls on all of them.
    """
    rode = load_lesson(LESSON).world(1).rodes[0]
    attempt, others = under_way(boats, folder, NIGHT_APART_M), crowded_exercise(boats).world
    chain_us_, fleet_us_, live_us = [], [], []
    for _ in range(rounds):
        chain_us_.append(chain_us(rode, 60, 2000))
        fleet_us_.append(step_fleet(others, 2000) if boats else 0.0)
        live_us.append(sail_on(attempt, 1200) / 1200 * 1e6)
    return min(live_us) / (min(chain_us_) + min(fleet_us_))


def slowness() -> float:
    """Return how many times slower this machine is than the one on which the chain of 60 nodes takes 12 us a step."""
    rode = load_lesson(LESSON).world(1).rodes[0]
    return min(chain_us(rode, 60, 2000) for _ in range(5)) / CHAIN_60_US


def night_10h_s() -> float:
    """Return the seconds that ten hours of the watch take, in 25 kn, with twenty other boats 80 m apart."""
    exercise = crowded_exercise(NIGHT_BOATS, NIGHT_APART_M)
    exercise.step([cmd.BeginWatch()])
    while exercise.tick % STEP_TICKS:
        exercise.step()
    end = exercise.tick + 10 * 3600 * TICK_HZ
    recorder = NightRecorder(exercise.world, end / TICK_HZ)
    began = time.perf_counter()
    while exercise.tick < end:
        tick = exercise.tick
        recorder.step(tick, (), exercise.step())
    recorder.finish()
    return time.perf_counter() - began


def _chain_case(rode: Rode, nodes: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return (nodes, line, roller) of a chain in 8 m, half of it lifted."""
    table = np.zeros((lay.NODE_CAP, lay.NODE_COLS))
    line = np.zeros(lay.LINE_COLS)
    length = float(nodes - 1)
    line[lay.L_COUNT], line[lay.L_OUT], line[lay.L_TOP], line[lay.L_HOOK] = nodes, length, 1.0, -1.0
    away, up = laid_chain(length, 8.0)
    table[:nodes, lay.N_NORTH] = table[:nodes, lay.N_STICK_N] = away
    table[:nodes, lay.N_Z] = up
    return table, line, np.array([away[-1], 0.0, 8.0])


def chain_us(rode: Rode, nodes: int, steps: int = 6000) -> float:
    """Return the microseconds of one chain step of so many nodes, its roller surging by a metre every six seconds."""
    table, line, roller = _chain_case(rode, nodes)
    ground = Ground(
        np.array([-500.0, -500.0, 500.0]), np.zeros((3, 3)), np.zeros((3, 3), np.int64),
        np.full((1, lay.BOTTOM_COLS), 0.7), np.zeros((0, lay.SNAG_COLS)), np.zeros((64, 64)),
    )  # fmt: skip
    scratch = Scratch(roller, np.zeros((0, 3)), np.zeros((lay.NODE_CAP, chain_forces.WORK_COLS)))
    chain.surge_chain(table, line, rode.line, ground, scratch, 60)
    began = time.perf_counter()
    chain.surge_chain(table, line, rode.line, ground, scratch, steps)
    return (time.perf_counter() - began) / steps * 1e6


def fleet_us(boats: int, steps: int = 2000) -> float:
    """Return the microseconds of one step of so many other boats."""
    world = crowded_exercise(boats).world
    step_fleet(world, 20)
    return step_fleet(world, steps)


def step_fleet(world: World, steps: int) -> float:
    """Let a world's other boats move on, and return the microseconds of a step."""
    s, k = world.state, world.constants
    began = time.perf_counter()
    for _ in range(steps):
        fleet.advance_fleet(s.boats, k.builds, s.fleet, k.tables, fleet.PULLS_N, DT_S)
    return (time.perf_counter() - began) / steps * 1e6


def _child(code: str, **env: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env={**os.environ, **env}
    )
    return done.stdout.strip().splitlines()[-1]


def uncompiled_times_real_time() -> float:
    """Return the figure of six boats with the kernels run as plain Python, in a process of its own."""
    code = (
        "import tempfile, pathlib; from sim.lab.bench import times_real_time as t\n"
        f"print(t(6, {UNCOMPILED_TICKS * DT_S}, pathlib.Path(tempfile.mkdtemp())))"
    )
    return float(_child(code, WINDRODE_KERNELS="off"))


def compile_s() -> float:
    """Return the seconds that compiling every kernel takes, in a process of its own with an empty cache."""
    with tempfile.TemporaryDirectory() as folder:
        code = "from sim.play.warmup import warm_up; print(warm_up(lambda line: None))"
        return float(_child(code, WINDRODE_CACHE=folder))


def start_ms() -> float:
    """Return the milliseconds from nothing to the printed version."""
    runs = []
    for _ in range(3):
        began = time.perf_counter()
        subprocess.run([sys.executable, "-m", "sim", "--version"], capture_output=True, check=True)
        runs.append((time.perf_counter() - began) * 1e3)
    return statistics.median(runs)


def first_tick_ms() -> float:
    """Return the milliseconds of building a lesson's world and letting its first tick pass, kernels on disk."""
    lesson = load_lesson(LESSON)
    began = time.perf_counter()
    Exercise(lesson, 1).step()
    return (time.perf_counter() - began) * 1e3


def peak_mb() -> float | None:
    """Return the most memory this process has held, or None where the system does not say."""
    try:
        import resource  # noqa: PLC0415 - not on every system
    except ImportError:
        return None
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1024.0 if sys.platform != "darwin" else 1024.0**2)


def measure(quick: bool = False) -> dict[str, Any]:
    """Return the figures by their keys; ``quick`` leaves out the night and what needs processes of its own."""
    first = first_tick_ms()
    rode = load_lesson(LESSON).world(1).rodes[0]
    seconds = 30.0 if quick else 120.0
    with tempfile.TemporaryDirectory() as folder:
        live = {f"boats_{n}": times_real_time(n, seconds, Path(folder) / str(n)) for n in (0, 6, 20, 60, 200)}
        over = {f"boats_{n}": overhead(n, Path(folder) / f"over {n}", 4 if quick else 12) for n in (0, 20)}
    out: dict[str, Any] = {
        "kernel_mode": KERNEL_MODE,
        "core": {"times_real_time": live, "overhead": over},
        "first_tick_ms": first,
        "chain_us": {str(n): chain_us(rode, n) for n in (40, 60, 100)},
        "fleet_us": {str(n): fleet_us(n) for n in (20, 100, 200)},
    }
    if not quick:
        out["core"]["times_real_time"]["uncompiled"] = uncompiled_times_real_time()
        out["night_10h_s"] = night_10h_s()
        out["night_10h_s_per_chain_us"] = out["night_10h_s"] / out["chain_us"]["60"]
        out["compile_s"] = compile_s()
        out["start_ms"] = {"version": start_ms()}
    out["peak_mb"] = peak_mb()
    return out
