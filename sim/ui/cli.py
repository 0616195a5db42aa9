"""The commands that open a window or need its painter; they join those of ``sim.cli.main``."""

from pathlib import Path
from typing import Annotated

import typer

from sim.cli import author_cli
from sim.cli.language_cli import Language
from sim.cli.main import SHOWN, app, demo, out, verify
from sim.demonstrator.skipper import Skipper
from sim.scenario.words.catalogue import ENGLISH
from sim.ui.opening import has_display

__all__ = ["app"]


def _as_pixels(picture: str, path: Path) -> None:
    from sim.ui.paint.vector import write_png  # noqa: PLC0415 - the other commands do without a painter

    write_png(picture, path)


author_cli.PAINTERS[".png"] = _as_pixels
FIRST_LESSON = "lantern-pool"
NO_DISPLAY = "No display here: the demonstrator sails the lesson instead."


def _chosen(language: str | None) -> str:
    """Return the language asked for, else the person's own."""
    from sim.ui import preferences  # noqa: PLC0415 - the other commands do without a window

    return language or preferences.read().language


def _window(
    lesson: str | None, seed: int, boat: str | None, folder: Path | None, language: str | None, two: bool = False
) -> None:
    """Open the window, or let the demonstrator sail where there is no display."""
    from sim.ui import start as window  # noqa: PLC0415 - see above

    tongue = _chosen(language)

    if has_display():
        try:
            raise typer.Exit(window.run(lesson, seed, boat, folder, tongue, two))
        except window.NoWindow as why:
            out.print(str(why), highlight=False)
    out.print(NO_DISPLAY)
    demo(lesson or FIRST_LESSON, seed, folder or Path("run"), boat, headless=True, language=tongue)


def _show(lesson: str, seed: int, boat: str | None, folder: Path, language: str, kind: type[Skipper]) -> bool:
    """Let a lesson be watched in the window; return whether one could be opened."""
    if not has_display():
        return False
    from sim.ui import start as window  # noqa: PLC0415 - see above

    try:
        raise typer.Exit(window.run(lesson, seed, boat, folder, language, shown=kind))
    except window.NoWindow as why:
        out.print(str(why), highlight=False)
    return False


SHOWN.append(_show)


@app.command()
def sail(
    lesson: Annotated[str, typer.Argument(help="a lesson's name, or the path of its file")],
    seed: Annotated[int, typer.Option(min=0, help="which of the lesson's days")] = 1,
    boat: Annotated[str | None, typer.Option(help="a different boat from the library")] = None,
    out_dir: Annotated[
        Path | None, typer.Option("--out", help="folder for the run's files; among your own runs if left out")
    ] = None,
    two: Annotated[bool, typer.Option("--two", help="two aboard: the foredeck has its own window")] = False,
    language: Language = None,
) -> None:
    """Sail a lesson yourself, straight away, in a window."""
    _window(lesson, seed, boat, out_dir, language, two)


@app.command("replay")
def replay_run(
    run: Annotated[Path, typer.Argument(help="a run's folder, or its recording")],
    prove: Annotated[bool, typer.Option("--verify", help="sail it again and check that the hashes agree")] = False,
    against: Annotated[Path | None, typer.Option(help="another run's folder, to compare")] = None,
    lesson_file: Annotated[
        str | None, typer.Option("--lesson", help="the lesson's file, if it is not in the library")
    ] = None,
    language: Language = None,
) -> None:
    """Replay a run, moving through it, or prove that it comes out the same."""
    from sim.play.past import load_past  # noqa: PLC0415 - see above
    from sim.ui import start as window  # noqa: PLC0415 - see above

    if not prove and has_display():
        tongue = _chosen(language)
        past = load_past(run, lesson_file, tongue)
        other = load_past(against, lesson_file) if against is not None else None
        raise typer.Exit(window.look_again(past, other, tongue))
    if not verify(run, lesson_file) and prove:
        raise typer.Exit(1)


@app.command()
def screenshots(
    out_dir: Annotated[Path, typer.Option("--out", help="folder for the pictures")] = Path("shots"),
    language: Language = None,
) -> None:
    """Take pictures of every screen, by day and by night, in three sizes."""
    from sim.ui import shots  # noqa: PLC0415 - see above

    for path in shots.make(out_dir, language or ENGLISH):
        out.print(str(path), highlight=False)


@app.callback(invoke_without_command=True)
def start(context: typer.Context, language: Language = None) -> None:
    """Without a command: the window with the list of lessons."""
    if context.invoked_subcommand is None:
        _window(None, 1, None, None, language)
