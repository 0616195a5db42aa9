"""The screen on which a run is looked at again: moved through by hand, alone or beside another attempt."""

import json
from pathlib import Path

import numpy as np
import pygame

from sim.base.errors import WindrodeError
from sim.helm.aids import Shape, charted_depths
from sim.marking.run import Run
from sim.pages import departure_picture, page_rows
from sim.pages.debrief import speaker
from sim.play import past
from sim.scenario.library import Lesson
from sim.ui.chart import scene_chart
from sim.ui.chart.camera import ZOOMS, Camera
from sim.ui.chart.tiles import Tiles
from sim.ui.input.keys import Bindings, Press
from sim.ui.paint import fonts, hulls
from sim.ui.paint.display import Hull, Item, Panel, Point
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.paint.sheet import BODY
from sim.ui.panels import scene_rail, scene_remarks, scene_side
from sim.ui.panels.layout import Layout, lay_out
from sim.ui.screens import scene_replay
from sim.ui.screens.remark_pad import RemarkPad
from sim.ui.words import Catalogue

STEP_S = 1.0
RATES = (1.0, 2.0, 4.0, 8.0, 16.0)
BOOKMARKS = "bookmarks.json"
SAID = 3  # last words shown
NEAR_S = 3.0  # a bookmark so near the time is the one meant


class ReplayScreen:
    """Draws a run at one time, and moves that time.

    Attributes:
        t_s: the time shown.
        whole: the run that is looked at; ``run`` the part of it on the screen, the attempt or the departure.
        playing: whether time runs.
        bookmarks: times marked, kept beside the run.
        pad: the instructor's remarks, kept beside the run.
        leaving: the person has seen enough.
    """

    def __init__(
        self,
        run: Run,
        lesson: Lesson,
        folder: Path,
        palette: Palette,
        words: Catalogue,
        ghost: Run | None = None,
        bindings: Bindings | None = None,
    ) -> None:
        """Open at the touch, or at the beginning where nothing touched."""
        self.whole, self.lesson, self.folder, self.words, self.ghost = run, lesson, folder, words, ghost
        self.playing = self.leaving = False
        self.rate, self.zoom = 4.0, 6.0
        self.bookmarks = self._kept()
        self.pad, self.bindings = RemarkPad(folder), bindings or Bindings()
        self._ghost = (ghost, self._trail(ghost)) if ghost is not None else None
        self._turn_to(run)
        self.shapes = [Shape.of(b.particulars) for b in (run.params.boat, *(n.boat for n in run.params.neighbours))]
        self._depth_at = scene_chart.DepthAt(*charted_depths(lesson))
        self._chart = scene_chart.chart(lesson.brief, self._depth_at.raster, self._depth_at.depth_m, words)
        self.use(palette)

    def _turn_to(self, run: Run) -> None:
        """Show a run: the attempt, or the departure after the night."""
        self.run = run
        m, say = run.moments, speaker(self.words.words)
        self.span = (m.begin_s, m.stop_s)
        self.t_s = m.touch_s if m.touch is not None else m.begin_s
        shown = departure_picture.moments(run, say) if run.at_anchor else page_rows.moments(run, say)
        self.moments = [q.t_s for q in shown]
        self.said = [(c.tick / 60.0, say(c.key, c.values)) for c in run.track.calls]
        self._wake = self._trail(run)
        self.times, self.strips = scene_replay.thinned(run, None if run.at_anchor else self.ghost, self.words)

    @staticmethod
    def _trail(run: Run) -> list[Point]:
        span = run.span(run.moments.begin_s, run.moments.stop_s)
        north, east = run.track["north_m"][span][::5], run.track["east_m"][span][::5]
        return list(zip(north.tolist(), east.tolist(), strict=True))

    def _kept(self) -> list[float]:
        try:
            data = json.loads((self.folder / BOOKMARKS).read_text(encoding="utf-8"))
            return sorted(float(t) for t in data["bookmarks_s"])
        except (OSError, ValueError, KeyError, TypeError):
            return []

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.palette = palette
        hulls.use(palette)
        self.painter = Painter(palette)
        self.tiles = Tiles(self.painter, self._chart, self._depth_at.many)
        self.tiles.overview(self.lesson.brief.chart.extent_m)

    def press(self, press: Press) -> None:
        """A key goes down."""
        if press in (Press.LEFT, Press.RIGHT):
            self.seek(self.t_s + (STEP_S if press is Press.RIGHT else -STEP_S))
        elif press in (Press.UP, Press.DOWN):
            self._jump(1 if press is Press.DOWN else -1)
        elif press is Press.PAUSE:
            self.playing = not self.playing
        elif press in (Press.SLOWER, Press.FASTER):
            at = RATES.index(self.rate) + (1 if press is Press.FASTER else -1)
            self.rate = RATES[max(0, min(len(RATES) - 1, at))]
        elif press in (Press.NEARER, Press.FARTHER):
            at = ZOOMS.index(self.zoom) + (1 if press is Press.NEARER else -1)
            self.zoom = ZOOMS[max(0, min(len(ZOOMS) - 1, at))]
        elif press is Press.ENTER:
            self._bookmark()
        elif press is Press.REMARK:
            self.playing = False
            self.pad.open(self.t_s)
        elif press is Press.ABORT:
            self.pad.take_away(self.t_s)
        elif press is Press.UNDO:
            self.pad.undo()
        elif press is Press.PAGE and self.whole.leaving is not None:
            self.playing = False
            self._turn_to(self.whole if self.run.at_anchor else self.whole.leaving)
        elif press is Press.ESCAPE:
            self.leaving = True

    def seek(self, t_s: float) -> None:
        """Go to a time, kept within the attempt."""
        self.t_s = min(max(t_s, self.span[0]), self.span[1])

    def _jump(self, sense: int) -> None:
        stops = sorted({*self.moments, *self.bookmarks, *self.pad.times, *self.span})
        ahead = [t for t in stops if sense * (t - self.t_s) > 0.5]
        if ahead:
            self.seek(min(ahead) if sense > 0 else max(ahead))

    def _bookmark(self) -> None:
        """Set a bookmark here, or take away the one that is here; kept beside the run at once."""
        near = [t for t in self.bookmarks if abs(t - self.t_s) < NEAR_S]
        self.bookmarks = [t for t in self.bookmarks if t not in near] if near else sorted([*self.bookmarks, self.t_s])
        text = json.dumps({"bookmarks_s": [round(t, 1) for t in self.bookmarks]}) + "\n"
        (self.folder / BOOKMARKS).write_text(text, encoding="utf-8")

    def camera(self, layout: Layout) -> Camera:
        """Return the camera: her and her anchor in the middle."""
        now = scene_replay.truth_at(self.run, self.t_s)
        places = [(now.own.north_m, now.own.east_m), *now.chain_m[:1]]
        north, east = np.mean(places, axis=0)
        return Camera(float(north), float(east), self.zoom, layout.plan)

    def items(self) -> list[Item]:
        """Return what lies over the chart now."""
        ghost = None if self.run.at_anchor else self._ghost
        return list(scene_replay.drawn(self.run, self._wake, self.t_s, ghost))

    def draw_page(self) -> str:
        """Draw the run's page again with the remarks; return what is amiss, nothing where all is well."""
        self.pad.changed = False
        try:
            past.draw_with_remarks(self.folder, self.lesson)
        except WindrodeError as problem:  # the remarks are kept all the same
            return str(problem)
        return ""

    def draw(self, surface: pygame.Surface, wall_s: float) -> None:
        """Let time run where it does, and draw one frame on the whole window."""
        if self.playing:
            self.seek(self.t_s + wall_s * self.rate)
            self.playing = self.t_s < self.span[1]
        layout = lay_out(surface.get_size(), True)
        camera = self.camera(layout)
        surface.set_clip(pygame.Rect(camera.rect))
        self.tiles.draw(surface, camera, 4)
        self.tiles.letter(surface, camera, pygame.Rect(camera.rect))
        for item in self.items():
            if isinstance(item, Hull):
                own = item.shape == 0
                picture = hulls.picture(self.shapes[item.shape], item.heading_rad, camera.scale, own, self.palette.name)
                x, y = camera.px(item.at)
                surface.blit(picture, (round(x - 0.5 * picture.get_width()), round(y - 0.5 * picture.get_height())))
            else:
                self.painter.paint(surface, (camera.project(item),))
        surface.set_clip(None)
        for panel in self.panels(layout):
            surface.blit(self.painter.panel(panel), panel.rect[:2])
        left, _, _, tall = layout.ledger
        pygame.draw.line(surface, self.palette["ink"], (left, 0), (left, tall), 2)

    def panels(self, layout: Layout) -> list[Panel]:
        """Return the screen's panels."""
        marks = [(t, "moment") for t in self.moments] + [(t, "bookmark") for t in self.bookmarks]
        marks += [(t, "remark") for t in self.pad.times]
        marks = [(t, what) for t, what in marks if self.span[0] <= t <= self.span[1]]
        spoken = [line for at_s, line in self.said if at_s <= self.t_s][-SAID:]
        room = (380.0 - 36.0) * layout.unit
        lines = [part for line in spoken for part in fonts.wrapped(line, "text", max(14.0, BODY * layout.unit), room)]
        now = scene_replay.truth_at(self.run, self.t_s)
        side = scene_side.side(layout, now, self.lesson.brief.boat, self.words)
        pad, here = self.pad, self.pad.near(self.t_s)
        gone = self.words("ui.remarks.gone", sign=self.bindings.sign(Press.ABORT))
        remarks = scene_remarks.listed(layout, pad.kept, here, self.t_s, gone, self.words)
        line = scene_remarks.line(layout, pad.line, pad.at_s, self.words) if pad.line is not None else None
        return [
            scene_replay.head(layout, self.lesson.title, self.span, self.t_s, marks),
            scene_replay.strip_panel(layout, self.times, self.strips, self.t_s, lines[-6:]),
            *(panel for panel in (side, remarks, line) if panel is not None),
            scene_rail.caption_rail(layout, self._captions()),
        ]

    def _captions(self) -> list[tuple[str, str]]:
        words, sign = self.words, self.bindings.sign
        return [
            (
                scene_rail.pause_sign(self.bindings, words),
                words("ui.replay.halt" if self.playing else "ui.replay.play"),
            ),
            ("← →", words("ui.replay.step")),
            ("↑ ↓", words("ui.replay.jump")),
            (f"{sign(Press.SLOWER)} {sign(Press.FASTER)}", words("ui.replay.rate", rate=f"{self.rate:g}")),
            ("Enter", words("ui.replay.bookmark")),
            (sign(Press.REMARK), words("ui.remarks.write")),
            *self._parts(),
            ("Esc", words("ui.replay.leave")),
        ]

    def _parts(self) -> list[tuple[str, str]]:
        """Return the key that turns to the other part of the run, where there is one."""
        if self.whole.leaving is None:
            return []
        return [
            (self.bindings.sign(Press.PAGE), self.words(f"ui.replay.to.{'anchoring' if self.run.at_anchor else 'out'}"))
        ]
