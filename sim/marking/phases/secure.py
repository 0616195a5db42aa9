"""Phase 6, secure and settle: the snubber's load, the alarm, the light."""

import math

import numpy as np

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.marking.phases import berth
from sim.marking.run import Found, Run
from sim.model import layout as lay
from sim.model.tackle.catenary import reach_on_bed_m

CENTRE_M = 5.0  # the alarm's centre may lie so far from the anchor
POSITION_ERROR_M = 5.0  # 95 % error of a satellite fix in the open (common practice: 3 to 5)
STRETCH_M = 2.0
RODE_SHARE = 0.10
RADIUS_BAND = (0.75, 1.35)  # of the radius reckoned: below rings for nothing, above rings too late (judgement)
SETTLED_S = 10.0
SLACK = 1.3  # times the weight of chain hanging straight down from the roller: no more is a slack bight (judgement)
WATCH_S = 120.0  # with the engine ready, through a swing or two (judgement)


def snubber_carries(run: Run) -> bool:
    """Return whether the snubber had the load at the end: hooked, pulling, and the chain beside it a slack bight."""
    track, m = run.track, run.moments
    span = run.span(m.stop_s - SETTLED_S, m.stop_s)
    nylon_n = float((track["snubber_a_n"][span] + track["snubber_b_n"][span]).mean())
    chain_n = float(track["tension_n"][span].mean())
    height_m = float(track["depth_m"][span].mean()) + float(run.line[lay.LP_ROLLER_Z])
    bight_n = SLACK * float(run.line[lay.LP_WEIGHT]) * height_m
    return bool(track["hook"][span][-1] >= 0.0 and nylon_n > 0.0 and chain_n <= max(nylon_n, bight_n))


def watched(run: Run) -> bool:
    """Return whether she was watched on her snubber for a while before she was reported secured."""
    m = run.moments
    hooked = [e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.SnubberHooked)]
    before = [s for s in hooked if m.touch_s <= s <= m.stop_s]
    return m.secured_s is not None and bool(before) and m.secured_s - before[-1] >= WATCH_S


def alarm_radius_m(run: Run, north_m: float, east_m: float, rode_m: float) -> float:
    """Return the alarm radius that common practice reckons for a rode [m].

    Reach at the lowest water, bow to antenna, the snubber's stretch, the error of the fix, a tenth of the rode.
    """
    height_m = run.roller_above_bed_m(north_m, east_m, run.stay.low_m)
    p = run.params.boat.particulars
    to_antenna_m = p.roller_x_m - p.antenna_x_m
    return reach_on_bed_m(rode_m, height_m) + to_antenna_m + STRETCH_M + POSITION_ERROR_M + RODE_SHARE * rode_m


def signal_shown(run: Run) -> bool:
    """Return whether she shows what the hour asks for when the attempt ends: an anchor light, or by day a ball."""
    end_s = run.moments.stop_s
    shown = [e for e in run.track.events if isinstance(e, ev.LightsShown) and e.tick / TICK_HZ <= end_s]
    return bool(shown) and (shown[-1].anchor_light if run.dark(end_s) else shown[-1].ball)


def items(run: Run) -> dict[str, bool]:
    """Return each thing to be secured and whether it was; empty where no anchor is down."""
    m, track = run.moments, run.track
    if m.touch is None:
        return {}
    k = track.index(m.stop_s)
    anchor = (float(track["anchor_n_m"][k]), float(track["anchor_e_m"][k]))
    alarms = [e for e in track.events if isinstance(e, ev.AlarmSet) and e.tick / TICK_HZ <= m.stop_s]
    alarm = alarms[-1] if alarms and alarms[-1].on else None
    centred = in_band = False
    if alarm is not None and not np.isnan(anchor[0]):
        centred = math.hypot(alarm.north_m - anchor[0], alarm.east_m - anchor[1]) <= CENTRE_M
        share = alarm.radius_m / alarm_radius_m(run, *anchor, float(track["out_m"][k]))
        in_band = RADIUS_BAND[0] <= share <= RADIUS_BAND[1]
    return {
        "snubber": snubber_carries(run),
        "alarm_centre": centred,
        "alarm_radius": in_band,
        "light": signal_shown(run),
        "watched": watched(run),
    }


def listed(run: Run) -> dict[str, bool]:
    """Return each thing on the list before she is reported secured, and whether it was done."""
    return berth.items(run) if berth.is_one(run) else items(run)


def secured_items(run: Run) -> Found:
    """Share of the things to be secured that were; none where no anchor is down."""
    done = listed(run)
    m = run.moments
    if not done:
        return Found(None, m.begin_s, m.stop_s)
    return Found(sum(done.values()) / len(done), m.laid_s, m.stop_s)
