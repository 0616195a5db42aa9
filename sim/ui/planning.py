"""The plan, entered with four keys: a row chosen, its value changed."""

import math
from dataclasses import dataclass

from sim.base.frames import to_world
from sim.base.units import rad
from sim.core import commands as cmd
from sim.helm.aids import Aids
from sim.helm.view import View
from sim.scenario.brief import Brief
from sim.ui.scene_furniture import true_wind
from sim.ui.words import Catalogue

ROWS = ("drop", "rode", "depth", "rise", "lie", "reading", "escape", "abort")
READINGS = ("none", "wind", "mixed", "alone")
ABORTS = ("none", "bow", "near", "both")
AHEAD_STEP_M, MOST_AHEAD_M = 5.0, 150.0


@dataclass
class PlanSheet:
    """The plan as it stands on the sheet.

    Attributes:
        row: the row chosen.
        ahead_m: the drop ahead of the bow, along her heading.
    """

    view: View
    aids: Aids
    brief: Brief
    row: int = 0
    ahead_m: float = 0.0
    rode_m: float = 30.0
    depth_m: float = 0.0
    rise_m: float = 0.0
    lie_deg: int = 0
    reading: int = 0
    escape_deg: int = 0
    abort: int = 0

    def __post_init__(self) -> None:
        """Fill in what the displays and the tide table say."""
        self.depth_m = round(self.view.readings.depth_m, 1)
        wind_deg = round(math.degrees(true_wind(self.view.readings)[1]) / 5.0) * 5 % 360
        self.lie_deg = wind_deg
        self.escape_deg = (wind_deg + 180) % 360

    def move(self, steps: int) -> None:
        """Choose another row."""
        self.row = (self.row + steps) % len(ROWS)

    def change(self, steps: int) -> None:
        """Change the value of the row."""
        name = ROWS[self.row]
        if name == "drop":
            self.ahead_m = max(0.0, min(MOST_AHEAD_M, self.ahead_m + AHEAD_STEP_M * steps))
        elif name == "rode":
            self.rode_m = max(5.0, min(self.brief.boat.chain_m, self.rode_m + steps))
        elif name == "depth":
            self.depth_m = round(max(0.5, self.depth_m + 0.1 * steps), 1)
        elif name == "rise":
            self.rise_m = round(max(0.0, self.rise_m + 0.1 * steps), 1)
        elif name == "lie":
            self.lie_deg = (self.lie_deg + 5 * steps) % 360
        elif name == "escape":
            self.escape_deg = (self.escape_deg + 5 * steps) % 360
        elif name == "reading":
            self.reading = (self.reading + steps) % len(READINGS)
        else:
            self.abort = (self.abort + steps) % len(ABORTS)

    def rows(self, words: Catalogue) -> list[tuple[str, str]]:
        """Return each row's heading and value in words."""
        drop = words("ui.sheet.here") if self.ahead_m == 0.0 else words("ui.sheet.ahead", ahead_m=f"{self.ahead_m:.0f}")
        values = (
            drop,
            words("ui.metres", length_m=f"{self.rode_m:.0f}"),
            words("ui.metres", length_m=f"{self.depth_m:.1f}"),
            words("ui.metres", length_m=f"{self.rise_m:.1f}"),
            f"{self.lie_deg:03d}°",
            words(f"ui.sheet.reading.{READINGS[self.reading]}"),
            f"{self.escape_deg:03d}°",
            words(f"ui.sheet.abort.{ABORTS[self.abort]}"),
        )
        return [(words(f"ui.sheet.{name}"), value) for name, value in zip(ROWS, values, strict=True)]

    def command(self, words: Catalogue) -> cmd.Plan:
        """Return the plan as entered."""
        dn, de = to_world(self.ahead_m, 0.0, self.view.readings.heading_rad)
        reading, abort = READINGS[self.reading], ABORTS[self.abort]
        return cmd.Plan(
            drop_north_m=round(self.aids.roller_m[0] + dn, 1),
            drop_east_m=round(self.aids.roller_m[1] + de, 1),
            rode_m=self.rode_m,
            depth_m=self.depth_m,
            high_water_m=self.rise_m,
            lie_rad=round(rad(self.lie_deg), 3),
            escape_rad=round(rad(self.escape_deg), 3),
            reading="" if reading == "none" else words(f"ui.sheet.reading.{reading}"),
            abort="" if abort == "none" else words(f"ui.sheet.abort.{abort}"),
        )
