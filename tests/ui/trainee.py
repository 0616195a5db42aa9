"""A trainee for tests: looks at what a trainee can know, and has nothing but keys.

She sails the first lesson plainly: up to the spot, way off, let go, lay, stop, set once, hook on, report.
"""

import math
from collections.abc import Callable, Iterator
from typing import Protocol

from sim.base.frames import bearing_rad, wrap_pi
from sim.base.units import deg, knots, rad
from sim.core import events as ev
from sim.helm.view import View
from sim.scenario.read.brief import Brief

SHORT_M = 17.0  # of the middle of the anchorage: time to take the way off
RODE_M = 27.0
PATIENCE = 4  # looks
NUDGE_DEG = 2.5  # what one tap moves the wheel


class Keys(Protocol):
    """A keyboard."""

    def tap(self, key: str, times: int = 1) -> None:
        """Press and release a key."""

    def down(self, key: str) -> None:
        """Press a key and keep it down."""

    def up(self, key: str) -> None:
        """Release a key."""


class Trainee:
    """Asked about once a simulated second with what there is to see; presses keys."""

    def __init__(self, brief: Brief, keys: Keys) -> None:
        """Read the brief, sit down at the keyboard."""
        self.brief, self.keys = brief, keys
        self.view: View
        self.wheel = 0
        self._turn = self._heading = 0.0
        self._then = -1.0
        self._steps = self._play()

    def look(self, view: View) -> bool:
        """See, think, press; return False when there is nothing more to do."""
        r = view.readings
        if self._then >= 0.0 and r.t_s > self._then:
            self._turn = wrap_pi(r.heading_rad - self._heading) / (r.t_s - self._then)
        self._heading, self._then = r.heading_rad, r.t_s
        self.view = view
        return next(self._steps, None) is not None

    def _steer(self, heading_rad: float) -> None:
        off = wrap_pi(heading_rad - self.view.readings.heading_rad)
        wanted = max(-8, min(8, round(deg(0.9 * off - 3.0 * self._turn) / NUDGE_DEG)))
        if wanted != self.wheel:
            self.keys.tap("d" if wanted > self.wheel else "a", abs(wanted - self.wheel))
            self.wheel = wanted

    def _wait(self, seconds: float) -> Iterator[bool]:
        until = self.view.readings.t_s + seconds
        while self.view.readings.t_s < until:
            yield True

    def _short_m(self) -> float:
        r, a = self.view.readings, self.brief.anchorage
        return math.hypot(a.north_m - r.north_m, a.east_m - r.east_m)

    def _heard(self, key: str) -> bool:
        return any(call.key == key for call in self.view.calls)

    def _until(self, key: str, done: Callable[[View], bool]) -> Iterator[bool]:
        """Tap a key, and again where nothing has come of it after a while."""
        patience = 0
        while not done(self.view):
            if patience % PATIENCE == 0:
                self.keys.tap(key)
            patience += 1
            yield True

    def _lever(self, tenths: int) -> Iterator[bool]:
        """Put the lever where it shall be."""
        patience = 0
        while (now := round(10.0 * self.view.readings.levers[0])) != tenths:
            if patience % PATIENCE == 0:
                if tenths == 0:
                    self.keys.tap("n")
                elif now * tenths < 0:
                    self.keys.tap("n")
                    self.keys.tap("w" if tenths > 0 else "s", abs(tenths))
                else:
                    self.keys.tap("w" if tenths > now else "s", abs(tenths - now))
            patience += 1
            yield True

    def _veer_to(self, counter_m: float) -> Iterator[bool]:
        """Hold the key of the windlass down until so much is out."""
        idle = 0
        self.keys.down("v")
        while self.view.readings.counter_m < counter_m:
            idle = idle + 1 if self.view.handling.motion == 0 else 0
            if idle > PATIENCE:
                self.keys.up("v")
                self.keys.down("v")
                idle = 0
            yield True
        self.keys.up("v")

    def _play(self) -> Iterator[bool]:
        yield from self._approach()
        yield from self._drop()
        yield from self._lay()
        yield from self._set()
        yield from self._secure()

    def _approach(self) -> Iterator[bool]:
        yield from self._lever(2)
        while self._short_m() > SHORT_M:
            r, a = self.view.readings, self.brief.anchorage
            self._steer(bearing_rad(a.north_m - r.north_m, a.east_m - r.east_m))
            yield True
        yield from self._lever(-3)
        while knots(self.view.readings.along_mps) > 0.35:  # the display lags: she is slower than it says
            self._steer(rad(262.0))
            yield True
        yield from self._lever(0)
        self.keys.tap("x")

    def _drop(self) -> Iterator[bool]:
        yield from self._until("b", lambda view: view.handling.brake <= 0.5)
        while not self._heard("on_the_bottom"):
            yield True
        yield from self._until("b", lambda view: view.handling.brake > 0.5)
        yield from self._until("m", lambda view: view.handling.marked)

    def _lay(self) -> Iterator[bool]:
        yield from self._lever(-1)
        yield from self._veer_to(RODE_M - 1.0)
        yield from self._lever(0)
        yield from self._until("p", lambda view: view.handling.stopper)
        self.keys.tap("k")
        yield from self._wait(35.0)

    def _set(self) -> Iterator[bool]:
        yield from self._until("t", lambda view: view.transit_open_m is not None)
        for tenths in (-2, -5):
            yield from self._lever(tenths)
            yield from self._wait(30.0)
        yield from self._lever(0)
        yield from self._wait(6.0)

    def _secure(self) -> Iterator[bool]:
        yield from self._until("u", lambda view: view.handling.hooked)
        yield from self._until("p", lambda view: not view.handling.stopper)
        yield from self._veer_to(self.view.readings.counter_m + self.brief.boat.snubber_m)
        yield from self._until("p", lambda view: view.handling.stopper)
        yield from self._until("o", lambda view: any(isinstance(e, ev.AlarmSet) for e in view.seen))
        yield from self._until("i", lambda view: view.handling.ball)
        yield from self._wait(10.0)
        self.keys.tap("Return", 2)  # the question, and the answer: time stands in between
        yield True
