"""From wall time to ticks, whatever the frame rate."""

from pathlib import Path

import pytest

from sim.core.events import Event
from sim.play.hands import Act
from sim.play.pacer import MOST_TICKS, RATES, Pacer
from sim.play.session import Session
from sim.scenario.library import load_lesson

SECONDS = 20
# What a person does, by the tick at which the key goes down and comes up.
KEYS = (
    (30, 33, Act.AHEAD), (40, 43, Act.AHEAD), (120, 171, Act.STARBOARD), (300, 420, Act.PORT), (500, 503, Act.MIDSHIPS),
    (540, 543, Act.ASTERN), (600, 690, Act.ASTERN), (720, 723, Act.BRAKE), (900, 903, Act.BRAKE), (960, 1140, Act.VEER),
)  # fmt: skip


def sailed(folder: Path, frame_s: float) -> str:
    """Return the state's hash after ``SECONDS`` of frames of a length, the same keys pressed at the same ticks."""
    session = Session(load_lesson("lantern-pool"), 1, folder)
    downs = {down: act for down, _, act in KEYS}
    ups = {up: act for _, up, act in KEYS}
    ticked = session.tick

    moments = [*ups, *downs, 60 * SECONDS]

    def tick(most: int = 1) -> list[Event]:
        now = session.exercise.tick
        if now in ups:
            session.hands.release(ups[now])
        if now in downs:
            session.press(downs[now])
        return ticked(min([most, *(moment - now for moment in moments if moment > now)]))

    session.tick = tick
    for _ in range(round(SECONDS / frame_s)):
        session.advance(frame_s)
        session.look()
    assert session.exercise.tick == 60 * SECONDS
    return session.exercise.state_hash()


def test_the_frame_rate_is_nobodys_business(tmp_path):
    """The same keys at the same ticks come to the same state at 15, 30 and 60 frames a second."""
    hashes = {rate: sailed(tmp_path / str(rate), 1.0 / rate) for rate in (15, 30, 60)}

    assert len(set(hashes.values())) == 1, hashes


@pytest.mark.parametrize("rate", [24.0, 60.0, 144.0])
def test_no_time_is_lost_at_ordinary_rates(rate):
    """A minute of frames is a minute of ticks."""
    pacer = Pacer()

    assert abs(sum(pacer.ticks(1.0 / rate) for _ in range(round(60 * rate))) - 3600) <= 1


def test_a_late_frame_drops_time_instead_of_hurrying():
    """After half a second's stall five ticks pass, and the next frame owes only its own."""
    pacer = Pacer()

    assert pacer.ticks(0.5) == MOST_TICKS
    assert pacer.ticks(1.0 / 60.0) == 1


def test_time_stands_while_paused():
    """A pause owes nothing afterwards."""
    pacer = Pacer()
    pacer.paused = True
    assert pacer.ticks(3.0) == 0
    pacer.paused = False

    assert pacer.ticks(1.0 / 60.0) == 1


def test_rates_end_at_both_ends():
    """Slower and faster go step by step and stop at the last."""
    pacer = Pacer()

    assert [pacer.change(1) for _ in range(len(RATES))] == [*RATES[2:], RATES[-1], RATES[-1]]
    assert [pacer.change(-1) for _ in range(len(RATES))] == [*reversed(RATES[:-1]), RATES[0]]
    assert (RATES[0], RATES[-1]) == (0.5, 60.0)
