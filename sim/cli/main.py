"""The commands."""

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from sim.base.units import mps
from sim.batch import confusion
from sim.cli import author_cli, debrief_cli, fidelity_cli, seatrial_cli, trials_cli
from sim.cli.language_cli import Language
from sim.cli.night_cli import NightBar, night_words
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.mistakes import table as mistakes
from sim.demonstrator.skipper import Said, Skipper
from sim.helm.exercise import Exercise
from sim.lab import anchorage_picture
from sim.pages.debrief import speaker
from sim.pages.strip_picture import Say
from sim.play import demo as demos
from sim.play import warmup
from sim.play.attempt import Marked
from sim.record import recording, replay
from sim.scenario import library
from sim.scenario.words.catalogue import ENGLISH
from sim.scenario.words.language import lesson_in

app = typer.Typer(
    no_args_is_help=False,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="Practise anchoring under engine. A practice aid, not a certificate; not for navigation.",
)
out = Console()
err = Console(stderr=True)


def clock(t_s: float) -> str:
    """Return a time as minutes and seconds."""
    return f"{int(t_s) // 60:3d}:{int(t_s) % 60:02d}"


def _lesson(name: str, language: str = ENGLISH) -> library.Lesson:
    return lesson_in(name, language)


def _summary(marked: Marked, say: Say) -> None:
    """Print outcome and process apart, and what cost most."""
    data, came = marked.result, marked.outcome
    gap, drag = say("cli.no_gap", {}), say("cli.never_set", {})
    if came.min_gap_m is not None:
        gap = say("cli.gap", {"gap_m": f"{came.min_gap_m:.0f}"})
    if came.drag_m is not None:
        drag = say("cli.drag", {"drag_m": f"{came.drag_m:.1f}"})
    held = say("cli.held" if came.held else "cli.not_held", {})
    out.print(f"\n[bold]{say('cli.outcome', {})}[/]  {held}; {drag}; {gap}")
    if data["night"] is not None:
        out.print(f"[bold]{say('cli.night', {})}[/]  {night_words(data['night'], say)}", highlight=False)
    if data["departure"] is not None:
        gone = data["departure"]["gone_s"] is not None
        out.print(f"[bold]{say('cli.departure', {})}[/]  {say(f'ui.result.departed.{gone}', {})}", highlight=False)
    phases = "; ".join(f"{p['title']} {p['points']:.0f}/{p['of']:.0f}" for p in data["phases"])
    out.print(f"[bold]{say('cli.process', {})}[/]  {phases}")
    for row in data["verdict"]:
        out.print(f"[bold]{say('cli.verdict', {})}[/]  {row['text']}", highlight=False)
    for key in ("keep", "change", "watch"):
        if data["feedback"].get(key):
            out.print(f"[bold]{say(f'page.{key}', {})}[/]  {data['feedback'][key]}")
    out.print(say("cli.page", {"path": str(marked.folder / "debrief.html")}))


# How a lesson is shown in a window: returns whether one could be opened. None is known until the window's rooms are.
SHOWN: list[Callable[[str, int, str | None, Path, str, type[Skipper]], bool]] = []


@app.command()
def demo(
    lesson: Annotated[str, typer.Argument(help="a lesson's name, or the path of its file")],
    seed: Annotated[int, typer.Option(min=0, help="which of the lesson's days")] = 1,
    out_dir: Annotated[Path, typer.Option("--out", help="folder for the run's files")] = Path("run"),
    boat: Annotated[str | None, typer.Option(help="a different boat from the library")] = None,
    headless: Annotated[bool, typer.Option("--headless", help="without a window")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="without the narration")] = False,
    mistake: Annotated[str | None, typer.Option(help="make a typical error, such as B3, on purpose")] = None,
    night: Annotated[bool, typer.Option(help="run through the night afterwards")] = True,
    language: Language = None,
) -> None:
    """Let the demonstrator sail a lesson, saying each decision and its reason."""
    kind = Demonstrator if mistake is None else mistakes.find(mistake).kind
    tongue = language or ENGLISH
    chosen = _lesson(lesson, tongue)
    if not (headless or quiet) and night and SHOWN and SHOWN[0](lesson, seed, boat, out_dir, tongue, kind):
        return
    chosen.brief_in(boat or chosen.boat)  # whatever is amiss is said before anything is compiled or written
    out_dir.mkdir(parents=True, exist_ok=True)
    warmup.warm_up(err.print)
    speak = speaker(library.load_words(tongue))
    out.print(f"[dim]{speak('ui.caution', {})} {speak('cli.more', {})}[/]")
    out.print(f"[bold]{chosen.title}[/]  {speak('cli.lesson', {'seed': seed})}  {chosen.brief.aim}")

    def say(said: Said) -> None:
        if not quiet:
            out.print(f"{clock(said.t_s)}  {speak(said.key, said.values)}", highlight=False)

    with NightBar(err, speak("cli.night", {})) as bar:
        marked = demos.sail(
            chosen, seed, out_dir, boat, round(time.time(), 1),
            say=say, kind=kind, sleep=night, night_progress=bar.show,
        )  # fmt: skip
    _summary(marked, speak)


def verify(run: Path, lesson_file: str | None) -> bool:
    """Sail a recorded run again, say what came of it, and return whether every hash agreed."""
    kept = recording.read(run)
    head = kept.header
    lesson = _lesson(lesson_file or head["scenario"]["id"])
    warmup.warm_up(err.print)
    exercise = Exercise(lesson, head["seed"], head["boat"], timeline=False)
    here = recording.make_header(lesson.name, lesson.sha256, exercise.seed, exercise.boat, lesson.level)
    verdict = replay.verify(kept, exercise, here)
    out.print(str(verdict))
    return verdict.agrees


app.command("debrief")(debrief_cli.debrief)
app.command("check")(author_cli.check)
app.command("new")(author_cli.new)
app.command("preview")(author_cli.preview)
app.command("brief")(author_cli.brief)
app.command("bay")(author_cli.bay)
app.command("seatrial")(seatrial_cli.seatrial)
app.command("trials")(trials_cli.trials)
app.command("confusion")(confusion.command)
app.command("night-fidelity")(fidelity_cli.night_fidelity)


@app.command("rode")
def how_much_rode(
    depth: Annotated[float, typer.Option(min=0.5, help="depth below the surface now, m")],
    rise: Annotated[float, typer.Option(min=0.0, help="rise of tide still to come, m")] = 0.0,
    roller: Annotated[
        float | None, typer.Option(min=0.0, help="roller above the water, m; the boat's own if left out")
    ] = None,
    wind: Annotated[float, typer.Option(min=1.0, help="wind to be ready for, kn")] = 25.0,
    boat: Annotated[str, typer.Option(help="a boat from the library")] = "sloop-12",
    out_file: Annotated[Path | None, typer.Option("--out", help="write a picture (SVG)")] = None,
) -> None:
    """Work out how much rode to lay, and why: from the roller, at high water, for the wind."""
    from sim.lab import rode as rodes  # noqa: PLC0415

    vessel, tackle = library.load_boat(boat), library.load_rode(boat)
    height = vessel.particulars.roller_height_m if roller is None else roller
    need = rodes.reckon(depth, rise, height, mps(wind), vessel.particulars.loa_m, tackle)
    for line in rodes.words(need, mps(wind)):
        out.print(line, highlight=False)
    out.print(rodes.table(need))
    if out_file is not None:
        out_file.write_text(rodes.draw(need), encoding="utf-8")
        out.print(f"Picture: {out_file}")


@app.command("rig")
def test_rig(
    case: Annotated[Path, typer.Argument(help="the case's file")],
    out_file: Annotated[Path, typer.Option("--out", help="write the series (CSV)")],
    as_json: Annotated[bool, typer.Option("--json", help="print peak, mean and rms as JSON")] = False,
) -> None:
    """Tow or pull a rode on a test rig, with the physics of the lessons, and write the measurements."""
    from sim.lab import rig  # noqa: PLC0415
    from sim.lab.rode import CAUTION  # noqa: PLC0415
    from sim.scenario.read.rig import load_case  # noqa: PLC0415

    done = rig.run(load_case(case))
    done.write(out_file)
    if as_json:
        sys.stdout.write(json.dumps(done.summary(), indent=1) + "\n")
    else:
        err.print(f"{len(done.rows)} rows: {out_file}\n{CAUTION}", highlight=False)


@app.command("tackle-pictures")
def tackle_pictures(out_dir: Annotated[Path, typer.Option("--out", help="folder for the pictures (SVG)")]) -> None:
    """Draw a rode at work on the test rig: a heap, a tow, a snatch, a veer."""
    from sim.lab import tackle_pictures as pictures  # noqa: PLC0415

    for path in pictures.write(out_dir):
        out.print(str(path), highlight=False)


app.command("anchorage-picture")(anchorage_picture.command)


@app.command("lessons")
def list_lessons(language: Language = None) -> None:
    """List the library's lessons."""
    for name in library.lesson_names():
        lesson = _lesson(name, language or ENGLISH)
        out.print(f"[bold]{name:18}[/] {lesson.title}: {lesson.brief.aim}")


@app.command()
def bench(
    as_json: Annotated[bool, typer.Option("--json", help="figures as JSON")] = False,
    quick: Annotated[bool, typer.Option("--quick", help="only what takes seconds to measure")] = False,
) -> None:
    """Measure how fast the program runs on this machine."""
    from sim.lab import bench as benches  # noqa: PLC0415

    warmup.warm_up(err.print)
    figures = benches.measure(quick)
    if as_json:
        sys.stdout.write(json.dumps(figures, indent=1) + "\n")
        return
    out.print_json(data=figures)


@app.command()
def cautions(language: Language = None) -> None:
    """Print the full list of cautions."""
    words = library.load_words(language or ENGLISH)
    for key, caution in words.items():
        if key.startswith("caution."):
            out.print(f"- {caution}\n", highlight=False)
