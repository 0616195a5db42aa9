"""The chart painted once: tiles of the world for each zoom, a few a frame; a small overview stands in meanwhile."""

import math
from collections import OrderedDict
from collections.abc import Iterable, Sequence

import numpy as np
import pygame

from sim.base.arrays import FloatArray
from sim.ui.chart import label_places
from sim.ui.chart.camera import Camera
from sim.ui.chart.sign_places import Depths, Way, ways
from sim.ui.chart.turning import Turned, level
from sim.ui.paint.display import Disc, Fill, Item, Mark, Point, Ring, Stroke, Words
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import land

TILE = 128
KEPT = 640  # tiles, 40 MB
OVERVIEW = 1.2  # px per metre
KEPT_WAYS = 512  # places of names, a few kB each


def _box(item: Item) -> tuple[float, float, float, float, float]:
    """Return the part of the world an item touches: south, north, west, east [m], and how far beyond it [px]."""
    if isinstance(item, Fill | Stroke):
        north, east = [p[0] for p in item.points], [p[1] for p in item.points]
        return min(north), max(north), min(east), max(east), 4.0
    assert isinstance(item, Disc | Mark | Ring), item
    n, e = item.at
    reach = item.radius if isinstance(item, Ring) else 0.0
    return n - reach, n + reach, e - reach, e + reach, 24.0


def clipped(points: FloatArray, left: float, top: float, right: float, bottom: float) -> FloatArray:
    """Return a polygon ``float64[k, 2]`` cut to a rectangle (Sutherland and Hodgman); empty where nothing is left."""
    for axis, limit, sense in ((0, left, 1.0), (0, right, -1.0), (1, top, 1.0), (1, bottom, -1.0)):
        if not len(points):
            break
        beyond = sense * (points[:, axis] - limit)
        before, was_beyond = np.roll(points, 1, axis=0), np.roll(beyond, 1)
        inside, was_inside = beyond >= 0.0, was_beyond >= 0.0
        crosses = inside != was_inside
        span = np.where(crosses, was_beyond - beyond, 1.0)
        crossing = before + (was_beyond / span)[:, None] * (points - before)
        crossing[:, axis] = limit
        both = np.stack([crossing, points], axis=1).reshape(-1, 2)
        points = both[np.stack([crosses, inside], axis=1).ravel()]
    return points


def _round(at: Point, about: float) -> pygame.Rect:
    """Return where no lettering shall stand because a sign does."""
    half = about - 2.0
    return pygame.Rect(round(at[0] - half), round(at[1] - half), round(2.0 * half), round(2.0 * half))


class Tiles:
    """The chart's tiles in one palette."""

    def __init__(self, painter: Painter, items: Sequence[Item], depths: Depths) -> None:
        """Take the chart's display list, a world scene; its lettering is kept apart, for it never turns.

        Args:
            painter: of the palette.
            items: the display list.
            depths: what lies where, for the names of signs.
        """
        self.painter, self._depths = painter, depths
        self._ways: dict[tuple[Point, str, tuple[int, int], float, float], tuple[Way, ...]] = {}
        self.lettering = [item for item in items if isinstance(item, Words)]
        self._names = [item for item in self.lettering if item.about]
        self._items = [item for item in items if not isinstance(item, Words)]
        boxes = np.array([_box(item) for item in self._items]).T
        self._boxes, self._margins_px = boxes[:4], boxes[4]
        self._outlines = {k: np.array(item.points) for k, item in enumerate(self._items) if isinstance(item, Fill)}
        self._turned = Turned()
        self._tiles: OrderedDict[tuple[float, int, int], pygame.Surface] = OrderedDict()
        self._overview: dict[tuple[int, int], pygame.Surface] = {}

    def _paint(self, scale: float, i: int, j: int) -> pygame.Surface:
        """Paint the tile whose left and top edges are ``i`` and ``j`` tiles right of and below the world's origin."""
        camera = Camera(0.0, 0.0, scale, (-i * TILE, -j * TILE, 0, 0))
        west, east = i * TILE / scale, (i + 1) * TILE / scale
        north, south = -j * TILE / scale, -(j + 1) * TILE / scale
        margin = self._margins_px / scale
        low_n, high_n, low_e, high_e = self._boxes
        near = (low_n - margin <= north) & (high_n + margin >= south) & (low_e - margin <= east)
        near &= high_e + margin >= west
        shapes: list[Item] = []
        for k in np.flatnonzero(near).tolist():
            item = self._items[k]
            if isinstance(item, Fill):
                places = self._outlines[k]
                px = np.stack([places[:, 1] * scale - i * TILE, -places[:, 0] * scale - j * TILE], axis=1)
                points = clipped(px, -8.0, -8.0, TILE + 8.0, TILE + 8.0)
                if len(points) > 2:
                    shapes.append(Fill(item.source, tuple(map(tuple, points.tolist())), item.ink))
            else:
                shapes.append(camera.project(item))
        large = pygame.Surface((2 * TILE, 2 * TILE))
        large.fill(land(self.painter.palette))
        self.painter.shapes(large, shapes, 2.0)
        return pygame.transform.smoothscale(large, (TILE, TILE))

    def _stand_in(self, scale: float, i: int, j: int) -> pygame.Surface:
        """Return a tile blown up from the overview."""
        west, north = i * TILE / scale, -j * TILE / scale
        size = TILE / scale * OVERVIEW
        out = pygame.Surface((TILE, TILE))
        out.fill(land(self.painter.palette))
        grow = TILE / size
        x, y = west * OVERVIEW, -north * OVERVIEW
        for a in range(math.floor(x / TILE), math.floor((x + size) / TILE) + 1):
            for b in range(math.floor(y / TILE), math.floor((y + size) / TILE) + 1):
                source = self._overview.get((a, b))
                if source is None:
                    continue
                # A pixel more all round, or tiles blown up by odd figures would leave gaps between them.
                side = math.ceil(size) + 2
                part = pygame.Rect(math.floor(x - a * TILE), math.floor(y - b * TILE), side, side)
                part = part.clip(source.get_rect())
                if part.width and part.height:
                    at = math.floor((part.x + a * TILE - x) * grow), math.floor((part.y + b * TILE - y) * grow)
                    wide, tall = math.ceil(part.width * grow) + 1, math.ceil(part.height * grow) + 1
                    out.blit(pygame.transform.scale(source.subsurface(part), (wide, tall)), at)
        return out

    def overview(self, extent_m: tuple[float, float, float, float]) -> None:
        """Paint the overview of the bay: south, north, west, east [m]."""
        south, north, west, east = extent_m
        side = TILE / OVERVIEW
        for i in range(math.floor(west / side) - 1, math.ceil(east / side) + 1):
            for j in range(math.floor(-north / side) - 1, math.ceil(-south / side) + 1):
                self._overview[(i, j)] = self._paint(OVERVIEW, i, j)

    def draw(self, surface: pygame.Surface, camera: Camera, budget: int) -> bool:
        """Draw the chart as the camera sees it; paint at most ``budget`` tiles. Return whether all are there."""
        if camera.up_rad:
            return self._turned.draw(surface, camera)
        x0, y0 = camera.origin
        whole = True
        for i, j in self._needed(camera):
            tile = self._tiles.get((camera.scale, i, j))
            if tile is None and budget > 0:
                budget -= 1
                tile = self._add(camera.scale, i, j)
            if tile is None:
                whole = False
                tile = self._stand_in(camera.scale, i, j)
            else:
                self._tiles.move_to_end((camera.scale, i, j))
            surface.blit(tile, (x0 + i * TILE, y0 + j * TILE))
        return whole

    def turn(self, camera: Camera, budget: int) -> bool:
        """Turn a part of the chart for a camera; return whether more is to be turned before it can be drawn."""
        return bool(camera.up_rad) and self._turned.step(
            camera, lambda level, north_up: self.draw(level, north_up, budget)
        )

    def prepare(self, camera: Camera, budget: int) -> None:
        """Paint at most ``budget`` of the tiles that will be drawn, the middle of the picture first."""
        if camera.up_rad:
            camera = level(camera)
        missing = [t for t in self._needed(camera) if (camera.scale, *t) not in self._tiles]
        for i, j in missing[:budget]:
            self._add(camera.scale, i, j)

    def _needed(self, camera: Camera) -> list[tuple[int, int]]:
        """Return the tiles a picture is made of, those in its middle first."""
        left, top, wide, tall = camera.rect
        x0, y0 = camera.origin
        first_i, last_i = (left - x0) // TILE, (left + wide - 1 - x0) // TILE
        first_j, last_j = (top - y0) // TILE, (top + tall - 1 - y0) // TILE
        middle = (0.5 * (first_i + last_i), 0.5 * (first_j + last_j))
        needed = [(i, j) for i in range(first_i, last_i + 1) for j in range(first_j, last_j + 1)]
        return sorted(needed, key=lambda t: math.hypot(t[0] - middle[0], t[1] - middle[1]))

    def _add(self, scale: float, i: int, j: int) -> pygame.Surface:
        tile = self._tiles[(scale, i, j)] = self._paint(scale, i, j)
        while len(self._tiles) > KEPT:
            self._tiles.popitem(last=False)
        return tile

    def letter(
        self,
        surface: pygame.Surface,
        camera: Camera,
        seen: pygame.Rect,
        more: Iterable[Words] = (),
        taken: Sequence[pygame.Rect] = (),
        grow: float = 1.0,
    ) -> list[label_places.Placed]:
        """Write the chart's names and figures, and ``more`` in pixels, within what is ``seen``; return them."""
        chart = (camera.project(item) for item in self.lettering if camera.sees(item.at))
        lines = [*more, *(item for item in chart if isinstance(item, Words))]
        busy = [*taken, *(_round(camera.px(item.at), item.about) for item in self._names)]
        named = {camera.px(item.at): item for item in self._names}

        def around(line: Words, extent: tuple[int, int]) -> tuple[Way, ...]:
            item = named.get(line.at)
            return () if item is None else self._around(item, extent, camera)

        placed = label_places.place(lines, seen.inflate(-6, -6), busy, grow, around)
        self.painter.lettered(surface, placed)
        return placed

    def _around(self, item: Words, extent: tuple[int, int], camera: Camera) -> tuple[Way, ...]:
        """Return the places of a sign's name, which are the same wherever the camera stands."""
        key = item.at, item.text, extent, camera.scale, camera.up_rad
        if key not in self._ways:
            if len(self._ways) > KEPT_WAYS:
                self._ways.clear()
            self._ways[key] = ways(item, extent, camera.scale, camera.up_rad, self._depths)
        return self._ways[key]
