"""Replay: the recorded commands sailed again, the hashes compared second by second."""

import bisect
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from sim.base.units import TICK_HZ
from sim.core.orders.commands import Command
from sim.record.recording import Recording


class Sailed(Protocol):
    """What recorded orders are sailed again on."""

    @property
    def tick(self) -> int:
        """Return the ticks since the start."""

    def step(self, commands: Sequence[Command], most: int, /) -> object:
        """Apply the commands and advance: up to ``most`` ticks, or a step of the watch's clock."""


class Stepper(Sailed, Protocol):
    """What a replay needs of an exercise: no timeline of its own."""

    def state_hash(self) -> str:
        """Return the hash of the state as it is now."""


@dataclass(frozen=True)
class Verdict:
    """What a verification found.

    Attributes:
        compared: hashes that were compared.
        first_difference_s: second of the first hash that differs, None where all agree.
        expected: the recorded hash at that second.
        found: the hash of the replay at that second.
        reached_s: second up to which the recording was compared.
        caveats: why equal hashes cannot be promised here; empty where they can.
        torn: the recording stops short of its end.
    """

    compared: int
    first_difference_s: float | None
    expected: str
    found: str
    reached_s: float
    caveats: tuple[str, ...]
    torn: bool

    @property
    def agrees(self) -> bool:
        """Whether every recorded hash came out again, and there was at least one."""
        return self.compared > 0 and self.first_difference_s is None

    def __str__(self) -> str:
        """Return the finding in one line."""
        if self.compared == 0:
            finding = "the recording holds no hash to compare"
        elif self.agrees:
            finding = f"{self.compared} hashes agree, up to {self.reached_s:g} s"
        else:
            finding = f"differs from {self.first_difference_s:g} s on: recorded {self.expected}, found {self.found}"
        cut = "; the recording was cut off" if self.torn else ""
        why = f" (equal hashes not guaranteed: {'; '.join(self.caveats)})" if self.caveats else ""
        return finding + cut + why


def caveats(recorded: dict[str, Any], here: dict[str, Any]) -> tuple[str, ...]:
    """Return one phrase for each thing that differs between two headers and that hashes depend on."""
    out = []
    for key in ("program", "platform", "kernel_mode", "tick_hz"):
        if key in here and recorded.get(key) != here[key]:
            out.append(f"{key} {recorded.get(key)} then, {here[key]} now")
    then, now = recorded.get("versions", {}), here.get("versions", {})
    out += [f"{name} {then.get(name)} then, {now[name]} now" for name in now if then.get(name) != now[name]]
    if "scenario" in here and recorded.get("scenario", {}).get("sha256") != here["scenario"]["sha256"]:
        out.append("the scenario's file has changed")
    return tuple(out)


def rests_ticks(ordered: Sequence[int], tick: int, until: int) -> int:
    """Return how many ticks may pass from ``tick`` until the next order is due, or ``until`` is reached."""
    after = bisect.bisect_right(ordered, tick)
    return (min(until, ordered[after]) if after < len(ordered) else until) - tick


def sail_to(
    stepper: Sailed, orders: Mapping[int, Sequence[Command]], tick: int, ordered: Sequence[int] | None = None
) -> None:
    """Sail orders, by the tick each was given at, up to a tick: a step ends where the next is due.

    ``ordered`` is the ticks of ``orders``, rising, where the caller has sorted them already.
    """
    ticks = sorted(orders) if ordered is None else ordered
    while stepper.tick < tick:
        now = stepper.tick
        stepper.step(orders.get(now, ()), rests_ticks(ticks, now, tick))


def verify(recording: Recording, stepper: Stepper, here: dict[str, Any] | None = None) -> Verdict:
    """Sail ``recording`` again on a fresh ``stepper`` and compare each recorded hash.

    Stops at the first difference. A recording that was cut off is compared up to its last hash.

    Args:
        recording: what was recorded.
        stepper: a world as it was at tick 0.
        here: the header that a run begun here and now would have; None to leave the caveats out.
    """
    orders = recording.by_tick()
    ordered = sorted(orders)
    compared = 0
    difference: tuple[float | None, str, str] = (None, "", "")
    for hash_tick, expected in recording.hashes:
        sail_to(stepper, orders, hash_tick, ordered)
        compared += 1
        found = stepper.state_hash()
        if found != expected:
            difference = (hash_tick / TICK_HZ, expected, found)
            break
    notes = caveats(recording.header, here) if here is not None else ()
    cut_off = recording.torn or recording.end is None
    return Verdict(compared, *difference, reached_s=stepper.tick / TICK_HZ, caveats=notes, torn=cut_off)
