"""The screens as they read: headings, keys and figures, and that they fit."""

from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pygame
import pytest

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.play.history import Tried
from sim.play.session import Session
from sim.scenario.library import load_lesson, load_words
from sim.scenario.words.catalogue import LONGER
from sim.scenario.words.language import lesson_in
from sim.ui.chart import scene_furniture
from sim.ui.input.keys import KEYS, Bindings, Press
from sim.ui.paint import fonts
from sim.ui.paint.display import Box, Words, texts
from sim.ui.paint.palette import DAY, NIGHT
from sim.ui.panels import scene_overlay, scene_rail
from sim.ui.panels.layout import lay_out
from sim.ui.screens import scene_chooser
from sim.ui.screens.chooser import Chooser
from sim.ui.screens.plan_screen import PlanScreen
from sim.ui.screens.sail import SailScreen
from sim.ui.screens.syllabus import Syllabus
from sim.ui.words import Catalogue

SIZES = [(1024, 768), (1280, 800), (1920, 1080)]


@pytest.fixture
def screen(tmp_path, words):
    """Return the first lesson, just begun."""
    return SailScreen(Session(load_lesson("lantern-pool"), 1, tmp_path), DAY, words)


def let_pass(session: Session, seconds: float) -> None:
    """Let simulated time pass and look."""
    for _ in range(round(60 * seconds)):
        session.tick()
    session.look()


def test_sternway_is_told_in_words(screen):
    """Speed over the ground comes with its sense."""
    assert "kn ahead" in texts(screen.items())
    screen.session.hands.order(cmd.Engine(lever=-1.0))
    let_pass(screen.session, 30.0)

    assert "kn astern" in texts(screen.items())


def test_a_refused_order_is_told_with_its_reason(screen):
    """The windlass against the stopper: one line says why not."""
    screen.session.hands.order(cmd.Stopper(on=True))
    screen.session.hands.order(cmd.Windlass(motion=1))
    let_pass(screen.session, 0.1)

    assert "Not done: Stopper is on." in texts(screen.items())


def test_every_event_in_plain_sight_has_words(words):
    """No news can come without a line for it."""
    kinds = ["".join("_" + c.lower() if c.isupper() else c for c in kind).lstrip("_") for kind in ev.KINDS]

    assert [kind for kind in kinds if not words.known(f"event.{kind}")] == []


@pytest.mark.parametrize("name", ev.KINDS)
def test_every_event_can_be_told_as_news(screen, words, name):
    """Whatever its line has in braces is in the event."""
    kind = ev.KINDS[name]
    plain = {"int": 1, "float": 1.5, "str": "keel", "bool": True}
    values = {f.name: plain.get(str(getattr(f.type, "__name__", f.type)), ()) for f in fields(kind)}
    session = screen.session
    own = {"tick": session.exercise.tick, "rode_kind": "chain"}
    values |= {key: value for key, value in own.items() if key in values}
    view = replace(session.view, seen=(kind(**values),))
    told = scene_furniture.news(screen.layout, view, session.brief, "", words)

    assert told is not None
    assert texts(told.items)
    assert "{" not in "".join(texts(told.items))


def test_the_rail_shows_what_can_be_done(screen, words):
    """Keys that do nothing now are dim; those that run are hot."""
    s = screen.session
    groups = {g.words: g for g in scene_rail.groups(s.view, s.brief)}
    assert not groups["ui.rail.snubber"].usable
    assert groups["ui.rail.leave"].usable
    s.hands.order(cmd.Brake(grip=0.0))
    let_pass(s, 15.0)  # time to fall through the deepest water of the lessons
    groups = {g.words: g for g in scene_rail.groups(s.view, s.brief)}

    assert groups["ui.rail.brake_on"].now
    assert not groups["ui.rail.windlass"].usable
    assert groups["ui.rail.mark"].now  # it has touched and is not marked


def test_the_help_tells_every_key(screen, words):
    """Each act and each press has its line; time stands while it is read."""
    screen.press(Press.HELP)
    brief = screen.session.brief
    panel, cells = scene_overlay.help_sheet(screen.layout, brief, words, Bindings())
    rows = scene_overlay.helped(brief, rodes=1)
    shown = texts(panel.items)

    assert screen.standing
    assert all(words(f"ui.help.{what}") in shown for _, what in rows)
    assert [cell.act for cell in cells] == [acts[0] for acts, _ in rows]
    told = {act for acts, _ in scene_overlay.HELP for act in acts}
    untold = {Press.UP, Press.DOWN, Press.LEFT, Press.RIGHT, Press.AGAIN, Press.BEFORE, Press.PAN_UP, Press.PAN_DOWN}
    untold |= {Press.SETTINGS}  # of the list of lessons
    untold |= {Press.REMARK, Press.UNDO}  # of a run looked at again
    assert set(KEYS) - told - untold <= {Press.HELP, Press.RADAR, Press.AIS}
    screen.press(Press.ESCAPE)
    assert not screen.standing


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", ["lantern-pool", "hazel-cove"])
def test_a_language_two_fifths_longer_fits(tmp_path, size, name):
    """No line runs beyond its panel, in any window."""
    screen = SailScreen(Session(lesson_in(name, LONGER), 1, tmp_path), DAY, Catalogue(load_words(LONGER)))
    screen.resize(size)
    camera = screen.camera()
    for part in range(3):
        for panel in screen.panels(part, camera):
            for item in panel.items:
                if isinstance(item, Words):
                    text, px = fonts.fitted(item.text, item.face, item.size, item.room)
                    wide = fonts.measure(text, item.face, px)
                    left = item.at[0] - (wide if "e" in item.anchor else 0.0 if "w" in item.anchor else 0.5 * wide)
                    assert left >= -1.0, (panel.name, item.text)
                    assert left + wide <= panel.rect[2] + 1.0, (panel.name, item.text)


@pytest.mark.parametrize("palette", [DAY, NIGHT], ids=lambda p: p.name)
@pytest.mark.parametrize("size", SIZES)
def test_the_list_names_every_lesson(words, size, palette):
    """As one goes down it: the title of each, the caution, and the line that says the physics is being compiled."""
    chooser = Chooser(Syllabus(), palette, words, lambda: False)
    chooser.draw(pygame.Surface(size), 0.0)
    shown: list[str] = []
    for chosen in range(len(chooser.lessons)):
        chooser.chosen = chosen
        shown += [text for panel in chooser.panels(size) for text in texts(panel.items)]

    assert all(lesson.title in shown for lesson in chooser.lessons)
    numbers = [lesson.sources.lesson.order or 1000 for lesson in chooser.lessons]
    assert numbers == sorted(numbers)
    assert "about 15 s" in " ".join(shown)
    assert "Not for navigation" in " ".join(shown)


def test_arrows_choose_lesson_and_day(words):
    """Down and up go round; right is another day, and no day lies before the first."""
    chooser = Chooser(Syllabus(), DAY, words, lambda: True)
    chooser.press(Press.UP)
    assert chooser.chosen == len(chooser.lessons) - 1
    chooser.press(Press.DOWN)
    chooser.press(Press.LEFT)
    assert (chooser.chosen, chooser.seed) == (0, 1)
    chooser.press(Press.RIGHT)

    assert chooser.seed == 2


def test_night_is_dim(screen):
    """The mean relative luminance (WCAG 2) of the night's screen is below a twentieth."""
    screen.use(NIGHT)
    surface = pygame.Surface((1024, 768))
    screen.draw(surface, 0.1)
    levels = pygame.surfarray.array3d(surface) / 255.0
    linear = np.where(levels <= 0.04045, levels / 12.92, ((levels + 0.055) / 1.055) ** 2.4)

    assert float((linear @ [0.2126, 0.7152, 0.0722]).mean()) < 0.05


def tried(points, passed=True, assisted=False):
    """Return an attempt as the list remembers it."""
    return Tried(Path("x"), 1, 1.0, points, passed, assisted, {"ph1": 1.0, "ph3": points / 100.0})


@pytest.mark.parametrize("size", SIZES)
def test_a_long_list_keeps_the_lesson_chosen_in_sight(words, size):
    """Twenty-five lessons do not fit: wherever one chooses, its row is there and printed solid."""
    lessons = [replace(load_lesson("lantern-pool"), title=f"Lesson {k}") for k in range(25)]
    layout = lay_out(size, False)
    for chosen in (0, 12, 24):
        items = scene_chooser.lessons(layout, lessons, chosen, {}, "", words).items

        assert f"Lesson {chosen}" in texts(items)
        solid = [i for i in items if isinstance(i, Words) and i.text.startswith("Lesson") and i.ink == "panel"]
        assert [i.text for i in solid] == [f"Lesson {chosen}"]


def test_the_last_attempts_stand_beside_a_lesson_each_for_itself(words):
    """Points for each, no average; an assisted one says so and is not solid."""
    lesson = load_lesson("lantern-pool")
    mine = [tried(40.0, passed=False), tried(81.0, assisted=True), tried(90.0)]
    layout = lay_out((1280, 800), False)
    row = scene_chooser.lessons(layout, [lesson], 0, {lesson.name: mine}, "", words).items
    solid = [item.ink is not None for item in row if isinstance(item, Box) and item.source == "told"]
    brief = texts(scene_chooser.brief(layout, lesson, 1, mine, words).items)

    assert solid == [False, False, True]
    assert ["40 of 100", words("ui.chooser.assisted"), "90 of 100"] == brief[-3:]


@pytest.mark.parametrize("size", SIZES)
def test_in_german_nothing_is_cut_off(tmp_path, size):
    """List, plan and sea as a German-speaking trainee sees them: smaller type where it must be, no line shortened."""
    words, lesson = Catalogue(load_words("de")), lesson_in("hazel-cove", "de")
    sea = SailScreen(Session(lesson, 1, tmp_path), DAY, words)
    sea.resize(size)
    chooser = Chooser(Syllabus("de"), DAY, words, lambda: True)
    panels = [*PlanScreen(lesson, 1, None, DAY, words).panels(size)]
    panels += [panel for part in range(3) for panel in sea.panels(part, sea.camera())]
    for chosen in range(0, len(chooser.lessons), 5):
        chooser.chosen = chosen
        panels += chooser.panels(size)
    lines = [item for panel in panels for item in panel.items if isinstance(item, Words)]

    assert len(lines) > 100
    assert [i.text for i in lines if fonts.fitted(i.text, i.face, i.size, i.room)[0] != i.text] == []


@pytest.mark.parametrize("language", ["en", "de", LONGER])
def test_the_list_reads_headings_alone_and_they_are_those_of_the_lessons(language, monkeypatch):
    """No bay is built for the list but that of the lesson shown; title, level and order are the lesson's own."""
    read = []
    monkeypatch.setattr(
        "sim.ui.screens.syllabus.lesson_in", lambda name, tongue: read.append(name) or lesson_in(name, tongue)
    )
    lessons = Syllabus(language)
    assert read == []
    first = lessons[0]
    assert read == [first.name]
    for at in (0, 3, -1):
        told, lesson = lessons.headings[at], lessons[at]
        assert (told.name, told.title, told.level) == (lesson.name, lesson.title, lesson.level)
        assert told.order == (lesson.sources.lesson.order or 1000)
    assert len(read) == 3
    assert [h.order for h in lessons.headings] == sorted(h.order for h in lessons.headings)
