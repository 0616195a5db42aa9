"""The screen with the list of lessons."""

from collections.abc import Callable, Mapping, Sequence

import pygame

from sim.base.units import rad
from sim.helm.aids import Shape, charted_depths
from sim.play.history import Tried
from sim.scenario.library import Lesson
from sim.ui.chart import scene_chart
from sim.ui.chart.camera import Camera
from sim.ui.chart.tiles import Tiles
from sim.ui.input.keys import Bindings, Press
from sim.ui.paint import hulls
from sim.ui.paint.display import Panel
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.panels import scene_rail
from sim.ui.panels.layout import Layout, lay_out
from sim.ui.screens import scene_chooser
from sim.ui.screens.scene_chooser import Listed
from sim.ui.screens.syllabus import Syllabus
from sim.ui.words import Catalogue


class Chooser:
    """Draws the list and the brief of the lesson chosen.

    Attributes:
        chosen: number of the lesson.
        seed: which of its days.
        asked: Enter was pressed: she sails as soon as all is ready.
        showing: Space was pressed: the demonstrator sails it, to be watched.
        setting: the settings are asked for.
        bindings: the keys as they are bound.
    """

    def __init__(
        self,
        lessons: Sequence[Lesson],
        palette: Palette,
        words: Catalogue,
        ready: Callable[[], bool],
        tried: Mapping[str, Sequence[Tried]] | None = None,
    ) -> None:
        """Take the lessons and the person's attempts at them; ``ready`` says whether the physics is compiled."""
        self.lessons, self.words, self.ready, self.tried = lessons, words, ready, tried or {}
        self.chosen, self.seed = 0, 1
        self.bindings = Bindings()
        self.asked = self.showing = self.leaving = self.setting = False
        self._shown = False  # once
        self.use(palette)

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.palette = palette
        hulls.use(palette)
        self.painter = Painter(palette)
        self._tiles: dict[str, Tiles] = {}

    def speak(self, lessons: Sequence[Lesson], words: Catalogue) -> None:
        """Take the same lessons in another language."""
        self.lessons, self.words = lessons, words

    @property
    def rows(self) -> Sequence[Listed]:
        """What the list shows of each lesson."""
        return self.lessons.headings if isinstance(self.lessons, Syllabus) else self.lessons

    @property
    def lesson(self) -> Lesson:
        """The lesson chosen."""
        return self.lessons[self.chosen]

    def press(self, press: Press) -> None:
        """A key goes down."""
        if press in (Press.UP, Press.DOWN):
            self.chosen = (self.chosen + (1 if press is Press.DOWN else -1)) % len(self.lessons)
        elif press in (Press.LEFT, Press.RIGHT):
            self.seed = max(1, self.seed + (1 if press is Press.RIGHT else -1))
        elif press is Press.ENTER:
            self.asked, self.showing = True, False
        elif press is Press.PAUSE:
            self.asked = self.showing = True
        elif press is Press.SETTINGS:
            self.setting = True
        elif press is Press.ESCAPE:
            self.leaving = True

    def _chart(self, lesson: Lesson) -> Tiles:
        if lesson.name not in self._tiles:
            depth_at = scene_chart.DepthAt(*charted_depths(lesson))
            raster, depth_m = depth_at.raster, depth_at.depth_m
            items = scene_chart.chart(lesson.brief, raster, depth_m, self.words, soundings=False)
            self._tiles[lesson.name] = Tiles(self.painter, items, depth_at.many)
        return self._tiles[lesson.name]

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Draw one frame on the whole window."""
        del wall_s
        layout = lay_out(surface.get_size(), False)
        if not self._shown and isinstance(self.lessons, Syllabus) and not self.lessons.is_read(self.chosen):
            self._shown = True  # the list at once, the lesson chosen with the next frame
            surface.fill(self.palette["panel"])
            for panel in self._list(layout):
                surface.blit(self.painter.panel(panel), panel.rect[:2])
            return
        lesson = self.lesson
        rect = scene_chooser.picture_rect(layout)
        south, north, west, east = lesson.brief.chart.extent_m
        start = lesson.sources.lesson.start
        scale = round(min(rect[3] / (1.14 * (north - south)), rect[2] / (1.04 * (east - west))), 2)
        middle = (0.5 * (south + north), 0.5 * (west + east))
        camera = Camera(*middle, scale, rect)
        surface.set_clip(pygame.Rect(rect))
        self._chart(lesson).draw(surface, camera, 200)
        shape = Shape.of(lesson.world(0).boat.particulars)
        picture = hulls.picture(shape, rad(start.heading_deg), scale, True, self.palette.name)
        x, y = camera.px((start.north_m, start.east_m))
        surface.blit(picture, (round(x - 0.5 * picture.get_width()), round(y - 0.5 * picture.get_height())))
        self._chart(lesson).letter(surface, camera, pygame.Rect(camera.rect))
        surface.set_clip(None)
        for panel in self.panels(surface.get_size()):
            surface.blit(self.painter.panel(panel), panel.rect[:2])

    def panels(self, size: tuple[int, int]) -> list[Panel]:
        """Return the screen's panels in a window of a size."""
        layout, lesson = lay_out(size, False), self.lesson
        shown, rail = self._list(layout)
        return [
            shown,
            scene_chooser.brief(layout, lesson, self.seed, self.tried.get(lesson.name, ()), self.words),
            scene_chooser.wind_arrow(layout, lesson, self.words),
            rail,
        ]

    def _list(self, layout: Layout) -> list[Panel]:
        """Return the list and the rail."""
        line = "" if self.ready() else self.words("ui.chooser.wait" if self.asked else "ui.chooser.compiling")
        captions = (
            ("↑ ↓", self.words("ui.chooser.choose")),
            ("← →", self.words("ui.chooser.day")),
            ("Enter", self.words("ui.chooser.sail")),
            (scene_rail.pause_sign(self.bindings, self.words), self.words("ui.chooser.show")),
            (self.bindings.sign(Press.SETTINGS), self.words("ui.chooser.settings")),
            ("Esc", self.words("ui.chooser.quit")),
        )
        return [
            scene_chooser.lessons(layout, self.rows, self.chosen, self.tried, line, self.words),
            scene_rail.caption_rail(layout, captions),
        ]
