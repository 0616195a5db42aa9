"""Where lettering stands on the plan: never cut off, never half under something else, the most important first."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import pygame

from sim.ui.chart.sign_places import Way
from sim.ui.paint import fonts
from sim.ui.paint.display import Words

CASING_PX = 2
Around = Callable[[Words, tuple[int, int]], Sequence[Way]]
RANKS = ("told", "eye", "aid:ranges", "aid:circles", "brief", "display:sog", "chart")
NUDGES = ((0, 0), (0, -1), (0, 1), (0, -2), (0, 2))  # tried in turn, in heights of the line


@dataclass(frozen=True, slots=True)
class Placed:
    """A line and the pixel of its left top corner, casing included."""

    item: Words
    text: str
    size: int
    at: tuple[int, int]
    rect: tuple[int, int, int, int]


def _rank(item: Words) -> float:
    """Return how late a line is set; of the chart's own, the names of signs first."""
    rank = RANKS.index(item.source) if item.source in RANKS else len(RANKS)
    return rank + (0.5 if item.source == "chart" and not item.about else 0.0)


def box(item: Words, grow: float = 1.0) -> tuple[str, int, pygame.Rect]:
    """Return the text as it fits, its size, and the rectangle it takes, set ``grow`` times as large as it says."""
    text, size = fonts.fitted(item.text, item.face, round(item.size * grow), item.room)
    wide, tall = fonts.extent(text, item.face, size)
    halo = CASING_PX if item.cased else 0
    wide, tall = wide + 2 * halo, tall + 2 * halo
    x, y = item.at[0] + item.shift[0], item.at[1] + item.shift[1]
    x -= wide if "e" in item.anchor else 0.0 if "w" in item.anchor else 0.5 * wide
    y -= tall if "s" in item.anchor else 0.0 if "n" in item.anchor and item.anchor != "c" else 0.5 * tall
    return text, size, pygame.Rect(round(x), round(y), wide, tall)


def _beside(item: Words, rect: pygame.Rect, around: Sequence[Way]) -> Iterator[tuple[Words, pygame.Rect]]:
    """Yield the places of a sign's name, best first, each with the line in its ink."""
    for way in around:
        at = round(item.at[0] + way.at[0]), round(item.at[1] + way.at[1])
        yield replace(item, ink=way.ink), rect.move(at[0] - rect.x, at[1] - rect.y)


def place(
    items: Iterable[Words],
    area: pygame.Rect,
    taken: list[pygame.Rect],
    grow: float = 1.0,
    around: Around = lambda _item, _extent: (),
) -> list[Placed]:
    """Return the lines that find room in ``area``, clear of what is ``taken`` and of each other.

    A line whose place is in sight is moved to be whole; one that would still lie on another is moved by its height, and
    left out where that does not help. The name of a sign takes the first of its places that is free.

    Args:
        items: the lines, in pixels.
        area: what is seen.
        taken: where none shall stand.
        grow: how many times as large as they say they are set.
        around: the places of a sign's name, given the line and its width and height, best first.
    """
    out: list[Placed] = []
    busy = list(taken)
    for item in sorted(items, key=_rank):
        if not area.collidepoint(item.at):
            continue
        text, size, rect = box(item, grow)
        sides = list(_beside(item, rect, around(item, rect.size))) if item.about else []
        tries = [(line, moved) for line, moved in sides if area.contains(moved)]
        home, first = sides[0] if sides else (item, rect)
        tries += [(home, first.move(dx * rect.width, dy * (rect.height - 4)).clamp(area)) for dx, dy in NUDGES]
        for line, moved in tries:
            if moved.inflate(-2, -4).collidelist(busy) < 0:
                busy.append(moved)
                out.append(Placed(line, text, size, (moved.x, moved.y), (moved.x, moved.y, moved.w, moved.h)))
                break
    return out
