"""Batches: the demonstrator over lessons and seeds, in processes, sorted by lesson and seed."""

import csv
import tempfile
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from rich import box
from rich.table import Table

from sim.marking import leave
from sim.run import demo
from sim.scenario import library


@dataclass(frozen=True)
class Row:
    """What came of one run."""

    lesson: str
    seed: int
    held: bool
    contact: bool
    drag_m: float | None
    min_gap_m: float | None
    points: float
    phases: dict[str, float]  # share of each phase's points earned
    t_s: float
    state_hash: str
    left: bool = False  # without anchoring, where that is an answer

    @property
    def good(self) -> bool:
        """Held or rightly left, touched nothing, and every phase at half its points or more."""
        return (self.held or self.left) and not self.contact and all(share >= 0.5 for share in self.phases.values())


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def one(lesson: str, seed: int, night: bool = False) -> Row:
    """Sail one case, and its night where asked, and return its row; its files are thrown away."""
    with tempfile.TemporaryDirectory() as folder:
        marked = demo.sail(library.load_lesson(lesson), seed, Path(folder), sleep=night)
    data = marked.result
    phases = data["phases"]
    return Row(
        lesson=lesson,
        seed=seed,
        held=marked.outcome.held,
        contact=marked.outcome.contact,
        drag_m=_rounded(marked.outcome.drag_m, 2),
        min_gap_m=_rounded(marked.outcome.min_gap_m, 1),
        points=round(float(data["points"]), 1),
        phases={p["code"]: round(p["points"] / p["of"], 3) for p in phases},
        t_s=data["ended"]["t_s"],
        state_hash=data["state_hash"],
        left=leave.is_answer(marked.run),
    )


def run(cases: list[tuple[str, int]], jobs: int, done: Callable[[], None], night: bool = False) -> list[Row]:
    """Return the rows of (lesson, seed) cases, sorted; ``done`` is called after each."""
    rows = []
    with ProcessPoolExecutor(max_workers=jobs) as pool:
        futures = [pool.submit(one, lesson, seed, night) for lesson, seed in cases]
        for future in as_completed(futures):
            rows.append(future.result())
            done()
    return sorted(rows, key=lambda r: (r.lesson, r.seed))


def table(rows: list[Row]) -> Table:
    """Return the rows as a table, each phase in per cent, with a last line that counts the good ones."""
    shown = Table(
        box=box.SIMPLE_HEAD,
        padding=(0, 1, 0, 0),
        caption=f"{sum(r.good for r in rows)} of {len(rows)} held, untouched, no phase under half",
    )
    codes = list(dict.fromkeys(code for r in rows for code in r.phases))
    for title in ("lesson", "seed", "held", "hit", "drag m", "gap m", "marks", *codes):
        shown.add_column(title, justify="left" if title == "lesson" else "right", no_wrap=True)
    for r in rows:
        drag, gap = ("-" if v is None else f"{v:.1f}" for v in (r.drag_m, r.min_gap_m))
        shares = [f"{100.0 * r.phases[c]:.0f}" if c in r.phases else "" for c in codes]
        yes_no = ("left" if r.left else "yes" if r.held else "NO", "YES" if r.contact else "no")
        shown.add_row(r.lesson, str(r.seed), *yes_no, drag, gap, f"{r.points:.0f}", *shares)
    return shown


def write_csv(rows: list[Row], path: Path) -> None:
    """Write the rows to a file."""
    with path.open("w", newline="", encoding="utf-8") as file:
        codes = list(dict.fromkeys(code for r in rows for code in r.phases))
        writer = csv.DictWriter(file, [f.name for f in fields(Row) if f.name != "phases"] + codes)
        writer.writeheader()
        for row in rows:
            cells = asdict(row)
            writer.writerow(cells | cells.pop("phases"))
