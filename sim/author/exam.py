"""Days of nearly equal difficulty: which of a lesson's days to practise on, and which to be tested on.

A day's hardness is the mean of its ranks, 0 the gentlest and 1 the hardest: among all days looked at in the strongest
three-second gust at the anchorage in the first half hour and in the furthest that a minute's wind turns off the mean of
that time; and, among those that were sailed, in the least gap to another hull and in the marks that the demonstrator
lost. The days chosen are those that lie near the middle in each of these, so that no strong wind is made good by a
steady one. They are also of one kind in what the wind does later in the stay: its shifts, foreseen or by the timeline,
turn it alike and leave it as strong, for no gust of the first half hour makes up for a wind that turns in the night.
Gusts, squalls and mishaps of the timeline are not weighed: they are told of each day chosen.
"""

import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.base.units import knots
from sim.batch import trials
from sim.batch.trials import Row
from sim.core import world as wd
from sim.model import layout as lay
from sim.model.air.wind import wind_at
from sim.pages import shifts
from sim.scenario.library import Lesson
from sim.scenario.schema.lesson import EntryBlock

PRACTICE, TEST = range(1, 41), range(101, 141)  # seeds looked at
PRACTISED, TESTED = 5, 3  # how many are wanted
LOOK_S = 1800
GUST_S, TURN_S = 3, 60
SAME_DEG, SAME_KN = 10.0, 2.0  # days of one kind differ by no more in their later wind (judgement)


@dataclass(frozen=True)
class Day:
    """One of a lesson's days.

    Attributes:
        seed: its number.
        gust_kn: its strongest gust of the first half hour.
        turn_deg: how far the wind turns off its mean in that time.
        row: what came of it, where it was sailed.
        shift_deg: how far shifts turn the wind at most, later in the stay; it veers, below 0 it backs.
        rise_kn: how much shifts raise the mean wind at most; below 0 it falls.
        events: what else the timeline brings.
    """

    seed: int
    gust_kn: float
    turn_deg: float
    row: Row | None = None
    shift_deg: float = 0.0
    rise_kn: float = 0.0
    events: str = ""

    def like(self, other: "Day") -> bool:
        """Return whether the later wind is of the other's kind: any two days like a third are within the limits."""
        turns = abs(self.shift_deg - other.shift_deg) <= 0.5 * SAME_DEG
        return turns and abs(self.rise_kn - other.rise_kn) <= 0.5 * SAME_KN


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
    file = day.sources.lesson
    later, far = shifts.of_day(file), shifts.furthest(file)
    return Day(
        seed,
        knots(float(gusts.max())),
        math.degrees(max(turns)),
        shift_deg=far.turn_deg if far else 0.0,
        rise_kn=max((s.mean_kn for s in later), default=file.wind.mean_kn) - file.wind.mean_kn,
        events=", ".join(dict.fromkeys(event for entry in file.timeline if (event := _event(entry)))),
    )


def _event(entry: EntryBlock) -> str:
    """Return what an entry brings, in the words of the file; empty for a note and for a shift, told elsewhere."""
    do = entry.do
    if do.fault is not None:
        return f"fault {do.fault.what}"
    if do.neighbour is not None:
        return f"{do.neighbour.name} {do.neighbour.what}"
    if do.inject is not None and do.inject.what != "shift":
        return do.inject.what
    return "wash" if do.wash is not None else f"crew {do.crew.what}" if do.crew is not None else ""


def hardness(days: Sequence[Day]) -> dict[int, float]:
    """Return the hardness of each day, by its seed."""
    return {seed: sum(ranks) / len(ranks) for seed, ranks in _all_ranks(days).items()}


def _all_ranks(days: Sequence[Day]) -> dict[int, tuple[float, ...]]:
    """Return each day's ranks by its seed: gust and turn among all; marks and gap among those that were sailed."""
    weather = zip(_ranks([d.gust_kn for d in days]), _ranks([d.turn_deg for d in days]), strict=True)
    ranks = {day.seed: list(of_day) for day, of_day in zip(days, weather, strict=True)}
    rows = [d.row for d in days if d.row is not None]
    columns = [[-row.points for row in rows]]
    if all(row.min_gap_m is not None for row in rows):
        columns.append([-float(row.min_gap_m or 0.0) for row in rows])
    for column in columns:
        for row, rank in zip(rows, _ranks(column), strict=True):
            ranks[row.seed].append(rank)
    return {seed: tuple(of_day) for seed, of_day in ranks.items()}


def _ranks(column: Sequence[float]) -> list[float]:
    """Return each figure's share of the others that lie below it; equals count half."""
    most = max(len(column) - 1, 1)
    return [
        (sum(o < one for o in column) + 0.5 * (sum(o == one for o in column) - 1)) / most for one in column
    ]  # fmt: skip


def choose(days: Sequence[Day], practised: int = PRACTISED, tested: int = TESTED) -> Choice:
    """Return the days of one kind that are nearest to the middle in all their ranks.

    Of the kinds that the later wind makes, it is the one that has days enough, and of these the one whose days are
    nearest. Where any were sailed, the others are out, and those that the demonstrator did not manage.
    """
    hard, ranks = hardness(days), _all_ranks(days)
    any_sailed = any(d.row is not None for d in days)
    fit = [d for d in days if (d.row is not None and d.row.good) or not any_sailed]

    def off(day: Day) -> tuple[float, int]:
        return max(abs(rank - 0.5) for rank in ranks[day.seed]), day.seed

    def score(kind: tuple[list[Day], list[Day]]) -> tuple[int, float]:
        chosen = [*kind[0], *kind[1]]
        return practised + tested - len(chosen), max((off(day)[0] for day in chosen), default=1.0)

    kinds = [
        (
            sorted((d for d in fit if d.like(one) and d.seed not in TEST), key=off)[:practised],
            sorted((d for d in fit if d.like(one) and d.seed in TEST), key=off)[:tested],
        )
        for one in sorted(fit, key=off)
    ]
    practice, test = (tuple(sorted(d.seed for d in part)) for part in min(kinds, key=score, default=([], [])))
    return Choice(practice, test, {s: hard[s] for s in (*practice, *test)})


def sailed(
    lesson: Lesson, days: Sequence[Day], count: int, jobs: int, done: Callable[[Row], None] = lambda row: None
) -> list[Day]:
    """Return the days, with what came of the ``count`` for practice and for the test most alike by their weather."""
    near = choose(days, count, count)
    rows = trials.run([(str(lesson.path), seed) for seed in (*near.practice, *near.test)], jobs, done)
    by_seed = {row.seed: row for row in rows}
    return [replace(day, row=by_seed.get(day.seed)) for day in days]


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


def words(days: Sequence[Day], choice: Choice) -> Iterator[str]:
    """Yield what was chosen and how like the days are, in lines."""
    by_seed = {d.seed: d for d in days}
    yield f"  {line(choice)}"
    rows = [d.row for d in days if d.row is not None]
    if failed := [str(row.seed) for row in rows if not row.good]:
        yield f"  not managed by the demonstrator, and left out: day {', '.join(failed)}"
    for name, seeds in (("practice", choice.practice), ("test", choice.test)):
        for seed in seeds:
            yield f"  {name} {seed}: hardness {choice.hardness[seed]:.2f}, {_told(by_seed[seed])}"
    among = f"the {len(days)} days looked at" + (f", in marks and room of the {len(rows)} sailed" if rows else "")
    yield f"  (hardness: 0 gentlest to 1 hardest of {among})"
    if lacks(choice):
        found = f"{len(choice.practice)} for practice and {len(choice.test)} for the test"
        yield f"  fewer than wanted: {found}, not {PRACTISED} and {TESTED}; --trials {2 * PRACTISED} gives more choice"


def lacks(choice: Choice) -> bool:
    """Return whether there are fewer days than wanted."""
    return len(choice.practice) < PRACTISED or len(choice.test) < TESTED


def _told(day: Day) -> str:
    """Return what a day brings."""
    told = [f"gusts {day.gust_kn:.0f} kn", f"wind turns {day.turn_deg:.0f} degrees"]
    if day.shift_deg:
        told.append(f"later {'veers' if day.shift_deg > 0.0 else 'backs'} {abs(day.shift_deg):.0f}")
    if day.rise_kn:
        told.append(f"{'rises' if day.rise_kn > 0.0 else 'falls'} {abs(day.rise_kn):.0f} kn")
    if day.events:
        told.append(day.events)
    if day.row is not None:
        told.append(f"marks {day.row.points:.0f}")
        told += [f"least gap {day.row.min_gap_m:.0f} m"] if day.row.min_gap_m is not None else []
    return ", ".join(told)
