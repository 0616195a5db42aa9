"""Eddies: weaker or turned back within, as outside far away, gradual at their edges."""

import math

import numpy as np
import pytest

from sim.model import layout as lay
from sim.model.water import eddy

CELL_M, EDGE_M = 5.0, 40.0
RASTER = np.array([-500.0, -500.0, CELL_M])
AXIS = -500.0 + CELL_M * np.arange(201)
NORTH, EAST = np.meshgrid(AXIS, AXIS, indexing="ij")
SOUTH = math.pi


def table(rate: float) -> tuple[np.ndarray, np.ndarray]:
    """Return (eddies, formed) of a reach 200 m long and 100 m wide about the origin, behind a point to the north."""
    along, across = eddy.squeezed(NORTH, EAST, SOUTH)
    away = np.hypot(np.maximum(np.abs(along) - 100.0 / eddy.LONG, 0.0), np.maximum(np.abs(across) - 50.0, 0.0))
    row = np.zeros((1, lay.EDDY_COLS))
    row[0, [lay.ED_NORTH, lay.ED_EAST, lay.ED_RATE]] = -1.0, 0.0, rate
    return row, eddy.faded(away, EDGE_M)[None]


def stream(north: float, east: float, rate: float, outside=(-1.0, 0.0)) -> tuple[float, float]:
    """Return the stream at a place."""
    return eddy.eddied(north, east, *outside, *table(rate), RASTER)


@pytest.mark.parametrize("rate", [-0.4, 0.0, 0.6])
def test_within_it_runs_at_its_rate_and_outside_as_it_did(rate):
    assert stream(0.0, 0.0, rate) == pytest.approx((-rate, 0.0), abs=1e-9)
    assert stream(95.0, -45.0, rate) == pytest.approx((-rate, 0.0), abs=1e-9)
    assert stream(0.0, 50.0 + EDGE_M, rate) == pytest.approx((-1.0, 0.0), abs=1e-9)
    assert stream(-100.0 - 4.0 * EDGE_M, 0.0, rate) == pytest.approx((-1.0, 0.0), abs=1e-9)


def test_it_fades_over_its_edge_beside_it_and_four_times_as_far_along():
    assert stream(0.0, 50.0 + 0.5 * EDGE_M, 0.0)[0] == pytest.approx(-0.5, abs=0.02)
    assert stream(100.0 + 2.0 * EDGE_M, 0.0, 0.0)[0] == pytest.approx(-0.5, abs=0.02)
    assert stream(-100.0 - 2.0 * EDGE_M, 0.0, 0.0)[0] == pytest.approx(-0.5, abs=0.02)


def test_little_water_is_made_or_lost():
    """The divergence anywhere is at most a quarter of the shear at its side, (1 - rate) V 3/2 over the edge."""
    tables = table(-0.4)

    def flow(n: float, e: float) -> tuple[float, float]:
        return eddy.eddied(n, e, -1.0, 0.0, *tables, RASTER)

    grid = np.arange(-300.0, 301.0, CELL_M)
    spread = [
        (flow(n + CELL_M, e)[0] - flow(n - CELL_M, e)[0] + flow(n, e + CELL_M)[1] - flow(n, e - CELL_M)[1])
        / (2.0 * CELL_M)
        for n in grid
        for e in (0.0, 40.0, 60.0, 75.0)
    ]
    shear = [abs(flow(0.0, e + CELL_M)[0] - flow(0.0, e - CELL_M)[0]) / (2.0 * CELL_M) for e in grid]

    assert max(shear) == pytest.approx(1.4 * 1.5 / EDGE_M, rel=0.05)
    assert np.abs(spread).max() <= 0.26 * max(shear)


def test_it_forms_as_far_as_the_stream_sets_its_way():
    assert stream(0.0, 0.0, 0.0, outside=(1.0, 0.0)) == (1.0, 0.0)
    assert stream(0.0, 0.0, 0.0, outside=(0.0, 1.0)) == (0.0, 1.0)
    assert stream(0.0, 0.0, 0.0, outside=(0.0, 0.0)) == (0.0, 0.0)
    half = stream(0.0, 0.0, 0.0, outside=(-0.5, math.sqrt(0.75)))

    assert half == pytest.approx((-0.25, 0.5 * math.sqrt(0.75)), abs=1e-9)


def test_squeezing_keeps_what_lies_across_and_shortens_what_lies_along():
    north, east = eddy.squeezed(np.array([100.0, 0.0, 60.0]), np.array([0.0, 80.0, 60.0]), math.pi / 4.0)

    assert np.hypot(north[2], east[2]) == pytest.approx(math.hypot(60.0, 60.0) / eddy.LONG)
    assert north[0] - east[0] == pytest.approx(100.0)
    assert north[1] - east[1] == pytest.approx(-80.0)
