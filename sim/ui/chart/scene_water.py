"""The water's face: ripples across the wind that drift with it, thicker and darker where a gust lies on it."""

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np

from sim.base.arrays import FloatArray, IntArray
from sim.ui.chart.camera import Camera
from sim.ui.chart.scene_chart import DepthAt
from sim.ui.paint.display import Point, Ripples, Stroke

APART_PX = 52.0
DRIFT = 0.25  # of the wind's speed: what the eye follows is the gust's skin, not the gust (judgement)
LEAST_DEPTH_M = 0.6
RAIN_APART_PX, RAIN_PX, RAIN_HZ = 92.0, 20.0, 3.0


def _scattered(i: FloatArray, j: FloatArray) -> FloatArray:
    """Return a number in [0, 1) for each pair of whole numbers, alike whenever it is asked for."""
    mixed = np.sin(i * 12.9898 + j * 78.233) * 43758.5453
    return np.asarray(mixed - np.floor(mixed))


def ripples(
    camera: Camera,
    wind_mps: float,
    from_rad: float,
    t_s: float,
    depth_at: DepthAt,
    water: Callable[[FloatArray], IntArray],
) -> Ripples:
    """Return the ripples in sight.

    Args:
        camera: where one looks.
        wind_mps: wind as the displays have it.
        from_rad: where it comes from.
        t_s: the time, with which they drift.
        depth_at: depths, so that no ripple stands ashore.
        water: how the wind marks the water at places, 0 smooth to 3.
    """
    apart = APART_PX / camera.scale
    drift = DRIFT * wind_mps * t_s
    dn, de = -drift * math.cos(from_rad), -drift * math.sin(from_rad)
    left, top, wide, tall = camera.rect
    corners = [camera.place((x, y)) for x in (left, left + wide) for y in (top, top + tall)]
    south, north = min(n for n, _ in corners), max(n for n, _ in corners)
    west, east = min(e for _, e in corners), max(e for _, e in corners)
    # The scatter belongs to the drifting skin, so that no ripple jumps.
    rows, columns = np.meshgrid(
        np.arange(math.floor((south - dn) / apart) - 1, math.ceil((north - dn) / apart) + 1),
        np.arange(math.floor((west - de) / apart) - 1, math.ceil((east - de) / apart) + 1),
        indexing="ij",
    )
    i, j = rows.ravel().astype(np.float64), columns.ravel().astype(np.float64)
    places = np.stack(
        [(i + 0.9 * _scattered(i, j)) * apart + dn, (j + 0.9 * _scattered(j + 7.0, i)) * apart + de], axis=1
    )
    places = np.ascontiguousarray(places[depth_at.many(places) > LEAST_DEPTH_M])
    levels = water(places) if len(places) else np.zeros(0)
    spots: list[tuple[Point, int]] = [
        ((n, e), level) for (n, e), level in zip(places.tolist(), levels.tolist(), strict=True) if level > 0
    ]
    return Ripples("eye", tuple(spots), from_rad)


def rain(camera: Camera, t_s: float) -> tuple[Stroke, ...]:
    """Return the streaks of rain over what a camera sees, in pixels; they jump on as the clock does."""
    return _streaks(camera.rect, float(math.floor(t_s * RAIN_HZ)))


@lru_cache(maxsize=4)
def _streaks(rect: tuple[int, int, int, int], beat: float) -> tuple[Stroke, ...]:
    """Return the streaks of one beat, which many frames show."""
    left, top, wide, tall = rect
    columns, rows = math.ceil(wide / RAIN_APART_PX), math.ceil(tall / RAIN_APART_PX)
    i, j = (part.ravel().astype(np.float64) for part in np.meshgrid(np.arange(columns), np.arange(rows)))
    x = left + RAIN_APART_PX * (i + _scattered(i + beat, j))
    y = top + RAIN_APART_PX * (j + _scattered(j, i + beat))
    return tuple(
        Stroke("eye", ((a, b), (a - 0.3 * RAIN_PX, b + RAIN_PX)), "second", 1.0)
        for a, b in zip(x.tolist(), y.tolist(), strict=True)
    )
