"""A trainee for tests: looks at what a trainee can know, and has nothing but keys.

She sails the first lesson plainly: up to the spot, way off, let go, lay, stop, set once, hook on, report.
"""

import math
from collections.abc import Iterator
from typing import Protocol

from sim.base.frames import bearing_rad, wrap_pi
from sim.base.units import deg, knots, rad
from sim.helm.view import View
from sim.scenario.brief import Brief

SHORT_M = 17.0  # of the middle of the anchorage: time to take the way off
RODE_M = 27.0
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

    def _play(self) -> Iterator[bool]:
        yield from self._approach()
        yield from self._drop()
        yield from self._lay()
        yield from self._set()
        yield from self._secure()

    def _approach(self) -> Iterator[bool]:
        self.keys.tap("w", 2)
        while self._short_m() > SHORT_M:
            r, a = self.view.readings, self.brief.anchorage
            self._steer(bearing_rad(a.north_m - r.north_m, a.east_m - r.east_m))
            yield True
        self.keys.tap("n")
        self.keys.tap("s", 3)
        while knots(self.view.readings.along_mps) > 0.35:  # the display lags: she is slower than it says
            self._steer(rad(262.0))
            yield True
        self.keys.tap("n")
        self.keys.tap("x")

    def _drop(self) -> Iterator[bool]:
        self.keys.tap("b")
        while not self._heard("on_the_bottom"):
            yield True
        self.keys.tap("m")
        self.keys.tap("b")
        yield True

    def _lay(self) -> Iterator[bool]:
        self.keys.tap("s", 1)
        self.keys.down("v")
        while self.view.readings.counter_m < RODE_M - 1.0:
            yield True
        self.keys.up("v")
        self.keys.tap("n")
        self.keys.tap("p")
        self.keys.tap("k")
        yield from self._wait(35.0)

    def _set(self) -> Iterator[bool]:
        self.keys.tap("t")
        for taps in (2, 3):
            self.keys.tap("s", taps)
            yield from self._wait(32.0)
        self.keys.tap("n")
        yield from self._wait(6.0)

    def _secure(self) -> Iterator[bool]:
        self.keys.tap("u")
        self.keys.tap("p")
        yield True
        begun = self.view.readings.counter_m
        self.keys.down("v")
        while self.view.readings.counter_m < begun + self.brief.boat.snubber_m:
            yield True
        self.keys.up("v")
        for key in ("p", "o", "i"):
            self.keys.tap(key)
        yield from self._wait(10.0)
        self.keys.tap("Return")
        yield True
        self.keys.tap("Return")
        yield True
