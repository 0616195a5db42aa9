"""A lesson on paper: the trainee's page with chart, tide, forecast and boat card, and apart the instructor's."""

import math
from importlib import resources
from pathlib import Path
from typing import Any

import jinja2
import numpy as np
from markupsafe import Markup

from sim.base.units import deg, knots
from sim.model.water import water
from sim.pages import preview, svg
from sim.pages.asked import asked
from sim.pages.debrief import CAUTIONS, speaker
from sim.pages.strip_picture import Say
from sim.scenario.library import Lesson, load_words
from sim.scenario.read.weather import tide_and_stream
from sim.scenario.schema.lesson import DoBlock, EntryBlock

WIDTH, HEIGHT = 960.0, 190.0
LEFT, RIGHT, TOP, BOTTOM = 46.0, 20.0, 16.0, 34.0


def tide_curve(lesson: Lesson) -> str:
    """Return the tide through the stay as SVG, its turns marked; nothing where there is no tide."""
    tide = tide_and_stream(lesson.sources.lesson).tide
    stay_h = lesson.brief.stay_s / 3600.0
    hours = np.linspace(0.0, stay_h, 240)
    height = np.array([water.tide_height_m(3600.0 * float(h), tide) for h in hours])
    if height.max() - height.min() < 0.05:
        return ""
    low, high = math.floor(min(float(height.min()), 0.0)), math.ceil(float(height.max()))
    across = (WIDTH - LEFT - RIGHT) / stay_h
    up = (HEIGHT - TOP - BOTTOM) / max(high - low, 1)

    def at(h: float, m: float) -> tuple[float, float]:
        return LEFT + across * h, HEIGHT - BOTTOM - up * (m - low)

    parts = [svg.tag("rect", width=WIDTH, height=HEIGHT, fill=svg.PANEL)]
    for m in range(low, high + 1):
        parts.append(svg.line([at(0.0, m), at(stay_h, m)], svg.INK if m == 0 else svg.RULE, 0.8))
        parts.append(svg.text(LEFT - 8.0, at(0.0, m)[1] + 4.0, f"{m} m", 12.0, svg.SECOND, "end"))
    for h in range(0, int(stay_h) + 1, 1 if stay_h <= 12.0 else 3):
        parts.append(svg.text(at(h, low)[0], HEIGHT - 12.0, f"+{h} h", 12.0, svg.SECOND, "middle"))
    parts.append(svg.line([at(float(h), float(m)) for h, m in zip(hours, height, strict=True)], svg.INK, 2.2))
    turns = [(0.0, float(height[0]))] + [(t / 3600.0, float(m)) for t, m in tide if 0.0 < t <= lesson.brief.stay_s]
    for h, m in turns:
        x, y = at(h, m)
        parts.append(svg.circle(x, y, 3.6, fill=svg.INK, stroke=svg.PANEL))
        anchor = "start" if h < 0.1 * stay_h else "end" if h > 0.9 * stay_h else "middle"
        parts.append(
            svg.text(x, y - 8.0 if y > TOP + 22.0 else y + 18.0, f"{m:.1f} m", 12.5, svg.INK, anchor, halo=True)
        )
    return svg.picture(WIDTH, HEIGHT, parts, "", "tide")


def _card(lesson: Lesson, say: Say) -> list[tuple[str, str]]:
    """Return the boat card as rows of (what, figure)."""
    b = lesson.brief.boat
    rows = {
        "boat": b.title,
        "loa": f"{b.loa_m:g} m, {b.beam_m:g} m",
        "draught": f"{b.draught_m:g} m",
        "roller": f"{b.roller_height_m:g} m",
        "sounder": f"{b.sounder_below_surface_m:g} m",
        "antenna": f"{b.roller_x_m - b.antenna_x_m:.1f} m",
        "anchor": f"{say(f'ui.anchor.{b.anchor}', {})}, {b.anchor_kg:g} kg",
        "chain": f"{b.chain_m:g} m, {b.chain_mm:g} mm",
        "snubber": f"{b.snubber_m:g} m",
        "windlass": f"{60.0 * b.windlass_mps:.0f} m/min",
        "astern": f"{b.astern_pull_n / 1000.0:.1f} kN",
    }
    return [(say(f"sheet.card.{key}", {}), figure) for key, figure in rows.items()]


def _forecast(lesson: Lesson, say: Say) -> list[tuple[str, str]]:
    f = lesson.brief.forecast
    rows = [
        (
            say("sheet.wind", {}),
            say(
                "sheet.wind.is",
                {
                    "from": f"{deg(f.from_rad):03.0f}",
                    "mean": f"{knots(f.mean_mps):.0f}",
                    "gust": f"{knots(f.gust_mps):.0f}",
                },
            ),
        ),
    ]
    if f.shift:
        rows.append((say("sheet.shift", {}), f.shift))
    stream = lesson.brief.stream
    if np.hypot(stream[:, 1], stream[:, 2]).max() > 0.0:
        told = "; ".join(
            f"{t / 3600.0:+g} h {knots(float(np.hypot(n, e))):.1f} kn {deg(math.atan2(e, n)) % 360.0:03.0f}°"
            for t, n, e in stream
        )
        rows.append((say("sheet.stream", {}), told))
    return rows


def _others(lesson: Lesson, say: Say) -> list[tuple[str, str, str]]:
    """Return what every other boat lies to, for the instructor."""
    file = lesson.sources.lesson
    out = []
    for n in file.neighbours:
        rode = f"{say(f'rode.{n.rode.kind}', {})}, {n.rode.length_m:g} m"
        later = f"; {say('sheet.comes', {})}" if n.comes_from is not None else ""
        out.append((n.name, lesson.sources.boats[n.boat].title, rode + later))
    return out


def _moment(entry: EntryBlock, say: Say) -> str:
    """Return when an entry of the timeline speaks, in words."""
    told = []
    if entry.at_s is not None and entry.to_s is not None:
        told.append(say("sheet.between", {"first": round(entry.at_s / 60.0), "last": round(entry.to_s / 60.0)}))
    elif entry.at_s is not None:
        told.append(say("sheet.at", {"minutes": math.ceil(entry.at_s / 60.0)}))
    if entry.when is not None:
        event = entry.when.event
        told += [say("sheet.when.first_snub" if event == "first_snub" else f"event.{event}", {})] if event else []
        limits = {
            "out": ("out_m", entry.when.out_m_over),
            "pull": ("pull_n", entry.when.pull_n_over),
            "within": ("within_m", entry.when.within_m),
            "way": ("way_kn", entry.when.way_kn_under),
        }
        told += [say(f"sheet.when.{key}", {name: v}) for key, (name, v) in limits.items() if v is not None]
        told += [say("sheet.when.beyond", {})] if entry.when.beyond is not None else []
    if entry.chance is not None:
        told.append(say("sheet.chance", {"percent": round(100.0 * entry.chance)}))
    return ", ".join(told)


def _act(do: DoBlock, say: Say) -> str:
    """Return what an entry of the timeline brings, in words."""
    if do.fault is not None:
        mended = do.fault.value == 0.0 and do.fault.what != "counter"
        return say("sheet.do.mended" if mended else f"sheet.do.{do.fault.what}", {"value": do.fault.value})
    if do.note is not None:
        return f"{say('sheet.do.note', {})}: {do.note.text}"  # as it was written, braces and all
    if do.wash is not None:
        return say("sheet.do.wash", do.wash.model_dump() | {"from_deg": f"{do.wash.from_deg:03.0f}"})
    told = do.inject or do.neighbour or do.crew
    return "" if told is None else say(f"sheet.do.{told.what}", told.model_dump(exclude={"what", "to"}))


def _timeline(lesson: Lesson, say: Say) -> list[str]:
    """Return what happens during a lesson, a line each: when, and what."""
    entries = lesson.sources.lesson.timeline
    lines = [": ".join(filter(None, (_moment(entry, say), _act(entry.do, say)))) for entry in entries]
    return [line[:1].upper() + line[1:] for line in lines]


def draw(lesson: Lesson, answer: bool) -> str:
    """Return one of the two pages, in the lesson's language, as HTML that needs nothing from anywhere.

    Args:
        lesson: the lesson.
        answer: the instructor's page, with the answer; else the trainee's, without.
    """
    words = load_words(lesson.language)
    say = speaker(words)

    def t(key: str, **values: Any) -> str:
        return say(f"sheet.{key}", values)

    source = resources.files("sim.pages").joinpath("templates").joinpath("brief.html.j2").read_text("utf-8")
    page = jinja2.Environment(autoescape=True, undefined=jinja2.StrictUndefined).from_string(source)
    return page.render(
        t=t,
        say=say,
        answer=answer,
        lesson=lesson,
        file=lesson.sources.lesson,
        brief=lesson.brief,
        teacher=lesson.teacher,
        chart=Markup(preview.draw(lesson, answer, whole=False)),
        tide=Markup(tide_curve(lesson)),
        card=_card(lesson, say),
        forecast=_forecast(lesson, say),
        others=_others(lesson, say),
        aids=", ".join(say(f"sheet.aid.{name}", {}) for name in lesson.aids),
        timeline=_timeline(lesson, say),
        asked=asked(lesson, say),
        cautions=[words[key] for key in CAUTIONS],
    )


def write(lesson: Lesson, path: Path) -> tuple[Path, Path]:
    """Write the trainee's page to ``path`` and the instructor's beside it; return both paths."""
    teacher = path.with_name(f"{path.stem}.instructor{path.suffix or '.html'}")
    path.write_text(draw(lesson, False), encoding="utf-8")
    teacher.write_text(draw(lesson, True), encoding="utf-8")
    return path, teacher
