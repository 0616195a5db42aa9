"""How long a frame takes to draw, apart from showing it."""

import dataclasses
import math
import statistics
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pygame

from sim.core.orders import commands as cmd
from sim.helm.aids import charted_depths
from sim.play.session import Session
from sim.scenario.library import Lesson, load_lesson, load_words
from sim.scenario.schema.lesson import NeighbourBlock, NeighbourRode
from sim.ui import collector
from sim.ui.app import SIZE
from sim.ui.chart.camera import ZOOMS
from sim.ui.chart.scene_chart import DepthAt
from sim.ui.input.keys import Press
from sim.ui.paint.palette import DAY
from sim.ui.screens.sail import SailScreen
from sim.ui.words import Catalogue

FRAME_S = 1.0 / 60.0
LESSON = "lantern-pool-2"
WIDE = 1  # number of the zoom at which all of them are in sight
CLOSE = 4  # that of the round-up
CLOSER_FRAMES = 900
SETTLING_FRAMES = 30
APART_M = 45
LEAST_DEPTH_M = 4.0
TURN_DEG = 30.0


@dataclass(frozen=True)
class Drawn:
    """Milliseconds of a frame: the one in the middle, the 95th of 100, and the longest.

    Counted is what this thread worked, unless said otherwise: a frame also waits for others, and that is not drawing.
    """

    median_ms: float
    p95_ms: float
    longest_ms: float


def crowded(lesson: Lesson, boats: int) -> Lesson:
    """Return ``lesson`` with so many others lying to chain, in rows over the water nearest to the anchorage."""
    depth_at, place = DepthAt(*charted_depths(lesson)), lesson.brief.anchorage
    grid = [(place.north_m + APART_M * i, place.east_m + APART_M * j) for i in range(-9, 10) for j in range(-9, 10)]
    afloat = [spot for spot in grid if depth_at(*spot) > LEAST_DEPTH_M]
    afloat.sort(key=lambda spot: math.hypot(spot[0] - place.north_m, spot[1] - place.east_m))
    rode = NeighbourRode(kind="chain", length_m=25.0)
    others = tuple(
        NeighbourBlock(name=f"Boat {k + 1}", boat=lesson.boat, anchor_north_m=n, anchor_east_m=e, rode=rode)
        for k, (n, e) in enumerate(afloat[:boats])
    )
    file = lesson.sources.lesson.model_copy(update={"neighbours": others})
    return dataclasses.replace(lesson, sources=dataclasses.replace(lesson.sources, lesson=file))


@contextmanager
def crowd(boats: int) -> Iterator[SailScreen]:
    """Yield the sea screen with so many others in sight, under way, its recording gone afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        session = Session(crowded(load_lesson(LESSON), boats), 1, Path(folder))
        screen = SailScreen(session, DAY, Catalogue(load_words("en")))
        screen.follow.hand = WIDE
        session.hands.order(cmd.Engine(lever=0.3))
        collector.settle()  # as the window does
        yield screen
        session.finish("closed")


def _spread(times: list[float]) -> Drawn:
    times = sorted(times)
    return Drawn(statistics.median(times), times[int(0.95 * len(times))], times[-1])


def draw(boats: int = 20, seconds: float = 60.0, size: tuple[int, int] = SIZE, head_up: bool = False) -> Drawn:
    """Return how long frames take while she works her way through ``boats`` others, all in sight.

    Args:
        boats: other boats.
        seconds: simulated, a frame each sixtieth.
        size: of the window [px].
        head_up: whether her heading is up, and she goes round in circles all the while.
    """
    surface = pygame.Surface(size)
    with crowd(boats) as screen:
        session = screen.session
        if head_up:
            screen.follow.head_up = True
            session.hands.order(cmd.Helm(angle_rad=math.radians(TURN_DEG)))
        screen.draw(surface, FRAME_S)  # everything is painted once before time runs
        times: list[float] = []
        for frame in range(round(seconds / FRAME_S)):
            if frame % CLOSER_FRAMES == CLOSER_FRAMES - 1:  # near and wide by turns: all its tiles are new at first
                screen.follow.hand = CLOSE if screen.follow.hand == WIDE else WIDE
            session.advance(FRAME_S)
            worked = time.thread_time()
            screen.draw(surface, FRAME_S)
            times.append((time.thread_time() - worked) * 1e3)
    return _spread(times)


def zoom(boats: int = 20, size: tuple[int, int] = SIZE) -> Drawn:
    """Return how long the longest frame takes after each step of the zoom, in and out through all of them."""
    surface = pygame.Surface(size)
    steps = [Press.NEARER] * len(ZOOMS) + [Press.FARTHER] * len(ZOOMS)
    with crowd(boats) as screen:
        for _ in range(SETTLING_FRAMES):
            screen.draw(surface, FRAME_S)
        times: list[float] = []
        for press in steps:
            screen.press(press)
            frames = []
            for _ in range(SETTLING_FRAMES):
                screen.session.advance(FRAME_S)
                worked = time.thread_time()
                screen.draw(surface, FRAME_S)
                frames.append((time.thread_time() - worked) * 1e3)
            times.append(max(frames))
    return _spread(times)


def flip(boats: int = 20, seconds: float = 30.0, size: tuple[int, int] = SIZE) -> Drawn:
    """Return how long a frame takes by the clock on the wall, drawn and shown in a window of the display there is."""
    pygame.display.init()
    pygame.font.init()
    window = pygame.Window("windrode", size)
    with crowd(boats) as screen:
        times: list[float] = []
        for frame in range(round(seconds / FRAME_S)):
            pygame.event.pump()
            screen.session.advance(FRAME_S)
            began = time.perf_counter()
            screen.draw(window.get_surface(), FRAME_S)
            window.flip()
            if frame >= SETTLING_FRAMES:
                times.append((time.perf_counter() - began) * 1e3)
    window.destroy()
    return _spread(times)
