"""The command that draws a run's debrief again, alone or beside another attempt."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from sim.marking.debrief import speaker
from sim.run import past as pasts
from sim.run.language_cli import Language
from sim.scenario.library import load_words
from sim.scenario.words import ENGLISH


def debrief(
    run: Annotated[Path, typer.Argument(help="a run's folder")],
    against: Annotated[Path | None, typer.Option(help="another run's folder, laid beside it")] = None,
    out_dir: Annotated[Path | None, typer.Option("--out", help="folder for the page, else the run's own")] = None,
    lesson_file: Annotated[
        str | None, typer.Option("--lesson", help="its file, where it is not in the library")
    ] = None,
    language: Language = None,
) -> None:
    """Draw a run's debrief as one page that needs nothing else."""
    past = pasts.load_past(run, lesson_file, language or ENGLISH)
    ghost = None
    if against is not None:
        other = pasts.load_past(against, lesson_file)
        who = speaker(load_words(language or ENGLISH))("page.ghost.same", {"seed": other.header["seed"]})
        ghost = (other.marked.run, who)
    path = pasts.draw_again(past, out_dir or run, ghost)
    Console().print(f"Debrief: {path}", highlight=False, soft_wrap=True)
