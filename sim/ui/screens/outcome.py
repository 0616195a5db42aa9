"""The screen with the result."""

import webbrowser

import pygame

from sim.play import nearby
from sim.play.attempt import Marked
from sim.ui.input.keys import Bindings, Press
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.panels import scene_rail
from sim.ui.panels.layout import lay_out
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
        for panel in (
            scene_result.result(layout, self.marked, self.title, self.words),
            scene_rail.caption_rail(layout, self.captions()),
        ):
            surface.blit(self.painter.panel(panel), panel.rect[:2])
