"""Leaving without anchoring: a decision, marked where the lesson takes it for an answer."""

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.marking.run import Found, Run


def refused(run: Run) -> ev.Left | None:
    """Return the refusal of a run, or None where she stayed."""
    found = [e for e in run.track.events if isinstance(e, ev.Left)]
    return found[-1] if found else None


def is_answer(run: Run) -> bool:
    """Return whether she left, and leaving is an answer to this lesson."""
    return bool(run.stay.refusals) and refused(run) is not None


def _found(run: Run, good: bool) -> Found:
    left = refused(run)
    at_s = left.tick / TICK_HZ if left is not None else run.moments.stop_s
    return Found(1.0 if good else 0.0, at_s, at_s)


def decision(run: Run) -> Found:
    """1 where she left and leaving is an answer, else 0."""
    return _found(run, is_answer(run))


def reason(run: Run) -> Found:
    """1 where the reason given for leaving is one that holds here, else 0."""
    left = refused(run)
    return _found(run, left is not None and left.reason in run.stay.refusals)
