"""The screen on which a lesson is sailed: what is on it now, part by part, and how a frame is drawn."""

import math

import pygame

from sim.helm.aids import charted_depths
from sim.play.hands import Act
from sim.play.session import Session
from sim.play.watching import HIS, Showing
from sim.ui.chart import label_places, scene_chart, scene_furniture, scene_plan
from sim.ui.chart.backdrop import Backdrop
from sim.ui.chart.camera import Camera, Follow
from sim.ui.chart.scene_water import rain, ripples
from sim.ui.chart.tiles import Tiles
from sim.ui.input.keys import Bindings, Press
from sim.ui.input.presses import NOT_WATCHED, Presses
from sim.ui.paint import hulls
from sim.ui.paint.display import Fill, Hull, Item, Panel, Point, Words
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.panels import (
    scene_instruments,
    scene_ledger,
    scene_lookout,
    scene_overlay,
    scene_rail,
    scene_side,
    scene_watched,
)
from sim.ui.panels.layout import LEAST, Layout, lay_out
from sim.ui.panels.scene_ledger import Pace
from sim.ui.panels.scene_rail import Cell
from sim.ui.preferences import Preferences
from sim.ui.screens import leave_sheet, scene_night, watch_sheet
from sim.ui.words import Catalogue

TOLD_S = 20.0  # so long it stands there that the stay is over
VEIL = (16, 14, 12)  # what rain takes from the light on the plan
ROUND_UP_M = 70.0  # from the middle of the anchorage: nearer than this the plan is drawn close
OWN_PX = 40  # from the edge of the plan to her, at least
PANELS_A_FRAME = 2
TILES_A_FRAME = 1
LOOK = 3  # frames from one look about to the next; in between only she herself moves
BEAT = 6  # frames from one look at the displays to the next
FORWARD_WHYS = ("alarm", "news", "running")  # why time slows that may be known at the bow alone
PASSING = ("plan:caption", "plan:news", "plan:instrument", "plan:banner", "plan:rouse")  # panels that come and go


class SailScreen(Presses):
    """Draws a session and takes its keys."""

    def __init__(
        self,
        session: Session,
        palette: Palette,
        words: Catalogue,
        chosen: Preferences | None = None,
        bindings: Bindings | None = None,
    ) -> None:
        """Paint the chart's overview and stand by."""
        super().__init__(session, words)
        self.chosen, self.bindings = chosen or Preferences(), bindings or Bindings()
        brief = session.brief
        raster, depth_m = charted_depths(session.lesson)
        self._depth_at = scene_chart.DepthAt(raster, depth_m)
        self._chart = scene_chart.chart(brief, raster, depth_m, words)
        self.use(palette)
        self.follow = Follow()
        self.dropped: Point | None = None
        self.cells: list[Cell] = []
        self.placed: list[label_places.Placed] = []  # the plan's lettering as last drawn
        self._frame = 0
        self._tiles_now = 0
        self._lines: list[Words] = []
        self._taken: list[pygame.Rect] = []
        self._wanted: dict[str, Panel] = {}
        self.resize(LEAST)

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.palette = palette
        hulls.use(palette)
        self.painter = Painter(palette)
        self.tiles = Tiles(self.painter, self._chart, self._depth_at.many)
        self.tiles.overview(self.session.brief.chart.extent_m)
        self._wanted = {}
        self._backdrop = Backdrop((self._water, self._about, self._letter))

    def prefer(self, chosen: Preferences) -> None:
        """Take other settings."""
        self.chosen = chosen
        self.follow.still = chosen.reduced_motion
        self.resize(self.layout.size)

    def resize(self, size: tuple[int, int]) -> None:
        """Lay the screen out afresh."""
        side = "side_view" in self.session.granted.aids and self.session.apart is None
        self.layout: Layout = lay_out(size, side, self.chosen.scale)
        self.follow.still = self.chosen.reduced_motion
        self._wanted = {}

    @property
    def pace(self) -> Pace:
        """Return how time runs."""
        s = self.session
        return Pace(s.pacer.rate, s.pacer.paused, s.assisted, self.page)

    def camera(self, wall_s: float = 0.0) -> Camera:
        """Return the camera of this moment, which glides after what matters."""
        aids, place = self.session.aids, self.session.brief.anchorage
        own = aids.own
        out = self.session.view.readings.counter_m
        if out < 0.3:
            self.dropped = None
        elif self.dropped is None:
            self.dropped = aids.roller_m
        left, top, wide, tall = self.layout.plan
        near = abs(own.north_m - place.north_m) + abs(own.east_m - place.east_m) < 1.3 * ROUND_UP_M
        scale = self.follow.zoom(near or self.dropped is not None, (wide, tall))
        if self.dropped is not None:
            anchor = self.dropped if aids.own_swing is None else (aids.own_swing.north_m, aids.own_swing.east_m)
            wanted = (0.5 * (own.north_m + anchor[0]), 0.5 * (own.east_m + anchor[1]))
        else:
            ahead = place.north_m - own.north_m, place.east_m - own.east_m
            reach_m = (0.5 * min(wide, tall) - OWN_PX) / scale  # however small the plan, she herself stands on it
            share = min(0.2 if near else 0.5, reach_m / max(math.hypot(*ahead), 1.0))
            wanted = own.north_m + share * ahead[0], own.east_m + share * ahead[1]
        up = self.follow.up(self.session.view.readings.heading_rad)
        return Camera(*self.follow.look(wanted, wall_s), scale, (left, top, wide, tall), up)

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Draw one frame on the whole window."""
        if surface.get_size() != self.layout.size:
            self.resize(surface.get_size())
        first = not self._wanted
        if first or self._frame % LOOK == 0:
            self.session.look()
        else:
            self.session.glance()
        camera = self.camera(wall_s)
        self._gather(camera, first)
        surface.set_clip(pygame.Rect(camera.rect))
        self._tiles_now = 999 if first else 0
        due = self._frame % 2 == 1
        camera = self._backdrop.draw(surface, camera, due)
        if not due:
            self.tiles.prepare(camera, TILES_A_FRAME)
        self._hers(surface, camera)
        surface.set_clip(None)
        self._refresh(99 if first else PANELS_A_FRAME)
        for name, panel in self._wanted.items():
            picture = self.painter.kept(name)
            if picture is not None:
                surface.blit(picture, panel.rect[:2])
        left, _, _, tall = self.layout.ledger
        pygame.draw.line(surface, self.palette["ink"], (left, 0), (left, tall), 2)
        self.painter.paint(surface, scene_furniture.ringing(self.layout, self.session.view))
        for panel in self.over():
            surface.blit(self.painter.panel(panel), panel.rect[:2])
        self._frame += 1

    def _water(self, layer: pygame.Surface, camera: Camera, _seen: pygame.Rect) -> bool:
        """Paint the chart, and the wind on the water; return whether the chart is still being turned."""
        if self.tiles.turn(camera, self._tiles_now):
            return True
        s = self.session
        self.tiles.draw(layer, camera, self._tiles_now)
        wind_mps, from_rad = scene_furniture.true_wind(s.view.readings)
        drift_s = 0.0 if self.chosen.reduced_motion else s.exercise.t_s
        water = ripples(camera, wind_mps, from_rad, drift_s, self._depth_at, s.lookout.water)
        self.painter.paint(layer, (camera.project(water),))
        if s.view.raining:
            layer.fill(VEIL, special_flags=pygame.BLEND_RGB_SUB)
            self.painter.paint(layer, rain(camera, drift_s))
        return False

    def _about(self, layer: pygame.Surface, camera: Camera, seen: pygame.Rect) -> bool:
        """Paint what lies about her, and keep its lettering and where none shall stand."""
        s = self.session
        left, top = self.layout.plan[:2]
        self._lines = []
        self._taken = [
            pygame.Rect(p.rect).move(seen.x - left, seen.y - top)
            for name, p in self._wanted.items()
            if name.startswith("plan:")
        ]
        own = s.aids.own
        self._taken.append(self._round(camera, (own.north_m, own.east_m), 0))
        for item in self.around():
            if isinstance(item, Hull):
                if camera.sees(item.at, 40.0 * camera.scale):
                    self._hull(layer, camera, item)
                    self._taken.append(self._round(camera, item.at, item.shape))
            elif isinstance(item, Words):
                projected = camera.project(item)
                if isinstance(projected, Words):
                    self._lines.append(projected)
            else:
                self.painter.paint(layer, (camera.project(item),))
        return False

    def _letter(self, layer: pygame.Surface, camera: Camera, seen: pygame.Rect) -> bool:
        """Paint where the boats beyond the plan lie, and all its lettering."""
        s = self.session
        for item in scene_furniture.out_of_sight(
            camera, tuple(seen), s.view, s.aids, s.log, self.layout.unit, self.words
        ):
            if isinstance(item, Words):
                self._lines.append(item)
            else:
                self.painter.paint(layer, (item,))
                self._taken += [_bounds(item)] if isinstance(item, Fill) else []
        grow = max(self.layout.small, 1.0)
        self.placed = self.tiles.letter(layer, camera, seen, self._lines, self._taken, grow)
        return False

    def _round(self, camera: Camera, at: Point, shape: int) -> pygame.Rect:
        """Return where no lettering shall stand because a boat does."""
        half = max(0.3 * self.session.granted.shapes[shape].loa_m * camera.scale, 6.0)
        x, y = camera.px(at)
        return pygame.Rect(round(x - half), round(y - half), round(2 * half), round(2 * half))

    def _hers(self, surface: pygame.Surface, camera: Camera) -> None:
        for item in self.hers():
            if isinstance(item, Hull):
                self._hull(surface, camera, item)
            else:
                self.painter.paint(surface, (camera.project(item),))

    def _hull(self, surface: pygame.Surface, camera: Camera, item: Hull) -> None:
        shape = self.session.granted.shapes[item.shape]
        heading = item.heading_rad - camera.up_rad
        picture = hulls.picture(shape, heading, camera.scale, item.shape == 0, self.palette.name)
        x, y = camera.px(item.at)
        surface.blit(picture, (round(x - 0.5 * picture.get_width()), round(y - 0.5 * picture.get_height())))

    def around(self) -> tuple[Item, ...]:
        """Return what lies about her, places north and east [m]."""
        s = self.session
        reports = scene_instruments.reports(s.view) if self.instrument is Press.AIS else ()
        ruled = scene_plan.leading(s.pair)
        return (*ruled, *scene_plan.around(s.view, s.aids, s.brief, s.log, self.words, s.hands.target), *reports)

    def hers(self) -> tuple[Item, ...]:
        """Return what is hers on the plan, places north and east [m]."""
        s = self.session
        granted = s.granted.aids - {"transits"} if len(s.pair) == 2 else s.granted.aids  # it has a line of its own
        return scene_plan.hers(s.view, s.aids, s.brief, s.log, granted)

    def panels(self, part: int, camera: Camera) -> list[Panel]:
        """Return the panels of one part of the screen: 0 lookout and side view, 1 ledger, 2 rail and furniture."""
        s, h = self.session, self.session.hands
        if part == 0:
            strip = scene_lookout.lookout(
                self.layout,
                s.view,
                s.aids.own,
                s.brief,
                h.look_rad,
                self._depth_at,
                self.words,
                self.chosen.reduced_motion,
                s.leading,
            )
            under = scene_side.side(self.layout, s.aids, s.brief.boat, self.words)
            return [strip] if under is None else [strip, under]
        if part == 1:
            turn = self.bindings.sign(Press.PAGE)
            heard = self.heard if s.apart is not None else None
            return scene_ledger.ledger(
                self.layout, s.view, s.brief, s.log, self.pace, self.words, h.rode, turn, heard, s.leading
            )
        if isinstance(s, Showing):
            self.cells = []
            return scene_watched.panels(self.layout, s.view, s.said, s.pacer.paused, camera, self.words, self.bindings)
        return self._furniture(camera)

    def _furniture(self, camera: Camera) -> list[Panel]:
        """Return the rail, and what stands on the plan without belonging to it."""
        s, h = self.session, self.session.hands
        keys, self.cells = scene_rail.rail(
            self.layout,
            s.view,
            s.brief,
            s.pacer.paused,
            self.words,
            self.bindings,
            h.rode,
            self.focus,
            s.apart is not None,
            s.departing,
        )
        shown = [
            keys,
            scene_furniture.wind(self.layout, s.view, self.words, camera.up_rad),
            scene_furniture.scale(self.layout, camera.scale, self.words, camera.up_rad),
        ]
        slowed = "" if s.apart is not None and s.why_slow in FORWARD_WHYS else s.why_slow
        latest = scene_furniture.news(self.layout, s.view, s.brief, slowed, self.words)
        if latest is not None:
            shown.append(latest)
        if s.roused and (not s.departing or s.exercise.t_s - s.roused_s < TOLD_S):
            shown.append(self._rouse())
        if self.instrument is not None:
            radius = h.circle(s.view)[2]
            opened = self.instrument, self.layout, s.view, s.brief, self.words, radius, self.bindings.sign(Act.ALARM)
            shown.append(scene_instruments.panel(*opened))
        return shown

    def _rouse(self) -> Panel:
        s, sign = self.session, self.bindings.sign
        told = "ui.night.keys_out" if s.departing else "ui.night.keys"
        keys = self.words(told, secure=sign(Press.ENTER), bed=sign(Press.ESCAPE))
        return scene_night.rouse(self.layout, s.roused, s.exercise.t_s - s.roused_s, keys, self.words)

    def items(self) -> list[Item]:
        """Return everything that is on screen now as one list, for reading."""
        camera = self.camera()
        shown: list[Item] = [*self.around(), *self.hers()]
        for part in range(3):
            for panel in self.panels(part, camera):
                shown += panel.items
        s = self.session
        shown += scene_furniture.out_of_sight(camera, camera.rect, s.view, s.aids, s.log, self.layout.unit, self.words)
        shown += scene_furniture.ringing(self.layout, s.view)
        return [*self._chart, *shown]

    def _gather(self, camera: Camera, everything: bool) -> None:
        """Look at one part of the displays each second frame, or at all of them."""
        for part in range(3):
            if everything or self._frame % BEAT == 2 * part:
                fresh = {panel.name: panel for panel in self.panels(part, camera)}
                if part == 2:
                    for name in PASSING:
                        self._wanted.pop(name, None)
                if part == 1:
                    for name in [n for n in self._wanted if n.startswith("ledger:") and n not in fresh]:
                        del self._wanted[name]
                self._wanted |= fresh

    def _refresh(self, most: int) -> None:
        """Paint at most so many of the panels that have changed."""
        for panel in self._wanted.values():
            if most > 0 and self.painter.changed(panel):
                self.painter.panel(panel)
                most -= 1

    def over(self) -> list[Panel]:
        """Return what lies over the screen now."""
        s = self.session
        if self.frozen:
            return [scene_overlay.freeze(self.layout, self.bindings, self.words)]
        if self.asking is not None:
            panel, self.help_cells = scene_overlay.question(
                self.layout, self.asking, self.words, self.bindings.sign(Press.WATCH), self.bindings.sign(Press.ENTER)
            )
            return [panel]
        if self.ordering:
            return [watch_sheet.sheet(self.layout, self.watch, self.words)]
        if self.deciding:
            return [leave_sheet.sheet(self.layout, self.decision, self.words)]
        if self.helping:
            idle: tuple[Act | Press, ...] = (*NOT_WATCHED, *HIS) if s.shown else ()
            panel, self.help_cells = scene_overlay.help_sheet(
                self.layout, s.brief, self.words, self.bindings, len(s.view.rodes), s.apart is not None, idle
            )
            return [panel]
        return []

    def choose_at(self, px: tuple[int, int], within_px: float) -> bool:
        """Choose the boat or mark under a pixel for ranges and hails; return whether there is one."""
        s, camera = self.session, self.camera()
        things = [
            (seen.number, (pose.north_m, pose.east_m))
            for pose, seen in zip(scene_plan.poses(s.view, s.aids, s.log), s.view.others, strict=True)
        ]
        things += [(-k - 1, (m.north_m, m.east_m)) for k, m in enumerate(s.brief.chart.marks)]
        near = {number: math.dist(camera.px(place), px) for number, place in things}
        best = min(near, key=lambda number: near[number], default=0)
        if not best or near[best] > within_px:
            return False
        s.hands.choose(best)
        return True


def _bounds(item: Fill) -> pygame.Rect:
    xs, ys = [p[0] for p in item.points], [p[1] for p in item.points]
    return pygame.Rect(round(min(xs)), round(min(ys)), round(max(xs) - min(xs)), round(max(ys) - min(ys)))
