"""B. Approach, way off, drop."""

import math

import numpy as np

from sim.base.frames import wrap_pi
from sim.base.units import deg, knots, mps
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking.errors.signs import (
    Detector,
    Sign,
    astern_share,
    happened,
    height_m,
    ordered,
    place,
    seconds,
    speed_mps,
    spell,
    sure,
    touch_at,
)
from sim.marking.phases import approach as measured
from sim.marking.phases import drop
from sim.marking.phases.lay import TAUT
from sim.marking.phases.recovery import begun_s
from sim.marking.run import Run
from sim.model import layout

CLOSE_LOA = 3.0
INSIDE_LOA = 6.0
ROOM_OFF_M = 1.0  # beside her own half beam, over a rode
RISING_SHARE = 0.6  # of a rode from the bow lies up in the water
STOPPED_MPS = mps(0.3)
HEAP_S = 45.0


def too_fast(run: Run) -> Sign | None:
    """B1: above 3 kn inside, or above 2.4 kn within three lengths of a boat, before the drop."""
    track, m = run.track, run.moments
    span = run.span(max(m.begin_s, measured.GIVEN_S), max(m.let_go_s, measured.GIVEN_S))
    sog = np.array([knots(v) for v in speed_mps(run)[span]])
    north, east = measured.spot(run)
    inside = np.hypot(track["north_m"][span] - north, track["east_m"][span] - east) <= INSIDE_LOA * run.loa_m
    over = np.where(inside, sog - 3.0, -1.0)
    if run.params.neighbours:
        close = measured.gaps_m(run, span).min(axis=1) <= CLOSE_LOA * run.loa_m
        over = np.maximum(over, np.where(close, sog - 2.4, -1.0))
    k = int(np.argmax(over))
    if over[k] <= 0.0:
        return None
    t_s = float(track["t_s"][span][k])
    return Sign(t_s, sure(float(over[k]), 0.0, 0.8), {"speed": float(sog[k])}, place(run, t_s))


def over_a_rode(run: Run) -> Sign | None:
    """B2: passed over another boat's rode, between her bow and where it reaches the ground."""
    if not run.params.neighbours:
        return None
    track, m = run.track, run.moments
    span = run.span(m.begin_s, m.touch_s)
    gaps = measured.rode_gaps_m(run, span, RISING_SHARE).min(axis=1) - 0.5 * float(run.params.boat.particulars.beam_m)
    k = int(np.argmin(gaps))
    if gaps[k] >= ROOM_OFF_M:
        return None
    t_s = float(track["t_s"][span][k])
    return Sign(t_s, sure(float(gaps[k]), ROOM_OFF_M, 0.0), {"gap": max(float(gaps[k]), 0.0)}, place(run, t_s))


def headway(run: Run) -> Sign | None:
    """B3: headway at the touch."""
    touch = run.moments.touch
    if touch is None or knots(touch.along_mps) <= 0.3:
        return None
    speed = knots(touch.along_mps)
    off = abs(wrap_pi(touch.heading_rad - run.lie_rad))
    way = "downwind" if off > 0.5 * math.pi else ""
    return Sign(run.moments.touch_s, sure(speed, 0.3, 0.8), {"speed": speed}, touch_at(run), way)


def stopped_in_the_water(run: Run) -> Sign | None:
    """B4: stopped through the water, and moving ahead over the ground, when it touched."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    k = track.index(m.touch_s)
    heading = float(track["heading_rad"][k])
    stream = float(track["stream_n_mps"][k]) * math.cos(heading) + float(track["stream_e_mps"][k]) * math.sin(heading)
    over_ground, through = knots(m.touch.along_mps), knots(m.touch.along_mps - stream)
    if abs(through) > 0.5 or over_ground < 0.5:
        return None
    return Sign(m.touch_s, sure(over_ground, 0.5, 1.0), {"speed": over_ground, "log": abs(through)}, touch_at(run))


def heap(run: Run) -> Sign | None:
    """B5: three metres and more of chain heaped on the anchor within moments of the touch."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    span = run.span(m.touch_s, m.touch_s + HEAP_S)
    heap_m = track["heap_m"][span]
    k = int(np.argmax(heap_m))
    if heap_m[k] < 3.0:
        return None
    t_s = float(track["t_s"][span][int(np.argmax(heap_m >= 3.0))])
    return Sign(t_s, sure(float(heap_m[k]), 3.0, 5.0), {"heap": float(heap_m[k])}, touch_at(run))


def beam_on(run: Run) -> Sign | None:
    """B6: the bow had gone more than 45 degrees off her lie when it touched."""
    found = drop.bow_off_lie_deg(run)
    if found.value is None or found.value <= 45.0:
        return None
    return Sign(found.from_s, sure(found.value, 45.0, 60.0), {"off": found.value}, found.at)


def _stopped_s(run: Run) -> float | None:
    """Return when she had first stopped on the spot before the drop, None where she never had."""
    m, track = run.moments, run.track
    north, east = measured.spot(run)
    span = run.span(m.begin_s, m.let_go_s)
    near = np.hypot(track["north_m"][span] - north, track["east_m"][span] - east) <= CLOSE_LOA * run.loa_m
    slow = near & (np.abs(track["surge_mps"][span]) < STOPPED_MPS)
    return float(track["t_s"][span][int(np.argmax(slow))]) if slow.any() else None


def waited(run: Run) -> Sign | None:
    """B7: lay stopped for more than 20 s before the anchor went, without way and without steerage."""
    m = run.moments
    since_s = _stopped_s(run)
    if m.touch is None or since_s is None or m.let_go_s - since_s < 20.0:
        return None
    north, east = place(run, since_s)
    now = place(run, m.let_go_s)
    drift = math.hypot(now[0] - north, now[1] - east)
    wait_s = m.let_go_s - since_s
    return Sign(since_s, sure(wait_s, 20.0, 40.0), {"wait": wait_s, "drift": drift}, (north, east))


def not_cleared_away(run: Run) -> Sign | None:
    """B8: the order to let go was followed by nothing for more than 8 s."""
    m = run.moments
    since_s = m.begin_s
    freeing = [t for t, o in ordered(run, cmd.Brake, since_s, m.let_go_s) if o.grip < 0.5]
    freeing += [t for t, o in ordered(run, cmd.Windlass, since_s, m.let_go_s) if o.motion > 0]
    refused = [seconds(e) for e in happened(run, ev.Declined, since_s, m.let_go_s) if e.what == "windlass"]
    asked = sorted([*freeing, *refused])
    # An anchor hung ready some time before the drop was cleared away well.
    if m.touch is None or not asked or not happened(run, ev.AnchorLetGo, since_s, m.let_go_s + 1.0):
        return None
    delay = m.let_go_s - asked[0]
    if delay <= 8.0:
        return None
    return Sign(asked[0], sure(delay, 8.0, 14.0), {"delay": delay}, place(run, asked[0]))


def depth_unknown(run: Run) -> Sign | None:
    """B9: let go where nobody had a depth for: not the plan's, and not sounded."""
    m, p = run.moments, run.plan
    if m.touch is None or happened(run, ev.DepthSounded, m.let_go_s - 300.0, m.let_go_s):
        return None
    planned = p.depth_m if p is not None else 0.0
    off = abs(planned - m.touch.depth_m)
    least = max(1.2, 0.2 * m.touch.depth_m)
    if off < least:
        return None
    return Sign(
        m.let_go_s, sure(off, least, 2.0 * least), {"depth": m.touch.depth_m, "planned": planned}, touch_at(run)
    )


def prop_walk(run: Run) -> Sign | None:
    """B10: astern walked her bow off to the side it always goes to."""
    m, track = run.moments, run.track
    hand = float(run.params.boat.shafts[0, 10])
    if m.touch is None or run.params.boat.shaft_count > 1 or hand == 0.0:
        return None
    span = run.span(m.touch_s - 30.0, m.touch_s)
    astern = astern_share(run)[span] > 0.08
    if not astern.any():
        return None
    heading = track["heading_rad"][span]
    first = int(np.argmax(astern))
    off = np.array([deg(wrap_pi(float(h) - run.lie_rad)) for h in heading]) * hand
    swung = float(off[-1] - off[first])
    if swung < 15.0 or off[-1] < 20.0 or astern_share(run)[span].max() < 0.3:
        return None
    t_s = float(track["t_s"][span][first])
    return Sign(t_s, sure(swung, 15.0, 30.0), {"swung": swung, "off": float(off[-1])}, place(run, t_s))


def not_marked(run: Run) -> Sign | None:
    """B11: no mark within 15 s of the touch."""
    m = run.moments
    found = drop.mark_delay_s(run)
    if m.touch is None or (found.value is not None and found.value <= 15.0):
        return None
    late = m.stop_s - m.touch_s if found.value is None else found.value
    return Sign(m.touch_s, sure(late, 15.0, 30.0), {"late": late}, touch_at(run))


def wash_trusted(run: Run) -> Sign | None:
    """B12: let go in her own astern wash, with way still on."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    speed = knots(float(track["surge_mps"][track.index(m.let_go_s)]))
    washed = astern_share(run)[run.span(m.let_go_s - 5.0, m.let_go_s)].max() > 0.1
    if speed <= 0.5 or not washed:
        return None
    return Sign(m.let_go_s, sure(speed, 0.5, 1.0), {"speed": speed}, place(run, m.let_go_s))


def never_aborted(run: Run) -> Sign | None:
    """F7: carried on 15 s and more past an abort criterion: bow far off before the drop, or chain under the boat."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    since_s = _stopped_s(run)
    stretches = []
    if since_s is not None:
        span = run.span(since_s, m.touch_s)
        off = np.abs(np.angle(np.exp(1j * (track["heading_rad"][span] - run.lie_rad)))) > math.radians(45.0)
        stretches.append(spell(track["t_s"][span], off, 15.0))
    after = run.span(m.touch_s, min(m.stop_s, begun_s(run)))
    taut = track["tension_n"][after] > TAUT * float(run.line[layout.LP_WEIGHT]) * height_m(run)[after]
    aft = taut & (np.abs(np.nan_to_num(track["lead_rad"][after])) > math.radians(120.0))
    stretches.append(spell(track["t_s"][after], aft, 15.0))
    for found in stretches:
        if found is None or happened(run, ev.Aborted, found[0], found[1] + 5.0):
            continue
        if ordered(run, cmd.Abort, found[0], found[1] + 5.0):  # said, though the anchor was not home yet
            continue
        lasted = found[1] - found[0]
        return Sign(found[0] + 15.0, sure(lasted, 15.0, 25.0), {"lasted": lasted}, place(run, found[0]))
    return None


DETECTORS: dict[str, Detector] = {
    "B1": too_fast,
    "B2": over_a_rode,
    "B3": headway,
    "B4": stopped_in_the_water,
    "B5": heap,
    "B6": beam_on,
    "B7": waited,
    "B8": not_cleared_away,
    "B9": depth_unknown,
    "B10": prop_walk,
    "B11": not_marked,
    "B12": wash_trusted,
}
