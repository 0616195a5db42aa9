"""The plan on its sheet: what is entered is what is ordered, and nothing is filled in that was not looked at."""

import math

import pygame
import pytest

from sim.scenario.library import load_lesson
from sim.ui.input.keys import Press
from sim.ui.paint.display import Ring, Words, texts
from sim.ui.paint.palette import DAY
from sim.ui.screens.plan_rows import ROWS
from sim.ui.screens.plan_screen import PlanScreen


@pytest.fixture
def screen(words):
    """Return the plan of a lesson with neighbours and a tide."""
    return PlanScreen(load_lesson("hazel-cove"), 1, None, DAY, words)


def go_to(screen, row):
    """Choose a row by name."""
    while screen.plan.name != row:
        screen.press(Press.DOWN)


def test_what_was_not_looked_at_is_not_in_the_plan(screen):
    """As it opens: no reading, nothing to be called off for, no rise of tide."""
    plan = screen.order()

    assert (plan.reading, plan.abort, plan.high_water_m) == ("", "", 0.0)


def test_each_row_ends_in_the_order(screen, words):
    """Reading row by row, rise, rode, room astern, abort."""
    for row, times in {"others": 1, "stream": 1, "rodes": 1, "rise": 8, "rode": 12, "astern": 2, "abort": 3}.items():
        go_to(screen, row)
        for _ in range(times):
            screen.press(Press.RIGHT)
    plan = screen.order()

    assert plan.reading == "The others lie: to the wind; Stream: none to speak of; The neighbours' rodes: all on chain"
    assert plan.high_water_m == pytest.approx(0.8)
    assert plan.rode_m == 42.0
    assert plan.abort == f"{words('ui.sheet.abort.both')}; {words('ui.sheet.astern.limit')}"


def test_the_spot_is_moved_over_the_chart_in_hand(screen):
    """Enter takes it, arrows move it five metres each, Enter puts it down; she does not sail by that Enter."""
    before = screen.plan.spot_m
    go_to(screen, "spot")
    for press in (Press.ENTER, Press.UP, Press.UP, Press.LEFT, Press.ENTER):
        screen.press(press)

    assert screen.plan.spot_m == (before[0] + 10.0, before[1] - 5.0)
    assert not screen.ready
    screen.press(Press.DOWN)
    screen.press(Press.ENTER)
    assert screen.ready


def test_the_mouse_sets_the_spot_where_it_points(screen):
    """A pixel of the chart is a place of the bay."""
    size = (1280, 800)
    px = screen.camera(size).px((35.0, -40.0))
    screen.click(px, size)

    assert screen.plan.spot_m == pytest.approx((35.0, -40.0), abs=1.0)


def test_the_circle_is_reach_at_low_water_and_her_length(screen):
    """Pythagoras at the least height of the roller above the bed, plus the boat."""
    plan, brief = screen.plan, screen.plan.brief
    plan.depth_m, plan.rode_m = 6.0, 42.0
    height = 6.0 - brief.tide.fall_m + brief.boat.roller_height_m
    rings = [item for item in screen.items() if isinstance(item, Ring) and item.ink == "hot"]

    assert rings[0].radius == pytest.approx(math.sqrt(42.0**2 - height**2) + brief.boat.loa_m)


def test_the_tide_of_the_stay_is_on_the_sheet(screen):
    """High and low water with their hours; a lesson without tide shows no curve."""
    shown = " ".join(texts(screen.panels((1280, 800))[0].items))

    assert "2.0 m in 3.0 h" in shown
    assert "0.4 m in 9.2 h" in shown


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800), (1920, 1080)])
def test_every_row_is_in_the_window(screen, words, size):
    """No row is off the sheet, in any window, and all of it can be drawn."""
    surface = pygame.Surface(size)
    screen.draw(surface, 0.0)
    sheet = screen.panels(size)[0]
    rows = [words(f"ui.sheet.{name}") for name in ROWS]
    placed = {item.text: item.at[1] for item in sheet.items if isinstance(item, Words)}

    assert all(0.0 < placed[row] < sheet.rect[3] for row in rows)


def test_rope_behind_the_chain_is_rode_to_plan_with(words):
    """Twenty metres of chain and forty of rope: sixty can be planned, no more, and the sheet tells of both."""
    screen = PlanScreen(load_lesson("lantern-pool"), 1, "fin-keel-9", DAY, words)
    go_to(screen, "rode")
    for _ in range(80):
        screen.press(Press.RIGHT)
    told = " ".join(texts(item for panel in screen.panels((1366, 768)) for item in panel.items))

    assert screen.order().rode_m == 60.0
    assert "20 m of 8 mm chain and 40 m of rope" in told


def test_the_sheet_tells_of_the_boat_she_is_sailed_in(words):
    """Another boat than the lesson's own was asked for."""
    screen = PlanScreen(load_lesson("lantern-pool"), 1, "long-keel-11", DAY, words)
    told = " ".join(texts(item for panel in screen.panels((1366, 768)) for item in panel.items))

    assert screen.plan.brief.boat.title in told
    assert "50 m of" in told
