"""The plan, entered on a sheet: a row chosen, its value changed; the spot is set on the chart beside it."""

import math
from dataclasses import dataclass, field

from sim.base.units import rad
from sim.core.orders import commands as cmd
from sim.helm.aids import Aids
from sim.helm.view import View
from sim.model.tackle.catenary import reach_on_bed_m
from sim.scenario.read.brief import Brief
from sim.ui.chart.scene_furniture import true_wind
from sim.ui.measures import whole
from sim.ui.words import Catalogue

# What is read of the bay: each row's answers, the first of them "not looked at".
READING: dict[str, tuple[str, ...]] = {
    "others": ("none", "wind", "stream", "mixed", "alone"),
    "stream": ("none", "slack", "with", "across", "against"),
    "gaps": ("none", "shoal", "ground", "swing", "traffic", "free"),
    "rodes": ("none", "chain", "rope", "moored", "asked"),
}
ROWS = (*READING, "spot", "depth", "rise", "rode", "astern", "lie", "escape", "abort")
ASTERN = ("none", "clear", "limit")
ABORTS = ("none", "bow", "near", "both")
STEP_M, ROSE_DEG = 5.0, 5
LEAST_RODE_M = 5.0


@dataclass
class PlanSheet:
    """The plan as it stands on the sheet.

    Attributes:
        row: the row chosen.
        spot_m: where the anchor is to go down, north and east.
        depth_m: there, now.
        rise_m: of the tide still to come; 0 until it is entered.
        chosen: the answer of each row that has a list of them.
    """

    view: View
    aids: Aids
    brief: Brief
    row: int = 0
    spot_m: tuple[float, float] = (0.0, 0.0)
    depth_m: float = 0.0
    rise_m: float = 0.0
    rode_m: float = 30.0
    lie_deg: int = 0
    escape_deg: int = 0
    chosen: dict[str, int] = field(default_factory=lambda: dict.fromkeys((*READING, "astern", "abort"), 0))

    def __post_init__(self) -> None:
        """Begin in the middle of the anchorage asked for, with what the displays say of wind and depth."""
        place = self.brief.anchorage
        self.spot_m = (place.north_m, place.east_m)
        self.depth_m = round(2.0 * self.view.readings.depth_m) / 2.0
        wind_deg = round(math.degrees(true_wind(self.view.readings)[1]) / ROSE_DEG) * ROSE_DEG % 360
        self.lie_deg = wind_deg
        self.escape_deg = (wind_deg + 180) % 360

    @property
    def name(self) -> str:
        """The row chosen."""
        return ROWS[self.row]

    def move(self, steps: int) -> None:
        """Choose another row."""
        self.row = (self.row + steps) % len(ROWS)

    def shift(self, north: int, east: int) -> None:
        """Move the spot by steps, kept on the chart."""
        low_n, high_n, low_e, high_e = self.brief.chart.extent_m
        self.spot_m = (
            min(max(self.spot_m[0] + STEP_M * north, low_n), high_n),
            min(max(self.spot_m[1] + STEP_M * east, low_e), high_e),
        )

    def change(self, steps: int) -> None:
        """Change the value of the row."""
        name = self.name
        if name in self.chosen:
            self.chosen[name] = (self.chosen[name] + steps) % len(self._answers(name))
        elif name == "spot":
            self.shift(0, steps)
        elif name == "rode":
            self.rode_m = max(LEAST_RODE_M, min(self.brief.boat.rode_m, self.rode_m + steps))
        elif name == "depth":
            self.depth_m = round(max(0.5, self.depth_m + 0.1 * steps), 1)
        elif name == "rise":
            self.rise_m = round(max(0.0, self.rise_m + 0.1 * steps), 1)
        elif name == "lie":
            self.lie_deg = (self.lie_deg + ROSE_DEG * steps) % 360
        else:
            self.escape_deg = (self.escape_deg + ROSE_DEG * steps) % 360

    @staticmethod
    def _answers(name: str) -> tuple[str, ...]:
        return {"astern": ASTERN, "abort": ABORTS}.get(name) or READING[name]

    def answer(self, name: str) -> str:
        """Return a row's answer as a key of its list."""
        return self._answers(name)[self.chosen[name]]

    def radius_m(self, rode_m: float) -> float:
        """Return the circle her stern sweeps on so much rode, by the depth entered and the fall of the tide told."""
        b = self.brief.boat
        height = max(self.depth_m - self.brief.tide.fall_m + b.roller_height_m, 1.0)
        return reach_on_bed_m(max(rode_m, height), height) + b.loa_m

    def value(self, name: str, words: Catalogue) -> str:
        """Return a row's value in words."""
        if name in self.chosen:
            return words(f"ui.sheet.{name}.{self.answer(name)}")
        if name == "spot":
            return words("ui.sheet.place", north_m=whole(self.spot_m[0]), east_m=whole(self.spot_m[1]))
        if name in ("lie", "escape"):
            return f"{self.lie_deg if name == 'lie' else self.escape_deg:03d}°"
        if name == "rode":
            return words.length("cable", self.rode_m)
        return words.length("depth", self.depth_m if name == "depth" else self.rise_m, 1)

    def rows(self, words: Catalogue) -> list[tuple[str, str]]:
        """Return each row's heading and value in words."""
        return [(words(f"ui.sheet.{name}"), self.value(name, words)) for name in ROWS]

    def command(self, words: Catalogue) -> cmd.Plan:
        """Return the plan as entered; what was not looked at is left out of the reading."""
        read = [
            f"{words(f'ui.sheet.{name}')}: {self.value(name, words)}" for name in READING if self.answer(name) != "none"
        ]
        if self.answer("astern") == "clear":
            read.append(f"{words('ui.sheet.astern')}: {self.value('astern', words)}")
        called_off = [] if self.answer("abort") == "none" else [self.value("abort", words)]
        if self.answer("astern") == "limit":
            called_off.append(self.value("astern", words))
        return cmd.Plan(
            drop_north_m=round(self.spot_m[0], 1),
            drop_east_m=round(self.spot_m[1], 1),
            rode_m=self.rode_m,
            depth_m=self.depth_m,
            high_water_m=self.rise_m,
            lie_rad=round(rad(self.lie_deg), 3),
            escape_rad=round(rad(self.escape_deg), 3),
            reading="; ".join(read),
            abort="; ".join(called_off),
        )
