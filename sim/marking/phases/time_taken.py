"""The one thing time costs: over so many times the reference run, she has blocked the bay for the others."""

from dataclasses import dataclass

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.marking.run import Run
from sim.scenario.schema.marking import SlowBlock


@dataclass(frozen=True)
class Slow:
    """What a run took beyond its ceiling, and what that costs out of 100."""

    took_s: float
    reference_s: float
    points: float


def took_s(run: Run) -> float:
    """Return how long she was at it [s]: from the start, earlier attempts included, until she rode to her snubber.

    To stay aboard and watch her after that blocks nobody. Without a snubber, until she was reported secured, else to
    the end.
    """
    m = run.moments
    hooked = [e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.SnubberHooked)]
    since = [s for s in hooked if m.touch_s <= s <= m.stop_s]
    return since[-1] if since else m.stop_s


def slow(run: Run, ceiling: SlowBlock | None) -> Slow | None:
    """Return what a run cost by its time, None where it kept within the ceiling or there is none."""
    reference_s = run.stay.reference_s
    if ceiling is None or reference_s is None or run.moments.touch is None:
        return None
    took = took_s(run)
    return Slow(took, reference_s, ceiling.points) if took > ceiling.times * reference_s else None
