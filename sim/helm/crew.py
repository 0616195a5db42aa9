"""The foredeck: says what it sees and feels, and only that, briefly, a little late, and not too often.

Calls are keys and values; the words are made at the edge from the catalogue. Its memory is in the state.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from sim.base import rng
from sim.base.units import TICK_HZ, ticks
from sim.core import events as ev
from sim.core import state as st
from sim.core.world import World
from sim.helm.lead import Lead, look
from sim.model import layout as lay

EVERY_TICKS = 15
HOLD_TICKS = ticks(2.0)  # a change is told only once it has lasted
GAP_TICKS = ticks(3.0)  # the foredeck does not chatter
COUNT_EVERY_M = 10.0
MARKS_THAT_WEAR = (2, 3, 4, 5)

# Columns of the state's crew array.
(
    Q_SPOKE,  # tick of the last call
    Q_STAY,  # last told stay and the sector of the lead, as one number
    Q_STAY_NEW,
    Q_STAY_SINCE,
    Q_COUNTED,  # last length called
    Q_MEAN,  # slow mean of the tension
    Q_PEAK,  # its peak since she was snubbed
    Q_BROUGHT_UP,
    Q_DRAG_SINCE,
    Q_DRAGGING,
    Q_SNUBBED,
    Q_ON_SNUBBER,
    Q_BOW,  # 0 in line, 1 told that she goes off
) = range(13)

STAYS = ("none", "slack", "up_and_down", "short", "medium", "long")
SECTORS = ("ahead", "bow", "abeam", "quarter", "under")
_SECTOR_EDGES = tuple(math.radians(d) for d in (22.5, 67.5, 112.5, 157.5))


@dataclass(frozen=True)
class Call:
    """One call from the foredeck: a key of the word list and its values."""

    tick: int
    key: str
    values: dict[str, float | str] = field(default_factory=dict)


def sector(bearing_rad: float) -> int:
    """Return which of ``SECTORS`` a lead falls in, by its angle off the bow."""
    off = abs(bearing_rad)
    return sum(off > edge for edge in _SECTOR_EDGES)


class Crew:
    """One hand on the foredeck."""

    def __init__(self, world: World) -> None:
        """Send a hand forward in ``world``."""
        self.world = world

    def step(self, happened: Sequence[ev.Event]) -> list[Call]:
        """Return what the foredeck says in this tick; call once a tick, after it has passed."""
        calls = self._answer(happened)
        if self.world.state.tick % EVERY_TICKS == 0:
            lead = look(self.world)
            if lead is not None:
                calls += self._watch(lead)
        return calls

    def _call(self, key: str, **values: float | str) -> Call:
        self.world.state.crew[Q_SPOKE] = self.world.state.tick
        return Call(self.world.state.tick, key, values)

    def _answer(self, happened: Sequence[ev.Event]) -> list[Call]:
        """Tell at once what cannot be missed, and answer a question."""
        out: list[Call] = []
        for event in happened:
            if isinstance(event, ev.AnchorLetGo):
                self.world.state.crew[:] = 0.0
                out.append(self._call("anchors_gone"))
            elif isinstance(event, ev.AnchorTouched):
                out.append(self._call("on_the_bottom", out_m=round(event.out_m)))
            elif isinstance(event, ev.AnchorAweigh):
                out.append(self._call("aweigh"))
            elif isinstance(event, ev.AnchorHome):
                out.append(self._call("home"))
            elif isinstance(event, ev.ChainUnderHull):
                out.append(self._call("under_the_boat"))
            elif isinstance(event, ev.BrakeSlipped):
                out.append(self._call("surging"))
            elif isinstance(event, ev.CrewAsked):
                out.append(self._lead_call(look(self.world), asked=True))
        return out

    def _lead_call(self, lead: Lead | None, asked: bool = False) -> Call:
        if lead is None:
            return self._call("all_stowed")
        side = "starboard" if lead.bearing_rad > 0.0 else "port"
        hour = round(math.degrees(lead.bearing_rad) / 30.0) % 12 or 12
        feel = self._feel(lead)
        key = "she_leads" if asked else "lead"
        return self._call(
            key, sector=SECTORS[sector(lead.bearing_rad)], side=side, hour=hour, stay=lead.stay, feel=feel
        )

    def _feel(self, lead: Lead) -> str:
        anchor = self.world.state.anchors[0]
        if lead.tension_n < 1.1 * lead.hanging_n:
            return "slack"
        if anchor[lay.A_SPEED] > 0.03 and anchor[lay.A_ATTITUDE] > lay.HANGING:
            return "trembling"
        return "steady"

    def _watch(self, lead: Lead) -> list[Call]:
        """Tell what has changed, the most pressing first, one thing at a time."""
        memory = self.world.state.crew
        tick = self.world.state.tick
        self._feel_tension(lead)
        if tick - memory[Q_SPOKE] < GAP_TICKS:
            return []
        for look_for in (self._dragging, self._brought_up, self._on_snubber, self._count, self._new_lead):
            call = look_for(lead)
            if call is not None:
                return [call]
        return []

    def _feel_tension(self, lead: Lead) -> None:
        memory, line = self.world.state.crew, self.world.state.lines[0]
        share = EVERY_TICKS / TICK_HZ / 10.0
        memory[Q_MEAN] += share * (lead.tension_n - memory[Q_MEAN])
        if abs(line[lay.L_RATE]) > 0.02:
            memory[Q_SNUBBED] = memory[Q_PEAK] = memory[Q_BROUGHT_UP] = 0.0
        else:
            memory[Q_SNUBBED] = 1.0
            memory[Q_PEAK] = max(memory[Q_PEAK], lead.tension_n)

    def _dragging(self, lead: Lead) -> Call | None:
        memory, anchor = self.world.state.crew, self.world.state.anchors[0]
        tick = self.world.state.tick
        drags = anchor[lay.A_SPEED] > 0.03 and anchor[lay.A_LOAD] > 50.0 and lead.out_m > 1.6 * lead.height_m
        if not drags:
            memory[Q_DRAG_SINCE] = 0.0
            if memory[Q_DRAGGING] and anchor[lay.A_SPEED] < 0.01 and lead.tension_n > 1.3 * lead.hanging_n:
                memory[Q_DRAGGING] = 0.0
                return self._call("holding")
            return None
        if memory[Q_DRAG_SINCE] == 0.0:
            memory[Q_DRAG_SINCE] = tick
        if not memory[Q_DRAGGING] and tick - memory[Q_DRAG_SINCE] > ticks(5.0):
            memory[Q_DRAGGING] = 1.0
            return self._call("dragging")
        return None

    def _brought_up(self, lead: Lead) -> Call | None:
        memory, own = self.world.state.crew, self.world.state.boats[0]
        peaked = memory[Q_PEAK] > 1.3 * max(memory[Q_MEAN], lead.hanging_n)
        eased = lead.tension_n < 0.8 * memory[Q_PEAK]
        still = math.hypot(own[lay.B_SURGE], own[lay.B_SWAY]) < 0.15
        ahead = abs(lead.bearing_rad) < math.radians(25.0)
        held = self.world.state.anchors[0, lay.A_SPEED] < 0.01 and lead.out_m > 2.0 * lead.height_m
        if memory[Q_SNUBBED] and not memory[Q_BROUGHT_UP] and peaked and eased and still and ahead and held:
            memory[Q_BROUGHT_UP] = 1.0
            return self._call("brought_up")
        return None

    def _on_snubber(self, _lead: Lead) -> Call | None:
        memory, line = self.world.state.crew, self.world.state.lines[0]
        nylon = float(line[lay.L_SNUB_A] + line[lay.L_SNUB_B])
        takes = line[lay.L_HOOK] >= 0.0 and nylon > 3.0 * float(line[lay.L_TENSION])
        if takes and not memory[Q_ON_SNUBBER]:
            memory[Q_ON_SNUBBER] = 1.0
            return self._call("on_the_snubber")
        if line[lay.L_HOOK] < 0.0:
            memory[Q_ON_SNUBBER] = 0.0
        return None

    def _count(self, lead: Lead) -> Call | None:
        memory = self.world.state.crew
        passed = math.floor(lead.out_m / COUNT_EVERY_M)
        told = COUNT_EVERY_M * (passed - self._marks_gone(passed))
        if told != memory[Q_COUNTED]:
            rising = told > memory[Q_COUNTED]
            memory[Q_COUNTED] = told
            if told > 0.0:
                return self._call("metres_out" if rising else "metres_left", out_m=told)
        return None

    def _marks_gone(self, passed: int) -> int:
        """Return how many of the marks that have run out are missing, from the second to the fifth, as the seed has it.

        All marks are alike and are counted as they pass, so that the count falls short.
        """
        missing = int(self.world.state.faults[st.FAULT_MARKS])
        if not missing:
            return 0
        worn = rng.stream(self.world.params.seed, "chain marks").permutation(MARKS_THAT_WEAR)[:missing]
        return int((worn <= passed).sum())

    def _new_lead(self, lead: Lead) -> Call | None:
        memory, tick = self.world.state.crew, self.world.state.tick
        side = 10 * (lead.bearing_rad > 0.0) if sector(lead.bearing_rad) else 0
        now = 1.0 + STAYS.index(lead.stay) + 100.0 * sector(lead.bearing_rad) + side
        if now != memory[Q_STAY_NEW]:
            memory[Q_STAY_NEW], memory[Q_STAY_SINCE] = now, tick
        if now != memory[Q_STAY] and tick - memory[Q_STAY_SINCE] >= HOLD_TICKS:
            memory[Q_STAY] = now
            return self._lead_call(lead)
        return None
