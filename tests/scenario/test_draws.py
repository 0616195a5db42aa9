"""What is left to the day: drawn by the seed alone, within its ends, and refused where an end would not fit."""

import pytest

from sim.base.errors import ScenarioError
from sim.scenario import library
from sim.scenario.read import draws
from sim.scenario.schema.lesson import EntryBlock

DRAWN = """drawn:
  - { key: wind.mean_kn, between: [8, 14], step: 1 }
  - { key: wind.gust_kn, over: wind.mean_kn, between: [2, 6] }
  - { key: boat, one_of: [sloop-12, long-keel-11] }
  - { key: "start.north_m", between: [-40, -10] }
teacher:
"""


@pytest.fixture
def varied(spoil):
    return library.load_lesson(spoil("lessons/lantern-pool.yaml", "teacher:\n", DRAWN))


def test_the_same_seed_is_the_same_day_and_the_days_differ(varied):
    days = [varied.on(seed) for seed in range(1, 40)]
    winds = [day.sources.lesson.wind for day in days]

    assert varied.on(3).sources.lesson == varied.on(3).sources.lesson
    assert {w.mean_kn for w in winds} == {8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0}
    assert all(2.0 <= w.gust_kn - w.mean_kn <= 6.0 for w in winds)
    assert {day.boat for day in days} == {"sloop-12", "long-keel-11"} == {day.world(1).boat.name for day in days}
    assert all(-40.0 <= day.world(1).start.north_m <= -10.0 for day in days)
    assert len({day.brief.forecast.mean_mps for day in days}) == 7, "the brief tells the day's forecast"


def test_one_draw_more_shifts_no_other(varied):
    blocks = varied.sources.lesson.drawn
    first = draws.drawn(varied.sources.data, blocks[:2], 5)
    more = draws.drawn(varied.sources.data, blocks, 5)

    assert first["wind"] == more["wind"]


def test_a_lesson_that_leaves_nothing_to_the_day_is_itself():
    lesson = library.load_lesson("lantern-pool")

    assert lesson.on(7) is lesson


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("{ key: wind.mean_kn, between: [8, 70] }", "at wind.mean_kn at most 60"),
        ("{ key: wind.mean_kn, between: [8, 30] }", "gust_kn not below mean_kn"),
        ("{ key: wind.mean_kn, one_of: [8, fresh] }", "a number"),
        ("{ key: wind.meen_kn, between: [8, 9] }", "found an unknown key"),
        ('{ key: "timeline[0].at_s", between: [8, 9] }', "keys that stand in this lesson"),
        ("{ key: wind..mean_kn, between: [8, 9] }", "a key such as"),
        ("{ key: wind.mean_kn }", "either between or one_of"),
        ("{ key: wind.mean_kn, between: [9, 8] }", "lower end first"),
        ("{ key: bay, one_of: [hazel-cove] }", "may differ"),
        ("{ key: boat, one_of: [sloop-21] }", "a boat of the library"),
    ],
)
def test_a_draw_that_could_not_be_is_refused_at_its_line(spoil, refusal, line_of, row, expected):
    path = spoil("lessons/lantern-pool.yaml", "teacher:\n", f"drawn:\n  - {row}\nteacher:\n")
    error = refusal()

    assert expected in str(error)
    assert error.line in (line_of(path, "drawn:"), line_of(path, row))


def entry(**keys) -> EntryBlock:
    return EntryBlock.model_validate({"do": {"note": {"text": "x"}}, **keys})


def test_times_and_chances_of_the_timeline_are_drawn():
    blocks = [entry(at_s=100.0, to_s=200.0), entry(at_s=5.0, chance=0.3), entry(at_s=7.0)]
    days = [draws.entries(blocks, seed) for seed in range(400)]

    times = [day[0].at_s for day in days]
    assert 100.0 <= min(times) < 110.0 and 190.0 < max(times) <= 200.0
    share = sum(len(day) == 3 for day in days) / 400
    assert 0.22 < share < 0.38, "three days in ten, within three standard deviations of 400"
    assert draws.varies(blocks) and not draws.varies(blocks[2:])


def test_a_key_is_read_as_it_is_told():
    assert draws.parse_key("timeline[12].do.inject.factor") == ("timeline", 12, "do", "inject", "factor")
    for key in ("", "a b", "a.", "a[x]", "[0]"):
        with pytest.raises(ValueError):
            draws.parse_key(key)


def test_all_slips_are_told_at_once_over_all_files(spoil, refusal):
    spoil("lessons/lantern-pool.yaml", "veer_deg: 3", "veer_deg: 300")
    spoil("lessons/lantern-pool.yaml", "stay_h: 10", "stay_h: 100")
    error = refusal()

    assert [e.key for e in error.every()] == ["stay_h", "wind.veer_deg"]


def test_slips_of_the_bay_and_of_the_boat_are_told_together(spoil, refusal):
    boat = spoil("boats/sloop-12.yaml", "roller_height_m: 1.5", "roller_height_m: 15")
    bay = spoil("bays/lantern-pool.yaml", "cell_m: 5", "cell_m: 500")
    told = refusal().every()

    assert {e.file for e in told} == {str(boat), str(bay)}
    assert all(isinstance(e, ScenarioError) and e.line > 0 for e in told)
