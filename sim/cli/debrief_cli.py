"""The command that draws a run's debrief again, alone or beside another attempt."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from sim.cli.language_cli import Language
from sim.marking import export
from sim.pages.debrief import speaker
from sim.play import past as pasts
from sim.scenario.library import load_words
from sim.scenario.words.catalogue import ENGLISH


def debrief(
    run: Annotated[Path, typer.Argument(help="a run's folder")],
    against: Annotated[Path | None, typer.Option(help="another run's folder, to compare")] = None,
    out_dir: Annotated[Path | None, typer.Option("--out", help="folder for the page, by default the run's own")] = None,
    lesson_file: Annotated[
        str | None, typer.Option("--lesson", help="the lesson's file, if it is not in the library")
    ] = None,
    gpx: Annotated[Path | None, typer.Option(help="write her track as GPX 1.1, placed in the open ocean")] = None,
    csv: Annotated[Path | None, typer.Option(help="write the measures as CSV")] = None,
    language: Language = None,
) -> None:
    """Write a run's debrief as one self-contained page."""
    past = pasts.load_past(run, lesson_file, language or ENGLISH)
    ghost = None
    if against is not None:
        other = pasts.load_past(against, lesson_file)
        who = speaker(load_words(language or ENGLISH))("page.ghost.same", {"seed": other.header["seed"]})
        ghost = (other.marked.run, who)
    told = Console()
    path = pasts.draw_again(past, out_dir or run, ghost)
    told.print(f"Debrief: {path}", highlight=False, soft_wrap=True)
    if gpx is not None:
        name = f"{past.lesson.title}, seed {past.header['seed']}"
        gpx.write_text(export.track_gpx(past.marked.run.track, name, past.header.get("started_s")), encoding="utf-8")
        told.print(f"Track: {gpx}", highlight=False, soft_wrap=True)
    if csv is not None:
        csv.write_text(export.measures_csv(past.marked.result), encoding="utf-8")
        told.print(f"Measures: {csv}", highlight=False, soft_wrap=True)
