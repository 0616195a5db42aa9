"""The verdict: what passes, what can never pass, and what caps the marks, each with its reason.

The rule is the same at every level; how many points an error leaves stands in the marking profile. It is judgement,
after the common practice of examiners: what could have cost a boat is never passed, whatever the points, and no run is
marked better than the gravest error named in it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking.critical import Fail
from sim.marking.errors.found import Error, root
from sim.marking.errors.setting import left_in_gear
from sim.marking.phases import berth, leave, plan_and_spot, setting
from sim.marking.run import Run
from sim.scenario.read.profile import Profile

NOTHING_PROVED = 0.2  # of the load to prove: the value that earns no marks
ACTED = (cmd.Windlass, cmd.Brake, cmd.Abort)
EASED = 0.05  # of the lever's way
OUTRIGHT_S = 10.0  # of dragging under load before something must have been done (judgement)
EVIDENCE = (ev.DepthSounded, ev.RangeTaken, ev.HailAnswered, ev.PlanMade)


@dataclass(frozen=True)
class Reason:
    """One reason why a run is not passed, or not marked higher.

    Attributes:
        code: key of its words, below ``judged.`` in the catalogue; an error's or a critical fail's own code otherwise.
        t_s: when, in seconds since the start.
        cap: most points it leaves; 100 where it only says why she did not pass.
        fails: it cannot be passed with this.
        values: the figures of its sentence.
    """

    code: str
    t_s: float
    cap: float
    fails: bool
    values: dict[str, float] = field(default_factory=dict)


Check = Callable[[Run], tuple[float, dict[str, float]] | None]


def _would_touch(run: Run) -> tuple[float, dict[str, float]] | None:
    """Return when she lay down where she would touch another hull in a wind of the stay, and by how much."""
    m = run.moments
    if m.touch is None or berth.is_one(run):
        return None
    gap = plan_and_spot.min_gap_loa(run)
    if gap is None or gap.value is None or gap.value >= 0.0:
        return None
    return m.stop_s, {"gap": -gap.value * run.loa_m}


def _would_ground(run: Run) -> tuple[float, dict[str, float]] | None:
    """Return when she lay down where her keel would meet the ground at the lowest water of the stay."""
    m = run.moments
    if m.touch is None or berth.is_one(run):
        return None
    least = plan_and_spot.least_ukc_in_sector_m(run)
    return (m.stop_s, {"under": -least}) if least is not None and least < 0.0 else None


def _not_secured(run: Run) -> tuple[float, dict[str, float]] | None:
    """Return when the run ended without a report that she was secured."""
    m = run.moments
    return (m.stop_s, {}) if m.secured_s is None else None


def _dragged_in_set(run: Run) -> tuple[float, dict[str, float]] | None:
    """Return when she had dragged more than her length in the set, where nothing was done about it."""
    m, track = run.moments, run.track
    if m.touch is None:
        return None
    first, last = track.index(m.laid_s), track.index(m.stop_s)
    north, east = (track[name][first : last + 1] for name in ("anchor_n_m", "anchor_e_m"))
    away = np.nan_to_num(np.hypot(north - north[0], east - east[0]))
    far = np.flatnonzero(away > run.loa_m)
    if far.size == 0:
        return None
    since_s = float(track["t_s"][first + int(np.argmax(away > setting.PROVED_M))])
    until_s = float(track["t_s"][first + far[0]]) + OUTRIGHT_S
    levers = [o.lever for tick, o in run.orders if isinstance(o, cmd.Engine) and tick / TICK_HZ <= since_s]
    astern = min(levers[-1:], default=0.0)
    for tick, order in run.orders:
        # More astern is no answer to a drag; easing, veering, heaving or calling it off is one.
        eased = isinstance(order, cmd.Engine) and order.lever > astern + EASED
        if since_s <= tick / TICK_HZ <= until_s and (eased or isinstance(order, ACTED)):
            return None
    return float(track["t_s"][first + far[0]]), {"dragged": float(away.max())}


def _dragged_at_night(run: Run) -> tuple[float, dict[str, float]] | None:
    """Return when the night brought a drag of more than her length that nobody answered."""
    night = run.night
    if night is None or night.drag_m <= run.loa_m or any(a.delay_s is not None for a in night.answers):
        return None
    return night.drag_s, {"dragged": night.drag_m}


def _nothing_proved(run: Run) -> tuple[float, dict[str, float]] | None:
    """Return when she was left with no load to speak of proved."""
    found, m = setting.proved_load_ratio(run), run.moments
    enough = found.value is not None and found.value >= NOTHING_PROVED
    if m.touch is None or (enough and setting.was_tested(run)):
        return None
    return m.stop_s, {"percent": 100.0 * setting.tested_share(run)}


def _in_gear(run: Run) -> tuple[float, dict[str, float]] | None:
    """Return when she was reported secured with an engine in gear."""
    sign = left_in_gear(run)
    return (sign.t_s, {}) if sign is not None else None


# What is never passed, whatever the points.
NEVER: dict[str, Check] = {
    "would_touch": _would_touch,
    "would_ground": _would_ground,
    "dragged_in_set": _dragged_in_set,
    "dragged_at_night": _dragged_at_night,
    "nothing_proved": _nothing_proved,
    "in_gear": _in_gear,
    "not_secured": _not_secured,
}


def _leaving(run: Run, cap: float) -> list[Reason]:
    """Return why a refusal is not passed: a reason that does not hold, or nothing that was looked at."""
    left = leave.refused(run)
    assert left is not None  # asked only where she left
    t_s = left.tick / TICK_HZ
    if left.reason not in run.stay.refusals:
        return [Reason("wrong_reason", t_s, cap, True)]
    looked = any(isinstance(e, EVIDENCE) and e.tick <= left.tick for e in run.track.events)
    return [] if looked else [Reason("not_looked", t_s, cap, True)]


def _by_errors(found: Sequence[Error], profile: Profile) -> list[Reason]:
    """Return what the gravest errors leave; one that is doubtful caps nothing."""
    caps = profile.caps
    sure = [e for e in found if e.certainty >= caps.certain]
    out = [Reason(e.code, e.t_s, caps.danger, False) for e in sure if e.weight >= 5]
    # Each grave error more takes as much again, so that two are never marked like one.
    grave = sorted((e for e in sure if e.weight == 4), key=lambda e: (e.t_s, e.code))
    out += [
        Reason(e.code, e.t_s, max(caps.grave - k * caps.each_more, caps.danger), False) for k, e in enumerate(grave)
    ]
    out += [Reason(e.code, e.t_s, caps.minor, False) for e in sure if e.weight == 2][:1]
    if sure:
        first = root(sure[0], sure)
        out += [Reason(first.code, first.t_s, caps.first_cause, False)] if first.weight == 3 else []
    return out


def find_reasons(run: Run, profile: Profile, fails: Sequence[Fail], found: Sequence[Error]) -> tuple[Reason, ...]:
    """Return every reason against a run, what fails it first, then by what it leaves, then by time.

    Args:
        run: the run.
        profile: how its level is marked.
        fails: its critical fails.
        found: its errors.
    """
    out = [Reason(f.code, f.t_s, profile.cap_points, True) for f in fails]
    if leave.is_answer(run):
        out += _leaving(run, profile.caps.never)
    elif (left := leave.refused(run)) is not None:
        out.append(Reason("could_stay", left.tick / TICK_HZ, profile.caps.never, True))
    else:
        for code, check in NEVER.items():
            what = check(run)
            if what is not None:
                out.append(Reason(code, what[0], profile.caps.never, True, what[1]))
    out += _by_errors(found, profile)
    return tuple(sorted(out, key=lambda r: (not r.fails, r.cap, r.t_s, r.code)))


def capped(earned: float, reasons: Sequence[Reason]) -> float:
    """Return the points that are left: what was earned, or the least that any reason leaves.

    >>> capped(83.0, [Reason("in_gear", 0.0, 65.0, True)]), capped(83.0, [])
    (65.0, 83.0)
    """
    return min([earned, *(r.cap for r in reasons)])
