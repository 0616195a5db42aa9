"""The debrief: one self-contained page, outcome and process apart, with the pictures that show why."""

import json
from collections.abc import Callable, Mapping, Sequence
from importlib import resources
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from sim.base.units import deg
from sim.marking.critical import Fail
from sim.marking.outcome import Outcome
from sim.marking.phases import setting
from sim.marking.rubric import Marks
from sim.marking.run import Run
from sim.pages import (
    departure_picture,
    night_picture,
    page_night,
    page_rows,
    plan_picture,
    scrub,
    side_picture,
    strip_picture,
)
from sim.pages.strip_picture import Say, clock
from sim.record.remarks import Remark
from sim.scenario.library import Lesson, load_words

LEAST_NIGHT = 12  # samples of a night worth a picture
CAUTIONS = tuple(
    f"caution.{name}"
    for name in ("practice", "navigation", "holding", "law", "leave", "chain", "neutral", "foredeck", "load", "lights")
)


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
        spoken = {name: value(name, said) for name, said in values.items()}
        pattern = words.get(f"foredeck.{key}") or words.get(key)
        if pattern is None:
            return " ".join([key.replace("_", " "), *spoken.values()])
        # A value's own words may hold a value in turn: "on the {side} bow".
        return pattern.format(**spoken).format(**spoken)

    return say


def _sides(run: Run, say: Say) -> list[Markup]:
    """Return the side views: as it touched, as it was laid, under the highest load or at the end."""
    m = run.moments
    if m.touch is None:
        return []
    steps = setting.load_steps_held(run)
    last = ("load", steps[-1].to_s - 1.0) if steps else ("end", m.stop_s)
    # The shape is sampled once a second: the next one after the touch has the anchor on the bottom.
    views = (("touch", m.touch_s + 0.5), ("laid", m.laid_s), last)
    drawn = [
        side_picture.draw(run, t, f"{say(f'page.side.{key}', {})}, {clock(int(t))}", f"side{k}", say)
        for k, (key, t) in enumerate(views)
    ]
    return [Markup(picture) for picture in drawn if picture]


def _frames(run: Run) -> Markup:
    """Return the scrubber's frames as JSON that may stand inside a page."""
    data = scrub.frames(run)
    start = run.moments.touch_s if run.moments.touch is not None else run.moments.begin_s
    data["start"] = next((k for k, t in enumerate(data["t"]) if t >= start), 0)
    return Markup(json.dumps(data, separators=(",", ":")).replace("<", "\\u003c"))


def _pictures(run: Run, say: Say, ghost: Run | None) -> dict[str, Any]:
    shown = page_rows.moments(run, say)
    _, strips = strip_picture.strips(run)
    heads, rows = strip_picture.table(run, say)
    plan = say("page.plan.title", {}), say("page.plan.wind", {})
    return {
        "moments": [page_rows.moment(q, run) for q in shown],
        "plan_svg": Markup(plan_picture.draw(run, shown, *plan, ghost)),
        "side_svg": Markup(scrub.draw_side(run, say("page.side.live", {}))),
        "sides": _sides(run, say),
        "strips_svg": Markup(strip_picture.draw(run, shown, say, ghost)),
        "strip_titles": [s.title(say) for s in strips],
        "table_heads": heads,
        "table_rows": rows,
        "frames": _frames(run),
    }


def make_page(
    run: Run,
    marks: Marks,
    fails: Sequence[Fail],
    outcome: Outcome,
    result: Mapping[str, Any],
    lesson: Lesson,
    say: Say,
    ghost: tuple[Run, str] | None = None,
    remarks: Sequence[Remark] = (),
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
        ghost: another attempt to lay beside this one, and whose it is, in words.
        remarks: what the instructor wrote while looking at it again.
    """
    return _template().render(
        t=_teller(say),
        result=result,
        lesson=lesson,
        profile=lesson.profile,
        boat=run.params.boat.title,
        cautions=[say(key, {}) for key in CAUTIONS],
        verdict=page_rows.verdict(outcome, result["refused"], say),
        outcome=page_rows.outcome(outcome, run, say),
        **_night(run, say),
        **_departure(run, say),
        marks=marks,
        **page_rows.judged(result, say),
        costliest=[page_rows.measure(m) for m in marks.costliest],
        phases=[page_rows.phase(p, result["self_rating"] or {}) for p in marks.phases],
        goals=page_rows.goals(marks, say),
        errors=page_rows.errors(result),
        lie=f"{deg(run.lie_rad):03.0f}",
        said=page_rows.said(run, say),
        notes=page_rows.notes(run),
        remarks=[{"when": clock(one.t_s), "t_s": f"{one.t_s:g}", "words": one.text} for one in remarks],
        ghost=ghost[1] if ghost is not None else "",
        script=Markup(resources.files("sim.pages").joinpath("templates").joinpath("scrub.js").read_text("utf-8")),
        **_pictures(run, say, ghost[0] if ghost is not None else None),
    )


def _night(run: Run, say: Say) -> dict[str, Any]:
    """Return the night's sums, pictures and table, all empty where none was sailed."""
    sums = {"night": page_night.rows(run, say), "night_sentence": page_night.sentence(run, say)}
    if run.night is None or run.night.t_s.size < LEAST_NIGHT:
        return sums | {"night_plan": "", "night_side": "", "night_strips": "", "night_heads": [], "night_rows": []}
    heads, rows = night_picture.table(run.night, say)
    return sums | {
        "night_plan": Markup(night_picture.draw_plan(run, run.night, say)),
        "night_side": Markup(night_picture.draw_side(run, run.night, say)),
        "night_strips": Markup(night_picture.draw_strips(run.night, say)),
        "night_heads": heads,
        "night_rows": rows,
    }


def _departure(run: Run, say: Say) -> dict[str, Any]:
    """Return the departure's sentence, moments and pictures, all empty where none was sailed."""
    out = run.leaving
    if out is None or not departure_picture.is_drawn(out):
        return {"departure": "", "departure_moments": [], "departure_plan": "", "departure_strips": ""}
    shown = departure_picture.moments(out, say)
    return {
        "departure": departure_picture.sentence(shown, out, say),
        "departure_moments": departure_picture.legend(shown),
        "departure_plan": Markup(departure_picture.draw_plan(run, out, shown, say)),
        "departure_strips": Markup(departure_picture.draw_strips(out, shown, say)),
    }


def _teller(say: Say) -> Callable[..., str]:
    """Return what the template calls for words: a key of the page and its values by name."""

    def tell(key: str, **values: Any) -> str:
        return say(f"page.{key}", values)

    return tell


def _template() -> jinja2.Template:
    env = jinja2.Environment(
        loader=jinja2.PackageLoader("sim.pages", "templates"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=jinja2.StrictUndefined,
    )
    return env.get_template("debrief.html.j2")


def write_unmarked(folder: Path, why: str, lesson: Lesson) -> Path:
    """Write a page that says why there is no debrief, and what was kept; return its path."""
    say = _teller(speaker(load_words(lesson.language)))
    env = jinja2.Environment(loader=jinja2.PackageLoader("sim.pages", "templates"), autoescape=True)
    page = env.get_template("unmarked.html.j2").render(say=say, title=lesson.title, why=why, language=lesson.language)
    path = folder / "debrief.html"
    path.write_text(page, encoding="utf-8")
    return path


def write(
    folder: Path,
    run: Run,
    marks: Marks,
    fails: Sequence[Fail],
    outcome: Outcome,
    result: Mapping[str, Any],
    lesson: Lesson,
    ghost: tuple[Run, str] | None = None,
    remarks: Sequence[Remark] = (),
) -> Path:
    """Write ``folder``/debrief.html in the lesson's language, and return its path."""
    say = speaker(load_words(lesson.language))
    page = make_page(run, marks, fails, outcome, result, lesson, say, ghost, remarks)
    path = folder / "debrief.html"
    path.write_text(page, encoding="utf-8")
    return path
