"""C. Laying: chain and boat in step, in a line, nothing under her."""

import math

import numpy as np

from sim.base.frames import bearing_rad, wrap_pi
from sim.base.units import deg, knots, mps
from sim.core import events as ev
from sim.marking import critical
from sim.marking.errors.signs import (
    HELD_MPS,
    Detector,
    Sign,
    astern_share,
    from_anchor_m,
    happened,
    height_m,
    held_on_s,
    place,
    seconds,
    spell,
    sure,
    touch_at,
)
from sim.marking.phases import lay, needed_pull
from sim.marking.phases.recovery import begun_s
from sim.marking.phases.setting import proved
from sim.marking.run import Run
from sim.model import layout
from sim.record.columns import on_ground

MOTORED_S = 6.0  # in gear with the chain under her for so long (judgement)
MEAN_SAMPLES = 25  # five seconds
TELLING_M = 6.0
TOWED_M, TOWED_SHARE = 4.0, 0.3  # less, or less of the height, is the anchor settling as chain straightens (judgement)
LOADED = 0.15  # of the usable pull astern: from here on she is being set


def _sternway(run: Run, span: slice) -> np.ndarray:
    return lay.running_mean(-lay.along_lie_mps(run, span), MEAN_SAMPLES)


def slack_m(run: Run, span: slice) -> np.ndarray:
    """Return how much longer the rode is than the straight line from roller to anchor, not below 0."""
    straight = np.hypot(np.nan_to_num(from_anchor_m(run)[span]), height_m(run)[span])
    out: np.ndarray = np.maximum(run.track["out_m"][span] - straight, 0.0)
    return out


def too_much_sternway(run: Run) -> Sign | None:
    """C1: astern above 1.5 kn for five seconds while the chain was being laid."""
    m = run.moments
    if m.touch is None:
        return None
    span = run.span(m.touch_s, m.laid_s)
    sternway = _sternway(run, span)
    k = int(np.argmax(sternway))
    speed = knots(float(sternway[k]))
    if speed <= 1.5:
        return None
    t_s = float(run.track["t_s"][span][k])
    return Sign(t_s, sure(speed, 1.5, 2.2), {"speed": speed}, place(run, t_s))


def towed(run: Run) -> Sign | None:
    """C2: chain came slower than she went astern, and she towed the anchor before it could tip."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    span = run.span(m.touch_s, m.laid_s)
    rate = lay.running_mean(track["rate_mps"][span], MEAN_SAMPLES)
    short = lay.short_scope(run, span) & (rate > HELD_MPS)
    north, east = track["anchor_n_m"][span], track["anchor_e_m"][span]
    step = np.hypot(np.diff(north, prepend=north[:1]), np.diff(east, prepend=east[:1]))
    moved = np.cumsum(np.where(short, np.nan_to_num(step), 0.0))
    least = max(TOWED_M, TOWED_SHARE * float(height_m(run)[span][0]))
    if moved[-1] < least:
        return None
    k = int(np.argmax(moved >= 1.0))
    t_s = float(track["t_s"][span][k])
    return Sign(t_s, sure(float(moved[-1]), least, 2.0 * least), {"towed": float(moved[-1])}, touch_at(run))


def ran_ahead(run: Run) -> Sign | None:
    """C3: chain came faster than she went astern, so that it lies in loops."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    span = run.span(m.touch_s, m.laid_s)
    slack = slack_m(run, span)
    going = (_sternway(run, span) > mps(0.15)) & (track["out_m"][span] > 1.5 * height_m(run)[span])
    loops = np.where(going, slack, 0.0)
    k = int(np.argmax(loops))
    least = max(6.0, 0.25 * float(track["out_m"][span][k]))
    if loops[k] < least:
        return None
    t_s = float(track["t_s"][span][k])
    return Sign(t_s, sure(float(loops[k]), least, 1.8 * least), {"slack": float(loops[k])}, touch_at(run))


def snubbed_early(run: Run) -> Sign | None:
    """C4: held on at short scope with weight on it."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    span = run.span(m.touch_s, m.stop_s)
    held = lay.short_scope(run, span) & (np.abs(track["rate_mps"][span]) < HELD_MPS)
    best = proved(run)
    usable_n = needed_pull.usable_astern_n(run.params.boat)
    set_n = max(run.target_load_n, usable_n, best.thrust_n if best is not None else 0.0)
    loaded = held & (track["anchor_load_n"][span] > 0.4 * set_n)
    found = spell(track["t_s"][span], loaded, 4.0)
    if found is None:
        return None
    k = track.index(found[0])
    lasted = found[1] - found[0]
    scope = float(track["out_m"][k] / height_m(run)[k])
    return Sign(found[0], sure(lasted, 4.0, 10.0), {"scope": scope, "lasted": lasted}, touch_at(run))


def under_the_hull(run: Run) -> Sign | None:
    """C5: the chain led under her, or aft of abeam with weight on it for more than five seconds."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    # Riding to nylon, or coming up to weigh, she may well lie over it.
    hooked = [seconds(e) for e in happened(run, ev.SnubberHooked, m.touch_s)]
    end_s = min([m.stop_s, begun_s(run), *hooked])
    span = run.span(m.touch_s, end_s)
    aft = np.abs(np.nan_to_num(track["lead_rad"][span])) > 0.5 * math.pi
    hanging_n = float(run.line[layout.LP_WEIGHT]) * height_m(run)[span]
    taut = aft & (track["tension_n"][span] > lay.TAUT * hanging_n)
    under = happened(run, ev.ChainUnderHull, m.touch_s, end_s)
    aft_s = 0.2 * float(np.count_nonzero(aft if under else taut))
    least_s = 10.0 if under else 5.0
    if aft_s <= least_s:
        return None
    t_s = seconds(under[0]) if under else float(track["t_s"][span][int(np.argmax(taut))])
    return Sign(t_s, sure(aft_s, least_s, 3.0 * least_s), {"aft": aft_s}, place(run, t_s))


def screw_in_chain(run: Run) -> Sign | None:
    """C6: the propeller turned within reach of the chain."""
    met = [seconds(e) for e in happened(run, ev.ChainTouched) if e.part == "propeller" and e.in_gear]
    t_s = min([*met, *(s for s in [critical.screw_in_chain_s(run)] if s is not None)], default=None)
    if t_s is None:
        return None
    k = run.track.index(t_s)
    turns = max(abs(float(run.track["rps_0"][k])), abs(float(run.track["rps_1"][k]))) * 60.0
    return Sign(t_s, 1.0, {"turns": turns}, place(run, t_s))


def over_her_own_chain(run: Run) -> Sign | None:
    """C14: motored with the chain under her, between the touch and riding to nylon."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    hooked = [seconds(e) for e in happened(run, ev.SnubberHooked, m.touch_s)]
    end_s = min([m.stop_s, begun_s(run), *hooked])
    for e in happened(run, ev.ChainUnderHull, m.touch_s, end_s):
        span = run.span(seconds(e), min(seconds(e) + MOTORED_S, end_s))
        geared = (track["gear_0"][span] != 0.0) | (track["gear_1"][span] != 0.0)
        lasted = 0.2 * float(np.count_nonzero(geared))
        if lasted >= 0.5 * MOTORED_S:
            return Sign(
                seconds(e), sure(lasted, 0.5 * MOTORED_S, MOTORED_S), {"lasted": lasted}, place(run, seconds(e))
            )
    return None


def _lying(run: Run) -> tuple[np.ndarray, float] | None:
    """Return (ends of the chain on the ground, its length) once most of it is out, None where too little lies."""
    m = run.moments
    if m.touch is None:
        return None
    shape = run.track.chain[run.track.slow_index(m.laid_s)]
    lying = np.flatnonzero(on_ground(run.params, shape[None])[0])
    length = max(lying.size - 1, 0) * float(run.line[layout.LP_SEGMENT])
    return (shape[[lying[0], lying[-1]]], length) if length >= TELLING_M else None


def across_the_lie(run: Run) -> Sign | None:
    """C7: the chain on the ground lies more than 45 degrees off the way she will pull it."""
    found, m = _lying(run), run.moments
    if found is None:
        return None
    (first, last), _ = found
    if math.hypot(float(last[0] - first[0]), float(last[1] - first[1])) < TELLING_M:
        return None
    way = bearing_rad(float(first[0] - last[0]), float(first[1] - last[1]))
    off = abs(deg(wrap_pi(way - run.lie_rad)))
    return Sign(m.laid_s, sure(off, 45.0, 70.0), {"off": off}, touch_at(run)) if off > 45.0 else None


def in_a_curve(run: Run) -> Sign | None:
    """C8: chord over length of the chain on the ground below 0.85."""
    found, m = _lying(run), run.moments
    if found is None:
        return None
    (first, last), length = found
    chord = math.hypot(float(last[0] - first[0]), float(last[1] - first[1]))
    if chord / length >= 0.85:
        return None
    return Sign(m.laid_s, sure(chord / length, 0.85, 0.6), {"chord": chord, "length": length}, touch_at(run))


def miscounted(run: Run) -> Sign | None:
    """C9: less rode went out than was planned, and nobody said so."""
    m, p = run.moments, run.plan
    if m.touch is None or p is None or p.rode_m <= 0.0:
        return None
    hooked = [seconds(e) for e in happened(run, ev.SnubberHooked, m.touch_s, m.stop_s)]
    out_m = float(run.track["out_m"][run.span(m.touch_s, min([m.stop_s, *hooked]))].max())
    if out_m >= 0.9 * p.rode_m:
        return None
    share = out_m / p.rode_m
    return Sign(m.laid_s, sure(share, 0.9, 0.75), {"out": out_m, "planned": p.rode_m}, touch_at(run))


def all_out(run: Run) -> Sign | None:
    """C10: all the chain ran out to the bitter end; an end made fast may be veered to once nylon has the load."""
    hooked_s = min([seconds(e) for e in happened(run, ev.SnubberHooked)], default=math.inf)
    ran = [e for e in happened(run, ev.ChainOut) if e.lost or seconds(e) < hooked_s]
    if not ran:
        return None
    lost = any(e.lost for e in ran)
    carried_m = float(run.line[layout.LP_CARRIED])
    return Sign(seconds(ran[0]), 1.0 if lost else 0.8, {"carried": carried_m}, place(run, seconds(ran[0])))


def first_load_s(run: Run) -> float | None:
    """Return when the first load astern went on after most of the rode was out."""
    m = run.moments
    if m.touch is None:
        return None
    span = run.span(held_on_s(run), m.stop_s)
    loaded = astern_share(run)[span] > LOADED
    return float(run.track["t_s"][span][int(np.argmax(loaded))]) if loaded.any() else None


def never_compared(run: Run) -> Sign | None:
    """C12: loaded while the bow was much nearer to the anchor than the rode that was out."""
    t_s = first_load_s(run)
    if t_s is None:
        return None
    slack = float(slack_m(run, run.span(t_s, t_s))[0])
    out_m = float(run.track["out_m"][run.track.index(t_s)])
    least = max(4.0, 0.12 * out_m)
    if slack < least:
        return None
    return Sign(t_s, sure(slack, least, 2.0 * least), {"out": out_m, "slack": slack}, place(run, t_s))


DETECTORS: dict[str, Detector] = {
    "C1": too_much_sternway,
    "C2": towed,
    "C3": ran_ahead,
    "C4": snubbed_early,
    "C5": under_the_hull,
    "C6": screw_in_chain,
    "C7": across_the_lie,
    "C8": in_a_curve,
    "C9": miscounted,
    "C10": all_out,
    "C12": never_compared,
    "C14": over_her_own_chain,
}
