"""How true the watch's clock is: the same half hour by the live clock and by the watch's, seed by seed."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from rich import box
from rich.table import Table

from sim.base.arrays import FloatArray
from sim.base.units import DT_S, mps, rad, ticks
from sim.core import state as st
from sim.core import watch
from sim.core import world as wd
from sim.core.clock import NIGHT
from sim.core.groups import LOG_GAP, LOG_PULL
from sim.core.near import nearest
from sim.core.orders import commands as cmd
from sim.core.step import advance
from sim.core.world import World
from sim.helm.exercise import Exercise
from sim.lab.bench import lay_rode
from sim.model import layout as lay
from sim.model.air import wind
from sim.model.params import Neighbour, WorldParams
from sim.scenario.library import Lesson, load_lesson

LESSONS = ("lantern-pool-2", "hazel-cove")
HOURS_S = 1800.0
SETTLE_S = 60.0
WIND_KN, SHIFT_DEG, SHIFT_S = 25.0, 50.0, 600.0
RODES_M = (25.0, 30.0, 35.0, 45.0)
BURIALS = (1.0, 0.25, 0.5, 0.7, 0.15)  # some hold, some go


@dataclass(frozen=True)
class Half:
    """What one clock made of the half hour."""

    load_99_n: float
    peak_n: float
    drag_m: float
    gap_m: float


@dataclass(frozen=True)
class Pair:
    """One seed by both clocks."""

    seed: int
    live: Half
    night: Half

    @property
    def load_error(self) -> float:
        """Error of the load exceeded in a hundredth of the time, as a share."""
        return self.night.load_99_n / self.live.load_99_n - 1.0

    @property
    def peak_error(self) -> float:
        """Error of the greatest load, as a share."""
        return self.night.peak_n / self.live.peak_n - 1.0

    @property
    def drag_agrees(self) -> bool:
        """Whether the drags differ by no more than a metre or a tenth."""
        return abs(self.night.drag_m - self.live.drag_m) <= max(1.0, 0.1 * self.live.drag_m)

    @property
    def gap_error_m(self) -> float:
        """Error of the least gap [m]."""
        return self.night.gap_m - self.live.gap_m


def _weather(params: WorldParams, seed: int) -> WorldParams:
    """Return the world in 25 kn of gusty wind over a flat bed, with two neighbours on the beam."""
    bay = params.bay
    flat = np.full_like(bay.depth_m, 5.0 + seed % 3)
    bay = replace(bay, depth_m=flat, shores=(), bottom=np.zeros_like(bay.bottom))
    others = tuple(
        Neighbour(f"Boat {k}", params.boat, 40.0 * math.cos(a) - 20.0, 40.0 * math.sin(a), "chain", 25.0, 19.6, 8.5e6,
                  8.0, 9e4, 1.5)
        for k, a in enumerate((1.2, -1.2))
    )  # fmt: skip
    weather = wind.pack(seed, mps(WIND_KN), 0.0, 0.13, rad(6.0))
    return replace(params, bay=bay, weather=weather, neighbours=others)


def _exercise(seed: int) -> Exercise:
    lesson = load_lesson(LESSONS[seed % len(LESSONS)])

    class Blown(type(lesson)):  # type: ignore[misc]
        def world(self, seed: int, boat: str | None = None) -> WorldParams:
            return _weather(super().world(seed, boat), seed)

    fields = {name: getattr(lesson, name) for name in lesson.__dataclass_fields__}
    blown: Lesson = Blown(**fields)
    exercise = Exercise(blown, seed, timeline=False)
    lay_rode(exercise, RODES_M[seed % len(RODES_M)])
    exercise.world.state.anchors[0, lay.A_BURIAL] = BURIALS[seed % len(BURIALS)]
    return exercise


def _look(world: World, pulls: list[FloatArray], gaps: list[float]) -> None:
    s = world.state
    if watch.kept(world):
        log = world.log.last
        pulls.append(log[:, LOG_PULL].copy())
        gaps.append(float(log[:, LOG_GAP].min()))
        return
    if s.tick % NIGHT.ticks == 0:
        gaps.append(nearest(s.boats, world.constants.hulls)[0])
    if s.tick % (NIGHT.ticks // NIGHT.own_steps) == 0:
        pulls.append(world.log.last[-1:, LOG_PULL].copy())


def _half(world: World, orders: Sequence[cmd.Command]) -> Half:
    s = world.state
    anchor = s.nodes[0, 0, :2].copy()
    pulls: list[FloatArray] = []
    gaps: list[float] = []
    end = s.tick + ticks(HOURS_S)
    while s.tick < end:
        advance(world, orders)
        orders = ()
        _look(world, pulls, gaps)
    loads = np.concatenate(pulls)
    moved = float(np.hypot(*(s.nodes[0, 0, :2] - anchor)))
    return Half(float(np.percentile(loads, 99.0)), float(loads.max()), moved, min(gaps))


def compare(seed: int) -> Pair:
    """Return one seed by both clocks, from the same moment."""
    world = _exercise(seed).world
    for k in range(round(SETTLE_S / DT_S)):
        advance(world, [cmd.Snubber(on=True)] if k == ticks(5.0) and seed % 3 else [])
    saved = st.snapshot(world.state)
    shift = cmd.Inject(what="shift", ramp_s=SHIFT_S, turn_rad=rad(SHIFT_DEG))
    live = _half(world, [shift])
    st.restore(world.state, saved)
    wd.observe_weather(world)
    return Pair(seed, live, _half(world, [shift, cmd.BeginWatch()]))


def compare_all(seeds: range) -> Iterator[Pair]:
    """Yield the pairs of many seeds, as they are done."""
    for seed in seeds:
        yield compare(seed)


def table(pairs: Sequence[Pair]) -> Table:
    """Return the pairs as a table, live and watch side by side, with the worst below."""
    loads, peaks = np.abs([p.load_error for p in pairs]), np.abs([p.peak_error for p in pairs])
    words = f"highest 1 % of load: median error {np.median(loads):.1%}, worst {loads.max():.1%}; "
    words += f"peak: worst {peaks.max():.1%}; drag agrees in {sum(p.drag_agrees for p in pairs)} of {len(pairs)}; "
    words += f"least gap: worst {max(abs(p.gap_error_m) for p in pairs):.2f} m"
    shown = Table(box=box.SIMPLE_HEAD, caption=words)
    for title in ("seed", "load N", "watch", "peak N", "watch", "drag m", "watch", "gap m", "watch"):
        shown.add_column(title, justify="right")
    for p in pairs:
        cells = [
            (p.live.load_99_n, p.night.load_99_n, 0),
            (p.live.peak_n, p.night.peak_n, 0),
            (p.live.drag_m, p.night.drag_m, 2),
            (p.live.gap_m, p.night.gap_m, 1),
        ]
        shown.add_row(str(p.seed), *(f"{v:.{digits}f}" for live, night, digits in cells for v in (live, night)))
    return shown
