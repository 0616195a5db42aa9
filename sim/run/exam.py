"""Days of nearly equal difficulty: which of a lesson's days to practise on, and which to be tested on.

A day's hardness is the mean of its ranks among the days looked at, 0 the gentlest and 1 the hardest, in: the strongest
three-second gust at the anchorage in the first half hour, the furthest that a minute's wind turns off the mean of that
time, and, where the day was sailed, the least gap to another hull and the marks that the demonstrator lost. The days
chosen are those that lie near the middle in each of these, so that no strong wind is made good by a steady one. Gusts
and shifts that the timeline injects are not in it: they come on every day, or by chance, which the day draws.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.base.units import knots
from sim.core import world as wd
from sim.model import layout as lay
from sim.model.wind import wind_at
from sim.run import trials
from sim.run.trials import Row
from sim.scenario.library import Lesson

PRACTICE, TEST = range(1, 41), range(101, 141)  # seeds looked at
PRACTISED, TESTED = 5, 3  # how many are wanted
LOOK_S = 1800
GUST_S, TURN_S = 3, 60


@dataclass(frozen=True)
class Day:
    """One of a lesson's days: its seed, strongest gust [kn], furthest turn of the wind [deg], and what came of it."""

    seed: int
    gust_kn: float
    turn_deg: float
    row: Row | None = None


@dataclass(frozen=True)
class Choice:
    """Seeds for practice and for the test, with the hardness of each."""

    practice: tuple[int, ...]
    test: tuple[int, ...]
    hardness: dict[int, float]


def look(lesson: Lesson, seed: int) -> Day:
    """Return a day as its weather has it, not sailed."""
    day = lesson.on(seed)
    world = wd.build(day.world(seed))
    spot, none = day.brief.anchorage, np.zeros((1, lay.EPISODE_COLS))
    winds = np.array(
        [wind_at(spot.north_m, spot.east_m, float(t), world.params.weather.air, none, 0) for t in range(LOOK_S)]
    )
    gusts = np.convolve(np.hypot(*winds.T), np.full(GUST_S, 1.0 / GUST_S), "valid")
    minutes = winds.reshape(-1, TURN_S, 2).mean(axis=1)
    mean = math.atan2(*winds.mean(axis=0)[::-1])
    turns = [abs(math.remainder(math.atan2(e, n) - mean, 2.0 * math.pi)) for n, e in minutes.tolist()]
    return Day(seed, knots(float(gusts.max())), math.degrees(max(turns)))


def hardness(days: Sequence[Day]) -> dict[int, float]:
    """Return the hardness of each day, by its seed."""
    return {seed: sum(ranks) / len(ranks) for seed, ranks in _all_ranks(days).items()}


def _all_ranks(days: Sequence[Day]) -> dict[int, tuple[float, ...]]:
    """Return each day's ranks among the others, by its seed: gust, turn, and marks and gap where all were sailed."""
    figures = [[d.gust_kn for d in days], [d.turn_deg for d in days]]
    if all(d.row is not None for d in days):
        rows = [d.row for d in days if d.row is not None]
        figures.append([-row.points for row in rows])
        if all(row.min_gap_m is not None for row in rows):
            figures.append([-float(row.min_gap_m or 0.0) for row in rows])
    ranks = zip(*(_ranks(column) for column in figures), strict=True)
    return {day.seed: tuple(of_day) for day, of_day in zip(days, ranks, strict=True)}


def _ranks(column: Sequence[float]) -> list[float]:
    """Return each figure's share of the others that lie below it; equals count half."""
    most = max(len(column) - 1, 1)
    return [
        (sum(o < one for o in column) + 0.5 * (sum(o == one for o in column) - 1)) / most for one in column
    ]  # fmt: skip


def choose(days: Sequence[Day], practised: int = PRACTISED, tested: int = TESTED) -> Choice:
    """Return the days nearest to the middle in all their ranks; those that the demonstrator did not manage are out."""
    hard, ranks = hardness(days), _all_ranks(days)
    fit = [d.seed for d in days if d.row is None or d.row.good]
    near = sorted(fit, key=lambda seed: (max(abs(rank - 0.5) for rank in ranks[seed]), seed))
    practice = tuple(sorted([s for s in near if s not in TEST][:practised]))
    test = tuple(sorted([s for s in near if s in TEST][:tested]))
    return Choice(practice, test, {s: hard[s] for s in (*practice, *test)})


def sailed(lesson: Lesson, days: Sequence[Day], count: int, jobs: int) -> list[Day]:
    """Return the ``count`` days for practice and for the test that are most alike by their weather, sailed."""
    near = choose(days, count, count)
    rows = trials.run([(str(lesson.path), seed) for seed in (*near.practice, *near.test)], jobs)
    by_seed = {row.seed: row for row in rows}
    return [replace(day, row=by_seed[day.seed]) for day in days if day.seed in by_seed]


def line(choice: Choice) -> str:
    """Return the line of a lesson's file."""
    practice, test = (", ".join(map(str, seeds)) for seeds in (choice.practice, choice.test))
    return f"seeds: {{ practice: [{practice}], test: [{test}] }}"


def put(text: str, choice: Choice) -> str:
    """Return a lesson's text with these seeds in the place of those it had, else before the instructor's page."""
    fresh = line(choice) + "\n"
    if re.search(r"(?m)^seeds:.*\n(?:[ -].*\n)*", text):
        return re.sub(r"(?m)^seeds:.*\n(?:[ -].*\n)*", lambda _: fresh, text, count=1)
    return re.sub(r"(?m)^(?=teacher:)", lambda _: fresh, text, count=1)


def words(days: Sequence[Day], choice: Choice) -> list[str]:
    """Return what was chosen and how like the days are, in lines."""
    by_seed = {d.seed: d for d in days}
    lines = [f"  {line(choice)}"]
    for name, seeds in (("practice", choice.practice), ("test", choice.test)):
        if seeds:
            mine = [by_seed[s] for s in seeds]
            hard = [choice.hardness[s] for s in seeds]
            gust, turn = [d.gust_kn for d in mine], [d.turn_deg for d in mine]
            lines.append(
                f"  {name}: hardness {min(hard):.2f} to {max(hard):.2f} (all days 0 to 1), gusts {min(gust):.0f} to"
                f" {max(gust):.0f} kn, wind turns {min(turn):.0f} to {max(turn):.0f} degrees"
            )
    return lines
