"""The confusion matrix: every canned mistake against every detector, and clean runs against all of them."""

import csv
import tempfile
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer
from rich import box
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table

from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.mistakes import table as mistakes
from sim.marking.errors.catalogue import CATALOGUE
from sim.marking.errors.found import DETECTORS
from sim.play import demo, warmup
from sim.scenario import library

CLEAN = ("lantern-pool", "lantern-pool-2", "hazel-cove")
GRAVE = 3  # an error of this weight, found in a clean run, is a false alarm that matters
EACH_RUNS = 50


@dataclass(frozen=True)
class Case:
    """One run to sail: a mistake by its code, or a clean run where ``code`` is empty."""

    code: str
    lesson: str
    seed: int
    boat: str | None = None


@dataclass(frozen=True)
class Row:
    """What the detectors made of one run: certainty by code."""

    case: Case
    found: dict[str, float]
    held: bool
    contact: bool


def cases(codes: Sequence[str], clean: Sequence[str], seeds: range, boat: str | None = None) -> list[Case]:
    """Return the runs to sail: each mistake in its own lesson, each clean lesson, over the seeds."""
    made = [mistakes.find(code) for code in codes]
    out = [Case(m.code, m.lesson, seed, boat if m.any_boat else None) for m in made for seed in seeds]
    return out + [Case("", lesson, seed, boat) for lesson in clean for seed in seeds]


def clean_lessons(asked: str) -> list[str]:
    """Return the lessons to sail cleanly that a list with commas names: ``all`` is the whole library, ``none`` none."""
    if asked == "all":
        return library.lesson_names()
    return [name for name in asked.split(",") if name not in ("", "none")]


def lesson_of(name: str) -> library.Lesson:
    """Return a lesson by its name, or by its file within the library."""
    return library.load_lesson(library.data_root() / name if name.endswith(".yaml") else name)


def one(case: Case) -> Row:
    """Sail one case and return what was found; its files are thrown away."""
    kind = mistakes.find(case.code).kind if case.code else Demonstrator
    with tempfile.TemporaryDirectory() as folder:
        marked = demo.sail(lesson_of(case.lesson), case.seed, Path(folder), case.boat, kind=kind)
    found = {e.code: e.certainty for e in marked.errors}
    return Row(case, found, marked.outcome.held, marked.outcome.contact)


def run(todo: Sequence[Case], jobs: int, done: Callable[[], None] = lambda: None) -> list[Row]:
    """Return the rows of the cases, in their order; ``done`` is called after each."""
    if jobs == 1:
        rows = []
        for case in todo:
            rows.append(one(case))
            done()
        return rows
    with ProcessPoolExecutor(max_workers=jobs) as pool:
        futures = [pool.submit(one, case) for case in todo]
        for _ in as_completed(futures):
            done()
    return [future.result() for future in futures]


def hits(rows: Sequence[Row]) -> dict[str, float]:
    """Return, for each mistake sailed, the share of its runs in which its own detector fired."""
    runs = Counter(r.case.code for r in rows if r.case.code)
    found = Counter(r.case.code for r in rows if r.case.code in r.found)
    return {code: found[code] / runs[code] for code in runs}


def false_alarms(rows: Sequence[Row]) -> list[tuple[Case, str]]:
    """Return (clean run, code) of every error of weight 3 and more found where none was made."""
    return [(r.case, code) for r in rows if not r.case.code for code in r.found if CATALOGUE[code].weight >= GRAVE]


def table(rows: Sequence[Row]) -> Table:
    """Return the matrix, one line for each mistake and each clean lesson: its own detector, and which others fired."""
    shown = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), caption=verdict(rows))
    for title in ("made", "lesson", "runs", "found", "certainty", "others that fired, in how many runs"):
        shown.add_column(title, justify="right" if title in ("runs", "found", "certainty") else "left")
    groups = dict.fromkeys((r.case.code, r.case.lesson) for r in rows)
    for code, lesson in groups:
        mine = [r for r in rows if (r.case.code, r.case.lesson) == (code, lesson)]
        own = [r.found[code] for r in mine if code in r.found]
        others = Counter(other for r in mine for other in r.found if other != code)
        words = "  ".join(f"{other} {count}" for other, count in others.most_common())
        sure = f"{sum(own) / len(own):.2f}" if own else ""
        found = str(len(own)) if code else ""
        shown.add_row(code or "clean", Path(lesson).stem, str(len(mine)), found, sure, words)
    return shown


def verdict(rows: Sequence[Row]) -> str:
    """Return the figures that count, in a line."""
    shares = hits(rows)
    clean = sum(not r.case.code for r in rows)
    alarms = false_alarms(rows)
    always = sum(share == 1.0 for share in shares.values())
    parts = [f"{always} of {len(shares)} mistakes found in every run"] if shares else []
    if clean:
        rate = EACH_RUNS * len(alarms) / clean
        false = f"{len(alarms)} false errors of weight {GRAVE} or more in {clean} clean runs"
        parts.append(f"{false}, {rate:.2f} in {EACH_RUNS}")
    return "; ".join(parts)


def write_csv(rows: Sequence[Row], path: Path) -> None:
    """Write one line a run: the mistake made, the lesson, the seed, and the certainty of every detector."""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(["made", "lesson", "seed", "held", "contact", *DETECTORS])
        for r in rows:
            cells = [f"{r.found[code]:.2f}" if code in r.found else "" for code in DETECTORS]
            writer.writerow([r.case.code, Path(r.case.lesson).stem, r.case.seed, r.held, r.contact, *cells])


def command(
    seeds: Annotated[str, typer.Option(help="first:last+1")] = "1:3",
    codes: Annotated[str, typer.Option(help="mistakes to make, such as B3,C1; all if left out, none for none")] = "",
    clean: Annotated[str, typer.Option(help="lessons to sail cleanly, all or none")] = ",".join(CLEAN),
    boat: Annotated[str | None, typer.Option(help="a different boat from the library, in every run")] = None,
    jobs: Annotated[int, typer.Option(min=1, help="processes")] = 2,
    csv_file: Annotated[Path | None, typer.Option("--csv", help="write the whole matrix to this file")] = None,
) -> None:
    """Make every typical error on purpose and see which detectors fire; sail clean and see that none does."""
    out, err = Console(), Console(stderr=True)
    try:
        first, last = (int(part) for part in seeds.split(":"))
        if not 0 <= first < last:
            raise ValueError
    except ValueError:
        raise typer.BadParameter(f"expected first:last+1, found {seeds!r}", param_hint="--seeds") from None
    named = [code for code in codes.split(",") if code not in ("", "none")]
    wanted = [mistakes.find(code).code for code in named] if codes else list(mistakes.MISTAKES)
    todo = cases(wanted, clean_lessons(clean), range(first, last), boat)
    warmup.warm_up(err.print)
    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.completed}/{task.total}"))
    with Progress(*columns, TimeRemainingColumn(), console=err) as bar:
        task = bar.add_task("sailing", total=len(todo))
        rows = run(todo, jobs, lambda: bar.advance(task))
    out.print(table(rows))
    if csv_file is not None:
        write_csv(rows, csv_file)
