"""The camera: the only place where metres north and east become pixels right and down."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from sim.base.frames import wrap_pi
from sim.ui.paint.display import Disc, Fill, Glow, Hatch, Hull, Item, Mark, Point, Ring, Ripples, Stroke, Words

ZOOMS = (1.6, 2.2, 3.0, 4.2, 6.0, 8.0, 11.0, 15.0, 20.0)  # px per metre
FAR = 2.2  # before it: the bay and who lies in it
CLOSE = 6.0  # from the round-up on a metre is at least so many pixels
TURN_RAD = math.radians(3.0)  # head up, the plan turns by whole steps, so that it can be kept


@dataclass(frozen=True)
class Camera:
    """Looks straight down.

    Attributes:
        north_m: the place in the middle, north; ``east_m`` likewise.
        scale: px per metre.
        rect: left, top, width and height of the part of the screen [px].
        up_rad: the bearing that is up; 0 for north.
    """

    north_m: float
    east_m: float
    scale: float
    rect: tuple[int, int, int, int]
    up_rad: float = 0.0

    @cached_property
    def _turn(self) -> tuple[float, float]:
        return math.cos(self.up_rad) * self.scale, math.sin(self.up_rad) * self.scale

    @cached_property
    def origin(self) -> tuple[int, int]:
        """Return the whole pixel of north 0 and east 0, so that chart and boats move together."""
        left, top, wide, tall = self.rect
        c, s = self._turn
        x = left + 0.5 * wide - self.east_m * c + self.north_m * s
        y = top + 0.5 * tall + self.north_m * c + self.east_m * s
        return math.floor(x + 0.5), math.floor(y + 0.5)

    def px(self, place: Point) -> Point:
        """Return the pixel of a place (north, east)."""
        x, y = self.origin
        c, s = self._turn
        n, e = place
        return x + e * c - n * s, y - n * c - e * s

    def place(self, px: Point) -> Point:
        """Return the place (north, east) of a pixel."""
        x, y = self.origin
        c, s = self._turn
        right, down = px[0] - x, px[1] - y
        square = self.scale * self.scale
        return (-down * c - right * s) / square, (right * c - down * s) / square

    def reach_m(self) -> float:
        """Return how far from the middle a corner of the picture lies [m]."""
        return 0.5 * math.hypot(self.rect[2], self.rect[3]) / self.scale

    def project(self, item: Item) -> Item:
        """Return a world item as a screen item."""
        px, k = self.px, self.scale
        if isinstance(item, Disc):
            return Disc(item.source, px(item.at), item.radius, item.ink, item.edge, item.width)
        if isinstance(item, Stroke):
            points = tuple([px(p) for p in item.points])
            return Stroke(item.source, points, item.ink, item.width, item.dash, item.cased, item.closed)
        if isinstance(item, Ring):
            return Ring(item.source, px(item.at), item.radius * k, item.ink, item.style)
        if isinstance(item, Fill):
            return Fill(item.source, tuple([px(p) for p in item.points]), item.ink, item.edge, item.width)
        if isinstance(item, Words):
            shift = (item.shift[0], item.shift[1] + item.clear * k)
            return Words(
                item.source, px(item.at), item.text, item.face, item.size, item.ink, item.anchor, item.cased,
                item.room, shift, about=item.about,
            )  # fmt: skip
        if isinstance(item, Hull):
            return Hull(item.source, px(item.at), item.heading_rad - self.up_rad, item.shape)
        if isinstance(item, Mark):
            return Mark(item.source, px(item.at), item.name, item.ink, item.size)
        if isinstance(item, Hatch):
            return Hatch(item.source, tuple([px(p) for p in item.points]), item.ink)
        if isinstance(item, Glow):
            return Glow(item.source, px(item.at), item.radius * k, item.ink)
        if isinstance(item, Ripples):
            spots = tuple([(px(at), level) for at, level in item.spots])
            return Ripples(item.source, spots, item.from_rad - self.up_rad)
        return item

    def sees(self, at: Point, beyond_px: float = 0.0) -> bool:
        """Return whether a place lies in the picture, or so near to its edge."""
        x, y = self.px(at)
        left, top, wide, tall = self.rect
        return left - beyond_px <= x <= left + wide + beyond_px and top - beyond_px <= y <= top + tall + beyond_px


class Follow:
    """Keeps what matters in the picture: glides after the boat, zooms in for the round-up, lets the hand overrule.

    Attributes:
        at: the place looked at.
        hand: zoom chosen by hand, None for its own.
        pan_m: how far the hand has moved the picture, north and east.
        head_up: whether her heading is up instead of north.
        still: jump instead of gliding, for whoever wants less motion.
    """

    def __init__(self) -> None:
        """Start far out, with nothing to look at yet."""
        self.at: Point | None = None
        self.hand: int | None = None
        self.pan_m: Point = (0.0, 0.0)
        self.head_up = False
        self.still = False
        self._up_rad = 0.0

    def zoom_by(self, steps: int, now: float) -> None:
        """Zoom in or out by hand, from the zoom shown now."""
        nearest = min(range(len(ZOOMS)), key=lambda k: abs(ZOOMS[k] - now))
        self.hand = max(0, min(len(ZOOMS) - 1, nearest + steps))

    def pan_by(self, north_m: float, east_m: float) -> None:
        """Move the picture by hand."""
        self.pan_m = (self.pan_m[0] + north_m, self.pan_m[1] + east_m)

    def own(self) -> None:
        """Let go of zoom and picture: it follows her again."""
        self.hand, self.pan_m = None, (0.0, 0.0)

    def zoom(self, close: bool, size: tuple[int, int]) -> float:
        """Return the zoom: the hand's, or far before and near after the round-up."""
        if self.hand is not None:
            return ZOOMS[self.hand]
        least = CLOSE if close else FAR
        roomy = min(size) / (86.0 if close else 235.0)  # metres that shall fit
        return max((z for z in ZOOMS if z <= roomy), default=least) if roomy >= least else least

    def look(self, wanted: Point, wall_s: float) -> Point:
        """Return the place to look at, a step nearer to what is wanted, and moved by the hand."""
        far = self.at is not None and math.hypot(wanted[0] - self.at[0], wanted[1] - self.at[1]) > 150.0
        if self.at is None or far:
            self.at = wanted
        if self.still:  # only when she is about to leave the middle
            if math.hypot(wanted[0] - self.at[0], wanted[1] - self.at[1]) > 12.0:
                self.at = wanted
        else:
            share = 1.0 - math.exp(-wall_s / 0.8)
            self.at = (self.at[0] + share * (wanted[0] - self.at[0]), self.at[1] + share * (wanted[1] - self.at[1]))
        return self.at[0] + self.pan_m[0], self.at[1] + self.pan_m[1]

    def up(self, heading_rad: float) -> float:
        """Return the bearing that is up: north, or her heading to the nearest step, without flutter between two."""
        if not self.head_up:
            return 0.0
        if abs(wrap_pi(heading_rad - self._up_rad)) > 0.75 * TURN_RAD:
            self._up_rad = round(heading_rad / TURN_RAD) * TURN_RAD % (2.0 * math.pi)
        return self._up_rad


def in_sight(camera: Camera, items: Iterable[Item]) -> list[Item]:
    """Return the lettering and signs among items that stand in the picture."""
    return [item for item in items if isinstance(item, Words | Mark) and camera.sees(item.at, 80.0)]
