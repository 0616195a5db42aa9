"""``advance`` is the only way time passes: orders, then the tick (``core.tick``), then what must be told of it."""

from collections.abc import Sequence

from sim.base.errors import SimulationDiverged
from sim.core import bounds, contact, detect, notice, tick, watch
from sim.core import state as st
from sim.core.clock import LIVE, NIGHT, Clock
from sim.core.events import NUMBERS, Event
from sim.core.orders import acts, carry_out
from sim.core.orders.commands import Command
from sim.core.world import World


def advance(world: World, commands: Sequence[Command], most: int = 1) -> list[Event]:
    """Let time pass and return what happened, in order: up to ``most`` ticks, or one step of the watch's clock.

    What comes of it does not depend on ``most``: the time ends early with the tick in which something happens.

    Args:
        world: the world; its state is changed in place.
        commands: the orders given in the first tick, in order, whoever gave them.
        most: ticks at the most by the live clock, 1 or more.

    Raises:
        SimulationDiverged: when a number stops being physical; the state is left as it was found.
    """
    happened: list[Event] = []
    for command in commands:
        happened += carry_out.carry_out(world, command)
    if watch.begins(world):
        happened += watch.begin(world)
    if watch.kept(world):
        happened += _run(world, NIGHT, watch.most_ticks(world))
    else:
        happened += _run(world, LIVE, 1 if happened else min(most, watch.waits_ticks(world)))
    heard = world.state.heard
    heard[:] = 0
    for event in happened:
        heard[NUMBERS[type(event)]] = 1
    return happened


def _run(world: World, clock: Clock, most: int) -> list[Event]:
    """Let steps of a clock pass, and return what happened in the last of them."""
    _passed, world.log.count = tick.run(world.flat, clock, most)
    world.log.every_ticks = clock.ticks // clock.own_steps
    bits = world.scratch.world.item(0)
    return _tell(world, clock, bits) if bits else []


def _tell(world: World, clock: Clock, bits: int) -> list[Event]:
    """Tell what happened in a step, let hulls that are near meet, and close the step."""
    s = world.state
    if bits & detect.DIVERGED:
        raise SimulationDiverged(s.tick, *bounds.name_of(world.scratch.world.item(1), s))
    happened: list[Event] = []
    if bits & detect.NEAR:
        happened += notice.contacts(world, contact.resolve(world, s.near, clock.step_s))
    happened += notice.happened(world)
    happened += acts.follow(world, bits)
    s.clock[st.K_TICK] += clock.ticks
    return happened
