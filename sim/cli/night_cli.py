"""The night on the command line: a bar while it is run on, and one line of what came of it."""

from typing import Any

from rich.console import Console
from rich.progress import BarColumn, Progress, TaskID, TextColumn

from sim.pages.strip_picture import Say


class NightBar:
    """A progress bar that appears when the night begins."""

    def __init__(self, console: Console, title: str) -> None:
        """Make ready to draw on ``console``, the bar's title before it."""
        columns = (TextColumn(title), BarColumn(), TextColumn("{task.description}"))
        self._bar = Progress(*columns, console=console, transient=True, disable=not console.is_terminal)
        self._task: TaskID | None = None

    def __enter__(self) -> "NightBar":
        return self

    def __exit__(self, *_: object) -> None:
        self._bar.stop()

    def show(self, t_s: float, end_s: float) -> None:
        """Show how far the night has come."""
        if self._task is None:
            self._bar.start()
            self._task = self._bar.add_task("", total=end_s, completed=int(t_s))
        hours = f"{t_s / 3600.0:4.1f} / {end_s / 3600.0:.0f} h"
        self._bar.update(self._task, completed=t_s, description=hours)


def night_words(night: dict[str, Any], say: Say) -> str:
    """Return a night's sums, as ``result.json`` has them, in one line."""
    gap, ratio = say("cli.night.no_gap", {}), night["proved_load_ratio"]
    if night["least_gap_m"] is not None:
        gap = say("cli.night.gap", {"gap_m": f"{night['least_gap_m']:.0f}", "boat": night["least_gap_boat"]})
    pull = {"pull_kn": f"{night['peak_load_n'] / 1000.0:.1f}"}
    told = [
        say("cli.night.hours" if night["whole"] else "cli.night.cut", {"hours": f"{night['hours']:.1f}"}),
        say("cli.night.drag", {"drag_m": f"{night['drag_m']:.1f}"}),
        gap,
        say("cli.night.pull", pull) if ratio is None else say("cli.night.proved", pull | {"ratio": f"{ratio:.1f}"}),
        *([say("cli.night.touched", {})] if night["touched"] else []),
    ]
    return "; ".join(told)
