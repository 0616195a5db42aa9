"""The screen on which the night passes: the stay run on a piece a frame, until somebody is called or it is morning."""

import time
from collections.abc import Iterator, Mapping

import pygame

from sim.base.errors import SimulationDiverged
from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core import state as st
from sim.model.water.water import tide_height_m
from sim.play import night_run
from sim.play.session import DEPARTURE, Session
from sim.ui.chart.scene_furniture import true_wind
from sim.ui.input.keys import Bindings, Press
from sim.ui.paint.display import Panel
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.panels import scene_rail
from sim.ui.panels.layout import lay_out
from sim.ui.screens import scene_night
from sim.ui.screens.scene_night import Hour, Passed
from sim.ui.words import Catalogue

BUDGET_S = 0.012  # of the night in one frame, as much of it as this machine can run on in that
STEPS_A_FRAME = 3  # of ten seconds, so that an hour takes two seconds and can be followed
DEAF_BUDGET_S = 0.04
LOOK = 6  # frames from one look about to the next; asleep for good, each frame is many minutes
CURVE = 96  # pieces of the tide's curve


class NightScreen:
    """Runs the night on and shows it passing.

    Attributes:
        rated: what the person thought of each phase, to be kept until it is marked.
        deaf: sleeping on whoever calls.
        woken: why the helm is to be taken now: "alarm", an order of the watch, "self", or "departure" when the stay is
            over; empty where it is not.
        done: it is morning, or the person has seen enough.
    """

    def __init__(
        self,
        session: Session,
        rated: Mapping[str, int],
        palette: Palette,
        words: Catalogue,
        bindings: Bindings | None = None,
    ) -> None:
        """Turn in, with the keys as bound."""
        self.bindings = bindings or Bindings()
        self.session, self.rated, self.words = session, dict(rated), words
        x = session.exercise
        began_s, until_s = x.t_s, x.stay_tick / TICK_HZ
        heights = x.world.params.water.tide
        times = [began_s + (until_s - began_s) * k / CURVE for k in range(CURVE + 1)]
        tide = tuple((t_s, tide_height_m(t_s, heights)) for t_s in times)
        self.passed = Passed(began_s, until_s, x.world.params.sky, tide)
        self.deaf = self.done = False
        self.woken = ""
        self._asleep = False
        self._frame = 0
        self._steps: Iterator[night_run.Stop | None] = iter(())
        self.use(palette)
        self.sleep()
        self._look()

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.painter = Painter(palette)

    def sleep(self) -> None:
        """Leave the helm and let the night go on from here."""
        self.woken, self._asleep = "", False
        self.session.turn_in()
        self._steps = night_run.steps(self.session.attempt.step, self.session.exercise)

    @property
    def darkness(self) -> float:
        """How dark it is, 0 by day to 1 by night."""
        return self.passed.darkness(self.session.exercise.t_s)

    def press(self, press: Press) -> None:
        """A key goes down."""
        if press is Press.ENTER:
            self.deaf = not self.deaf
        elif press is Press.PAUSE:
            if self._asleep:
                self._wake("self")
        elif press is Press.ESCAPE:
            self.done = True

    def _wake(self, why: str) -> None:
        self.woken, self.deaf = why, False
        self._look()
        self.session.rouse(why)

    def advance(self) -> None:
        """Let a frame's worth of the night pass."""
        until = time.perf_counter() + (DEAF_BUDGET_S if self.deaf else BUDGET_S)
        taken = 0
        while not (self.done or self.woken) and time.perf_counter() < until:
            if not self.deaf and taken >= STEPS_A_FRAME:
                break
            taken += 1
            try:
                stop = next(self._steps)
                self._asleep = True
            except StopIteration:
                self._morning()
                break
            except SimulationDiverged:
                self.done = True
                break
            if stop is not None and not self.deaf:
                self._wake(stop.cause.why if isinstance(stop.cause, ev.WatchCalled) else "alarm")
        self._frame += 1
        if self.deaf or self.done or self._frame % LOOK == 0:
            self._look()

    def _morning(self) -> None:
        """The stay is over: the helm is taken to weigh and leave where the lesson has that, else it is done."""
        x = self.session.exercise
        if x.departing and not x.departed and x.world.state.clock[st.K_WATCH] == st.ON_WATCH:
            self._wake(DEPARTURE)
        else:
            self.done = True

    def _look(self) -> None:
        """Keep what anybody who got up now would know."""
        s = self.session
        view = s.lookout.view()
        near = [o.judged_m for o in view.others if o.shown or o.light_m is not None]
        off_m = view.to_mark.distance_m if view.to_mark is not None else None
        wind_mps, from_rad = true_wind(view.readings)
        self.passed.note(Hour(view.readings.t_s, wind_mps, from_rad, off_m, min(near, default=None)))
        told = [e for e in s.exercise.events if isinstance(e, scene_night.TOLD)]
        self.passed.told = [e for e in told if e.tick >= self.passed.began_s * TICK_HZ]

    def panels(self, size: tuple[int, int]) -> list[Panel]:
        """Return the screen's panels in a window of a size."""
        layout = lay_out(size, False)
        page = scene_night.page(layout, self.session.lesson.title, self.passed, self.deaf, self.words)
        captions = (
            ("Enter", self.words("ui.night.listen" if self.deaf else "ui.night.deaf")),
            (scene_rail.pause_sign(self.bindings, self.words), self.words("ui.night.on_deck")),
            ("Esc", self.words("ui.night.enough")),
        )
        return [page, scene_rail.caption_rail(layout, captions, self.words("ui.caution.short"))]

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Draw one frame on the whole window."""
        del wall_s
        size = surface.get_size()
        for panel in self.panels(size):
            surface.blit(self.painter.panel(panel), panel.rect[:2])
        for rect, colour in scene_night.sky(lay_out(size, False), self.passed, self.session.exercise.t_s):
            surface.fill(colour, rect)
