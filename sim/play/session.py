"""One lesson being sailed: exercise, recording, hands and clock, without a window."""

import time
from collections import deque
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from sim.base.units import TICK_HZ, ticks
from sim.core import events as ev
from sim.core import state as st
from sim.core.orders import commands as cmd
from sim.helm.aids import Aids, Granted
from sim.helm.apart import Forward, aids_at_the_helm, at_the_bow, at_the_helm
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout, View
from sim.marking.run import Run
from sim.model.params import Mark
from sim.play import nearby, transit, watchful
from sim.play.attempt import Attempt, Marked
from sim.play.hands import Act, Hands
from sim.play.logbook import Logbook
from sim.play.pacer import CALM, Pacer
from sim.play.transit import Leading
from sim.record import replay
from sim.scenario.library import Lesson
from sim.scenario.read.brief import Brief

DEPARTURE = "departure"  # why the helm is taken when the stay is over
KEEP_EVERY = ticks(5.0)
KEPT = 36  # snapshots, three minutes
BACK_S = 30.0
GEAR = (cmd.Windlass, cmd.Brake, cmd.Stopper, cmd.Snubber, cmd.PresetLength)
NEWS_S = 8.0
FRAME_BUDGET_S = 0.012  # of ticks in one frame; a slower machine runs fast time less fast


class Session:
    """A lesson under way.

    ``shown`` says whether somebody else sails it, to be watched.

    Attributes:
        brief: as read before.
        hands: the person's.
        pacer: the clock.
        log: what the screen remembers.
        view: what the trainee can know now.
        aids: what the lesson grants beyond it.
        assisted: whether a part of it was sailed again.
        slowed: why fast time ended or was refused, a key of the word list; empty where it was not.
        roused: why the helm was taken again: "alarm", an order of the watch, "self", or "departure" when the stay is
            over; empty where it was not.
        roused_s: when.
        night: whether the stay is being run on.
        apart: what the one forward knows, while two are aboard; else None, and view and aids are those of one alone.
        whole: what both together can know.
    """

    shown = False

    def __init__(
        self, lesson: Lesson, seed: int, folder: Path, boat: str | None = None, started_s: float | None = None
    ) -> None:
        """Begin; the recording opens at once in ``folder``."""
        lesson = lesson.on(seed)
        self.lesson, self.seed, self.folder = lesson, seed, folder
        self.brief: Brief = lesson.brief if boat is None else lesson.brief_in(boat)
        self.exercise = Exercise(lesson, seed, boat)
        self.attempt = Attempt(self.exercise, folder, started_s)
        self.lookout = Lookout(self.exercise)
        self.granted = Granted(self.exercise, lesson.aids)
        self.hands = Hands(self.brief, len(self.brief.chart.marks))
        self.pacer = Pacer()
        self.log = Logbook()
        self.apart: Forward | None = None
        self.leading: Leading | None = None
        self.view: View = self.lookout.view()
        self.whole: View = self.view
        self.aids: Aids = self.granted.now()
        self.assisted = False
        self.slowed, self._slowed_s = "", 0.0
        self._saved: deque[st.State] = deque([st.snapshot(self.exercise.world.state)], maxlen=KEPT)
        self._finished: Marked | None = None
        self.roused, self.roused_s = "", 0.0
        self._ended = ""

    @property
    def over(self) -> bool:
        """Whether there is nothing more to sail, but for a night to be slept."""
        if self.departing:
            return self.exercise.departed
        return self.exercise.over and not self.roused

    @property
    def departing(self) -> bool:
        """Whether the stay is over and the helm was taken to weigh and leave."""
        return self.roused == DEPARTURE

    @property
    def night(self) -> bool:
        """Whether the stay is being run on."""
        return bool(self._ended)

    def turn_in(self) -> None:
        """Leave the helm for the night: whatever is done from now on belongs to it."""
        self._ended = self.why()
        self.roused = ""
        self.hands.lay_down()

    def rouse(self, why: str) -> None:
        """Take the helm again in the middle of the night, at the rate of life."""
        self.roused, self.roused_s = why, self.exercise.t_s
        self.pacer = Pacer()
        self.hands.order(cmd.EndWatch())
        self.log.wake_m = []
        self.look()

    def press(self, act: Act) -> None:
        """A key of the helm's goes down."""
        view = self.lookout.view()
        self.hands.press(act, view if self.apart is None else at_the_helm(view), self.exercise.tick)

    def press_forward(self, act: Act) -> None:
        """A key of the foredeck's goes down."""
        self.hands.press(act, self.lookout.view(), self.exercise.tick)

    def part(self, two: bool) -> None:
        """Let two people share what is known, or one have all of it again; the record keeps it."""
        if two == (self.apart is not None):
            return
        self.hands.let_go_of_all()
        view = self.lookout.view()
        plans = [e.rode_m for e in view.seen if isinstance(e, ev.PlanMade)]
        self.hands.planned_m = plans[-1] if two and plans else 0.0
        self.apart = at_the_bow(self.exercise, view) if two else None
        self.hands.order(cmd.Note(actor="desk", text="two aboard" if two else "one aboard"))
        self.log.rewind(at_the_helm(view) if two else view)
        self.look()

    def rate(self, steps: int) -> None:
        """Let time run slower or faster, and note it in the record; not fast while something threatens."""
        self.slowed = ""
        rate = self.pacer.change(steps)
        if rate > CALM:
            why = watchful.threat(self.lookout.view(), self.brief)
            if why is not None:
                self.slowed, self._slowed_s = why, self.exercise.t_s
                self.pacer.slow_to(CALM)
                rate = self.pacer.rate
        self.hands.order(cmd.TimeRate(rate=rate))

    def advance(self, wall_s: float) -> int:
        """Let a frame's worth of time pass; return the ticks passed.

        Fast time ends by itself when something happens or threatens, and where this machine cannot keep up.
        """
        due = self.pacer.ticks(wall_s)
        until = time.perf_counter() + FRAME_BUDGET_S
        began = self.exercise.tick
        while (passed := self.exercise.tick - began) < due:
            fast = self.pacer.rate > 1.0
            if self.over or (fast and time.perf_counter() > until):
                break
            called = len(self.exercise.calls)
            happened = self.tick(due - passed)
            if fast and self._slow_down(happened, called):
                break
        return self.exercise.tick - began

    def _slow_down(self, happened: list[ev.Event], called: int) -> bool:
        """Drop back to the rate of life where that is called for; return whether it was."""
        calls = self.exercise.calls[called:]
        why = ""
        if watchful.alarming(happened, calls):
            why = "alarm"
        elif self.pacer.rate > CALM:
            why = "news" if watchful.news(happened, calls) else ""
            if not why and self.exercise.tick % TICK_HZ == 0:
                why = watchful.threat(self.lookout.view(), self.brief) or ""
        if not why or not self.pacer.slow_to(1.0):
            return False
        self.slowed, self._slowed_s = why, self.exercise.t_s
        self.hands.order(cmd.TimeRate(rate=1.0))
        return True

    def tick(self, most: int = 1) -> list[ev.Event]:
        """Let a tick pass with what the hands order in it, or up to ``most`` while they rest; return what happened."""
        orders = [self._signed(order) for order in self.hands.orders(self.exercise.tick)]
        happened = self.attempt.step(orders, 1 if self.hands.at_work else most)
        if self.roused and not self.departing and any(isinstance(e, ev.Secured) for e in happened):
            self.roused = ""
        if self.exercise.tick % KEEP_EVERY == 0:
            self._saved.append(st.snapshot(self.exercise.world.state))
        return happened

    def _signed(self, order: cmd.Command) -> cmd.Command:
        """Return an order as the record shall have it: while two are aboard the gear is the foredeck's."""
        forward = self.apart is not None and isinstance(order, GEAR) and order.actor == "trainee"
        return replace(order, actor="foredeck") if forward else order

    def take_up(self, run: Run, tick: int) -> None:
        """Sail an earlier attempt's orders again up to a tick of it, and stand there: what follows is assisted.

        Args:
            run: the earlier attempt, at the same lesson, day and boat; this session is at its beginning.
            tick: where to stand.
        """
        replay.sail_to(self.attempt, nearby.given(run.orders), tick)
        self.assisted = True
        self.pacer.paused = True
        self._saved = deque([st.snapshot(self.exercise.world.state)], maxlen=KEPT)
        self.look()
        self.log.rewind(self.view)
        self.hands.resume(self.view)
        self.hands.order(nearby.taken_up(run, tick))

    def step_back(self, seconds: float = BACK_S) -> None:
        """Go back by so many seconds, or to the first moment kept; time stands there, and the result says assisted."""
        wanted = self.exercise.tick - ticks(seconds)
        while len(self._saved) > 1 and self._saved[-1].tick > max(wanted, 0):
            self._saved.pop()
        left_s = self.exercise.t_s
        self.attempt.rewind(self._saved[-1])
        self.assisted = True
        self.pacer.slow_to(1.0)
        self.pacer.paused = True
        self.look()
        self.log.rewind(self.view)
        self.hands.resume(self.lookout.view())
        self.hands.order(cmd.StepBack(seconds=round(left_s - self.exercise.t_s, 2)))

    def look(self) -> None:
        """See what there is to see now."""
        self.view, self.aids = self.lookout.view(), self.granted.now()
        self.whole = self.view
        if self.apart is not None:
            self.apart = at_the_bow(self.exercise, self.view)
            self.view, self.aids = at_the_helm(self.view), aids_at_the_helm(self.aids)
        self.log.note(self.view, self.aids.own)
        self.leading = transit.look(self.pair, self.view, self.aids.own, self.leading)

    @property
    def pair(self) -> list[Mark]:
        """The marks noted for a transit, up to two."""
        return [self.brief.chart.marks[number - 1] for number in self.hands.pair]

    @property
    def why_slow(self) -> str:
        """Return why fast time ended or was refused, while that is news: a key of the word list, or nothing."""
        return self.slowed if self.exercise.t_s - self._slowed_s < NEWS_S else ""

    def glance(self) -> None:
        """See where she herself is now; the rest stays as last looked at."""
        self.aids = self.granted.moved(self.aids)

    def finish(self, why: str, rated: Mapping[str, int] | None = None) -> Marked:
        """End the attempt, once, and return it marked, with its night as far as that was run on.

        Args:
            why: why it ended.
            rated: what the person thought of each phase, 0 to 5.
        """
        if self._finished is None:
            while self.exercise.tick < TICK_HZ:  # left at once: the first second is the least that can be marked
                self.tick()
            self._finished = self.attempt.finish(why, rated, sleep=False)
        return self._finished

    def why(self) -> str:
        """Return why the attempt ends where it stands now, or ended before the night."""
        return self._ended or self.exercise.why
