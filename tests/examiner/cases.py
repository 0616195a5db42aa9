"""The examiner's cases as written: what is done in each, and the verdict given before anything was sailed."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

FILES = tuple(sorted(Path(__file__).parent.glob("cases*.yaml")))
Step = tuple[str, dict[str, Any]]
CLEAN: tuple[Step, ...] = tuple(
    (name, {})
    for name in (
        "look", "plan", "approach", "let_go", "lay", "bring_up", "soak", "set", "hook_on", "alarm", "signal", "watch",
        "report",
    )
)  # fmt: skip


@dataclass(frozen=True)
class Verdict:
    """What the examiner says of a run.

    Attributes:
        passed: whether she passes.
        error: the gravest error, in words; none where there is none.
        cause: what came first, in words.
        points: least and most of 100.
        why: in one sentence.
    """

    passed: bool
    error: str
    cause: str
    points: tuple[float, float]
    why: str


@dataclass(frozen=True)
class Case:
    """One run to be sailed and judged.

    Attributes:
        group: what kind of case it is.
        boat: another boat of the library, None for the lesson's own.
        done: what is done, in an examiner's words.
        steps: the same for the hands: names of steps and their arguments, in order.
        night: what the watch does when called: ``sleep`` on, or the steps taken each time.
        facts: what the raw run must show, by name: least and most, or the value.
        base: the case that this one is, with exactly one fault more.
    """

    id: str
    group: str
    lesson: str
    boat: str | None
    seed: int
    done: str
    steps: tuple[Step, ...]
    night: tuple[Step, ...]
    verdict: Verdict
    facts: dict[str, Any]
    base: str | None


def _step(written: str | dict[str, dict[str, Any]]) -> Step:
    """Return a step as written: a name, or a name with its arguments."""
    if isinstance(written, str):
        return written, {}
    ((name, arguments),) = written.items()
    return name, dict(arguments)


def _steps(data: dict[str, Any], start: tuple[Step, ...]) -> Iterator[Step]:
    """Yield the steps of a case: its own, or those it starts from with what is changed, left out and put in."""
    if "steps" in data:
        yield from (_step(written) for written in data["steps"])
        return
    change, without, after = data.get("change", {}), data.get("without", []), data.get("after", {})
    names = {name for name, _ in start}
    if unknown := (set(change) | set(without) | set(after)) - names:
        raise ValueError(f"{data['id']}: no step {sorted(unknown)} to change")
    for name, arguments in start:
        if name not in without:
            yield name, {**arguments, **change.get(name, {})}
        yield from (_step(written) for written in after.get(name, []))


def _case(data: dict[str, Any], known: dict[str, Case]) -> Case:
    """Return a case; with ``base`` or ``like`` it starts from another."""
    start = known.get(data.get("base") or data.get("like") or "")
    said = data["verdict"]
    least, most = said["points"]
    return Case(
        id=data["id"],
        group=data["group"],
        lesson=data["lesson"] if start is None else start.lesson,
        boat=data.get("boat", None if start is None else start.boat),
        seed=data["seed"] if start is None else data.get("seed", start.seed),
        done=data["done"],
        steps=tuple(_steps(data, CLEAN if start is None else start.steps)),
        night=tuple(_step(written) for written in data.get("night", [])),
        verdict=Verdict(said["passed"], said["error"], said["cause"], (least, most), said["why"]),
        facts=data["facts"],
        base=data.get("base"),
    )


@cache
def all_cases() -> dict[str, Case]:
    """Return every case by its id, in the order written."""
    found: dict[str, Case] = {}
    for file in FILES:
        for data in yaml.safe_load(file.read_text(encoding="utf-8")):
            for key in ("base", "like"):
                if key in data and data[key] not in found:
                    raise ValueError(f"{data['id']}: {key} {data[key]} is not written before it")
            if data["id"] in found:
                raise ValueError(f"{data['id']} is there twice")
            found[data["id"]] = _case(data, found)
    return found
