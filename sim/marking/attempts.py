"""Earlier attempts of a run: what each showed, listed beside the one that is marked and never marked itself."""

from dataclasses import dataclass

from sim.base.units import TICK_HZ, knots
from sim.core import events as ev
from sim.marking.moments import lifts
from sim.marking.run import Run

SAME_S = 1.0


@dataclass(frozen=True)
class Earlier:
    """An attempt that was given up.

    Attributes:
        touch_s: when the anchor touched; None where it was called off before.
        speed_kn: speed over the ground along her heading at the touch, - astern; None without a touch.
        rode_m: most rode that was out; 0 without a touch.
        off_s: when it was given up: called off, or the anchor off the bottom.
        reason: what was given for calling it off, empty where nothing was.
    """

    touch_s: float | None
    speed_kn: float | None
    rode_m: float
    off_s: float
    reason: str


def earlier(run: Run) -> tuple[Earlier, ...]:
    """Return the attempts that came before the one that is marked, in order; none where she was right at once."""
    if run.at_anchor:
        return ()
    track, last = run.track, run.moments
    until_s = last.touch_s if last.touch is not None else track.end_s
    calls = [e for e in track.events if isinstance(e, ev.Aborted) and e.tick / TICK_HZ < until_s]
    lifted, out = set(lifts(track)), list[Earlier]()
    began_s, touch = 0.0, None
    for e in track.events:
        t_s = e.tick / TICK_HZ
        if t_s >= until_s:
            break
        if isinstance(e, ev.AnchorTouched) and touch is None:
            touch = e
        elif isinstance(e, ev.AnchorAweigh) and touch is not None and t_s in lifted:
            said = [c.reason for c in calls if began_s <= c.tick / TICK_HZ <= t_s + SAME_S]
            out.append(_tried(run, touch, t_s, said[-1] if said else ""))
            began_s, touch = t_s, None
        elif isinstance(e, ev.Aborted) and touch is None and t_s > began_s + 60.0:
            out.append(Earlier(None, None, 0.0, t_s, e.reason))
            began_s = t_s
    return tuple(out)


def _tried(run: Run, touch: ev.AnchorTouched, off_s: float, reason: str) -> Earlier:
    touch_s = touch.tick / TICK_HZ
    rode_m = float(run.track["out_m"][run.span(touch_s, off_s)].max())
    return Earlier(touch_s, knots(touch.along_mps), rode_m, off_s, reason)
