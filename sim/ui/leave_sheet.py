"""Leaving without anchoring, decided on a small sheet: the reason chosen, the decision given."""

from dataclasses import dataclass

from sim.core import commands as cmd
from sim.scenario.schema_lesson import REFUSALS
from sim.ui import scene_overlay
from sim.ui.display import Panel
from sim.ui.keys import Press
from sim.ui.layout import Layout
from sim.ui.sheet import BODY, LEAD
from sim.ui.words import Catalogue

ROW = 34.0


@dataclass
class LeaveSheet:
    """The reasons there are; ``row`` is the one chosen."""

    row: int = 0

    @property
    def reason(self) -> str:
        """The reason chosen, as the record keeps it."""
        return REFUSALS[self.row]

    def command(self) -> cmd.Leave:
        """Return the decision as it stands."""
        return cmd.Leave(reason=self.reason)


def sheet(layout: Layout, decision: LeaveSheet, words: Catalogue) -> Panel:
    """Return the sheet with its reasons, to lie over the sea screen."""
    s = scene_overlay.middle(layout, "overlay:leave", 600, 158 + ROW * len(REFUSALS))
    s.text("frame", 26, 18, words("ui.leave.title"), "figure", 26, room=548)
    s.text("frame", 26, 56, words("ui.leave.detail"), "text", BODY, "second", room=548)
    for k, reason in enumerate(REFUSALS):
        y = 86 + ROW * k
        chosen = k == decision.row
        if chosen:
            s.box("frame", (16, y, s.wide - 32, ROW - 4), "ink", corner=5)
            s.text("frame", s.wide - 28, y + 0.5 * ROW - 2.0, "↑ ↓", "strong", BODY, "panel", "e")
        said = words(f"refuse.{reason}")
        s.text("hand", 28, y + 0.5 * ROW - 2.0, said, "text", LEAD, "panel" if chosen else "ink", "w", 490)
    y = s.tall - 46
    for x, name, what in ((26.0, "Enter", "ui.leave.go"), (316.0, "Esc", "ui.leave.stay")):
        wide = scene_overlay.key(s, x, y, name)
        s.text("frame", x + wide + 10, y + 13, words(what), "strong", LEAD, "ink", "w", 190)
    return s.panel()


def press(decision: LeaveSheet, key: Press) -> bool:
    """Take a key of the sheet's; return whether it is put away by it."""
    if key in (Press.UP, Press.DOWN):
        decision.row = (decision.row + (1 if key is Press.DOWN else -1)) % len(REFUSALS)
    return key in (Press.ENTER, Press.ESCAPE)
