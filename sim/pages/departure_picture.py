"""The departure in pictures: how she weighed and left, from above and in strips."""

import math
from dataclasses import replace

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import MPS_PER_KN, TICK_HZ
from sim.core import events as ev
from sim.marking.run import Run
from sim.pages import bay_picture, plan_picture, svg
from sim.pages.bay_picture import View
from sim.pages.plan_picture import Moment
from sim.pages.strip_picture import Axis, Line, Say, clock, draw_strip, foot, height_of, numbers, strip_top, ticks

WIDTH = 960.0
_LEAST_M, _MARGIN_M = 110.0, 30.0
_FOOT = 46.0
_NONE: Line = (np.zeros(0), np.zeros(0))
# What is numbered, in the order in which it happens when all goes well.
_MOMENTS: tuple[tuple[str, type[ev.Event]], ...] = (
    ("across", ev.RodeSeenAcross),
    ("slipped", ev.RodeSlipped),
    ("aweigh", ev.AnchorAweigh),
    ("home", ev.AnchorHome),
    ("gone", ev.Departed),
)


def moments(out: Run, say: Say) -> list[Moment]:
    """Return the numbered moments of a departure, in order of time, the helm taken first."""
    when = [(float(out.track["t_s"][0]), "morning")]
    for key, kind in _MOMENTS:
        times = [e.tick / TICK_HZ for e in out.track.events if isinstance(e, kind)]
        when += [(times[0], key)] if times else []
    return [Moment(str(k), t, say(f"page.departure.moment.{key}", {})) for k, (t, key) in enumerate(sorted(when), 1)]


def sentence(shown: list[Moment], out: Run, say: Say) -> str:
    """Return what the departure came to, in one sentence."""
    happened = {type(e) for e in out.track.events}
    kind = "stayed"
    if ev.Departed in happened:
        kind = "slipped" if ev.RodeSlipped in happened else "gone"
    elif ev.AnchorHome in happened:
        kind = "home"
    minutes = (shown[-1].t_s - shown[0].t_s) / 60.0
    return say(f"page.departure.{kind}", {"minutes": round(minutes)})


def legend(shown: list[Moment]) -> list[tuple[str, str, str]]:
    """Return number, words and time of each moment."""
    return [(q.number, q.words, clock(q.t_s - shown[0].t_s)) for q in shown]


def _view(out: Run) -> View:
    track = out.track
    north = np.concatenate([track["north_m"], track["anchor_n_m"][~np.isnan(track["anchor_n_m"])]])
    east = np.concatenate([track["east_m"], track["anchor_e_m"][~np.isnan(track["anchor_e_m"])]])
    top, bottom, right, left = (float(f(v)) for v in (north, east) for f in (np.max, np.min))
    wide = max(right - left + 2.0 * _MARGIN_M, _LEAST_M, (top - bottom + 2.0 * _MARGIN_M) / 0.7)
    tall = max(top - bottom + 2.0 * _MARGIN_M, 0.42 * wide)
    scale = WIDTH / wide
    return View(0.5 * (left + right - wide), 0.5 * (top + bottom + tall), scale, tall * scale)


def _others(out: Run, view: View, t_s: float) -> list[str]:
    """Return the other boats as they lay at a time, with their names."""
    parts = []
    for pose, other in zip(out.track.others[out.track.slow_index(t_s)], out.params.neighbours, strict=True):
        north, east, heading = (float(v) for v in pose)
        shape = plan_picture.outline(other.boat.outline_m, north, east, heading, view)
        x, y = view.at(north, east)
        parts.append(svg.area([shape], svg.PANEL, svg.INK, 1.4))
        parts.append(svg.text(x, y + 22.0, other.name, 12.0, svg.INK, "middle", halo=True))
    return parts


def _crossing(run: Run, view: View) -> list[str]:
    """Return a cross where another's rode came down over the chain, which nobody could know."""
    parts = []
    for e in run.night.events if run.night is not None else ():
        if isinstance(e, ev.RodeLaidOver):
            x, y = view.at(e.north_m, e.east_m)
            for dx, dy in ((7.0, 7.0), (7.0, -7.0)):
                parts.append(svg.cased([(x - dx, y - dy), (x + dx, y + dy)], svg.INK, 2.4))
    return parts


def draw_plan(run: Run, out: Run, shown: list[Moment], say: Say) -> str:
    """Return the departure from above as SVG: her way, her hull at each moment, the chain as it lay, what lay over it.

    Args:
        run: the whole run, with its night.
        out: the departure as a run of its own.
        shown: its moments.
        say: turns a key into words.
    """
    view, track = _view(out), out.track
    parts = [*bay_picture.depths(run.params.bay, view), *bay_picture.charted(run.params.bay, view)]
    parts += _others(out, view, shown[min(1, len(shown) - 1)].t_s)
    chain = track.chain_at(shown[0].t_s)
    parts.append(svg.cased(view.xy(chain[:, 0], chain[:, 1]), svg.HOT, 2.6, "3.5 1.5"))
    if len(chain):
        parts.append(svg.circle(*view.at(*chain[0, :2]), 4.5, fill=svg.HOT, stroke=svg.PANEL, stroke_width=1.6))
    parts.append(svg.cased(view.xy(track["north_m"][::5], track["east_m"][::5]), svg.HOT, 1.3, "7 3"))
    parts += plan_picture.hulls(out, view, shown)
    parts += _crossing(run, view)
    parts += plan_picture.numbers(out, view, shown)
    wind_n, wind_e = (float(track[f"wind_{axis}_mps"].mean()) for axis in "ne")
    parts += bay_picture.rose(view, wind_n, wind_e, say("page.plan.wind", {}))
    return svg.picture(WIDTH, view.height, parts, say("page.departure.plan", {}), "departure-plan")


def draw_strips(out: Run, shown: list[Moment], say: Say) -> str:
    """Return chain out, pull and speed over the minutes of the departure as SVG."""
    track = out.track
    minutes = (track["t_s"] - track["t_s"][0]) / 60.0
    anchor_kn = np.nan_to_num(track["anchor_load_n"] / 1000.0)
    rows: list[tuple[str, str, FloatArray, Line]] = [
        ("page.strip.out", "m", track["out_m"], _NONE),
        ("page.strip.pull", "kN", np.nan_to_num(track["rode_pull_n"] / 1000.0), (minutes, anchor_kn)),
        ("page.strip.speed", "kn", track["surge_mps"] / MPS_PER_KN, _NONE),
    ]
    to_x = Axis(0.0, max(float(minutes[-1]), 0.1))
    height = height_of(len(rows))
    parts = [svg.tag("rect", width=WIDTH, height=height, fill=svg.PAPER)]
    for k, (key, unit, values, second) in enumerate(rows):
        parts += draw_strip(f"{say(key, {})}, {unit}", [(minutes, values), second], strip_top(k), to_x)
    marks = ticks(0.0, float(minutes[-1]), 12)
    parts += foot(marks, [f"{m:g} min" for m in marks], height - _FOOT, to_x)
    parts += numbers([replace(q, t_s=(q.t_s - shown[0].t_s) / 60.0) for q in shown], height - _FOOT, to_x)
    return svg.picture(WIDTH, height, parts, say("page.departure.strips", {}), "departure-strips")


def is_drawn(out: Run | None) -> bool:
    """Return whether there is enough of a departure for a picture: ten seconds."""
    return out is not None and out.track["t_s"].size > 50 and not math.isnan(float(out.track["north_m"][0]))
