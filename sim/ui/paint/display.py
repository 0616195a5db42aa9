"""The display list: what is drawn, as plain data.

Scenes are built by pure functions and painted elsewhere, so that a test can read what is shown. Every item names its
``source``: the knowledge it shows.

    chart, brief          what any trainee has on paper
    eye                   what can be seen from aboard: own place and heading, other boats, landmarks
    display:NAME          a reading: sog, heading, wind, depth, counter, engine, rudder, clock
    hand                  levers, brake, stopper: known to whoever works them
    told                  the foredeck's calls, answers to acts, what happens in plain sight
    aid:NAME              granted by the lesson
    frame                 panels, labels, keys

In a world scene points are metres north and east and radii metres; in a screen scene all are pixels, x to the right and
y down. Widths, dashes and sizes of type are pixels in both.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from sim.ui.paint.palette import Ink

Point = tuple[float, float]
Anchor = Literal["nw", "n", "ne", "w", "c", "e", "sw", "s", "se"]
Face = Literal["figure", "label", "text", "strong"]
MarkName = Literal[
    "beacon", "tower", "house", "trees", "belfry", "post", "buoy", "rock_mark",
    "weed", "rock", "sand", "stones", "cross", "anchor_mark", "obstruction",
]  # fmt: skip
LEAST_PX = 14.0  # no type is smaller


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled polygon."""

    source: str
    points: tuple[Point, ...]
    ink: Ink | Literal["land"] | None
    edge: Ink | None = None
    width: float = 1.0


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line, dashed where ``dash`` gives lengths on and off, with a casing where it crosses water."""

    source: str
    points: tuple[Point, ...]
    ink: Ink
    width: float = 1.5
    dash: tuple[float, float] | None = None
    cased: bool = False
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Disc:
    """A small round thing; its radius is pixels in world scenes too."""

    source: str
    at: Point
    radius: float
    ink: Ink | None
    edge: Ink | None = None
    width: float = 1.5


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle drawn as dots or dashes; its radius is metres in world scenes."""

    source: str
    at: Point
    radius: float
    ink: Ink
    style: Literal["dots", "dashes"] = "dots"


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text; longer than ``room`` it is set smaller, then cut."""

    source: str
    at: Point
    text: str
    face: Face
    size: float
    ink: Ink
    anchor: Anchor = "nw"
    cased: bool = False
    room: float = 0.0
    shift: Point = (0.0, 0.0)  # pixels
    clear: float = 0.0  # how far below its place it stands besides, in metres in a world scene
    about: float = 0.0  # the name of a sign so many pixels large: stands beside it on whichever side is best


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of pixels: left, top, width, height."""

    source: str
    rect: tuple[float, float, float, float]
    ink: Ink | None
    edge: Ink | None = None
    width: float = 1.5
    round: float = 0.0


@dataclass(frozen=True, slots=True)
class Hull:
    """A boat from above, by the number of her shape; 0 is the own boat."""

    source: str
    at: Point
    heading_rad: float
    shape: int


@dataclass(frozen=True, slots=True)
class Mark:
    """A small sign of fixed size."""

    source: str
    at: Point
    name: MarkName
    ink: Ink
    size: float = 10.0


@dataclass(frozen=True, slots=True)
class Ripples:
    """Small waves across the wind, each with its strength from 1 to 3."""

    source: str
    spots: tuple[tuple[Point, int], ...]
    from_rad: float


@dataclass(frozen=True, slots=True)
class Hatch:
    """A convex area under slanting lines."""

    source: str
    points: tuple[Point, ...]
    ink: Ink


@dataclass(frozen=True, slots=True)
class Glow:
    """Light that falls off from a place; its radius is metres in world scenes."""

    source: str
    at: Point
    radius: float
    ink: Ink


Item = Fill | Stroke | Disc | Ring | Words | Box | Hull | Mark | Ripples | Hatch | Glow


@dataclass(frozen=True, slots=True)
class Panel:
    """A part of the screen painted on its own and only when it changes."""

    name: str
    rect: tuple[int, int, int, int]
    items: tuple[Item, ...]
    ground: Ink = "panel"


def texts(items: Sequence[Item]) -> list[str]:
    """Return every line of text among items, in order."""
    return [item.text for item in items if isinstance(item, Words)]


def sources(items: Sequence[Item]) -> set[str]:
    """Return what knowledge the items show."""
    return {item.source for item in items}
