"""A replay proves that the same commands give the same states, or says from which second on they do not."""

from dataclasses import replace

import pytest
import worlds

from sim.core import state as st
from sim.core import step
from sim.core.orders.commands import Engine, Helm
from sim.record import recording, replay
from sim.record.recording import Recording

HEADER = recording.make_header("lantern-pool", "0" * 64, 7, "sloop-12", "novice")


class Adder:
    """The least of steppers: its state is the sum of all levers so far."""

    def __init__(self) -> None:
        self.total = 0.0
        self.tick = 0

    def step(self, commands, most=1):
        """Add the levers, and one for each tick."""
        self.total += sum(c.lever for c in commands) + most
        self.tick += most

    def state_hash(self):
        """Return the sum."""
        return f"{self.total:.3f}"


def recorded(orders: dict[int, Engine], seconds: int) -> Recording:
    stepper, hashes = Adder(), []
    for tick in range(60 * seconds + 1):
        if tick % 60 == 0:
            hashes.append((tick, stepper.state_hash()))
        stepper.step([orders[tick]] if tick in orders else [])
    return Recording(HEADER, tuple(orders.items()), tuple(hashes), {"t": 60 * seconds, "why": "secured"})


ORDERS = {0: Engine(lever=0.5), 59: Engine(lever=0.25), 200: Engine(lever=-1.0)}


def test_the_same_commands_agree():
    """Every hash comes out again, the first of the start included."""
    verdict = replay.verify(recorded(ORDERS, 5), Adder())

    assert verdict.agrees
    assert verdict.compared == 6
    assert verdict.reached_s == 5.0
    assert str(verdict) == "6 hashes agree, up to 5 s"


@pytest.mark.parametrize(("tick", "second"), [(0, 1.0), (59, 1.0), (200, 4.0)])
def test_an_altered_command_is_told_at_the_second_after_it(tick, second):
    """The first hash taken after the command is the first to differ."""
    honest = recorded(ORDERS, 5)
    altered = tuple((t, replace(c, lever=c.lever + 0.125) if t == tick else c) for t, c in honest.commands)

    verdict = replay.verify(replace(honest, commands=altered), Adder())

    assert not verdict.agrees
    assert verdict.first_difference_s == second
    assert f"differs from {second:g} s on" in str(verdict)


def test_a_command_moved_by_one_tick_across_a_second_is_told():
    """A command belongs to its tick: the hash between its two places differs."""
    honest = recorded(ORDERS, 5)
    moved = tuple((60 if t == 59 else t, c) for t, c in honest.commands)

    assert replay.verify(replace(honest, commands=moved), Adder()).first_difference_s == 1.0


def test_a_recording_cut_off_agrees_up_to_its_last_hash():
    """What was recorded before the kill is still proved."""
    honest = recorded(ORDERS, 5)
    cut = replace(honest, hashes=honest.hashes[:3], end=None, torn=True)

    verdict = replay.verify(cut, Adder())

    assert verdict.agrees
    assert verdict.reached_s == 2.0
    assert "cut off" in str(verdict)


def test_no_hash_is_no_proof():
    """A recording without hashes neither agrees nor differs."""
    verdict = replay.verify(Recording(HEADER, (), ()), Adder())

    assert not verdict.agrees
    assert "no hash" in str(verdict)


def test_another_machine_is_named_as_a_caveat():
    """Versions, platform, kernel mode and the scenario's bytes are compared, not assumed."""
    here = HEADER | {"kernel_mode": "none such", "versions": HEADER["versions"] | {"numpy": "0.1"}}
    here |= {"scenario": {"id": "lantern-pool", "sha256": "1" * 64}}

    verdict = replay.verify(recorded(ORDERS, 1), Adder(), here)

    assert len(verdict.caveats) == 3
    assert "equal hashes not guaranteed" in str(verdict)
    assert "the scenario's file has changed" in str(verdict)
    assert replay.caveats(HEADER, HEADER) == ()


def test_a_sailed_world_replays_bit_for_bit(tmp_path):
    """Three seconds under engine and helm, written to a file and sailed again from it, give the same hashes."""

    class Sailed:
        def __init__(self) -> None:
            self.world = worlds.world(weather=worlds.gusty(12.0))

        @property
        def tick(self):
            return self.world.state.tick

        def step(self, commands, most=1):
            step.advance(self.world, commands, most)

        def state_hash(self):
            return st.state_hash(self.world.state)

    writer, first = recording.Writer(tmp_path, HEADER), Sailed()
    orders = {5: Engine(lever=0.6), 70: Helm(angle_rad=0.3)}
    for tick in range(181):
        if tick % 60 == 0:
            writer.state(tick, first.state_hash())
        if tick in orders:
            writer.command(tick, orders[tick])
        first.step([orders[tick]] if tick in orders else [])
    writer.end(181, "closed")
    writer.close()

    assert replay.verify(recording.read(tmp_path), Sailed()).agrees
