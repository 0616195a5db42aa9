"""A run drawn by hand: every quantity is a straight line between known points, so that each measure can be reckoned.

The wind blows from north, so she lies heading north. She comes up from the south at 1.0 m/s, is down to 0.2 m/s astern
as the anchor touches at the origin at 100 s, falls back while the chain goes out in step with her until 200 s, is set
by four steps of thrust (200, 600, 1200, 1900 N), takes the snubber at 340 s and is reported secured at 480 s. The bed
is flat at 5 m, the roller 1.5 m above the water, the rode 32.5 m.
"""

import math
from dataclasses import replace

import numpy as np
import worlds

from sim.base.units import mps, rad
from sim.core import events as ev
from sim.marking.run import Run
from sim.marking.stay import Stay
from sim.model import layout as lay
from sim.record import columns
from sim.record.track import Track

SECONDS = 500
TOUCH_S, LAID_S, SECURED_S = 100.0, 182.0, 480.0
OUT_M, HANGING_M = 32.5, 9.0
STAY = Stay(
    gust_mps=mps(15.0),
    wind_from_rad=0.0,
    sector_rad=(rad(330.0), rad(30.0)),
    high_m=0.0,
    low_m=0.0,
    scope=5.0,
)
NORTH = [(0, -94.0), (60, -34.0), (90, -10.0), (98, -5.6), (100, -6.0), (104, -7.2), (200, -36.0), (SECONDS, -36.0)]
OUT = [(0, 0.0), (95, 0.0), (100, 6.5), (104, 6.5), (200, OUT_M), (SECONDS, OUT_M)]
STEPS = [(215, 248, 200.0), (250, 283, 600.0), (285, 318, 1200.0), (320, 353, 1900.0)]
T_S = np.arange(5 * SECONDS + 1) / 5.0


def line(points: list[tuple[float, float]]) -> np.ndarray:
    """Return straight lines between (time, value) over the times of a run."""
    t, v = zip(*points, strict=True)
    return np.interp(T_S, t, v)


def between(from_s: float, to_s: float) -> np.ndarray:
    """Return which samples lie in a span, its ends included."""
    return (from_s - 1e-9 <= T_S) & (to_s + 1e-9 >= T_S)


def fast() -> dict[str, np.ndarray]:
    """Return every column of the run."""
    out = {name: np.zeros_like(T_S) for name in columns.NAMES}
    out["t_s"] = T_S.copy()
    out["north_m"], out["out_m"] = line(NORTH), line(OUT)
    # Backward differences: the value at a corner is that of the line that leads to it.
    out["surge_mps"] = np.diff(out["north_m"], prepend=-94.0 - 0.2) * 5.0
    out["rate_mps"] = np.diff(out["out_m"], prepend=0.0) * 5.0
    out["depth_m"][:] = 5.0
    out["wind_n_mps"][:] = -mps(10.0)
    out["hook"][:] = -1.0
    for from_s, to_s, thrust in STEPS:
        out["thrust_n_0"][between(from_s, to_s)] = -thrust
        out["rode_pull_n"][between(from_s, to_s)] = thrust
        out["anchor_load_n"][between(from_s, to_s)] = thrust
    down = T_S >= TOUCH_S
    for name in ("anchor_n_m", "anchor_e_m", "anchor_z_m"):
        out[name][:] = np.where(down, 0.0, np.nan)
    out["anchor_z_m"][down] = -5.0
    out["attitude"][:] = np.where(down, lay.SET, lay.STOWED)
    out["stopper"][:] = np.where(T_S >= 205.0, 1.0, 0.0)
    on_snubber = T_S >= 341.0
    out["hook"][on_snubber], out["snubber_a_n"][on_snubber], out["tension_n"][on_snubber] = 20.0, 200.0, 60.0
    return out


def chain_shape(out_m: float) -> np.ndarray:
    """Return nodes a metre apart: on the bed straight to the south of the anchor, the last nine up to the roller."""
    lying = max(int(out_m - HANGING_M), 0)
    hanging = int(min(out_m, HANGING_M))
    rise = 6.5 / HANGING_M
    on_bed = [(-float(k), 0.0, -5.0) for k in range(lying + 1)]
    up = [(-lying - k * math.sqrt(1.0 - rise**2), 0.0, -5.0 + k * rise) for k in range(1, hanging + 1)]
    return np.array(on_bed + up)


def slow() -> tuple[np.ndarray, np.ndarray]:
    """Return times and shapes of the chain, once a second."""
    t_s = np.arange(SECONDS + 1.0)
    shapes = np.full((t_s.size, 40, 3), np.nan)
    for k, out_m in enumerate(line(OUT)[::5]):
        if t_s[k] >= TOUCH_S:
            nodes = chain_shape(float(out_m))
            shapes[k, : len(nodes)] = nodes
    return t_s, shapes


def tick(t_s: float) -> int:
    """Return the tick of a time."""
    return round(60 * t_s)


def plan(**changes: object) -> ev.PlanMade:
    """Return the plan, made at 5 s: the drop at the origin, 33 m of rode."""
    made = ev.PlanMade(
        tick=tick(5),
        drop_north_m=0.0,
        drop_east_m=0.0,
        rode_m=33.0,
        depth_m=5.0,
        high_water_m=0.0,
        lie_rad=0.0,
        escape_rad=math.pi,
        reading="all lie to the wind",
        abort="bow more than 45 degrees off",
    )
    return replace(made, **changes)


def touch(t_s: float = TOUCH_S, **changes: object) -> ev.AnchorTouched:
    """Return the landing at the origin."""
    happened = ev.AnchorTouched(
        tick=tick(t_s),
        rode=0,
        north_m=0.0,
        east_m=0.0,
        depth_m=5.0,
        bottom="S",
        along_mps=-0.2,
        speed_mps=0.2,
        heading_rad=0.0,
        out_m=6.5,
    )
    return replace(happened, **changes)


def events() -> list[ev.Event]:
    """Return what happened, all of it well done."""
    return [
        plan(),
        ev.AnchorLetGo(tick=tick(95), rode=0),
        touch(),
        ev.AnchorMarked(tick=tick(102), rode=0, north_m=0.3, east_m=0.0),
        ev.TransitTaken(tick=tick(210), bearing_rad=1.5, on=True),
        ev.CrewAsked(tick=tick(330), question="lead"),
        ev.SnubberHooked(tick=tick(340), rode=0, out_m=OUT_M),
        ev.AlarmSet(tick=tick(360), north_m=1.0, east_m=0.0, radius_m=55.0, on=True),
        ev.LightsShown(tick=tick(370), anchor_light=False, ball=True),
        ev.Secured(tick=tick(SECURED_S), out_m=OUT_M),
    ]


def without(*kinds: type[ev.Event]) -> list[ev.Event]:
    """Return what happened, events of some kinds left out."""
    return [e for e in events() if not isinstance(e, kinds)]


def instead(other: ev.Event) -> list[ev.Event]:
    """Return what happened with ``other`` instead of the events of its kind."""
    return sorted([*without(type(other)), other], key=lambda e: e.tick)


def run(
    happened: list[ev.Event] | None = None,
    stay: Stay = STAY,
    orders: tuple = (),
    others: list[tuple[float, float, float]] | None = None,
    shapes: np.ndarray | None = None,
    params: dict | None = None,
    **changed: np.ndarray | float,
) -> Run:
    """Return the run, with other events, stay, orders, boats, shapes of chain, parameters or columns where given.

    Args:
        happened: the events.
        stay: of the lesson.
        orders: (tick, command).
        others: where the neighbours in ``params`` lie all the time, (north, east, heading).
        shapes: of the chain, once a second.
        params: changes to the world's parameters.
        changed: columns of the track, each over ``T_S`` or one figure.
    """
    columns_now = fast()
    for name, values in changed.items():
        columns_now[name] = np.broadcast_to(np.asarray(values, dtype=float), T_S.shape).copy()
    t_s, straight = slow()
    poses = np.array(others or [], dtype=float).reshape(1, -1, 3).repeat(t_s.size, axis=0)
    track = Track(
        columns_now,
        t_s,
        straight if shapes is None else shapes,
        poses,
        np.full((t_s.size, 1, 5), np.nan),
        tuple(happened if happened is not None else events()),
    )
    return Run(track, worlds.params(weather=worlds.steady(10.0), **(params or {})), stay, orders)
