"""The night run on: from the end of the exercise to the end of the stay, stopping where she calls."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from sim.base.errors import SimulationDiverged
from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core import state as st
from sim.core.orders import commands as cmd
from sim.core.state import State
from sim.core.watch import STEP_TICKS
from sim.helm.exercise import Exercise
from sim.model import layout as lay
from sim.record import night as nights
from sim.record import replay
from sim.record.night import Night, NightRecorder
from sim.record.recording import Recording

Progress = Callable[[float, float], None]
Step = Callable[[Sequence[cmd.Command]], list[ev.Event]]


@dataclass(frozen=True)
class Stop:
    """Where a night stopped because the alarm rang or the watch called.

    Attributes:
        tick: when.
        cause: the event.
        snapshot: the state there, to come back to.
    """

    tick: int
    cause: ev.AlarmRang | ev.WatchCalled
    snapshot: State


def is_due(exercise: Exercise) -> bool:
    """Return whether there is a night to run on: an anchor on the ground and hours of the stay still to come."""
    s = exercise.world.state
    return bool(s.anchors[0, lay.A_ATTITUDE] > lay.HANGING) and exercise.tick < exercise.stay_tick


def steps(step: Step, exercise: Exercise) -> Iterator[Stop | None]:
    """Run the night on step by step until the stay ends, yielding after each the stop where somebody was called.

    The watch is begun where it is not being kept; the night ends where it cannot be, as with no anchor down.

    Args:
        step: lets a step pass with its commands, and writes it down.
        exercise: what is stepped.
    """
    end = exercise.stay_tick
    orders: list[cmd.Command] = [cmd.BeginWatch()] if exercise.world.state.clock[st.K_WATCH] == st.LIVE else []
    while exercise.tick < end:
        happened = step(orders)
        orders = []
        called = [e for e in happened if isinstance(e, ev.AlarmRang | ev.WatchCalled)]
        yield Stop(exercise.tick, called[0], st.snapshot(exercise.world.state)) if called else None
        if exercise.world.state.clock[st.K_WATCH] == st.LIVE:
            return


def run_on(step: Step, exercise: Exercise, progress: Progress = lambda _t, _end: None) -> Stop | None:
    """Run the night on until the stay ends or somebody is called; return the stop, or None at the end.

    Where it stopped the caller may answer with ``EndWatch`` and whatever the helm does, then call this again: the watch
    is begun again where it is not being kept. Without an answer it goes on sleeping.

    Args:
        step: lets a step pass with its commands, and writes it down.
        exercise: what is stepped.
        progress: told the time and the end of the stay, in seconds, about once a simulated minute.
    """
    end_s = exercise.stay_tick / TICK_HZ
    for stop in steps(step, exercise):
        if exercise.tick % (6 * STEP_TICKS) == 0:
            progress(exercise.t_s, end_s)
        if stop is not None:
            return stop
    return None


def sleep_through(step: Step, exercise: Exercise, progress: Progress) -> None:
    """Run the night to its end whoever calls; a keyboard interrupt, or figures that come apart, end it there."""
    try:
        while run_on(step, exercise, progress) is not None:
            pass
    except (KeyboardInterrupt, SimulationDiverged):
        return


def remake(recording: Recording, exercise: Exercise) -> Night | None:
    """Return the night of a recording, made again from its commands on a fresh exercise; None where it holds none.

    Args:
        recording: of the whole run.
        exercise: as it was at tick 0, without a timeline.
    """
    orders = recording.by_tick()
    ticks = sorted(orders)
    last = recording.hashes[-1][0] if recording.hashes else 0
    recorder: NightRecorder | None = None
    while exercise.tick < last:
        tick, over, departing = exercise.tick, exercise.over, exercise.departing
        commands = orders.get(tick, [])
        happened = exercise.step(commands, replay.rests_ticks(ticks, tick, last))
        if recorder is None and nights.begins(over, exercise.world, commands):
            recorder = NightRecorder(exercise.world, exercise.stay_tick / TICK_HZ)
        if departing:
            break
        if recorder is not None:
            recorder.step(tick, commands, happened)
    return recorder.finish() if recorder is not None else None
