"""Type: static cuts with tabular figures, one font object a face and size."""

from functools import lru_cache

import pygame

from sim.scenario.library import assets_root
from sim.ui.paint.display import LEAST_PX, Face

FILES: dict[Face, str] = {
    "figure": "BarlowSemiCondensed-SemiBold.ttf",
    "label": "BarlowSemiCondensed-Medium.ttf",
    "text": "FiraSans-Regular.ttf",
    "strong": "FiraSans-Medium.ttf",
}


@lru_cache(maxsize=128)
def font(face: Face, size: int) -> pygame.font.Font:
    """Return a font, its size in pixels, never below the least legible one."""
    if not pygame.font.get_init():
        pygame.font.init()
    return pygame.font.Font(assets_root() / "fonts" / FILES[face], max(size, round(LEAST_PX)))


@lru_cache(maxsize=8192)
def extent(text: str, face: Face, size: int) -> tuple[int, int]:
    """Return width and height of a line [px]."""
    return font(face, size).size(text)


def measure(text: str, face: Face, size: float) -> float:
    """Return the width of a line [px]."""
    return float(extent(text, face, round(size))[0])


def ascent(face: Face, size: float) -> float:
    """Return how far the baseline lies below the top of a line [px]."""
    return float(font(face, round(size)).get_ascent())


@lru_cache(maxsize=8192)
def fitted(text: str, face: Face, size: float, room: float) -> tuple[str, int]:
    """Return the line and size that fit into ``room`` pixels: smaller type first, then fewer letters."""
    px = round(size)
    if room <= 0.0:
        return text, px
    while px > LEAST_PX and measure(text, face, px) > room:
        px -= 1
    if measure(text, face, px) <= room:
        return text, px
    while text and measure(text + "…", face, px) > room:
        text = text[:-1]
    return text.rstrip() + "…", px


def wrapped(text: str, face: Face, size: float, room: float) -> list[str]:
    """Return the lines that a text breaks into."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and measure(longer, face, size) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
