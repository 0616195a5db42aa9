"""What a skipper knows and remembers: the brief, the view of the moment, what was said and heard, the wind."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from sim.base.frames import bearing_rad, to_body, to_world
from sim.base.units import TICK_HZ, mps
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.demonstrator import choosing
from sim.demonstrator.choosing import Spot
from sim.demonstrator.pilot import EVERY_S, Pilot
from sim.helm.chartwork import Chartwork
from sim.helm.view import View
from sim.model.tackle.lying import resultant_rad
from sim.scenario.read.brief import Brief

Steps = Iterator[list[Command]]
STREAM_RUNS_MPS = mps(0.25)  # with less of it everybody lies to the wind
WIND_NOW = 40  # decisions, eight seconds
SURE_MARK_M = 20.0
NOTICED_S = 1.5  # until one sees the chain go the wrong way (judgement)
CALL_LAG = 25  # decisions, five seconds
TRY_LEVER, TRY_S = 0.1, 2.5  # a breath astern, to see that there is any
WIND_KEPT = 600  # decisions, two minutes


@dataclass(frozen=True)
class Said:
    """One line of narration: a key of the word list and its values."""

    t_s: float
    key: str
    values: dict[str, float | str] = field(default_factory=dict)


class Skipper:
    """Somebody at the wheel; what to do comes from ``manoeuvre``, asked five times a second."""

    def __init__(self, brief: Brief) -> None:
        """Read the brief."""
        self.brief = brief
        self.pilot = Pilot(brief.boat)
        self.said: list[Said] = []
        self.view: View | None = None
        self.spot: Spot | None = None
        self.mark_m = (0.0, 0.0)
        self.planned_wind_rad: float | None = None
        self.chart = Chartwork(brief.chart)
        self.failed: list[tuple[float, float]] = []  # where an anchor came home
        self.trends: dict[int, list[tuple[float, float]]] = {}  # where others were ranged since the anchor went down
        self._wind: list[float] = []
        self._blown: list[float] = []
        self._lain: dict[int, list[float]] = {}  # how each of the others headed of late
        self._counts, self._calls_heard = 1.0, 0
        self._counted: list[float] = []
        self._spoken: cmd.Windlass | None = None  # the last order to the windlass, and since when it runs the other way
        self._wrong_s, self._seen = 0.0, 0
        self._next_s = 0.0
        self._steps = self.manoeuvre()
        self._done = False

    @property
    def depth_m(self) -> float:
        """Depth below the surface, by the sounder and what is known of where it measures from."""
        assert self.view is not None, "look first"
        return self.view.readings.depth_m + self.brief.boat.sounder_offset_m

    def manoeuvre(self) -> Steps:
        """Yield the commands of each decision, one after another."""
        raise NotImplementedError

    def wants_view(self, t_s: float) -> bool:
        """Return whether a decision is due; between decisions no view need be made."""
        return not self._done and t_s >= self._next_s - 1e-9

    def rests_ticks(self, tick: int) -> int:
        """Return how many ticks may pass until the next decision, 1 at least."""
        return max(math.ceil(self._next_s * TICK_HZ - 1e-6) - tick, 1)

    def decide(self, view: View) -> list[Command]:
        """Return the commands of this moment."""
        self.view = view
        self.pilot.look(view.readings)
        self._next_s = view.readings.t_s + EVERY_S
        self._feel_wind()
        self._hear_marks()
        for other in view.others:
            self._lain[other.number] = [*self._lain.get(other.number, [])[-WIND_KEPT:], other.heading_rad]
        commands = next(self._steps, None)
        self._done = commands is None
        return self._said_again(commands or [])

    def depart(self) -> None:
        """Come on deck when the stay is over, to weigh and leave: wind and boats are looked at anew."""
        self.pilot = Pilot(self.brief.boat)
        self._wind, self._blown, self._lain, self._spoken = [], [], {}, None
        self._steps, self._done = self.departure(), False

    def departure(self) -> Steps:
        """Yield the commands of weighing and leaving."""
        raise NotImplementedError

    @property
    def done(self) -> bool:
        """Whether the manoeuvre is at its end."""
        return self._done

    @property
    def see(self) -> View:
        """The view of this moment."""
        assert self.view is not None, "no view yet"
        return self.view

    @property
    def t_s(self) -> float:
        """The time on the clock."""
        return self.see.readings.t_s

    @property
    def plan(self) -> Spot:
        """The spot chosen."""
        assert self.spot is not None, "no plan yet"
        return self.spot

    def say(self, key: str, **values: float | str) -> None:
        """Tell a decision and its reason."""
        self.said.append(Said(round(self.t_s, 1), f"helm.{key}", values))

    def wait(self, seconds: float) -> Steps:
        """Do nothing for a while."""
        until = self.t_s + seconds
        while self.t_s < until - 1e-9:
            yield []

    def _try_out(self) -> Steps:
        """Try astern out here, where it does not matter if it fails."""
        self.say("try_out")
        yield self.pilot.levers(-TRY_LEVER) + self.pilot.helm(0.0)
        yield from self.wait(TRY_S)
        yield self.pilot.levers(0.0)

    def heard(self, key: str, since: int = 0) -> bool:
        """Return whether the foredeck has called ``key`` since its ``since``-th call."""
        return any(call.key == key for call in self.see.calls[since:])

    @property
    def out_m(self) -> float:
        """How much rode is out: the counter, put right by the marks on the chain where they disagree."""
        return self.see.readings.counter_m * self._counts

    def _hear_marks(self) -> None:
        """Compare the counter with the marks the foredeck calls; a mark that has gone missing is no reason.

        A call comes a little after the mark has gone over the roller: any count of the last seconds may be the one.
        """
        self._counted = [*self._counted[-CALL_LAG:], self.see.readings.counter_m]
        calls = self.see.calls[self._calls_heard :]
        self._calls_heard = len(self.see.calls)
        for call in calls:
            marks_m = float(call.values.get("out_m", 0.0))
            counter_m = min(max(marks_m, min(self._counted)), max(self._counted))
            if call.key != "metres_out" or marks_m < SURE_MARK_M or counter_m <= 0.0:
                continue
            share = marks_m / counter_m
            if self._counts == 1.0 and (0.87 < share < 0.94 or 1.06 < share < 1.35):
                self._counts = share
                self.say("counter", marks_m=round(marks_m), counter_m=round(counter_m))

    def _said_again(self, commands: list[Command]) -> list[Command]:
        """Return the orders, with the last one to the windlass again where it runs the other way or was asked back."""
        spoken = [c for c in commands if isinstance(c, cmd.Windlass) and c.rode == 0]
        if spoken:
            self._spoken, self._wrong_s = spoken[-1], self.t_s
            return commands
        asked = any(isinstance(e, ev.OrderAskedBack) for e in self.see.seen[self._seen :])
        self._seen = len(self.see.seen)
        order = self._spoken
        if order is None or order.motion == 0 or self.see.handling.motion != -order.motion:
            self._wrong_s = self.t_s
        if order is None or not (asked or self.t_s > self._wrong_s + NOTICED_S):
            return commands
        self._wrong_s = self.t_s
        self.say("asked_back" if asked else "misheard")
        return [*commands, order]

    def _feel_wind(self) -> None:
        """Work out the true wind's direction from apparent wind and own motion, and keep the last two minutes."""
        r = self.see.readings
        ahead, beside = -r.wind_mps * math.cos(r.wind_angle_rad), -r.wind_mps * math.sin(r.wind_angle_rad)
        air_n, air_e = to_world(ahead, beside, r.heading_rad)
        vn, ve = r.sog_mps * math.cos(r.cog_rad), r.sog_mps * math.sin(r.cog_rad)
        self._wind = [*self._wind[-WIND_KEPT:], bearing_rad(-(air_n + vn), -(air_e + ve))]
        self._blown = [*self._blown[-WIND_KEPT:], math.hypot(air_n + vn, air_e + ve)]

    def wind_mps(self) -> float:
        """Return how hard it has blown of late."""
        return sum(self._blown) / max(len(self._blown), 1)

    def wind_from(self, decisions: int = WIND_KEPT) -> float:
        """Return where the wind has come from of late: over two minutes, or fewer decisions."""
        return choosing.mean_direction(self._wind[-decisions:])

    def wind_now(self) -> float:
        """Return where the wind comes from now, a few seconds' mean."""
        return choosing.mean_direction(self._wind[-WIND_NOW:]) % (2.0 * math.pi)

    def lie(self) -> float:
        """Return the heading she will lie to: wind and stream together, tempered by how others on chain lie.

        Where a stream runs, boats of another make lie otherwise than she will, so only those like her count.
        """
        stream = choosing.stream_mps(self.brief, self.t_s)
        runs = math.hypot(*stream) > STREAM_RUNS_MPS
        others = [o for o in self.see.others if o.rode_kind == "chain" and not o.under_way]
        lies = [
            choosing.mean_direction(self._lain[o.number]) for o in others if o.kind == self.brief.boat.kind or not runs
        ]
        own = resultant_rad(self.wind_from(), self.wind_mps(), stream) if runs else self.wind_from()
        return choosing.mean_direction([own, *lies]) % (2.0 * math.pi)

    def from_drop(self) -> tuple[float, float]:
        """Return how far the bow is (short of, to starboard of) the drop, along the lie [m]."""
        bow_n, bow_e = self.pilot.bow()
        spot = self.plan
        ahead, side = to_body(bow_n - spot.drop_north_m, bow_e - spot.drop_east_m, spot.lie_rad)
        return -ahead, side

    def from_mark_m(self) -> float:
        """Return how far the bow is from the anchor's mark, by the displays [m]."""
        bow_n, bow_e = self.pilot.bow()
        return math.hypot(bow_n - self.mark_m[0], bow_e - self.mark_m[1])
