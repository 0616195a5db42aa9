"""The window: opens it, feeds it events and frames, and goes from list to lesson to result."""

import sys
import time
from pathlib import Path

import pygame

from sim.base.errors import NotMarked, SimulationDiverged
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.skipper import Skipper
from sim.play import history, places
from sim.play.attempt import SLEEPS
from sim.play.night_run import is_due
from sim.play.session import Session
from sim.play.watching import Showing
from sim.scenario.library import Lesson, load_words
from sim.scenario.words.language import languages
from sim.ui import collector, preferences
from sim.ui.chart.scene_furniture import banner
from sim.ui.input.inputs import Inputs
from sim.ui.input.keys import Bindings, Press
from sim.ui.input.listening import Listening, Screen
from sim.ui.paint.palette import DAY, Palette
from sim.ui.paint.sky_colours import SkyColours
from sim.ui.panels.layout import LEAST, lay_out
from sim.ui.preferences import Preferences
from sim.ui.screens.chooser import Chooser
from sim.ui.screens.night_screen import NightScreen
from sim.ui.screens.outcome import ResultScreen
from sim.ui.screens.plan_screen import PlanScreen
from sim.ui.screens.rating import RatingScreen
from sim.ui.screens.replay_screen import ReplayScreen
from sim.ui.screens.sail import SailScreen
from sim.ui.screens.settings import SettingsScreen
from sim.ui.screens.syllabus import Syllabus
from sim.ui.second_window import Company
from sim.ui.sound import Speaker
from sim.ui.warming import Warming
from sim.ui.words import Catalogue

FRAMES_A_SECOND = 60
SIZE = (1280, 800)
UNRATED = ("ph7", "recovery")  # nobody can say how a night went that is still to come


class App(Listening):
    """One window and the screen in it."""

    def __init__(
        self,
        out: Path | None,
        seed: int = 1,
        boat: str | None = None,
        size: tuple[int, int] = SIZE,
        chosen: Preferences | None = None,
        language: str | None = None,
    ) -> None:
        """Open the window; a run is written into ``out``, or a folder of its own among the person's runs."""
        pygame.display.init()
        pygame.font.init()
        self.out, self.boat = out, boat
        self.kind: type[Skipper] = Demonstrator  # who is watched
        self.sailed: Session | None = None  # sailed to its end, not marked yet
        self.chosen, self._keep = chosen or Preferences(), chosen is not None
        self.words = Catalogue(load_words(language or self.chosen.language), self.chosen.units)
        self.window = pygame.Window(self.words("ui.chooser.title"), size, resizable=True)
        self.window.minimum_size = LEAST
        self.shown: ResultScreen | None = None  # to come back to from looking at the run again
        self.bindings = Bindings(self.chosen.keys)
        self.inputs = Inputs(self.bindings)
        self.company, self.two = Company(self.inputs), False  # whether lessons begin with two aboard
        self.speaker = Speaker(self.chosen.sound)
        self.sea: SailScreen | None = None  # under way, while something else is shown
        self.night: NightScreen | None = None  # being slept, or left for the helm
        self._by_day: Palette = DAY  # the colours before it
        self.sky = SkyColours()
        self.palette = self.sky.wanted(self.chosen, 0.0)
        self.warming = Warming()
        tried = history.attempts(places.runs())
        self.chooser = Chooser(
            Syllabus(language or self.chosen.language), self.palette, self.words, self.warming.ready, tried
        )
        self.chooser.seed, self.chooser.bindings = seed, self.bindings
        self.screen: Screen = self.chooser

    def run(self, lesson: Lesson | None = None) -> int:
        """Run until the window is closed; straight into ``lesson`` where one is given. Return the exit code."""
        if lesson is not None:
            self.chooser.lessons = [lesson]
            self.chooser.chosen, self.chooser.asked = 0, True
        elif isinstance(self.chooser.lessons, Syllabus):
            self.chooser.lessons.read_on()
        frames = pygame.time.Clock()
        began = time.perf_counter()
        if not self.frame(0.0):
            return 0
        self._tell("ready")
        while True:
            now = time.perf_counter()
            wall_s, began = now - began, now
            if not self.frame(wall_s):
                return 0
            frames.tick(FRAMES_A_SECOND)

    def frame(self, wall_s: float) -> bool:
        """Take in the events, let ``wall_s`` pass and draw; return False when the window is to close."""
        if not self.listen():
            if isinstance(self.screen, ReplayScreen):
                self._remarked(self.screen)
            self._close()
            return False
        if not self._step(wall_s):
            return False
        self.screen.draw(self.window.get_surface(), wall_s)
        under_way = isinstance(self.screen, SailScreen) and not self.screen.standing
        self.speaker.hear(self.screen.session.whole if isinstance(self.screen, SailScreen) and under_way else None)
        self.window.flip()
        self.company.frame(self.screen, self.chosen.keys)
        return True

    @staticmethod
    def _tell(line: str) -> None:
        """Write a line that says how far the window is, for whoever started it."""
        sys.stdout.write(f"windrode: {line}\n")
        sys.stdout.flush()

    def _look(self, press: Press) -> None:
        """Change the colours, the night's brightness or the sound, and keep it for the next time."""
        if press is Press.MUTE:
            self.chosen = self.chosen.model_copy(update={"sound": not self.chosen.sound})
            self.speaker.hear(None)
            self.speaker = Speaker(self.chosen.sound)
        elif press is not Press.PALETTE:
            self.chosen = preferences.brighter(self.chosen, 1 if press is Press.BRIGHTER else -1)
        if self._keep and press is not Press.PALETTE:
            preferences.write(self.chosen)
        self.palette = self.sky.turned(self.chosen, self.palette, press is Press.PALETTE)
        self.screen.use(self.palette)

    def _follow(self, screen: SailScreen | NightScreen, darkness: float) -> None:
        """Let the colours follow the sky."""
        before, self.palette = self.palette, self.sky.follow(self.chosen, darkness, self.palette)
        if self.palette is not before:
            screen.use(self.palette)

    def _set(self, screen: SettingsScreen) -> None:
        """Take over what was changed and keep it at once; the list is made again where its language is another."""
        old, new = self.chosen, screen.chosen
        if new != old:
            self.chosen = new
            if self._keep:
                preferences.write(new)
            if new.sound != old.sound:
                self.speaker.hear(None)
                self.speaker = Speaker(new.sound)
            if new.keys != old.keys:
                self.bindings = self.inputs.bindings = self.chooser.bindings = Bindings(new.keys)
            if (new.language, new.units) != (old.language, old.units):
                self.words = screen.words = Catalogue(load_words(new.language), new.units)
            if (new.colours, new.brightness) != (old.colours, old.brightness):
                self.palette = self.sky.wanted(self.chosen, 0.0)
                screen.use(self.palette)
        if screen.done:
            if self.chooser.words is not self.words:
                self.chooser.speak(Syllabus(new.language), self.words)
            self._to_list()

    def _step(self, wall_s: float) -> bool:
        """Let time pass on the screen and go on to the next one; return False to leave."""
        screen = self.screen
        if isinstance(screen, Chooser):
            if screen.asked and self.warming.ready():
                self._begin(screen.lesson, screen.seed)
            elif screen.setting:
                screen.setting = False
                self.screen = SettingsScreen(self.chosen, languages(), self.palette, self.words)
            return not screen.leaving
        if isinstance(screen, SettingsScreen):
            self._set(screen)
        elif isinstance(screen, PlanScreen):
            self._planned(screen)
        elif isinstance(screen, RatingScreen):
            if screen.ready:
                self._turn_in(screen.given)
        elif isinstance(screen, NightScreen):
            self._sleep(screen)
        elif isinstance(screen, ResultScreen):
            if screen.again:
                self._begin(self.chooser.lesson, self.chooser.seed)
            elif screen.near:
                self._near(screen)
            elif screen.replaying:
                screen.replaying, self.shown = False, screen
                again = screen.marked.run, self.chooser.lesson, screen.marked.folder
                self.screen = ReplayScreen(*again, self.palette, self.words, bindings=self.bindings)
                if screen.cause_s is not None:
                    self.screen.seek(screen.cause_s)  # what should be changed first is what one comes to see
            elif screen.done:
                self._to_list()
        elif isinstance(screen, ReplayScreen):
            if screen.leaving:
                self._remarked(screen)
                if self.shown is None:
                    return False
                self.screen, self.shown = self.shown, None
        else:
            self._pass(screen, wall_s)
        return True

    def _planned(self, screen: PlanScreen) -> None:
        """Go on from the plan: to sea, back to sea, or back to the list."""
        if screen.session is None:
            if screen.ready:
                self._sail(screen)
            elif screen.leaving:
                self._to_list()
        elif screen.ready or screen.leaving:
            if screen.ready:
                screen.session.hands.order(screen.order())
            assert self.sea is not None
            self.screen = self.sea
            if self.sea.palette is not self.palette:
                self.sea.use(self.palette)

    def _pass(self, screen: SailScreen, wall_s: float) -> None:
        """Let time pass at sea, until the attempt is over or the chart is asked for."""
        if screen.planning:
            session, self.sea = screen.session, screen
            screen.planning = False
            self.screen = PlanScreen(session.lesson, session.seed, self.boat, self.palette, self.words, session)
            return
        self._follow(screen, screen.session.view.darkness)
        try:
            if not screen.standing:
                screen.session.advance(wall_s)
        except SimulationDiverged as lost:
            self._tell(str(lost))
            self.night = self.sailed = None  # nothing of it goes on behind the next lesson
            self._to_list()
            return
        if not (screen.leaving or screen.session.over):
            return
        if self.night is not None and screen.session.departing:
            self._come_in(self.night)
        elif self.night is not None:
            self.screen = self.night
            self.night.sleep()
        elif screen.session.shown or screen.session.why() == "left":
            self.sailed, self.sea = screen.session, screen
            self._turn_in({})
        else:
            phases = [(p.code, p.title) for p in screen.session.lesson.profile.phases if p.code not in UNRATED]
            self.sailed, self.sea = screen.session, screen
            self.screen = RatingScreen(phases, screen.session.lesson.title, self.palette, self.words)
            self._tell("rating")

    def _turn_in(self, rated: dict[str, int]) -> None:
        """Let the night begin, or mark the attempt where there is none."""
        session = self.sailed
        assert session is not None
        if session.why() not in SLEEPS or not is_due(session.exercise):
            self._finish(rated)
            return
        self._by_day = self.palette
        self.screen = self.night = NightScreen(session, rated, self.palette, self.words, self.bindings)
        self.night.deaf = session.shown  # he sleeps on
        self._tell("night")

    def _sleep(self, screen: NightScreen) -> None:
        """Let the night pass, until it is over or the helm is to be taken."""
        screen.advance()
        self._follow(screen, screen.darkness)
        if screen.done:
            self._come_in(screen)
        elif screen.woken:
            assert self.sea is not None
            self.palette = self.sky.wanted(self.chosen, screen.darkness)
            self.sea.leaving = False
            self.sea.use(self.palette)
            self.screen = self.sea
            self._tell(f"on deck {screen.woken}")

    def _come_in(self, slept: NightScreen) -> None:
        """The stay is over, and she is gone where that was asked: mark it."""
        self.night, self.palette = None, self._by_day
        self._finish(slept.rated)

    def _begin(self, lesson: Lesson, seed: int) -> None:
        """Go to the chart to plan, or to sea where the demonstrator is to be watched."""
        if self.chooser.showing:
            self._put_to_sea(self._session(lesson, seed))
        else:
            self._plan(lesson, seed)

    def _plan(self, lesson: Lesson, seed: int) -> None:
        self.screen = PlanScreen(lesson, seed, self.boat, self.palette, self.words)
        self.screen.two = self.two
        self._tell(f"planning {lesson.name}")

    def _sail(self, planned: PlanScreen) -> None:
        self.two = planned.two
        session = self._session(planned.lesson, planned.seed)
        session.hands.order(planned.order())
        self._put_to_sea(session)

    def _near(self, shown: ResultScreen) -> None:
        """Begin the same lesson and day again near the drop, by the same way there, whoever sailed it."""
        assert shown.near_tick is not None
        self.chooser.showing = False
        lesson = self.chooser.lesson
        self._wait(self.words("ui.result.taking_up"), lesson.title)
        session = self._session(lesson, self.chooser.seed)
        session.take_up(shown.marked.run, shown.near_tick)
        self._put_to_sea(session)

    def _session(self, lesson: Lesson, seed: int) -> Session:
        """Return a new attempt, the person's or one to be watched, in a folder in which no other run lies."""
        begun = (
            lesson,
            seed,
            history.free_folder(self.out, places.runs(), lesson.name),
            self.boat,
            round(time.time(), 1),
        )
        return Showing(*begun, self.kind) if self.chooser.showing else Session(*begun)

    def _put_to_sea(self, session: Session) -> None:
        self.palette = self.sky.wanted(self.chosen, session.view.darkness)
        self.sky = SkyColours(self.palette.name)
        self.screen = SailScreen(session, self.palette, self.words, self.chosen, self.bindings)
        self.screen.two = self.two and not session.shown  # he does all by himself
        collector.settle()
        self._tell(f"sailing {session.lesson.name} {session.folder}")

    def _wait(self, title: str, detail: str) -> None:
        """Show at once what takes a while."""
        surface = self.window.get_surface()
        panel = banner(lay_out(surface.get_size(), False), title, detail)
        surface.blit(self.screen.painter.panel(panel), panel.rect[:2])
        self.window.flip()

    def _finish(self, rated: dict[str, int]) -> None:
        """Show that the attempt is being marked, mark it, and show what came of it."""
        session = self.sailed
        assert session is not None
        self._wait(self.words("ui.result.marking"), session.lesson.title)
        self.sailed = None
        try:
            marked = session.finish(session.why(), rated)
        except NotMarked as kept:
            self._tell(str(kept))
            self._to_list()
            return
        self.screen = ResultScreen(marked, session.lesson.title, self.palette, self.words, self.bindings)
        self._tell(f"result {marked.folder}")

    def _remarked(self, screen: ReplayScreen) -> None:
        """Draw the page again of a run that was written remarks to."""
        if screen.pad.changed:
            self._wait(self.words("ui.remarks.page"), screen.lesson.title)
            if problem := screen.draw_page():
                self._tell(problem)

    def _to_list(self) -> None:
        self.chooser.asked = False
        self.chooser.tried = history.attempts(places.runs())
        self.chooser.use(self.palette)
        self.screen = self.chooser

    def _close(self) -> None:
        """Keep what was sailed when the window is closed over a lesson."""
        under_way = self.screen.session if isinstance(self.screen, SailScreen | PlanScreen) else None
        left = under_way or self.sailed
        if left is not None:
            rated = self.night.rated if self.night is not None else None
            left.finish(left.why() if self.sailed is not None else "closed", rated)
