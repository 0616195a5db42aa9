"""Languages: English stands in for what one lacks, and that is reported; words change, and nothing else."""

import pytest

from sim.base.errors import ScenarioError
from sim.scenario import library
from sim.scenario.read import shelf
from sim.scenario.words import catalogue, language

LANGUAGES = sorted(path.stem for path in (library.data_root() / "words").glob("*.yaml"))


@pytest.fixture
def own_library(school, monkeypatch):
    """Return a copy of the library that stands in for the program's own."""
    monkeypatch.setattr(shelf, "data_root", lambda: school)
    return school


@pytest.mark.parametrize("name", LANGUAGES)
def test_a_shipped_language_is_complete(name):
    """A new English key wants its words in every language: ``windrode check --language`` names what is missing."""
    assert language.lacking(name) == []
    assert language.unknown(name) == []


@pytest.mark.parametrize("name", LANGUAGES)
def test_every_sentence_is_filled_in_as_in_english(name):
    english, own = library.load_words("en"), catalogue.own_words(shelf.library(), name)

    assert {key: catalogue.gaps(text) for key, text in english.items()} == {
        key: catalogue.gaps(own[key]) for key in english
    }


def test_english_stands_in_and_is_reported(own_library, spoil):
    spoil("words/de.yaml", '  side.port: "an Backbord"\n', "")
    spoil("lessons/de/bramble-gale.yaml", "title: Bramble Hole bei viel Wind\n", "")

    assert library.load_words("de")["side.port"] == "port"
    lesson = language.lesson_in("bramble-gale", "de")
    assert lesson.title == "Bramble Hole in a blow"
    assert lesson.brief.words != library.load_lesson("bramble-gale").brief.words
    assert language.lacking("de") == ["side.port", "lessons/de/bramble-gale.yaml: title"]


def test_a_lesson_without_words_of_its_own_is_said_in_english(own_library):
    (own_library / "lessons" / "de" / "thimble-cove.yaml").unlink()

    assert language.lesson_in("thimble-cove", "de").brief.words == library.load_lesson("thimble-cove").brief.words
    page = ("teaches", "reading", "intended_error", "debrief", "refusal")
    asked = ("title", "aim", "words", *(f"teacher.{key}" for key in page))
    assert language.lacking("de") == [f"lessons/de/thimble-cove.yaml: {key}" for key in asked]


def test_a_misspelt_key_is_reported(own_library, spoil):
    spoil("words/de.yaml", "  side.port:", "  side.prot:")

    assert language.unknown("de") == ["side.prot"]


def test_a_sentence_with_other_gaps_is_refused(own_library, spoil, line_of):
    """It would fail in the middle of a lesson."""
    path = spoil("words/de.yaml", '"{out_m} m gesteckt."', '"{meter} m gesteckt."')

    with pytest.raises(ScenarioError) as refused:
        library.load_words("de")
    assert (refused.value.line, refused.value.key) == (line_of(path, "{meter}"), "words.foredeck.metres_out")
    assert (refused.value.expected, refused.value.found) == ("{out_m}", "{meter}")


def test_a_lesson_s_words_may_lie_beside_it(school):
    """A school's own lesson is translated where it lies."""
    (school / "lessons" / "de" / "lantern-pool.yaml").write_text("format: 1\naim: Anhalten.\n", encoding="utf-8")
    lesson = language.lesson_in(school / "lessons" / "lantern-pool.yaml", "de")

    assert (lesson.title, lesson.brief.aim) == ("Lantern Pool", "Anhalten.")


def test_what_a_lesson_of_ones_own_lacks_is_told(school):
    lesson = school / "lessons" / "lantern-pool.yaml"
    words = school / "lessons" / "de" / "lantern-pool.yaml"
    assert language.lesson_lacking(lesson, "de") == []
    words.write_text("format: 1\naim: Anhalten.\n", encoding="utf-8")

    lacking = language.lesson_lacking(lesson, "de")

    assert "lessons/de/lantern-pool.yaml: title" in lacking and "lessons/de/lantern-pool.yaml: teacher.why" in lacking
    assert "lessons/de/lantern-pool.yaml: aim" not in lacking
    assert language.lesson_lacking(lesson, "en") == []


@pytest.mark.parametrize("name", ["lantern-pool", "saltmarrow-reach"])
def test_nothing_but_words_differs(name):
    """The same hash, so that a recording is of one lesson; the same day, so that it is as hard."""
    english, german = library.load_lesson(name), language.lesson_in(name, "de")
    day, tag = english.on(5), german.on(5)

    assert german.sha256 == english.sha256
    assert tag.world(5).water.tide.tolist() == day.world(5).water.tide.tolist()
    assert tag.brief.aim == german.brief.aim != english.brief.aim
    assert tag.language == "de"
    assert [m.full for p in german.profile.phases for m in p.measures] == [
        m.full for p in english.profile.phases for m in p.measures
    ]
    assert german.profile.phases[0].title == "Plan und Platz"


def test_the_longer_language_is_two_fifths_longer_and_has_the_same_gaps():
    english, longer = library.load_words("en"), library.load_words(catalogue.LONGER)

    grown = sum(map(len, longer.values())) / sum(map(len, english.values()))
    assert grown == pytest.approx(1.4, abs=0.02)
    assert all(catalogue.gaps(longer[key]) == catalogue.gaps(text) for key, text in english.items())
    assert language.lesson_in("lantern-pool", catalogue.LONGER).title == catalogue.longer("Lantern Pool")


def test_what_stands_on_the_chart_is_named_in_the_language():
    """Marks and zones are told, the bay keeps its name."""
    chart = language.lesson_in("hazel-cove", "de").brief.chart

    assert chart.title == "Hazel Cove"
    assert {"Bootshaus", "weiße Bake"} <= {mark.name for mark in chart.marks}
    assert "Kabel" in {zone.name for zone in chart.zones}


def test_the_instructors_page_is_told_and_what_it_lacks_is_english():
    lesson, english = language.lesson_in("bramble-hole", "de"), library.load_lesson("bramble-hole")

    assert lesson.teacher.teaches.startswith("In tiefem Wasser")
    assert "57 m" in lesson.teacher.reference.why
    assert lesson.teacher.refusal.why != english.teacher.refusal.why
    assert lesson.teacher.reference.rode_m == english.teacher.reference.rode_m
