"""Leaving without anchoring, decided with keys at sea."""

import pygame
import pytest

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.play.hands import Act
from sim.play.session import Session
from sim.scenario.library import load_lesson
from sim.scenario.schema.lesson import REFUSALS
from sim.ui.input.keys import Press
from sim.ui.paint.display import Words, texts
from sim.ui.paint.palette import DAY
from sim.ui.panels.layout import lay_out
from sim.ui.panels.scene_rail import groups
from sim.ui.screens.leave_sheet import LeaveSheet, sheet
from sim.ui.screens.sail import SailScreen


def begun(lesson, folder, words):
    """Return a lesson just begun, nothing out."""
    return SailScreen(Session(load_lesson(lesson), 1, folder), DAY, words)


def keys(screen, *presses):
    """Press keys of the screen."""
    for press in presses:
        screen.press(press)


def sounded(session):
    """Sound round her and wait for what is found, so that a refusal rests on something."""
    session.press(Act.SOUND)
    for _ in range(60 * 240):
        if any(isinstance(e, ev.DepthSounded) for e in session.tick()):
            return
    raise AssertionError("no sounding came back")


def test_a_person_can_refuse_a_lesson_that_has_no_safe_spot(tmp_path, words):
    """Sounded, then Enter with nothing out, the reason chosen, Enter: she has left, and the decision scores full."""
    screen = begun("copperwick-gale", tmp_path, words)
    session = screen.session
    sounded(session)
    keys(screen, Press.ENTER)
    assert screen.standing
    assert words("ui.leave.title") in texts(screen.over()[0].items)
    reason = session.lesson.teacher.refusal.because[0]
    keys(screen, *[Press.DOWN] * REFUSALS.index(reason), Press.ENTER)
    session.tick()

    assert session.exercise.applied == [cmd.Leave(reason=reason)]
    assert session.over
    assert session.why() == "left"
    marked = session.finish(session.why())
    assert marked.result["refused"]
    assert marked.result["passed"]
    assert marked.result["points"] == pytest.approx(100.0)


def test_a_reason_that_does_not_hold_costs(tmp_path, words):
    """Left for want of chain where the lee shore was the matter: the decision counts, the reason does not."""
    screen = begun("copperwick-gale", tmp_path, words)
    wrong = next(k for k, r in enumerate(REFUSALS) if r not in screen.session.lesson.teacher.refusal.because)
    keys(screen, Press.ENTER, *[Press.DOWN] * wrong, Press.ENTER)
    screen.session.tick()

    result = screen.session.finish("left").result
    assert result["points"] == pytest.approx(60.0)
    assert not result["passed"]
    assert "wrong_reason" in [row["code"] for row in result["verdict"]]


def test_a_guess_does_not_pass(tmp_path, words):
    """The right reason, given without having looked at anything."""
    screen = begun("copperwick-gale", tmp_path, words)
    right = REFUSALS.index(screen.session.lesson.teacher.refusal.because[0])
    keys(screen, Press.ENTER, *[Press.DOWN] * right, Press.ENTER)
    screen.session.tick()
    result = screen.session.finish("left").result

    assert not result["passed"]
    assert [row["code"] for row in result["verdict"] if row["fails"]] == ["not_looked"]


def test_escape_stays(tmp_path, words):
    """Put away, the sheet orders nothing; time goes on."""
    screen = begun("lantern-pool", tmp_path, words)
    keys(screen, Press.ENTER, Press.DOWN, Press.ESCAPE)
    screen.session.tick()
    assert screen.session.exercise.applied == []
    assert not screen.covered


def test_with_chain_out_the_same_key_asks_whether_she_is_secured(tmp_path, words):
    """The rail says which of the two it is."""
    screen = begun("lantern-pool", tmp_path, words)
    session = screen.session
    named = [g.words for g in groups(session.view, session.brief)]
    assert "ui.rail.leave" in named
    assert "ui.rail.secure" not in named
    session.press(Act.VEER)
    for _ in range(60 * 30):
        session.tick()
    session.look()
    named = [g.words for g in groups(session.view, session.brief)]
    assert "ui.rail.leave" not in named
    assert "ui.rail.secure" in named
    keys(screen, Press.ENTER)
    assert screen.asking == "secure"


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800)])
def test_the_sheet_fits(words, size):
    """No line stands beyond the sheet, and every reason is on it."""
    panel = sheet(lay_out(size, False), LeaveSheet(), words)
    assert pygame.Rect((0, 0), size).contains(pygame.Rect(panel.rect))
    assert all(words(f"refuse.{reason}") in texts(panel.items) for reason in REFUSALS)
    assert all(
        0 <= i.at[0] <= panel.rect[2] and 0 <= i.at[1] <= panel.rect[3] for i in panel.items if isinstance(i, Words)
    )
