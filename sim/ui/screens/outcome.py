"""The screen with the result."""

import webbrowser

import pygame

from sim.play import nearby
from sim.play.attempt import Marked
from sim.ui.input.keys import Bindings, Press
from sim.ui.paint import vector
from sim.ui.paint.display import Panel
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.panels import scene_rail
from sim.ui.panels.layout import Layout, lay_out
from sim.ui.screens import scene_result
from sim.ui.words import Catalogue


class ResultScreen:
    """Draws a result until a key says what next.

    Attributes:
        done: back to the list.
        again: the same lesson and day once more.
        near: the same once more, from two lengths short of the drop; only where she anchored.
        replaying: the run is to be looked at again.
    """

    def __init__(
        self, marked: Marked, title: str, palette: Palette, words: Catalogue, bindings: Bindings | None = None
    ) -> None:
        """Take an attempt as marked, and the keys as bound."""
        self.bindings = bindings or Bindings()
        self.marked, self.title, self.words = marked, title, words
        self.done = self.again = self.near = self.replaying = False
        self.near_tick = nearby.near_tick(marked.run)
        cause = scene_result.first_cause(marked)
        self.cause_s = cause[0] if cause is not None else None
        self._layout: Layout | None = None
        self._panels: list[Panel] = []
        self._rect = (0, 0, 0, 0)
        self._whole: pygame.Surface | None = None
        self._fitted: pygame.Surface | None = None
        self.use(palette)

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.painter = Painter(palette)

    def press(self, press: Press) -> None:
        """A key goes down."""
        if press in (Press.ENTER, Press.ESCAPE):
            self.done = True
        elif press is Press.AGAIN:
            self.again = True
        elif press is Press.BACK_30:
            self.near = self.near_tick is not None
        elif press is Press.PAUSE:
            self.replaying = True
        elif press is Press.PAGE:
            webbrowser.open((self.marked.folder / "debrief.html").absolute().as_uri())

    def captions(self) -> list[tuple[str, str]]:
        """Return the keys that do something here, each with what it does."""
        sign = self.bindings.sign
        near = [(sign(Press.BACK_30), self.words("ui.result.near"))] if self.near_tick is not None else []
        return [
            ("Enter", self.words("ui.result.list")),
            (sign(Press.AGAIN), self.words("ui.result.again_key")),
            *near,
            (scene_rail.pause_sign(self.bindings, self.words), self.words("ui.result.replay")),
            (sign(Press.PAGE), self.words("ui.result.open")),
        ]

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Draw one frame on the whole window."""
        del wall_s
        layout = lay_out(surface.get_size(), False)
        if layout != self._layout:
            self._layout, self._panels = layout, self.panels(layout)
            self._rect = scene_result.picture_rect(layout, self.marked)
        for panel in self._panels:
            surface.blit(self.painter.panel(panel), panel.rect[:2])
        left, top, wide, tall = self._rect
        picture = self._plan(wide, tall)
        surface.blit(picture, (left, top))

    def panels(self, layout: Layout) -> list[Panel]:
        """Return the screen's panels for a layout; nothing on them changes while it stands."""
        return [
            scene_result.result(layout, self.marked, self.title, self.words),
            scene_rail.caption_rail(layout, self.captions(), self.words("ui.caution.short")),
        ]

    def _plan(self, wide: int, tall: int) -> pygame.Surface:
        """Return the plan as large as fits, drawn once a run and scaled once a size of window."""
        if self._whole is None:
            self._whole = vector.drawn(scene_result.plan(self.marked, self.words))
        size = (max(wide, 1), max(tall, 1))
        if self._fitted is None or self._fitted.get_size() != size:
            self._fitted = pygame.transform.smoothscale(self._whole, size)
        return self._fitted
