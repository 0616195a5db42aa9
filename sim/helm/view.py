"""What a role can know: the only thing a screen draws and the demonstrator sees."""

import math
from dataclasses import dataclass, replace

from sim.base import rng
from sim.base.frames import bearing_rad
from sim.core import events as ev
from sim.core import state as st
from sim.helm.ais import AisMark
from sim.helm.crew import Call
from sim.helm.exercise import Exercise
from sim.helm.instruments import Leg, Readings
from sim.helm.lead import look
from sim.helm.radar import RadarPicture
from sim.helm.sight import in_sight
from sim.model import layout as lay

EYE_SD_RAD = math.radians(1.0)  # a bearing by eye over the compass (judgement)
LIE_SD_RAD = math.radians(4.0)  # how another boat heads, judged by eye (judgement)
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
    ev.LightsShown,
    ev.PlanMade,
    ev.DiverReported,
    ev.Aborted,
    ev.Left,
    ev.Secured,
)


@dataclass(frozen=True)
class Sighted:
    """Another boat as the eye has her: a bearing, how she heads, what lies at her bow; no range.

    ``number`` is what ranges and hails name her by; ``under_way`` whether she is, which anybody sees. By night ``lit``
    tells whether she shows a light; one without is not sighted at all until she is near.
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


@dataclass(frozen=True)
class Handling:
    """How the ground tackle is handled: known to whoever handles it."""

    brake: float
    stopper: bool
    motion: int
    hooked: bool
    light: bool
    ball: bool
    marked: bool
    aborts: int


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
        handling: the state of brake, stopper and the rest.
        transit_open_m: how far the transit taken has opened, None where none is taken.
        arm: how the foredeck points, None while the anchor is at the roller.
        radar: its screen, where she has one and it is on.
        ais: the marks of boats that report themselves, where she has a receiver.
        trace_m: what the sounder showed over the last minutes, where it draws a trace.
        to_mark: bearing and distance to the anchor's mark, once it is placed.
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


class Lookout:
    """Makes views of one exercise."""

    def __init__(self, exercise: Exercise) -> None:
        """Post a lookout; what the eye gets wrong is seeded and stays the same through the run."""
        self.exercise = exercise
        others = len(exercise.world.params.neighbours)
        self._slips = rng.stream(exercise.seed, "eye").standard_normal((others, 2))

    def _others(self) -> tuple[Sighted, ...]:
        world = self.exercise.world
        own = world.state.boats[0]
        out = []
        for number in in_sight(world):
            i, n = number - 1, world.params.neighbours[number - 1]
            row, rode = world.state.boats[number], world.state.fleet[number]
            bearing = bearing_rad(float(row[lay.B_NORTH] - own[lay.B_NORTH]), float(row[lay.B_EAST] - own[lay.B_EAST]))
            heading = float(row[lay.B_HEADING])
            out.append(
                Sighted(
                    number=number,
                    name=n.name,
                    kind=n.boat.particulars.kind,
                    loa_m=n.boat.particulars.loa_m,
                    bearing_rad=(bearing + EYE_SD_RAD * float(self._slips[i, 0])) % (2.0 * math.pi),
                    heading_rad=(heading + LIE_SD_RAD * float(self._slips[i, 1])) % (2.0 * math.pi),
                    rode_kind=n.rode_kind,
                    under_way=bool(rode[lay.Q_STATE] != lay.LIES),
                    lit=bool(rode[lay.Q_LIT]),
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
        lead = look(self.exercise.world)
        if lead is None:
            return None
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
        s = x.world.state
        line = s.lines[0]
        return View(
            readings=x.read(),
            calls=tuple(x.calls),
            seen=tuple(self._as_seen(e) for e in x.events if isinstance(e, SEEN)),
            others=self._others(),
            handling=Handling(
                brake=float(line[lay.L_BRAKE]),
                stopper=bool(line[lay.L_STOPPER]),
                motion=int(line[lay.L_MOTION]),
                hooked=bool(line[lay.L_HOOK] >= 0.0),
                light=bool(s.clock[st.K_LIGHT]),
                ball=bool(s.clock[st.K_BALL]),
                marked=bool(s.clock[st.K_MARKED]),
                aborts=int(s.clock[st.K_ABORTS]),
            ),
            transit_open_m=self._transit_open_m(),
            arm=self._arm(),
            radar=x.instruments.radar(),
            ais=x.instruments.ais(),
            trace_m=x.instruments.trace_m(),
            to_mark=self._to_mark(),
        )
