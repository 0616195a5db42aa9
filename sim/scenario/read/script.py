"""A lesson's timeline: what is due now, as commands whose actor is ``timeline:<index>``.

The timeline only ever commands; what comes of it happens in the core. Whoever steps the exercise marks an entry as
fired in the state; a replay is fed the recorded commands and asks for nothing here.
"""

import dataclasses
import math
from dataclasses import dataclass

from sim.base.units import mps, rad, ticks
from sim.core.events import KINDS, NUMBERS
from sim.core.orders import hearing
from sim.core.orders.commands import Command, Fault, Inject, NeighbourAct, Note, Wash
from sim.core.state import State
from sim.model import layout as lay
from sim.scenario.schema.lesson import AnchorageBlock, DoBlock, EntryBlock

SNUB = "first_snub"
LOOK_TICKS = 12  # conditions are looked at five times a second, and in the tick after something has happened
SNUB_N, STILL_MPS = 200.0, 0.02  # level pull that no hanging chain makes by itself (judgement)


@dataclass(frozen=True)
class Condition:
    """What must be so for an entry to fire; an empty event or None asks nothing."""

    event: str = ""
    out_over_m: float | None = None
    pull_over_n: float | None = None
    within_m: float | None = None  # of the middle of the anchorage
    centre_north_m: float = 0.0
    centre_east_m: float = 0.0
    way_under_mps: float | None = None  # through the water
    beyond: tuple[tuple[float, float], tuple[float, float]] | None = None  # to the right of a line, seen along it

    def met(self, state: State) -> bool:
        """Return whether all that is asked holds now, or has just happened."""
        boat = state.boats[0]
        event = self.event in ("", SNUB) or bool(state.heard[NUMBERS[KINDS[self.event]]])
        away = math.hypot(boat[lay.B_NORTH] - self.centre_north_m, boat[lay.B_EAST] - self.centre_east_m)
        return (
            event
            and (self.event != SNUB or _snubs(state))
            and (self.out_over_m is None or bool(state.lines[0, lay.L_OUT] > self.out_over_m))
            and (self.pull_over_n is None or bool(state.lines[0, lay.L_TENSION] > self.pull_over_n))
            and (self.within_m is None or away < self.within_m)
            and (self.way_under_mps is None or abs(boat[lay.B_SURGE]) < self.way_under_mps)
            and (self.beyond is None or _right_of(self.beyond, float(boat[lay.B_NORTH]), float(boat[lay.B_EAST])))
        )


def _snubs(state: State) -> bool:
    """Return whether chain that was paid out is held and has taken the boat's weight: the anchor is down."""
    line = state.lines[0]
    held = line[lay.L_BRAKE] > 0.5 and line[lay.L_MOTION] == 0.0 and abs(line[lay.L_RATE]) < STILL_MPS
    down = state.anchors[0, lay.A_ATTITUDE] > lay.HANGING
    return bool(held and down and math.hypot(line[lay.L_FN], line[lay.L_FE]) > SNUB_N)


def _right_of(line: tuple[tuple[float, float], tuple[float, float]], north_m: float, east_m: float) -> bool:
    """Return whether a place lies to the right of a line, looking from its first point to its second."""
    (n0, e0), (n1, e1) = line
    return (n1 - n0) * (east_m - e0) - (e1 - e0) * (north_m - n0) > 0.0


@dataclass(frozen=True)
class Entry:
    """One entry: not before a tick, on a condition, once."""

    tick: int
    when: Condition
    command: Command


def build_timeline(
    blocks: tuple[EntryBlock, ...], anchorage: AnchorageBlock, neighbours: tuple[str, ...] = ()
) -> tuple[Entry, ...]:
    """Return the timeline of a lesson; ``neighbours`` are the other boats' names in order."""
    return tuple(
        Entry(
            tick=ticks(block.at_s or 0.0),
            when=_condition(block, anchorage),
            command=dataclasses.replace(_command(block.do, neighbours), actor=f"timeline:{index}"),
        )
        for index, block in enumerate(blocks)
    )


def due(timeline: tuple[Entry, ...], state: State) -> list[tuple[int, Command]]:
    """Return (index, command) of every entry that fires now, in order; those marked in ``state.fired`` stay silent.

    An entry is asked at its own tick, and after it as often as ``LOOK_TICKS`` says.

    Args:
        timeline: the entries of the lesson.
        state: the state at the start of the tick.
    """
    tick = state.tick
    looks = tick % LOOK_TICKS == 0 or bool(state.heard.any())
    return [
        (index, entry.command)
        for index, entry in enumerate(timeline)
        if not state.fired[index] and (tick == entry.tick or (looks and tick > entry.tick)) and entry.when.met(state)
    ]


def next_tick(timeline: tuple[Entry, ...], state: State) -> int:
    """Return the next tick after this one at which the timeline is to be asked, something else happening or not."""
    tick = state.tick
    look = tick + LOOK_TICKS - tick % LOOK_TICKS
    ahead = [entry.tick for index, entry in enumerate(timeline) if not state.fired[index] and entry.tick > tick]
    return min((look, *ahead))


def _condition(block: EntryBlock, anchorage: AnchorageBlock) -> Condition:
    when = block.when
    if when is None:
        return Condition()
    return Condition(
        event=when.event or "",
        out_over_m=when.out_m_over,
        pull_over_n=when.pull_n_over,
        within_m=when.within_m,
        centre_north_m=anchorage.north_m,
        centre_east_m=anchorage.east_m,
        way_under_mps=mps(when.way_kn_under) if when.way_kn_under is not None else None,
        beyond=when.beyond,
    )


def _command(do: DoBlock, neighbours: tuple[str, ...]) -> Command:
    if do.inject is not None:
        i = do.inject
        return Inject(what=i.what, ramp_s=i.ramp_s, hold_s=i.hold_s, turn_rad=rad(i.turn_deg), factor=i.factor)
    if do.fault is not None:
        return Fault(what=do.fault.what, value=do.fault.value, rode=do.fault.rode)
    if do.neighbour is not None:
        act = do.neighbour
        north_m, east_m = act.to or (0.0, 0.0)
        target = 1 + neighbours.index(act.name)
        return NeighbourAct(target=target, what=act.what, north_m=north_m, east_m=east_m, hold_n=act.hold_n)
    if do.wash is not None:
        w = do.wash
        return Wash(height_m=w.height_m, period_s=w.period_s, from_rad=rad(w.from_deg), last_s=w.last_s)
    if do.crew is not None:
        return Fault(what="ears", value=hearing.MISHEARD if do.crew.what == "mishears" else hearing.ASKED_BACK)
    assert do.note is not None  # the schema asks for exactly one
    return Note(text=do.note.text)
