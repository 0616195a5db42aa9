"""The night in the window: it passes piece by piece, a call gives the helm, and what was done is in its record."""

import dataclasses
import json
import math

import pygame
import pytest

from sim.base.errors import SimulationDiverged
from sim.base.units import TICK_HZ
from sim.core.orders import commands as cmd
from sim.helm.exercise import Exercise
from sim.model import layout as lay
from sim.record import night as nights
from sim.record import recording, replay
from sim.scenario.library import load_lesson
from sim.scenario.schema.weather import SkyBlock
from sim.ui import app as window_module
from sim.ui.app import App
from sim.ui.input.keys import Press
from sim.ui.paint.display import Words, texts
from sim.ui.paint.palette import DAY, twilight
from sim.ui.screens.night_screen import NightScreen
from sim.ui.screens.outcome import ResultScreen
from sim.ui.screens.plan_screen import PlanScreen
from sim.ui.screens.rating import RatingScreen
from sim.ui.screens.sail import SailScreen

FRAME_S = 1.0 / 60.0
STAY_S = 1500.0


def short(stay_s=STAY_S):
    """Return the first lesson at sunset with a short stay."""
    first = load_lesson("lantern-pool")
    file = first.sources.lesson.model_copy(update={"sky": SkyBlock(starts_h=19.2)})
    sources = dataclasses.replace(first.sources, lesson=file)
    return dataclasses.replace(first, sources=sources, brief=dataclasses.replace(first.brief, stay_s=stay_s))


def let_pass(session, seconds):
    """Let simulated time pass at sea."""
    for _ in range(round(TICK_HZ * seconds)):
        session.tick()


def secured(app, *last):
    """Bring her to her anchor, set it a little, and report her secured after the ``last`` orders."""
    session = app.screen.session
    line = session.exercise.world.state.lines[0]
    for order in (cmd.Brake(grip=0.0), cmd.Engine(lever=-0.25)):
        session.hands.order(order)
    while line[lay.L_OUT] < 30.0:
        session.tick()
    session.hands.order(cmd.Brake(grip=1.0))
    let_pass(session, 40.0)
    for order in (cmd.Engine(lever=0.0), *last, cmd.Secure()):
        session.hands.order(order)
    let_pass(session, 0.1)


def alarm(app, radius_m):
    """Return an alarm circle about where she is."""
    own = app.screen.session.exercise.world.state.boats[0]
    return cmd.SetAlarm(north_m=round(float(own[0]), 1), east_m=round(float(own[1]), 1), radius_m=radius_m)


@pytest.fixture
def app(tmp_path, monkeypatch):
    """Return a window at sea in the short lesson, the only one in its list."""
    monkeypatch.setattr(window_module, "Syllabus", lambda _language: [short()])
    window = App(tmp_path / "run", size=(1024, 768))
    window.warming.wait()
    window.chooser.asked = True
    window.frame(FRAME_S)
    assert isinstance(window.screen, PlanScreen)
    window.screen.press(Press.ENTER)
    window.frame(FRAME_S)
    assert isinstance(window.screen, SailScreen)
    yield window
    window.window.destroy()


def until(app, kind, frames=3000):
    """Let frames pass until a screen is shown."""
    for _ in range(frames):
        if isinstance(app.screen, kind):
            return app.screen
        app.frame(FRAME_S)
    raise AssertionError(f"no {kind} after {frames} frames, but {app.screen}")


def turned_in(app, *last):
    """Secure her, say nothing of how it went, and go to sleep."""
    secured(app, *last)
    until(app, RatingScreen).press(Press.ENTER)
    return until(app, NightScreen)


def test_a_quiet_night_passes_to_the_morning(app, tmp_path):
    """The hours pass frame by frame, the colours go with the dusk, and its record is whole and sails again."""
    screen = turned_in(app)
    began_s = screen.session.exercise.t_s
    app.frame(FRAME_S)
    assert began_s < screen.session.exercise.t_s < began_s + 60.0
    seen = set()
    while app.screen is screen:
        seen.add(app.palette.name)
        app.frame(FRAME_S)
    kept = nights.load(tmp_path / "run" / "night.npz")

    assert isinstance(app.screen, ResultScreen)
    assert seen == {"day", "dusk-1"}
    assert app.palette is DAY
    assert kept.whole
    assert json.loads((tmp_path / "run" / "result.json").read_text(encoding="utf-8"))["night"]["whole"]
    assert replay.verify(recording.read(tmp_path / "run"), Exercise(short(), 1, timeline=False)).agrees


def test_an_alarm_gives_the_helm_and_the_night_goes_on(app, tmp_path, words):
    """The circle is too small: it rings, the first order and its delay are kept, and secured again she sleeps on."""
    turned_in(app, alarm(app, 7.0))
    screen = until(app, SailScreen)
    session = screen.session
    rang_s = session.exercise.t_s
    assert session.roused == "alarm"
    assert app.palette.name == twilight(session.view.darkness).name
    assert "The anchor alarm is ringing." in texts(screen.items())
    while session.exercise.t_s < rang_s + 1.0:
        app.frame(FRAME_S)
    let_pass(session, 11.0)
    session.hands.order(cmd.Engine(lever=0.1))
    let_pass(session, 5.0)
    screen.press(Press.ENTER)
    assert screen.asking == "settled"
    screen.press(Press.ENTER)
    until(app, NightScreen)
    until(app, ResultScreen)
    kept = nights.load(tmp_path / "run" / "night.npz")

    assert [(a.why, a.first) for a in kept.answers] == [("alarm", "engine")]
    assert kept.answers[0].delay_s == pytest.approx(12.0, abs=1.5)
    assert kept.whole
    assert json.loads((tmp_path / "run" / "result.json").read_text(encoding="utf-8"))["ended"]["why"] == "secured"
    assert replay.verify(recording.read(tmp_path / "run"), Exercise(short(), 1, timeline=False)).agrees


def test_when_the_stay_is_over_the_helm_is_taken_to_weigh_and_go(app, tmp_path, words):
    """In a lesson with a departure the morning is at sea: gone only with the anchor home, and then marked."""
    lesson = short()
    leaving = dataclasses.replace(lesson, brief=dataclasses.replace(lesson.brief, departure_s=600.0))
    app.screen.session.exercise.lesson = app.screen.session.lesson = leaving
    turned_in(app)
    screen = until(app, SailScreen)
    session = screen.session
    assert session.departing
    assert session.exercise.t_s >= STAY_S
    assert words("ui.night.woke.departure") in texts(screen.items())
    screen.press(Press.ENTER)
    assert screen.asking == "gone"
    screen.press(Press.ENTER)
    let_pass(session, 0.1)
    app.frame(FRAME_S)
    assert app.screen is screen, "with the anchor down nobody is gone"
    screen.press(Press.ESCAPE)
    assert screen.asking == "end"
    screen.press(Press.ESCAPE)
    line = session.exercise.world.state.lines[0]
    for order in (cmd.Snubber(on=False), cmd.Stopper(on=False), cmd.Windlass(motion=-1)):
        session.hands.order(order)
    while line[lay.L_COUNT] > 0.0:
        session.hands.order(cmd.Windlass(motion=-1))
        let_pass(session, 2.0)
    screen.press(Press.ENTER)
    screen.press(Press.ENTER)
    let_pass(session, 0.1)
    until(app, ResultScreen)
    result = json.loads((tmp_path / "run" / "result.json").read_text(encoding="utf-8"))

    assert result["departure"]["gone_s"] > STAY_S
    assert result["ended"]["why"] == "secured"
    assert replay.verify(recording.read(tmp_path / "run"), Exercise(leaving, 1, timeline=False)).agrees


def test_back_to_bed_without_a_hand_moved_answers_nothing(app, tmp_path):
    """Escape, and Enter: the night goes on, and the record has a call that nobody answered."""
    turned_in(app, alarm(app, 7.0))
    screen = until(app, SailScreen)
    screen.press(Press.BACK_30)  # no way back in the night
    assert not screen.session.assisted
    screen.press(Press.ESCAPE)
    assert screen.asking == "bed"
    screen.press(Press.WATCH)  # what the watch calls for may be changed first
    assert screen.ordering
    for press in (Press.ESCAPE, Press.ESCAPE, Press.ENTER):
        screen.press(press)
    until(app, NightScreen)
    until(app, ResultScreen)

    assert [(a.why, a.delay_s) for a in nights.load(tmp_path / "run" / "night.npz").answers] == [("alarm", None)]


def test_who_sleeps_on_is_not_called_and_who_has_seen_enough_is_marked(app, tmp_path):
    """Enter sleeps through the alarm; Escape leaves the night where it stands, and it is no whole one."""
    screen = turned_in(app, alarm(app, 7.0))
    screen.press(Press.ENTER)
    while screen.session.exercise.t_s < 1000.0:
        app.frame(FRAME_S)
        assert app.screen is screen
    assert any("alarm" in text for panel in screen.panels((1024, 768)) for text in texts(panel.items))
    screen.press(Press.ESCAPE)
    until(app, ResultScreen)

    assert not nights.load(tmp_path / "run" / "night.npz").whole


def test_one_may_come_on_deck_uncalled(app):
    """Space takes the helm; closed there, the window keeps night and marks."""
    screen = turned_in(app)
    screen.press(Press.PAUSE)  # she has only just lain down
    assert not screen.woken
    app.frame(FRAME_S)
    screen.press(Press.PAUSE)
    deck = until(app, SailScreen)
    let_pass(deck.session, 2.0)
    assert deck.session.roused == "self"
    pygame.event.post(pygame.event.Event(pygame.QUIT))
    assert not app.frame(FRAME_S)
    folder = app.out

    assert nights.load(folder / "night.npz").answers == ()
    assert json.loads((folder / "result.json").read_text(encoding="utf-8"))["ended"]["why"] == "secured"


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800)])
def test_the_page_keeps_within_the_window(app, size):
    """Every line begins and ends on the page, and what was known is on it."""
    screen = turned_in(app)
    for _ in range(12):
        app.frame(FRAME_S)
    page, rail = screen.panels(size)

    assert "Elapsed".upper() in texts(page.items)
    assert all(
        0.0 <= item.at[0] <= size[0] and item.at[1] <= page.rect[3] for item in page.items if isinstance(item, Words)
    )
    assert rail.rect[1] >= page.rect[3]


def test_the_same_again_from_two_lengths_off(app, tmp_path):
    """F7 over the result: her own way there is sailed again, she stands short of the drop, and is assisted."""
    session = app.screen.session
    session.hands.order(cmd.Engine(lever=0.2))
    let_pass(session, 60.0)
    session.hands.order(cmd.Engine(lever=-0.4))
    let_pass(session, 25.0)
    session.hands.order(cmd.Engine(lever=0.0))
    turned_in(app).press(Press.ESCAPE)
    shown = until(app, ResultScreen)
    run = shown.marked.run
    shown.press(Press.BACK_30)
    screen = until(app, SailScreen)
    again = screen.session
    own, drop = again.exercise.world.state.boats[0], run.track.index(run.moments.let_go_s)
    off_m = math.hypot(own[0] - run.track["north_m"][drop], own[1] - run.track["east_m"][drop])
    assert 1.9 * run.loa_m < off_m < 2.2 * run.loa_m
    assert again.exercise.tick == shown.near_tick
    assert screen.standing
    again.pacer.paused = False
    let_pass(again, 2.0)
    screen.leaving = True
    until(app, RatingScreen).press(Press.ENTER)
    until(app, ResultScreen)
    folder = again.folder

    assert folder != tmp_path / "run"
    assert json.loads((folder / "result.json").read_text(encoding="utf-8"))["assisted"]
    assert replay.verify(recording.read(folder), Exercise(short(), 1, timeline=False)).agrees


@pytest.mark.parametrize("key", [Press.ENTER, Press.ESCAPE])
def test_with_no_anchor_down_the_night_can_only_be_ended(app, tmp_path, key):
    """Weighed in the dark: nothing to secure again and no bed to go back to; what is asked leads to the marks."""
    screen = turned_in(app, alarm(app, 7.0))
    screen = until(app, SailScreen)
    session = screen.session
    line = session.exercise.world.state.lines[0]
    for order in (cmd.Snubber(on=False), cmd.Stopper(on=False), cmd.Brake(grip=1.0)):
        session.hands.order(order)
    while line[lay.L_COUNT] > 0.0:
        session.hands.order(cmd.Windlass(motion=-1))
        let_pass(session, 2.0)
    screen.press(key)
    assert screen.asking == "adrift"
    screen.press(Press.ENTER)
    let_pass(session, 0.1)
    until(app, ResultScreen)

    assert not nights.load(tmp_path / "run" / "night.npz").whole


def test_a_night_whose_figures_come_apart_is_not_there_behind_the_next_lesson(app, monkeypatch):
    """On deck, back in the list: what is sailed next comes to its own end."""
    turned_in(app, alarm(app, 7.0))
    session = until(app, SailScreen).session

    def apart(_wall_s):
        raise SimulationDiverged(1, "boats", math.nan)

    monkeypatch.setattr(session, "advance", apart)
    app.frame(FRAME_S)

    assert app.screen is app.chooser
    assert app.night is None
    assert app.sailed is None
