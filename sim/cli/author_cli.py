"""The commands of those who write lessons: check, new, preview, brief."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

from sim.base.errors import ScenarioError
from sim.cli import language_cli
from sim.play import warmup
from sim.scenario import library
from sim.scenario.read import load
from sim.scenario.words.catalogue import ENGLISH
from sim.scenario.words.language import lesson_in

out = Console()
err = Console(stderr=True)


def _as_text(picture: str, path: Path) -> None:
    path.write_text(picture, encoding="utf-8")


# How a picture is written, by the ending of its name; who can paint adds to it.
PAINTERS: dict[str, Callable[[str, Path], None]] = {".svg": _as_text}
LessonName = Annotated[str, typer.Argument(help="a lesson's name, or the path of its file")]


def check(
    files: Annotated[list[str] | None, typer.Argument(help="lessons, by name or by file")] = None,
    trials: Annotated[int, typer.Option(min=0, help="let the demonstrator sail it on this many days")] = 0,
    jobs: Annotated[int, typer.Option(min=1, help="processes")] = 2,
    language: Annotated[str | None, typer.Option(help="list what this language has no words for")] = None,
    exam: Annotated[bool, typer.Option("--exam", help="choose equally hard days for practice and test")] = False,
    write: Annotated[bool, typer.Option("--write", help="write the chosen days into the lesson's file")] = False,
) -> None:
    """Check lessons and everything they refer to, report hidden traps, and test that they can be done."""
    from sim.author import traps  # noqa: PLC0415 - not needed to list lessons

    if language is not None:
        for line in language_cli.report(language, files or ()):
            out.print(line, highlight=False, markup=False, soft_wrap=True)
    elif not files:
        raise typer.BadParameter("expected lessons to check, or --language", param_hint="FILES")
    good, trapped, bad = [], 0, 0
    for name in files or ():
        try:
            lesson = library.load_lesson(name)
            found = traps.find(lesson)
        except ScenarioError as problem:
            bad += 1
            for one in problem.every():
                err.print(str(one), highlight=False, markup=False, soft_wrap=True)
            continue
        document = load.read(lesson.path)
        for trap in found:
            key = load.dotted(trap.path)
            text = f"{lesson.path}:{document.line(trap.path)}: {key}: {trap.text}"
            err.print(text, highlight=False, markup=False, soft_wrap=True)
        trapped += bool(found)
        good.append(name)
        state = "good" if not found else f"reads well, with {len(found)} {'trap' if len(found) == 1 else 'traps'}"
        out.print(f"{name}: {state} ({lesson.title}, {lesson.boat}, level {lesson.level})", soft_wrap=True)
    if bad:
        raise typer.Exit(2)
    failed = _examine(good, trials, jobs, write) if exam else bool(trials) and _prove(good, trials, jobs)
    if trapped or failed:
        raise typer.Exit(1)


def _examine(names: list[str], trials: int, jobs: int, write: bool) -> bool:
    """Choose each lesson's days for practice and test, by weather, and by ``trials`` of each that were sailed.

    Return whether any lesson has fewer than are wanted; its file is left as it was.
    """
    from sim.author import exam  # noqa: PLC0415 - a process pool is not needed elsewhere

    warmup.warm_up(err.print)
    short = False
    for name in names:
        lesson = library.load_lesson(name)
        days = [exam.look(lesson, seed) for seed in (*exam.PRACTICE, *exam.TEST)]
        if trials:
            with _bar(name, 2 * trials) as done:
                days = exam.sailed(lesson, days, trials, jobs, done)
        choice = exam.choose(days)
        for line in (f"{name}: of {len(days)} days", *exam.words(days, choice)):
            out.print(line, highlight=False, markup=False, soft_wrap=True)
        if exam.lacks(choice):
            short = True
        elif write:
            lesson.path.write_text(exam.put(lesson.path.read_text(encoding="utf-8"), choice), encoding="utf-8")
        if write:
            told = f"{lesson.path}: not written" if exam.lacks(choice) else f"Written: {lesson.path}"
            out.print(told, highlight=False, markup=False, soft_wrap=True)
    return short


@contextmanager
def _bar(name: str, total: int) -> Iterator[Callable[[object], None]]:
    """Show a bar; give what is to be called with each that is done."""
    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.completed}/{task.total}"))
    with Progress(*columns, TimeRemainingColumn(), console=err) as bar:
        task = bar.add_task(name, total=total)
        yield lambda _: bar.advance(task)


def _prove(names: list[str], trials: int, jobs: int) -> bool:
    """Sail each lesson on ``trials`` days; print what came of it; return whether any cannot be relied on."""
    from sim.batch import proof  # noqa: PLC0415 - a process pool is not needed elsewhere

    warmup.warm_up(err.print)
    failed = False
    for name in names:
        lesson = library.load_lesson(name)
        with _bar(name, trials) as done:
            proved = proof.prove(name, proof.days(lesson, trials), jobs, done)
        for line in proof.words(lesson, proved):
            out.print(line, highlight=False)
        failed |= not proved.reliable
    return failed


def new(
    name: Annotated[str, typer.Argument(help="the new lesson's name: small letters, digits, hyphens")],
    start: Annotated[str, typer.Option("--from", help="the lesson to start from")] = "lantern-pool",
    folder: Annotated[Path, typer.Option("--folder", help="the school's own folder")] = Path(),
    bay: Annotated[bool, typer.Option("--bay", help="copy its bay too, to redraw")] = False,
) -> None:
    """Start a lesson of your own from another, comments included."""
    from sim.author import new as news  # noqa: PLC0415

    source = library.load_lesson(start)
    if bay:
        out.print(f"Written: {news.write_bay(name, source, folder)}", highlight=False)
    path = news.write(name, source, folder, own_bay=bay)
    out.print(
        f"Written: {path}\nNext: windrode check {path}; windrode preview {path} --out {name}.png", highlight=False
    )


def preview(
    lesson: LessonName,
    out_file: Annotated[Path, typer.Option("--out", help="write the picture: a name ending in .png, or .svg")],
    seed: Annotated[int, typer.Option(min=0, help="which of the lesson's days")] = 1,
    chart: Annotated[bool, typer.Option("--chart", help="only what the trainee is given")] = False,
) -> None:
    """Draw a lesson's bay: depths, ground, marks, boats as they lie, the anchorage and the reference plan."""
    from sim.pages import preview as previews  # noqa: PLC0415

    paint = PAINTERS.get(out_file.suffix.lower())
    if paint is None:
        endings = " or ".join(sorted(PAINTERS))
        raise typer.BadParameter(f"expected a name ending in {endings}, found {out_file.name!r}", param_hint="--out")
    chosen = library.load_lesson(lesson)
    warmup.warm_up(err.print)
    paint(previews.draw(chosen, not chart, seed, legend=True), out_file)
    out.print(f"Picture: {out_file}")


def brief(
    lesson: LessonName,
    out_file: Annotated[Path, typer.Option("--out", help="write the trainee's page (HTML)")],
    language: language_cli.Language = None,
) -> None:
    """Write a lesson's pages: the trainee's, and separately the instructor's with the answer."""
    from sim.pages import brief_page  # noqa: PLC0415

    chosen = lesson_in(lesson, language or ENGLISH)
    warmup.warm_up(err.print)
    trainee, instructor = brief_page.write(chosen, out_file)
    out.print(f"Trainee: {trainee}\nInstructor: {instructor}", highlight=False)


def bay(
    source: Annotated[Path, typer.Argument(help="GeoJSON in WGS 84, CSV of lat, lon, depth_m, or an ESRI ASCII grid")],
    out_file: Annotated[Path, typer.Option("--out", help="write the bay's file (YAML)")],
    title: Annotated[str | None, typer.Option(help="the bay's title, else the source's")] = None,
    heights: Annotated[bool, typer.Option("--heights", help="figures are heights, not depths")] = False,
) -> None:
    """Make a bay from open data: shore, depths, bottom, zones and marks, in metres about its middle."""
    from sim.scenario.read import bay_text, geodata  # noqa: PLC0415 - needed here alone
    from sim.scenario.schema.base import BayFile  # noqa: PLC0415

    text = bay_text.write(geodata.project(geodata.read(source, heights), title), source.name)
    load.validate(BayFile, load.parse(text.encode(), str(out_file)))  # what is written is a bay, or nothing is
    out_file.write_text(text, encoding="utf-8")
    out.print(f"Bay: {out_file}", highlight=False)
