"""The screen on which the brief is read and the plan is made: before the lesson begins, and again at sea."""

from dataclasses import replace

import pygame

from sim.core.orders import commands as cmd
from sim.helm.aids import Granted, charted_depths
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout
from sim.model.water.water import tide_height_m
from sim.play.session import Session
from sim.scenario.library import Lesson
from sim.ui.chart import label_places, scene_chart
from sim.ui.chart.camera import Camera
from sim.ui.chart.tiles import Tiles
from sim.ui.input.keys import Bindings, Press
from sim.ui.paint import hulls
from sim.ui.paint.display import Hull, Item, Panel, Point, Words
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.panels import scene_rail
from sim.ui.panels.layout import lay_out
from sim.ui.screens import scene_planning
from sim.ui.screens.plan_rows import PlanSheet
from sim.ui.words import Catalogue

CURVE_H = 12.0
NAMES = 1.2  # room left and right of the chart for the names of what stands ashore
ARROWS = {Press.UP: (1, 0), Press.DOWN: (-1, 0), Press.LEFT: (0, -1), Press.RIGHT: (0, 1)}


class PlanScreen:
    """Shows chart and brief, and takes the plan.

    Attributes:
        plan: the sheet.
        taken: the spot is in hand: arrows move it over the chart.
        session: the lesson under way, None before it begins.
        ready: she sails, with the plan.
        leaving: back to the list.
        two: whether two people will be aboard.
    """

    def __init__(
        self,
        lesson: Lesson,
        seed: int,
        boat: str | None,
        palette: Palette,
        words: Catalogue,
        session: Session | None = None,
    ) -> None:
        """Look at the bay as it is before the lesson begins, or as ``session`` sees it now."""
        lesson = lesson.on(seed)
        self.lesson, self.seed, self.words, self.session = lesson, seed, words, session
        if session is None:
            before = Exercise(lesson, seed, boat)
            granted, lookout, brief = (
                Granted(before, lesson.aids),
                Lookout(before),
                lesson.brief_in(boat or lesson.boat),
            )
        else:
            granted, lookout, brief = session.granted, session.lookout, session.brief
        self.aids, self.shapes = granted.now(), granted.shapes
        self.plan = PlanSheet(lookout.view(), self.aids, brief)
        heights, now_h = granted.exercise.world.params.water.tide, granted.exercise.t_s / 3600.0
        hours = [CURVE_H * k / 48.0 for k in range(49)]
        self.tide = [(hour, tide_height_m(3600.0 * (now_h + hour), heights)) for hour in hours]
        self.sign = Bindings().sign(Press.TWO).replace(" ", "+")
        self.taken = self.ready = self.leaving = self.two = False
        self.placed: list[label_places.Placed] = []  # the chart's lettering as last drawn
        self._depth_at = scene_chart.DepthAt(*charted_depths(lesson))
        self._chart = scene_chart.chart(brief, self._depth_at.raster, self._depth_at.depth_m, words)
        self.use(palette)

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.palette = palette
        hulls.use(palette)
        self.painter = Painter(palette)
        self.tiles = Tiles(self.painter, self._chart, self._depth_at.many)

    def press(self, press: Press) -> None:
        """A key goes down."""
        if self.taken:
            if press in ARROWS:
                self.plan.shift(*ARROWS[press])
            elif press in (Press.ENTER, Press.ESCAPE):
                self.taken = False
        elif press in (Press.UP, Press.DOWN):
            self.plan.move(1 if press is Press.DOWN else -1)
        elif press in (Press.LEFT, Press.RIGHT):
            self.plan.change(1 if press is Press.RIGHT else -1)
        elif press is Press.ENTER:
            if self.plan.name == "spot":
                self.taken = True
            else:
                self.ready = True
        elif press is Press.TWO:
            self.two = not self.two
        elif press is Press.ESCAPE:
            self.leaving = True

    def click(self, px: Point, size: tuple[int, int]) -> None:
        """The mouse is pressed: on the chart it sets the spot."""
        left, top, wide, tall = scene_planning.chart_rect(lay_out(size, False))
        if left <= px[0] < left + wide and top <= px[1] < top + tall:
            self.plan.spot_m = self.camera(size).place(px)
            self.plan.shift(0, 0)

    def order(self) -> cmd.Plan:
        """Return the plan as it stands."""
        return self.plan.command(self.words)

    def camera(self, size: tuple[int, int]) -> Camera:
        """Return the camera that shows the whole chart."""
        rect = scene_planning.chart_rect(lay_out(size, False))
        south, north, west, east = self.lesson.brief.chart.extent_m
        scale = round(min(rect[3] / (1.02 * (north - south)), rect[2] / (NAMES * (east - west))), 2)
        return Camera(0.5 * (south + north), 0.5 * (west + east), scale, rect)

    def items(self) -> list[Item]:
        """Return what is drawn on the chart."""
        return [*self._chart, *scene_planning.drawn(self.plan, self.aids, self.words)]

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Draw one frame on the whole window."""
        del wall_s
        size = surface.get_size()
        camera = self.camera(size)
        surface.set_clip(pygame.Rect(camera.rect))
        self.tiles.draw(surface, camera, 200)
        lettering: list[Words] = []
        for item in scene_planning.drawn(self.plan, self.aids, self.words):
            if isinstance(item, Hull):
                shape = self.shapes[item.shape]
                own = item.shape == 0
                picture = hulls.picture(shape, item.heading_rad, camera.scale, own, self.palette.name)
                x, y = camera.px(item.at)
                surface.blit(picture, (round(x - 0.5 * picture.get_width()), round(y - 0.5 * picture.get_height())))
            elif isinstance(item, Words):
                lettering.append(replace(item, at=camera.px(item.at)))
            else:
                self.painter.paint(surface, (camera.project(item),))
        grow = max(lay_out(size, False).small, 1.0)
        self.placed = self.tiles.letter(surface, camera, pygame.Rect(camera.rect), lettering, grow=grow)
        surface.set_clip(None)
        for panel in self.panels(size):
            surface.blit(self.painter.panel(panel), panel.rect[:2])

    def _enter(self) -> str:
        if self.plan.name == "spot":
            return "ui.planning.take"
        return "ui.planning.sail" if self.session is None else "ui.planning.enter"

    def panels(self, size: tuple[int, int]) -> list[Panel]:
        """Return the screen's panels in a window of a size."""
        layout = lay_out(size, False)
        if self.taken:
            captions = [("← ↑ ↓ →", self.words("ui.planning.move")), ("Enter", self.words("ui.planning.put_down"))]
        else:
            captions = [
                ("↑ ↓", self.words("ui.planning.row")),
                ("← →", self.words("ui.planning.change")),
                ("Enter", self.words(self._enter())),
                ("Esc", self.words("ui.planning.back" if self.session is None else "ui.planning.leave")),
            ]
            if self.session is None:
                captions.append((self.sign, self.words("ui.planning.two" if self.two else "ui.planning.one")))
        sheet = scene_planning.sheet(layout, self.lesson, self.seed, self.plan, self.tide, self.taken, self.words)
        return [sheet, scene_rail.caption_rail(layout, captions, self.words("ui.caution.short"))]
