"""The screen that asks before it tells: how do you think that went?"""

from collections.abc import Sequence

import pygame

from sim.ui.input.keys import Press
from sim.ui.paint.display import Panel
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.paint.sheet import LEAD, Sheet
from sim.ui.panels import scene_rail
from sim.ui.panels.layout import lay_out
from sim.ui.words import Catalogue

MOST = 5
ROW = 46.0


class RatingScreen:
    """Takes 0 to 5 for each phase, before any mark is shown.

    Attributes:
        ready: the person has answered, or would rather not.
    """

    def __init__(self, phases: Sequence[tuple[str, str]], title: str, palette: Palette, words: Catalogue) -> None:
        """Ask about phases, each a code and its title."""
        self.phases, self.title, self.words = phases, title, words
        self.given: dict[str, int] = {}
        self.row = 0
        self.ready = False
        self.use(palette)

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.painter = Painter(palette)

    def press(self, press: Press) -> None:
        """A key goes down."""
        code = self.phases[self.row][0]
        if press in (Press.UP, Press.DOWN):
            self.row = (self.row + (1 if press is Press.DOWN else -1)) % len(self.phases)
        elif press is Press.RIGHT:
            self.given[code] = min(self.given.get(code, -1) + 1, MOST)
        elif press is Press.LEFT:
            self.given[code] = max(self.given.get(code, 1) - 1, 0)
        elif press in (Press.ENTER, Press.ESCAPE):
            self.ready = True

    def panels(self, size: tuple[int, int]) -> list[Panel]:
        """Return the screen's panels in a window of a size."""
        layout = lay_out(size, False)
        wide, tall = layout.size
        s = Sheet("rating", (0, 0, wide, tall - layout.rail[3]), layout.unit)
        left, room = 48.0, min(s.wide - 96.0, 900.0)
        s.text("frame", left, 30, self.title, "figure", 32, room=room)
        s.text("frame", left, 84, self.words("ui.rating.ask"), "strong", 22, room=room)
        s.text("frame", left, 120, self.words("ui.rating.why"), "text", LEAD, "second", room=room)
        for k, (code, title) in enumerate(self.phases):
            y = 172 + ROW * k
            if k == self.row:
                s.box("frame", (left - 14, y - 4, room + 28, ROW - 4), "rule", "ink", 2.0, 5)
            s.text("frame", left, y + 17, title, "text", 19, "ink", "w", 0.5 * room)
            rated = self.given.get(code)
            for n in range(MOST + 1):
                x = left + 0.56 * room + 46 * n
                on = rated is not None and n == rated
                s.disc("hand", x, y + 17, 15, "ink" if on else None, "ink" if on else "second", 1.6)
                s.text("hand", x, y + 17, str(n), "figure", 18, "panel" if on else "second", "c")
        captions = (
            ("↑ ↓", self.words("ui.rating.phase")),
            ("← →", self.words("ui.rating.less_more")),
            ("Enter", self.words("ui.rating.show")),
        )
        return [s.panel(), scene_rail.caption_rail(layout, captions)]

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Draw one frame on the whole window."""
        del wall_s
        for panel in self.panels(surface.get_size()):
            surface.blit(self.painter.panel(panel), panel.rect[:2])
