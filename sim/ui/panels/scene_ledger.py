"""The ledger: what the displays show and how the gear stands, each part a panel that is painted when it changes."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from sim.core import events as ev
from sim.helm.view import View
from sim.play.logbook import Logbook, last
from sim.play.transit import Leading
from sim.scenario.read.brief import Brief
from sim.ui.input.signals import Shown
from sim.ui.measures import tenths
from sim.ui.paint.display import Panel
from sim.ui.paint.sheet import BODY, GREAT, LEAD, SMALL_FIGURE, Sheet
from sim.ui.panels import scene_dials
from sim.ui.panels.layout import Layout
from sim.ui.panels.scene_dials import COLUMN, LEFT, RIGHT, bearing
from sim.ui.panels.scene_foredeck import foredeck
from sim.ui.panels.scene_lookout import angle
from sim.ui.panels.scene_signals import signals
from sim.ui.words import Catalogue

# name, height in units, top to bottom; what is left over goes to the foredeck
PARTS = {
    "head": 58.0, "depth": 86.0, "strip": 60.0, "way": 63.0, "wind": 63.0, "engine": 80.0, "tackle": 60.0,
    "foredeck": 150.0, "notes": 98.0,
}  # fmt: skip
# While two are aboard, the helm's: nothing of the chain.
TWO = {
    "head": 58.0, "depth": 86.0, "way": 63.0, "wind": 63.0, "engine": 80.0, "signals": 190.0, "notes": 98.0,
}  # fmt: skip
RANKED = (
    "head",
    "depth",
    "way",
    "engine",
    "tackle",
    "foredeck",
    "signals",
    "strip",
    "wind",
    "notes",
)  # fmt: skip - the first stay longest
STRIP_PX_PER_M = 12.0


def clock(t_s: float) -> str:
    """Return time since the start as minutes and seconds."""
    return f"{int(t_s) // 60:02d}:{int(t_s) % 60:02d}"


@dataclass(frozen=True)
class Pace:
    """How time runs, for the ledger's head; ``page`` is which part of a ledger too tall for the window is shown."""

    rate: float = 1.0
    paused: bool = False
    assisted: bool = False
    page: int = 0


def pages(layout: Layout, parts: Mapping[str, float] = PARTS) -> list[list[str]]:
    """Return which parts stand on which page: one page where the window is tall enough for all, the head on each."""
    room = layout.ledger[3] / layout.unit
    if sum(parts.values()) <= room:
        return [list(parts)]
    out: list[list[str]] = []
    left = [name for name in RANKED[1:] if name in parts]
    while left:
        used, page = parts["head"], ["head"]
        for name in list(left):
            if used + parts[name] <= room or page == ["head"]:
                used += parts[name]
                page.append(name)
                left.remove(name)
        out.append([name for name in parts if name in page])
    return out


def _head(sheet: Sheet, view: View, brief: Brief, pace: Pace, turn: str, words: Catalogue) -> None:
    right = sheet.wide - LEFT
    sheet.text("brief", LEFT, 10, brief.title, "strong", 19.0, room=right - LEFT - 92)
    sheet.text("display:clock", right, 8, clock(view.readings.t_s), "figure", 22.0, anchor="ne")
    fall, rise = brief.tide.fall_m, brief.tide.rise_m
    if rise >= 0.05:
        tide = words("ui.head.rise", rise_m=tenths(rise))
    elif fall >= 0.05:
        tide = words("ui.head.fall", fall_m=tenths(fall))
    else:
        tide = words("ui.head.no_tide")
    sheet.text("brief", LEFT, 33, tide, "text", BODY, "second", room=right - LEFT - 156)
    running = words("ui.head.real") if pace.rate == 1.0 else words("ui.head.rate", rate=f"{pace.rate:g}")
    told = words("ui.head.paused") if pace.paused else running
    if pace.assisted:
        told = words("ui.head.assisted", pace=told)
    hot = pace.paused or pace.rate != 1.0
    sheet.text("frame", right, 34, told + turn, "label", BODY, "hot" if hot else "second", "ne", 150)
    sheet.rule(sheet.tall - 1.5, "ink", 2.0)


def _depth(sheet: Sheet, view: View, brief: Brief, rode: int | None, words: Catalogue) -> None:
    """Set the depth, and the chain out of one rode unless its count is not known here."""
    r = view.readings
    sheet.label(LEFT, 7, words("ui.depth"), COLUMN + 14)
    figure, unit = words.figure("depth", r.depth_m, 1)
    sheet.figure("display:depth", LEFT, 20, figure, GREAT, unit, 30)
    sheet.rule(sheet.tall - 1)
    if rode is None:
        return
    out_m = view.rodes[rode].counter_m
    sheet.label(RIGHT, 7, words("ui.chain_out" if rode == 0 else f"ui.out.{view.rodes[rode].role}"), COLUMN)
    figure, unit = words.figure("cable", abs(out_m))
    sheet.figure("display:counter", RIGHT, 20, figure, GREAT, unit, 30)
    height = r.depth_m + brief.boat.roller_height_m
    if out_m > height and rode == 0:
        ratio = words("ui.times_depth", ratio=f"{out_m / height:.1f}")
        sheet.text("display:counter", RIGHT + COLUMN, 53, ratio, "label", LEAD, "second", "ne", 80)


def strip(sheet: Sheet, out: float, words: Catalogue) -> None:
    """Set the chain as it runs under the roller, marked with one block for each ten metres."""
    middle = 0.5 * sheet.wide
    reach = 0.5 * sheet.wide - LEFT
    sheet.box("frame", (LEFT, 6, 2 * reach, 28), "paper")
    first, final = math.floor(out - reach / STRIP_PX_PER_M), math.ceil(out + reach / STRIP_PX_PER_M)
    for k in range(max(first, 0), final + 1):
        x = middle + (k - out) * STRIP_PX_PER_M
        if not LEFT + 7 < x < sheet.wide - LEFT - 7:
            continue
        if k % 2:
            sheet.line("display:counter", [(x - 6.5, 20), (x + 6.5, 20)], "second", 2.0)
        else:
            sheet.box("display:counter", (x - 6.5, 16.2, 13, 7.6), None, "second", 1.8, 3.8)
    for tens in range(max(math.ceil(first / 10), 1), math.floor(final / 10) + 1):
        x = middle + (10 * tens - out) * STRIP_PX_PER_M
        half = 4.0 * tens
        if not LEFT + half < x < sheet.wide - LEFT - half:
            continue
        for b in range(tens):
            sheet.box("display:counter", (x + (b - 0.5 * tens) * 8.0 + 1, 12, 6, 16), "hot")
        if abs(x - middle) > 62 and LEFT + 10 < x < sheet.wide - LEFT - 10:
            sheet.text("display:counter", x, 38, words.figure("cable", 10.0 * tens)[0], "label", BODY, "second", "n")
    sheet.fill("frame", [(middle - 7.5, 3), (middle + 7.5, 3), (middle, 13)], "ink")
    sheet.line("frame", [(middle, 8), (middle, 37)], "ink", 2.0)
    sheet.text("frame", middle, 38, words("ui.at_roller"), "label", BODY, "second", "n")
    sheet.rule(sheet.tall - 1)


def _notes(sheet: Sheet, view: View, brief: Brief, words: Catalogue, two: Leading | None) -> None:
    """Set the last range taken, and the transit."""
    right = sheet.wide - LEFT
    sheet.rule(1)
    found = last(view, ev.RangeTaken)
    sheet.label(LEFT, 6, words("ui.last_range"))
    if isinstance(found, ev.RangeTaken):
        told = f"{words.length('distance', found.range_m)}  {bearing(found.bearing_rad)}"
        sheet.text("told", right, 19, told, "figure", SMALL_FIGURE + 2, anchor="ne")
        sheet.text("told", LEFT, 24, target_name(found.target, view, brief), "text", BODY, room=190)
    else:
        sheet.text("frame", LEFT, 24, words("ui.none_yet"), "text", BODY, "second")
    sheet.rule(48)
    taken = last(view, ev.TransitTaken)
    if two is not None:
        _leading(sheet, two, words)
        return
    sheet.label(LEFT, 53, words("ui.transit"))
    if isinstance(taken, ev.TransitTaken) and view.transit_open_m is not None:
        shut = view.transit_open_m == 0.0
        held = words("ui.transit.open", open_m=tenths(abs(view.transit_open_m)))
        when = words("ui.transit.taken", bearing=bearing(taken.bearing_rad), at=clock(taken.tick / 60.0))
        sheet.text("told", LEFT, 71, when, "text", BODY, room=190)
        said = words("ui.transit.shut") if shut else held
        sheet.text("told", right, 69, said, "strong", LEAD + 1, "ink" if shut else "hot", "ne")
    else:
        sheet.text("frame", LEFT, 71, words("ui.none_yet"), "text", BODY, "second")


def _leading(sheet: Sheet, two: Leading, words: Catalogue) -> None:
    """Set which two marks are a transit, on which side the front one stands, how far, and whether they open."""
    right, shut = sheet.wide - LEFT, two.open_rad == 0.0
    sheet.label(LEFT, 53, words("ui.leading", front=two.front.name, rear=two.rear.name), right - LEFT)
    side = words("ui.transit.shut" if shut else "ui.leading.right" if two.open_rad > 0.0 else "ui.leading.left")
    moves = {1: ", " + words("ui.leading.opening"), -1: ", " + words("ui.leading.closing"), 0: ""}[two.trend]
    sheet.text("eye", LEFT, 71, side + moves, "strong", BODY, "ink" if shut else "hot", room=right - LEFT - 66)
    sheet.text("eye", right, 67, angle(two), "figure", SMALL_FIGURE + 2, "ink" if shut else "hot", "ne")


def target_name(target: int, view: View, brief: Brief) -> str:
    """Return the name of a boat (1 ..) or a mark (-1 ..)."""
    if target >= 1:
        return next((o.name for o in view.others if o.number == target), "")
    return brief.chart.marks[-target - 1].name if 0 < -target <= len(brief.chart.marks) else ""


def ledger(
    layout: Layout,
    view: View,
    brief: Brief,
    log: Logbook,
    pace: Pace,
    words: Catalogue,
    rode: int = 0,
    turn: str = "",
    heard: Sequence[Shown] | None = None,
    two: Leading | None = None,
) -> list[Panel]:
    """Return the ledger's panels, top to bottom; ``turn`` is written on the key that turns its page.

    ``two`` marks taken for a transit stand with the notes. While two are aboard, ``heard`` are the foredeck's signals,
    and they stand instead of all that is of the chain.
    """
    left, top, wide, tall = layout.ledger
    u = layout.unit
    parts = PARTS if heard is None else TWO
    book = pages(layout, parts)
    page = book[pace.page % len(book)]
    spare = tall - sum(round(parts[name] * u) for name in page)
    grows = next((name for name in ("foredeck", "signals") if name in page), page[-1])
    sheets: dict[str, Sheet] = {}
    y = top
    for name in page:
        high = round(parts[name] * u) + (spare if name == grows else 0)
        sheets[name] = Sheet(f"ledger:{name}", (left, y, wide, high), u)
        y += high
    more = f"  {turn} {pace.page % len(book) + 1}/{len(book)}" if len(book) > 1 else ""
    setters: dict[str, Callable[[Sheet], None]] = {
        "head": lambda s: _head(s, view, brief, pace, more, words),
        "depth": lambda s: _depth(s, view, brief, None if heard is not None else rode, words),
        "signals": lambda s: signals(s, heard or (), view.readings.t_s, words),
        "strip": lambda s: strip(s, view.rodes[rode].counter_m, words),
        "way": lambda s: scene_dials.way(s, view, log.trend_mps, words),
        "wind": lambda s: scene_dials.wind(s, view, words),
        "engine": lambda s: scene_dials.engine(s, view, words),
        "tackle": lambda s: scene_dials.tackle(s, view.rodes[rode], brief, words),
        "foredeck": lambda s: foredeck(s, view, log, words),
        "notes": lambda s: _notes(s, view, brief, words, two),
    }
    for name, sheet in sheets.items():
        setters[name](sheet)
    return [s.panel() for s in sheets.values()]
