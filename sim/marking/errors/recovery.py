"""F. Recovery and abort: the engine moves the boat, the windlass moves the chain."""

import math

import numpy as np

from sim.base.units import knots, mps
from sim.core import events as ev
from sim.marking.errors.approach import never_aborted
from sim.marking.errors.signs import (
    Detector,
    Mask,
    Sign,
    bow_m,
    happened,
    height_m,
    place,
    seconds,
    speed_mps,
    spell,
    sure,
)
from sim.marking.phases.recovery import geared_s, heaving, lifted_s
from sim.marking.run import Run
from sim.model import layout as lay

RATED = 0.3  # of what stalls the motor: its working load is about a third (common practice, no source)
READY_S = 10.0
RUSH_KN = 1.0


def windlass_hauls(run: Run) -> Sign | None:
    """F1: the windlass pulled above its rating for five seconds and more."""
    track = run.track
    rated_n = RATED * float(run.line[lay.LP_MOTOR_STALL])
    found = spell(track["t_s"], heaving(run) & (track["tension_n"] > rated_n), 5.0)
    if found is None:
        return None
    load = float(track["tension_n"][run.span(*found)].max())
    values = {"load": load / 1000.0, "lasted": found[1] - found[0]}
    return Sign(found[0], sure(found[1] - found[0], 5.0, 10.0), values, place(run, found[0]))


def overridden(run: Run) -> Sign | None:
    """F2: while heaving, the bow went a third of her length past the anchor."""
    track = run.track
    north, east = bow_m(run)
    heading = track["heading_rad"]
    past = (north - track["anchor_n_m"]) * np.cos(heading) + (east - track["anchor_e_m"]) * np.sin(heading)
    on_bed = ~np.isnan(track["anchor_n_m"]) & (track["attitude"] > lay.HANGING)
    past = np.where(heaving(run) & on_bed, np.nan_to_num(past), -1.0)
    k = int(np.argmax(past))
    if past[k] <= 0.3 * run.loa_m:
        return None
    t_s = float(track["t_s"][int(np.argmax(past > 0.3 * run.loa_m))])
    return Sign(t_s, sure(float(past[k]), 0.3 * run.loa_m, run.loa_m), {"past": float(past[k])}, place(run, t_s))


def rushed_out(run: Run) -> Sign | None:
    """F3: broken out with more than a knot on."""
    t_s = lifted_s(run)
    if t_s is None:
        return None
    speed = knots(float(speed_mps(run)[run.span(t_s - 1.0, t_s + 1.0)].max()))
    if speed <= RUSH_KN:
        return None
    return Sign(t_s, sure(speed, RUSH_KN, 1.8), {"speed": speed}, place(run, t_s))


def helm_not_ready(run: Run) -> Sign | None:
    """F4: aweigh, and no gear engaged for ten seconds while she fell off."""
    t_s = lifted_s(run)
    if t_s is None:
        return None
    geared = geared_s(run, t_s)
    idle = (run.track.end_s if geared is None else geared) - t_s
    if idle <= READY_S:
        return None
    north, east = place(run, t_s)
    end = place(run, t_s + idle)
    values = {"idle": idle, "drift": math.hypot(end[0] - north, end[1] - east)}
    return Sign(t_s, sure(idle, READY_S, 20.0), values, (north, east))


def _hanging(run: Run) -> Mask:
    track = run.track
    hanging: Mask = (track["attitude"] == lay.HANGING) & (track["out_m"] > float(run.line[lay.LP_ROLLER_Z]))
    return hanging


def speed_with_it_hanging(run: Run) -> Sign | None:
    """F5: above two knots with the anchor hanging under water, after it was lifted."""
    t_s = lifted_s(run)
    if t_s is None:
        return None
    span = run.span(t_s, run.track.end_s)
    fast = np.where(_hanging(run)[span], speed_mps(run)[span], 0.0)
    k = int(np.argmax(fast))
    speed = knots(float(fast[k]))
    if speed <= 2.0:
        return None
    at_s = float(run.track["t_s"][span][int(np.argmax(fast > mps(2.0)))])
    values = {"speed": speed, "below": float(run.track["out_m"][span][k]) - float(run.line[lay.LP_ROLLER_Z])}
    return Sign(at_s, sure(speed, 2.0, 3.0), values, place(run, at_s))


def forced(run: Run) -> Sign | None:
    """F6: the windlass stalled, tripped or pulled above its rating three times on it."""
    t_s, tension = run.track["t_s"], run.track["tension_n"]
    hard = heaving(run) & (tension > RATED * float(run.line[lay.LP_MOTOR_STALL]))
    begins = t_s[1:][hard[1:] & ~hard[:-1]].tolist()
    stops = [seconds(e) for kind in (ev.WindlassStalled, ev.WindlassTripped) for e in happened(run, kind)]
    stalls = sorted([*begins, *stops])
    # A surge makes several stalls of one try: count those five seconds apart.
    tries = [t for k, t in enumerate(stalls) if k == 0 or t - stalls[k - 1] > 5.0]
    if len(tries) < 3:
        return None
    return Sign(tries[2], sure(len(tries), 3, 4), {"times": float(len(tries))}, place(run, tries[2]))


def panic_over_the_chain(run: Run) -> Sign | None:
    """F8: called it off, or hove in, with the engine ahead while the chain led aft."""
    track = run.track
    trying = np.zeros(track["t_s"].size, bool)
    for e in happened(run, ev.Aborted):
        trying |= (track["t_s"] >= seconds(e)) & (track["t_s"] <= seconds(e) + 90.0)
    lead = np.abs(np.nan_to_num(track["lead_rad"]))
    slope = np.nan_to_num(track["lead_angle_rad"])
    aft = (lead > math.radians(100.0)) & (slope < math.radians(75.0)) & (track["out_m"] > height_m(run))
    ahead = (track["gear_0"] > 0.0) | (track["gear_1"] > 0.0)
    found = spell(track["t_s"], trying & aft & ahead, 2.0)
    if found is None:
        return None
    lasted = found[1] - found[0]
    return Sign(found[0], sure(lasted, 2.0, 5.0), {"lasted": lasted}, place(run, found[0]))


DETECTORS: dict[str, Detector] = {
    "F1": windlass_hauls,
    "F2": overridden,
    "F3": rushed_out,
    "F4": helm_not_ready,
    "F5": speed_with_it_hanging,
    "F6": forced,
    "F7": never_aborted,
    "F8": panic_over_the_chain,
}
