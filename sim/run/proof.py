"""Proof that a lesson can be done: the demonstrator on many of its days, and what that says of it."""

from collections.abc import Callable
from dataclasses import dataclass

from sim.run import trials
from sim.run.trials import Row
from sim.scenario.library import Lesson

RELIABLE = 0.9  # of the days on which a competent hand must manage a lesson that has a safe spot


@dataclass(frozen=True)
class Proof:
    """What came of a lesson's trials.

    Attributes:
        rows: one for each day.
        reliable: managed, or rightly left, on nine days of ten.
        managed: share of the days.
        least_gap_m: the least gap to another hull on any day, None in an empty bay.
        hardest: phase in which most was lost, and the share of its points earned; None where nothing was marked.
        difficulty: 0 easy to 1 hard: the share of marks the demonstrator lost and of days it failed, in equal parts.
    """

    rows: tuple[Row, ...]
    reliable: bool
    managed: float
    least_gap_m: float | None
    hardest: tuple[str, float] | None
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


def weigh(rows: list[Row]) -> Proof:
    """Return what the rows of a lesson, of at least one, say of it."""
    managed = sum(row.good for row in rows) / len(rows)
    gaps = [row.min_gap_m for row in rows if row.min_gap_m is not None]
    codes = list(dict.fromkeys(code for row in rows for code in row.phases))
    shares = {code: sum(row.phases[code] for row in rows if code in row.phases) for code in codes}
    counts = {code: sum(code in row.phases for row in rows) for code in codes}
    means = {code: shares[code] / counts[code] for code in codes}
    hardest = min(means.items(), key=lambda pair: pair[1], default=None)
    lost = 1.0 - sum(row.points for row in rows) / len(rows) / 100.0
    return Proof(
        rows=tuple(rows),
        reliable=managed >= RELIABLE,
        managed=managed,
        least_gap_m=min(gaps, default=None),
        hardest=hardest,
        difficulty=0.5 * lost + 0.5 * (1.0 - managed),
    )


def prove(name: str, seeds: list[int], jobs: int, done: Callable[[], None]) -> Proof:
    """Let the demonstrator sail a lesson on some days; ``done`` is called after each."""
    return weigh(trials.run([(name, seed) for seed in seeds], jobs, done))


def words(lesson: Lesson, proof: Proof) -> list[str]:
    """Return what a proof says, in lines."""
    gap = "no other boat" if proof.least_gap_m is None else f"least gap {proof.least_gap_m:.1f} m"
    lines = [f"{lesson.name}: managed on {100.0 * proof.managed:.0f} % of {len(proof.rows)} days; {gap}"]
    if proof.hardest is not None:
        titles = {p.code: p.title for p in (*lesson.profile.phases, lesson.profile.leaving)}
        code, share = proof.hardest
        lines.append(f"  hardest: {titles.get(code, code)}, {100.0 * share:.0f} % of its points on average")
    lines.append(f"  difficulty {proof.difficulty:.2f} (0 easy, 1 hard)")
    failed = [str(row.seed) for row in proof.rows if not row.good]
    if failed:
        lines.append(f"  not managed on day {', '.join(failed)}")
    if not proof.reliable:
        lines.append("  flagged: a competent hand should manage nine days of ten")
    return lines
