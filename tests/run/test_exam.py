"""Days of nearly equal difficulty for practice and for the test."""

from dataclasses import replace

import pytest

from sim.author import exam
from sim.author.exam import Day
from sim.batch.trials import Row
from sim.scenario import library
from sim.scenario.read import load
from sim.scenario.schema.lesson import LessonFile


def row(seed: int, points: float, good: bool = True) -> Row:
    return Row("x", seed, good, False, 0.0, None, points, {}, 900.0, "0", passed=good)


def days(*gusts: float) -> list[Day]:
    """Return as many days for practice as for the test, the one half like the other."""
    return [Day(s, g, g) for start in (1, 101) for s, g in enumerate(gusts, start)]


def test_hardness_runs_from_the_gentlest_day_to_the_hardest():
    hard = exam.hardness([Day(1, 12.0, 3.0), Day(2, 18.0, 9.0), Day(3, 15.0, 5.0)])

    assert hard == {1: 0.0, 2: 1.0, 3: 0.5}


def test_the_days_chosen_lie_nearest_the_middle_and_are_as_hard_for_the_test_as_for_practice():
    choice = exam.choose(days(10.0, 14.9, 15.0, 15.1, 22.0), practised=3, tested=3)

    assert choice.practice == (2, 3, 4)
    assert choice.test == (102, 103, 104)
    assert max(choice.hardness.values()) - min(choice.hardness.values()) < 0.5


def test_a_day_that_was_not_managed_is_not_chosen():
    sailed = [replace(d, row=row(d.seed, 90.0, good=d.seed != 3)) for d in days(14.0, 14.5, 15.0, 15.5, 16.0)]
    choice = exam.choose(sailed, practised=2, tested=1)

    assert 3 not in choice.practice
    assert choice.test == (103,)


def test_marks_lost_make_a_day_harder():
    pair = [Day(1, 15.0, 5.0, row(1, 95.0)), Day(2, 15.0, 5.0, row(2, 60.0))]

    assert exam.hardness(pair)[2] > exam.hardness(pair)[1]


def test_a_days_weather_is_its_own_and_the_same_each_time():
    lesson = library.load_lesson("lantern-pool-2")
    one, again, other = exam.look(lesson, 1), exam.look(lesson, 1), exam.look(lesson, 2)

    assert one == again != other
    assert 12.0 < one.gust_kn < 20.0
    assert 0.0 < one.turn_deg < 40.0


def test_days_with_a_shift_in_the_night_are_not_mixed_with_days_without():
    """The middle of the first half hour lies on both kinds of day, as a draw has it."""
    both = [replace(d, shift_deg=40.0 * (d.seed % 2)) for d in days(*(14.0 + 0.1 * k for k in range(12)))]
    choice = exam.choose(both)
    turned = {d.shift_deg for d in both if d.seed in choice.hardness}

    assert (len(choice.practice), len(choice.test)) == (5, 3)
    assert len(turned) == 1


def test_days_whose_wind_rises_unlike_are_not_mixed_and_a_kind_too_small_is_not_taken():
    """Two days are calm later, and lie nearest the middle; there are not enough of them for both lists."""
    blown = [replace(d, rise_kn=0.0 if d.seed in (6, 106) else 8.0) for d in days(*(14.0 + 0.1 * k for k in range(11)))]
    choice = exam.choose(blown)

    assert not {6, 106} & set(choice.hardness)
    assert not exam.lacks(choice)


def test_any_two_days_chosen_turn_alike_where_the_turn_is_drawn_evenly():
    even = [replace(d, shift_deg=float(2 * (d.seed % 40) - 40)) for d in days(*(14.0 + 0.05 * k for k in range(40)))]
    by_seed = {d.seed: d for d in even}
    turns = [by_seed[seed].shift_deg for seed in exam.choose(even).hardness]

    assert max(turns) - min(turns) <= exam.SAME_DEG


def test_a_day_of_the_examination_tells_its_shift_and_what_the_timeline_brings():
    lesson = library.load_lesson("examiners-bay")
    turns = {exam.look(lesson, seed).shift_deg for seed in range(1, 13)}
    events = {exam.look(lesson, seed).events.split(",")[0] for seed in range(1, 13)}

    assert turns == {0.0, 40.0, -25.0}
    assert events == {"fault engine", "fault counter", "Codicil drag"}


@pytest.mark.parametrize("name", library.lesson_names())
def test_the_days_of_every_lesson_are_of_one_kind(name):
    lesson = library.load_lesson(name)
    seeds = lesson.sources.lesson.seeds
    kinds = [exam.look(lesson, seed) for seed in (*seeds.practice, *seeds.test)]

    assert all(abs(one.shift_deg - kinds[0].shift_deg) <= exam.SAME_DEG for one in kinds)
    assert all(abs(one.rise_kn - kinds[0].rise_kn) <= exam.SAME_KN for one in kinds)


def test_where_few_were_sailed_the_weather_is_still_weighed_among_all_days():
    """Of two days sailed neither is the hardest there is, and those not sailed are not chosen."""
    looked = days(10.0, 14.9, 15.0, 15.1, 22.0)
    some = [replace(d, row=row(d.seed, 90.0 + d.seed)) if d.seed in (2, 3, 103) else d for d in looked]
    choice = exam.choose(some)
    told = list(exam.words(some, choice))

    assert (choice.practice, choice.test) == ((2, 3), (103,))
    assert choice.hardness[2] < 0.9
    assert any(line.startswith("  fewer than wanted: 2 for practice and 1 for the test") for line in told)


def test_what_is_printed_names_a_day_that_was_not_managed_and_every_day_chosen():
    some = [replace(d, row=row(d.seed, 90.0, good=d.seed != 3)) for d in days(14.0, 14.5, 15.0, 15.5, 16.0)]
    told = list(exam.words(some, exam.choose(some)))

    assert "  not managed by the demonstrator, and left out: day 3" in told
    assert sum(line.startswith("  practice ") for line in told) == 4
    assert sum(line.startswith("  test ") for line in told) == 3


@pytest.mark.parametrize("name", ["lantern-pool", "hazel-cove"])
def test_the_line_written_reads_back_and_only_replaces_the_old_one(name):
    text = library.load_lesson(name).path.read_text(encoding="utf-8")
    first = exam.put(text, exam.Choice((4, 9), (103,), {}))
    second = exam.put(first, exam.Choice((5, 6), (104,), {}))
    seeds = load.validate(LessonFile, load.parse(second.encode(), "x.yaml")).seeds

    assert (seeds.practice, seeds.test) == ((5, 6), (104,))
    assert second.count("\nseeds:") == 1


@pytest.mark.parametrize("name", library.lesson_names())
def test_every_lesson_names_its_days_and_none_that_is_kept_unseen(name):
    seeds = library.load_lesson(name).sources.lesson.seeds

    assert "seeds" in library.load_lesson(name).sources.lesson.model_fields_set
    assert set(seeds.practice) <= set(exam.PRACTICE)
    assert set(seeds.test) <= set(exam.TEST)
