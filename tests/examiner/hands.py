"""The examiner's hands: they sail a case by a trainee's own orders, from what a trainee sees.

The ordinary parts are carried out as the demonstrator carries them out; a case says what is done otherwise.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from examiner.cases import Case, Step
from examiner.faults import Faults
from examiner.ship import (
    ACTOR,
    SLEEPS,
    TICK_HZ,
    Attempt,
    Brief,
    Exercise,
    Lookout,
    Other,
    Spot,
    Steps,
    Track,
    TrackRecorder,
    cmd,
    load_lesson,
    mps,
    night,
    planning,
    reach_on_bed_m,
    to_world,
)  # fmt: skip

DECIDES_TICKS = TICK_HZ // 5


class Hands(Faults):
    """Carries out the steps of a case, one after another."""

    def __init__(self, brief: Brief, steps: tuple[Step, ...]) -> None:
        """Take the helm with a list of steps to do."""
        self.todo = steps
        super().__init__(brief)

    def manoeuvre(self) -> Steps:
        """Do the steps."""
        for name, given in self.todo:
            arguments = dict(given)
            unsaid = arguments.pop("unsaid", ())  # orders of the step that are not given
            for orders in getattr(self, f"do_{name}")(**arguments):
                yield [order for order in orders if cmd.to_dict(order)["do"] not in unsaid]

    def answer(self, steps: tuple[Step, ...]) -> None:
        """Come on deck in the night, called, to do some steps."""
        self.todo = steps
        self._steps, self._done = self.manoeuvre(), False

    def do_look(self, ask: bool = True, seconds: float = 12.0, again: int = 0) -> Steps:
        """Try astern, range and ask everybody, and feel the wind for a while; the eye alone where nobody is asked."""
        yield from self._try_out()
        for _ in range(1 + again):
            asked: dict[int, Other] = {}
            for number in [o.number for o in sorted(self.see.others, key=lambda o: o.judged_m)] if ask else []:
                asked[number] = yield from self._ask_about(number)
                self.others = tuple(asked[k] for k in sorted(asked))
        until = self.t_s + seconds
        while self.t_s < until:
            yield self._hold_off()
        if not ask:
            self.others = self._by_the_eye()

    def do_sound(self, radius_m: float) -> Steps:
        """Sound round where she is, and wait for it."""
        yield [cmd.SoundRound(actor=ACTOR, radius_m=radius_m)]
        until = self.t_s + 125.0
        while self.t_s < until:
            yield self._hold_off()

    def do_plan(
        self,
        at: tuple[float, float] | None = None,
        beside: dict[str, float] | None = None,
        scope_now: float | None = None,
        rode_m: float | None = None,
        reading: str | None = None,
        abort: str | None = None,
        enter: bool = True,
        limits: bool = True,
    ) -> Steps:
        """Choose a spot as the demonstrator does, or take the one given; enter it with the reasons."""
        lie, tide_m = self.lie(), self.brief.tide.now_m
        spot = self._choose(lie, tide_m)
        place = self._beside(**beside) if beside else at
        if place is not None:
            depth = max(self.chart.at(*place) + tide_m, 0.5)
            rode = float(planning.rode_m(self.brief, depth))
            spot = Spot(place[0], place[1], depth, rode, lie, 0.0)
        if scope_now is not None:
            rode_m = scope_now * (spot.depth_m + self.brief.boat.roller_height_m)
        if rode_m is not None:
            spot = replace(spot, rode_m=float(round(rode_m)))
        self.spot = planning.weigh(self.brief, spot, self.others, self.chart)
        plan = self._plan_command(list(self.others))
        plan = replace(plan, reading=plan.reading if reading is None else reading)
        plan = replace(plan, abort=("" if not limits else plan.abort) if abort is None else abort)
        yield [plan] if enter else []

    def _beside(self, boat: float, ahead_m: float, right_m: float) -> tuple[float, float]:
        """Return a place by one of the others, as the eye and the range have her."""
        other = self.others[int(boat) - 1]
        dn, de = to_world(ahead_m, right_m, other.heading_rad)
        return other.north_m + dn, other.east_m + de

    def do_approach(self, stop: bool = True, aside_m: float = 0.0, tries: int = 3) -> Steps:
        """Come on to the line and up it, and stop over the ground; ``aside_m`` astray of what was planned."""
        if aside_m:
            dn, de = to_world(0.0, aside_m, self.plan.lie_rad)
            self.spot = replace(
                self.plan, drop_north_m=self.plan.drop_north_m + dn, drop_east_m=self.plan.drop_east_m + de
            )
        for _ in range(tries):
            yield from self._run_in()
            if not stop:
                return
            if not self._thrown_off():
                yield from self._take_way_off()
                if not self._bow_gone():
                    return
            yield [cmd.Abort(actor=ACTOR, reason="bow off before the drop")]

    def do_let_go(self) -> Steps:
        """Let go on the brake to the bottom, and mark it."""
        yield from self._let_go()

    def do_lay(self, metres: float | None = None) -> Steps:
        """Pay out in step with her, as much as was planned or so many metres."""
        if metres is not None:
            self.spot = replace(self.plan, rode_m=metres)
        self._grip, self._told_grip = 0.0, 1.0  # the brake is hard on again after an earlier try
        yield from self._lay()

    def do_bring_up(self) -> Steps:
        """Hold on until she is brought up."""
        yield from self._bring_up()

    def do_hold_on(self, seconds: float = 40.0) -> Steps:
        """Put the stopper on and let the wind straighten the chain, the engine out of gear."""
        yield [*self.pilot.levers(0.0), *self.pilot.helm(0.0), cmd.Stopper(actor=ACTOR, on=True)]
        yield from self.wait(seconds)

    def do_soak(self, minutes: float | None = None) -> Steps:
        """Leave the anchor alone in soft ground, or so long wherever it is."""
        if minutes is None:
            yield from self._soak()
        else:
            yield from self._watch(60.0 * minutes)

    def do_set(self, hold_s: float | None = None) -> Steps:
        """Build the load in steps, each proved."""
        if hold_s is not None:
            self.hold_s = self.last_hold_s = hold_s
        yield from self._set_by_steps()

    def do_hook_on(self, nylon_m: float | None = None, hook: bool = True) -> Steps:
        """Hook on, veer until the nylon has the load, stopper as back-up; the stopper alone where there is no hook."""
        if not hook:
            yield [cmd.Stopper(actor=ACTOR, on=True)]
            return
        if nylon_m is not None:
            self.brief = replace(self.brief, boat=replace(self.brief.boat, snubber_m=nylon_m))
        yield from self._take_the_load()

    def do_veer(self, metres: float) -> Steps:
        """Give so many metres more, hold on and let it straighten."""
        yield [*self.pilot.levers(0.0), cmd.Stopper(actor=ACTOR, on=False), cmd.Windlass(actor=ACTOR, motion=1)]
        target, began = min(self.out_m + metres, self.brief.boat.rode_m - 2.0), self.t_s
        while self.out_m < target and self.t_s < began + 120.0:
            yield []
        yield [cmd.Windlass(actor=ACTOR, motion=0), cmd.Stopper(actor=ACTOR, on=True)]
        yield from self.wait(40.0)

    def do_alarm(self, centre: str = "anchor", radius_m: float | None = None) -> Steps:
        """Place the alarm round the anchor's mark, or round the boat herself."""
        boat = self.brief.boat
        if radius_m is None:
            reach_m = reach_on_bed_m(self.out_m, self.depth_m + boat.roller_height_m)
            radius_m = reach_m + boat.roller_x_m - boat.antenna_x_m + 6.0 + 0.1 * self.out_m
        r = self.see.readings
        north_m, east_m = self.mark_m if centre == "anchor" else (r.north_m, r.east_m)
        yield [cmd.SetAlarm(actor=ACTOR, north_m=north_m, east_m=east_m, radius_m=radius_m)]

    def do_signal(self) -> Steps:
        """Show the ball by day, the light by night."""
        dark = self.see.darkness > 0.0
        yield [cmd.Lights(actor=ACTOR, anchor_light=dark, ball=not dark)]

    def do_orders(self, drag_m: float = 5.0, wind_kn: float = 0.0) -> Steps:
        """Say what the watch is to be called for."""
        yield [cmd.WatchOrders(actor=ACTOR, drag_m=drag_m, wind_mps=mps(wind_kn))]

    def do_watch(self, seconds: float = 150.0) -> Steps:
        """Watch her swing, and the others."""
        yield from self._watch(seconds)

    def do_report(self) -> Steps:
        """Report her secured."""
        yield [cmd.Secure(actor=ACTOR)]

    def do_abort(self, reason: str) -> Steps:
        """Call it off before anything is down."""
        yield [cmd.Abort(actor=ACTOR, reason=reason)]

    def do_lift(self, reason: str, elsewhere: bool = False) -> Steps:
        """Call it off with the anchor down, and bring it home; another spot is chosen next time where that is said."""
        yield [cmd.Abort(actor=ACTOR, reason=reason)]
        yield from self._bring_home()
        if elsewhere:
            self.failed.append((self.plan.drop_north_m, self.plan.drop_east_m))

    def do_leave(self, reason: str) -> Steps:
        """Decide not to anchor here."""
        yield [cmd.Leave(actor=ACTOR, reason=reason)]


@dataclass(frozen=True)
class Sailed:
    """A run at its end, not marked: ``attempt.finish(why, sleep=False)`` would do that.

    Attributes:
        why: why the exercise ended.
        track: the raw run up to there.
        anchors: north and east of the anchor at every step of the night.
        gaps_m: least distance to another hull's middle at every step of the night.
        heard: what happened in the night.
    """

    case: Case
    attempt: Attempt
    why: str
    end_s: float
    track: Track
    anchors: tuple[tuple[float, float], ...] = ()
    gaps_m: tuple[float, ...] = ()
    heard: tuple[Any, ...] = ()


def sail(case: Case, folder: Path, *, sleep: bool = True) -> Sailed:
    """Sail a case to the end of its stay, and return it unmarked."""
    lesson = load_lesson(case.lesson).on(case.seed)
    exercise = Exercise(lesson, case.seed, case.boat)
    attempt = Attempt(exercise, folder)
    hands = Hands(lesson.brief if case.boat is None else lesson.brief_in(case.boat), case.steps)
    recorder = TrackRecorder()
    for happened in _steer(attempt, hands, lambda: exercise.over):
        recorder.sample(exercise.world)
        recorder.heard(happened)
    why, end_s = exercise.why, exercise.t_s
    track = recorder.finish(exercise.world)
    sailed = Sailed(case, attempt, why, end_s, track)
    if not sleep or why not in SLEEPS or not night.is_due(exercise):
        return sailed
    sailed = _night(sailed, hands)
    if exercise.departing:
        attempt.step([cmd.EndWatch()])
        hands.depart()
        went = [e for happened in _steer(attempt, hands, lambda: exercise.departed) for e in happened]
        sailed = replace(sailed, heard=(*sailed.heard, *went))
    return sailed


def _steer(attempt: Attempt, hands: Hands, over: Any) -> Iterator[Any]:
    """Let the hands decide and time pass until it is over; with nothing left to do, time alone passes."""
    exercise, lookout = attempt.exercise, Lookout(attempt.exercise)
    while not over():
        orders, rests = [], DECIDES_TICKS - exercise.tick % DECIDES_TICKS
        if hands.wants_view(exercise.t_s):
            orders = hands.decide(lookout.view())
        if not hands.done:
            rests = hands.rests_ticks(exercise.tick)
        yield attempt.step(orders, rests)


def _night(sailed: Sailed, hands: Hands) -> Sailed:
    """Sleep to the end of the stay; where called, do what the case says, if anything."""
    attempt, exercise = sailed.attempt, sailed.attempt.exercise
    anchors: list[tuple[float, float]] = []
    gaps: list[float] = []
    heard: list[Any] = []

    def step(commands: Any) -> Any:
        happened = attempt.step(commands)
        world = exercise.world
        anchors.append((float(world.state.nodes[0, 0, 0]), float(world.state.nodes[0, 0, 1])))
        own = world.state.boats[0]
        away = [math.hypot(row[0] - own[0], row[1] - own[1]) for row in world.state.boats[1:]]
        gaps.append(min(away, default=999.0))
        heard.extend(happened)
        return happened

    answers = 0
    while night.run_on(step, exercise) is not None:
        if not sailed.case.night or answers >= 3:
            continue
        answers += 1
        heard.extend(attempt.step([cmd.EndWatch()]))
        hands.answer(sailed.case.night)
        for happened in _steer(attempt, hands, lambda: hands.done or exercise.tick >= exercise.stay_tick):
            heard.extend(happened)
    return replace(sailed, anchors=tuple(anchors), gaps_m=tuple(gaps), heard=tuple(heard))
