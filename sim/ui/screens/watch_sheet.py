"""What the watch is to call for, entered on a small sheet: a row chosen, its figure changed, 0 leaves it out."""

from dataclasses import dataclass, field

from sim.base.units import mps, rad
from sim.core.orders import commands as cmd
from sim.ui.input.keys import Press
from sim.ui.paint.display import Panel
from sim.ui.panels import scene_overlay
from sim.ui.panels.layout import Layout
from sim.ui.words import Catalogue

# row: how far a press goes, the least that is ordered, the most
STEPS = {"drag": (1, 3, 60), "wind": (2, 10, 60), "shift": (10, 20, 180), "near": (1, 3, 60)}
ROWS = tuple(STEPS)


@dataclass
class WatchSheet:
    """The watch's orders as they stand on the sheet.

    Attributes:
        row: the row chosen.
        wanted: by row, in metres, knots or degrees; 0 leaves it out.
        marked: whether the anchor has a mark, without which nobody can watch how far she is from it.
    """

    wanted: dict[str, int] = field(default_factory=lambda: dict.fromkeys(ROWS, 0))
    marked: bool = True
    row: int = 0

    def move(self, steps: int) -> None:
        """Choose another row."""
        self.row = (self.row + steps) % len(ROWS)

    def change(self, steps: int) -> None:
        """Change the figure of the row; below the least that makes sense it is left out."""
        name = ROWS[self.row]
        if name == "drag" and not self.marked:
            return
        step, least, most = STEPS[name]
        now = self.wanted[name]
        if now == 0:
            self.wanted[name] = least if steps > 0 else 0
        else:
            wanted = now + step * steps
            self.wanted[name] = min(wanted, most) if wanted >= least else 0

    def command(self) -> cmd.WatchOrders:
        """Return the orders as they stand."""
        w = self.wanted
        return cmd.WatchOrders(
            drag_m=float(w["drag"]) if self.marked else 0.0,
            wind_mps=round(mps(w["wind"]), 2),
            shift_rad=round(rad(w["shift"]), 4),
            near_m=float(w["near"]),
        )

    def value(self, name: str, words: Catalogue) -> str:
        """Return a row's figure in words."""
        if name == "drag" and not self.marked:
            return words("ui.watch.unmarked")
        figure = self.wanted[name]
        return words(f"ui.watch.{name}.is", figure=figure, figure_m=figure) if figure else words("ui.watch.off")


def sheet(layout: Layout, orders: WatchSheet, words: Catalogue) -> Panel:
    """Return the sheet with its rows, to lie over the sea screen."""
    return scene_overlay.listed(
        layout,
        "overlay:watch",
        (words("ui.watch.title"), words("ui.watch.detail")),
        [(words(f"ui.watch.{name}"), orders.value(name, words)) for name in ROWS],
        orders.row,
        "← →",
        (words("ui.watch.order"), words("ui.watch.leave")),
    )


def press(orders: WatchSheet, key: Press) -> bool:
    """Take a key of the sheet's; return whether it is put away by it."""
    if key in (Press.UP, Press.DOWN):
        orders.move(1 if key is Press.DOWN else -1)
    elif key in (Press.LEFT, Press.RIGHT):
        orders.change(1 if key is Press.RIGHT else -1)
    return key in (Press.ENTER, Press.ESCAPE, Press.WATCH)
