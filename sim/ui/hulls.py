"""Boats from above: drawn large once a heading and size, smoothed down, and kept."""

import math
from functools import lru_cache

import pygame

from sim.ui.display import Point
from sim.ui.palette import Palette

HEADINGS, OWN_HEADINGS = 120, 720
SUPER = 4
Outline = tuple[Point, ...]  # forward, starboard [m]


def _turned(points: Outline, heading_rad: float, k: float, middle: float) -> list[Point]:
    c, s = math.cos(heading_rad), math.sin(heading_rad)
    return [(middle + k * (f * s + y * c), middle - k * (f * c - y * s)) for f, y in points]


def _shrunk(points: Outline, share: float) -> Outline:
    return tuple((f * share, y * share) for f, y in points)


@lru_cache(maxsize=600)
def sprite(outline: Outline, heading: int, of: int, scale: float, own: bool, palette: str) -> pygame.Surface:
    """Return a hull's picture; ``heading`` counts in ``of`` parts of the circle, ``scale`` is px per metre."""
    inks = _inks[palette]
    loa = max(f for f, _ in outline) - min(f for f, _ in outline)
    k = scale * max(1.0, 15.0 / (loa * scale))  # never smaller than legible
    size = 2 * math.ceil(0.56 * loa * k + 4.0)
    large = pygame.Surface((size * SUPER, size * SUPER), pygame.SRCALPHA)
    large.fill((*inks["casing"], 0))  # smoothing must not draw darkness in from outside
    middle, angle = 0.5 * size * SUPER, 2.0 * math.pi * heading / of
    big = k * SUPER
    edge = 1.5 * SUPER
    hull = _turned(outline, angle, big, middle)
    rim, body, deck = ("casing", "hot", "casing") if own else ("casing", "ink", "panel")
    for width, ink in ((2.0 * edge, rim), (0.0, body)):
        if width:
            pygame.draw.lines(large, inks[ink], True, hull, round(2 * width))  # type: ignore[index]
            for p in hull:
                pygame.draw.circle(large, inks[ink], p, width)  # type: ignore[index]
        pygame.draw.polygon(large, inks[ink], hull)  # type: ignore[index]
    inner = _turned(_shrunk(outline, 1.0 - 2.6 / max(loa * k, 8.0) * 2.0), angle, big, middle)
    if not own:
        pygame.draw.polygon(large, inks["panel"], inner)
    line = inks[deck] if own else inks["ink"]  # type: ignore[index]
    if loa * k > 34.0:
        half = max(y for _, y in outline)
        house = ((0.16 * loa, 0.0), (0.10 * loa, 0.42 * half), (-0.22 * loa, 0.46 * half), (-0.22 * loa, -0.46 * half),
                 (0.10 * loa, -0.42 * half))  # fmt: skip
        pygame.draw.lines(large, line, True, _turned(house, angle, big, middle), max(round(1.2 * SUPER), 1))
        mast = _turned(((0.06 * loa, 0.0),), angle, big, middle)[0]
        pygame.draw.circle(large, line, mast, 1.7 * SUPER)
    else:
        a, b = _turned(((0.18 * loa, 0.0), (-0.2 * loa, 0.0)), angle, big, middle)
        pygame.draw.line(large, line, a, b, max(round(1.0 * SUPER), 1))
    return pygame.transform.smoothscale(large, (size, size))


_inks: dict[str, Palette] = {}


def use(palette: Palette) -> None:
    """Make a palette known by its name, for the cache of pictures is keyed by names."""
    _inks[palette.name] = palette


def picture(outline: Outline, heading_rad: float, scale: float, own: bool, palette: str) -> pygame.Surface:
    """Return the picture nearest to a heading."""
    of = OWN_HEADINGS if own else HEADINGS
    return sprite(outline, round(heading_rad / (2.0 * math.pi) * of) % of, of, scale, own, palette)
