"""The screen on which a person sets the window as it suits: sizes, colours, sound, language, and every key."""

from collections.abc import Mapping

import pygame

from sim.play.hands import Act
from sim.ui import preferences
from sim.ui.input import fore_keys, keys
from sim.ui.input.fore_keys import Fore, TwoBindings
from sim.ui.input.keys import Press
from sim.ui.measures import UNITS
from sim.ui.paint.display import Panel
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.panels import scene_rail
from sim.ui.panels.layout import lay_out
from sim.ui.panels.scene_overlay import HELP
from sim.ui.preferences import COLOURS, Preferences
from sim.ui.screens import scene_settings
from sim.ui.words import Catalogue

ROWS = ("scale", "colours", "brightness", "motion", "sound", "language", "units")
# These go through every list and answer every question, so they stay where they are.
FIXED = (Press.UP, Press.DOWN, Press.LEFT, Press.RIGHT, Press.ENTER, Press.ESCAPE, Act.LOOK_LEFT, Act.LOOK_RIGHT)
BOUND: tuple[tuple[Act | Press | Fore, str], ...] = (
    *((what, line) for acts, line in HELP for what in acts if what not in FIXED),
    *((fore, fore.value) for fore in Fore),  # those of two people aboard
    (Press.REMARK, "remark"),  # those of a run looked at again
    (Press.UNDO, "undo"),
)
NAMES = {code: name for name, code in keys.PLACES.items()}


class SettingsScreen:
    """Shows the settings and takes changes; whoever opened it reads them from ``chosen`` and keeps them.

    Attributes:
        chosen: the settings as they stand.
        row: the row under the bar: settings first, then keys.
        waiting: the next key that goes down is the one for the row.
        problem: why a key was not taken, in words; empty where there is nothing to say.
        done: back to the list.
    """

    def __init__(self, chosen: Preferences, languages: Mapping[str, str], palette: Palette, words: Catalogue) -> None:
        """Take the settings as they are and the languages there are, each with its own name for itself."""
        self.chosen, self.languages, self.words = chosen, dict(languages), words
        self.row = 0
        self.waiting = self.done = False
        self.problem = ""
        self.use(palette)

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.painter = Painter(palette)

    def press(self, press: Press) -> None:
        """A key goes down."""
        self.problem = ""
        if press in (Press.UP, Press.DOWN):
            self.row = (self.row + (1 if press is Press.DOWN else -1)) % (len(ROWS) + len(BOUND))
        elif press in (Press.LEFT, Press.RIGHT) and self.row < len(ROWS):
            self._change(ROWS[self.row], 1 if press is Press.RIGHT else -1)
        elif press is Press.ENTER:
            if self.row >= len(ROWS):
                self.waiting = True
            else:
                self._change(ROWS[self.row], 1)
        elif press is Press.ABORT and self.row >= len(ROWS):
            self._bind({k: v for k, v in self.chosen.keys.items() if k != self.bound.value})
        elif press is Press.ESCAPE:
            self.done = True

    @property
    def bound(self) -> Act | Press | Fore:
        """What the key of the row does."""
        return BOUND[self.row - len(ROWS)][0]

    def key(self, scancode: int, shift: bool) -> None:
        """Take the key for the row, by its place; Escape leaves the row as it was."""
        name = NAMES.get(scancode, "")
        if name in ("lshift", "rshift"):
            return
        self.waiting = False
        if name and name != "escape":
            self._bind({**self.chosen.keys, self.bound.value: keys.SHIFT + name if shift else name})

    def _bind(self, own: dict[str, str]) -> None:
        twice = keys.clashes(own) or fore_keys.clashes(own)
        if not twice:
            self.chosen = self.chosen.model_copy(update={"keys": own})
            return
        lines = {what.value: line for what, line in BOUND}
        other = next((one for one in twice[0] if one != self.bound.value), twice[0][0])
        what = self.words(f"ui.help.{lines[other]}") if other in lines else self.words("ui.settings.lists")
        self.problem = self.words("ui.settings.taken", what=what)

    def _change(self, name: str, steps: int) -> None:
        c = self.chosen
        if name == "scale":
            self.chosen = preferences.larger(c, steps)
        elif name == "brightness":
            self.chosen = preferences.brighter(c, steps)
        elif name == "colours":
            at = (COLOURS.index(c.colours) + steps) % len(COLOURS)
            self.chosen = c.model_copy(update={"colours": COLOURS[at]})
        elif name == "units":
            at = (UNITS.index(c.units) + steps) % len(UNITS)
            self.chosen = c.model_copy(update={"units": UNITS[at]})
        elif name == "language":
            names = list(self.languages)
            at = names.index(c.language) + steps if c.language in names else 0
            self.chosen = c.model_copy(update={"language": names[at % len(names)]})
        else:
            field = {"motion": "reduced_motion", "sound": "sound"}[name]
            self.chosen = c.model_copy(update={field: not getattr(c, field)})

    def value(self, name: str) -> str:
        """Return a setting in words."""
        c, words = self.chosen, self.words
        if name in ("scale", "brightness"):
            return words("ui.settings.percent", percent=f"{100.0 * getattr(c, name):.0f}")
        if name == "colours":
            return words(f"ui.settings.colours.{c.colours}")
        if name == "units":
            return words(f"ui.settings.units.{c.units}")
        if name == "language":
            return self.languages.get(c.language, c.language)
        on = not c.reduced_motion if name == "motion" else c.sound
        return words(f"ui.settings.{name}.{'on' if on else 'off'}")

    def panels(self, size: tuple[int, int]) -> list[Panel]:
        """Return the screen's panels in a window of a size."""
        layout, words = lay_out(size, False), self.words
        bindings = TwoBindings(self.chosen.keys)
        rows = [(words(f"ui.settings.{name}"), self.value(name)) for name in ROWS]
        signs = [
            (words(f"ui.help.{line}"), bindings.plain(what), what.value in self.chosen.keys) for what, line in BOUND
        ]
        page = scene_settings.page(layout, rows, signs, self.row, self.waiting, self.problem, words)
        captions = [
            ("↑ ↓", words("ui.planning.row")),
            ("← →", words("ui.planning.change")),
            ("Enter", words("ui.settings.rebind")),
            (bindings.sign(Press.ABORT), words("ui.settings.usual")),
            ("Esc", words("ui.settings.back")),
        ]
        return [page, scene_rail.caption_rail(layout, captions)]

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Draw one frame on the whole window."""
        del wall_s
        for panel in self.panels(surface.get_size()):
            surface.blit(self.painter.panel(panel), panel.rect[:2])
