"""Sounds made of numbers, each with its twin on the screen, and silence where there is no device."""

import dataclasses

import numpy as np
import pytest

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.play.session import Session
from sim.scenario.library import load_lesson
from sim.ui import sound
from sim.ui.chart.scene_furniture import ringing
from sim.ui.paint.display import Box
from sim.ui.paint.palette import DAY
from sim.ui.panels.layout import lay_out
from sim.ui.screens.sail import SailScreen

LOOPS = {"engine": lambda: sound.engine(22.0), "chain": sound.chain, "wind": sound.wind}


@pytest.fixture
def session(tmp_path):
    """Return the first lesson, just begun."""
    return Session(load_lesson("lantern-pool"), 1, tmp_path)


@pytest.mark.parametrize("name", LOOPS)
def test_a_loop_joins_its_own_beginning(name):
    """The step from its end to its beginning is no larger than the largest within it; it fills a second."""
    made = LOOPS[name]()
    within = float(np.abs(np.diff(made)).max())

    assert len(made) == sound.RATE_HZ
    assert abs(float(made[0] - made[-1])) <= within
    assert float(np.abs(made).max()) == pytest.approx(1.0, abs=1e-6)


def test_an_engines_note_is_its_firing():
    """The strongest line of the spectrum is the firing frequency."""
    spectrum = np.abs(np.fft.rfft(sound.engine(33.0)))

    assert int(spectrum[1:].argmax()) + 1 == 33


def test_it_is_as_loud_as_what_happens(session):
    """Nothing turns and nothing runs: no engine, no chain. Chain running, more wind, an alarm: each is heard."""
    r = dataclasses.replace(session.view.readings, rps=(0.0,), wind_mps=2.0)
    calm = dataclasses.replace(session.view, readings=r)
    blown = dataclasses.replace(calm, readings=dataclasses.replace(r, rps=(20.0,), wind_mps=14.0))
    rang = dataclasses.replace(calm, seen=(ev.AlarmRang(tick=0, distance_m=30.0),))

    assert (sound.levels(calm, 0.0).engine, sound.levels(calm, 0.0).chain) == (0.0, 0.0)
    assert sound.levels(calm, 0.8).chain > 0.3
    assert sound.levels(blown, 0.0).wind > 5.0 * sound.levels(calm, 0.0).wind
    assert sound.levels(blown, 0.0).engine > 0.0
    assert sound.levels(rang, 0.0).alarm > 0.0


def test_the_alarm_is_seen_as_well(session, words):
    """While it rings a hot frame stands round the plan."""
    screen = SailScreen(session, DAY, words)
    assert list(ringing(screen.layout, session.view)) == []
    session.hands.order(cmd.SetAlarm(north_m=0.0, east_m=0.0, radius_m=5.0))
    for _ in range(60):
        session.tick()
    session.look()
    (frame,) = ringing(lay_out((1280, 800), False), session.view)

    assert isinstance(frame, Box)
    assert frame.edge == "hot"


def test_without_a_device_nothing_is_heard_and_nothing_breaks(monkeypatch, session):
    """No driver: the speaker says nothing; off: likewise."""
    monkeypatch.setenv("SDL_AUDIODRIVER", "no such driver")
    sound.pygame.mixer.quit()
    for speaker in (sound.Speaker(True), sound.Speaker(False)):
        speaker.hear(session.view)
        speaker.hear(None)
        assert not speaker.on
