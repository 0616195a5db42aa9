"""Settings and keys changed in the window: they hold at once and for the next time."""

from types import SimpleNamespace

import pygame
import pytest
from marking import sailed

from sim.base.errors import ScenarioError
from sim.play.hands import Act
from sim.scenario.library import load_lesson
from sim.scenario.words.language import languages
from sim.ui import app as window_module
from sim.ui import preferences
from sim.ui.app import App
from sim.ui.input import keys
from sim.ui.input.keys import PLACES, Bindings, Press
from sim.ui.paint.display import Words, texts
from sim.ui.paint.palette import DAY
from sim.ui.preferences import Preferences
from sim.ui.screens.chooser import Chooser
from sim.ui.screens.outcome import ResultScreen
from sim.ui.screens.settings import BOUND, ROWS, SettingsScreen

FRAME_S = 1.0 / 60.0


@pytest.fixture
def screen(words):
    """Return the settings as they are at the start."""
    return SettingsScreen(Preferences(), languages(), DAY, words)


def to_row(screen, what):
    """Move the bar to a setting or to what a key does."""
    at = ROWS.index(what) if what in ROWS else len(ROWS) + [act for act, _ in BOUND].index(what)
    while screen.row != at:
        screen.press(Press.DOWN)


def test_each_setting_changes_and_stays_within_its_range(screen):
    """Right goes on, left goes back, and no size or brightness leaves its range."""
    for name in ROWS:
        to_row(screen, name)
        screen.press(Press.RIGHT)
    c = screen.chosen
    assert (c.scale, c.colours, c.brightness, c.reduced_motion, c.sound) == (1.1, "day", 1.0, True, False)
    assert c.language != "en"
    assert c.units == "feet"
    to_row(screen, "scale")
    for _ in range(30):
        screen.press(Press.LEFT)

    assert screen.chosen.scale == 0.8
    assert Preferences.model_validate(screen.chosen.model_dump()) == screen.chosen


def test_a_key_is_bound_by_pressing_it(screen):
    """Enter, then the key; one that is taken is refused with what it does; Backspace gives the usual one back."""
    to_row(screen, Act.HAIL)
    screen.press(Press.ENTER)
    assert screen.waiting
    screen.key(PLACES["lshift"], shift=True)
    assert screen.waiting
    screen.key(PLACES["l"], shift=True)
    assert screen.chosen.keys == {"hail": "shift+l"}
    assert Bindings(screen.chosen.keys).find(PLACES["l"], True) == (Act.HAIL, None)
    screen.press(Press.ENTER)
    screen.key(PLACES["v"], shift=False)
    assert "veer" in screen.problem
    assert screen.chosen.keys == {"hail": "shift+l"}
    screen.press(Press.ENTER)
    screen.key(PLACES["escape"], shift=False)
    assert not screen.waiting
    screen.press(Press.ABORT)

    assert screen.chosen.keys == {}


def test_what_is_bound_never_clashes(screen):
    """Every key on the keyboard pressed for one act: none leaves two acts on one key."""
    to_row(screen, Press.RADAR)
    for code in PLACES.values():
        screen.press(Press.ENTER)
        screen.key(code, shift=False)
        screen.waiting = False
        assert keys.clashes(screen.chosen.keys) == []


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800)])
def test_the_page_fits_and_rolls_to_every_key(screen, words, size):
    """Each row comes into sight as the bar reaches it, and nothing stands beyond the page."""
    seen = set()
    for _ in range(len(ROWS) + len(BOUND)):
        page = screen.panels(size)[0]
        seen.update(texts(page.items))
        assert all(0 <= i.at[0] <= size[0] and 0 <= i.at[1] <= page.rect[3] for i in page.items if isinstance(i, Words))
        screen.press(Press.DOWN)

    assert {words(f"ui.help.{line}") for _, line in BOUND} <= seen


def test_the_window_takes_settings_over_and_keeps_them(tmp_path, monkeypatch):
    """F11 over the list: colours, language and a key hold at once, and lie in the person's file."""
    file = tmp_path / "window.yaml"
    monkeypatch.setattr(preferences, "path", lambda: file)
    monkeypatch.setattr(window_module, "Syllabus", lambda _language: [load_lesson("lantern-pool")])
    app = App(tmp_path / "run", size=(1024, 768), chosen=preferences.read())

    def key(name):
        pygame.event.post(pygame.event.Event(pygame.KEYDOWN, scancode=PLACES[name], key=0, mod=0, unicode=""))
        app.frame(FRAME_S)
        app.frame(FRAME_S)

    key("f11")
    assert isinstance(app.screen, SettingsScreen)
    for name in ("down", "left", "down", "left", "down", "right", "down", "down"):
        key(name)
    assert app.palette.name == "night-0.9"
    while app.chosen.language != "de":
        key("right")
    while app.screen.bound is not Act.HAIL if app.screen.row >= len(ROWS) else True:
        key("down")
    key("return")
    key("backslash")
    key("escape")
    kept = preferences.read()
    app.window.destroy()

    assert isinstance(app.screen, Chooser)
    assert "Einstellungen" in texts(app.screen.panels((1024, 768))[-1].items)
    assert (kept.colours, kept.brightness, kept.reduced_motion, kept.language) == ("night", 0.9, True, "de")
    assert kept.keys == {"hail": "backslash"}
    assert app.bindings.find(PLACES["backslash"]) == (Act.HAIL, None)


def test_units_are_remembered_and_an_unknown_one_is_refused(tmp_path):
    """What was written is read again; a file of before there were units reads as metres."""
    file = preferences.write(Preferences(units="fathoms"), tmp_path / "window.yaml")
    assert preferences.read(file).units == "fathoms"
    file.write_text(file.read_text("utf-8").replace("units: fathoms\n", ""), encoding="utf-8")

    assert preferences.read(file).units == "metres"
    file.write_text("units: cubits\n", encoding="utf-8")
    with pytest.raises(ScenarioError, match="units"):
        preferences.read(file)


def test_list_and_result_name_the_keys_as_they_are_bound(tmp_path, monkeypatch):
    """A key of one's own is the one that works there, so it is the one the rail shows."""
    monkeypatch.setattr(window_module, "Syllabus", lambda _language: [load_lesson("lantern-pool")])
    own = Preferences(keys={"pause": "kp_0", "page": "kp_1", "back_30": "kp_2", "settings": "kp_3"})
    window = App(tmp_path / "run", size=(1024, 768), chosen=own)
    run = sailed.run()
    marked = SimpleNamespace(run=run, folder=tmp_path, errors=())
    shown = ResultScreen(marked, "", DAY, window.words, window.bindings)
    listed = [text for panel in window.chooser.panels((1366, 768)) for text in texts(panel.items)]
    window.window.destroy()

    assert {"KP_0", "KP_3"} <= set(listed)
    assert [key for key, _ in shown.captions()] == ["Enter", "F5", "KP_2", "KP_0", "KP_1"]
