"""The orders for the watch, entered with keys at sea."""

from dataclasses import replace

import pygame
import pytest

from sim.base.units import mps, rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.play.hands import Act
from sim.play.session import Session
from sim.scenario.library import load_lesson
from sim.ui.input.keys import Press
from sim.ui.paint.display import Words, texts
from sim.ui.paint.palette import DAY
from sim.ui.panels.layout import lay_out
from sim.ui.screens.sail import SailScreen
from sim.ui.screens.watch_sheet import ROWS, WatchSheet, sheet


@pytest.fixture
def screen(tmp_path, words):
    """Return the first lesson, just begun."""
    return SailScreen(Session(load_lesson("lantern-pool"), 1, tmp_path), DAY, words)


def keys(screen, *presses):
    """Press keys of the screen."""
    for press in presses:
        screen.press(press)


def test_orders_are_entered_with_keys_and_given(screen):
    """Without a mark nobody watches for drag; wind, shift and boats near are given in one command."""
    keys(screen, Press.WATCH, Press.RIGHT, Press.DOWN, Press.RIGHT, Press.RIGHT, Press.DOWN, Press.RIGHT)
    assert screen.standing
    assert "no mark yet" in texts(screen.over()[0].items)
    keys(screen, Press.DOWN, Press.RIGHT, Press.RIGHT, Press.LEFT, Press.ENTER)
    assert not screen.covered
    screen.session.tick()

    assert screen.session.exercise.applied == [
        cmd.WatchOrders(wind_mps=round(mps(12.0), 2), shift_rad=round(rad(20.0), 4), near_m=3.0)
    ]
    assert isinstance(screen.session.lookout.view().seen[-1], ev.WatchOrdered)


def test_escape_gives_no_order_and_the_question_leads_to_the_sheet(screen):
    """Asked whether she is secured, one may still write the orders."""
    keys(screen, Press.WATCH, Press.DOWN, Press.RIGHT, Press.ESCAPE)
    screen.session.tick()
    assert screen.session.exercise.applied == []
    screen.session.press(Act.VEER)
    for _ in range(600):
        screen.session.tick()
    keys(screen, Press.ENTER)
    assert "Watch orders: 9." in " ".join(texts(screen.over()[0].items))
    keys(screen, Press.WATCH)

    assert screen.ordering
    assert screen.asking is None


def test_a_figure_below_its_least_is_left_out():
    """From nothing the least that makes sense, never beyond the most, and back to nothing."""
    orders = WatchSheet()
    orders.change(-1)
    assert orders.wanted["drag"] == 0
    orders.change(1)
    assert orders.command().drag_m == 3.0
    for _ in range(200):
        orders.change(1)
    assert orders.command().drag_m == 60.0
    assert replace(orders, marked=False).command().drag_m == 0.0
    for _ in range(200):
        orders.change(-1)
    assert orders.command() == cmd.WatchOrders()


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800)])
def test_the_sheet_fits(words, size):
    """No line stands beyond the sheet, and every row is on it."""
    panel = sheet(lay_out(size, False), WatchSheet(), words)
    assert pygame.Rect((0, 0), size).contains(pygame.Rect(panel.rect))
    assert all(words(f"ui.watch.{name}") in texts(panel.items) for name in ROWS)
    assert all(
        0 <= i.at[0] <= panel.rect[2] and 0 <= i.at[1] <= panel.rect[3] for i in panel.items if isinstance(i, Words)
    )
