"""Phase 3, way off and drop: what she was doing when the anchor touched."""

import math

from sim.base.frames import to_world, wrap_pi
from sim.base.units import TICK_HZ, deg, knots
from sim.core import events as ev
from sim.marking.run import Found, Run


def _not_dropped(run: Run) -> Found:
    return Found(None, run.moments.begin_s, run.moments.stop_s)


def sog_at_touch_kn(run: Run) -> Found:
    """Speed over the ground along her lie at the touch [kn], - astern."""
    m = run.moments
    if m.touch is None:
        return _not_dropped(run)
    k = run.track.index(m.touch_s)
    north, east = to_world(
        float(run.track["surge_mps"][k]), float(run.track["sway_mps"][k]), float(run.track["heading_rad"][k])
    )
    along = north * math.cos(run.lie_rad) + east * math.sin(run.lie_rad)
    return Found(knots(along), m.touch_s, m.touch_s, (m.touch.north_m, m.touch.east_m))


def bow_off_lie_deg(run: Run) -> Found:
    """Angle of the bow off her lie at the touch [deg]."""
    m = run.moments
    if m.touch is None:
        return _not_dropped(run)
    off = abs(wrap_pi(m.touch.heading_rad - run.lie_rad))
    return Found(deg(off), m.touch_s, m.touch_s, (m.touch.north_m, m.touch.east_m))


def drop_error_m(run: Run) -> Found:
    """Distance of the touch from the place planned [m]; no marks where no place was planned."""
    m = run.moments
    if m.touch is None or run.plan is None:
        return _not_dropped(run)
    error = math.hypot(m.touch.north_m - run.plan.drop_north_m, m.touch.east_m - run.plan.drop_east_m)
    return Found(error, m.touch_s, m.touch_s, (m.touch.north_m, m.touch.east_m))


def mark_delay_s(run: Run) -> Found:
    """Time between the touch and the mark [s], early or late; no marks where none was placed."""
    m = run.moments
    if m.touch is None:
        return _not_dropped(run)
    marks = [e for e in run.track.events if isinstance(e, ev.AnchorMarked)]
    marked_s = [e.tick / TICK_HZ for e in marks if m.let_go_s <= e.tick / TICK_HZ <= m.stop_s]
    if not marked_s:
        return Found(None, m.touch_s, m.stop_s)
    return Found(abs(marked_s[0] - m.touch_s), m.touch_s, max(marked_s[0], m.touch_s))
