"""Small signs of our own: landmarks, and what the ground is made of."""

import math
from collections.abc import Callable

import pygame

from sim.ui.paint.display import Mark, Point
from sim.ui.paint.palette import Colour, Palette

DOTS = 10  # of the circle round an obstruction
Pen = Callable[[float, float], Point]
Draw = Callable[[pygame.Surface, Pen, float, Colour, Colour], None]


def _poly(surface: pygame.Surface, colour: Colour, points: list[Point]) -> None:
    pygame.draw.polygon(surface, colour, points)
    pygame.draw.aalines(surface, colour, True, points)


def _beacon(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    _poly(s, casing, [p(-0.95, 0.62), p(0.95, 0.62), p(0.0, -1.15)])
    _poly(s, ink, [p(-0.62, 0.42), p(0.62, 0.42), p(0.0, -0.72)])


def _tower(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    _poly(s, ink, [p(-0.42, 0.9), p(-0.28, -0.7), p(0.28, -0.7), p(0.42, 0.9)])
    _poly(s, ink, [p(-0.5, -0.7), p(0.5, -0.7), p(0.0, -1.15)])


def _house(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    _poly(s, ink, [p(-1.0, -0.05), p(0.0, -0.75), p(1.0, -0.05)])
    _poly(s, ink, [p(-0.75, 0.7), p(-0.75, 0.05), p(0.75, 0.05), p(0.75, 0.7)])


def _trees(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    for x, top in ((-0.75, -0.5), (0.0, -0.95), (0.75, -0.4)):
        pygame.draw.aacircle(s, ink, p(x, top + 0.35), 0.5 * k)
        pygame.draw.line(s, ink, p(x, top + 0.5), p(x, 0.9), max(round(0.18 * k), 1))


def _belfry(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    _poly(s, ink, [p(-0.45, 0.9), p(-0.45, -0.35), p(0.0, -1.0), p(0.45, -0.35), p(0.45, 0.9)])
    pygame.draw.line(s, ink, p(0.0, -1.0), p(0.0, -1.5), max(round(0.16 * k), 1))
    pygame.draw.line(s, ink, p(-0.25, -1.28), p(0.25, -1.28), max(round(0.16 * k), 1))


def _post(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    pygame.draw.line(s, ink, p(0.0, 0.9), p(0.0, -0.8), max(round(0.26 * k), 2))
    _poly(s, ink, [p(-0.5, -0.55), p(0.5, -0.55), p(0.0, -1.3)])


def _weed(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    pygame.draw.aaline(s, ink, p(0.0, 0.5), p(-0.5, -0.35))
    pygame.draw.aaline(s, ink, p(0.0, 0.5), p(0.0, -0.6))
    pygame.draw.aaline(s, ink, p(0.0, 0.5), p(0.5, -0.35))


def _rock(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    wide = max(round(0.16 * k), 1)
    pygame.draw.aaline(s, ink, p(-0.5, -0.5), p(0.5, 0.5), wide)
    pygame.draw.aaline(s, ink, p(-0.5, 0.5), p(0.5, -0.5), wide)


def _sand(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    pygame.draw.aacircle(s, ink, p(0.0, 0.0), max(0.13 * k, 0.8))


def _stones(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    pygame.draw.aacircle(s, ink, p(0.0, 0.0), 0.42 * k, max(round(0.12 * k), 1))


def _cross(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    for colour, wide in ((casing, 0.75), (ink, 0.32)):
        for a, b in ((p(-1.0, 0.0), p(1.0, 0.0)), (p(0.0, -1.0), p(0.0, 1.0))):
            pygame.draw.aaline(s, colour, a, b, max(round(wide * k), 1))


def _anchor_mark(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    _poly(s, casing, [p(-1.35, 0.0), p(0.0, -1.35), p(1.35, 0.0), p(0.0, 1.35)])
    _poly(s, ink, [p(-0.95, 0.0), p(0.0, -0.95), p(0.95, 0.0), p(0.0, 0.95)])
    pygame.draw.aacircle(s, casing, p(0.0, 0.0), 0.32 * k)


def _obstruction(s: pygame.Surface, p: Pen, k: float, ink: Colour, casing: Colour) -> None:
    """Draw the dotted circle round a danger, as charts commonly have it."""
    pygame.draw.aacircle(s, casing, p(0.0, 0.0), 1.15 * k)
    for n in range(DOTS):
        a = 2.0 * math.pi * n / DOTS
        pygame.draw.aacircle(s, ink, p(0.9 * math.cos(a), 0.9 * math.sin(a)), max(0.14 * k, 1.0))


DRAW: dict[str, Draw] = {
    "beacon": _beacon, "tower": _tower, "house": _house, "trees": _trees, "belfry": _belfry, "post": _post,
    "buoy": _beacon, "rock_mark": _rock, "weed": _weed, "rock": _rock, "sand": _sand, "stones": _stones,
    "cross": _cross, "anchor_mark": _anchor_mark, "obstruction": _obstruction,
}  # fmt: skip


def paint(surface: pygame.Surface, mark: Mark, palette: Palette, k: float) -> None:
    """Paint one sign, ``k`` times as large as it says; its foot stands where it is."""
    size = mark.size * k
    x, y = mark.at[0] * k, mark.at[1] * k

    def pen(right: float, down: float) -> Point:
        return x + right * size, y + down * size

    DRAW[mark.name](surface, pen, size, palette[mark.ink], palette["casing"])
