"""What a person's hands do: keys held and pressed become commands, tick by tick, never frame by frame."""

import math
from dataclasses import dataclass, field
from enum import Enum

from sim.base.units import mps, rad, ticks
from sim.core import commands as cmd
from sim.core import events as ev
from sim.core.commands import Command
from sim.helm.view import View
from sim.model.catenary import reach_on_bed_m
from sim.scenario.brief import Brief

HELM_EVERY = 6  # ticks between orders while the wheel is being turned
NUDGE_RAD = rad(2.5)  # a tap of the wheel; held, 25 degrees a second
MOST_HELM_RAD = rad(35.0)
LEVER_STEP = 0.1
LEVER_EVERY = ticks(0.18)
LEVER_WAIT = ticks(0.4)  # before a held lever key repeats
LOOK_STEP_RAD = rad(15.0)
FIX_M, SWING_SHARE = 4.0, 0.1  # allowances in the alarm's radius: the fix, and chain that sweeps (judgement)


class Act(Enum):
    """What a key is for."""

    PORT = "port"
    STARBOARD = "starboard"
    MIDSHIPS = "midships"
    AHEAD = "ahead"
    ASTERN = "astern"
    NEUTRAL = "neutral"
    PORT_AHEAD = "port_ahead"
    PORT_ASTERN = "port_astern"
    STBD_AHEAD = "stbd_ahead"
    STBD_ASTERN = "stbd_astern"
    VEER = "veer"
    HEAVE = "heave"
    BRAKE = "brake"
    STOPPER = "stopper"
    SNUBBER = "snubber"
    MARK = "mark"
    RANGE = "range"
    HAIL = "hail"
    ASK = "ask"
    TRANSIT = "transit"
    ALARM = "alarm"
    SIGNAL = "signal"
    LOOK_LEFT = "look_left"
    LOOK_RIGHT = "look_right"


# act: (shaft, sense); shaft -1 is all of them
LEVERS = {
    Act.AHEAD: (-1, 1), Act.ASTERN: (-1, -1), Act.PORT_AHEAD: (0, 1), Act.PORT_ASTERN: (0, -1),
    Act.STBD_AHEAD: (1, 1), Act.STBD_ASTERN: (1, -1),
}  # fmt: skip
WHEEL = {Act.PORT: -1, Act.STARBOARD: 1}
MOTORS = {Act.VEER: 1, Act.HEAVE: -1}


@dataclass
class _Held:
    """A key that is down: since which tick, and whether its lever waits at neutral to be pressed again."""

    since: int
    stopped: bool = False


@dataclass
class Hands:
    """One person at the wheel, levers and switches.

    Attributes:
        brief: of the lesson.
        look_rad: which way the lookout looks, off the bow.
        target: what was ranged last: a boat from 1, a mark from -1.
    """

    brief: Brief
    marks: int
    look_rad: float = 0.5 * math.pi
    target: int = 0
    helm_rad: float = 0.0
    levers: list[float] = field(default_factory=list)
    _held: dict[Act, _Held] = field(default_factory=dict)
    _due: list[Command] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Stand by at neutral."""
        self.levers = [0.0] * self.brief.boat.shafts

    def order(self, command: Command) -> None:
        """Give one command at the next tick."""
        self._due.append(command)

    def press(self, act: Act, view: View, tick: int) -> None:
        """A key goes down."""
        if act in self._held:
            return
        if act in WHEEL or act in LEVERS or act in MOTORS:
            self._held[act] = _Held(tick)
        if act in WHEEL:
            self._steer(self.helm_rad + WHEEL[act] * NUDGE_RAD)
        elif act in LEVERS:
            self._push(act)
        elif act in MOTORS:
            self.order(cmd.Windlass(motion=MOTORS[act]))
        else:
            self._once(act, view)

    def release(self, act: Act) -> None:
        """A key comes up."""
        if self._held.pop(act, None) is not None and act in MOTORS:
            self.order(cmd.Windlass(motion=0))

    def let_go_of_all(self) -> None:
        """Let every key come up, as when the window loses the keyboard."""
        for act in list(self._held):
            self.release(act)

    def orders(self, tick: int) -> list[Command]:
        """Return the commands of a tick."""
        for act, held in self._held.items():
            age = tick - held.since
            if act in LEVERS and age >= LEVER_WAIT and age % LEVER_EVERY == 0 and not held.stopped:
                self._push(act)
            elif act in WHEEL and age > 0 and age % HELM_EVERY == 0:
                self._steer(self.helm_rad + WHEEL[act] * NUDGE_RAD)
        due, self._due = self._due, []
        return due

    def _steer(self, angle_rad: float) -> None:
        angle = round(max(-MOST_HELM_RAD, min(MOST_HELM_RAD, angle_rad)), 4)
        if angle != self.helm_rad:
            self.helm_rad = angle
            self.order(cmd.Helm(angle_rad=angle))

    def _push(self, act: Act) -> None:
        shaft, sense = LEVERS[act]
        if shaft >= len(self.levers):
            return
        which = range(len(self.levers)) if shaft < 0 else (shaft,)
        old = list(self.levers)
        for i in which:
            moved = round(max(-1.0, min(1.0, self.levers[i] + sense * LEVER_STEP)), 1)
            self.levers[i] = moved
            if moved == 0.0 and old[i] != 0.0 and act in self._held:
                self._held[act].stopped = True  # neutral is a notch: press again to go on
        if self.levers == old:
            return
        if shaft < 0 and len(set(self.levers)) == 1:
            self.order(cmd.Engine(lever=self.levers[0]))
            return
        for i in which:
            self.order(cmd.Engine(lever=self.levers[i], shaft=i))

    def _once(self, act: Act, view: View) -> None:
        hand = view.handling
        if act is Act.MIDSHIPS:
            self._steer(0.0)
        elif act is Act.NEUTRAL:
            self.levers = [0.0] * len(self.levers)
            self.order(cmd.Engine(lever=0.0))
        elif act is Act.BRAKE:
            self.order(cmd.Brake(grip=0.0 if hand.brake > 0.5 else 1.0))
        elif act is Act.STOPPER:
            self.order(cmd.Stopper(on=not hand.stopper))
        elif act is Act.SNUBBER:
            self.order(cmd.Snubber(on=not hand.hooked))
        elif act is Act.MARK:
            self.order(cmd.MarkAnchor())
        elif act is Act.ASK:
            self.order(cmd.AskCrew())
        elif act is Act.SIGNAL:
            dark = self.brief.dark
            self.order(cmd.Lights(anchor_light=dark and not hand.light, ball=not dark and not hand.ball))
        elif act in (Act.LOOK_LEFT, Act.LOOK_RIGHT):
            turn = LOOK_STEP_RAD if act is Act.LOOK_RIGHT else -LOOK_STEP_RAD
            self.look_rad = (self.look_rad + turn) % (2.0 * math.pi)
        else:
            self._look_about(act, view)

    def _look_about(self, act: Act, view: View) -> None:
        if act is Act.RANGE:
            things = [*(o.number for o in view.others), *range(-1, -self.marks - 1, -1)]
            if things:
                self.target = things[(things.index(self.target) + 1) % len(things) if self.target in things else 0]
                self.order(cmd.TakeRange(target=self.target))
        elif act is Act.HAIL:
            first = view.others[0].number if view.others else 1
            self.order(cmd.Hail(target=max(self.target, first)))
        elif act is Act.TRANSIT:
            bearing = (view.readings.heading_rad + self.look_rad) % (2.0 * math.pi)
            self.order(cmd.TakeTransit(bearing_rad=round(bearing, 4), on=view.transit_open_m is None))
        elif act is Act.ALARM:
            self.order(self._alarm(view))

    def _alarm(self, view: View) -> Command:
        """Return the alarm round the mark, its radius from chain, boat and fix; or off, where one is set."""
        rings = [e for e in view.seen if isinstance(e, ev.AlarmSet)]
        if rings and rings[-1].on:
            last = rings[-1]
            return cmd.SetAlarm(north_m=last.north_m, east_m=last.east_m, radius_m=last.radius_m, on=False)
        b, r = self.brief.boat, view.readings
        marked = [e for e in view.seen if isinstance(e, ev.AnchorMarked)]
        place = (marked[-1].north_m, marked[-1].east_m) if marked else (r.north_m, r.east_m)
        height = r.depth_m + b.roller_height_m
        reach = reach_on_bed_m(max(r.counter_m, height), height)
        radius = reach + b.roller_x_m - b.antenna_x_m + FIX_M + SWING_SHARE * r.counter_m
        return cmd.SetAlarm(north_m=round(place[0], 1), east_m=round(place[1], 1), radius_m=round(radius, 1))


@dataclass(frozen=True)
class Can:
    """What can be done now, as the rail shows it."""

    windlass: bool
    snubber: bool
    secure: bool
    signal: bool
    hail: bool

    @classmethod
    def now(cls, view: View, brief: Brief) -> "Can":
        """Return what can be done in this view."""
        h = view.handling
        out = view.readings.counter_m > 0.5
        return cls(
            windlass=not h.stopper and h.brake > 0.5,
            snubber=h.hooked or view.readings.counter_m > 3.0,
            secure=out and abs(view.readings.sog_mps) < mps(1.0),
            signal=out,
            hail=bool(view.others),
        )
