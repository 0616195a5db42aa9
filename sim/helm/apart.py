"""What each of two people aboard can know: one at the helm, one on the foredeck.

The one forward has the chain: how much is out, how it leads, what it feels like, how its gear stands. The one at the
helm has all the rest, and of the chain only what is signalled from forward.
"""

import math
from dataclasses import dataclass, replace

from sim.core import events as ev
from sim.helm.aids import Aids
from sim.helm.exercise import Exercise
from sim.helm.lead import look
from sim.helm.view import Arm, Handling, View
from sim.model import layout as lay

EYE_RAD = math.radians(5.0)  # the eye tells so much of the lead, at the bow itself (judgement)
RUNS_MPS = 0.02  # of the chain: the eye sees it move (judgement)

# What is seen, heard or done at the bow alone.
FORWARD = (
    ev.AnchorLetGo,
    ev.AnchorHome,
    ev.WindlassStalled,
    ev.WindlassTripped,
    ev.PresetReached,
    ev.ChainOut,
    ev.SnubberHooked,
    ev.SnubberCast,
    ev.SnubberParted,
    ev.StopperFailed,
    ev.OrderAskedBack,
    ev.RodeSeenAcross,
    ev.RodeSlipped,
)
GEAR = ("windlass", "brake", "stopper", "snubber", "preset_length")  # the orders of whoever works it


@dataclass(frozen=True)
class Forward:
    """What a hand forward sees and feels at a moment.

    Attributes:
        arm: how the chain leads, to the eye; None while the anchor is at the roller.
        stay: how it stands, one of ``lead.STAYS``; empty while it is at the roller.
        feel: "slack", "steady" or "trembling"; empty likewise.
        rodes: how each rode is handled and what its counter shows, the main one first.
        running: of each, 1 while it runs out, -1 while it comes in, 0 while it stands.
        seen: what has happened at the bow.
    """

    arm: Arm | None
    stay: str
    feel: str
    rodes: tuple[Handling, ...]
    running: tuple[int, ...]
    seen: tuple[ev.Event, ...]


def is_forward(event: ev.Event) -> bool:
    """Return whether an event is known at the bow alone."""
    return isinstance(event, FORWARD) or (isinstance(event, ev.Declined) and event.what in GEAR)


def at_the_bow(exercise: Exercise, view: View) -> Forward:
    """Return what a hand forward knows, where ``view`` is what both together know."""
    lead = look(exercise.world)
    lines = exercise.world.state.lines[: len(view.rodes), lay.L_RATE]
    return Forward(
        arm=None if lead is None else Arm(_to(lead.bearing_rad), _to(lead.slope_rad)),
        stay="" if lead is None else lead.stay,
        feel="" if lead is None else exercise.crew.feels(lead),
        rodes=view.rodes,
        running=tuple((rate > RUNS_MPS) - (rate < -RUNS_MPS) for rate in lines.tolist()),
        seen=tuple(e for e in view.seen if is_forward(e)),
    )


def _to(angle_rad: float) -> float:
    return round(angle_rad / EYE_RAD) * EYE_RAD


def at_the_helm(view: View) -> View:
    """Return a view without anything of the chain: no count, no lead, no word from forward, no state of its gear."""
    return replace(
        view,
        readings=replace(view.readings, counter_m=0.0),
        calls=(),
        seen=tuple(e for e in view.seen if not is_forward(e)),
        arm=None,
        handling=_unknown(view.handling),
        rodes=tuple(_unknown(h) for h in view.rodes),
    )


def _unknown(h: Handling) -> Handling:
    return replace(h, brake=1.0, stopper=False, motion=0, hooked=False, stop_at_m=0.0, counter_m=0.0)


def aids_at_the_helm(aids: Aids) -> Aids:
    """Return what is granted beyond a view, without anything of the own chain and anchor."""
    return replace(aids, own_swing=None, chain_m=(), section=None, anchor=None, truth=False)
