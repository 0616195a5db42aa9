"""What happens on the watch."""

from dataclasses import dataclass

from sim.core.event import Event


@dataclass(frozen=True, kw_only=True)
class WatchOrdered(Event):
    """What the watch calls for, 0 where it does not."""

    drag_m: float
    wind_mps: float
    shift_rad: float
    near_m: float


@dataclass(frozen=True, kw_only=True)
class WatchBegan(Event):
    """The watch's clock runs."""


@dataclass(frozen=True, kw_only=True)
class WatchEnded(Event):
    """The live clock runs again."""


@dataclass(frozen=True, kw_only=True)
class WatchCalled(Event):
    """The watch calls: one of its orders has come true."""

    why: str  # "drag" | "wind" | "shift" | "near"
    value: float  # m, m/s, rad, m
