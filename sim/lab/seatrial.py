"""A boat's sea trial as a table beside what is expected of her, as data, and the report and file of a fit."""

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rich import box
from rich.table import Table

from sim.lab import seatrial_fit
from sim.lab.seatrial_fit import Fit
from sim.scenario.read import load, rewrite, shelf
from sim.scenario.read.load import Document
from sim.scenario.schema.base import BoatFile
from sim.scenario.schema.trial import Expects, MeasuredFile

UNITS = {"kn": "kn", "m": "m", "s": "s", "n": "N", "deg": "°", "lengths": "L"}


@dataclass(frozen=True)
class Row:
    """One figure of a trial; ``value`` is nan where it never happened, the band None where nothing is expected."""

    name: str
    words: str
    value: float
    low: float | None
    high: float | None
    source: str | None

    @property
    def inside(self) -> bool | None:
        """Whether the figure lies in its band, None where there is none."""
        if self.low is None or self.high is None:
            return None
        return self.low <= self.value <= self.high


def read_boat(name_or_path: str) -> tuple[BoatFile, Document]:
    """Return a boat's file by its name in the library or by its path.

    Raises:
        ScenarioError: when there is none, or it does not fit.
    """
    if name_or_path.endswith((".yaml", ".yml")):
        document = load.read(Path(name_or_path))
        return load.validate(BoatFile, document), document
    return shelf.library().read(BoatFile, "boats", name_or_path, shelf.Asked())


def read_measured(path: Path) -> MeasuredFile:
    """Return what was measured on a real boat.

    Raises:
        ScenarioError: when the file is missing or does not fit.
    """
    return load.validate(MeasuredFile, load.read(path))


def rows(file: BoatFile, found: dict[str, float]) -> list[Row]:
    """Return a trial's figures in the order of the format, each with what is expected."""
    out = []
    for name, field in Expects.model_fields.items():
        if name in found:
            band = getattr(file.expects, name) if file.expects else None
            told = (band.low, band.high, band.source) if band else (None, None, None)
            out.append(Row(name, str(field.description), float(found[name]), *told))
    return out


def shown(value: float) -> str:
    """Return a figure short: three figures, a dash where it never happened."""
    if math.isnan(value):
        return "never"
    return f"{value:.0f}" if abs(value) >= 100.0 else f"{value:.1f}" if abs(value) >= 10.0 else f"{value:.2f}"


def table(trial: list[Row]) -> Table:
    """Return the trial as a table; ``<`` and ``>`` mark what lies outside its band."""
    out = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0))
    out.add_column("")
    for title in ("she does", "", "expected"):
        out.add_column(title, justify="right", no_wrap=True)
    for row in trial:
        unit = UNITS[row.name.rpartition("_")[2]]
        expected, mark = "", ""
        if row.low is not None and row.high is not None:
            expected = f"{row.low:g} to {row.high:g}"
            mark = "" if row.inside else "<" if row.value < row.low else ">"
        out.add_row(row.words, f"{shown(row.value)} {unit}", mark, expected)
    return out


def as_data(name: str, title: str, trial: list[Row]) -> dict[str, Any]:
    """Return the trial as plain data for JSON."""
    return {
        "boat": name,
        "title": title,
        "figures": {
            r.name: {
                "words": r.words,
                "value": None if math.isnan(r.value) else round(r.value, 4),
                "low": r.low,
                "high": r.high,
                "source": r.source,
                "inside": r.inside,
            }
            for r in trial
        },
    }


def fit_table(done: Fit) -> Table:
    """Return what was measured, what the boat did before and does after."""
    out = Table(box=box.SIMPLE_HEAD, padding=(0, 2, 0, 0))
    out.add_column("figure")
    for title in ("measured", "before", "after", "off by"):
        out.add_column(title, justify="right")
    for name, wanted in done.measured.items():
        after = done.after[name]
        off = f"{100.0 * (after / wanted - 1.0):+.1f} %" if abs(wanted) > 1e-9 else f"{after - wanted:+.1f}"
        out.add_row(name, shown(wanted), shown(done.before[name]), shown(after), off)
    return out


def fit_words(done: Fit) -> list[str]:
    """Return what was moved and what could not be matched, a sentence each."""
    moved = [f"The {name}: {old:.3g} to {new:.3g}." for name, old, new in done.moved if abs(new / old - 1.0) > 1e-3]
    return [*moved, *done.notes, *([] if done.notes else ["Everything measured is matched."])]


def fit_text(document: Document, done: Fit, title: str) -> str:
    """Return the new boat's file: the old one's text, each changed number saying so, under a header of the outcome."""
    header = [f"Fitted by windrode seatrial to measurements of: {title}"]
    header += [
        f"  {name}: {shown(done.before[name])} before, {shown(done.after[name])} now, {wanted:g} measured"
        for name, wanted in done.measured.items()
    ]
    header += [f"  {note}" for note in done.notes]
    header += ["The expected figures below are still those of the boat she was made from.", ""]
    return rewrite.with_values(document, done.changes, "fitted", header)


def fit(file: BoatFile, wanted: MeasuredFile) -> Fit:
    """Return a boat matched to what was measured."""
    return seatrial_fit.fit(file, wanted.measured)
