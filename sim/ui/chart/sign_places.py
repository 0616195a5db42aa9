"""Where the name of a sign may stand: whole on land or water before across a shore, in the ink that reads there."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.ui.paint.display import Point, Words
from sim.ui.paint.palette import Ink

Depths = Callable[[FloatArray], FloatArray]  # float64[k, 2] places, north and east [m], to their depths [m]
SIDES = ((1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1), (-1, 1))  # to the right, down
SLANT = 0.7  # of the way out, for the corners
MARGIN_PX = 3.0
ACROSS = 4.0  # how much worse a place across a shore is than the next side
OTHER_GROUND = 2.0  # and one on the other ground than the sign's


@dataclass(frozen=True, slots=True)
class Way:
    """A place for a name: its left top corner seen from the sign [px], and its ink."""

    at: Point
    ink: Ink


def _corner(side: tuple[int, int], about: float, wide: int, tall: int) -> Point:
    right, down = side
    out = about * (SLANT if right and down else 1.0)
    return right * (out + 0.5 * wide) - 0.5 * wide, down * (out + 0.5 * tall) - 0.5 * tall


def ways(item: Words, extent: tuple[int, int], scale: float, up_rad: float, depths: Depths) -> tuple[Way, ...]:
    """Return where the name of a sign may stand, the best first.

    Args:
        item: the name, a world item with its ``about``.
        extent: width and height of its lettering [px].
        scale: of the picture [px per m].
        up_rad: the bearing that is up.
        depths: what lies where; land is no deeper than 0.
    """
    wide, tall = extent
    corners = [_corner(side, item.about, wide, tall) for side in SIDES]
    x = np.linspace(-MARGIN_PX, wide + MARGIN_PX, 9)
    y = np.linspace(-MARGIN_PX, tall + MARGIN_PX, 4)
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    px = np.vstack([np.zeros((1, 2)), *(grid + np.array(at) for at in corners)]) / scale
    c, s = math.cos(up_rad), math.sin(up_rad)
    places = np.stack([item.at[0] - px[:, 1] * c - px[:, 0] * s, item.at[1] + px[:, 0] * c - px[:, 1] * s], axis=1)
    land = depths(places) <= 0.0
    ashore = bool(land[0])
    found: list[tuple[float, Way]] = []
    for k, share in enumerate(land[1:].reshape(len(SIDES), -1).mean(axis=1).tolist()):
        across = ACROSS * (1.0 + min(share, 1.0 - share)) if 0.0 < share < 1.0 else 0.0
        other = OTHER_GROUND if (share > 0.5) != ashore else 0.0
        found.append((across + other + 0.1 * k, Way(corners[k], "inland" if share > 0.5 else "ink")))
    return tuple(way for _, way in sorted(found, key=lambda each: each[0]))
