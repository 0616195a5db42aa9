"""What stands in the tables of the debrief page, in words."""

from collections.abc import Mapping, Sequence
from typing import Any

from sim.base.units import TICK_HZ, deg, knots
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking import advice
from sim.marking.figures import measured
from sim.marking.outcome import Outcome
from sim.marking.phases import setting
from sim.marking.rubric import Limits, Marked, MarkedPhase, Marks
from sim.marking.run import Run
from sim.pages.plan_picture import Moment
from sim.pages.strip_picture import Say, clock


def moments(run: Run, say: Say) -> list[Moment]:
    """Return the numbered moments of the attempt, in order of time, the same in every picture."""
    m = run.moments
    steps = setting.load_steps_held(run)
    marked = [
        e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.AnchorMarked) and e.tick / TICK_HZ >= m.let_go_s
    ]
    hooked = [
        e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.SnubberHooked) and e.tick / TICK_HZ >= m.touch_s
    ]
    when = [(m.begin_s, "begin")]
    if m.touch is not None:
        when += [(m.touch_s, "touch"), (m.laid_s, "laid")]
        when += [(steps[0].from_s, "first_load")] if steps else []
        when += [(steps[-1].to_s, "proof")] if steps else []
        when += [(marked[0], "marked")] if marked and abs(marked[0] - m.touch_s) > 3.0 else []
        when += [(hooked[-1], "snubber")] if hooked else []
    when.append((m.stop_s, "secured" if m.secured_s is not None else "end"))
    return [Moment(str(k), t_s, say(f"page.moment.{key}", {})) for k, (t_s, key) in enumerate(sorted(when), start=1)]


def limits(limit: Limits) -> str:
    """Return a threshold as it is printed."""
    if isinstance(limit, tuple):
        return f"{advice.figure(limit[0])} … {advice.figure(limit[1])}"
    return advice.figure(limit)


def _full(m: Marked) -> str:
    """Return the threshold of full marks with its sense: at least, at most, or a band."""
    if isinstance(m.full, tuple) or isinstance(m.half, tuple):
        return limits(m.full)
    return ("≥ " if m.full > m.half else "≤ ") + limits(m.full)


def measure(m: Marked) -> dict[str, Any]:
    """Return a measure's row: what was found, the three thresholds, the marks, when."""
    first, last = clock(m.found.from_s), clock(m.found.to_s)
    when = first if m.found.to_s - m.found.from_s < 1.0 else f"{first}–{last}"
    return {
        "title": m.title,
        "unit": "°" if m.unit == "deg" else f" {m.unit}",
        "value": None if m.found.value is None else measured(m.found.value, m.unit),
        "full": _full(m),
        "half": limits(m.half),
        "zero": limits(m.zero),
        "points": f"{m.points:.1f}",
        "of": f"{m.of:.1f}",
        "lost": f"{m.lost:.1f}",
        "share": m.share,
        "when": when,
        "from_s": int(m.found.from_s),
    }


def phase(p: MarkedPhase, rated: Mapping[str, int]) -> dict[str, Any]:
    """Return a phase's row, with what the trainee thought of it (0 to 5) where it was asked."""
    return {
        "title": p.title,
        "points": f"{p.points:.1f}",
        "of": f"{p.of:.1f}",
        "share": f"{100.0 * p.points / p.of:.0f}" if p.of > 0.0 else "0",
        "rated": rated.get(p.code),
        "measures": [measure(m) for m in p.measures],
    }


def goals(marks: Marks, say: Say) -> list[dict[str, Any]]:
    """Return what a lesson asks for a pass beside the marks: title, what was found and wanted, if met."""
    known = {m.name: m for m in marks.measures}
    rows = []
    for goal in marks.goals:
        m = known.get(goal.measure)
        unit = "" if m is None else in_unit(m.name, m.unit, say)
        title = goal.measure.partition(".")[2].replace("_", " ") if m is None else m.title
        value = None if goal.value is None else measured(goal.value, m.unit if m is not None else "") + unit
        rows.append(
            {
                "title": title[:1].upper() + title[1:],
                "value": value,
                "wanted": wanted(goal.least, goal.most, unit, say),
                "met": goal.met,
            }
        )
    return rows


def in_unit(name: str, unit: str, say: Say) -> str:
    """Return a measure's unit as it stands behind a figure in a sentence, its space before it."""
    lengths = name.endswith("_loa")
    return "°" if unit == "deg" else say("page.goal.lengths", {}) if lengths else f" {unit}".rstrip()


def wanted(least: float | None, most: float | None, unit: str, say: Say) -> str:
    """Return what a goal asks for in words: at least, at most, or between two figures with their unit."""
    bounds = {"least": least, "most": most}
    known = {name: advice.figure(value) for name, value in bounds.items() if value is not None}
    return say(f"page.goal.{'between' if len(known) == 2 else next(iter(known), 'most')}", {**known, "unit": unit})


def outcome(o: Outcome, run: Run, say: Say) -> list[tuple[str, str]]:
    """Return the outcome as rows of (what, figure)."""
    rows: list[tuple[str, dict[str, str]]] = []
    if o.drag_m is not None:
        rows.append(("moved", {"drag_m": f"{o.drag_m:.1f}"}))
    if o.proved_load_n is not None and o.proved_wind_mps is not None:
        proved = {"load_kn": f"{o.proved_load_n / 1000.0:.2f}", "wind_kn": f"{knots(o.proved_wind_mps):.0f}"}
        rows.append(("proved", proved))
    rows.append(("asked", {"load_kn": f"{run.target_load_n / 1000.0:.2f}"}))
    if o.scope is not None:
        rows.append(("rode", {"out_m": f"{o.out_m:.0f}", "scope": f"{o.scope:.1f}"}))
    if o.min_gap_m is not None:
        rows.append(("gap", {"gap_m": f"{o.min_gap_m:.0f}"}))
    told = [(say(f"page.fact.{key}", {}), say(f"page.fact.{key}.is", values)) for key, values in rows]
    touched = "yes" if o.grounded or o.contact else "no"
    return [*told, (say("page.fact.touched", {}), say(f"page.fact.touched.{touched}", {}))]


def verdict(o: Outcome, refused: bool, say: Say) -> str:
    """Return the outcome in one sentence."""
    if o.grounded or o.contact:
        key = "touched"
    elif refused:
        key = "left"
    elif o.drag_m is None:
        key = "none"
    else:
        key = ("held" if o.tested else "untested") if o.held else "dragged"
    return say(f"page.verdict.{key}", {})


def said(run: Run, say: Say) -> list[dict[str, str]]:
    """Return the calls and the narration in order of time."""
    return [
        {
            "when": clock(c.tick / TICK_HZ),
            "who": c.who,
            "by": say(f"page.who.{c.who}", {}),
            "words": say(c.key, c.values),
        }
        for c in run.track.calls
    ]


def notes(run: Run) -> list[tuple[str, str]]:
    """Return what the instructor wrote during the run and the moments bookmarked, each with its time."""
    made = [(tick, o.text) for tick, o in run.orders if isinstance(o, cmd.Note | cmd.Bookmark)]
    return [(clock(tick / TICK_HZ), text) for tick, text in made if text]


def moment(q: Moment, run: Run) -> dict[str, str]:
    """Return a numbered moment in words, with what stood on the displays, true."""
    k = run.track.index(q.t_s)
    track = run.track
    return {
        "number": q.number,
        "when": clock(q.t_s),
        "t_s": str(int(q.t_s)),
        "words": q.words,
        "north": f"{track['north_m'][k]:.0f}",
        "east": f"{track['east_m'][k]:.0f}",
        "heading": f"{deg(float(track['heading_rad'][k])) % 360.0:03.0f}",
        "speed": f"{knots(float(track['surge_mps'][k])):.1f}".replace("-", "−"),
        "depth": f"{track['depth_m'][k]:.1f}",
        "out": f"{track['out_m'][k]:.0f}",
    }


def errors(result: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return the errors found, the earliest first, each with the errors it follows from."""
    found: Sequence[Mapping[str, Any]] = sorted(result["errors"], key=lambda e: float(e["t_s"]))
    return [
        {
            "code": e["code"],
            "when": clock(float(e["t_s"])),
            "t_s": int(e["t_s"]),
            "weight": e["weight"],
            "sure": f"{100.0 * float(e['certainty']):.0f} %",
            "parents": ", ".join(e["parents"]),
            "text": e["text"],
        }
        for e in found
    ]


def earlier(result: Mapping[str, Any], say: Say) -> list[str]:
    """Return a line for each attempt that was given up before the one that is marked."""
    lines = []
    for one in result["earlier"]:
        key = "page.earlier.approach" if one["touch_s"] is None else "page.earlier.laid"
        values = {
            "when": clock(one["off_s"]),
            "touch": clock(one["touch_s"] or 0.0),
            "speed": f"{abs(one['speed_kn'] or 0.0):.1f}",
            "way": say("page.ahead" if (one["speed_kn"] or 0.0) > 0.0 else "page.astern", {}),
            "rode": f"{one['rode_m']:.0f}",
        }
        lines.append(say(key, values))
    return lines


def listed(result: Mapping[str, Any], say: Say) -> list[tuple[str, bool]]:
    """Return each thing on the list before she is reported secured, in words, and whether it was done."""
    return [(say(f"page.list.{name}", {}), bool(done)) for name, done in result["secured"].items()]


def judged(result: Mapping[str, Any], say: Say) -> dict[str, Any]:
    """Return the verdict's rows with their times, the earlier attempts, and the list before the report."""
    timed = [row | {"when": "" if row["t_s"] is None else clock(row["t_s"])} for row in result["verdict"]]
    return {"reasons": timed, "earlier": earlier(result, say), "listed": listed(result, say)}
