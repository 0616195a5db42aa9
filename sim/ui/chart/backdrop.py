"""What changes slowly on the plan: painted in stages, a stage a frame, and moved with the picture in between."""

import dataclasses
import math
from collections.abc import Callable, Sequence

import pygame

from sim.base.frames import wrap_pi
from sim.ui.chart.camera import Camera

MARGIN = 48  # px beyond what is seen, so that the picture may glide
LATE_RAD = math.radians(10.0)  # the layer that is seen may be turned so far from what is wanted, while one is painted
Stage = Callable[[pygame.Surface, Camera, pygame.Rect], bool]


class Backdrop:
    """Two layers, larger than the plan: one is seen while the other is painted."""

    def __init__(self, stages: Sequence[Stage]) -> None:
        """Take what paints, stage by stage: each on a surface through a camera, with what is seen of it.

        A stage that returns True has more to do and is called again, with the same camera.
        """
        self._stages = stages
        self._layers: list[pygame.Surface] = []
        self._seen: Camera | None = None
        self._next: Camera | None = None
        self._stage = 0

    def draw(self, surface: pygame.Surface, camera: Camera, due: bool) -> Camera:
        """Draw the layer where the camera sees it; where it is ``due``, paint a stage of the next one first.

        Return the camera through which it is seen: it turns when a layer so turned has been painted.
        """
        wide, tall = camera.rect[2:]
        size = (wide + 2 * MARGIN, tall + 2 * MARGIN)
        if not self._layers or self._layers[0].get_size() != size:
            self._layers, self._seen = [pygame.Surface(size), pygame.Surface(size)], None
        if self._bridges(camera):
            if self._next is None or self._next.scale != camera.scale:
                self._next = None
            if not self._paint(camera, size):
                self._bridge(surface, camera)
                return camera
        if not self._fits(self._as_turned(camera)):
            self._stage, self._next = 0, None
            while not self._paint(camera, size):
                pass
        elif due:
            self._paint(camera, size)
        assert self._seen is not None
        shown = self._as_turned(camera)
        at = (shown.origin[0] - self._seen.origin[0], shown.origin[1] - self._seen.origin[1])
        surface.blit(self._layers[0], at)
        return shown

    def _as_turned(self, camera: Camera) -> Camera:
        """Return the camera turned as the layer that is seen, where that is near enough."""
        kept = self._seen
        if kept is None or abs(wrap_pi(camera.up_rad - kept.up_rad)) > LATE_RAD:
            return camera
        return dataclasses.replace(camera, up_rad=kept.up_rad)

    def _fits(self, camera: Camera) -> bool:
        """Return whether the layer that is seen will do for this camera."""
        kept = self._seen
        if kept is None or (kept.scale, kept.up_rad) != (camera.scale, camera.up_rad):
            return False
        off_x = camera.origin[0] - kept.origin[0] - camera.rect[0] + MARGIN
        off_y = camera.origin[1] - kept.origin[1] - camera.rect[1] + MARGIN
        return max(abs(off_x), abs(off_y)) <= MARGIN

    def _bridges(self, camera: Camera) -> bool:
        """Return whether nothing but the scale is another, so that the layer seen will do until the next is painted."""
        kept = self._seen
        return kept is not None and kept.scale != camera.scale and kept.up_rad == camera.up_rad == 0.0

    def _bridge(self, surface: pygame.Surface, camera: Camera) -> None:
        """Draw the next layer as far as it is painted, and over it the one that was seen, in the new scale."""
        kept, coming = self._seen, self._next
        assert kept is not None
        assert coming is not None
        surface.blit(self._layers[1], (camera.origin[0] - coming.origin[0], camera.origin[1] - coming.origin[1]))
        grow = camera.scale / kept.scale
        left, top = camera.origin[0] - grow * kept.origin[0], camera.origin[1] - grow * kept.origin[1]
        seen = pygame.Rect(camera.rect)
        part = pygame.Rect(
            math.floor((seen.left - left) / grow),
            math.floor((seen.top - top) / grow),
            math.ceil(seen.width / grow) + 1,
            math.ceil(seen.height / grow) + 1,
        ).clip(self._layers[0].get_rect())
        if part.width and part.height:
            size = (round(part.width * grow), round(part.height * grow))
            picture = pygame.transform.scale(self._layers[0].subsurface(part), size)
            surface.blit(picture, (round(left + part.left * grow), round(top + part.top * grow)))

    def _paint(self, camera: Camera, size: tuple[int, int]) -> bool:
        """Paint a stage, or a part of one; return whether the layer is done and now the one that is seen."""
        if self._next is None:
            self._stage = 0
            self._next = Camera(camera.north_m, camera.east_m, camera.scale, (0, 0, *size), camera.up_rad)
        seen = pygame.Rect(MARGIN, MARGIN, size[0] - 2 * MARGIN, size[1] - 2 * MARGIN)
        if not self._stages[self._stage](self._layers[1], self._next, seen):
            self._stage += 1
        if self._stage < len(self._stages):
            return False
        self._layers.reverse()
        self._seen, self._next = self._next, None
        return True
