"""Laying a course in to the line: afloat, and with a berth to every boat and what leads from her bow."""

import heapq
import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import bearing_rad, to_world
from sim.demonstrator.choosing import Other
from sim.helm.chartwork import Chartwork
from sim.scenario.read.brief import Brief

CELL_M = 8.0
ROUND_M = 60.0  # about start and goal, as far as a course may go round
UNDER_KEEL_M = 0.7
BERTH_LOA, HARD_LOA = 2.2, 1.1  # from a hull, in its lengths: wished for; never less of one's own accord
RODE_BERTH_LOA = 1.8
HARD, NEAR, SHOAL = 300.0, 8.0, 300.0  # what a metre of such water counts for
GATES_M = (70.0, 60.0, 50.0, 42.0, 35.0, 28.0)
GATE_BERTH_LOA, TURN_BERTH_LOA = 1.6, 3.0
EVERY_S, AHEAD_M = 10.0, 22.0  # a course is laid afresh so often, and steered by a place so far along it
STEPS = [(i, j, math.hypot(i, j)) for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j]


def hull(other: Other) -> FloatArray:
    """Return points along another boat's middle line ``float64[5, 2]``."""
    ahead = np.array(to_world(1.0, 0.0, other.heading_rad))
    along = np.linspace(-0.5, 0.5, 5)[:, None] * other.loa_m
    points: FloatArray = np.array([other.north_m, other.east_m]) + along * ahead
    return points


def _rode(other: Other) -> FloatArray:
    """Return points along what leads from her bow, as far as she told."""
    ahead = np.array(to_world(1.0, 0.0, other.heading_rad))
    along = (0.5 * other.loa_m + np.linspace(0.0, 0.9 * other.rode_m, 6))[:, None]
    points: FloatArray = np.array([other.north_m, other.east_m]) + along * ahead
    return points


def _away_m(north_m: FloatArray, east_m: FloatArray, points: FloatArray) -> FloatArray:
    """Return how far places are from the nearest of some points."""
    away = np.hypot(north_m[..., None] - points[:, 0], east_m[..., None] - points[:, 1])
    nearest: FloatArray = away.min(axis=-1)
    return nearest


def gate_m(drop: tuple[float, float], lie_rad: float, others: Sequence[Other]) -> float:
    """Return how far to leeward of the drop to come on to the line: as far as leaves the others a berth.

    At its far end she has to turn, and wants more room than along it.
    """
    back = -np.array(to_world(1.0, 0.0, lie_rad))
    clear, turns = [], []
    for length in GATES_M:
        line = np.array(drop) + np.linspace(0.0, length, 8)[:, None] * back
        away = [_away_m(line[:, 0], line[:, 1], hull(o)) / o.loa_m for o in others]
        clear.append(min((float(a.min()) for a in away), default=99.0))
        turns.append(min((float(a[-1]) for a in away), default=99.0))
    rooms = list(zip(GATES_M, clear, turns, strict=True))
    wished = [length for length, room, turn in rooms if room >= GATE_BERTH_LOA and turn >= TURN_BERTH_LOA]
    enough = wished or [length for length, room, _ in rooms if room >= GATE_BERTH_LOA]
    return enough[0] if enough else GATES_M[int(np.argmax(clear))]


def _costs(
    brief: Brief, chart: Chartwork, others: Sequence[Other], north_m: FloatArray, east_m: FloatArray
) -> FloatArray:
    """Return what a metre counts for at places: 1 in open water."""
    cost = np.ones(north_m.shape)
    water_m = chart.depth_m(north_m, east_m) + brief.tide.now_m - brief.boat.draught_m
    cost += SHOAL * (water_m < UNDER_KEEL_M)
    for other in others:
        away = _away_m(north_m, east_m, hull(other)) / other.loa_m
        cost += HARD * (away < HARD_LOA) + NEAR * np.clip(BERTH_LOA - away, 0.0, 1.0)
        away = _away_m(north_m, east_m, _rode(other)) / other.loa_m
        cost += NEAR * np.clip(RODE_BERTH_LOA - away, 0.0, 1.0)
    for mark in chart.dangers():
        away = np.hypot(north_m - mark.north_m, east_m - mark.east_m) / brief.boat.loa_m
        cost += HARD * (away < HARD_LOA) + NEAR * np.clip(BERTH_LOA - away, 0.0, 1.0)
    return cost


def cheaper(
    brief: Brief, chart: Chartwork, others: Sequence[Other], places: Sequence[tuple[float, float]]
) -> tuple[float, float]:
    """Return the place of several where a metre counts least, the first of equals."""
    cost = _costs(brief, chart, others, *(np.array(axis) for axis in zip(*places, strict=True)))
    return places[int(np.argmin(cost))]


def lay(
    brief: Brief, chart: Chartwork, others: Sequence[Other], start: tuple[float, float], goal: tuple[float, float]
) -> list[tuple[float, float]]:
    """Return the places of the least costly course from ``start`` to ``goal``, the goal last."""
    low = np.minimum(start, goal) - ROUND_M
    rows, columns = (np.ceil((np.maximum(start, goal) + ROUND_M - low) / CELL_M).astype(int) + 1).tolist()
    grid = np.meshgrid(low[0] + CELL_M * np.arange(rows), low[1] + CELL_M * np.arange(columns), indexing="ij")
    cost = _costs(brief, chart, others, *grid)
    first, last = (tuple(np.round((np.array(p) - low) / CELL_M).astype(int).tolist()) for p in (start, goal))
    cells = _cheapest(cost.tolist(), first, last)
    return [(float(low[0] + CELL_M * i), float(low[1] + CELL_M * j)) for i, j in cells[1:-1]] + [goal]


def _cheapest(cost: list[list[float]], first: tuple[int, ...], last: tuple[int, ...]) -> list[tuple[int, ...]]:
    """Return the cells of the cheapest way over a grid, eight ways from each cell."""
    rows, columns = len(cost), len(cost[0])
    best = {first: 0.0}
    came: dict[tuple[int, ...], tuple[int, ...]] = {}
    ahead = [(0.0, first)]
    while ahead:
        spent, cell = heapq.heappop(ahead)
        if cell == last:
            break
        if spent > best[cell]:
            continue
        for di, dj, far in STEPS:
            i, j = cell[0] + di, cell[1] + dj
            if not (0 <= i < rows and 0 <= j < columns):
                continue
            total = spent + far * 0.5 * (cost[cell[0]][cell[1]] + cost[i][j])
            if total < best.get((i, j), math.inf):
                best[(i, j)] = total
                came[(i, j)] = cell
                heapq.heappush(ahead, (total, (i, j)))
    way = [last]
    while way[-1] in came:
        way.append(came[way[-1]])
    return way[::-1]


def ahead_on(way: Sequence[tuple[float, float]], at: tuple[float, float], look_m: float) -> tuple[float, float]:
    """Return the place on a course that lies ``look_m`` along it from where ``at`` is nearest to it."""
    nearest = min(range(len(way)), key=lambda k: math.dist(way[k], at))
    far = math.dist(way[nearest], at)
    for one, other in pairwise(way[nearest:]):
        if far >= look_m:
            return one
        far += math.dist(one, other)
    return way[-1]


class Way:
    """A way to a goal, its course laid afresh every ten seconds as the others are known then."""

    def __init__(self, brief: Brief, chart: Chartwork, goal: tuple[float, float]) -> None:
        """Make for ``goal``, north and east."""
        self.brief, self.chart, self.goal = brief, chart, goal
        self._laid_s = -math.inf
        self._places = [goal]

    def bearing(self, t_s: float, bow: tuple[float, float], others: Sequence[Other]) -> float:
        """Return the bearing to steer by from where the bow is."""
        if t_s > self._laid_s + EVERY_S:
            self._laid_s, self._places = t_s, lay(self.brief, self.chart, others, bow, self.goal)
        mark = ahead_on(self._places, bow, AHEAD_M)
        return bearing_rad(mark[0] - bow[0], mark[1] - bow[1])
