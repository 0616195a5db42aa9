"""The command that takes a boat of the library to sea, and matches her to a real one."""

import json
import sys
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from sim.lab import seatrial as trials
from sim.lab import seatrial_plot, seatrial_runs
from sim.lab.rode import CAUTION
from sim.play import warmup


def seatrial(
    boat: Annotated[str, typer.Argument(help="a boat from the library, or the path of her file")],
    fit: Annotated[Path | None, typer.Option("--fit", help="figures measured on a real boat, to match")] = None,
    out_file: Annotated[
        Path | None, typer.Option("--out", help="write the picture (SVG), or with --fit the new boat's file")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="figures as JSON")] = False,
) -> None:
    """Measure how a boat handles against what is expected of her, or fit her to a real boat's figures."""
    console, err = Console(), Console(stderr=True)
    file, document = trials.read_boat(boat)
    wanted = trials.read_measured(fit) if fit is not None else None
    warmup.warm_up(err.print)
    if wanted is not None:
        done = trials.fit(file, wanted)
        console.print(f"[bold]{file.title}[/] fitted to {wanted.title}", highlight=False)
        console.print(trials.fit_table(done))
        for line in trials.fit_words(done):
            console.print(line, highlight=False)
        if out_file is not None:
            out_file.write_text(trials.fit_text(document, done, wanted.title), encoding="utf-8")
            console.print(f"Boat: {out_file}", highlight=False, soft_wrap=True)
        console.print(f"[dim]{CAUTION}[/]", highlight=False)
        return
    found = seatrial_runs.measure(file)
    rows = trials.rows(file, found)
    if as_json:
        sys.stdout.write(json.dumps(trials.as_data(boat, file.title, rows), indent=1) + "\n")
    else:
        console.print(f"[bold]{file.title}[/], deep calm water, steady wind", highlight=False)
        console.print(trials.table(rows))
        outside = [row.name for row in rows if row.inside is False]
        console.print(f"Outside what is expected: {', '.join(outside) or 'nothing'}.", highlight=False)
        console.print(f"[dim]{CAUTION}[/]", highlight=False)
    if out_file is not None:
        out_file.write_text(seatrial_plot.draw(file, found), encoding="utf-8")
        if not as_json:
            console.print(f"Picture: {out_file}", highlight=False, soft_wrap=True)
