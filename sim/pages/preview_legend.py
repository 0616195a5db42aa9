"""What the signs on a lesson's picture mean, in a strip below it: the chart, the boats, and what is asked."""

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise

from sim.base.units import deg, knots
from sim.pages import svg
from sim.pages.bay_picture import WIDTH, Sheet
from sim.pages.debrief import speaker
from sim.pages.shifts import Shifted
from sim.pages.strip_picture import Say
from sim.scenario.library import Lesson, load_words
from sim.scenario.read.tackle import parts

ROW, TOP, SIZE = 19.0, 24.0, 12.0
COLUMNS = (10.0, 316.0, 650.0, WIDTH)
SIGN = 42.0  # px for a sign, before its words
LETTER = 0.5  # a letter's mean width over its height
CHIP = 38.0  # px, of one tint of depth
HULL = ((-11.0, -4.0), (4.0, -4.0), (11.0, 0.0), (4.0, 4.0), (-11.0, 4.0))

Sign = Callable[[float, float], str]  # drawn about a place
Item = tuple[Sign, str]  # with its words


def height(strip: Sequence[Sequence[Item]]) -> float:
    """Return how tall a strip of columns is [px]."""
    return TOP + ROW * max(len(column) for column in strip) - 4.0


def draw(strip: Sequence[Sequence[Item]], top: float) -> list[str]:
    """Return the strip, its upper edge ``top`` px down the picture; words that are too long are set smaller."""
    out = [svg.tag("rect", x=0.0, y=top, width=WIDTH, height=height(strip), fill=svg.PANEL, stroke=svg.INK)]
    for items, (left, right) in zip(strip, pairwise(COLUMNS), strict=True):
        for k, (sign, words) in enumerate(items):
            y = top + TOP + ROW * k
            start = left + (SIGN if sign is not _none else 3.0)
            size = min(SIZE, (right - start - 8.0) / (LETTER * max(len(words), 1)))
            out += [sign(left + 16.0, y - 4.0), svg.text(start, y, words, size)]
    return out


def columns(lesson: Lesson, sheet: Sheet, answer: bool, after: Shifted | None) -> list[list[Item]]:
    """Return the strip's three columns: the chart, the boats, what is asked; the answer's signs only with it."""
    say = speaker(load_words(lesson.language))
    return [_chart(lesson, sheet, say), _boats(lesson, answer, after, say), _asked(lesson, answer, say)]


def ground(letters: str, lesson: Lesson, say: Say) -> str:
    """Return a bottom in words: the language's own for its letters, else those of its parts, the main one first."""
    key = f"ui.ground.{letters}"
    if (own := say(key, {})) != key:
        return own
    found = parts(letters, lesson.sources.bottoms)
    return ", ".join(" ".join((*(q.title for q in qualities), nature.title)) for nature, _, qualities, _ in found)


def _none(x: float, y: float) -> str:
    return ""


def _stroke(x: float, y: float, colour: str, width: float, dash: str | None) -> str:
    return svg.line([(x - 13.0, y), (x + 13.0, y)], colour, width, dash)


def _letters(x: float, y: float, letters: str) -> str:
    return svg.text(x, y + 4.0, letters, SIZE, svg.SECOND, "middle", font_style="italic")


def _hull(x: float, y: float, fill: str, stroke: str) -> str:
    return svg.area([[(x + dx, y + dy) for dx, dy in HULL]], fill, stroke, 1.2)


def _tints(x: float, y: float) -> str:
    """Return the tint of what dries and those of depth, each of these with the depth at which it begins [m]."""
    out = []
    tints = [(svg.DRYING, "< 0"), *zip(svg.BANDS, (f"{m:g}" for m in svg.BAND_FROM_M), strict=True)]
    for k, (fill, words) in enumerate(tints):
        left = x - 13.0 + CHIP * k
        ring = [(left, y - 7.0), (left + CHIP, y - 7.0), (left + CHIP, y + 7.0), (left, y + 7.0)]
        out += [svg.area([ring], fill, svg.SECOND, 0.7), svg.text(left + 4.0, y + 4.0, words, 11.0, svg.SECOND)]
    return "".join(out)


def _mark(x: float, y: float) -> str:
    return svg.area([[(x - 5.0, y + 4.0), (x + 5.0, y + 4.0), (x, y - 7.0)]], svg.INK, svg.PANEL, 1.2)


def _cross(x: float, y: float) -> str:
    arms = [[(x - 6.0, y - s * 6.0), (x + 6.0, y + s * 6.0)] for s in (1.0, -1.0)]
    return "".join(svg.line(arm, svg.HOT, 2.2) for arm in arms)


def _rode(x: float, y: float, kind: str) -> str:
    rode = svg.line([(x - 14.0, y), (x + 3.0, y)], svg.SECOND, 1.2, "4 2" if kind == "rope" else None)
    hull = [(x + 6.0 - 0.7 * dx, y + 0.7 * dy) for dx, dy in HULL]
    return rode + svg.circle(x - 14.0, y, 2.6, fill=svg.SECOND, stroke=svg.PANEL) + svg.area([hull], svg.PANEL, svg.INK)


def _chart(lesson: Lesson, sheet: Sheet, say: Say) -> list[Item]:
    """Return depths, grounds, zones and marks."""
    said = list(dict.fromkeys(letters for letters, _ in sheet.patches))
    bottom = lesson.brief.chart.bottom
    items: list[Item] = [
        (_none, say("preview.depths", {})),
        (_tints, ""),
        (partial(_letters, letters=bottom), say("preview.elsewhere", {"ground": ground(bottom, lesson, say)})),
        *((partial(_letters, letters=letters), ground(letters, lesson, say)) for letters in said),
    ]
    if sheet.zones:
        rules = dict.fromkeys(say(f"preview.rule.{zone.rule}", {}) for zone in sheet.zones)
        items.append((partial(_stroke, colour=svg.INK, width=1.2, dash="9 4 2 4"), ", ".join(rules)))
    if sheet.marks:
        items.append((_mark, say("preview.marks", {})))
    return items


def _boats(lesson: Lesson, answer: bool, after: Shifted | None, say: Say) -> list[Item]:
    """Return the own boat, the others with what they lie to, and the others after the shift."""
    f, file = lesson.brief.forecast, lesson.sources.lesson
    items: list[Item] = [(partial(_hull, fill=svg.HOT, stroke=svg.PANEL), say("preview.start", {}))]
    if file.neighbours:
        wind = {"source": f"{deg(f.from_rad) % 360.0:03.0f}", "mean_kn": f"{knots(f.mean_mps):.0f}"}
        items.append((partial(_hull, fill=svg.PANEL, stroke=svg.INK), say("preview.others", wind)))
    if after is not None and file.neighbours:
        values = {"source": f"{after.from_deg:03.0f}", "mean_kn": f"{after.mean_kn:.0f}", "at_h": f"{after.at_h:.2g}"}
        key = "preview.after" if after.at_h > 0.0 else "preview.sector"
        items.append((partial(_hull, fill=svg.SECOND, stroke=svg.PANEL), say(key, values)))
    if answer:
        for n in file.neighbours:
            kind = say(f"rode.{n.rode.kind}", {})
            values = {"name": n.name, "rode": kind, "length_m": f"{n.rode.length_m:g}"}
            key = "preview.rode" if n.comes_from is None else "preview.comes"
            items.append((partial(_rode, kind=n.rode.kind), say(key, values)))
    return items


def _asked(lesson: Lesson, answer: bool, say: Say) -> list[Item]:
    """Return the anchorage asked for, and with the answer the reference plan and what is on no chart."""
    items: list[Item] = [
        (partial(_stroke, colour=svg.HOT, width=1.6, dash="2 5"), say("preview.anchorage", {})),
    ]
    if lesson.brief.anchorage.seat_m is not None:
        items.append((_cross, say("preview.seat", {})))
    plan = lesson.teacher.reference
    if answer and plan is not None:
        drop = say("preview.drop", {"rode_m": f"{plan.rode_m:g}"})
        items.append((_drop, drop))
        if plan.region is not None:
            items.append((partial(_stroke, colour=svg.HOT, width=2.0, dash="10 4"), say("preview.region", {})))
        items.append((partial(_stroke, colour=svg.HOT, width=1.0, dash="9 6"), say("preview.swing", {})))
    if any(snag.charted or answer for snag in lesson.sources.bay.snags):
        items.append((_snag, say("preview.snags", {})))
    return items


def _drop(x: float, y: float) -> str:
    return svg.circle(x, y, 4.5, fill=svg.HOT, stroke=svg.PANEL, stroke_width=1.6)


def _snag(x: float, y: float) -> str:
    return svg.circle(x, y, 6.0, fill=svg.PANEL, stroke=svg.INK, stroke_width=1.6, stroke_dasharray="1.5 2.5")
