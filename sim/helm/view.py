"""What a role can know: the only thing a screen draws and the demonstrator sees."""

import math
from dataclasses import dataclass, replace

from sim.base.arrays import FloatArray, IntArray
from sim.base.units import ticks
from sim.core import events as ev
from sim.core import state as st
from sim.core.orders import acts
from sim.core.orders.ranging import raining
from sim.helm.ais import AisMark
from sim.helm.crew import Call
from sim.helm.exercise import Exercise
from sim.helm.eye import HULL_NIGHT_M, Eye, RodeSeen
from sim.helm.instruments import Leg, Readings
from sim.helm.lead import look
from sim.helm.radar import SWEEP_S, RadarPicture
from sim.helm.sight import CLEAR_M, darkness, in_sight, reach_m
from sim.model import layout as lay

ARM_STEP_RAD = math.radians(15.0)
TRANSIT_STEP_M = 0.5  # one sees a transit open by about this much (judgement)

# What the trainee can know of what happens, without the foredeck.
SEEN = (
    ev.Declined,
    ev.AnchorLetGo,
    ev.AnchorHome,
    ev.WindlassStalled,
    ev.WindlassTripped,
    ev.PresetReached,
    ev.ChainOut,
    ev.SnubberHooked,
    ev.SnubberCast,
    ev.SnubberParted,
    ev.StopperFailed,
    ev.LineAshore,
    ev.OrderAskedBack,
    ev.RodeSeenAcross,
    ev.RodeSlipped,
    ev.Touched,
    ev.Grounded,
    ev.RangeTaken,
    ev.RangeFailed,
    ev.DepthSounded,
    ev.HailAnswered,
    ev.TransitTaken,
    ev.AnchorMarked,
    ev.AlarmSet,
    ev.AlarmRang,
    ev.WatchOrdered,
    ev.LightsShown,
    ev.PlanMade,
    ev.DiverReported,
    ev.Aborted,
    ev.Left,
    ev.Departed,
    ev.Secured,
)


@dataclass(frozen=True)
class Sighted:
    """Another boat as the eye has her: a bearing, how she heads, what lies at her bow, and about how far off she is.

    Attributes:
        number: what ranges and hails name her by.
        judged_m: distance by eye, which is poor over water.
        rode: how her rode leads, where it can be made out.
        light_m: height of her anchor light above the water, None where none is seen.
        shown: whether her hull can be made out, and how she heads with it.
        under_way: whether she is, which anybody sees.
        lit: whether she shows a light by night; one without is not sighted at all until she is near.
    """

    number: int
    name: str
    kind: str
    loa_m: float
    bearing_rad: float
    heading_rad: float
    rode_kind: str
    under_way: bool = False
    lit: bool = True
    judged_m: float = 0.0
    rode: RodeSeen | None = None
    light_m: float | None = None
    shown: bool = True


@dataclass(frozen=True)
class Handling:
    """How one rode is handled: known to whoever handles it. ``stop_at_m`` is where its windlass shall stop, 0 none."""

    brake: float
    stopper: bool
    motion: int
    hooked: bool
    light: bool
    ball: bool
    marked: bool
    aborts: int
    stop_at_m: float = 0.0
    counter_m: float = 0.0
    role: str = "main"


@dataclass(frozen=True)
class Arm:
    """The foredeck's arm: it points along the chain, as well as an arm can (to 15 degrees, judgement).

    Bearing off the bow, + starboard; slope below the horizontal.
    """

    bearing_rad: float
    slope_rad: float


@dataclass(frozen=True)
class View:
    """What the trainee can know at a moment.

    Attributes:
        readings: the displays.
        calls: what the foredeck has said, all of it.
        seen: what has happened in plain sight, and the answers to acts.
        others: the other boats.
        handling: the state of brake, stopper and the rest, of the main rode.
        rodes: the same of every rode she carries, the main one first.
        busy: acts under way, with the seconds each still takes.
        transit_open_m: how far the transit taken has opened, None where none is taken.
        arm: how the foredeck points, None while the anchor is at the roller.
        radar: its screen, where she has one and it is on.
        ais: the marks of boats that report themselves, where she has a receiver.
        trace_m: what the sounder showed over the last minutes, where it draws a trace.
        to_mark: bearing and distance to the anchor's mark, once it is placed.
        darkness: of the sky, 0 by day to 1 by night.
        raining: as it does with a squall.
        astern_m: from the stern to the shore right astern, by the eye of whoever stands aft; None where it is farther
            than one can judge.
    """

    readings: Readings
    calls: tuple[Call, ...]
    seen: tuple[ev.Event, ...]
    others: tuple[Sighted, ...]
    handling: Handling
    transit_open_m: float | None
    arm: Arm | None
    radar: RadarPicture | None = None
    ais: tuple[AisMark, ...] = ()
    trace_m: tuple[float, ...] = ()
    to_mark: Leg | None = None
    rodes: tuple[Handling, ...] = ()
    busy: tuple[tuple[str, float], ...] = ()
    darkness: float = 0.0
    raining: bool = False
    astern_m: float | None = None


class Lookout:
    """Makes views of one exercise."""

    def __init__(self, exercise: Exercise) -> None:
        """Post a lookout."""
        self.exercise = exercise
        self._swept: tuple[tuple[float, ...], RadarPicture | None] | None = None
        self.eye = Eye(exercise.world, exercise.seed)

    def water(self, places_m: FloatArray) -> IntArray:
        """Return how the wind marks the water at ``float64[k, 2]`` places, 0 smooth to 3 for a gust; see ``Eye``."""
        return self.eye.water(places_m)

    def _others(self) -> tuple[Sighted, ...]:
        out = []
        world = self.exercise.world
        dark = darkness(world)
        hull_m = reach_m(CLEAR_M, HULL_NIGHT_M, dark)
        for number in in_sight(world):
            n, fleet = world.params.neighbours[number - 1], world.state.fleet[number]
            p, lit = n.boat.particulars, bool(fleet[lay.Q_LIT])
            bearing, heading, judged = self.eye.other(number)
            out.append(
                Sighted(
                    number=number,
                    name=n.name,
                    kind=p.kind,
                    loa_m=p.loa_m,
                    bearing_rad=bearing,
                    heading_rad=heading,
                    rode_kind=n.rode_kind,
                    under_way=bool(fleet[lay.Q_STATE] != lay.LIES),
                    lit=lit,
                    judged_m=judged,
                    rode=self.eye.rode(number, judged),
                    light_m=p.mast_height_m if dark > 0.0 and lit else None,
                    shown=dark == 0.0 or judged < hull_m,
                )
            )
        return tuple(out)

    def _transit_open_m(self) -> float | None:
        s = self.exercise.world.state
        if not s.clock[st.K_TRANSIT]:
            return None
        dn = float(s.boats[0, lay.B_NORTH] - s.places[st.P_TRANSIT_N])
        de = float(s.boats[0, lay.B_EAST] - s.places[st.P_TRANSIT_E])
        bearing = float(s.places[st.P_TRANSIT])
        across = -math.sin(bearing) * dn + math.cos(bearing) * de
        return round(across / TRANSIT_STEP_M) * TRANSIT_STEP_M

    def _arm(self) -> Arm | None:
        seen = look(self.exercise.world)
        if seen is None:
            return None
        lead = self.exercise.crew.as_told(seen)
        return Arm(
            bearing_rad=round(lead.bearing_rad / ARM_STEP_RAD) * ARM_STEP_RAD,
            slope_rad=round(lead.slope_rad / ARM_STEP_RAD) * ARM_STEP_RAD,
        )

    def _to_mark(self) -> Leg | None:
        if not self.exercise.world.state.clock[st.K_MARKED]:
            return None
        placed = next((e for e in reversed(self.exercise.events) if isinstance(e, ev.AnchorMarked)), None)
        if placed is None:
            return None
        north_m, east_m = self._place_seen(placed)
        return self.exercise.instruments.leg(north_m, east_m)

    def _place_seen(self, placed: ev.AnchorMarked) -> tuple[float, float]:
        """Return where the receiver has the anchor's mark: its error of that moment is in it."""
        off_n, off_e = self.exercise.instruments.fix_error_m(placed.tick / 60.0)
        return placed.north_m + off_n, placed.east_m + off_e

    def _as_seen(self, event: ev.Event) -> ev.Event:
        """Return what the trainee has of an event: the anchor's mark is taken from the receiver and errs with it."""
        if not isinstance(event, ev.AnchorMarked):
            return event
        north_m, east_m = self._place_seen(event)
        return replace(event, north_m=north_m, east_m=east_m)

    def view(self) -> View:
        """Return what the trainee can know now."""
        x = self.exercise
        rodes = tuple(self._handling(k) for k in range(len(x.world.params.rodes)))
        return View(
            readings=x.read(),
            calls=tuple(x.calls),
            seen=tuple(self._as_seen(e) for e in x.events if isinstance(e, SEEN)),
            others=self._others(),
            handling=rodes[0],
            transit_open_m=self._transit_open_m(),
            arm=self._arm(),
            radar=self._radar(),
            ais=x.instruments.ais(),
            trace_m=x.instruments.trace_m(),
            to_mark=self._to_mark(),
            rodes=rodes,
            busy=self._busy(),
            darkness=darkness(x.world),
            raining=raining(x.world),
            astern_m=self.eye.astern_m(),
        )

    def _radar(self) -> RadarPicture | None:
        """Return the radar's screen as the last sweep left it."""
        state = self.exercise.world.state
        key = (state.tick // ticks(SWEEP_S), *state.radar.tolist())
        if self._swept is None or self._swept[0] != key:
            self._swept = key, self.exercise.instruments.radar()
        return self._swept[1]

    def _handling(self, rode: int) -> Handling:
        s = self.exercise.world.state
        line = s.lines[rode]
        return Handling(
            brake=float(line[lay.L_BRAKE]),
            stopper=bool(line[lay.L_STOPPER]),
            motion=int(line[lay.L_MOTION]),
            hooked=bool(line[lay.L_HOOK] >= 0.0),
            light=bool(s.clock[st.K_LIGHT]),
            ball=bool(s.clock[st.K_BALL]),
            marked=bool(s.clock[st.K_MARKED]),
            aborts=int(s.clock[st.K_ABORTS]),
            stop_at_m=float(line[lay.L_PRESET]),
            counter_m=round(float(line[lay.L_OUT]) * float(line[lay.L_COUNTER_SCALE]), 1),
            role=self.exercise.world.params.rodes[rode].role,
        )

    def _busy(self) -> tuple[tuple[str, float], ...]:
        s = self.exercise.world.state
        return tuple(
            (acts.NAMES[int(kind)], max(int(due) - s.tick, 0) / 60.0) for kind, due, _ in s.acts.tolist() if kind
        )
