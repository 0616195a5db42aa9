"""Paints screen items on a surface. With everything it needs cached by its look, never by its object."""

import itertools
import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

import pygame

from sim.ui import fonts, marks
from sim.ui.display import Box, Disc, Face, Fill, Item, Mark, Panel, Point, Ring, Ripples, Stroke, Words
from sim.ui.palette import Colour, Ink, Palette, land

Surface = pygame.Surface
SUPER = 2  # shapes of a panel are painted so much larger and smoothed down
CASING_PX = 2
RIPPLE_HEADINGS = 120


@lru_cache(maxsize=4096)
def lettering(text: str, face: Face, size: int, colour: Colour, casing: Colour | None) -> Surface:
    """Return a line of text, with a casing round it where one is given."""
    font = fonts.font(face, size)
    inner = font.render(text, True, colour)
    if casing is None:
        return inner
    halo = font.render(text, True, casing)
    out = pygame.Surface((inner.get_width() + 2 * CASING_PX, inner.get_height() + 2 * CASING_PX), pygame.SRCALPHA)
    for dx in range(2 * CASING_PX + 1):
        for dy in range(2 * CASING_PX + 1):
            if math.hypot(dx - CASING_PX, dy - CASING_PX) <= CASING_PX + 0.3:
                out.blit(halo, (dx, dy))
    out.blit(inner, (CASING_PX, CASING_PX))
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
            text, size = fonts.fitted(item.text, item.face, item.size, item.room)
            casing = self.palette["casing"] if item.cased else None
            picture = lettering(text, item.face, size, self.palette[item.ink], casing)
            wide, tall = picture.get_size()
            x, y = item.at[0] + item.shift[0], item.at[1] + item.shift[1]
            x -= wide if "e" in item.anchor else 0.0 if "w" in item.anchor else 0.5 * wide
            y -= tall if "s" in item.anchor else 0.0 if "n" in item.anchor and item.anchor != "c" else 0.5 * tall
            surface.blit(picture, (round(x), round(y)))

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
