"""Batches: the demonstrator over lessons and seeds, in processes, sorted by lesson and seed."""

import csv
import tempfile
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any

from rich import box
from rich.table import Table

from sim.base.errors import ScenarioError
from sim.marking.phases import leave
from sim.play import demo
from sim.scenario import library

GRAVE = 3  # errors of this weight and more are told
EDGES = 2  # letters of a table that are no column's
# What a narrow table does without, in order; the phases have the titles that a profile gives them.
DROPPED = (("lesson", {"lesson"}), ("drag", {"drag m"}), ("gap", {"gap m"}), ("hit", {"hit"}), ("phases", set[str]()))


@dataclass(frozen=True)
class Row:
    """What came of one run.

    Attributes:
        passed: the lesson's own verdict: marks, goals, no critical fail.
        phases: share of each phase's points earned.
        left: she left without anchoring, where that is an answer.
        missed: goals not reached, by measure.
        errors: codes of the grave errors found.
        worst: the measure that cost most, the points it cost, and when.
    """

    lesson: str
    seed: int
    held: bool
    contact: bool
    drag_m: float | None
    min_gap_m: float | None
    points: float
    phases: dict[str, float]
    t_s: float
    state_hash: str
    left: bool = False
    passed: bool = True
    missed: str = ""
    errors: str = ""
    worst: str = ""
    worst_lost: float = 0.0
    worst_s: float = 0.0

    @property
    def good(self) -> bool:
        """Passed, held or rightly left, and touched nothing."""
        return self.passed and (self.held or self.left) and not self.contact


def _rounded(value: float | None, digits: int) -> float | None:
    return None if value is None else round(value, digits)


def _worst(data: dict[str, Any]) -> tuple[str, float, float]:
    """Return the measure of a result that cost most, the points lost by it, and when; empty where none cost any."""
    lost = [(m["of"] - m["points"], m["name"], m["from_s"]) for p in data["phases"] for m in p["measures"]]
    most, name, at_s = max(lost, default=(0.0, "", 0.0))
    return (name, round(most, 2), round(at_s, 1)) if most > 0.0 else ("", 0.0, 0.0)


def one(lesson: str, seed: int, night: bool = False) -> Row:
    """Sail one case and return its row, its night where asked or where she is to weigh after it; no file is kept."""
    read = library.load_lesson(lesson)
    night = night or read.brief.departure_s is not None
    with tempfile.TemporaryDirectory() as folder:
        marked = demo.sail(read, seed, Path(folder), sleep=night)
    data = marked.result
    worst, worst_lost, worst_s = _worst(data)
    return Row(
        lesson=lesson,
        seed=seed,
        held=marked.outcome.held,
        contact=marked.outcome.contact,
        drag_m=_rounded(marked.outcome.drag_m, 2),
        min_gap_m=_rounded(marked.outcome.min_gap_m, 1),
        points=round(float(data["points"]), 1),
        phases={p["code"]: round(p["points"] / p["of"], 3) for p in data["phases"]},
        t_s=data["ended"]["t_s"],
        state_hash=data["state_hash"],
        left=leave.is_answer(marked.run),
        passed=bool(data["passed"]),
        missed=" ".join(goal["measure"] for goal in data["goals"] if not goal["met"]),
        errors=" ".join(e["code"] for e in data["errors"] if e["weight"] >= GRAVE),
        worst=worst,
        worst_lost=worst_lost,
        worst_s=worst_s,
    )


def run(
    cases: Sequence[tuple[str, int]], jobs: int, done: Callable[[Row], None] = lambda row: None, night: bool = False
) -> list[Row]:
    """Return the rows of (lesson, seed) cases, sorted; ``done`` is called with each as it comes."""
    rows = []
    with ProcessPoolExecutor(max_workers=jobs) as pool:
        futures = [pool.submit(one, lesson, seed, night) for lesson, seed in cases]
        try:
            for future in as_completed(futures):
                rows.append(future.result())
                done(rows[-1])
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise
    return sorted(rows, key=lambda r: (r.lesson, r.seed))


def table(rows: list[Row], width: int = 80) -> Table:
    """Return the rows as a table, each phase in per cent, with a last line that counts the good ones.

    What does not fit into ``width`` letters is left out, and said to be: the name of the one lesson, how far she
    dragged, the least gap, whether she touched, then the phases.
    """
    good = f"{sum(r.good for r in rows)} of {len(rows)} passed, held or rightly left, untouched"
    columns, left_out = _fitting(rows, width)
    if "lesson" in left_out:
        good = f"{rows[0].lesson}: {good}"
    if told := [name for name in left_out if name != "lesson"]:
        good += f"; no room for {', '.join(told)}"
    shown = Table(box=box.SIMPLE_HEAD, padding=0, caption=good)
    for title in columns:
        shown.add_column(title, justify="left" if title == "lesson" else "right", no_wrap=True)
    for cells in zip(*columns.values(), strict=True):
        shown.add_row(*cells)
    return shown


def _fitting(rows: list[Row], width: int) -> tuple[dict[str, list[str]], list[str]]:
    """Return the columns by their titles, as many as there is room for, and the names of those there is none for."""
    columns = _columns(rows)
    phases = {code for r in rows for code in r.phases}
    one = len({r.lesson for r in rows}) == 1
    left_out: list[str] = []
    for name, titles in DROPPED if one else DROPPED[1:]:
        if sum(1 + max(map(len, [title, *cells])) for title, cells in columns.items()) + EDGES <= width:
            break
        left_out.append(name)
        columns = {title: cells for title, cells in columns.items() if title not in (titles or phases)}
    return columns, left_out


def _columns(rows: list[Row]) -> dict[str, list[str]]:
    """Return the cells of every column by its title."""
    columns = {
        "lesson": [r.lesson for r in rows],
        "seed": [str(r.seed) for r in rows],
        "passed": ["yes" if r.good else "NO" for r in rows],
        "held": ["left" if r.left else "yes" if r.held else "NO" for r in rows],
        "hit": ["YES" if r.contact else "no" for r in rows],
        "drag m": ["-" if r.drag_m is None else f"{r.drag_m:.1f}" for r in rows],
        "gap m": ["-" if r.min_gap_m is None else f"{r.min_gap_m:.1f}" for r in rows],
        "marks": [f"{r.points:.0f}" for r in rows],
    }
    codes = dict.fromkeys(code for r in rows for code in r.phases)
    return columns | {c: [f"{100.0 * r.phases[c]:.0f}" if c in r.phases else "" for r in rows] for c in codes}


def write_csv(rows: Sequence[Row], path: Path) -> None:
    """Write the rows to a file."""
    with path.open("w", newline="", encoding="utf-8") as file:
        codes = list(dict.fromkeys(code for r in rows for code in r.phases))
        writer = csv.DictWriter(file, [f.name for f in fields(Row) if f.name != "phases"] + codes)
        writer.writeheader()
        for row in rows:
            cells = asdict(row)
            writer.writerow(cells | cells.pop("phases"))


def read_csv(path: Path) -> list[Row]:
    """Return the rows that ``write_csv`` wrote.

    Raises:
        ScenarioError: the file is no such table.
    """
    kinds = {f.name: f.type for f in fields(Row) if f.name != "phases"}
    with path.open(newline="", encoding="utf-8") as file:
        table_ = csv.DictReader(file)
        missing = sorted(set(kinds) - set(table_.fieldnames or ()))
        if missing:
            raise ScenarioError(str(path), 1, missing[0], "a column of a table of trials", "none")
        try:
            return [_row(cells, kinds) for cells in table_]
        except (KeyError, TypeError, ValueError) as bad:
            raise ScenarioError(str(path), table_.line_num, "", "a row of a table of trials", str(bad)) from None


def _row(cells: dict[str, str], kinds: dict[str, Any]) -> Row:
    read: dict[Any, Callable[[str], Any]] = {
        str: str,
        int: int,
        float: float,
        bool: lambda text: {"True": True, "False": False}[text],
        float | None: lambda text: None if text == "" else float(text),
    }
    values = {name: read[kind](cells[name]) for name, kind in kinds.items()}
    phases = {code: float(share) for code, share in cells.items() if code not in kinds and share}
    return Row(**values, phases=phases)
