"""Leaving without anchoring, decided on a small sheet: the reason chosen, the decision given."""

from dataclasses import dataclass

from sim.core.orders import commands as cmd
from sim.scenario.schema.lesson import REFUSALS
from sim.ui.input.keys import Press
from sim.ui.paint.display import Panel
from sim.ui.panels import scene_overlay
from sim.ui.panels.layout import Layout
from sim.ui.words import Catalogue


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
    return scene_overlay.listed(
        layout,
        "overlay:leave",
        (words("ui.leave.title"), words("ui.leave.detail")),
        [(words(f"refuse.{reason}"), "") for reason in REFUSALS],
        decision.row,
        "↑ ↓",
        (words("ui.leave.go"), words("ui.leave.stay")),
    )


def press(decision: LeaveSheet, key: Press) -> bool:
    """Take a key of the sheet's; return whether it is put away by it."""
    if key in (Press.UP, Press.DOWN):
        decision.row = (decision.row + (1 if key is Press.DOWN else -1)) % len(REFUSALS)
    return key in (Press.ENTER, Press.ESCAPE)
