"""The foredeck: says what it sees and feels, and only that, briefly, a little late, and not too often.

Calls are keys and values; the words are made at the edge from the catalogue. Its memory is in the state.
"""

import bisect
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from sim.base import rng
from sim.base.units import DT_S, TICK_HZ, ticks
from sim.core import events as ev
from sim.core import state as st
from sim.core.world import World
from sim.helm import foredeck as fd
from sim.helm.foredeck import PRESSING, ROUTINE, Sense, Watch
from sim.helm.lead import STAYS, Lead, look
from sim.model import layout as lay
from sim.model.tackle.anchor import is_dragging

__all__ = ["KEYS", "SECTORS", "STAYS", "Call", "Crew", "sector"]

EVERY_TICKS = 24  # a hand forward looks along the chain some twice a second
HOLD_TICKS = ticks(2.0)  # a change is told only once it has lasted
GAP_TICKS = ticks(3.0)  # the foredeck does not chatter
COUNT_EVERY_M = 10.0
MARKS_THAT_WEAR = (2, 3, 4, 5)
LATE_S = (1.0, 2.0)  # between what happens and the word for it
# What a green hand gets wrong (common practice, no source): the count, and a bearing, which he then points otherwise.
GREEN_COUNT_M, GREEN_BEARING_RAD, GREEN_FOR_S = 5.0, math.radians(15.0), 20.0

SECTORS = ("ahead", "bow", "abeam", "quarter", "under")
_SECTOR_EDGES = tuple(math.radians(d) for d in (22.5, 67.5, 112.5, 157.5))
# What is said as soon as it can be, whatever else there is to say; first of all what is dangerous.
PROMPT = (
    "under_the_boat", "surging", "aweigh", "on_the_bottom", "walked_back", "anchors_gone", "home", "she_leads",
    "rode_across", "rode_slipped", "say_again", "aye_heave", "aye_veer", "aye_stop_at", "wash",
)  # fmt: skip
AYES = {-1.0: "aye_heave", 1.0: "aye_veer"}  # what a hand answers who has heard so
KEYS = (*PROMPT, *(w.key for w in (*PRESSING, *ROUTINE)), "lead", "metres_out", "metres_left", "all_stowed")
# Two columns of memory for each watch (since when it is so, whether it has been told), then what is on the tongue.
WATCHES = (*PRESSING, *ROUTINE)
_FIRST_TONGUE = fd.Q_WATCHES + 2 * len(WATCHES)
_TONGUE = 8  # so many words wait: key, tick and value of each


@dataclass(frozen=True)
class Call:
    """One call from the foredeck: a key of the word list and its values."""

    tick: int
    key: str
    values: dict[str, float | str] = field(default_factory=dict)


def sector(bearing_rad: float) -> int:
    """Return which of ``SECTORS`` a lead falls in, by its angle off the bow."""
    return bisect.bisect_left(_SECTOR_EDGES, abs(bearing_rad))


def _upset(event: ev.Event) -> tuple[str, float]:
    """Return (key, value) of what the hand says of a wash, of an order not caught, of a rode across; "" for nothing.

    One who mishears answers with what he has heard, as he would with the right order: that is how it is noticed.
    """
    if isinstance(event, ev.OrderMisheard):
        return ("aye_stop_at", event.heard) if event.what == "preset_length" else (AYES[event.heard], 0.0)
    keys: dict[type[ev.Event], str] = {
        ev.OrderAskedBack: "say_again",
        ev.WashBegan: "wash",
        ev.RodeSeenAcross: "rode_across",
        ev.RodeSlipped: "rode_slipped",
    }
    return keys.get(type(event), ""), 0.0


class Crew:
    """One hand on the foredeck."""

    def __init__(self, world: World) -> None:
        """Send a hand forward in ``world``."""
        self.world = world
        self.green = world.params.crew == "novice"
        self._memory = world.state.crew
        self._hand = self._memory[:_FIRST_TONGUE]
        self._tongue = self._memory[_FIRST_TONGUE : _FIRST_TONGUE + 3 * _TONGUE].reshape(_TONGUE, 3)

    @property
    def next_tick(self) -> int:
        """When the hand forward speaks or looks next; a step of the live clock ends there at the latest."""
        tick = self.world.state.tick
        looks = tick + EVERY_TICKS - tick % EVERY_TICKS
        due = self._memory.item(fd.Q_DUE)
        return min(looks, max(math.ceil(due), tick + 1)) if due > 0.0 else looks

    def step(self, happened: Sequence[ev.Event]) -> list[Call]:
        """Return what the foredeck says after a step of the live clock; call it after each."""
        if happened:
            self._hear(happened)
        fd.feel_shake(self._memory, self.world.log.last, DT_S)
        tick = self.world.state.tick
        calls = self._speak_up() if 0.0 < self._memory.item(fd.Q_DUE) <= tick else []
        if tick % EVERY_TICKS == 0:
            calls += self._watch()
        return calls

    def as_told(self, lead: Lead) -> Lead:
        """Return a lead as this hand points it: a green one is up to fifteen degrees out, and then otherwise."""
        if not self.green:
            return lead
        turn = int(self.world.state.tick / TICK_HZ / GREEN_FOR_S)
        share = 2.0 * float(rng.stream(self.world.params.seed, "green bearing", turn).random()) - 1.0
        off = math.remainder(lead.bearing_rad + share * GREEN_BEARING_RAD, 2.0 * math.pi)
        return lead._replace(bearing_rad=off)

    def _call(self, key: str, **values: float | str) -> Call:
        self._memory[fd.Q_SPOKE] = self.world.state.tick
        return Call(self.world.state.tick, key, values)

    def _count_told(self, out_m: float) -> float:
        """Return a length as this hand counts it: a green one is up to five metres out, the same at the same mark."""
        if not self.green:
            return out_m
        share = 2.0 * float(rng.stream(self.world.params.seed, "green count", round(out_m)).random()) - 1.0
        return max(out_m + round(share * GREEN_COUNT_M), 0.0)

    def _hear(self, happened: Sequence[ev.Event]) -> None:
        """Take in what cannot be missed, and what is asked, to be said in a second or two."""
        for event in happened:
            key, value = "", 0.0
            if isinstance(event, ev.AnchorLetGo):
                self._memory[: fd.Q_WATCHES] = 0.0
                self._memory[fd.Q_WATCHES : _FIRST_TONGUE] = 0.0
                self._memory[fd.Q_BEEN_DOWN] = 1.0
                lowered = self.world.state.lines[event.rode, lay.L_MOTION] > 0.0
                key = "" if lowered else "anchors_gone"
            elif isinstance(event, ev.AnchorTouched):
                lowered = self.world.state.lines[event.rode, lay.L_MOTION] > 0.0
                key, value = "walked_back" if lowered else "on_the_bottom", float(round(event.out_m))
            elif isinstance(event, ev.AnchorAweigh):
                key = "aweigh"
            elif isinstance(event, ev.AnchorHome):
                key = "home"
            elif isinstance(event, ev.ChainUnderHull):
                key = "under_the_boat"
            elif isinstance(event, ev.BrakeSlipped):
                key = "surging"
            elif isinstance(event, ev.CrewAsked):
                key = "she_leads"
            else:
                key, value = _upset(event)
            if key:
                self._intend(key, value)

    def _intend(self, key: str, value: float) -> None:
        tick, kind = self.world.state.tick, PROMPT.index(key)
        share = float(rng.stream(self.world.params.seed, "foredeck", tick).random())
        due = tick + ticks(LATE_S[0] + share * (LATE_S[1] - LATE_S[0]))
        for slot in self._tongue:
            if slot[0] == 0.0:
                slot[:] = kind + 1.0, due, value
                break
        self._note_due()

    def _note_due(self) -> None:
        """Note when the next word on the tongue is due."""
        waiting = self._tongue[:, 0] > 0.0
        self._memory[fd.Q_DUE] = self._tongue[waiting, 1].min() if waiting.any() else 0.0

    def _speak_up(self) -> list[Call]:
        """Say what has been on the tongue long enough, what presses most first."""
        tick = self.world.state.tick
        due = [slot for slot in self._tongue if slot[0] > 0.0 and slot[1] <= tick]
        due.sort(key=lambda slot: float(slot[0]))
        out = []
        for slot in due:
            key, value = PROMPT[int(slot[0]) - 1], float(slot[2])
            slot[:] = 0.0
            if key == "she_leads":
                out.append(self._lead_call(look(self.world), asked=True))
            elif key in ("on_the_bottom", "walked_back"):
                out.append(self._call(key, out_m=self._count_told(value)))
            elif key == "aye_stop_at":
                out.append(self._call(key, out_m=value))
            else:
                out.append(self._call(key))
        self._note_due()
        return out

    def _lead_call(self, lead: Lead | None, asked: bool = False, stay: str = "") -> Call:
        if lead is None:
            return self._call("all_stowed")
        pointed = self.as_told(lead)
        side = "starboard" if pointed.bearing_rad > 0.0 else "port"
        hour = round(math.degrees(pointed.bearing_rad) / 30.0) % 12 or 12
        where = SECTORS[sector(pointed.bearing_rad)]
        key = "she_leads" if asked else "lead"
        return self._call(key, sector=where, side=side, hour=hour, stay=stay or lead.stay, feel=self.feels(lead))

    def feels(self, lead: Lead) -> str:
        """Return what hand and foot on the chain feel: "slack", "steady" or "trembling"."""
        if lead.tension_n < 1.1 * lead.hanging_n:
            return "slack"
        return "trembling" if is_dragging(self.world.state.anchors[0]) else "steady"

    def _watch(self) -> list[Call]:
        """Tell what has changed, the most pressing first, one thing at a time."""
        # Plain numbers while it is thought about: an array's items cost three times as much to read.
        memory: list[float] = self._hand.tolist()
        sense = Sense(self.world, memory, look(self.world))
        fd.feel(sense, EVERY_TICKS / TICK_HZ)
        call = self._thought(sense)
        self._hand[:] = memory
        if call is None:
            return []
        self._memory[fd.Q_SPOKE] = sense.tick
        return [call]

    def _thought(self, sense: Sense) -> Call | None:
        """Return what is to be told of what is seen and felt now, if anything is."""
        memory, lead = sense.memory, sense.lead
        stay = self._note_lead(sense, lead) if lead is not None else 0
        ripe = self._ripe(sense)
        if sense.tick - memory[fd.Q_SPOKE] < GAP_TICKS and memory[fd.Q_SPOKE] > 0.0:
            return None
        ripe = [k for k in ripe if not self._told_last(memory, k, WATCHES[k])]
        if ripe and ripe[0] < len(PRESSING):
            return self._tell(sense, ripe[0], WATCHES[ripe[0]].key)
        if lead is not None:
            call = self._new_lead(sense, lead, stay) or self._count(sense, lead)
            if call is not None:
                memory[fd.Q_LAST] = 0.0
                return call
        return self._tell(sense, ripe[0], WATCHES[ripe[0]].key) if ripe else None

    def _ripe(self, sense: Sense) -> list[int]:
        """Return which things have lasted and not been told; forget of each that it was told once it is over."""
        memory, night = sense.memory, self.world.params.night
        ripe, at = [], fd.Q_WATCHES
        for k, watch in enumerate(WATCHES):
            if memory[at + 1] > 0.0:
                if not watch.stays(sense):
                    memory[at] = memory[at + 1] = 0.0
            elif not watch.enters(sense) or (night and not watch.by_night):
                memory[at] = 0.0
            else:
                memory[at] = memory[at] or float(sense.tick)
                if sense.tick - memory[at] >= watch.hold_ticks:
                    ripe.append(k)
            at += 2
        return ripe

    def _told_last(self, memory: list[float], k: int, watch: Watch) -> bool:
        """Return whether this was told last, and so is not told again; that she holds is told of each load."""
        again = memory[fd.Q_LAST] == k + 1.0 and watch.key != "holding"
        if again:
            memory[fd.Q_WATCHES + 2 * k + 1] = 1.0
        return again

    def _tell(self, sense: Sense, k: int, key: str) -> Call:
        memory = sense.memory
        memory[fd.Q_WATCHES + 2 * k + 1], memory[fd.Q_LAST] = 1.0, k + 1.0
        if key == "dragging":
            memory[fd.Q_PROVED] = -1.0
        elif key == "holding" and sense.lead is not None:
            memory[fd.Q_PROVED] = sense.lead.tension_n
        elif key == "brought_up":
            memory[fd.Q_BROUGHT_UP] = 1.0
        elif key == "snubbed":
            memory[fd.Q_STOPPED] = 0.0
        return self._call(key)

    def _count(self, sense: Sense, lead: Lead) -> Call | None:
        memory = sense.memory
        passed = math.floor(lead.out_m / COUNT_EVERY_M)
        told = COUNT_EVERY_M * (passed - self._marks_gone(passed))
        if told != memory[fd.Q_COUNTED]:
            rising = told > memory[fd.Q_COUNTED]
            memory[fd.Q_COUNTED] = told
            if told > 0.0:
                return self._call("metres_out" if rising else "metres_left", out_m=self._count_told(told))
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

    def _note_lead(self, sense: Sense, lead: Lead) -> int:
        """Return how the rode stands, and note since when it leads and stands so.

        What was last told stands until it is left by a fifth.
        """
        memory = sense.memory
        told = STAYS[int(memory[fd.Q_STAY])]
        stay = told if told != "none" and lead.is_still(told, fd.MORE) else lead.stay
        side = 10 * (lead.bearing_rad > 0.0) if sector(lead.bearing_rad) else 0
        now = 1.0 + STAYS.index(stay) + 100.0 * sector(lead.bearing_rad) + side
        if now != memory[fd.Q_LEAD_NEW]:
            memory[fd.Q_LEAD_NEW], memory[fd.Q_LEAD_SINCE] = now, float(sense.tick)
        return STAYS.index(stay)

    def _new_lead(self, sense: Sense, lead: Lead, stay: int) -> Call | None:
        """Tell a new lead once it has lasted."""
        memory = sense.memory
        lasted = sense.tick - memory[fd.Q_LEAD_SINCE] >= HOLD_TICKS
        if memory[fd.Q_LEAD_NEW] == memory[fd.Q_LEAD] or not lasted:
            return None
        memory[fd.Q_LEAD], memory[fd.Q_STAY] = memory[fd.Q_LEAD_NEW], stay
        return self._lead_call(lead, stay=STAYS[stay])
