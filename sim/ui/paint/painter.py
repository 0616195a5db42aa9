"""Paints screen items on a surface. With everything it needs cached by its look, never by its object."""

import itertools
import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

import pygame

from sim.ui.chart import label_places
from sim.ui.paint import fonts, marks
from sim.ui.paint.display import (
    Box,
    Disc,
    Face,
    Fill,
    Glow,
    Hatch,
    Item,
    Mark,
    Panel,
    Point,
    Ring,
    Ripples,
    Stroke,
    Words,
)
from sim.ui.paint.palette import Colour, Ink, Palette, land

Surface = pygame.Surface
SUPER = 2  # shapes of a panel are painted so much larger and smoothed down
RIPPLE_HEADINGS = 120
DAB_PX = 112
HATCH_PX = 11.0
KEPT_RING_PX = 160  # a larger circle is cheaper dot by dot


@lru_cache(maxsize=4096)
def lettering(text: str, face: Face, size: int, colour: Colour, casing: Colour | None) -> Surface:
    """Return a line of text, with a casing round it where one is given."""
    font = fonts.font(face, size)
    inner = font.render(text, True, colour)
    if casing is None:
        return inner
    width = label_places.CASING_PX
    halo = font.render(text, True, casing)
    out = pygame.Surface((inner.get_width() + 2 * width, inner.get_height() + 2 * width), pygame.SRCALPHA)
    for dx in range(2 * width + 1):
        for dy in range(2 * width + 1):
            if math.hypot(dx - width, dy - width) <= width + 0.3:
                out.blit(halo, (dx, dy))
    out.blit(inner, (width, width))
    return out


@lru_cache(maxsize=512)
def dots(radius: int, gap: float) -> tuple[tuple[int, int], ...]:
    """Return where the dots of a circle stand, seen from its middle."""
    count = max(round(2.0 * math.pi * radius / gap), 8)
    step = 2.0 * math.pi / count
    return tuple((round(radius * math.cos(k * step)), round(radius * math.sin(k * step))) for k in range(count))


@lru_cache(maxsize=32)
def dot(colour: Colour, radius: float) -> Surface:
    """Return one smooth dot."""
    size = 2 * math.ceil(radius) + 2
    out = pygame.Surface((size, size), pygame.SRCALPHA)
    pygame.draw.aacircle(out, colour, (size / 2, size / 2), radius)
    return out


@lru_cache(maxsize=256)
def dotted(colour: Colour, radius: int, k: float) -> Surface:
    """Return a whole circle of dots."""
    one = dot(colour, 1.1 * k)
    middle = radius + one.get_width()
    out = pygame.Surface((2 * middle, 2 * middle), pygame.SRCALPHA)
    half = one.get_width() // 2
    out.fblits([(one, (middle - half + dx, middle - half + dy)) for dx, dy in dots(radius, 6.0 * k)])
    return out


@lru_cache(maxsize=256)
def ripple(colour: Colour, heading: int, level: int) -> Surface:
    """Return small waves across a wind that comes from ``heading``, in parts of the circle."""
    size = 30
    large = pygame.Surface((size * SUPER, size * SUPER), pygame.SRCALPHA)
    large.fill((*colour, 0))
    angle = 2.0 * math.pi * heading / RIPPLE_HEADINGS
    s, c = math.sin(angle), -math.cos(angle)
    for k in range(level):
        out, reach = 4.0 * (k - 0.5 * (level - 1)), (6.0, 8.5, 5.0)[k]
        points = []
        for n in range(-4, 5):
            across, lift = reach * n / 4.0, 1.3 * (1.0 - (n / 4.0) ** 2)
            along = out + lift
            points.append(
                ((0.5 * size + along * s - across * c) * SUPER, (0.5 * size + along * c + across * s) * SUPER)
            )
        pygame.draw.lines(large, colour, False, points, 2 + level // 2)
    return pygame.transform.smoothscale(large, (size, size))


@lru_cache(maxsize=128)
def dab(colour: Colour, heading: int, level: int) -> Surface:
    """Return a soft dark patch of water under a gust, longer across the wind than along it."""
    small = 28
    angle = 2.0 * math.pi * heading / RIPPLE_HEADINGS
    s, c = math.sin(angle), -math.cos(angle)
    patch = pygame.Surface((small, small), pygame.SRCALPHA)
    middle = 0.5 * (small - 1)
    for x in range(small):
        for y in range(small):
            along, across = (x - middle) * s + (y - middle) * c, (y - middle) * s - (x - middle) * c
            far = math.hypot(along / 8.5, across / 13.0)
            patch.set_at((x, y), (*colour, round((26, 60)[level - 2] * max(1.0 - far, 0.0) ** 0.8)))
    return pygame.transform.smoothscale(patch, (DAB_PX, DAB_PX))


def dashes(points: Sequence[Point], on: float, off: float) -> list[list[Point]]:
    """Return the pieces of a line that a dash pattern leaves."""
    pieces: list[list[Point]] = []
    left, drawn = on, True
    piece = [points[0]]
    for a, b in itertools.pairwise(points):
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        done = 0.0
        while length - done > left:
            done += left
            share = done / length
            at = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
            if drawn:
                pieces.append([*piece, at])
            drawn = not drawn
            left = on if drawn else off
            piece = [at]
        left -= length - done
        if drawn:
            piece.append(b)
    if drawn and len(piece) > 1:
        pieces.append(piece)
    return pieces


@lru_cache(maxsize=16)
def glow(colour: Colour, radius: int) -> Surface:
    """Return light that falls off from its middle."""
    small = 32
    patch = pygame.Surface((small, small), pygame.SRCALPHA)
    middle = 0.5 * (small - 1)
    for x in range(small):
        for y in range(small):
            far = math.hypot(x - middle, y - middle) / middle
            patch.set_at((x, y), (*colour, round(46 * max(1.0 - far, 0.0) ** 1.5)))
    return pygame.transform.smoothscale(patch, (2 * radius, 2 * radius))


def strokes(points: Sequence[Point], apart: float) -> list[tuple[Point, Point]]:
    """Return slanting lines across a convex area, ``apart`` from each other; its corners are where they end.

    >>> strokes([(0.0, 0.0), (8.0, 0.0), (8.0, 8.0), (0.0, 8.0)], 8.0)
    [((0.0, 8.0), (8.0, 0.0))]
    """
    sums = [x + y for x, y in points]
    out: list[tuple[Point, Point]] = []
    for k in range(math.floor(min(sums) / apart) + 1, math.ceil(max(sums) / apart)):
        met: list[Point] = []
        for (a, b), (p, q) in zip(
            itertools.pairwise([*points, points[0]]), itertools.pairwise([*sums, sums[0]]), strict=True
        ):
            if (p < k * apart) != (q < k * apart):
                share = (k * apart - p) / (q - p)
                met.append((a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])))
        if len(met) == 2:
            low, high = sorted(met)
            out.append((low, high))
    return out


class Painter:
    """Paints in one palette."""

    def __init__(self, palette: Palette) -> None:
        """Take the inks."""
        self.palette = palette
        self._panels: dict[str, tuple[Panel, Surface]] = {}

    def colour(self, ink: Ink | str) -> Colour:
        """Return the colour of an ink."""
        return land(self.palette) if ink == "land" else self.palette[ink]  # type: ignore[index]

    def panel(self, panel: Panel) -> Surface:
        """Return a panel's picture, painted afresh only where it has changed."""
        kept = self._panels.get(panel.name)
        if kept is not None and kept[0] == panel:
            return kept[1]
        _, _, wide, tall = panel.rect
        large = pygame.Surface((wide * SUPER, tall * SUPER))
        large.fill(self.colour(panel.ground))
        shapes = [item for item in panel.items if not isinstance(item, Words)]
        self.shapes(large, shapes, float(SUPER))
        picture = pygame.transform.smoothscale(large, (wide, tall))
        self.words(picture, (item for item in panel.items if isinstance(item, Words)))
        self._panels[panel.name] = (panel, picture)
        return picture

    def changed(self, panel: Panel) -> bool:
        """Return whether a panel would have to be painted afresh."""
        kept = self._panels.get(panel.name)
        return kept is None or kept[0] != panel

    def kept(self, name: str) -> Surface | None:
        """Return a panel's picture as last painted."""
        kept = self._panels.get(name)
        return kept[1] if kept is not None else None

    def paint(self, surface: Surface, items: Iterable[Item]) -> None:
        """Paint items in their order."""
        for item in items:
            if isinstance(item, Words):
                self.words(surface, (item,))
            else:
                self.shapes(surface, (item,), 1.0)

    def words(self, surface: Surface, items: Iterable[Words]) -> None:
        """Paint lines of text."""
        for item in items:
            text, size, rect = label_places.box(item)
            surface.blit(self._line_of(item, text, size), rect)

    def lettered(self, surface: Surface, lines: Iterable[label_places.Placed]) -> None:
        """Paint lines of text where they have found room."""
        surface.fblits([(self._line_of(line.item, line.text, line.size), line.at) for line in lines])

    def _line_of(self, item: Words, text: str, size: int) -> Surface:
        casing = self.colour("land" if item.ink == "inland" else "casing") if item.cased else None
        return lettering(text, item.face, size, self.palette[item.ink], casing)

    def shapes(self, surface: Surface, items: Iterable[Item], k: float) -> None:
        """Paint shapes, ``k`` times as large as they say."""
        for item in items:
            if isinstance(item, Fill):
                self._fill(surface, item, k)
            elif isinstance(item, Stroke):
                self._stroke(surface, item, k)
            elif isinstance(item, Disc):
                self._disc(surface, item, k)
            elif isinstance(item, Ring):
                self._ring(surface, item, k)
            elif isinstance(item, Box):
                self._box(surface, item, k)
            elif isinstance(item, Ripples):
                self._ripples(surface, item)
            elif isinstance(item, Mark):
                marks.paint(surface, item, self.palette, k)
            elif isinstance(item, Hatch):
                self._hatch(surface, item, k)
            elif isinstance(item, Glow):
                picture = glow(self.palette[item.ink], max(round(item.radius * k), 4))
                half = 0.5 * picture.get_width()
                surface.blit(picture, (round(item.at[0] * k - half), round(item.at[1] * k - half)))

    def _hatch(self, surface: Surface, item: Hatch, k: float) -> None:
        for a, b in strokes(item.points, HATCH_PX):
            ends = [(a[0] * k, a[1] * k), (b[0] * k, b[1] * k)]
            self._line(surface, self.palette["casing"], ends, 4.0 * k)
            self._line(surface, self.palette[item.ink], ends, 2.2 * k)

    def _fill(self, surface: Surface, item: Fill, k: float) -> None:
        points = [(x * k, y * k) for x, y in item.points]
        if item.ink is not None:
            colour = self.colour(item.ink)
            pygame.draw.polygon(surface, colour, points)
            if k == 1.0:
                pygame.draw.aalines(surface, colour, True, points)
        if item.edge is not None:
            self._line(surface, self.palette[item.edge], [*points, points[0]], item.width * k)

    def _stroke(self, surface: Surface, item: Stroke, k: float) -> None:
        points = [(x * k, y * k) for x, y in item.points]
        if item.closed:
            points.append(points[0])
        if len(points) < 2:
            return
        pieces = [points] if item.dash is None else dashes(points, item.dash[0] * k, item.dash[1] * k)
        if item.cased:
            for piece in pieces:
                self._line(surface, self.palette["casing"], piece, (item.width + 2.6) * k)
        for piece in pieces:
            self._line(surface, self.palette[item.ink], piece, item.width * k)

    @staticmethod
    def _line(surface: Surface, colour: Colour, points: Sequence[Point], width: float) -> None:
        if width <= 1.2:
            pygame.draw.aalines(surface, colour, False, points)
            return
        thick = max(round(width), 2)
        for a, b in itertools.pairwise(points):
            pygame.draw.aaline(surface, colour, a, b, thick)
        if width > 2.4:
            for p in points[1:-1]:
                pygame.draw.aacircle(surface, colour, p, 0.5 * width)

    def _disc(self, surface: Surface, item: Disc, k: float) -> None:
        at, radius = (item.at[0] * k, item.at[1] * k), item.radius * k
        if item.ink is not None:
            pygame.draw.aacircle(surface, self.palette[item.ink], at, radius)
        if item.edge is not None:
            pygame.draw.aacircle(surface, self.palette[item.edge], at, radius, max(round(item.width * k), 1))

    def _ring(self, surface: Surface, item: Ring, k: float) -> None:
        radius = round(item.radius * k)
        cx, cy = round(item.at[0] * k), round(item.at[1] * k)
        clip = surface.get_clip()
        if not clip.inflate(2 * radius + 8, 2 * radius + 8).collidepoint(cx, cy):
            return
        colour = self.palette[item.ink]
        if item.style == "dots":
            if radius <= KEPT_RING_PX:
                picture = dotted(colour, radius, k)
                surface.blit(picture, (cx - picture.get_width() // 2, cy - picture.get_height() // 2))
                return
            picture = dot(colour, 1.1 * k)
            half = picture.get_width() // 2
            x0, y0 = cx - half, cy - half
            surface.fblits([(picture, (x0 + dx, y0 + dy)) for dx, dy in dots(radius, 6.0 * k)])
            return
        ring = [(cx + dx, cy + dy) for dx, dy in dots(radius, 5.0 * k)]
        pieces = dashes([*ring, ring[0]], 11.0 * k, 7.0 * k)
        for piece in pieces:
            self._line(surface, self.palette["casing"], piece, 4.0 * k)
        for piece in pieces:
            self._line(surface, colour, piece, 2.0 * k)

    def _ripples(self, surface: Surface, item: Ripples) -> None:
        heading = round(item.from_rad / (2.0 * math.pi) * RIPPLE_HEADINGS) % RIPPLE_HEADINGS
        dabs = {level: dab(self.palette["paw"], heading, level) for level in (2, 3)}
        half = dabs[2].get_width() // 2
        surface.fblits([(dabs[level], (round(x) - half, round(y) - half)) for (x, y), level in item.spots if level > 1])
        pictures = [ripple(self.palette["ripple"], heading, level) for level in (1, 2, 3)]
        half = pictures[0].get_width() // 2
        surface.fblits([(pictures[level - 1], (round(x) - half, round(y) - half)) for (x, y), level in item.spots])

    def _box(self, surface: Surface, item: Box, k: float) -> None:
        rect = pygame.Rect(*(round(v * k) for v in item.rect))
        corner = round(item.round * k)
        if item.ink is not None:
            pygame.draw.rect(surface, self.palette[item.ink], rect, border_radius=corner)
        if item.edge is not None:
            pygame.draw.rect(
                surface, self.palette[item.edge], rect, max(round(item.width * k), 1), border_radius=corner
            )
