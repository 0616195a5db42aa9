"""What ends fast time: something has happened, or threatens, as far as whoever is aboard can know."""

from collections.abc import Sequence

from sim.base.units import knots
from sim.core import events as ev
from sim.helm.crew import Call
from sim.helm.view import SEEN, View
from sim.scenario.read.brief import Brief

# What brings time back to the rate of life at once.
ALARMING = (
    ev.AlarmRang, ev.Touched, ev.Grounded, ev.WindlassStalled, ev.WindlassTripped, ev.SnubberParted, ev.StopperFailed,
    ev.ChainOut,
)  # fmt: skip
URGENT_CALLS = ("dragging", "under_the_boat", "surging", "aweigh")
ORDERLY = (ev.Secured, ev.PlanMade, ev.LightsShown, ev.AlarmSet, ev.AnchorMarked, ev.TransitTaken)
CLEARANCE_M = 0.6  # less water than this under her keel threatens (judgement)
GUST = 1.25  # so much over the gust that was forecast (judgement)
NEAR_LENGTHS = 1.5  # another boat within so many of her lengths, while she moves (judgement)
UNDER_WAY_KN = 0.6


def alarming(happened: Sequence[ev.Event], calls: Sequence[Call]) -> bool:
    """Return whether any of what has just happened or been called wants hands at once."""
    return any(isinstance(e, ALARMING) for e in happened) or any(c.key in URGENT_CALLS for c in calls)


def news(happened: Sequence[ev.Event], calls: Sequence[Call]) -> bool:
    """Return whether anything has happened that she would be told of."""
    return bool(calls) or any(isinstance(e, SEEN) and not isinstance(e, ORDERLY) for e in happened)


def threat(view: View, brief: Brief) -> str | None:
    """Return what threatens now, a key of the word list, or None.

    Little water, more wind than was forecast, a boat close by while she moves, chain running, the engine in gear.
    """
    r, boat = view.readings, brief.boat
    if r.depth_m < boat.draught_m + CLEARANCE_M:
        return "shoal"
    if r.wind_mps > GUST * brief.forecast.gust_mps:
        return "gust"
    if any(h.brake <= 0.5 and not h.stopper and h.counter_m > 0.5 for h in view.rodes):
        return "running"
    if any(lever != 0.0 for lever in r.levers):
        return "in_gear"
    moves = knots(r.sog_mps) > UNDER_WAY_KN
    if moves and any(o.judged_m < NEAR_LENGTHS * boat.loa_m for o in view.others):
        return "close"
    return None
