"""Proof that a lesson can be done: the demonstrator on many of its days, and what that says of it."""

import statistics
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from rich import box
from rich.table import Table

from sim.batch import trials
from sim.batch.trials import Row
from sim.scenario import library
from sim.scenario.library import Lesson

RELIABLE = 0.9  # of the days on which a competent hand must manage a lesson that has a safe spot


@dataclass(frozen=True)
class Hardest:
    """The moment at which a lesson costs most.

    Attributes:
        measure: what is measured there.
        lost: points lost by it, mean of the days on which nothing cost more.
        at_s: when that was, median of those days.
        days: how many they were.
    """

    measure: str
    lost: float
    at_s: float
    days: int


@dataclass(frozen=True)
class Proof:
    """What came of a lesson's trials.

    Attributes:
        rows: one for each day.
        reliable: managed, or rightly left, on nine days of ten.
        managed: share of the days.
        least_gap_m: the least gap to another hull on any day, None in an empty bay.
        hardest: where most was lost, None where nothing was.
        difficulty: 0 easy to 1 hard: the share of marks the demonstrator lost and of days it failed, in equal parts.
    """

    rows: tuple[Row, ...]
    reliable: bool
    managed: float
    least_gap_m: float | None
    hardest: Hardest | None
    difficulty: float


def days(lesson: Lesson, count: int) -> list[int]:
    """Return the seeds of ``count`` days: those for practice first, then the days after them."""
    seeds = list(lesson.sources.lesson.seeds.practice)[:count]
    following = max(seeds) + 1
    kept = set(lesson.sources.lesson.seeds.test)
    while len(seeds) < count:
        if following not in kept:
            seeds.append(following)
        following += 1
    return seeds


def hardest(rows: Sequence[Row]) -> Hardest | None:
    """Return the moment that cost most over all days, None where nothing cost anything."""
    total: dict[str, float] = {}
    for row in rows:
        if row.worst:
            total[row.worst] = total.get(row.worst, 0.0) + row.worst_lost
    if not total:
        return None
    name = max(total, key=lambda measure: total[measure])
    mine = [row for row in rows if row.worst == name]
    return Hardest(name, total[name] / len(mine), statistics.median(row.worst_s for row in mine), len(mine))


def weigh(rows: Sequence[Row]) -> Proof:
    """Return what the rows of a lesson, of at least one, say of it."""
    managed = sum(row.good for row in rows) / len(rows)
    gaps = [row.min_gap_m for row in rows if row.min_gap_m is not None]
    lost = 1.0 - sum(row.points for row in rows) / len(rows) / 100.0
    return Proof(
        rows=tuple(rows),
        reliable=managed >= RELIABLE,
        managed=managed,
        least_gap_m=min(gaps, default=None),
        hardest=hardest(rows),
        difficulty=0.5 * lost + 0.5 * (1.0 - managed),
    )


def prove(name: str, seeds: Sequence[int], jobs: int, done: Callable[[Row], None]) -> Proof:
    """Let the demonstrator sail a lesson on some days; ``done`` is called with each."""
    return weigh(trials.run([(name, seed) for seed in seeds], jobs, done))


def moment(lesson: Lesson, found: Hardest) -> str:
    """Return the hardest moment in words."""
    titles: dict[str, str] = {
        m.name: m.title for p in (*lesson.profile.phases, lesson.profile.leaving) for m in p.measures
    }
    minutes, seconds = divmod(round(found.at_s), 60)
    return f"{titles.get(found.measure, found.measure)}, {found.lost:.1f} points, about {minutes}:{seconds:02d}"


def words(lesson: Lesson, proof: Proof) -> list[str]:
    """Return what a proof says, in lines."""
    gap = "no other boat" if proof.least_gap_m is None else f"least gap {proof.least_gap_m:.1f} m"
    lines = [f"{lesson.name}: managed on {100.0 * proof.managed:.0f} % of days ({len(proof.rows)} sailed); {gap}"]
    if proof.hardest is not None:
        lines.append(f"  hardest: {moment(lesson, proof.hardest)}, on {proof.hardest.days} of them")
    lines.append(f"  difficulty {proof.difficulty:.2f} (0 easy, 1 hard)")
    failed = [str(row.seed) for row in proof.rows if not row.good]
    if failed:
        lines.append(f"  not managed on day {', '.join(failed)}")
    if not proof.reliable:
        lines.append("  flagged: a competent skipper should manage 9 days in 10")
    return lines


def table(rows: Sequence[Row]) -> Table:
    """Return one line for each lesson: days managed, room, marks, what was hardest and when, how difficult it is."""
    good = sum(row.good for row in rows)
    shown = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), caption=f"{good} of {len(rows)} managed")
    for title in ("lesson", "managed", "gap m", "marks", "difficulty", "hardest", "failed on"):
        shown.add_column(title, justify="left" if title in ("lesson", "hardest", "failed on") else "right")
    for name in dict.fromkeys(row.lesson for row in rows):
        mine = [row for row in rows if row.lesson == name]
        proof = weigh(mine)
        gap = "-" if proof.least_gap_m is None else f"{proof.least_gap_m:.1f}"
        marks = f"{sum(row.points for row in mine) / len(mine):.0f}"
        hard = moment(library.load_lesson(name), proof.hardest) if proof.hardest is not None else ""
        failed = " ".join(str(row.seed) for row in mine if not row.good)
        ways = f"{sum(row.good for row in mine)} of {len(mine)}"
        shown.add_row(name, ways, gap, marks, f"{proof.difficulty:.2f}", hard, failed)
    return shown
