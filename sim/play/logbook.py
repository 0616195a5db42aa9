"""What the screen remembers from view to view: the trend of her way, her wake, the last word on things."""

import math
from dataclasses import dataclass, field

from sim.core import events as ev
from sim.helm.aids import Pose
from sim.helm.crew import Call
from sim.helm.view import View

TREND_S = 60
WAKE_EVERY_M = 1.4
WAKE_KEPT = 160
MESSAGE_S = 6.0
FEELS = {"dragging": "trembling", "holding": "steady", "brought_up": "steady", "surging": "trembling"}


@dataclass
class Logbook:
    """Memory of one session, fed with views.

    Attributes:
        trend_mps: speed along her heading, one a second, the last minute.
        wake_m: where she has been, north and east.
        feel: how the chain last felt, a key of the word list, empty before anything was said.
        stay: how it last stood.
        share: by boat, what a range has taught the eye: measured over judged distance.
    """

    trend_mps: list[float] = field(default_factory=list)
    wake_m: list[tuple[float, float]] = field(default_factory=list)
    feel: str = ""
    stay: str = ""
    call: Call | None = None
    share: dict[int, float] = field(default_factory=dict)
    _heard: int = 0
    _saw: int = 0
    _trend_s: float = -1.0

    def note(self, view: View, own: Pose) -> None:
        """Take in a view."""
        t_s = view.readings.t_s
        if t_s >= self._trend_s + 1.0:
            self._trend_s = t_s
            self.trend_mps = [*self.trend_mps[-TREND_S + 1 :], view.readings.along_mps]
        before = self.wake_m[-1] if self.wake_m else (math.inf, math.inf)
        if math.hypot(own.north_m - before[0], own.east_m - before[1]) >= WAKE_EVERY_M:
            self.wake_m = [*self.wake_m[-WAKE_KEPT + 1 :], (own.north_m, own.east_m)]
        for call in view.calls[self._heard :]:
            self.call = call
            self.feel = str(call.values.get("feel", FEELS.get(call.key, self.feel)))
            self.stay = str(call.values.get("stay", self.stay))
        self._heard = len(view.calls)
        for event in view.seen[self._saw :]:
            if isinstance(event, ev.RangeTaken):
                for o in view.others:
                    if o.number == event.target:
                        self.share[o.number] = event.range_m / max(o.judged_m, 1.0)
        self._saw = len(view.seen)
        if view.arm is None:
            self.feel = self.stay = ""

    def rewind(self, view: View) -> None:
        """Forget what has not happened yet at the time of ``view``."""
        gone = max(round(self._trend_s - view.readings.t_s), 0)
        self._trend_s = view.readings.t_s
        self.trend_mps = self.trend_mps[: max(len(self.trend_mps) - gone, 0)]
        self.wake_m = []
        self._heard, self._saw = len(view.calls), len(view.seen)
        self.call = view.calls[-1] if view.calls else None
        said = self.call.values if self.call is not None else {}
        self.feel, self.stay = str(said.get("feel", "")), str(said.get("stay", ""))


def last(view: View, kind: type[ev.Event]) -> ev.Event | None:
    """Return the last event of a kind that was seen, None where there was none."""
    for event in reversed(view.seen):
        if isinstance(event, kind):
            return event
    return None


def fresh(view: View) -> ev.Event | None:
    """Return the last event, while it is news."""
    if not view.seen:
        return None
    event = view.seen[-1]
    return event if view.readings.t_s - event.tick / 60.0 < MESSAGE_S else None
