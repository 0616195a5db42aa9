"""The chart painted once: tiles of the world for each zoom, a few a frame; a small overview stands in meanwhile."""

import math
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass

import pygame

from sim.ui.camera import Camera
from sim.ui.display import Disc, Fill, Item, Mark, Point, Ring, Stroke, Words
from sim.ui.painter import Painter

TILE = 256
KEPT = 160  # tiles, 40 MB
OVERVIEW = 1.2  # px per metre
REACH_PX = 150.0  # lettering may reach so far from its place


@dataclass(frozen=True)
class _Placed:
    """An item and the rectangle of the world it touches: south, north, west, east."""

    item: Item
    box: tuple[float, float, float, float]
    margin_px: float


def _place(item: Item) -> _Placed:
    if isinstance(item, Fill | Stroke):
        north, east = [p[0] for p in item.points], [p[1] for p in item.points]
        return _Placed(item, (min(north), max(north), min(east), max(east)), 4.0)
    assert isinstance(item, Disc | Mark | Ring | Words), item
    n, e = item.at
    reach = item.radius if isinstance(item, Ring) else 0.0
    margin = REACH_PX if isinstance(item, Words) else 24.0
    return _Placed(item, (n - reach, n + reach, e - reach, e + reach), margin)


def clipped(points: Sequence[Point], left: float, top: float, right: float, bottom: float) -> list[Point]:
    """Return a polygon cut to a rectangle (Sutherland and Hodgman); empty where nothing is left."""
    out = list(points)
    for axis, limit, keep_less in ((0, left, False), (0, right, True), (1, top, False), (1, bottom, True)):
        kept: list[Point] = []
        for k, here in enumerate(out):
            before = out[k - 1]
            inside = here[axis] <= limit if keep_less else here[axis] >= limit
            was_inside = before[axis] <= limit if keep_less else before[axis] >= limit
            if inside != was_inside:
                share = (limit - before[axis]) / (here[axis] - before[axis])
                crossing = [before[0] + share * (here[0] - before[0]), before[1] + share * (here[1] - before[1])]
                crossing[axis] = limit
                kept.append((crossing[0], crossing[1]))
            if inside:
                kept.append(here)
        out = kept
        if not out:
            return []
    return out


class Tiles:
    """The chart's tiles in one palette."""

    def __init__(self, painter: Painter, items: Sequence[Item]) -> None:
        """Take the chart's display list, a world scene."""
        self.painter = painter
        self._placed = [_place(item) for item in items]
        self._tiles: OrderedDict[tuple[float, int, int], pygame.Surface] = OrderedDict()
        self._overview: dict[tuple[int, int], pygame.Surface] = {}

    def _paint(self, scale: float, i: int, j: int) -> pygame.Surface:
        """Paint the tile whose left and top edges are ``i`` and ``j`` tiles right of and below the world's origin."""
        camera = Camera(0.0, 0.0, scale, (-i * TILE, -j * TILE, 0, 0))
        west, east = i * TILE / scale, (i + 1) * TILE / scale
        north, south = -j * TILE / scale, -(j + 1) * TILE / scale
        large = pygame.Surface((2 * TILE, 2 * TILE))
        shapes: list[Item] = []
        lettering: list[Words] = []
        for placed in self._placed:
            margin = placed.margin_px / scale
            s, n, w, e = placed.box
            if s - margin > north or n + margin < south or w - margin > east or e + margin < west:
                continue
            item = camera.project(placed.item)
            if isinstance(item, Words):
                lettering.append(item)
                continue
            if isinstance(item, Fill):
                points = clipped(item.points, -8.0, -8.0, TILE + 8.0, TILE + 8.0)
                if len(points) < 3:
                    continue
                item = Fill(item.source, tuple(points), item.ink)
            shapes.append(item)
        self.painter.shapes(large, shapes, 2.0)
        tile = pygame.transform.smoothscale(large, (TILE, TILE))
        self.painter.words(tile, lettering)
        return tile

    def _stand_in(self, scale: float, i: int, j: int) -> pygame.Surface:
        """Return a tile blown up from the overview."""
        west, north = i * TILE / scale, -j * TILE / scale
        size = TILE / scale * OVERVIEW
        out = pygame.Surface((TILE, TILE))
        grow = TILE / size
        x, y = west * OVERVIEW, -north * OVERVIEW
        for a in range(math.floor(x / TILE), math.floor((x + size) / TILE) + 1):
            for b in range(math.floor(y / TILE), math.floor((y + size) / TILE) + 1):
                source = self._overview.get((a, b))
                if source is None:
                    continue
                part = pygame.Rect(round(x - a * TILE), round(y - b * TILE), math.ceil(size), math.ceil(size))
                part = part.clip(source.get_rect())
                if part.width and part.height:
                    at = ((part.x + a * TILE - x) * grow, (part.y + b * TILE - y) * grow)
                    wide, tall = math.ceil(part.width * grow), math.ceil(part.height * grow)
                    out.blit(pygame.transform.scale(source.subsurface(part), (wide, tall)), at)
        return out

    def prepare(self, extent_m: tuple[float, float, float, float]) -> None:
        """Paint the overview of the bay: south, north, west, east [m]."""
        south, north, west, east = extent_m
        side = TILE / OVERVIEW
        for i in range(math.floor(west / side) - 1, math.ceil(east / side) + 1):
            for j in range(math.floor(-north / side) - 1, math.ceil(-south / side) + 1):
                self._overview[(i, j)] = self._paint(OVERVIEW, i, j)

    def draw(self, surface: pygame.Surface, camera: Camera, budget: int) -> bool:
        """Draw the chart as the camera sees it; paint at most ``budget`` tiles. Return whether all are there."""
        left, top, wide, tall = camera.rect
        x0, y0 = camera.origin
        first_i, last_i = (left - x0) // TILE, (left + wide - 1 - x0) // TILE
        first_j, last_j = (top - y0) // TILE, (top + tall - 1 - y0) // TILE
        middle = (0.5 * (first_i + last_i), 0.5 * (first_j + last_j))
        wanted = [(i, j) for i in range(first_i, last_i + 1) for j in range(first_j, last_j + 1)]
        wanted.sort(key=lambda t: math.hypot(t[0] - middle[0], t[1] - middle[1]))
        whole = True
        for i, j in wanted:
            key = (camera.scale, i, j)
            tile = self._tiles.get(key)
            if tile is None and budget > 0:
                budget -= 1
                tile = self._tiles[key] = self._paint(camera.scale, i, j)
                while len(self._tiles) > KEPT:
                    self._tiles.popitem(last=False)
            if tile is None:
                whole = False
                tile = self._stand_in(camera.scale, i, j)
            else:
                self._tiles.move_to_end(key)
            surface.blit(tile, (x0 + i * TILE, y0 + j * TILE))
        return whole
