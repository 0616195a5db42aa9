"""E. Riding and watch: the load on nylon, a ring round the anchor, a signal, and eyes open."""

import math

import numpy as np

from sim.base.units import mps
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking.errors.signs import Detector, Sign, happened, ordered, place, seconds, sure, touch_at
from sim.marking.phases import secure
from sim.marking.phases.approach import gaps_m
from sim.marking.run import Run
from sim.model.tackle.catenary import wind_load_n

NEIGHBOUR_M = 50.0
LEFT_S = 90.0  # watched for less: she was left at once (the exercise's clock; judgement)
LATE_S = 60.0
UNSEEN_S = 180.0  # in a rising wind somebody looks every three minutes (judgement)
CLOSING_M = 5.0
SHEERS_S = 120  # a boat at anchor sheers to and fro in about so long (judgement)
LOOKING = (cmd.TakeRange, cmd.AskCrew, cmd.TakeTransit, cmd.SetAlarm, cmd.Engine, cmd.Windlass)


def _end(run: Run) -> int | None:
    """Return the fast sample at which she was reported secured, None where she was not."""
    m = run.moments
    return run.track.index(m.secured_s) if m.touch is not None and m.secured_s is not None else None


def no_snubber(run: Run) -> Sign | None:
    """E1: reported secured without nylon."""
    k = _end(run)
    if k is None or run.track["hook"][k] >= 0.0:
        return None
    t_s = run.moments.stop_s
    peak = float(run.track["rode_pull_n"][run.span(run.moments.laid_s, t_s)].max())
    return Sign(t_s, 1.0, {"peak": peak / 1000.0}, place(run, t_s))


def load_on_windlass(run: Run) -> Sign | None:
    """E2: reported secured with neither snubber nor stopper to hold her."""
    k = _end(run)
    if k is None or run.track["stopper"][k] > 0.0 or secure.snubber_carries(run):
        return None
    t_s = run.moments.stop_s
    return Sign(t_s, 1.0, {"load": float(run.track["rode_pull_n"][k])}, place(run, t_s))


def short_snubber(run: Run) -> Sign | None:
    """E3: a snubber shorter than a quarter of her length."""
    hooked = [(t, o.length_m) for t, o in ordered(run, cmd.Snubber) if o.on]
    if not hooked:
        return None
    t_s, length = hooked[-1][0], hooked[-1][1] or run.params.boat.snubber_length_m
    if length >= 0.25 * run.loa_m:
        return None
    return Sign(t_s, sure(length, 0.25 * run.loa_m, 0.15 * run.loa_m), {"length": length}, place(run, t_s))


def _alarm(run: Run) -> ev.AlarmSet | None:
    placed = [e for e in happened(run, ev.AlarmSet, run.moments.touch_s, run.moments.stop_s) if e.on]
    return placed[-1] if placed else None


def _alarm_due_m(run: Run, k: int) -> float:
    track = run.track
    return secure.alarm_radius_m(
        run, float(track["anchor_n_m"][k]), float(track["anchor_e_m"][k]), float(track["out_m"][k])
    )


def alarm_on_the_boat(run: Run) -> Sign | None:
    """E4: the alarm's centre is not the anchor."""
    k, alarm = _end(run), _alarm(run)
    if k is None or alarm is None:
        return None
    off = math.hypot(
        alarm.north_m - float(run.track["anchor_n_m"][k]), alarm.east_m - float(run.track["anchor_e_m"][k])
    )
    if not off > 2.0 * secure.CENTRE_M:
        return None
    return Sign(seconds(alarm), sure(off, 10.0, 20.0), {"off": off}, (alarm.north_m, alarm.east_m))


def alarm_radius(run: Run) -> Sign | None:
    """E5: the alarm's radius would ring for nothing, or too late; none at all counts as nought."""
    k, alarm = _end(run), _alarm(run)
    if k is None:
        return None
    due = _alarm_due_m(run, k)
    set_m = alarm.radius_m if alarm is not None else 0.0
    share = set_m / due
    low, high = secure.RADIUS_BAND
    if not math.isfinite(share) or low <= share <= high:
        return None
    certainty = sure(share, low, 0.5 * low) if share < low else sure(share, high, 1.5 * high)
    return Sign(seconds(alarm) if alarm else run.moments.stop_s, certainty, {"set": set_m, "due": due})


def antenna_forgotten(run: Run) -> Sign | None:
    """E6: the radius lacks about the distance from bow to antenna."""
    k, alarm = _end(run), _alarm(run)
    if k is None or alarm is None:
        return None
    p = run.params.boat.particulars
    offset = p.roller_x_m - p.antenna_x_m
    due = _alarm_due_m(run, k)
    lacks = due - alarm.radius_m
    if offset < 4.0 or not 0.65 * offset <= lacks or alarm.radius_m < secure.RADIUS_BAND[0] * due:
        return None
    return Sign(seconds(alarm), sure(lacks, 0.65 * offset, offset), {"offset": offset, "lacks": lacks})


def no_signal(run: Run) -> Sign | None:
    """E7: neither light nor ball, whichever the hour asks for."""
    k, m = _end(run), run.moments
    if k is None:
        return None
    if secure.signal_shown(run):
        return None
    return Sign(m.stop_s, 1.0, {"minutes": (m.stop_s - m.touch_s) / 60.0}, place(run, m.stop_s))


def left_at_once(run: Run) -> Sign | None:
    """E8: reported secured before she had been watched through a swing."""
    m = run.moments
    if m.touch is None or m.secured_s is None:
        return None
    kinds = (cmd.Snubber, cmd.Engine, cmd.Windlass, cmd.Stopper)
    acts = [t for kind in kinds for t, _ in ordered(run, kind, m.touch_s)]
    since = max((t for t in acts if t <= m.secured_s), default=m.touch_s)
    watched = m.secured_s - since
    if watched >= LEFT_S:
        return None
    return Sign(m.secured_s, sure(watched, LEFT_S, 0.3 * LEFT_S), {"watched": watched}, place(run, m.secured_s))


def no_watch(run: Run) -> Sign | None:
    """E9: the wind rose by half, and nobody looked; or the night was left to neither an alarm nor watch orders."""
    return _nothing_left_for_the_night(run) or _unseen_in_a_rising_wind(run)


def _nothing_left_for_the_night(run: Run) -> Sign | None:
    alarm = _alarm(run)
    if _end(run) is None or not run.stay.night or (alarm is not None and alarm.radius_m > 0.0):
        return None
    orders = [o for _, o in ordered(run, cmd.WatchOrders)]
    if any(max(o.drag_m, o.wind_mps, o.shift_rad, o.near_m) > 0.0 for o in orders):
        return None
    t_s = run.moments.stop_s
    values = {"minutes": (t_s - run.moments.touch_s) / 60.0}
    return Sign(t_s, 1.0, values, place(run, t_s), way="night")


def _unseen_in_a_rising_wind(run: Run) -> Sign | None:
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    wind = np.hypot(track["wind_n_mps"], track["wind_e_mps"])
    before = float(wind[run.span(m.let_go_s - 60.0, m.laid_s)].mean())
    after = run.span(m.laid_s + 60.0, track.end_s)
    minute = np.convolve(wind[after], np.ones(300) / 300.0, mode="valid") if after.stop - after.start > 300 else None
    if minute is None or minute.max() < max(1.5 * before, mps(14.0)):
        return None
    risen_s = float(track["t_s"][after.start + int(np.argmax(minute >= 1.3 * before))])
    looks = [t for kind in LOOKING for t, _ in ordered(run, kind, risen_s, track.end_s)]
    unseen = float(np.diff(sorted([risen_s, *looks, track.end_s])).max())
    if unseen < UNSEEN_S:
        return None
    values = {"times": float(minute.max()) / before, "unseen": unseen / 60.0}
    return Sign(risen_s + UNSEEN_S, sure(unseen, UNSEEN_S, 2.0 * UNSEEN_S), values, place(run, risen_s))


def neighbour_not_told(run: Run) -> Sign | None:
    """E10: a boat within fifty metres was never spoken to."""
    m = run.moments
    if _end(run) is None:
        return None
    spoken = {order.target for _, order in ordered(run, cmd.Hail)}
    gaps = gaps_m(run, run.span(m.laid_s, m.stop_s)).min(axis=0) if run.params.neighbours else []
    near = [float(gap) for i, gap in enumerate(gaps) if gap <= NEIGHBOUR_M and i + 1 not in spoken]
    if not near:
        return None
    return Sign(m.stop_s, sure(min(near), NEIGHBOUR_M, 0.5 * NEIGHBOUR_M), {"gap": min(near)}, touch_at(run))


def _walked_m(places: np.ndarray) -> float:
    """Return how far another boat came from where she first lay, by means of two minutes: at anchor she sheers."""
    width = min(SHEERS_S, len(places))
    mean = np.stack([np.convolve(places[:, k], np.ones(width) / width, mode="valid") for k in range(2)], axis=-1)
    return float(np.hypot(*(mean - mean[0]).T).max())


def trend_not_watched(run: Run) -> Sign | None:
    """E11: another boat came down on her and was not ranged again."""
    m = run.moments
    if m.touch is None or not run.params.neighbours:
        return None
    span = run.span(m.laid_s, run.track.end_s)
    gaps = gaps_m(run, span)
    t_s = run.track["t_s"][span]
    poses = run.track.others[run.track.slow_index(m.laid_s) :]
    for i in range(gaps.shape[1]):
        walked, there = _walked_m(poses[:, i, :2]), np.isfinite(gaps[:, i])
        if not there.any():
            continue
        gap = gaps[there, i]
        closed = np.maximum.accumulate(gap) - gap
        coming = np.flatnonzero(closed > CLOSING_M)
        if coming.size == 0 or walked < 12.0 or gap.min() > 4.0 * run.loa_m:
            continue
        since = float(t_s[there][coming[0]])
        looks = [t for t, o in ordered(run, cmd.TakeRange, since - 120.0) if o.target == i + 1]
        if len(looks) >= 2:
            continue
        values = {"closed": float(closed.max()), "left": float(gap.min())}
        return Sign(since, sure(float(closed.max()), CLOSING_M, 3.0 * CLOSING_M), values, touch_at(run))
    return None


def hooked_under_load(run: Run) -> Sign | None:
    """E12: hook or stopper worked while more than a third of the set load was on the rode."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    worked = [t for t, o in ordered(run, cmd.Snubber, m.touch_s, m.stop_s) if o.on]
    worked += [t for t, o in ordered(run, cmd.Stopper, m.laid_s, m.stop_s) if not o.on and o.rode == 0]
    pulls = [(float(track["rode_pull_n"][track.index(t)]), t) for t in worked]
    load, t_s = max(pulls, default=(0.0, 0.0))
    k = track.index(t_s)
    blows_n = wind_load_n(run.loa_m, float(np.hypot(track["wind_n_mps"][k], track["wind_e_mps"][k])))
    least = max(0.8 * run.target_load_n, 700.0, 1.5 * blows_n)
    if load < least:
        return None
    return Sign(t_s, sure(load, least, 2.0 * least), {"load": load}, place(run, t_s))


def late_at_the_alarm(run: Run) -> Sign | None:
    """E13: the alarm rang, and for a minute nobody ordered anything."""
    rang = [seconds(e) for e in happened(run, ev.AlarmRang)]
    if not rang:
        return None
    watch = (cmd.Secure, cmd.TimeRate, cmd.BeginWatch)
    orders = [t / 60.0 for t, o in run.orders if t / 60.0 > rang[0] and not isinstance(o, watch)]
    late = (min(orders) if orders else run.track.end_s) - rang[0]
    if late < LATE_S:
        return None
    return Sign(rang[0], sure(late, LATE_S, 1.5 * LATE_S), {"late": late}, place(run, rang[0]))


def list_unfinished(run: Run) -> Sign | None:
    """E14: reported secured with things on the list not done."""
    if _end(run) is None:
        return None
    done = secure.listed(run)
    undone = sum(not did for did in done.values())
    if undone < 2:
        return None
    t_s = run.moments.stop_s
    return Sign(
        t_s,
        sure(undone, 2, 4),
        {"undone": float(undone), "all": float(len(done)), "minutes": (t_s - run.moments.touch_s) / 60.0},
        place(run, t_s),
    )


DETECTORS: dict[str, Detector] = {
    "E1": no_snubber,
    "E2": load_on_windlass,
    "E3": short_snubber,
    "E4": alarm_on_the_boat,
    "E5": alarm_radius,
    "E6": antenna_forgotten,
    "E7": no_signal,
    "E8": left_at_once,
    "E9": no_watch,
    "E10": neighbour_not_told,
    "E11": trend_not_watched,
    "E12": hooked_under_load,
    "E13": late_at_the_alarm,
    "E14": list_unfinished,
}
