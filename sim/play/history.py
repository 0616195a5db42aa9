"""Earlier attempts, as their results tell them: for the list of lessons and for comparing."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Tried:
    """One earlier attempt at a lesson.

    Attributes:
        folder: where it lies.
        seed: which of the lesson's days.
        started_s: wall clock, seconds since 1970; 0 where nobody kept it.
        points: of 100.
        passed: by the profile it was marked with.
        assisted: somebody stepped in, so it counts for nothing.
        shares: points over what there was to get, by phase code, 0 to 1.
    """

    folder: Path
    seed: int
    started_s: float
    points: float
    passed: bool
    assisted: bool
    shares: dict[str, float]


def _tried(folder: Path, result: dict[str, Any]) -> Tried:
    shares = {p["code"]: p["points"] / p["of"] for p in result["phases"] if p["of"] > 0.0}
    return Tried(
        folder,
        int(result["seed"]),
        float(result.get("started_s") or 0.0),
        float(result["points"]),
        bool(result["passed"]),
        bool(result["assisted"]),
        shares,
    )


def results(root: Path) -> Iterable[tuple[Path, dict[str, Any]]]:
    """Yield every result that can be read in the folders of ``root``; what is torn or foreign is passed over."""
    for path in sorted(root.glob("*/result.json")):
        try:
            data = json.loads(path.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            continue
        if isinstance(data, dict):
            yield path.parent, data


def attempts(root: Path, most: int = 5) -> dict[str, list[Tried]]:
    """Return the last ``most`` attempts at each lesson found below ``root``, the oldest first."""
    found: dict[str, list[Tried]] = {}
    for folder, data in results(root):
        try:
            tried = _tried(folder, data)
            found.setdefault(str(data["scenario"]["id"]), []).append(tried)
        except (KeyError, TypeError, ValueError):
            continue
    return {name: sorted(tried, key=lambda t: t.started_s)[-most:] for name, tried in found.items()}


def free_folder(wanted: Path | None, root: Path, lesson: str) -> Path:
    """Return the folder wanted, else one under ``root``; a fresh one beside it where another run lies there."""
    folder = wanted if wanted is not None else fresh_folder(root, lesson)
    while (folder / "recording.jsonl").exists() or (folder / "recording.jsonl.gz").exists():
        folder = fresh_folder(folder.parent, lesson)
    return folder


def fresh_folder(root: Path, lesson: str) -> Path:
    """Return a folder below ``root`` in which no run lies yet: the lesson's name and a number."""
    taken = {path.name for path in root.glob(f"{lesson}-*")}
    number = next(k for k in range(1, len(taken) + 2) if f"{lesson}-{k:03d}" not in taken)
    return root / f"{lesson}-{number:03d}"
