"""Lengths in a person's units: exact by the tables, and on every screen of the trainee's."""

import re

import pytest

from sim.core import events as ev
from sim.helm.crew import Call
from sim.play.session import Session
from sim.scenario.library import load_lesson, load_words
from sim.scenario.words.language import languages, lesson_in
from sim.ui import measures
from sim.ui.chart import scene_furniture
from sim.ui.input.keys import Press
from sim.ui.measures import FATHOM_M, FOOT_M, UNITS, tenths, whole
from sim.ui.paint.display import Panel, Words, texts
from sim.ui.paint.palette import DAY
from sim.ui.panels import scene_instruments
from sim.ui.panels.layout import lay_out
from sim.ui.screens import scene_chooser, scene_result
from sim.ui.screens.plan_screen import PlanScreen
from sim.ui.screens.sail import SailScreen
from sim.ui.words import Catalogue

METRES = re.compile(r"\d ?(?:m|metres|Meter)\b")
LAYOUT = lay_out((1280, 800), True)


def test_foot_and_fathom_are_the_published_ones():
    """1 ft = 0.3048 m exactly (NIST SP 811, 2008, appendix B.8); a fathom is six of them.

    The table's own fathom, of six survey feet, is 1.828 804 m: two parts in a million more.
    """
    assert FOOT_M == 0.3048
    assert pytest.approx(1.828804, rel=3e-6) == FATHOM_M
    assert measures.figure("feet", "depth", 3.048, 1) == "10.0"
    assert measures.figure("fathoms", "cable", 45.72, 0) == "25.0"


@pytest.mark.parametrize(
    ("units", "told"),
    [("metres", ("5.0 m", "30 m", "45 m")), ("feet", ("16.5 ft", "98 ft", "148 ft")),
     ("fathoms", ("2.8 fm", "16.4 fm", "148 ft"))],
)  # fmt: skip
def test_each_kind_of_length_is_read_in_its_unit(units, told):
    """Depth to a tenth, cable and distance whole; fathoms to a tenth, and distances in feet with them."""
    words = Catalogue(load_words("en"), units)
    said = words.length("depth", 5.03, 1), words.length("cable", 30.0), words.length("distance", 45.1)

    assert said == told


def test_a_length_is_not_rounded_twice():
    """16.50 ft is 5.03 m; the 5.0 m that metres show would make 16.4 ft."""
    en = load_words("en")
    values = {"rise_m": tenths(5.03), "fall_m": tenths(0.0), "unit": "ft"}

    assert "16.5 ft to rise" in Catalogue(en, "feet")("ui.brief.tide", **values)
    assert "5.0 m to rise" in Catalogue(en)("ui.brief.tide", **values)


def test_what_the_foredeck_calls_is_said_in_the_units_too():
    """Twenty metres out are 66 feet, or 10.9 fathoms; by the metre the words are those of the list."""
    en = load_words("en")
    call = Call(0, "metres_out", {"out_m": 20})

    assert Catalogue(en).call(call) == "20 m out."
    assert Catalogue(en, "feet").call(call) == "66 ft out."
    assert Catalogue(en, "fathoms").call(call) == "10.9 fm out."


@pytest.mark.parametrize(
    ("text", "feet"),
    [("Keep 5 to 8 m.", "Keep 16 to 26 ft."), ("3.5 m under her, 12 mm chain", "11.5 ft under her, 12 mm chain"),
     ("8 m/s and 5 min", "8 m/s and 5 min"), ("≥ 5 m", "≥ 16 ft"), ("3–6 m", "10–20 ft")],
)  # fmt: skip
def test_ready_sentences_are_said_again_in_feet(text, feet):
    """Metres alone, and ranges of them; what only looks like metres stays."""
    assert measures.prose(text, "feet", "ft") == feet
    assert measures.prose(text, "metres", "ft") == text


@pytest.mark.parametrize("language", sorted(languages()))
def test_no_line_of_the_window_keeps_its_metres(language):
    """Behind no figure of a length does a unit stay that is not the figure's own."""
    left = [
        key
        for key, text in load_words(language).items()
        if key.startswith(("ui.", "foredeck.", "event."))
        and re.search(r"_m\} (m|metres|Meter)\b", measures.pattern(text))
    ]

    assert left == []


@pytest.mark.parametrize("units", [u for u in UNITS if u != "metres"])
def test_no_screen_of_the_trainees_tells_metres(units, tmp_path):
    """Sea screen with every instrument, plan, brief, news and result, each as it is shown."""
    words, lesson = Catalogue(load_words("en"), units), load_lesson("hazel-cove")
    session = Session(lesson, 1, tmp_path)
    for _ in range(180):
        session.tick()
    session.look()
    screen = SailScreen(session, DAY, words)
    shown = [item.text for item in screen.items() if isinstance(item, Words)]
    panels: list[Panel] = [scene_chooser.brief(LAYOUT, lesson, 1, (), words)]
    for which in (Press.SOUNDER, Press.ANCHOR, Press.CIRCLE, Press.RADAR, Press.AIS):
        panels.append(scene_instruments.panel(which, LAYOUT, session.view, session.brief, words, 40.0, "O"))
    panels += PlanScreen(lesson, 1, None, DAY, words).panels(LAYOUT.size)
    for event in (
        ev.RangeTaken(tick=0, target=1, range_m=47.3, bearing_rad=1.0),
        ev.DepthSounded(tick=0, least_m=4.2, most_m=6.1),
    ):
        shown.append(scene_furniture.said(event, session.view, session.brief, words)[0])
    panels.append(scene_result.result(LAYOUT, session.finish("closed"), "Hazel Cove", words))
    shown += [line for panel in panels for line in texts(panel.items)]
    title = session.brief.boat.title  # "12 m catamaran" is what she is called

    assert len(shown) > 80
    assert [line for line in shown if METRES.search(line.replace(title, "").replace(str(tmp_path), ""))] == []
    assert any(line.endswith("ft") for line in shown)


def test_german_feet(tmp_path):
    """The brief in German, by the foot."""
    words, lesson = Catalogue(load_words("de"), "feet"), lesson_in("hazel-cove", "de")
    shown = texts(scene_chooser.brief(LAYOUT, lesson, 1, (), words).items)

    assert any("Tiefen der Karte in ft" in line or "in ft unter" in line for line in shown)
    assert str(whole(30.0)) == "30"
