"""From wall time to ticks: a fixed step, whatever the frame rate."""

import math

from sim.base.units import TICK_HZ

MOST_TICKS = 5  # a frame at the rate of life; beyond it wall time is dropped, never stretched
RATES = (0.5, 1.0, 2.0, 4.0, 8.0, 15.0, 30.0, 60.0)
CALM = 4.0  # faster than this only while nothing threatens


class Pacer:
    """Counts the ticks that are due."""

    def __init__(self) -> None:
        """Start at the rate of life, running."""
        self.rate = 1.0
        self.paused = False
        self._owed = 0.0

    def ticks(self, wall_s: float) -> int:
        """Return how many ticks a frame of ``wall_s`` seconds owes, at most ``MOST_TICKS`` times the rate."""
        if self.paused:
            return 0
        self._owed += wall_s * self.rate * TICK_HZ
        due = int(self._owed + 1e-6)
        most = math.ceil(MOST_TICKS * max(self.rate, 1.0))
        if due > most:
            self._owed = 0.0
            return most
        self._owed -= due
        return due

    def change(self, steps: int) -> float:
        """Go to a slower or faster rate and return it."""
        at = RATES.index(self.rate) + steps
        self.rate = RATES[max(0, min(len(RATES) - 1, at))]
        return self.rate

    def slow_to(self, rate: float) -> bool:
        """Drop back to a rate; return whether that was slower than before."""
        if self.rate <= rate:
            return False
        self.rate = rate
        self._owed = 0.0
        return True
