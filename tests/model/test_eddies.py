"""Eddies: weaker or turned back within, as outside far away, and no water made or lost."""

import math

import numpy as np
import pytest

from sim.model import eddy
from sim.model import layout as lay

CELL_M = 5.0
RASTER = np.array([-300.0, -300.0, CELL_M])
AXIS = -300.0 + CELL_M * np.arange(121)
NORTH, EAST = np.meshgrid(AXIS, AXIS, indexing="ij")
SOUTHGOING = np.array([[-1.0, 0.0]])
RADIUS_M, EDGE_M = 80.0, 50.0


def bends(rate: float) -> np.ndarray:
    """Return the table of a round eddy about the origin."""
    away = np.hypot(NORTH, EAST)
    share = np.clip(0.5 + (RADIUS_M - away) / EDGE_M, 0.0, 1.0)
    return eddy.bend(share * share * (3.0 - 2.0 * share), NORTH, EAST, rate, CELL_M)[None]


def stream(north: float, east: float, rate: float, outside=(-1.0, 0.0), eddies=SOUTHGOING) -> tuple[float, float]:
    """Return the stream at a place."""
    return eddy.add_eddies(north, east, *outside, eddies, bends(rate), RASTER)


@pytest.mark.parametrize("rate", [-0.4, 0.0, 0.6])
def test_within_it_runs_at_its_rate_and_outside_as_it_did(rate):
    assert stream(0.0, 0.0, rate) == pytest.approx((-rate, 0.0), abs=1e-6)
    assert stream(30.0, -20.0, rate) == pytest.approx((-rate, 0.0), abs=1e-6)
    assert stream(-200.0, 120.0, rate) == pytest.approx((-1.0, 0.0), abs=1e-9)


def test_what_no_longer_runs_through_runs_past():
    """The water that crosses a line from side to side is the same as without the eddy, to 1 %."""
    table = bends(-0.4)
    across = np.arange(-250.0, 250.1, 1.0)
    flow = [eddy.add_eddies(10.0, float(e), -1.0, 0.0, SOUTHGOING, table, RASTER)[0] for e in across]

    assert np.mean(flow) == pytest.approx(-1.0, rel=0.01)
    assert min(flow) < -1.2


def test_hardly_any_water_is_made_or_lost():
    """Divergence below 2 % of the shear that the eddy's edge makes, by differences over a cell."""
    table = bends(0.0)
    most = 0.0
    for n in np.arange(-160.0, 161.0, 20.0):
        for e in np.arange(-160.0, 161.0, 20.0):

            def part(dn: float, de: float, k: int, n=n, e=e) -> float:
                return eddy.add_eddies(n + dn, e + de, -0.8, 0.6, SOUTHGOING, table, RASTER)[k]

            down = (part(CELL_M, 0.0, 0) - part(-CELL_M, 0.0, 0)) / (2.0 * CELL_M)
            side = (part(0.0, CELL_M, 1) - part(0.0, -CELL_M, 1)) / (2.0 * CELL_M)
            most = max(most, abs(down + side))

    assert most < 0.02 * 1.0 / EDGE_M


def test_it_forms_as_far_as_the_stream_sets_its_way():
    assert stream(0.0, 0.0, 0.0, outside=(1.0, 0.0)) == (1.0, 0.0)
    assert stream(0.0, 0.0, 0.0, outside=(0.0, 1.0)) == (0.0, 1.0)
    half = stream(0.0, 0.0, 0.0, outside=(-0.5, math.sqrt(0.75)))

    assert half == pytest.approx((-0.25, 0.5 * math.sqrt(0.75)), abs=1e-6)
    assert stream(0.0, 0.0, 0.0, outside=(0.0, 0.0)) == (0.0, 0.0)


def test_it_changes_gradually():
    """Along any line from outside to inside no step of a metre changes the stream by more than an eighth."""
    table = bends(-0.4)
    for bearing in np.radians(np.arange(0.0, 360.0, 15.0)):
        line = [
            eddy.add_eddies(r * math.cos(bearing), r * math.sin(bearing), -1.0, 0.0, SOUTHGOING, table, RASTER)
            for r in np.arange(0.0, 200.0, 1.0)
        ]
        assert np.abs(np.diff(line, axis=0)).max() < 0.125


def test_columns_are_those_named():
    assert SOUTHGOING[0, lay.ED_NORTH] == -1.0
    assert SOUTHGOING.shape[1] == lay.EDDY_COLS
