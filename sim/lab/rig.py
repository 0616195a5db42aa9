"""Cases on the test rig for ground tackle: a roller towed along, or hung on a mass that is pulled; CSV and figures."""

import csv
import math
from dataclasses import dataclass, field
from pathlib import Path

from sim.base.errors import SimulationDiverged
from sim.base.units import deg
from sim.lab.tackle_rig import Reading, Rig
from sim.model import layout as lay
from sim.scenario.read.rig import Case

COLUMNS = (
    "t_s", "roller_x_m", "tension_roller_n", "horizontal_roller_n", "tension_anchor_n", "lead_angle_deg", "uplift_deg",
    "grounded_m", "anchor_x_m", "burial",
)  # fmt: skip


@dataclass
class Tally:
    """Peak, mean and root mean square of a figure, tick by tick."""

    peak: float = 0.0
    total: float = 0.0
    squares: float = 0.0
    count: int = 0

    def add(self, value: float) -> None:
        """Take one more value."""
        self.peak = max(self.peak, value)
        self.total += value
        self.squares += value * value
        self.count += 1

    def figures(self) -> dict[str, float]:
        """Return them by name."""
        n = max(self.count, 1)
        return {"peak": self.peak, "mean": self.total / n, "rms": math.sqrt(self.squares / n)}


@dataclass
class Run:
    """What a case came to: a row of ``COLUMNS`` at every sample, and figures over every tick."""

    rows: list[tuple[float, ...]] = field(default_factory=list)
    tallies: dict[str, Tally] = field(default_factory=lambda: {name: Tally() for name in COLUMNS[2:7]})

    def summary(self) -> dict[str, object]:
        """Return peak, mean and rms of what was measured, and where the anchor ended."""
        last = dict(zip(COLUMNS, self.rows[-1], strict=True))
        out: dict[str, object] = {name: tally.figures() for name, tally in self.tallies.items()}
        return out | {
            "ticks": self.tallies[COLUMNS[2]].count,
            "anchor_x_m": last["anchor_x_m"],
            "burial": last["burial"],
        }

    def write(self, path: Path) -> None:
        """Write the rows as CSV, a header first."""
        with path.open("w", newline="", encoding="utf-8") as stream:
            table = csv.writer(stream)
            table.writerow(COLUMNS)
            table.writerows([f"{value:.7g}" for value in row] for row in self.rows)


def build(case: Case) -> Rig:
    """Return the rig of a case, its rode not yet laid."""
    return Rig(case.rode, case.length_m, case.depth_m, case.roller_height_m, case.bottom, case.fixed, case.dt_s)


def run(case: Case) -> Run:
    """Run a case from rest at its first position, and return what was measured.

    Raises:
        SimulationDiverged: when a tension or a place is no longer a number.
    """
    rig, done = build(case), Run()
    x_m = 0.0
    if case.place_m is not None:
        x_m = case.place_m(0.0)
        rig.lay_to(x_m)
    elif case.force_n is not None:
        x_m = rig.start_under(case.force_n(0.0))
    every, speed, dt_s = max(round(case.every_s / case.dt_s), 1), 0.0, case.dt_s
    reading = rig.read()
    for tick in range(round(case.for_s / dt_s) + 1):
        if tick > 0:
            if case.place_m is not None:
                x_m = case.place_m(tick * dt_s)
            elif case.force_n is not None:
                # As a boat does: she moves under the pull that her rode had at the end of the last step.
                pull = case.force_n(tick * dt_s) - reading.pull_x_n - case.damping_n_s_per_m * speed
                speed += dt_s * pull / case.mass_kg
                x_m += dt_s * speed
            rig.step(x_m)
            reading = rig.read()
        _note(rig, reading, tick, tick % every == 0, done)
    return done


def _note(rig: Rig, reading: Reading, tick: int, sample: bool, done: Run) -> None:
    seen = (
        reading.tension_roller_n, reading.horizontal_roller_n, reading.tension_anchor_n, deg(reading.lead_rad),
        deg(reading.uplift_rad),
    )  # fmt: skip
    for (name, tally), value in zip(done.tallies.items(), seen, strict=True):
        if not math.isfinite(value):
            raise SimulationDiverged(tick, name, value)
        tally.add(value)
    if sample:
        where = (rig.grounded_m, float(rig.nodes[0, lay.N_NORTH]), rig.burial)
        done.rows.append((tick * rig.dt_s, float(rig.roller[0]), *seen, *where))
