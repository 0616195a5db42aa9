"""A sheet of paper to set a panel on: units instead of pixels, so that it reads alike in every window."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from sim.ui.paint import fonts
from sim.ui.paint.display import (
    LEAST_PX,
    Anchor,
    Box,
    Disc,
    Face,
    Fill,
    Item,
    Mark,
    MarkName,
    Panel,
    Point,
    Stroke,
    Words,
)
from sim.ui.paint.palette import Ink
from sim.ui.panels.layout import Rect

LABEL, BODY, LEAD = 14.0, 15.0, 17.0
SMALL_FIGURE, FIGURE, GREAT = 19.0, 30.0, 54.0


@dataclass
class Sheet:
    """Collects the items of one panel; places are units from its left top corner."""

    name: str
    rect: Rect
    unit: float
    ground: Ink = "panel"
    items: list[Item] = field(default_factory=list)

    @property
    def wide(self) -> float:
        """Width in units."""
        return self.rect[2] / self.unit

    @property
    def tall(self) -> float:
        """Height in units."""
        return self.rect[3] / self.unit

    def px(self, x: float, y: float) -> Point:
        """Return a place in pixels."""
        return x * self.unit, y * self.unit

    def size(self, size: float) -> float:
        """Return a size of type in pixels."""
        return max(LEAST_PX, size * self.unit)

    def text(
        self,
        source: str,
        x: float,
        y: float,
        text: str,
        face: Face = "text",
        size: float = BODY,
        ink: Ink = "ink",
        anchor: Anchor = "nw",
        room: float = 0.0,
    ) -> None:
        """Set a line of text."""
        at = self.px(x, y)
        self.items.append(Words(source, at, text, face, self.size(size), ink, anchor, room=room * self.unit))

    def figure(
        self, source: str, x: float, y: float, figure: str, size: float, unit: str, room: float, ink: Ink = "ink"
    ) -> None:
        """Set a figure and, on its baseline behind it, its unit within ``room``."""
        self.text(source, x, y, figure, "figure", size, ink)
        px, small = self.size(size), self.size(LEAD)
        drop = (fonts.ascent("figure", px) - fonts.ascent("label", small)) / self.unit
        wide = fonts.measure(figure, "figure", px) / self.unit
        self.text(source, x + wide + 6.0, y + drop, unit, "label", LEAD, "second", room=room)

    def label(self, x: float, y: float, text: str, room: float = 0.0) -> None:
        """Set a heading over a figure."""
        self.text("frame", x, y, text.upper(), "label", LABEL, "second", room=room)

    def rule(self, y: float, ink: Ink = "rule", width: float = 1.0, margin: float = 18.0) -> None:
        """Draw a line across."""
        self.line("frame", [(margin, y), (self.wide - margin, y)], ink, width)

    def line(
        self,
        source: str,
        points: Sequence[Point],
        ink: Ink = "ink",
        width: float = 1.5,
        dash: tuple[float, float] | None = None,
        closed: bool = False,
    ) -> None:
        """Draw a line."""
        px = tuple(self.px(*p) for p in points)
        self.items.append(Stroke(source, px, ink, width * self.unit, dash, closed=closed))

    def fill(self, source: str, points: Sequence[Point], ink: Ink, edge: Ink | None = None) -> None:
        """Fill a polygon."""
        self.items.append(Fill(source, tuple(self.px(*p) for p in points), ink, edge, self.unit))

    def disc(
        self,
        source: str,
        x: float,
        y: float,
        radius: float,
        ink: Ink | None,
        edge: Ink | None = None,
        width: float = 1.5,
    ) -> None:
        """Draw something round."""
        self.items.append(Disc(source, self.px(x, y), radius * self.unit, ink, edge, width * self.unit))

    def box(
        self,
        source: str,
        rect: tuple[float, float, float, float],
        ink: Ink | None,
        edge: Ink | None = None,
        width: float = 1.5,
        corner: float = 0.0,
    ) -> None:
        """Draw a rectangle."""
        x, y, w, h = (v * self.unit for v in rect)
        self.items.append(Box(source, (x, y, w, h), ink, edge, width * self.unit, corner * self.unit))

    def mark(self, source: str, x: float, y: float, name: MarkName, ink: Ink, size: float) -> None:
        """Draw a sign."""
        self.items.append(Mark(source, self.px(x, y), name, ink, size * self.unit))

    def panel(self) -> Panel:
        """Return the panel as set."""
        return Panel(self.name, self.rect, tuple(self.items), self.ground)
