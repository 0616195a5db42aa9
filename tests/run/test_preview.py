"""The author's picture: its legend, the others after a shift, and nothing of either where the trainee looks."""

import math

import pytest

from sim.pages import brief_page, preview, preview_legend, shifts
from sim.scenario import library
from sim.scenario.schema.lesson import EntryBlock

GHOST = "others after the shift"


def day(name: str, seed: int = 1):
    return library.load_lesson(name).on(seed).sources.lesson


def test_the_legend_names_grounds_zones_rodes_and_the_plan():
    picture = preview.draw(library.load_lesson("examiners-bay"), legend=True)

    for words in (
        "sand: bottom where no letters are shown",
        "stones",
        "fairway, cable",
        "Affidavit: rope, 50 m",
        "Quorum: a mooring, 12 m",
        "drop of the reference plan, 54 m of rode",
        "own boat at the start",
    ):
        assert f">{words}</text>" in picture, words


@pytest.mark.parametrize("name", library.lesson_names())
def test_every_lessons_legend_says_its_grounds_in_words_and_fits_below_the_picture(name):
    lesson = library.load_lesson(name)
    strip = preview_legend.columns(lesson, lesson.brief.chart, True, None)
    words = [text for column in strip for _, text in column]

    assert not [text for text in words if text.startswith(("preview.", "rode.", "ui."))]
    lowest = max(preview_legend.TOP + preview_legend.ROW * (len(column) - 1) for column in strip)
    assert lowest + 4.0 < preview_legend.height(strip)


def test_a_trainees_picture_tells_neither_rodes_nor_the_lie_after_the_shift():
    lesson = library.load_lesson("three-towers")
    author, trainee = preview.draw(lesson, legend=True), preview.draw(lesson, False, legend=True)

    assert GHOST in author and "then 320°" in author
    for secret in (GHOST, "then 320°", "Portcullis: chain", "reference plan"):
        assert secret not in trainee
    assert "own boat at the start" not in brief_page.draw(lesson, False)


def test_a_boat_that_comes_in_later_is_on_the_authors_picture_alone():
    """The trainee's page knows nothing of her; the instructor's says when she is there."""
    lesson = library.load_lesson("examiners-bay")
    assert "Caveat" not in preview.draw(lesson, answer=False, whole=False)
    assert "Caveat" in preview.draw(lesson, answer=True)
    assert "Caveat" not in brief_page.draw(lesson, answer=False)
    assert "comes in later" in brief_page.draw(lesson, answer=True)


def test_the_others_lie_to_leeward_of_their_anchors_in_the_wind_after_the_shift():
    lesson = library.load_lesson("three-towers")
    after = shifts.furthest(lesson.sources.lesson)
    world = preview.turned(lesson, after, 1)
    leeward = math.radians(after.from_deg + 180.0)

    for k, other in enumerate(world.params.neighbours, start=1):
        boat = world.state.boats[k]
        north, east = boat[0] - other.anchor_north_m, boat[1] - other.anchor_east_m
        assert abs(math.remainder(math.atan2(east, north) - leeward, math.tau)) < math.radians(35.0)


def test_a_lesson_whose_wind_holds_has_no_second_wind():
    assert shifts.of_day(day("nettle-roads")) == []
    assert GHOST not in preview.draw(library.load_lesson("nettle-roads"), legend=True)


def test_shifts_add_up_and_those_after_the_stay_are_left_out():
    ledge = day("wethercombe-ledge")
    short = ledge.model_copy(update={"stay_h": 6.0})

    assert [s.from_deg for s in shifts.of_day(ledge)] == [340.0, 45.0]
    assert shifts.furthest(ledge).mean_kn == 25.0
    assert [s.turn_deg for s in shifts.of_day(short)] == [70.0]


def test_a_shift_of_the_timeline_counts_and_a_gust_does_not():
    plain = day("nettle-roads")
    entries = [
        {"at_s": 1800, "do": {"inject": {"what": "shift", "ramp_s": 60, "turn_deg": -30}}},
        {"at_s": 600, "do": {"inject": {"what": "gust", "ramp_s": 4, "hold_s": 9, "turn_deg": 20, "factor": 1.5}}},
    ]
    turned = plain.model_copy(update={"timeline": tuple(EntryBlock.model_validate(e) for e in entries)})

    assert [(s.at_h, s.turn_deg) for s in shifts.of_day(turned)] == [(0.5, -30.0)]


def test_where_the_forecast_only_speaks_of_a_shift_the_far_end_of_its_sector_stands_for_it():
    bay = day("examiners-bay")
    calm = bay.model_copy(update={"wind": bay.wind.model_copy(update={"shifts": (), "from_deg": 320.0})})

    assert shifts.furthest(calm) is None
    assert shifts.sector_end(calm).from_deg == 30.0
