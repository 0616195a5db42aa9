"""Stern to a quay: what of the marking means nothing there, and what is asked of the berth instead."""

import math

from sim.base.frames import bearing_rad, to_body, to_world, wrap_pi
from sim.base.units import TICK_HZ, deg
from sim.core import events as ev
from sim.marking.run import Found, Run

# She does not swing, is laid with sternway on, comes on no line to leeward, and is proved by windlass against the line.
NO_MEASURES = (
    "ph1.min_ukc_m",
    "ph1.min_gap_loa",
    "ph1.veer_room",
    "ph2.approach_error_deg",
    "ph3.sog_at_touch_kn",
    "ph5.load_steps",
)
NO_ERRORS = ("A4", "A5", "A7", "A8", "A9", "E1", "E5", "E7", "E9", "F1", "F6")
WATCH_S = 120.0  # fast between chain and line before she is reported secured (judgement)


def is_one(run: Run) -> bool:
    """Return whether the lesson asks for a berth stern to a quay."""
    return run.stay.berth_rad is not None


def chain_off_deg(run: Run) -> Found | None:
    """Angle of the chain, from where her bow shall lie, off straight ahead of the berth [deg]; None without a berth."""
    m, berth_rad, brief = run.moments, run.stay.berth_rad, run.brief
    if berth_rad is None or brief is None or brief.anchorage.seat_m is None:
        return None
    k = run.track.index(m.stop_s)
    at = float(run.track["anchor_n_m"][k]), float(run.track["anchor_e_m"][k])
    if m.touch is None or math.isnan(at[0]):
        return Found(None, m.begin_s, m.stop_s)
    bow = to_world(run.params.boat.particulars.roller_x_m, 0.0, berth_rad)
    leads = bearing_rad(at[0] - brief.anchorage.seat_m[0] - bow[0], at[1] - brief.anchorage.seat_m[1] - bow[1])
    return Found(abs(deg(wrap_pi(leads - berth_rad))), m.stop_s, m.stop_s, at)


def items(run: Run) -> dict[str, bool]:
    """Return each thing to be secured in a berth and whether it was; empty where no anchor is down."""
    m, berth_rad, brief = run.moments, run.stay.berth_rad, run.brief
    if m.touch is None or berth_rad is None or brief is None or brief.anchorage.seat_m is None:
        return {}
    made = [e for e in run.track.events if isinstance(e, ev.LineAshore) and e.tick / TICK_HZ <= m.stop_s]
    to_windward = False
    if made:
        mark = next(x for x in run.params.bay.marks if x.name == made[0].mark)
        _, side = to_body(mark.north_m - brief.anchorage.seat_m[0], mark.east_m - brief.anchorage.seat_m[1], berth_rad)
        to_windward = side * math.sin(wrap_pi(run.stay.wind_from_rad - berth_rad)) > 0.0
    watched = bool(made) and m.secured_s is not None and m.secured_s - made[-1].tick / TICK_HZ >= WATCH_S
    return {"line": bool(made), "to_windward": to_windward, "watched": watched}
