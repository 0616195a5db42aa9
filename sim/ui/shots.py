"""Pictures of every screen, by day and by night, in three sizes: for looking at."""

import shutil
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Protocol

import pygame

from sim.base.units import ticks
from sim.demonstrator.demonstrator import Demonstrator
from sim.play.attempt import Marked
from sim.play.session import Session
from sim.scenario.library import Lesson, load_words
from sim.scenario.words.catalogue import ENGLISH
from sim.scenario.words.language import languages, lesson_in
from sim.ui.input.fore_keys import Fore, TwoBindings
from sim.ui.input.keys import Press
from sim.ui.paint.palette import DAY, NIGHT, Palette, night
from sim.ui.panels import scene_forward
from sim.ui.preferences import Preferences
from sim.ui.screens.chooser import Chooser
from sim.ui.screens.night_screen import NightScreen
from sim.ui.screens.outcome import ResultScreen
from sim.ui.screens.plan_screen import PlanScreen
from sim.ui.screens.rating import RatingScreen
from sim.ui.screens.sail import SailScreen
from sim.ui.screens.settings import SettingsScreen
from sim.ui.screens.syllabus import Syllabus
from sim.ui.second_window import Foredeck
from sim.ui.words import Catalogue

SIZES = ((1024, 768), (1280, 800), (1920, 1080))
LESSONS = ("lantern-pool", "hazel-cove")
FRAMES = 40  # drawn before a picture is taken, so that every tile is there
# the demonstrator's line at which a picture is due, and how long after it [s]
MOMENTS = {"helm.on_the_line": ("approach", 8.0), "helm.on_the_bottom": ("drop", 4.0), "helm.step_3": ("set", 25.0)}


class Pictured(Protocol):
    """A screen that can be printed in a palette and drawn."""

    def use(self, palette: Palette) -> None:
        """Print in another palette."""

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Draw one frame on the whole window."""


class _Album:
    """Takes pictures into a folder."""

    def __init__(self, out: Path, words: Catalogue) -> None:
        """Make the folder."""
        out.mkdir(parents=True, exist_ok=True)
        self.out, self.words = out, words

    def take(self, name: str, screen: Pictured, frames: int = 2) -> None:
        """Take a screen in every size by day, and in the middle one in the colours of the night."""
        for palette, sizes in ((DAY, SIZES), (NIGHT, SIZES[1:2])):
            self.one(name, screen, palette, sizes, frames)
        screen.use(DAY)

    def one(
        self,
        name: str,
        screen: Pictured,
        palette: Palette,
        sizes: Sequence[tuple[int, int]],
        frames: int = 2,
    ) -> None:
        """Take a screen in one palette."""
        screen.use(palette)
        for size in sizes:
            surface = pygame.Surface(size)
            for _ in range(frames):
                screen.draw(surface, 0.5)
            pygame.image.save(surface, self.out / f"{name}-{palette.name}-{size[0]}x{size[1]}.png")

    def evening(self, name: str, screen: SailScreen) -> None:
        """Take the night half passed, and the helm in the middle of it; the night goes on to its end."""
        session, words = screen.session, self.words
        phases = [(phase.code, phase.title) for phase in session.lesson.profile.phases]
        self.take(f"{name}-rating", RatingScreen(phases, session.lesson.title, DAY, words))
        page = NightScreen(session, {}, DAY, words)
        middle_s = 0.5 * (page.passed.began_s + page.passed.until_s)
        while session.exercise.t_s < middle_s and not page.done:
            page.advance()
            if page.woken:
                page.sleep()
        self.take(f"{name}-night", page)
        page.press(Press.PAUSE)
        for _ in range(ticks(5.0)):
            session.tick()
        self.one(f"{name}-deck", screen, night(), SIZES, FRAMES)
        page.sleep()
        page.press(Press.ENTER)
        while not page.done:
            page.advance()

    def two(self, name: str, screen: SailScreen, palettes: Sequence[Palette]) -> None:
        """Take both windows of two people aboard, each having signalled."""
        usual = screen.bindings
        deck = Foredeck(screen, TwoBindings())
        for fore in (Fore.SLOWER, Fore.TENS, Fore.LEAD, Fore.TELL_VEER):
            deck.press(fore)
        for palette in palettes:
            self.one(f"{name}-helm", screen, palette, SIZES, FRAMES)
            for size in (scene_forward.SIZE, scene_forward.LEAST):
                self.one(f"{name}-foredeck", deck, palette, (size,))
        deck.leave(usual)
        screen.use(DAY)
        screen.heard, screen.told = [], None

    def variants(self, name: str, screen: SailScreen, palette: Palette) -> None:
        """Take what can be opened over the sea screen, and other ways to look at it."""
        for press in (Press.SOUNDER, Press.ANCHOR, Press.CIRCLE, Press.RADAR, Press.AIS):
            screen.press(press)
            self.one(f"{name}-{press.value}", screen, palette, SIZES[1:2], FRAMES)
            screen.press(press)
        screen.follow.head_up = True
        self.one(f"{name}-head-up", screen, palette, SIZES[1:2], FRAMES)
        screen.follow.head_up = False
        screen.press(Press.WATCH)
        self.one(f"{name}-watch", screen, palette, SIZES, FRAMES)
        screen.press(Press.ESCAPE)
        screen.deciding = True
        self.one(f"{name}-leave", screen, palette, SIZES, FRAMES)
        screen.press(Press.ESCAPE)
        screen.prefer(Preferences(scale=1.5))
        self.one(f"{name}-large", screen, palette, SIZES[:2], FRAMES)
        screen.prefer(Preferences())


def darkened(lesson: Lesson) -> Lesson:
    """Return a lesson sailed by night."""
    file = lesson.sources.lesson.model_copy(update={"dark": True})
    sources, brief = replace(lesson.sources, lesson=file), replace(lesson.brief, dark=True)
    return replace(lesson, sources=sources, brief=brief)


def _sail(lesson: Lesson, folder: Path, words: Catalogue, at: Callable[[str, SailScreen], None]) -> Marked:
    """Let the demonstrator sail a lesson, and call at each moment worth a picture."""
    session = Session(lesson, 1, folder)
    screen = SailScreen(session, DAY, words)
    skipper = Demonstrator(session.brief)
    due: dict[str, int] = {}
    told = 0
    while not session.over:
        if skipper.wants_view(session.exercise.t_s):
            for order in skipper.decide(session.lookout.view()):
                session.hands.order(order)
        for said in skipper.said[told:]:
            if said.key in MOMENTS:
                moment, after_s = MOMENTS[said.key]
                due[moment] = session.exercise.tick + ticks(after_s)
        told = len(skipper.said)
        session.tick()
        if session.exercise.tick % 30 == 0:
            session.look()
        for moment in [m for m, tick in due.items() if tick <= session.exercise.tick]:
            del due[moment]
            at(moment, screen)
    at("secured", screen)
    return session.finish("secured")


def make(out: Path, language: str = ENGLISH) -> list[Path]:
    """Take every picture in a language and return their paths; no screen is needed."""
    words = Catalogue(load_words(language))
    album = _Album(out, words)
    chooser = Chooser(Syllabus(language), DAY, words, lambda: True)
    album.take("chooser", chooser)
    album.take("settings", SettingsScreen(Preferences(), languages(), DAY, words))
    for name in LESSONS:

        def at(moment: str, screen: SailScreen, name: str = name) -> None:
            if moment == "secured":
                album.evening(name, screen)
                return
            album.take(f"{name}-{moment}", screen, FRAMES)
            if moment == "approach":
                screen.helping = True
                album.take(f"{name}-help", screen)
                screen.helping = False
            elif moment == "drop":
                album.two(f"{name}-two", screen, (DAY, night()))
            elif moment == "set":
                album.variants(f"{name}-{moment}", screen, DAY)

        album.take(f"{name}-plan", PlanScreen(lesson_in(name, language), 1, None, DAY, words))
        with _folder() as folder:
            marked = _sail(lesson_in(name, language), folder, words, at)
            album.take(f"{name}-result", ResultScreen(marked, lesson_in(name, language).title, DAY, words))

    def by_night(moment: str, screen: SailScreen) -> None:
        if moment == "secured":
            return
        album.one(f"dark-{moment}", screen, night(), SIZES, FRAMES)
        album.one(f"dark-{moment}", screen, night(0.5), SIZES[1:2], FRAMES)

    with _folder() as folder:
        _sail(darkened(lesson_in(LESSONS[-1], language)), folder, words, by_night)
    return sorted(out.glob("*.png"))


@contextmanager
def _folder() -> Iterator[Path]:
    """Yield a folder that is gone afterwards."""
    folder = Path(tempfile.mkdtemp(prefix="windrode-"))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)
