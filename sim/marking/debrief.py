"""The debrief: one self-contained page, outcome and process apart, with the pictures that show why."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from sim.base.units import TICK_HZ, deg, knots
from sim.core import events as ev
from sim.marking import advice, plan_picture, setting, side_picture, strip_picture
from sim.marking.critical import Fail
from sim.marking.outcome import Outcome
from sim.marking.plan_picture import Moment
from sim.marking.rubric import Limits, Marked, MarkedPhase, Marks
from sim.marking.run import Run
from sim.marking.strip_picture import clock
from sim.scenario.library import Lesson, load_words

CAUTIONS = ("caution.practice", "caution.navigation", "caution.holding", "caution.law", "caution.leave")
Say = Callable[[str, Mapping[str, Any]], str]


def speaker(words: Mapping[str, str]) -> Say:
    """Return what turns a key and its values into words; a value that is itself a key of the list is said in words.

    Args:
        words: a language's words by key. What is not in it is said as its key, so that nothing is lost.
    """

    def value(name: str, said: object) -> str:
        if isinstance(said, float | int):
            return f"{said:g}"
        return words.get(f"{name}.{said}", str(said))

    def say(key: str, values: Mapping[str, Any]) -> str:
        if key == "said":
            return str(values["text"])
        spoken = {name: value(name, said) for name, said in values.items()}
        pattern = words.get(f"foredeck.{key}") or words.get(key)
        if pattern is None:
            return " ".join([key.replace("_", " "), *spoken.values()])
        # A value's own words may hold a value in turn: "on the {side} bow".
        return pattern.format(**spoken).format(**spoken)

    return say


def moments(run: Run) -> list[Moment]:
    """Return the numbered moments of the attempt, in order of time, the same in every picture."""
    m = run.moments
    steps = setting.load_steps_held(run)
    marked = [
        e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.AnchorMarked) and e.tick / TICK_HZ >= m.let_go_s
    ]
    hooked = [
        e.tick / TICK_HZ for e in run.track.events if isinstance(e, ev.SnubberHooked) and e.tick / TICK_HZ >= m.touch_s
    ]
    end = "Reported secured" if m.secured_s is not None else "End of the attempt"
    when = [(m.begin_s, "Begin")]
    if m.touch is not None:
        when += [(m.touch_s, "Anchor on the bottom"), (m.laid_s, "Most of the rode is out")]
        when += [(steps[0].from_s, "First load")] if steps else []
        when += [(steps[-1].to_s, "End of the highest load")] if steps else []
        when += [(marked[0], "Anchor marked")] if marked and abs(marked[0] - m.touch_s) > 3.0 else []
        when += [(hooked[-1], "Snubber on")] if hooked else []
    when.append((m.stop_s, end))
    return [Moment(str(k), t_s, words) for k, (t_s, words) in enumerate(sorted(when), start=1)]


def limits(limit: Limits) -> str:
    """Return a threshold as it is printed."""
    if isinstance(limit, tuple):
        return f"{advice.figure(limit[0])} to {advice.figure(limit[1])}"
    return advice.figure(limit)


def _full(m: Marked) -> str:
    """Return the threshold of full marks with its sense: at least, at most, or a band."""
    if isinstance(m.full, tuple) or isinstance(m.half, tuple):
        return limits(m.full)
    return ("≥ " if m.full > m.half else "≤ ") + limits(m.full)


def _measure(m: Marked) -> dict[str, Any]:
    first, last = clock(m.found.from_s), clock(m.found.to_s)
    when = first if m.found.to_s - m.found.from_s < 1.0 else f"{first}–{last}"
    return {
        "title": m.title,
        "unit": "°" if m.unit == "deg" else f" {m.unit}",
        "value": None if m.found.value is None else advice.figure(m.found.value),
        "full": _full(m),
        "half": limits(m.half),
        "zero": limits(m.zero),
        "points": f"{m.points:.1f}",
        "of": f"{m.of:.1f}",
        "lost": f"{m.lost:.1f}",
        "share": m.share,
        "when": when,
        "text": advice.sentence(m),
    }


def _phase(p: MarkedPhase) -> dict[str, Any]:
    return {
        "title": p.title,
        "points": f"{p.points:.1f}",
        "of": f"{p.of:.1f}",
        "share": f"{100.0 * p.points / p.of:.0f}",
        "measures": [_measure(m) for m in p.measures],
    }


def _outcome(o: Outcome, run: Run) -> list[tuple[str, str]]:
    """Return the outcome as rows of (what, figure)."""
    rows = []
    if o.drag_m is not None:
        rows.append(("Anchor moved after the proof", f"{o.drag_m:.1f} m"))
    if o.proved_load_n is not None and o.proved_wind_mps is not None:
        load = f"{o.proved_load_n / 1000.0:.2f} kN, about the pull of {knots(o.proved_wind_mps):.0f} kn of wind"
        rows.append(("Proved to", load))
    rows.append(("Asked to prove", f"{run.target_load_n / 1000.0:.2f} kN"))
    if o.scope is not None:
        rows.append(("Rode out", f"{o.out_m:.0f} m, {o.scope:.1f} times roller to bed at the highest water"))
    if o.min_gap_m is not None:
        rows.append(("Nearest to another hull", f"{o.min_gap_m:.0f} m"))
    rows.append(("Touched ground, boat or shore", "yes" if o.grounded or o.contact else "no"))
    return rows


def _verdict(o: Outcome) -> str:
    """Return the outcome in one sentence."""
    if o.grounded or o.contact:
        return "She touched."
    if o.drag_m is None:
        return "No anchor was down at the end."
    return "She stayed where she was proved." if o.held else "She did not stay where she was set."


def _said(run: Run, say: Say) -> list[dict[str, str]]:
    """Return the calls and the narration in order of time."""
    return [{"when": clock(c.tick / TICK_HZ), "who": c.who, "words": say(c.key, c.values)} for c in run.track.calls]


def _moment(q: Moment, run: Run) -> dict[str, str]:
    """Return a numbered moment in words, with what stood on the displays, true."""
    k = run.track.index(q.t_s)
    track = run.track
    return {
        "number": q.number,
        "when": clock(q.t_s),
        "words": q.words,
        "north": f"{track['north_m'][k]:.0f}",
        "east": f"{track['east_m'][k]:.0f}",
        "heading": f"{deg(float(track['heading_rad'][k])) % 360.0:03.0f}",
        "speed": f"{knots(float(track['surge_mps'][k])):.1f}".replace("-", "−"),
        "depth": f"{track['depth_m'][k]:.1f}",
        "out": f"{track['out_m'][k]:.0f}",
    }


def _sides(run: Run) -> list[Markup]:
    """Return the side views: as it touched, as it was laid, under the highest load or at the end."""
    m = run.moments
    if m.touch is None:
        return []
    steps = setting.load_steps_held(run)
    last = ("Under the highest load", steps[-1].to_s - 1.0) if steps else ("At the end", m.stop_s)
    # The shape is sampled once a second: the next one after the touch has the anchor on the bottom.
    views = (("As it touched", m.touch_s + 0.5), ("As it was laid", m.laid_s), last)
    drawn = [side_picture.draw(run, t, f"{words}, {clock(int(t))}", f"side{k}") for k, (words, t) in enumerate(views)]
    return [Markup(picture) for picture in drawn if picture]


def make_page(
    run: Run, marks: Marks, fails: Sequence[Fail], outcome: Outcome, result: Mapping[str, Any], lesson: Lesson, say: Say
) -> str:
    """Return the debrief as one HTML page that needs nothing from anywhere.

    Args:
        run: what was marked.
        marks: its marks.
        fails: its critical fails.
        outcome: what became of her.
        result: the data of ``result.json``.
        lesson: the lesson sailed.
        say: turns a key and values into words.
    """
    shown = moments(run)
    heads, rows = strip_picture.table(run)
    return _template().render(
        result=result,
        lesson=lesson,
        profile=lesson.profile,
        boat=run.params.boat.title,
        cautions=[say(key, {}) for key in CAUTIONS],
        verdict=_verdict(outcome),
        outcome=_outcome(outcome, run),
        marks=marks,
        fails=[{"title": f.title, "when": clock(f.t_s)} for f in fails],
        costliest=[_measure(m) for m in marks.costliest],
        phases=[_phase(p) for p in marks.phases],
        moments=[_moment(q, run) for q in shown],
        lie=f"{deg(run.lie_rad):03.0f}",
        plan_svg=Markup(plan_picture.draw(run, shown)),
        sides=_sides(run),
        strips_svg=Markup(strip_picture.draw(run, shown)),
        table_heads=heads,
        table_rows=rows,
        said=_said(run, say),
    )


def _template() -> jinja2.Template:
    env = jinja2.Environment(
        loader=jinja2.PackageLoader("sim.marking", "pages"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
    )
    return env.get_template("debrief.html.j2")


def write(
    folder: Path,
    run: Run,
    marks: Marks,
    fails: Sequence[Fail],
    outcome: Outcome,
    result: Mapping[str, Any],
    lesson: Lesson,
    language: str = "en",
) -> Path:
    """Write ``folder``/debrief.html and return its path."""
    page = make_page(run, marks, fails, outcome, result, lesson, speaker(load_words(language)))
    path = folder / "debrief.html"
    path.write_text(page, encoding="utf-8")
    return path
