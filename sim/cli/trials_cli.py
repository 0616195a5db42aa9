"""The demonstrator's trials on the command line: a bar, a table, rows on disk, and going on where it was broken off."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

from sim.play import warmup
from sim.scenario import library

MANY = 40  # runs; of more, each lesson has one line
out = Console()
err = Console(stderr=True)


def _range(seeds: str) -> range:
    try:
        first, last = (int(part) for part in seeds.split(":"))
        if not 0 <= first < last:
            raise ValueError
    except ValueError:
        raise typer.BadParameter(
            f"expected first:last+1, such as 1:11, found {seeds!r}", param_hint="--seeds"
        ) from None
    return range(first, last)


def trials(
    lessons: Annotated[list[str] | None, typer.Argument(help="lessons, by name or by file")] = None,
    seeds: Annotated[str, typer.Option(help="first:last+1")] = "1:11",
    jobs: Annotated[int, typer.Option(min=1, help="processes")] = 2,
    csv: Annotated[Path | None, typer.Option(help="write the rows to this file as they finish")] = None,
    night: Annotated[bool, typer.Option("--night", help="run through every night as well")] = False,
    every: Annotated[bool, typer.Option("--all", help="every lesson of the library")] = False,
    resume: Annotated[bool, typer.Option("--resume", help="keep the rows already in the --csv file")] = False,
) -> None:
    """Let the demonstrator sail lessons on many days, and print a table of the results."""
    from sim.batch import proof  # noqa: PLC0415 - a process pool is not needed elsewhere
    from sim.batch import trials as batch  # noqa: PLC0415

    days = _range(seeds)
    names = [*(lessons or ()), *(library.lesson_names() if every else ())]
    if not names:
        raise typer.BadParameter("expected the name of a lesson, or --all, found neither", param_hint="LESSONS")
    if resume and csv is None:
        raise typer.BadParameter("expected --csv with it, found none", param_hint="--resume")
    for name in names:
        library.load_lesson(name)
    warmup.warm_up(err.print)
    cases = [(name, seed) for name in names for seed in days]
    rows = [r for r in batch.read_csv(csv) if (r.lesson, r.seed) in cases] if resume and csv and csv.exists() else []
    had = {(row.lesson, row.seed) for row in rows}
    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.completed}/{task.total}"))
    with Progress(*columns, TimeRemainingColumn(), console=err) as bar:
        task = bar.add_task("sailing", total=len(cases), completed=len(rows))

        def done(row: batch.Row) -> None:
            rows.append(row)
            if csv is not None:
                batch.write_csv(rows, csv)
            bar.advance(task)

        batch.run([case for case in cases if case not in had], jobs, done, night)
    rows.sort(key=lambda row: (row.lesson, row.seed))
    if csv is not None:
        batch.write_csv(rows, csv)
    out.print(batch.table(rows, out.width) if len(rows) <= MANY else proof.table(rows))
