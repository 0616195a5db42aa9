"""The chart with another bearing up: a level picture turned band by band, so that no frame waits for the whole."""

import math
from collections.abc import Callable

import numpy as np
import pygame

from sim.ui.chart.camera import Camera

SPARE_PX = 48  # a turned picture reaches so far beyond what is seen of it
BANDS = 4
FINE = 16  # bits behind the point: places in the level picture are counted in 65536ths of a pixel
Paint = Callable[[pygame.Surface, Camera], bool]


def level(camera: Camera) -> Camera:
    """Return a camera with north up that sees enough for the picture to be turned."""
    wide, tall = camera.rect[2:]
    side = 2 * math.ceil(0.5 * math.hypot(wide + 2 * SPARE_PX, tall + 2 * SPARE_PX) + 1.0)
    return Camera(camera.north_m, camera.east_m, camera.scale, (0, 0, side, side))


def turn(source: pygame.Surface, out: pygame.Surface, up_rad: float, top: int, bottom: int) -> None:
    """Fill the rows from ``top`` to above ``bottom`` of ``out`` with ``source`` turned about both middles.

    Args:
        source: 32 bits a pixel, north up, large enough for every place asked for.
        out: 32 bits a pixel.
        up_rad: the bearing that is up in ``out``.
        top: the first row.
        bottom: the row after the last.
    """
    wide, tall = out.get_size()
    side_x, side_y = source.get_size()
    right = np.arange(wide) + 0.5 - 0.5 * wide
    down = np.arange(top, bottom)[:, None] + 0.5 - 0.5 * tall
    c, s = math.cos(up_rad), math.sin(up_rad)
    one = float(1 << FINE)
    x = ((right * c + 0.5 * side_x) * one).astype(np.int32) - (down * s * one).astype(np.int32)
    y = ((right * s + 0.5 * side_y) * one).astype(np.int32) + (down * c * one).astype(np.int32)
    x >>= FINE
    y >>= FINE
    pixels, filled = pygame.surfarray.pixels2d(source).T, pygame.surfarray.pixels2d(out).T
    y *= pixels.shape[1]
    y += x
    filled[top:bottom] = pixels.reshape(-1).take(y, mode="clip")


class Turned:
    """A turned picture that is kept while it will do, and the next one as far as it has been turned."""

    def __init__(self) -> None:
        """Start with none."""
        self._kept: tuple[tuple[float, float, tuple[int, int]], bool, tuple[float, float]] | None = None
        self._picture = self._next = self._level = pygame.Surface((0, 0))
        self._under_way: tuple[Camera, bool] | None = None
        self._band = 0

    def step(self, camera: Camera, paint: Paint) -> bool:
        """Do a part of the work and return whether more is to be done before the camera's picture can be drawn.

        Args:
            camera: through which it will be drawn.
            paint: paints the chart on a surface with north up; returns whether all of it was there.
        """
        if self._will_do(camera):
            return False
        if self._under_way is None or self._wants(self._under_way[0]) != self._wants(camera):
            self._begin(camera, paint)
            return True
        tall = self._next.get_height()
        top, bottom = (tall * k // BANDS for k in (self._band, self._band + 1))
        turn(self._level, self._next, camera.up_rad, top, bottom)
        self._band += 1
        if self._band == BANDS:
            north_up, whole = level(self._under_way[0]), self._under_way[1]
            self._kept = self._wants(camera), whole, north_up.place((0.5 * north_up.rect[2], 0.5 * north_up.rect[3]))
            self._picture, self._next = self._next, self._picture
            self._under_way = None
        return self._under_way is not None

    def draw(self, surface: pygame.Surface, camera: Camera) -> bool:
        """Draw the picture that is kept where the camera sees it; return whether all of the chart is on it."""
        assert self._kept is not None
        _, whole, middle = self._kept
        x, y = camera.px(middle)
        wide, tall = self._picture.get_size()
        surface.blit(self._picture, (round(x - 0.5 * wide), round(y - 0.5 * tall)))
        return whole

    @staticmethod
    def _wants(camera: Camera) -> tuple[float, float, tuple[int, int]]:
        """Return what tells one turned picture from another, apart from its place."""
        return camera.scale, camera.up_rad, camera.rect[2:]

    def _will_do(self, camera: Camera) -> bool:
        """Return whether the picture that is kept is turned as it should be, reaches far enough and is whole."""
        if self._kept is None or self._kept[0] != self._wants(camera) or not self._kept[1]:
            return False
        (x, y), (left, top, wide, tall) = camera.px(self._kept[2]), camera.rect
        return max(abs(x - left - 0.5 * wide), abs(y - top - 0.5 * tall)) < SPARE_PX - 1

    def _begin(self, camera: Camera, paint: Paint) -> None:
        """Paint the level picture from which the bands are turned."""
        north_up, (wide, tall) = level(camera), camera.rect[2:]
        for name, size in (("_level", north_up.rect[2:]), ("_next", (wide + 2 * SPARE_PX, tall + 2 * SPARE_PX))):
            if getattr(self, name).get_size() != size:
                setattr(self, name, pygame.Surface(size, 0, 32))
        self._under_way, self._band = (camera, paint(self._level, north_up)), 0
