"""Boats from above: drawn large once a heading and size, smoothed down, and kept."""

import math
from functools import lru_cache

import pygame

from sim.helm.aids import Shape
from sim.ui.paint.display import Point
from sim.ui.paint.palette import Ink, Palette

HEADINGS, OWN_HEADINGS = 120, 720
SUPER = 4
STATIONS = 14
FULLEST, TRANSOM = 0.56, 0.70  # where along her she is widest, and her width aft, as shares
LEAST_PX = 15.0  # no boat is drawn shorter
DETAILED_PX = 34.0  # a longer one has coachroof and mast
HULL_SHARE, DECK = 0.23, (0.24, 0.84)  # of a twin hull: one hull's width, and from where to where the deck goes


def breadth(along: float) -> float:
    """Return a hull's half breadth as a share of the greatest, ``along`` from bow 0 to stern 1."""
    if along < FULLEST:
        return float((1.0 - (1.0 - along / FULLEST) ** 2.1) ** 0.92)
    return float(1.0 - (1.0 - TRANSOM) * ((along - FULLEST) / (1.0 - FULLEST)) ** 1.7)


def _slender(loa_m: float, beam_m: float, y_m: float = 0.0) -> list[Point]:
    stations = [k / STATIONS for k in range(STATIONS + 1)]
    side = [((0.5 - t) * loa_m, 0.5 * beam_m * breadth(t)) for t in stations]
    return [(f, y_m + y) for f, y in side] + [(f, y_m - y) for f, y in reversed(side[1:])]


def outlines(shape: Shape) -> list[list[Point]]:
    """Return the polygons that make a boat from above, forward and starboard [m]."""
    if shape.hulls == 1:
        return [_slender(shape.loa_m, shape.beam_m)]
    wide = HULL_SHARE * shape.beam_m
    out = 0.5 * (shape.beam_m - wide)
    fore, aft = ((0.5 - t) * shape.loa_m for t in DECK)
    deck = [(fore, -out), (fore, out), (aft, out), (aft, -out)]
    return [_slender(shape.loa_m, wide, -out), _slender(shape.loa_m, wide, out), deck]


class _Plate:
    """A large surface on which a boat is drawn, turned to her heading."""

    def __init__(self, shape: Shape, heading_rad: float, scale: float, palette: Palette) -> None:
        self.px = scale * max(1.0, LEAST_PX / (shape.loa_m * scale))
        self.size = 2 * math.ceil(0.5 * math.hypot(shape.loa_m, shape.beam_m) * self.px + 5.0)
        self.surface = pygame.Surface((self.size * SUPER, self.size * SUPER), pygame.SRCALPHA)
        self.surface.fill((*palette["casing"], 0))  # smoothing must not draw darkness in from outside
        self.palette = palette
        self._c, self._s = math.cos(heading_rad), math.sin(heading_rad)

    def at(self, place: Point) -> Point:
        """Return the pixel of a place in the boat's axes."""
        f, y = place
        k, middle = self.px * SUPER, 0.5 * self.size * SUPER
        return middle + k * (f * self._s + y * self._c), middle - k * (f * self._c - y * self._s)

    def fill(self, polygon: list[Point], ink: Ink, rim_px: float = 0.0) -> None:
        """Fill a polygon, grown by a rim."""
        points = [self.at(p) for p in polygon]
        pygame.draw.polygon(self.surface, self.palette[ink], points)
        if rim_px:
            pygame.draw.lines(self.surface, self.palette[ink], True, points, round(2.0 * rim_px * SUPER))
            for p in points:
                pygame.draw.circle(self.surface, self.palette[ink], p, rim_px * SUPER)

    def line(self, polygon: list[Point], ink: Ink, width_px: float, closed: bool = True) -> None:
        """Draw a line."""
        points = [self.at(p) for p in polygon]
        pygame.draw.lines(self.surface, self.palette[ink], closed, points, max(round(width_px * SUPER), 1))


@lru_cache(maxsize=800)
def _sprite(shape: Shape, heading: int, of: int, scale: float, own: bool, palette: str) -> pygame.Surface:
    plate = _Plate(shape, 2.0 * math.pi * heading / of, scale, _inks[palette])
    loa, px = shape.loa_m, plate.px
    parts = outlines(shape)
    for part in parts:
        plate.fill(part, "casing", 3.0 if own else 2.6)
    for part in parts:
        plate.fill(part, "hot" if own else "ink", 0.4)
    if not own:
        thin = 1.0 - 3.4 / max(loa * px, 12.0)
        for part in parts:
            middle = sum(y for _, y in part) / len(part)
            plate.fill([(f * thin, middle + (y - middle) * (thin - 0.12)) for f, y in part], "panel")
    ink: Ink = "casing" if own else "ink"
    if loa * px > DETAILED_PX:
        half = 0.21 * shape.beam_m
        house = [(0.17 * loa, 0.0), (0.13 * loa, 0.6 * half), (-0.02 * loa, half), (-0.2 * loa, half)]
        plate.line([*house, *((f, -y) for f, y in reversed(house[1:]))], ink, 1.2)
        pygame.draw.circle(plate.surface, plate.palette[ink], plate.at((0.05 * loa, 0.0)), 1.8 * SUPER)
        plate.line([(0.05 * loa, 0.0), (-0.3 * loa, 0.0)], ink, 1.1, False)
    return pygame.transform.smoothscale(plate.surface, (plate.size, plate.size))


_inks: dict[str, Palette] = {}


def use(palette: Palette) -> None:
    """Make a palette known by its name, for the cache of pictures is keyed by names."""
    _inks[palette.name] = palette


def picture(shape: Shape, heading_rad: float, scale: float, own: bool, palette: str) -> pygame.Surface:
    """Return the picture nearest to a heading; ``scale`` is px per metre."""
    of = OWN_HEADINGS if own else HEADINGS
    return _sprite(shape, round(heading_rad / (2.0 * math.pi) * of) % of, of, scale, own, palette)
