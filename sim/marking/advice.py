"""What to say: one sentence each with its number, what follows from it, and the remedy; never more than three."""

import json
from collections.abc import Sequence
from functools import cache
from importlib import resources
from typing import Any

from sim.marking.critical import Fail
from sim.marking.errors.found import Error, related, root
from sim.marking.figures import figure, filled
from sim.marking.rubric import Marked, Marks
from sim.marking.rubric import marks as value_share
from sim.scenario.library import load_words
from sim.scenario.words.catalogue import ENGLISH, LONGER, longer

__all__ = ["errors", "feedback", "figure", "lacking", "sentence", "side", "verdict"]

TRIFLING = 0.9  # share of the marks from which what is missing is not worth a sentence (judgement)
SERIOUS = 3  # weight of an error from which its phase has nothing to keep
PHASES_OF = {
    "A": ("ph1",), "B": ("ph2", "ph3"), "C": ("ph4",), "D": ("ph5",), "E": ("ph6", "ph7"), "F": ("rec",)
}  # fmt: skip
LOST = ("cf1", "cf7", "would_touch", "would_ground", "dragged_in_set", "dragged_at_night")
PRAISED = 0.999  # share of the marks from which a measure is done as it should be


@cache
def _sentences(language: str) -> dict[str, dict[str, str]]:
    """Return a language's own sentences by measure and side, none where it has no file."""
    if language == LONGER:
        return {name: {side: longer(text) for side, text in row.items()} for name, row in _sentences(ENGLISH).items()}
    file = resources.files("sim.marking").joinpath(f"advice.{language}.json")
    data: dict[str, dict[str, str]] = json.loads(file.read_text("utf-8")) if file.is_file() else {}
    return data


@cache
def _words(language: str) -> dict[str, str]:
    return load_words(language)


def lacking(language: str) -> list[str]:
    """Return which sentences a language has not: the English ones stand in."""
    own = _sentences(language)
    pairs = ((name, side) for name, row in _sentences(ENGLISH).items() for side in row)
    return [f"advice.{name}.{side}" for name, side in pairs if side not in own.get(name, {})]


def _bounds(limit: float | tuple[float, float]) -> tuple[float, float]:
    return limit if isinstance(limit, tuple) else (limit, limit)


def side(m: Marked) -> str:
    """Return on which side of full marks a measure lies: keep, low, high or undone."""
    if m.found.value is None:
        return "undone"
    if value_share(m.found.value, m.full, m.half, m.zero) >= PRAISED:
        return "keep"
    return "low" if m.found.value < _bounds(m.full)[0] else "high"


def sentence(m: Marked, language: str = "en") -> str:
    """Return what to say about a measure as it went."""
    value = m.found.value
    spoken = {} if value is None else {"value": value, "percent": 100.0 * value}
    own, where = _sentences(language).get(m.name, {}), side(m)
    told = filled(own.get(where) or _sentences(ENGLISH)[m.name][where], spoken)
    # An instructor's own reason is no key of the list and stays as it was written.
    return f"{told} ({_words(language).get(f'note.{m.note}', m.note)})" if m.note else told


def _praise(marks: Marks, found: Sequence[Error]) -> Marked | None:
    """Return the measure most worth keeping, None where nothing was done as it should be.

    What the lesson asks for comes first. Nothing is praised in a phase in which an error was named, and neither room
    nor rest where she touched, would touch, or did not stay.
    """
    spoilt = {phase for e in found if e.weight >= SERIOUS for phase in PHASES_OF[e.code[0]]}
    if any(r.code in LOST for r in marks.reasons):
        spoilt |= {"ph1", "ph2", "ph7"}
    asked = {goal.measure for goal in marks.goals if goal.met}
    # A phase of one measure says only that the phase went well; praise something that was done.
    done = [
        m
        for p in marks.phases
        for m in p.measures
        if side(m) == "keep" and len(p.measures) > 1 and p.code not in spoilt
    ]
    return max(done, key=lambda m: (m.name in asked, m.of), default=None)


def _shortcomings(marks: Marks) -> list[Marked]:
    """Return what fell short and is no error, dearest first."""
    return sorted((m for m in marks.measures if m.share < TRIFLING), key=lambda m: -m.lost)


def feedback(marks: Marks, found: Sequence[Error] = (), language: str = "en") -> dict[str, str]:
    """Return one thing to keep, one to change and one to watch: at most three, each a sentence, empty where none.

    To change is the earliest cause of the gravest error (weight times certainty); to watch is the gravest error of
    another chain of causes, so that one slip is not told twice. Where there are no errors, what cost most marks
    stands in.
    """
    keep = _praise(marks, found)
    says = []
    if found:
        first = root(found[0], found)
        says.append(first.text(language))
        apart = [e for e in found if not related(e, found[0]) and not related(e, first)]
        says += [root(apart[0], apart).text(language)] if apart else []
    short = _shortcomings(marks)
    if not found and short:
        says.append(sentence(short[0], language))
        elsewhere = [m for m in short if m.name.split(".")[0] != short[0].name.split(".")[0]]
        says += [sentence(elsewhere[0], language)] if elsewhere else []
    says += ["", ""]
    return {"keep": "" if keep is None else sentence(keep, language), "change": says[0], "watch": says[1]}


def verdict(marks: Marks, fails: Sequence[Fail], found: Sequence[Error], language: str = "en") -> list[dict[str, Any]]:
    """Return the verdict as plain data: what it is, then each reason with its time, what it leaves and its sentence.

    Args:
        marks: of the run.
        fails: its critical fails.
        found: its errors.
        language: of the sentences.
    """
    words = _words(language)
    titles = {f.code: f"{words.get(f'fail.{f.code}', f.title)}." for f in fails}
    texts = {e.code: e.text(language).split(". ")[0].rstrip(".") + "." for e in found}
    rows: list[dict[str, Any]] = []
    told: set[str] = set()
    for r in marks.reasons:
        why = titles.get(r.code) or texts.get(r.code) or filled(words[f"judged.{r.code}"], r.values)
        if r.code in told or (not r.fails and r.cap >= marks.earned):
            continue
        told.add(r.code)
        head = words["judged.failed"] if r.fails else words["judged.capped"].replace("{cap}", figure(r.cap))
        rows.append({"code": r.code, "t_s": r.t_s, "cap": r.cap, "fails": r.fails, "text": head.replace("{why}", why)})
    sums = {"points": marks.points, "needed": marks.needed}
    plain = ""
    if marks.passed:
        plain = filled(words["judged.passed"], sums)
    elif not all(goal.met for goal in marks.goals):
        plain = words["judged.goal"]
    elif not any(r.fails for r in marks.reasons):
        plain = filled(words["judged.points"], sums)
    first = {"code": "verdict", "t_s": None, "cap": None, "fails": not marks.passed, "text": plain}
    return ([first] if plain else []) + rows


def errors(found: Sequence[Error], language: str = "en") -> list[dict[str, Any]]:
    """Return the errors found as plain data, greatest weight times certainty first."""
    return [
        {
            "code": e.code,
            "t_s": e.t_s,
            "at": e.at,
            "weight": e.weight,
            "certainty": e.certainty,
            "parents": list(e.parents),
            "text": e.text(language),
        }
        for e in found
    ]
