"""Credit beside the measures: for calling it off in time, for noticing, for leaving; and an instructor's changes."""

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking.run import Run
from sim.model import layout as lay

NOTICED_S = 15.0
CALLED_OFF_SHARE = 0.5  # of the set, for an attempt given up in time: ten points of twenty
NOTICED_SHARE = 0.5  # of what a drag cost, for having noticed it at once
_ANSWERS = (cmd.AskCrew, cmd.Windlass, cmd.Brake, cmd.Abort, cmd.Dive, cmd.TakeRange)


def _untouched(run: Run) -> bool:
    hits = (
        e
        for e in run.track.events
        if (isinstance(e, ev.Touched) and 0 in (e.boat, e.other)) or (isinstance(e, ev.Grounded) and e.boat == 0)
    )
    return next(hits, None) is None


def called_off_s(run: Run) -> float | None:
    """Return when the attempt was called off in time: before any damage, and with the anchor off the ground at the end.

    None where it was not, or where another drop followed: that one is marked afresh.
    """
    aborted = [e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.Aborted)]
    touches = [e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.AnchorTouched)]
    if not aborted or any(t > aborted[-1] for t in touches) or not _untouched(run):
        return None
    attitude = run.track["attitude"]
    return aborted[-1] if attitude.size and attitude[-1] <= lay.HANGING else None


def drag_noticed(run: Run) -> bool:
    """Return whether the first drag of the set was answered within 15 s: asked, eased, veered or given up."""
    m = run.moments
    dragged = [e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.AnchorDragged)]
    during = [s for s in dragged if m.laid_s <= s <= m.stop_s]
    if m.touch is None or not during:
        return False
    orders = [(tick / TICK_HZ, order) for tick, order in run.orders]
    soon = [(t, order) for t, order in orders if during[0] <= t <= during[0] + NOTICED_S]
    before = [order.lever for t, order in orders if isinstance(order, cmd.Engine) and t < during[0]]
    eased = any(isinstance(order, cmd.Engine) and order.lever > min(before[-1:], default=0.0) for _, order in soon)
    return eased or any(isinstance(order, _ANSWERS) for _, order in soon)


def overrides(run: Run) -> dict[str, cmd.Override]:
    """Return an instructor's changes by measure, the last where there are several; one without a reason is none."""
    made = [order for _, order in run.orders if isinstance(order, cmd.Override) and order.reason.strip()]
    return {order.measure: order for order in made}
