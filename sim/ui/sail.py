"""The screen on which a lesson is sailed."""

import pygame

from sim.core import commands as cmd
from sim.helm.aids import charted_depths
from sim.ui import (
    hulls,
    scene_chart,
    scene_furniture,
    scene_ledger,
    scene_lookout,
    scene_overlay,
    scene_rail,
    scene_side,
)
from sim.ui.camera import Camera, Follow
from sim.ui.display import Hull, Item, Panel, Point, Ripples
from sim.ui.hands import Act
from sim.ui.keys import Press
from sim.ui.layout import LEAST, Layout, lay_out
from sim.ui.painter import Painter
from sim.ui.palette import Palette
from sim.ui.scene_plan import plan
from sim.ui.scene_water import ripples
from sim.ui.session import Session
from sim.ui.tiles import Tiles
from sim.ui.words import Catalogue

ROUND_UP_M = 70.0  # from the middle of the anchorage: nearer than this the plan is drawn close
PANELS_A_FRAME = 2
TILES_A_FRAME = 1
BEAT = 6  # frames from one look at the displays to the next


class SailScreen:
    """Draws a session and takes its keys.

    Attributes:
        planning: the chart with the plan is asked for.
    """

    def __init__(self, session: Session, palette: Palette, words: Catalogue) -> None:
        """Paint the chart's overview and stand by."""
        self.session, self.words = session, words
        brief = session.brief
        raster, depth_m = charted_depths(session.lesson)
        self._depth_at = scene_chart.DepthAt(raster, depth_m)
        self._chart = scene_chart.chart(brief, raster, depth_m, words)
        self.use(palette)
        self.follow = Follow()
        self.dropped: Point | None = None
        self.asking: str | None = None
        self.helping = False
        self.planning = False
        self.leaving = False
        self._frame = 0
        self._ripples: Ripples | None = None
        self._ripples_for = 0.0
        self._wanted: dict[str, Panel] = {}
        self._shown: list[str] = []
        self.resize(LEAST)

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.palette = palette
        hulls.use(palette)
        self.painter = Painter(palette)
        self.tiles = Tiles(self.painter, self._chart)
        self.tiles.prepare(self.session.brief.chart.extent_m)
        self._wanted = {}

    def resize(self, size: tuple[int, int]) -> None:
        """Lay the screen out afresh."""
        self.layout: Layout = lay_out(size, "side_view" in self.session.granted.aids)
        self._wanted = {}

    @property
    def standing(self) -> bool:
        """Whether time stands, by the hand or because something lies over the screen."""
        return self.session.pacer.paused or self.helping or self.planning or self.asking is not None

    def press_act(self, act: Act) -> None:
        """A key of the boat's goes down; over a question or the help it does nothing."""
        if not (self.helping or self.asking):
            self.session.press(act)

    def press(self, press: Press) -> None:
        """A key of the screen's goes down."""
        if self.asking is not None:
            self._answer(self.asking, press)
        elif self.helping:
            self.helping = press not in (Press.HELP, Press.ESCAPE)
        else:
            self._plain(press)

    def _plain(self, press: Press) -> None:
        s = self.session
        questions = {Press.ENTER: "secure", Press.ABORT: "abort", Press.ESCAPE: "quit"}
        if press in questions:
            self.asking = questions[press]
        elif press is Press.HELP:
            self.helping = True
        elif press is Press.PAUSE:
            s.pacer.paused = not s.pacer.paused
        elif press in (Press.SLOWER, Press.FASTER):
            s.rate(1 if press is Press.FASTER else -1)
        elif press in (Press.NEARER, Press.FARTHER):
            self.follow.zoom_by(1 if press is Press.NEARER else -1, self.camera().scale)
        elif press is Press.OWN_ZOOM:
            self.follow.hand = None
        elif press is Press.PLAN:
            self.planning = True
        if self.standing:
            s.hands.let_go_of_all()

    def _answer(self, question: str, press: Press) -> None:
        if press is Press.ESCAPE:
            self.asking = None
        elif press is Press.ENTER:
            self.asking = None
            if question == "secure":
                self.session.hands.order(cmd.Secure())
            elif question == "abort":
                self.session.hands.order(cmd.Abort(reason="called off"))
            else:
                self.leaving = True

    def camera(self, wall_s: float = 0.0) -> Camera:
        """Return the camera of this moment, which glides after what matters."""
        aids, place = self.session.aids, self.session.brief.anchorage
        own = aids.own
        out = self.session.view.readings.counter_m
        if out < 0.3:
            self.dropped = None
        elif self.dropped is None:
            self.dropped = aids.roller_m
        near = abs(own.north_m - place.north_m) + abs(own.east_m - place.east_m) < 1.3 * ROUND_UP_M
        if self.dropped is not None:
            anchor = self.dropped if aids.own_swing is None else (aids.own_swing.north_m, aids.own_swing.east_m)
            wanted = (0.5 * (own.north_m + anchor[0]), 0.5 * (own.east_m + anchor[1]))
        else:
            share = 0.2 if near else 0.5
            wanted = (
                own.north_m + share * (place.north_m - own.north_m),
                own.east_m + share * (place.east_m - own.east_m),
            )
        left, top, wide, tall = self.layout.plan
        scale = self.follow.zoom(near or self.dropped is not None, (wide, tall))
        return Camera(*self.follow.look(wanted, wall_s), scale, (left, top, wide, tall))

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Draw one frame on the whole window."""
        s = self.session
        s.look()
        if surface.get_size() != self.layout.size:
            self.resize(surface.get_size())
        first = not self._wanted
        camera = self.camera(wall_s)
        clip = pygame.Rect(camera.rect)
        surface.set_clip(clip)
        self.tiles.draw(surface, camera, 999 if first else TILES_A_FRAME)
        self._plan(surface, camera)
        surface.set_clip(None)
        self._gather(camera, first)
        self._refresh(99 if first else PANELS_A_FRAME)
        for name in self._shown:
            picture = self.painter.kept(name)
            if picture is not None:
                surface.blit(picture, self._wanted[name].rect[:2])
        left, _, _, tall = self.layout.ledger
        pygame.draw.line(surface, self.palette["ink"], (left, 0), (left, tall), 2)
        for panel in self._over():
            surface.blit(self.painter.panel(panel), panel.rect[:2])
        self._frame += 1

    def _plan(self, surface: pygame.Surface, camera: Camera) -> None:
        s = self.session
        if self._frame % BEAT == 1 or self._ripples is None or self._ripples_for != camera.scale:
            wind_mps, from_rad = scene_furniture.true_wind(s.view.readings)
            self._ripples_for = camera.scale
            self._ripples = ripples(camera, wind_mps, from_rad, s.exercise.t_s, self._depth_at, s.granted.wind_on_water)
        self.painter.paint(surface, (camera.project(self._ripples),))
        for item in plan(s.view, s.aids, s.brief, s.log, self.words, s.granted.aids):
            if isinstance(item, Hull):
                shape = s.granted.shapes[item.shape]
                picture = hulls.picture(shape, item.heading_rad, camera.scale, item.shape == 0, self.palette.name)
                x, y = camera.px(item.at)
                surface.blit(picture, (round(x - 0.5 * picture.get_width()), round(y - 0.5 * picture.get_height())))
            else:
                self.painter.paint(surface, (camera.project(item),))
        self.painter.paint(surface, scene_furniture.out_of_sight(camera, s.view, s.aids, self.layout.unit))

    def panels(self, part: int, camera: Camera) -> list[Panel]:
        """Return the panels of one part of the screen: 0 lookout and side view, 1 ledger, 2 rail and furniture."""
        s = self.session
        if part == 0:
            shown = [
                scene_lookout.lookout(
                    self.layout, s.view, s.aids.own, s.brief, s.hands.look_rad, self._depth_at, self.words
                )
            ]
            under = scene_side.side(self.layout, s.aids, s.brief.boat, self.words)
            return shown if under is None else [*shown, under]
        if part == 1:
            return scene_ledger.ledger(self.layout, s.view, s.brief, s.log, s.pacer.rate, s.pacer.paused, self.words)
        shown = [
            scene_rail.rail(self.layout, s.view, s.brief, s.pacer.paused, self.words),
            scene_furniture.wind(self.layout, s.view, self.words),
            scene_furniture.scale(self.layout, camera.scale, self.words),
        ]
        latest = scene_furniture.news(self.layout, s.view, s.brief, self.words)
        return shown if latest is None else [*shown, latest]

    def items(self) -> list[Item]:
        """Return everything that is on screen now as one list, for reading."""
        s = self.session
        camera = self.camera()
        shown: list[Item] = list(plan(s.view, s.aids, s.brief, s.log, self.words, s.granted.aids))
        for part in range(3):
            for panel in self.panels(part, camera):
                shown += panel.items
        shown += scene_furniture.out_of_sight(camera, s.view, s.aids, self.layout.unit)
        return [*self._chart, *shown]

    def _gather(self, camera: Camera, everything: bool) -> None:
        """Look at one part of the displays each second frame, or at all of them."""
        for part in range(3):
            if everything or self._frame % BEAT == 2 * part:
                fresh = {panel.name: panel for panel in self.panels(part, camera)}
                if part == 2:
                    self._wanted.pop("plan:news", None)
                self._wanted |= fresh
        self._shown = list(self._wanted)

    def _refresh(self, most: int) -> None:
        """Paint at most so many of the panels that have changed."""
        for panel in self._wanted.values():
            if most > 0 and self.painter.changed(panel):
                self.painter.panel(panel)
                most -= 1

    def _over(self) -> list[Panel]:
        s = self.session
        if self.asking is not None:
            return [scene_overlay.question(self.layout, self.asking, self.words)]
        if self.helping:
            return [scene_overlay.help_sheet(self.layout, s.brief, self.words)]
        return []
