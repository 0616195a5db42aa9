"""D. Setting and checking: load by steps, looked at, felt, and answered."""

import itertools

import numpy as np

from sim.base.units import knots
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking.errors.laying import first_load_s
from sim.marking.errors.signs import (
    Detector,
    Sign,
    astern_share,
    happened,
    held_on_s,
    ordered,
    place,
    seconds,
    spell,
    sure,
    touch_at,
)
from sim.marking.phases import setting
from sim.marking.run import Run
from sim.model import layout as lay

SLOPE_S = 1.0
BURST_PER_S = 0.25  # of full revolutions: faster than this is a burst
GAVE_M = 1.0  # within three seconds; an anchor that beds in shifts by half of it (judgement)
TICK_OVER = 0.18  # of the usable pull: above this is more than tick-over
NEVER_PROVED, TOO_LITTLE = 0.5, 0.75  # of the load to prove (judgement)
ACTED = (cmd.Windlass, cmd.Brake, cmd.Abort)


def _loading(run: Run) -> slice | None:
    m = run.moments
    return None if m.touch is None else run.span(held_on_s(run), m.stop_s)


def burst(run: Run) -> Sign | None:
    """D1: revolutions astern rose by more than a quarter of full in a second, to a real load."""
    span = _loading(run)
    if span is None:
        return None
    t_s = run.track["t_s"][span]
    rps, geared = run.track["rps_0"][span], run.track["gear_0"][span] < 0.0
    full = float(run.params.boat.shafts[0, lay.SP_MAX_RPS]) * 0.85
    width = max(int(np.searchsorted(t_s, t_s[0] + SLOPE_S)), 1)
    if rps.size <= width:
        return None
    slope = (rps[width:] - rps[:-width]) / full
    # Going into gear at tick-over is no burst: only what rises above it counts.
    above = geared[width:] & geared[:-width] & (rps[width:] > 0.55 * full)
    k = int(np.argmax(np.where(above, slope, -1.0)))
    if not above.any() or slope[k] <= BURST_PER_S:
        return None
    values = {"slope": 100.0 * float(slope[k])}
    return Sign(float(t_s[k]), sure(float(slope[k]), BURST_PER_S, 0.4), values, place(run, float(t_s[k])))


def from_slack(run: Run) -> Sign | None:
    """D2: under power astern at more than half a knot as the rode first came taut."""
    span = _loading(run)
    if span is None:
        return None
    track = run.track
    powered = astern_share(run)[span] > TICK_OVER
    taut = track["anchor_load_n"][span] > 0.6 * run.target_load_n
    if not taut.any():
        return None
    k = int(np.argmax(taut))
    before = slice(max(k - 25, 0), k + 1)
    speed = knots(float((-track["surge_mps"][span][before]).max()))
    if speed <= 0.5 or not powered[before].any():
        return None
    t_s = float(track["t_s"][span][k])
    return Sign(t_s, sure(speed, 0.5, 1.0), {"speed": speed}, place(run, t_s))


def before_it_soaked(run: Run) -> Sign | None:
    """D3: hard astern in soft ground before it had closed over the anchor."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    bottom = run.params.bay.bottoms[run.params.bay.bottom_letters.index(m.touch.bottom)]
    soak_s = float(bottom[lay.G_SOAK_S])
    span = run.span(m.touch_s, m.stop_s)
    hard = astern_share(run)[span] > 0.4
    if soak_s < 240.0 or not hard.any():
        return None
    t_s = float(track["t_s"][span][int(np.argmax(hard))])
    waited = t_s - m.touch_s
    least = 0.25 * soak_s
    if waited >= least:
        return None
    return Sign(t_s, sure(waited, least, 0.4 * least), {"waited": waited / 60.0, "due": soak_s / 60.0}, touch_at(run))


def never_proved(run: Run) -> Sign | None:
    """D4: the load proved was less than half of what should be."""
    found = setting.proved_load_ratio(run)
    m = run.moments
    tested = setting.was_tested(run)
    if m.touch is None or (tested and found.value is not None and found.value >= NEVER_PROVED):
        return None
    ratio = (found.value or 0.0) if tested else setting.tested_share(run)
    return Sign(found.to_s, sure(ratio, NEVER_PROVED, 0.25), {"percent": 100.0 * ratio}, touch_at(run))


def overloaded(run: Run) -> Sign | None:
    """D5: most of her pull at once, with no step held before it."""
    span = _loading(run)
    if span is None:
        return None
    t_s = run.track["t_s"][span]
    share = astern_share(run)[span]
    most = float(share.max())
    hard = np.flatnonzero(share > 0.6)
    if hard.size == 0:
        return None
    lower = (share[: hard[0]] > 0.2) & (share[: hard[0]] < 0.6)
    if spell(t_s[: hard[0]], lower, 12.0) is not None:
        return None
    at_s = float(t_s[hard[0]])
    return Sign(at_s, sure(most, 0.6, 0.85), {"percent": 100.0 * most}, place(run, at_s))


def no_transit(run: Run) -> Sign | None:
    """D6: no transit while she was set."""
    m = run.moments
    if m.touch is None or any(e.on for e in happened(run, ev.TransitTaken, m.touch_s, m.stop_s)):
        return None
    span = run.span(m.laid_s, m.stop_s)
    moved = setting.moved_m(run, span.start, span.stop - 1)
    moved = moved if np.isfinite(moved) else 0.0
    return Sign(m.laid_s, sure(moved, 0.0, 5.0) if moved > 1.0 else 0.8, {"moved": moved}, touch_at(run))


def not_waited_for(run: Run) -> Sign | None:
    """D7: went on to the next load twice before the one before had settled."""
    if run.moments.touch is None:
        return None
    orders = [(t, o.lever) for t, o in ordered(run, cmd.Engine, run.moments.laid_s, run.moments.stop_s)]
    # Levers brought back by degrees are one rise: only a pause before more astern is a hold.
    holds = [
        (t, t - since) for (since, at), (t, more) in itertools.pairwise(orders) if more < at - 1e-9 and at <= -0.05
    ]
    moving = [(t, held) for t, held in holds if 3.0 <= held < 15.0]
    if len(moving) < 2:
        return None
    t_s, held = moving[0]
    return Sign(t_s, sure(held, 15.0, 6.0), {"held": held}, place(run, t_s))


def not_felt(run: Run) -> Sign | None:
    """D8: nobody was asked what the chain felt like."""
    m = run.moments
    if m.touch is None or happened(run, ev.CrewAsked, m.laid_s, m.stop_s):
        return None
    return Sign(m.laid_s, 0.9, {"minutes": (m.stop_s - m.laid_s) / 60.0}, touch_at(run))


def hoped(run: Run) -> Sign | None:
    """D9: dragged five metres under load, and for 20 s more nobody eased, veered or gave it up."""
    t0 = first_load_s(run)
    if t0 is None:
        return None
    track, m = run.track, run.moments
    start = track.index(t0)
    span = slice(start, track.index(m.stop_s) + 1)
    moved = np.hypot(
        track["anchor_n_m"][span] - track["anchor_n_m"][start], track["anchor_e_m"][span] - track["anchor_e_m"][start]
    )
    far = np.flatnonzero(np.nan_to_num(moved) >= 5.0)
    if far.size == 0:
        return None
    since = float(track["t_s"][span][far[0]])
    until = min(since + 20.0, m.stop_s)
    acted = any(ordered(run, kind, since - 10.0, until) for kind in ACTED)
    eased = astern_share(run)[track.index(until)] < 0.6 * max(float(astern_share(run)[track.index(since)]), 0.05)
    if acted or eased:
        return None
    return Sign(since, sure(float(np.nanmax(moved)), 5.0, 8.0), {"dragged": float(np.nanmax(moved))}, touch_at(run))


def dragged_to_set(run: Run) -> Sign | None:
    """D10: more than two attempts to set without lifting it."""
    span = _loading(run)
    if span is None:
        return None
    t_s = run.track["t_s"][span]
    share = astern_share(run)[span]
    tries, since, begun = [], 0, False
    for k in range(share.size):
        if not begun and share[k] > 0.3:
            begun, since = True, k
        elif begun and share[k] < 0.08:
            moved = setting.moved_m(run, span.start + since, span.start + k)
            tries += [float(t_s[since])] if moved > 1.0 else []
            begun = False
    if len(tries) <= 2:
        return None
    return Sign(tries[2], sure(len(tries), 2, 4), {"tries": float(len(tries))}, touch_at(run))


def on_the_windlass(run: Run) -> Sign | None:
    """D12: more than tick-over astern, the rode taut, with nothing but the windlass to hold it."""
    span = _loading(run)
    if span is None:
        return None
    track = run.track
    bare = (track["stopper"][span] == 0.0) & (track["hook"][span] < 0.0)
    taut = track["rode_pull_n"][span] > 0.6 * run.target_load_n
    found = spell(track["t_s"][span], bare & taut & (astern_share(run)[span] > TICK_OVER), 3.0)
    if found is None:
        return None
    load = float(track["rode_pull_n"][run.span(*found)].max())
    return Sign(found[0], sure(found[1] - found[0], 3.0, 10.0), {"load": load / 1000.0}, place(run, found[0]))


def give_left(run: Run) -> Sign | None:
    """D13: the anchor gave a metre at once under load, and was neither looked at nor laid again."""
    t0 = first_load_s(run)
    if t0 is None:
        return None
    track, m = run.track, run.moments
    span = run.span(t0, m.stop_s)
    t_s, width = track["t_s"][span], 15
    if t_s.size <= width:
        return None
    north, east = track["anchor_n_m"][span], track["anchor_e_m"][span]
    gave = np.nan_to_num(np.hypot(north[width:] - north[:-width], east[width:] - east[:-width]))
    real = gave * (astern_share(run)[span][width:] > 0.3)
    k = int(np.argmax(real))
    at_s = float(t_s[k])
    looked = bool(happened(run, ev.DiverReported, at_s)) or bool(happened(run, ev.Aborted, at_s))
    veered = [t for t, o in ordered(run, cmd.Windlass, at_s, m.stop_s) if o.motion > 0 and not _hooked(run, t)]
    if real[k] < GAVE_M or looked or veered:
        return None
    return Sign(at_s, sure(float(real[k]), GAVE_M, 2.0 * GAVE_M), {"gave": float(real[k])}, touch_at(run))


def _hooked(run: Run, t_s: float) -> bool:
    return any(seconds(e) <= t_s for e in happened(run, ev.SnubberHooked))


def left_in_gear(run: Run) -> Sign | None:
    """D14: an engine was in gear when she was reported secured."""
    m = run.moments
    if m.secured_s is None:
        return None
    k = run.track.index(m.secured_s)
    if not any(run.track[f"gear_{i}"][k] != 0.0 for i in (0, 1)):
        return None
    pull = abs(float(astern_share(run)[k]))
    return Sign(m.secured_s, 1.0, {"percent": 100.0 * pull}, place(run, m.secured_s))


def proved_too_little(run: Run) -> Sign | None:
    """D15: what was proved is less than the night may bring, though more than half of it."""
    found, m = setting.proved_load_ratio(run), run.moments
    if m.touch is None or found.value is None or not NEVER_PROVED <= found.value < TOO_LITTLE:
        return None
    return Sign(found.to_s, sure(found.value, TOO_LITTLE, 0.6), {"percent": 100.0 * found.value}, touch_at(run))


DETECTORS: dict[str, Detector] = {
    "D1": burst,
    "D2": from_slack,
    "D3": before_it_soaked,
    "D4": never_proved,
    "D5": overloaded,
    "D6": no_transit,
    "D7": not_waited_for,
    "D8": not_felt,
    "D9": hoped,
    "D10": dragged_to_set,
    "D12": on_the_windlass,
    "D13": give_left,
    "D14": left_in_gear,
    "D15": proved_too_little,
}
