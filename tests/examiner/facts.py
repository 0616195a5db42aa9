"""What a raw run shows: the figures by which it is checked that a case was sailed as it is described.

Nothing here judges; each is read from positions, forces, chain and events as sampled.
"""

import math
from collections.abc import Callable
from functools import cached_property
from typing import Any

import numpy as np
from examiner.hands import Sailed
from examiner.ship import deg, ev, knots, planning, wrap_pi

NONE_OF_IT = -999.0
Fact = float | bool | str


class Raw:
    """A run with what its facts are read from."""

    def __init__(self, sailed: Sailed) -> None:
        """Look at a run."""
        self.sailed, self.track = sailed, sailed.track
        self.lesson = sailed.attempt.exercise.lesson
        boat = sailed.case.boat
        self.brief = self.lesson.brief if boat is None else self.lesson.brief_in(boat)
        self.world = sailed.attempt.exercise.world

    def events(self, kind: type[Any]) -> list[Any]:
        """Return what happened of a kind before the night."""
        return [e for e in self.track.events if isinstance(e, kind)]

    @cached_property
    def touches(self) -> list[Any]:
        """Every time the anchor met the bottom, after it had left the roller."""
        return self.events(ev.AnchorTouched)

    @property
    def last(self) -> Any:
        """The touch that counts."""
        return self.touches[-1]

    def after_touch(self) -> Any:
        """Return which samples lie after the last touch, before a helper of the night."""
        t_s = self.track["t_s"]
        return (t_s > self.last.tick / 60.0) & (t_s <= self.sailed.end_s)

    def astern_n(self) -> Any:
        """Return the pull astern of all screws."""
        return -(np.nan_to_num(self.track["thrust_n_0"]) + np.nan_to_num(self.track["thrust_n_1"]))

    def hulls_m(self) -> Any:
        """Return the least distance between her middle line and any other's, once a second; 999 for nobody."""
        others = self.track.others
        if not others.shape[1]:
            return np.full(len(self.track.slow_t_s), 999.0)
        k = [self.track.index(float(t)) for t in self.track.slow_t_s]
        own = _line(
            self.track["north_m"][k], self.track["east_m"][k], self.track["heading_rad"][k], self.brief.boat.loa_m
        )
        away = []
        for i, n in enumerate(self.world.params.neighbours):
            p = n.boat.particulars
            line = _line(others[:, i, 0], others[:, i, 1], others[:, i, 2], p.loa_m)
            apart = np.hypot(*(own[:, :, None, :] - line[:, None, :, :]).transpose(3, 0, 1, 2)).min(axis=(1, 2))
            away.append(apart - 0.4 * (self.brief.boat.beam_m + 0.3 * p.loa_m))
        return np.min(away, axis=0)


def _line(north: Any, east: Any, heading: Any, loa_m: float) -> Any:
    """Return ``float64[n, 7, 2]``: points along a hull's middle line."""
    along = np.linspace(-0.5, 0.5, 7) * loa_m
    ahead = np.stack([np.cos(heading), np.sin(heading)], axis=-1)
    return np.stack([north, east], axis=-1)[:, None, :] + along[None, :, None] * ahead[:, None, :]


def _touch_off_deg(raw: Raw) -> float:
    k = raw.track.index(raw.last.tick / 60.0)
    back = slice(max(k - 300, 0), k + 1)  # a minute
    wind_n, wind_e = raw.track["wind_n_mps"][back].mean(), raw.track["wind_e_mps"][back].mean()
    return float(abs(deg(wrap_pi(raw.last.heading_rad - math.atan2(-wind_e, -wind_n)))))


def _sternway_kn(raw: Raw) -> float:
    """Return the most sternway kept for five seconds after the touch, until a minute later."""
    t_s = raw.track["t_s"]
    since = raw.last.tick / 60.0
    surge = -raw.track["surge_mps"][(t_s > since) & (t_s < since + 240.0)]
    mean = np.convolve(surge, np.ones(25) / 25.0, "valid") if len(surge) > 25 else np.zeros(1)
    return float(knots(mean.max()))


def _rise_s(raw: Raw) -> float:
    """Return how long the pull astern took from a tenth of the most it reached to nine tenths."""
    pull = np.where(raw.after_touch(), raw.astern_n(), 0.0)
    k = int(np.argmax(pull))
    under = np.flatnonzero(pull[:k] < 0.1 * pull[k])
    over = np.flatnonzero(pull[: k + 1] > 0.9 * pull[k])
    first = under[-1] if len(under) else 0
    return float((over[over > first][0] - first) * 0.2)


def _scope_high(raw: Raw) -> float:
    return _out_m(raw) / float(raw.last.depth_m + raw.brief.tide.rise_m + raw.brief.boat.roller_height_m)


def _out_m(raw: Raw) -> float:
    return float(raw.track["out_m"][-1])


def _moved_m(raw: Raw) -> float:
    """Return how far the anchor lies at the end from where it touched last."""
    t = raw.track
    return math.hypot(t["anchor_n_m"][-1] - raw.last.north_m, t["anchor_e_m"][-1] - raw.last.east_m)


def _moved_first_m(raw: Raw) -> float:
    """Return the farthest the anchor got from its first touch while still on the ground of that attempt."""
    t, first = raw.track, raw.touches[0]
    homes = [e.tick for e in raw.events(ev.AnchorAweigh) if e.tick > first.tick]
    until = homes[0] / 60.0 if homes else raw.sailed.end_s
    k = (t["t_s"] > first.tick / 60.0) & (t["t_s"] <= until)
    return float(np.nanmax(np.hypot(t["anchor_n_m"][k] - first.north_m, t["anchor_e_m"][k] - first.east_m)))


def _plan_off_m(raw: Raw) -> float:
    plan = raw.events(ev.PlanMade)[-1]
    return math.hypot(plan.drop_north_m - raw.last.north_m, plan.drop_east_m - raw.last.east_m)


def _ring_out_m(raw: Raw) -> float:
    a = raw.brief.anchorage
    return math.hypot(a.north_m - raw.last.north_m, a.east_m - raw.last.east_m) - a.radius_m


def _seat_off_m(raw: Raw) -> float:
    seat = raw.brief.anchorage.seat_m
    assert seat is not None
    return math.hypot(raw.track["north_m"][-1] - seat[0], raw.track["east_m"][-1] - seat[1])


def _her_anchor_m(raw: Raw) -> float:
    """Return how far from the nearest anchor of another boat the own one touched."""
    others = raw.lesson.sources.lesson.neighbours
    return min(math.hypot(o.anchor_north_m - raw.last.north_m, o.anchor_east_m - raw.last.east_m) for o in others)


def _her_chain_m(raw: Raw) -> float:
    """Return how far the touch lies from the line between another boat's bow and her anchor."""
    k = raw.track.slow_index(raw.last.tick / 60.0)
    best = 999.0
    for i, o in enumerate(raw.lesson.sources.lesson.neighbours):
        north, east, heading = raw.track.others[k, i]
        half = 0.5 * raw.world.params.neighbours[i].boat.particulars.loa_m
        bow = np.array([north + half * math.cos(heading), east + half * math.sin(heading)])
        along = np.linspace(bow, [o.anchor_north_m, o.anchor_east_m], 60)
        best = min(best, float(np.hypot(*(along - [raw.last.north_m, raw.last.east_m]).T).min()))
    return best


def _keel_low_m(raw: Raw) -> float:
    """Return the water under the keel at the lowest water of the stay, where she lies at the end."""
    charted = raw.lesson.charted_m(float(raw.track["north_m"][-1]), float(raw.track["east_m"][-1]))
    return charted + raw.brief.tide.now_m - raw.brief.tide.fall_m - raw.brief.boat.draught_m


def _mark_s(raw: Raw) -> float:
    marks = [e.tick for e in raw.events(ev.AnchorMarked) if e.tick >= raw.last.tick]
    return (marks[0] - raw.last.tick) / 60.0 if marks else NONE_OF_IT


def _alarm_off_m(raw: Raw) -> float:
    alarms = raw.events(ev.AlarmSet)
    if not alarms:
        return NONE_OF_IT
    t = raw.track
    return math.hypot(alarms[-1].north_m - t["anchor_n_m"][-1], alarms[-1].east_m - t["anchor_e_m"][-1])


def _fast_kn(raw: Raw) -> float:
    """Return the most way over the ground inside the place asked for, and 60 m about it."""
    a, t = raw.brief.anchorage, raw.track
    near = np.hypot(t["north_m"] - a.north_m, t["east_m"] - a.east_m) < a.radius_m + 60.0
    return float(knots(np.hypot(t["surge_mps"], t["sway_mps"])[near].max(initial=0.0)))


def _pull_share(raw: Raw) -> float:
    return float(raw.astern_n()[raw.after_touch()].max(initial=0.0)) / raw.brief.boat.astern_pull_n


def _astern_s(raw: Raw) -> float:
    """Return for how long the screws pulled astern with more than a twentieth of her pull, after the touch."""
    share = raw.astern_n()[raw.after_touch()] / raw.brief.boat.astern_pull_n
    return float(np.count_nonzero(share > 0.05) * 0.2)


def _night_drag_m(raw: Raw) -> float:
    places = np.array(raw.sailed.anchors).reshape(-1, 2)
    if not len(places):
        return NONE_OF_IT
    return float(np.hypot(places[:, 0] - places[0, 0], places[:, 1] - places[0, 1]).max())


def _gear_end(raw: Raw) -> bool:
    return bool(abs(raw.track["lever_0"][-1]) > 0.03)


def _stopper(raw: Raw) -> bool:
    return bool(raw.track["stopper"][-1] > 0.5)


def _gust_need_m(raw: Raw) -> float:
    """Return what lies out over what the forecast's worst gust asks for at the highest water."""
    return _out_m(raw) / planning.needed_m(raw.brief, raw.last.depth_m)


def _both(raw: Raw, kind: type[Any]) -> list[Any]:
    return raw.events(kind) + [e for e in raw.sailed.heard if isinstance(e, kind)]


def _of_own(events: list[Any]) -> bool:
    return any(e.boat == 0 or getattr(e, "other", -9) == 0 for e in events)


FACTS: dict[str, Callable[[Raw], Fact]] = {
    "end": lambda raw: raw.sailed.why,
    "end_s": lambda raw: raw.sailed.end_s,
    "reason": lambda raw: raw.events(ev.Left)[-1].reason if raw.events(ev.Left) else "",
    "touches": lambda raw: len(raw.touches),
    "aborts": lambda raw: len(raw.events(ev.Aborted)),
    "touch_kn": lambda raw: knots(raw.last.along_mps),
    "first_touch_kn": lambda raw: knots(raw.touches[0].along_mps),
    "touch_off_deg": _touch_off_deg,
    "touch_bottom": lambda raw: raw.last.bottom,
    "first_bottom": lambda raw: raw.touches[0].bottom,
    "sternway_kn": _sternway_kn,
    "plans": lambda raw: len(raw.events(ev.PlanMade)),
    "plan_read": lambda raw: bool(raw.events(ev.PlanMade)[-1].reading),
    "plan_limits": lambda raw: bool(raw.events(ev.PlanMade)[-1].abort),
    "plan_off_m": _plan_off_m,
    "ring_out_m": _ring_out_m,
    "seat_off_m": _seat_off_m,
    "her_anchor_m": _her_anchor_m,
    "her_chain_m": _her_chain_m,
    "out_m": _out_m,
    "scope_high": _scope_high,
    "gust_need": _gust_need_m,
    "keel_low_m": _keel_low_m,
    "heap_m": lambda raw: float(np.nanmax(raw.track["heap_m"][raw.after_touch()])),
    "pull_share": _pull_share,
    "astern_s": _astern_s,
    "rise_s": _rise_s,
    "moved_m": _moved_m,
    "moved_first_m": _moved_first_m,
    "mark_s": _mark_s,
    "alarm_off_m": _alarm_off_m,
    "fast_kn": _fast_kn,
    "gap_least_m": lambda raw: float(raw.hulls_m().min()),
    "gap_end_m": lambda raw: float(raw.hulls_m()[-1]),
    "in_gear": _gear_end,
    "stopper": _stopper,
    "hooked": lambda raw: len(raw.events(ev.SnubberHooked)) > len(raw.events(ev.SnubberCast)),
    "transits": lambda raw: len(raw.events(ev.TransitTaken)),
    "ranges": lambda raw: len(raw.events(ev.RangeTaken)),
    "hails": lambda raw: len(raw.events(ev.HailAnswered)),
    "soundings": lambda raw: len(raw.events(ev.DepthSounded)),
    "dives": lambda raw: len(raw.events(ev.DiverReported)),
    "ball": lambda raw: bool(raw.events(ev.LightsShown)) and raw.events(ev.LightsShown)[-1].ball,
    "light": lambda raw: bool(raw.events(ev.LightsShown)) and raw.events(ev.LightsShown)[-1].anchor_light,
    "under_hull": lambda raw: len(raw.events(ev.ChainUnderHull)),
    "touched_hull": lambda raw: _of_own(_both(raw, ev.Touched)),
    "aground": lambda raw: _of_own(_both(raw, ev.Grounded)),
    "gone": lambda raw: any(isinstance(e, ev.Departed) for e in raw.sailed.heard),
    "answers": lambda raw: sum(isinstance(e, ev.WatchEnded) for e in raw.sailed.heard),
    "night_drag_m": _night_drag_m,
    "night_away_m": lambda raw: min(raw.sailed.gaps_m, default=NONE_OF_IT),
}


def found(sailed: Sailed, names: tuple[str, ...] | None = None) -> dict[str, Fact]:
    """Return facts of a run by name: those asked for, or all that it has."""
    raw, out = Raw(sailed), {}
    for name in names or tuple(FACTS):
        try:
            value = FACTS[name](raw)
        except (IndexError, AssertionError, ValueError):
            if names:
                raise
            continue
        out[name] = round(value, 2) if isinstance(value, float) else value
    return out


def wrong(sailed: Sailed) -> list[str]:
    """Return which of a case's facts do not hold, in words; empty where the run is as described."""
    out = []
    for name, (value, wanted) in {
        name: (found(sailed, (name,))[name], wanted) for name, wanted in sailed.case.facts.items()
    }.items():
        if isinstance(wanted, list):
            assert not isinstance(value, str)
            holds = wanted[0] <= value <= wanted[1]
        else:
            holds = value == wanted
        if not holds:
            out.append(f"{name}: {value}, not {wanted}")
    return out
