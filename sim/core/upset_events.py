"""What a lesson's timeline upsets: a wash, an order misheard, another boat's rode laid across the own one."""

from dataclasses import dataclass

from sim.core.event import Event


@dataclass(frozen=True, kw_only=True)
class WashBegan(Event):
    """The wash of a ship comes in."""

    from_rad: float
    height_m: float


@dataclass(frozen=True, kw_only=True)
class OrderAskedBack(Event):
    """The foredeck did not catch an order, and asks."""

    what: str


@dataclass(frozen=True, kw_only=True)
class OrderMisheard(Event):
    """The foredeck carries out another order than was given: ``heard`` is the motion, or the length in metres."""

    what: str  # "windlass" | "preset_length"
    heard: float


@dataclass(frozen=True, kw_only=True)
class RodeLaidOver(Event):
    """Another boat's rode has come to lie across the own chain."""

    target: int
    north_m: float
    east_m: float


@dataclass(frozen=True, kw_only=True)
class RodeSeenAcross(Event):
    """That rode has come up with the own chain, in sight of the foredeck, who stops heaving."""

    target: int


@dataclass(frozen=True, kw_only=True)
class RodeSlipped(Event):
    """That rode has been slipped off the own chain."""

    target: int
