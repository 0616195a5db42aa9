"""Phase 4, the lay: chain out no faster than she goes astern, in a line, with the bow held."""

import math

import numpy as np
import numpy.typing as npt

from sim.base.arrays import FloatArray
from sim.base.units import knots
from sim.marking.phases import setting
from sim.marking.run import Found, Run
from sim.model import layout as lay
from sim.record.columns import on_ground

PAYING_MPS = 0.05  # chain runs out faster than this: paying out
MEAN_S = 5.0
SHORT_SCOPE = 3.0
ALL_OUT = 0.85  # of the rode she carries: there is no more to give but for a snubber (judgement)
TAUT = 1.3  # times the weight of the chain hanging straight down (judgement)
TELLING_M = 2.0  # less chain on the ground than this has no shape to speak of


def _not_laid(run: Run) -> Found:
    return Found(None, run.moments.begin_s, run.moments.stop_s)


def along_lie_mps(run: Run, span: slice) -> FloatArray:
    """Return her speed over the ground along her lie over the samples of ``span`` [m/s], - astern."""
    track = run.track
    u, v, heading = track["surge_mps"][span], track["sway_mps"][span], track["heading_rad"][span]
    off = heading - run.lie_rad
    out: FloatArray = u * np.cos(off) - v * np.sin(off)
    return out


def running_mean(values: FloatArray, width: int) -> FloatArray:
    """Return the centred running mean, the ends over what there is."""
    ones = np.ones(min(width, values.size))
    total = np.convolve(values, ones, mode="same")
    count = np.convolve(np.ones_like(values), ones, mode="same")
    out: FloatArray = total / count
    return out


def sternway_kn(run: Run) -> Found:
    """Sternway at which the chain went out [kn]: its 5 s mean, averaged over the metres paid out."""
    m = run.moments
    if m.touch is None:
        return _not_laid(run)
    span = run.span(m.touch_s, m.laid_s)
    rate = run.track["rate_mps"][span]
    paid = np.where(rate > PAYING_MPS, rate, 0.0)
    if paid.sum() == 0.0:
        return Found(None, m.touch_s, m.laid_s)
    samples = round(MEAN_S / _period_s(run))
    sternway = running_mean(-along_lie_mps(run, span), samples)
    return Found(knots(float((sternway * paid).sum() / paid.sum())), m.touch_s, m.laid_s)


def _period_s(run: Run) -> float:
    t_s = run.track["t_s"]
    return float(t_s[1] - t_s[0]) if t_s.size > 1 else 1.0


def slack_ratio(run: Run) -> Found:
    """Chord over length of the chain on the ground once most of it is out, 1 for a straight line."""
    m = run.moments
    if m.touch is None:
        return _not_laid(run)
    shape = run.track.chain[run.track.slow_index(m.laid_s)]
    lying = np.flatnonzero(on_ground(run.params, shape[None])[0])
    at = (m.touch.north_m, m.touch.east_m)
    length = max(lying.size - 1, 0) * float(run.line[lay.LP_SEGMENT])
    if length < TELLING_M:
        return Found(1.0, m.laid_s, m.laid_s, at)
    first, last = shape[lying[0]], shape[lying[-1]]
    chord = math.hypot(float(last[0] - first[0]), float(last[1] - first[1]))
    return Found(min(chord / length, 1.0), m.laid_s, m.laid_s, at)


def heap_m(run: Run) -> Found:
    """Most chain that lay heaped on the anchor while it was laid [m]."""
    m = run.moments
    if m.touch is None:
        return _not_laid(run)
    span = run.span(m.touch_s, m.laid_s)
    k = span.start + int(np.argmax(run.track["heap_m"][span]))
    t_s = float(run.track["t_s"][k])
    return Found(float(run.track["heap_m"][k]), t_s, t_s, (m.touch.north_m, m.touch.east_m))


def _height_m(run: Run, span: slice) -> FloatArray:
    """Return the height of the roller above the bed over the samples of ``span``."""
    out: FloatArray = run.track["depth_m"][span] + float(run.line[lay.LP_ROLLER_Z])
    return out


def lead_aft_s(run: Run) -> Found:
    """Seconds for which a taut chain led aft of abeam, from the touch on."""
    m = run.moments
    if m.touch is None:
        return _not_laid(run)
    span = run.span(m.touch_s, m.stop_s)
    hanging_n = float(run.line[lay.LP_WEIGHT]) * _height_m(run, span)
    # The chain's own tension: the loop inboard of a snubber's hook hangs slack and may lead anywhere.
    taut = run.track["tension_n"][span] > TAUT * hanging_n
    aft = taut & (np.abs(np.nan_to_num(run.track["lead_rad"][span])) > 0.5 * math.pi)
    seconds = float(np.count_nonzero(aft)) * _period_s(run)
    when = run.track["t_s"][span][aft]
    first, last = (float(when[0]), float(when[-1])) if when.size else (m.touch_s, m.stop_s)
    return Found(seconds, first, last)


def short_scope(run: Run, span: slice) -> npt.NDArray[np.bool_]:
    """Return where over ``span`` she has a scope below 3 and chain left to give: in deep water all of it is short."""
    most_m = ALL_OUT * float(run.line[lay.LP_CARRIED])
    short: npt.NDArray[np.bool_] = run.track["out_m"][span] < np.minimum(SHORT_SCOPE * _height_m(run, span), most_m)
    return short


def early_tension_ratio(run: Run) -> Found:
    """Greatest pull at the anchor below a scope of 3 with more to give, over the load she was set with."""
    m = run.moments
    if m.touch is None:
        return _not_laid(run)
    span = run.span(m.touch_s, m.stop_s)
    short = short_scope(run, span)
    pull_n = np.where(short, run.track["anchor_load_n"][span], 0.0)
    k = span.start + int(np.argmax(pull_n))
    t_s = float(run.track["t_s"][k])
    best = setting.proved(run)
    set_load_n = max(run.target_load_n, best.thrust_n if best is not None else 0.0)
    return Found(float(pull_n.max()) / set_load_n, t_s, t_s, (m.touch.north_m, m.touch.east_m))
