"""Days of nearly equal difficulty for practice and for the test."""

from dataclasses import replace

import pytest

from sim.run import exam
from sim.run.exam import Day
from sim.run.trials import Row
from sim.scenario import library, load
from sim.scenario.schema_lesson import LessonFile


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
