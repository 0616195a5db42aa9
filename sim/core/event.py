"""The base of all events."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Event:
    """The base of all events; ``tick`` is when it happened."""

    tick: int
