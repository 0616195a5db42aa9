"""The window without a screen: a lesson sailed with keys alone, from the list to the result and back."""

import json

import pygame
import pytest
from marking import sailed
from ui.trainee import Trainee

from sim.core import events as ev
from sim.helm.exercise import Exercise
from sim.record import recording, replay
from sim.scenario.library import load_lesson
from sim.ui.app import App
from sim.ui.screens.chooser import Chooser
from sim.ui.screens.night_screen import NightScreen
from sim.ui.screens.outcome import ResultScreen
from sim.ui.screens.plan_screen import PlanScreen
from sim.ui.screens.rating import RatingScreen
from sim.ui.screens.replay_screen import ReplayScreen
from sim.ui.screens.sail import SailScreen

FRAME_S = 1.0 / 60.0


def scancode(key):
    """Return where a key lies."""
    name = {
        "Return": "RETURN",
        "Escape": "ESCAPE",
        "period": "PERIOD",
        "Down": "DOWN",
        "Right": "RIGHT",
        "F1": "F1",
    }.get(key, key.upper())
    return getattr(pygame, f"KSCAN_{name}")


class Posted:
    """A keyboard whose keys arrive as events."""

    def tap(self, key, times=1):
        """Press and release a key."""
        for _ in range(times):
            self.down(key)
            self.up(key)

    def down(self, key):
        """Press a key and keep it down."""
        pygame.event.post(pygame.event.Event(pygame.KEYDOWN, scancode=scancode(key), key=0, mod=0, unicode=""))

    def up(self, key):
        """Release a key."""
        pygame.event.post(pygame.event.Event(pygame.KEYUP, scancode=scancode(key), key=0, mod=0, unicode=""))


@pytest.fixture
def app(tmp_path):
    """Return a window whose physics is compiled, its runs below a folder of the test's."""
    window = App(tmp_path / "run", size=(1024, 768))
    window.warming.wait()
    window.chooser.chosen = [lesson.name for lesson in window.chooser.lessons].index("lantern-pool")
    yield window
    window.window.destroy()


def verified(folder, lesson):
    """Return the verdict on a recording."""
    kept = recording.read(folder)
    head = kept.header
    exercise = Exercise(lesson, head["seed"], head["boat"], timeline=False)
    here = recording.make_header(lesson.name, lesson.sha256, exercise.seed, exercise.boat, lesson.level)
    return replay.verify(kept, exercise, here)


def to_sea(app, keys):
    """Go from the list to the plan, and with the plan as it stands to sea."""
    for _ in range(2):
        keys.tap("Return")
        app.frame(FRAME_S)
        app.frame(FRAME_S)


def test_a_lesson_is_sailed_with_keys_alone(app, tmp_path):
    """From the list, by Enter, to a result: she is anchored, and what was recorded sails again the same."""
    keys = Posted()
    assert isinstance(app.screen, Chooser)
    to_sea(app, keys)
    screen = app.screen
    assert isinstance(screen, SailScreen)
    trainee = Trainee(screen.session.brief, keys)
    while isinstance(app.screen, SailScreen):
        trainee.look(screen.session.lookout.view())
        app.frame(FRAME_S)
        for _ in range(59):
            screen.session.advance(FRAME_S)

    assert isinstance(app.screen, RatingScreen)
    keys.tap("Right", 4)
    keys.tap("Return")
    app.frame(FRAME_S)
    app.frame(FRAME_S)
    assert isinstance(app.screen, NightScreen)
    keys.tap("Escape")
    app.frame(FRAME_S)
    app.frame(FRAME_S)
    result = json.loads((tmp_path / "run" / "result.json").read_text(encoding="utf-8"))
    assert isinstance(app.screen, ResultScreen)
    assert result["self_rating"] == {"ph1": 3}
    assert result["ended"]["why"] == "secured"
    assert result["outcome"]["held"]
    assert (tmp_path / "run" / "debrief.html").exists()
    assert verified(tmp_path / "run", load_lesson("lantern-pool")).agrees
    keys.tap("Return")
    app.frame(FRAME_S)
    app.frame(FRAME_S)
    assert isinstance(app.screen, Chooser)


def test_a_window_closed_over_a_lesson_keeps_it(app, tmp_path):
    """Closing the window marks the attempt as it stands; the recording is whole."""
    to_sea(app, Posted())
    for _ in range(70):
        app.frame(FRAME_S)
    pygame.event.post(pygame.event.Event(pygame.QUIT))

    assert not app.frame(FRAME_S)
    result = json.loads((tmp_path / "run" / "result.json").read_text(encoding="utf-8"))
    assert result["ended"]["why"] == "closed"
    assert verified(tmp_path / "run", load_lesson("lantern-pool")).agrees


def test_escape_asks_before_it_leaves(app):
    """Escape over a lesson is a question; Escape again stays, Enter leaves, and time stands meanwhile."""
    keys = Posted()
    to_sea(app, keys)
    screen = app.screen
    keys.tap("Escape")
    app.frame(FRAME_S)
    stood = screen.session.exercise.tick
    for _ in range(30):
        app.frame(FRAME_S)
    assert screen.asking == "quit"
    assert screen.session.exercise.tick == stood
    keys.tap("Escape")
    app.frame(FRAME_S)
    assert screen.asking is None
    keys.tap("Escape")
    app.frame(FRAME_S)
    for _ in range(2):
        keys.tap("Return")
        app.frame(FRAME_S)
        app.frame(FRAME_S)
    assert isinstance(app.screen, ResultScreen)


def test_the_chart_is_at_hand_at_sea(app):
    """Y lays the chart out, time stands; the spot moved and entered is the plan that counts; the lesson goes on."""
    keys = Posted()
    to_sea(app, keys)
    session = app.screen.session
    keys.tap("y")
    app.frame(FRAME_S)
    app.frame(FRAME_S)
    assert isinstance(app.screen, PlanScreen)
    stood = session.exercise.tick
    keys.tap("Down", 4)
    keys.tap("Return")
    keys.tap("Right", 3)
    keys.tap("Return")
    keys.tap("Down")
    keys.tap("Return")
    app.frame(FRAME_S)
    assert session.exercise.tick == stood
    for _ in range(3):
        app.frame(FRAME_S)
    plans = [e for e in session.exercise.events if isinstance(e, ev.PlanMade)]
    asked = session.brief.anchorage

    assert isinstance(app.screen, SailScreen)
    assert [p.drop_east_m for p in plans] == [asked.east_m, asked.east_m + 15.0]


def typed(scan, code, text="", mod=0):
    """Press a key that also writes."""
    pygame.event.post(pygame.event.Event(pygame.KEYDOWN, scancode=scan, key=code, mod=mod, unicode=text))
    if text:
        pygame.event.post(pygame.event.Event(pygame.TEXTINPUT, text=text))


def test_a_remark_is_typed_where_letters_are_keys_too(app, tmp_path):
    """Shift N opens the line and writes nothing; n, and F9 on the way, go into no other act; Enter keeps it."""
    app.screen = screen = ReplayScreen(sailed.run(), load_lesson("lantern-pool"), tmp_path, app.palette, app.words)
    colours = app.palette
    typed(pygame.KSCAN_N, pygame.K_n, "N", pygame.KMOD_LSHIFT)
    typed(pygame.KSCAN_N, pygame.K_n, "n")
    typed(pygame.KSCAN_F9, pygame.K_F9)
    typed(pygame.KSCAN_SPACE, pygame.K_SPACE, " ")
    typed(pygame.KSCAN_O, pygame.K_o, "o")
    typed(pygame.KSCAN_RETURN, pygame.K_RETURN)
    app.frame(FRAME_S)

    assert [one.text for one in screen.pad.kept] == ["n o"]
    assert not screen.playing
    assert app.palette is colours


def test_the_spot_is_set_with_the_mouse(app):
    """A click on the chart of the plan, as it comes from the window."""
    keys = Posted()
    keys.tap("Return")
    app.frame(FRAME_S)
    app.frame(FRAME_S)
    screen = app.screen
    assert isinstance(screen, PlanScreen)
    size = app.window.get_surface().get_size()
    place = screen.plan.spot_m[0] + 20.0, screen.plan.spot_m[1] - 15.0
    px = tuple(round(one) for one in screen.camera(size).px(place))
    pygame.event.post(pygame.event.Event(pygame.MOUSEBUTTONDOWN, pos=px, button=1))
    app.frame(FRAME_S)

    assert screen.plan.spot_m == pytest.approx(place, abs=2.0)
