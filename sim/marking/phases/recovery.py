"""Recovery, where it is part of the exercise: the chain ahead, the windlass unloaded, steerage at once, nothing hit."""

import math

import numpy as np

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.marking.run import Found, Run
from sim.model import layout as lay

HEAVING_MPS = -0.02
AHEAD_RAD = math.radians(30.0)
UP_AND_DOWN_RAD = math.radians(75.0)
TAUT = 1.3  # times the weight of the chain hanging straight down: below it the lead is nobody's doing
HEAVED_M = 5.0  # less chain brought in than this is an adjustment, no recovery


def weighed(run: Run) -> Run:
    """Return the run in which the anchor was brought home for good: the departure where there was one."""
    return run.leaving or run


def heaving(run: Run) -> np.ndarray:
    """Return ``bool[n]``: the samples at which chain came in."""
    out: np.ndarray = run.track["rate_mps"] < HEAVING_MPS
    return out


def lifted_s(run: Run) -> float | None:
    """Return when the anchor came off the bottom for the last time, None where it never did or only bounced."""
    lifts = [e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.AnchorAweigh)]
    touches = [e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.AnchorTouched)]
    real = [s for s in lifts if not any(0.0 <= t - s < 10.0 for t in touches)]
    return real[-1] if real else None


def _span(run: Run) -> tuple[float, float] | None:
    """Return the span in which chain was brought in, None where no recovery was begun."""
    t_s, out_m = run.track["t_s"], run.track["out_m"]
    heave = heaving(run) & (t_s >= run.moments.touch_s)  # what was lifted before the last drop is forgotten
    came_in = -np.diff(out_m, prepend=out_m[:1])[heave].sum() if heave.any() else 0.0
    if came_in < HEAVED_M:
        return None
    when = t_s[heave]
    return float(when[0]), float(when[-1])


def lead_ahead_share(run: Run) -> Found | None:
    """Share of the heaving, by time, in which a taut chain led within 30 degrees of ahead, the anchor on the ground."""
    run = weighed(run)
    span = _span(run)
    if span is None:
        return None
    part = run.span(*span)
    hanging_n = float(run.line[lay.LP_WEIGHT]) * (run.track["depth_m"][part] + float(run.line[lay.LP_ROLLER_Z]))
    taut = heaving(run)[part] & (run.track["tension_n"][part] > TAUT * hanging_n)
    # Aweigh or up and down it leads nowhere, whatever hangs on it.
    taut &= (run.track["attitude"][part] > lay.HANGING) & (run.track["lead_angle_rad"][part] < UP_AND_DOWN_RAD)
    if not taut.any():
        return Found(1.0, *span)
    ahead = np.abs(np.nan_to_num(run.track["lead_rad"][part][taut])) <= AHEAD_RAD
    return Found(float(ahead.mean()), *span)


def windlass_load_ratio(run: Run) -> Found | None:
    """Greatest load on the windlass while heaving, held two seconds, over what stalls it."""
    run = weighed(run)
    span = _span(run)
    if span is None:
        return None
    part = run.span(*span)
    load = np.where(heaving(run)[part], run.track["tension_n"][part], 0.0)
    width = min(10, load.size)
    held = np.lib.stride_tricks.sliding_window_view(load, width).min(axis=1)
    k = part.start + int(np.argmax(held))
    t_s = float(run.track["t_s"][k])
    return Found(float(held.max()) / float(run.line[lay.LP_MOTOR_STALL]), t_s, t_s + 2.0)


def geared_s(run: Run, from_s: float) -> float | None:
    """Return when a gear had been put in to stay for two seconds, from a moment on; None where it never was."""
    part = run.span(from_s, run.track.end_s)
    geared = (run.track["gear_0"][part] != 0.0) | (run.track["gear_1"][part] != 0.0)
    width = min(10, geared.size)
    stays = np.lib.stride_tricks.sliding_window_view(geared, width).all(axis=1)
    return max(float(run.track["t_s"][part][int(np.argmax(stays))]), from_s) if stays.any() else None


def begun_s(run: Run) -> float:
    """Return when chain began to be brought in for good; infinity where no recovery was begun."""
    span = _span(run)
    return span[0] if span is not None else math.inf


def steerage_s(run: Run) -> Found | None:
    """Seconds from aweigh until a gear was engaged; None where nothing was lifted."""
    run = weighed(run)
    lifted = lifted_s(run)
    if lifted is None or lifted < run.moments.touch_s:
        return None
    geared = geared_s(run, lifted)
    return Found(None, lifted, run.track.end_s) if geared is None else Found(geared - lifted, lifted, geared)


def hull_hits(run: Run) -> Found | None:
    """Contacts of hull or keel with a boat, the shore or the ground from the first heave on."""
    run = weighed(run)
    span = _span(run)
    if span is None:
        return None
    hits = [
        e
        for e in run.track.events
        if e.tick / TICK_HZ >= span[0]
        and ((isinstance(e, ev.Touched) and 0 in (e.boat, e.other)) or (isinstance(e, ev.Grounded) and e.boat == 0))
    ]
    return Found(float(len(hits)), span[0], run.track.end_s)


def gone(run: Run) -> Found | None:
    """1 where she weighed and left when the stay was over, 0.5 where only the anchor came home, else 0.

    None where no departure was sailed.
    """
    if run.leaving is None:
        return None
    track = run.leaving.track
    begin_s = float(track["t_s"][0])
    left = [e.tick / TICK_HZ for e in track.events if isinstance(e, ev.Departed | ev.Left)]
    if left:
        return Found(1.0, begin_s, left[0])
    return Found(0.5 if float(track["out_m"][-1]) <= 0.0 else 0.0, begin_s, track.end_s)
