"""What to say about a measure: one sentence with its number, what follows from it, and the remedy."""

import json
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from sim.marking.rubric import Marked, Marks
from sim.marking.run import Run

TRIFLING = 0.9  # share of the marks from which what is missing is not worth a sentence (judgement)
LEAST_WEIGHT = 2  # of a shortcoming that is no typical error
PRAISED = 0.999  # share of the marks from which a measure is done as it should be


@dataclass(frozen=True)
class Fault:
    """A typical error that a measure gives away.

    Attributes:
        code: its code in the list of typical errors.
        weight: 1 cosmetic to 5 dangerous.
        parents: codes of the errors that commonly bring it about.
    """

    code: str
    weight: int
    parents: tuple[str, ...] = ()


# measure: (error where the value lies below full marks, error where above); common practice, weights judgement
FAULTS: dict[str, tuple[Fault | None, Fault | None]] = {
    "ph1.min_ukc_m": (Fault("A4", 5), None),
    "ph1.min_gap_loa": (Fault("A7", 4), None),
    "ph1.bottom_class": (None, Fault("A11", 3)),
    "ph1.rode_ratio": (Fault("A15", 2), None),
    "ph1.plan_items": (Fault("A14", 2), None),
    "ph2.max_sog_near_kn": (None, Fault("B1", 3)),
    "ph2.min_cpa_loa": (Fault("B2", 3), None),
    "ph2.approach_error_deg": (None, Fault("A5", 3)),
    "ph3.sog_at_touch_kn": (Fault("C1", 4), Fault("B3", 4, ("B1",))),
    "ph3.bow_off_lie_deg": (None, Fault("B6", 3, ("A5",))),
    "ph3.drop_error_m": (None, Fault("A13", 3)),
    "ph3.mark_delay_s": (None, Fault("B11", 2)),
    "ph4.sternway_kn": (Fault("C3", 3), Fault("C1", 4)),
    "ph4.slack_ratio": (Fault("C8", 2, ("C3", "B6")), None),
    "ph4.heap_m": (None, Fault("B5", 4, ("C3",))),
    "ph4.lead_aft_s": (None, Fault("C5", 4, ("B6", "B3"))),
    "ph4.early_tension_ratio": (None, Fault("C4", 4, ("C1",))),
    "ph5.load_steps": (Fault("D1", 4), None),
    "ph5.proved_load_ratio": (Fault("D4", 4), None),
    "ph5.drag_m": (None, Fault("D9", 4, ("B5", "C4"))),
    "ph5.proofs": (Fault("D6", 3), None),
    "ph5.scope_ratio": (Fault("A3", 4, ("A15",)), None),
    "ph6.secured_items": (Fault("E1", 3), None),
}


@cache
def _sentences(language: str) -> dict[str, dict[str, str]]:
    text = resources.files("sim.marking").joinpath("pages").joinpath(f"advice.{language}.json").read_text("utf-8")
    data: dict[str, dict[str, str]] = json.loads(text)
    return data


def figure(value: float) -> str:
    """Return a value as it is spoken of: two figures where it is small, whole where it is large.

    >>> figure(0.914), figure(3.0), figure(47.3), figure(-0.26)
    ('0.91', '3', '47', '−0.26')
    """
    size = abs(value)
    text = f"{value:.0f}" if size >= 20.0 else f"{value:.1f}" if size >= 2.0 else f"{value:.2f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text.replace("-", "−")


def _bounds(limit: float | tuple[float, float]) -> tuple[float, float]:
    return limit if isinstance(limit, tuple) else (limit, limit)


def side(m: Marked) -> str:
    """Return on which side of full marks a measure lies: keep, low, high or undone."""
    if m.found.value is None:
        return "undone"
    if m.share >= PRAISED:
        return "keep"
    return "low" if m.found.value < _bounds(m.full)[0] else "high"


def sentence(m: Marked, language: str = "en") -> str:
    """Return what to say about a measure as it went."""
    value = m.found.value
    spoken = {} if value is None else {"value": figure(value), "percent": f"{100.0 * value:.0f}"}
    return _sentences(language)[m.name][side(m)].format(**spoken)


def _gravity(m: Marked) -> float:
    """Return how much a measure matters as it went: the weight of its error times the share of the marks lost."""
    fault = _fault(m)
    return (fault.weight if fault is not None else LEAST_WEIGHT) * (1.0 - m.share)


def feedback(marks: Marks, language: str = "en") -> dict[str, str]:
    """Return one thing to keep, one to change and one to watch: at most three, each a sentence, empty where none.

    To change is what matters most, the earlier in the job first among equals; to watch is what matters most after it
    in another phase, so that one slip is not told twice.
    """
    # A phase of one measure says only that the phase went well; praise something that was done.
    done = [m for p in marks.phases for m in p.measures if side(m) == "keep" and len(p.measures) > 1]
    keep = max(done, key=lambda m: m.of, default=None)
    wanting = sorted((m for m in marks.measures if m.share < TRIFLING), key=lambda m: -_gravity(m))
    change = wanting[0] if wanting else None
    elsewhere = [m for m in wanting if change is not None and m.name.split(".")[0] != change.name.split(".")[0]]
    watch = elsewhere[0] if elsewhere else None
    return {
        key: sentence(m, language) if m is not None else ""
        for key, m in (("keep", keep), ("change", change), ("watch", watch))
    }


def errors(run: Run, marks: Marks, language: str = "en") -> list[dict[str, Any]]:
    """Return the typical errors that the measures give away, by weight times certainty, greatest first.

    A measure below half marks names its error; certainty is the share of the marks lost. A parent is named only where
    it was found as well.
    """
    found: dict[str, dict[str, Any]] = {}
    for m in marks.measures:
        fault = _fault(m)
        if fault is None or m.share >= 0.5 or fault.code in found:
            continue
        found[fault.code] = {
            "code": fault.code,
            "t_s": m.found.from_s,
            "at": m.found.at,
            "weight": fault.weight,
            "certainty": round(1.0 - m.share, 3),
            "parents": list(fault.parents),
            "text": sentence(m, language),
        }
    for error in found.values():
        error["parents"] = [code for code in error["parents"] if code in found]
    return sorted(found.values(), key=lambda e: -e["weight"] * e["certainty"])


def _fault(m: Marked) -> Fault | None:
    below, above = FAULTS.get(m.name, (None, None))
    where = side(m)
    if where == "undone":
        return below or above
    return below if where == "low" else above if where == "high" else None
