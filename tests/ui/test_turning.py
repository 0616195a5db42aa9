"""The plan with another bearing up: turned in bands, and what is seen is always one picture."""

import math

import pygame
import pytest

from sim.ui.chart.backdrop import Backdrop
from sim.ui.chart.camera import Camera
from sim.ui.chart.turning import BANDS, Turned, turn

SIZE = (400, 300)
PAPER, SPOT = (10, 20, 30), (250, 240, 230)
PLACES = ((60.0, 0.0), (0.0, 70.0), (-50.0, -40.0))  # north, east [m]


def paint(surface, camera):
    """Paint spots at places of the world."""
    surface.fill(PAPER)
    for place in PLACES:
        x, y = camera.px(place)
        surface.fill(SPOT, (x - 2, y - 2, 5, 5))
    return True


@pytest.mark.parametrize("degrees", [3.0, 47.0, 90.0, 181.0, 300.0])
def test_a_turned_picture_shows_places_where_the_camera_sees_them(degrees):
    """Every spot stands within a pixel of where the camera has it, and there is no other."""
    camera = Camera(2.3, -1.7, 1.5, (0, 0, *SIZE), math.radians(degrees))
    surface, turned = pygame.Surface(SIZE, 0, 32), Turned()
    steps = 1
    while turned.step(camera, paint):
        steps += 1
    assert turned.draw(surface, camera)
    spots = 0
    for place in PLACES:
        x, y = camera.px(place)
        if surface.get_rect().inflate(-10, -10).collidepoint(x, y):
            spots += 1
            assert surface.get_at((round(x), round(y)))[:3] == SPOT
    lit = pygame.mask.from_threshold(surface, SPOT, (1, 1, 1, 255)).count()

    assert spots
    assert lit == pytest.approx(25 * spots, rel=0.25)
    assert steps == BANDS + 1


def test_turned_by_nothing_a_picture_is_the_same():
    """No bearing, no change, whichever bands it is turned in."""
    source, out = pygame.Surface((64, 64), 0, 32), pygame.Surface((64, 64), 0, 32)
    paint(source, Camera(0.0, 0.0, 0.3, (0, 0, 64, 64)))
    for top in range(0, 64, 16):
        turn(source, out, 0.0, top, top + 16)

    assert pygame.image.tobytes(out, "RGB") == pygame.image.tobytes(source, "RGB")


def test_a_layer_turns_when_it_is_painted_and_not_before():
    """While the next layer is on its way the old one is seen, with the bearing it was painted for."""
    asked = []

    def stage(_layer, camera, _seen):
        asked.append(camera.up_rad)
        return len(asked) % 3 != 0

    backdrop, surface = Backdrop((stage,)), pygame.Surface(SIZE)
    seen = [
        backdrop.draw(surface, Camera(0.0, 0.0, 2.0, (0, 0, *SIZE), up), due=True).up_rad
        for up in (0.1, 0.15, 0.15, 0.15, 0.2)
    ]

    assert seen == [0.1, 0.1, 0.1, 0.15, 0.15]
    assert asked == [0.1] * 3 + [0.15] * 3 + [0.2]


def test_a_great_turn_is_not_waited_for():
    """Where north gives way to her heading the whole layer is painted at once."""
    backdrop, surface = Backdrop((lambda *_: False,)), pygame.Surface(SIZE)
    backdrop.draw(surface, Camera(0.0, 0.0, 2.0, (0, 0, *SIZE)), due=True)

    assert backdrop.draw(surface, Camera(0.0, 0.0, 2.0, (0, 0, *SIZE), 1.2), due=False).up_rad == 1.2


def test_a_step_of_the_zoom_shows_at_once_and_paints_a_stage_a_frame():
    """What was seen is shown larger or smaller in its place; no frame paints more than one stage."""
    painted = []

    def stage(surface, camera, _seen):
        painted.append(camera.scale)
        paint(surface, camera)
        return False

    backdrop, surface = Backdrop((stage, stage, stage)), pygame.Surface(SIZE)
    near, far = (Camera(0.0, 0.0, scale, (0, 0, *SIZE)) for scale in (2.0, 1.0))
    backdrop.draw(surface, near, False)
    assert painted == [2.0] * 3
    counts = []
    for camera in (far, near, far, far, far):
        del painted[:]
        backdrop.draw(surface, camera, False)
        counts.append(len(painted))
        for place in PLACES:
            x, y = camera.px(place)
            assert surface.get_at((round(x), round(y)))[:3] == SPOT

    assert counts == [1, 0, 1, 1, 0]  # back at the old scale its layer is still there
