"""The camera: the only place where metres north and east become pixels right and down."""

import math
from dataclasses import dataclass, replace

from sim.ui.display import Disc, Fill, Hull, Item, Mark, Point, Ring, Ripples, Stroke, Words

ZOOMS = (1.6, 2.2, 3.0, 4.2, 6.0, 8.0, 11.0, 15.0, 20.0)  # px per metre
FAR = 2.2  # before it: the bay and who lies in it
CLOSE = 6.0  # from the round-up on a metre is at least so many pixels


@dataclass(frozen=True)
class Camera:
    """Looks straight down, north up.

    Attributes:
        north_m: the place in the middle, north; ``east_m`` likewise.
        scale: px per metre.
        rect: left, top, width and height of the part of the screen [px].
    """

    north_m: float
    east_m: float
    scale: float
    rect: tuple[int, int, int, int]

    @property
    def origin(self) -> tuple[int, int]:
        """Return the whole pixel of north 0 and east 0, so that chart and boats move together."""
        left, top, wide, tall = self.rect
        x = left + 0.5 * wide - self.east_m * self.scale
        y = top + 0.5 * tall + self.north_m * self.scale
        return math.floor(x + 0.5), math.floor(y + 0.5)

    def px(self, place: Point) -> Point:
        """Return the pixel of a place (north, east)."""
        x, y = self.origin
        return x + place[1] * self.scale, y - place[0] * self.scale

    def place(self, px: Point) -> Point:
        """Return the place (north, east) of a pixel."""
        x, y = self.origin
        return (y - px[1]) / self.scale, (px[0] - x) / self.scale

    def project(self, item: Item) -> Item:
        """Return a world item as a screen item."""
        if isinstance(item, Fill | Stroke):
            return replace(item, points=tuple(self.px(p) for p in item.points))
        if isinstance(item, Ring):
            return replace(item, at=self.px(item.at), radius=item.radius * self.scale)
        if isinstance(item, Disc | Words | Hull | Mark):
            return replace(item, at=self.px(item.at))
        if isinstance(item, Ripples):
            return replace(item, spots=tuple((self.px(at), level) for at, level in item.spots))
        return item


class Follow:
    """Keeps what matters in the picture: glides after the boat, zooms in for the round-up, lets the hand overrule."""

    def __init__(self) -> None:
        """Start far out, with nothing to look at yet."""
        self.at: Point | None = None
        self.hand: int | None = None  # zoom chosen by hand

    def zoom_by(self, steps: int, now: float) -> None:
        """Zoom in or out by hand, from the zoom shown now."""
        nearest = min(range(len(ZOOMS)), key=lambda k: abs(ZOOMS[k] - now))
        self.hand = max(0, min(len(ZOOMS) - 1, nearest + steps))

    def zoom(self, close: bool, size: tuple[int, int]) -> float:
        """Return the zoom: the hand's, or far before and near after the round-up."""
        if self.hand is not None:
            return ZOOMS[self.hand]
        least = CLOSE if close else FAR
        roomy = min(size) / (86.0 if close else 235.0)  # metres that shall fit
        return max((z for z in ZOOMS if z <= roomy), default=least) if roomy >= least else least

    def look(self, wanted: Point, wall_s: float) -> Point:
        """Return the place to look at, a step nearer to what is wanted."""
        if self.at is None or math.hypot(wanted[0] - self.at[0], wanted[1] - self.at[1]) > 150.0:
            self.at = wanted
        share = 1.0 - math.exp(-wall_s / 0.8)
        self.at = (self.at[0] + share * (wanted[0] - self.at[0]), self.at[1] + share * (wanted[1] - self.at[1]))
        return self.at
