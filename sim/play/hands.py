"""What a person's hands do: keys held and pressed become commands, tick by tick, never frame by frame."""

import math
from dataclasses import dataclass, field
from enum import Enum

from sim.base.units import mps, rad, ticks
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.helm.view import View
from sim.model.tackle.catenary import reach_on_bed_m
from sim.scenario.read.brief import Brief

HELM_EVERY = 6  # ticks between orders while the wheel is being turned
NUDGE_RAD = rad(2.5)  # a tap of the wheel; held, 25 degrees a second
MOST_HELM_RAD = rad(35.0)
LEVER_STEP = 0.1
LEVER_EVERY = ticks(0.18)
LEVER_WAIT = ticks(0.4)  # before a held lever key repeats
LOOK_STEP_RAD = rad(15.0)
LEAST_CIRCLE_M = 5.0
GRIP_STEP = 0.1  # of the brake, from free to hard on
PRESET_STEP_M = 5.0
SOUND_AT_M = 30.0  # soundings are taken so far round her where she has no swing yet
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
    RANGE_MAST = "range_mast"
    HAIL = "hail"
    ASK = "ask"
    TRANSIT = "transit"
    LEADING = "transit_marks"
    ALARM = "alarm"
    SIGNAL = "signal"
    LOOK_LEFT = "look_left"
    LOOK_RIGHT = "look_right"
    THRUST_PORT = "thrust_port"
    THRUST_STBD = "thrust_stbd"
    BRAKE_EASE = "brake_ease"
    BRAKE_HARDEN = "brake_harden"
    PRESET_LESS = "preset_less"
    PRESET_MORE = "stop_at_more"
    SOUND = "sound"
    DIVE = "dive"
    NEXT_RODE = "next_rode"
    ASHORE = "ashore"
    NEXT_TARGET = "next_target"
    BOOKMARK = "bookmark"


# act: (shaft, sense); shaft -1 is all of them
LEVERS = {
    Act.AHEAD: (-1, 1), Act.ASTERN: (-1, -1), Act.PORT_AHEAD: (0, 1), Act.PORT_ASTERN: (0, -1),
    Act.STBD_AHEAD: (1, 1), Act.STBD_ASTERN: (1, -1),
}  # fmt: skip
WHEEL = {Act.PORT: -1, Act.STARBOARD: 1}
MOTORS = {Act.VEER: 1, Act.HEAVE: -1}
THRUSTERS = {Act.THRUST_PORT: -1.0, Act.THRUST_STBD: 1.0}
GRIPS = {Act.BRAKE_EASE: -1, Act.BRAKE_HARDEN: 1}
PRESETS = {Act.PRESET_LESS: -1, Act.PRESET_MORE: 1}


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
        target: what ranges and hails are for: a boat from 1, a mark from -1, 0 none yet.
        chosen: whether it was chosen by hand; else each range goes on to the next.
        pair: the marks taken for a transit, by number, up to two.
        rode: which rode the keys of the foredeck work, the main one first.
        wider_m: how much wider than worked out an alarm circle shall be set.
        planned_m: rode planned, which the circle is for where the count is not known at the helm.
    """

    brief: Brief
    marks: int
    look_rad: float = 0.5 * math.pi
    target: int = 0
    chosen: bool = False
    pair: tuple[int, ...] = ()
    rode: int = 0
    wider_m: float = 0.0
    planned_m: float = 0.0
    helm_rad: float = 0.0
    levers: list[float] = field(default_factory=list)
    _grip: float = 1.0
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
        if act in WHEEL or act in LEVERS or act in MOTORS or act in THRUSTERS or act in GRIPS:
            self._held[act] = _Held(tick)
        if act in WHEEL:
            self._steer(self.helm_rad + WHEEL[act] * NUDGE_RAD)
        elif act in LEVERS:
            self._push(act)
        elif act in MOTORS:
            self.order(cmd.Windlass(motion=MOTORS[act], rode=self.rode))
        elif act in THRUSTERS:
            self.order(cmd.Thruster(push=THRUSTERS[act]))
        elif act in GRIPS:
            self._grip = view.rodes[self.rode].brake
            self._brake(act)
        else:
            self._once(act, view)

    def release(self, act: Act) -> None:
        """A key comes up."""
        if self._held.pop(act, None) is None:
            return
        if act in MOTORS:
            self.order(cmd.Windlass(motion=0, rode=self.rode))
        elif act in THRUSTERS:
            self.order(cmd.Thruster(push=0.0))

    @property
    def at_work(self) -> bool:
        """Whether a key is held, so that each tick may bring an order."""
        return bool(self._held)

    def let_go_of_all(self) -> None:
        """Let every key come up, as when the window loses the keyboard."""
        for act in list(self._held):
            self.release(act)

    def resume(self, view: View) -> None:
        """Take the boat over as she is: wheel and levers where they stand, nothing held, nothing due."""
        self.lay_down()
        self.levers = list(view.readings.levers)
        self.helm_rad = round(view.readings.rudder_rad, 4)
        self.order(cmd.Helm(angle_rad=self.helm_rad))
        for rode, handling in enumerate(view.rodes):
            if handling.motion != 0:
                self.order(cmd.Windlass(motion=0, rode=rode))

    def lay_down(self) -> None:
        """Leave the helm: nothing held, nothing due, wheel and levers in the middle, where the watch leaves them."""
        self._held.clear()
        self._due.clear()
        self.levers = [0.0] * len(self.levers)
        self.helm_rad = 0.0

    def orders(self, tick: int) -> list[Command]:
        """Return the commands of a tick."""
        for act, held in self._held.items():
            age = tick - held.since
            if act in LEVERS and age >= LEVER_WAIT and age % LEVER_EVERY == 0 and not held.stopped:
                self._push(act)
            elif act in GRIPS and age >= LEVER_WAIT and age % LEVER_EVERY == 0:
                self._brake(act)
            elif act in WHEEL and age > 0 and age % HELM_EVERY == 0:
                self._steer(self.helm_rad + WHEEL[act] * NUDGE_RAD)
        due, self._due = self._due, []
        return due

    def steer_to(self, angle_rad: float) -> None:
        """Put the wheel where it shall be."""
        self._steer(angle_rad)

    def _steer(self, angle_rad: float) -> None:
        angle = round(max(-MOST_HELM_RAD, min(MOST_HELM_RAD, angle_rad)), 4)
        if angle != self.helm_rad:
            self.helm_rad = angle
            self.order(cmd.Helm(angle_rad=angle))

    def _brake(self, act: Act) -> None:
        grip = round(min(max(self._grip + GRIPS[act] * GRIP_STEP, 0.0), 1.0), 1)
        if grip != self._grip:
            self._grip = grip
            self.order(cmd.Brake(grip=grip, rode=self.rode))

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
        hand = view.rodes[self.rode]
        if act is Act.MIDSHIPS:
            self._steer(0.0)
        elif act is Act.NEUTRAL:
            self.levers = [0.0] * len(self.levers)
            self.order(cmd.Engine(lever=0.0))
        elif act is Act.BRAKE:
            self.order(cmd.Brake(grip=0.0 if hand.brake > 0.5 else 1.0, rode=self.rode))
        elif act is Act.STOPPER:
            self.order(cmd.Stopper(on=not hand.stopper, rode=self.rode))
        elif act is Act.SNUBBER:
            self.order(cmd.Snubber(on=not hand.hooked, rode=self.rode))
        elif act in PRESETS:
            wanted = max(hand.stop_at_m + PRESETS[act] * PRESET_STEP_M, 0.0)
            self.order(cmd.PresetLength(length_m=min(wanted, self.brief.boat.rode_m), rode=self.rode))
        elif act is Act.NEXT_RODE:
            self.rode = (self.rode + 1) % len(view.rodes)
        elif act is Act.BOOKMARK:
            self.order(cmd.Bookmark())
        elif act is Act.MARK:
            self.order(cmd.MarkAnchor(rode=self.rode))
        elif act is Act.ASK:
            self.order(cmd.AskCrew())
        elif act is Act.SIGNAL:
            dark = view.darkness > 0.0  # a light from sunset to sunrise: COLREG 20 (b)
            self.order(cmd.Lights(anchor_light=dark and not hand.light, ball=not dark and not hand.ball))
        elif act in (Act.LOOK_LEFT, Act.LOOK_RIGHT):
            turn = LOOK_STEP_RAD if act is Act.LOOK_RIGHT else -LOOK_STEP_RAD
            self.look_rad = (self.look_rad + turn) % (2.0 * math.pi)
        else:
            self._look_about(act, view)

    def _look_about(self, act: Act, view: View) -> None:
        if act in (Act.RANGE, Act.RANGE_MAST):
            if not self.chosen:
                self._next(view)
            if self.target:
                self.order(cmd.TakeRange(target=self.target, means="laser" if act is Act.RANGE else "mast"))
        elif act is Act.NEXT_TARGET:
            self._next(view)
            self.chosen = self.target != 0
        elif act is Act.SOUND:
            out = view.readings.counter_m
            self.order(cmd.SoundRound(radius_m=float(round(min(max(out, SOUND_AT_M), 200.0)))))
        elif act is Act.DIVE:
            self.order(cmd.Dive(rode=self.rode))
        elif act is Act.ASHORE:
            self.order(cmd.LineToShore(mark=-self.target if self.target < 0 else self._nearest(view)))
        elif act is Act.HAIL:
            first = view.others[0].number if view.others else 1
            self.order(cmd.Hail(target=max(self.target, first)))
        elif act is Act.TRANSIT:
            self.pair = ()
            bearing = (view.readings.heading_rad + self.look_rad) % (2.0 * math.pi)
            self.order(cmd.TakeTransit(bearing_rad=round(bearing, 4), on=view.transit_open_m is None))
        elif act is Act.LEADING:
            self._lead(view)
        elif act is Act.ALARM:
            self.order(self._alarm(view))

    def _lead(self, view: View) -> None:
        """Note the mark chosen for a transit; the second makes it, and one more press drops it."""
        if len(self.pair) == 2:
            self.pair = ()
            self.order(cmd.TakeTransit(bearing_rad=0.0, on=False))
        elif self.target >= 0:
            if self.marks:
                self.choose(-1)
        elif -self.target not in self.pair:
            self.pair = (*self.pair, -self.target)
            if len(self.pair) == 2:
                mark, r = self.brief.chart.marks[self.pair[0] - 1], view.readings
                bearing = math.atan2(mark.east_m - r.east_m, mark.north_m - r.north_m) % (2.0 * math.pi)
                self.order(cmd.TakeTransit(bearing_rad=round(bearing, 4)))

    def _nearest(self, view: View) -> int:
        """Return the number of the mark nearest to her by the receiver, 1 where there is none."""
        r = view.readings
        off = [math.hypot(m.north_m - r.north_m, m.east_m - r.east_m) for m in self.brief.chart.marks]
        return 1 + off.index(min(off)) if off else 1

    def _next(self, view: View) -> None:
        things = [*(o.number for o in view.others), *range(-1, -self.marks - 1, -1)]
        if things:
            self.target = things[(things.index(self.target) + 1) % len(things) if self.target in things else 0]

    def choose(self, target: int) -> None:
        """Take a boat or a mark as what ranges and hails are for."""
        self.target, self.chosen = target, True

    def circle(self, view: View) -> tuple[float, float, float, bool]:
        """Return the alarm circle as it is, or as it would be placed: north, east, radius [m], and whether it is on.

        It is laid round the mark; its radius is the chain's reach, the way from antenna to bow, and allowances for the
        fix and for chain that sweeps.
        """
        rings = [e for e in view.seen if isinstance(e, ev.AlarmSet)]
        if rings and rings[-1].on:
            return rings[-1].north_m, rings[-1].east_m, rings[-1].radius_m, True
        b, r = self.brief.boat, view.readings
        marked = [e for e in view.seen if isinstance(e, ev.AnchorMarked)]
        place = (marked[-1].north_m, marked[-1].east_m) if marked else (r.north_m, r.east_m)
        height = r.depth_m + b.roller_height_m
        out = max(r.counter_m, self.planned_m)
        reach = reach_on_bed_m(max(out, height), height)
        radius = reach + b.roller_x_m - b.antenna_x_m + FIX_M + SWING_SHARE * out + self.wider_m
        return round(place[0], 1), round(place[1], 1), round(max(radius, LEAST_CIRCLE_M), 1), False

    def _alarm(self, view: View) -> Command:
        """Return the alarm round the mark; or off, where one is set."""
        north, east, radius, on = self.circle(view)
        return cmd.SetAlarm(north_m=north, east_m=east, radius_m=radius, on=not on)

    def size_circle(self, view: View, metres: float) -> None:
        """Make the alarm circle larger or smaller; before it is set, that is how it will be set."""
        north, east, radius, on = self.circle(view)
        if on:
            wanted = max(radius + metres, LEAST_CIRCLE_M)
            self.order(cmd.SetAlarm(north_m=north, east_m=east, radius_m=round(wanted, 1)))
        else:
            self.wider_m += metres

    def move_circle(self, view: View, north_m: float, east_m: float) -> None:
        """Move the alarm circle's middle."""
        north, east, radius, on = self.circle(view)
        if on:
            place = round(north + north_m, 1), round(east + east_m, 1)
            self.order(cmd.SetAlarm(north_m=place[0], east_m=place[1], radius_m=radius))


@dataclass(frozen=True)
class Can:
    """What can be done now, as the rail shows it."""

    windlass: bool
    snubber: bool
    secure: bool
    signal: bool
    hail: bool
    leave: bool

    @classmethod
    def now(cls, view: View, rode: int = 0) -> "Can":
        """Return what can be done in this view with one of her rodes."""
        h = view.rodes[rode]
        lost = {e.rode for e in view.seen if isinstance(e, ev.ChainOut) and e.lost}  # the counter stands where it was
        out = (0 not in lost and view.readings.counter_m > 0.5) or (rode not in lost and h.counter_m > 0.5)
        return cls(
            windlass=not h.stopper and h.brake > 0.5,
            snubber=h.hooked or (rode not in lost and h.counter_m > 3.0),
            secure=out and abs(view.readings.sog_mps) < mps(1.0),
            signal=out,
            hail=bool(view.others),
            leave=not out,
        )
