"""Opening the window: on the list, straight on a lesson, or on a run that was kept."""

from pathlib import Path

import pygame

from sim.base.errors import WindrodeError
from sim.demonstrator.skipper import Skipper
from sim.play.past import Past
from sim.scenario.words.catalogue import ENGLISH
from sim.scenario.words.language import lesson_in
from sim.ui import preferences
from sim.ui.app import App
from sim.ui.screens.replay_screen import ReplayScreen


class NoWindow(WindrodeError):  # noqa: N818 - it says what there is not
    """The display that is named cannot be opened."""


def _opened(out: Path | None, seed: int, boat: str | None, language: str) -> App:
    try:
        return App(out, seed, boat, chosen=preferences.read(), language=language)
    except pygame.error as problem:
        raise NoWindow(str(problem)) from problem


def run(
    lesson_name: str | None,
    seed: int,
    boat: str | None,
    out: Path | None,
    language: str,
    two: bool = False,
    shown: type[Skipper] | None = None,
) -> int:
    """Open the window in a language, straight into a lesson where one is named; return the exit code.

    With ``two``, lessons begin with two aboard; with ``shown`` it is sailed by such a skipper, to be watched.

    Raises:
        ScenarioError: when there is no such lesson or boat.
        NoWindow: when the display cannot be opened.
    """
    lesson = lesson_in(lesson_name, language) if lesson_name is not None else None
    if boat is not None and lesson is not None:
        lesson.brief_in(boat)
    app = _opened(out, seed, boat, language)
    app.two = two
    if shown is not None:
        app.kind, app.chooser.showing = shown, True
    try:
        return app.run(lesson)
    finally:
        pygame.quit()


def look_again(past: Past, against: Past | None = None, language: str = ENGLISH) -> int:
    """Open the window on a run that was kept, beside another where one is given; return the exit code.

    Raises:
        NoWindow: when the display cannot be opened.
    """
    app = _opened(None, 1, None, language)
    ghost = against.marked.run if against is not None else None
    marked = past.marked
    app.screen = ReplayScreen(marked.run, past.lesson, marked.folder, app.palette, app.words, ghost, app.bindings)
    try:
        return app.run()
    finally:
        pygame.quit()
