"""Watching the demonstrator in the window: he sails, says why, and the one who watches only looks on."""

import json

import pygame
import pytest

from sim.core.orders import commands as cmd
from sim.demonstrator.mistakes import table as mistakes
from sim.helm.exercise import Exercise
from sim.play.hands import Act
from sim.play.watching import Showing
from sim.record import recording, replay, track
from sim.scenario.library import load_lesson
from sim.ui import app as window_module
from sim.ui.app import App
from sim.ui.input.keys import Press
from sim.ui.paint.display import texts
from sim.ui.panels.layout import lay_out
from sim.ui.panels.scene_watched import caption
from sim.ui.screens.outcome import ResultScreen
from sim.ui.screens.sail import SailScreen

FRAME_S = 1.0 / 60.0


@pytest.fixture
def app(tmp_path, monkeypatch):
    """Return a window with one lesson in its list."""
    monkeypatch.setattr(window_module, "Syllabus", lambda _language: [load_lesson("lantern-pool")])
    window = App(tmp_path / "run", size=(1024, 768))
    window.warming.wait()
    yield window
    window.window.destroy()


def watched(app):
    """Ask in the list to watch it done, and return the screen."""
    app.screen.press(Press.PAUSE)
    app.frame(FRAME_S)
    app.frame(FRAME_S)
    assert isinstance(app.screen, SailScreen)
    assert isinstance(app.screen.session, Showing)
    return app.screen


def let_pass(session, seconds):
    """Let simulated time pass, as far as there is any."""
    until_s = session.exercise.t_s + seconds
    while session.exercise.t_s < until_s and not session.over:
        session.tick()


def test_he_sails_says_why_and_it_is_marked_with_its_night(app, tmp_path):
    """From the list to the result without a key: his narration is in the track, the night in its record."""
    screen = watched(app)
    let_pass(screen.session, 3600.0)
    assert screen.session.why() == "secured"
    for _ in range(3000):
        if isinstance(app.screen, ResultScreen):
            break
        app.frame(FRAME_S)
    assert isinstance(app.screen, ResultScreen)
    result = json.loads((tmp_path / "run" / "result.json").read_text(encoding="utf-8"))
    said = [c.key for c in track.load(tmp_path / "run" / "track.npz").calls if c.who == "demonstrator"]

    assert result["passed"]
    assert result["night"]["whole"]
    assert result["self_rating"] is None
    assert {"helm.plan", "helm.let_go", "helm.riding"} <= set(said)
    kept = recording.read(tmp_path / "run")
    assert replay.verify(kept, Exercise(load_lesson("lantern-pool"), 1, timeline=False)).agrees


@pytest.mark.slow
def test_from_his_approach_the_helm_can_be_taken_near_the_drop(app):
    """F7 from the result of what was watched: the same way there, and then it is the person's own."""
    screen = watched(app)
    let_pass(screen.session, 3600.0)
    for _ in range(3000):
        if isinstance(app.screen, ResultScreen):
            break
        app.frame(FRAME_S)
    app.screen.press(Press.BACK_30)
    app.frame(FRAME_S)
    assert isinstance(app.screen, SailScreen)
    assert not app.screen.session.shown
    assert app.screen.session.exercise.t_s > 60.0


def test_what_he_said_last_stands_on_the_screen(app, words):
    """With its time, in place of the person's own keys."""
    screen = watched(app)
    let_pass(screen.session, 30.0)
    screen.session.look()
    said = screen.session.said
    shown = " ".join(texts(screen.items()))

    assert " ".join(words.told(said.key, said.values).split()[:4]) in shown
    assert words("ui.watched.leave") in shown
    assert words("ui.rail.windlass").upper() not in shown


def test_who_watches_gives_no_order(app):
    """Keys of the boat, of the plan, of going back and of the end do nothing; pause and rate do."""
    screen = watched(app)
    let_pass(screen.session, 5.0)
    tick = screen.session.exercise.tick
    for press in (Press.ENTER, Press.ABORT, Press.PLAN, Press.WATCH, Press.BACK_30):
        screen.press(press)
        assert not screen.covered
    for act in (Act.AHEAD, Act.VEER, Act.BRAKE, Act.MARK):
        screen.press_act(act)
        screen.release_act(act)
    screen.session.tick()
    assert screen.session.exercise.tick == tick + 1
    assert all(c.actor == "demonstrator" for c in screen.session.exercise.applied if not isinstance(c, cmd.TimeRate))
    screen.press(Press.PAUSE)
    assert screen.session.pacer.paused


def test_a_mistake_on_purpose_can_be_watched(tmp_path):
    """The skipper is another, and says what is wrong."""
    session = Showing(load_lesson("lantern-pool-2"), 1, tmp_path, kind=mistakes.find("B3").kind)
    let_pass(session, 900.0)
    assert any(line.key == "mistakes.B3" for line in session.skipper.said)


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800), (1920, 1080)])
def test_whatever_he_says_stays_within_the_window(app, words, size):
    """The longest of his sentences in the smallest window."""
    screen = watched(app)
    let_pass(screen.session, 400.0)
    longest = max(screen.session.skipper.said, key=lambda s: len(words.told(s.key, s.values)))
    panel = caption(lay_out(size, False), longest, words)
    assert pygame.Rect((0, 0), size).contains(pygame.Rect(panel.rect))
    assert words.told(longest.key, longest.values).split()[-1] in " ".join(texts(panel.items))


def test_the_help_names_no_key_that_is_not_for_who_watches(app):
    """Nor does a click there, or an instrument's key, give an order."""
    screen = watched(app)
    screen.press(Press.HELP)
    app.frame(FRAME_S)
    named = {cell.act for cell in screen.help_cells}
    screen.press(Press.ESCAPE)
    for press in (Press.ENTER, Press.ABORT, Press.PLAN, Press.RADAR, Press.CIRCLE):
        assert press not in named
        screen.work(press)
        assert not screen.covered
    assert Act.VEER not in named
    assert {Act.LOOK_LEFT, Press.PAUSE, Press.ESCAPE} <= named
    assert screen.instrument is None


def test_he_has_the_foredeck_to_himself_where_lessons_begin_with_two(app):
    """No second window, whose keys would work the gear under his hands."""
    app.two = True
    screen = watched(app)
    app.frame(FRAME_S)

    assert app.company.foredeck is None
    assert screen.session.apart is None
