"""Where the names of marks stand: beside their own, clear of every mark, in the ink that reads on what lies under."""

import numpy as np
import pygame
import pytest

from sim.scenario.library import lesson_names, load_lesson
from sim.ui.chart.sign_places import ways
from sim.ui.paint.display import Words
from sim.ui.paint.palette import DAY
from sim.ui.screens.plan_screen import PlanScreen

NAME = Words("chart", (0.0, 0.0), "beacon", "text", 14.0, "ink", "w", True, about=12.0)
LESSONS = [name for name in lesson_names() if load_lesson(name).brief.chart.marks]


def land_east_of(east_m):
    """Return depths with a straight shore running north."""
    return lambda places: np.where(places[:, 1] > east_m, -2.0, 3.0)


def test_a_name_ashore_stands_whole_on_the_land():
    """The shore is 10 m west and the name 60 px long: with north up right of it with north up, left with south up."""
    assert ways(NAME, (60, 18), 2.0, 0.0, land_east_of(-10.0))[0].at[0] == 12.0
    assert ways(NAME, (60, 18), 2.0, np.pi, land_east_of(-10.0))[0].at[0] == -72.0


def test_the_ink_is_light_on_land_and_dark_on_water():
    """A beacon on the very shore: every place has the ink of what most of it lies on."""
    found = ways(NAME, (60, 18), 2.0, 0.0, land_east_of(0.0))

    assert len(found) == 8
    assert all((way.ink == "inland") == (way.at[0] + 30.0 > 0.0) for way in found if abs(way.at[0] + 30.0) > 1.0)


@pytest.mark.parametrize("lesson", LESSONS[::3])
@pytest.mark.parametrize("size", [(1024, 768), (1920, 1080)])
def test_every_mark_on_the_plan_has_its_name_clear_of_every_mark(words, lesson, size):
    """Before she sails the whole chart is seen: no name is missing where its mark is in sight, and none lies on one."""
    screen = PlanScreen(load_lesson(lesson), 1, None, DAY, words)
    screen.draw(pygame.Surface(size), 0.1)
    camera = screen.camera(size)
    seen = pygame.Rect(camera.rect).inflate(-6, -6)
    marks = [(m.name, camera.px((m.north_m, m.east_m))) for m in load_lesson(lesson).brief.chart.marks]
    signs = [pygame.Rect(round(x) - 6, round(y) - 6, 12, 12) for _, (x, y) in marks]
    rects = {line.text: pygame.Rect(line.rect) for line in screen.placed if line.item.about}

    assert {name for name, at in marks if seen.collidepoint(at)} <= set(rects)
    assert all(rect.collidelist(signs) < 0 for rect in rects.values())
