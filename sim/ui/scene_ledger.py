"""The ledger: what the displays show and how the gear stands, each part a panel that is painted when it changes."""

import math

from sim.core import events as ev
from sim.helm.view import View
from sim.scenario.brief import Brief
from sim.ui import scene_dials
from sim.ui.display import Panel
from sim.ui.layout import Layout
from sim.ui.logbook import Logbook, last
from sim.ui.scene_dials import COLUMN, LEFT, RIGHT, bearing
from sim.ui.scene_foredeck import foredeck
from sim.ui.sheet import BODY, GREAT, LEAD, SMALL_FIGURE, Sheet
from sim.ui.words import Catalogue

# name, height in units; what is left over goes to the foredeck, which stands above the notes
PARTS = {"head": 58.0, "depth": 86.0, "strip": 60.0, "way": 63.0, "wind": 63.0, "engine": 74.0, "tackle": 60.0}
NOTES = 98.0
STRIP_PX_PER_M = 12.0


def clock(t_s: float) -> str:
    """Return time since the start as minutes and seconds."""
    return f"{int(t_s) // 60:02d}:{int(t_s) % 60:02d}"


def _head(sheet: Sheet, view: View, brief: Brief, rate: float, paused: bool, words: Catalogue) -> None:
    right = sheet.wide - LEFT
    sheet.text("brief", LEFT, 10, brief.title, "strong", 19.0, room=right - LEFT - 92)
    sheet.text("display:clock", right, 8, clock(view.readings.t_s), "figure", 22.0, anchor="ne")
    fall, rise = brief.tide.fall_m, brief.tide.rise_m
    if rise >= 0.05:
        tide = words("ui.head.rise", rise_m=f"{rise:.1f}")
    elif fall >= 0.05:
        tide = words("ui.head.fall", fall_m=f"{fall:.1f}")
    else:
        tide = words("ui.head.no_tide")
    sheet.text("brief", LEFT, 33, tide, "text", BODY, "second", room=right - LEFT - 92)
    pace = words("ui.head.real") if rate == 1.0 else words("ui.head.rate", rate=f"{rate:g}")
    told = words("ui.head.paused") if paused else pace
    sheet.text("frame", right, 34, told, "label", BODY, "hot" if paused else "second", "ne")
    sheet.rule(sheet.tall - 1.5, "ink", 2.0)


def _depth(sheet: Sheet, view: View, brief: Brief, words: Catalogue) -> None:
    r = view.readings
    sheet.label(LEFT, 7, words("ui.depth"), COLUMN + 14)
    sheet.figure("display:depth", LEFT, 20, f"{r.depth_m:.1f}", GREAT, words("ui.m"), 30)
    sheet.label(RIGHT, 7, words("ui.chain_out"), COLUMN)
    sheet.figure("display:counter", RIGHT, 20, f"{abs(r.counter_m):.0f}", GREAT, words("ui.m"), 30)
    height = r.depth_m + brief.boat.roller_height_m
    if r.counter_m > height:
        ratio = words("ui.times_depth", ratio=f"{r.counter_m / height:.1f}")
        sheet.text("display:counter", RIGHT + COLUMN, 53, ratio, "label", LEAD, "second", "ne", 80)
    sheet.rule(sheet.tall - 1)


def _strip(sheet: Sheet, view: View, words: Catalogue) -> None:
    """Set the chain as it runs under the roller, marked with one block for each ten metres."""
    out, middle = view.readings.counter_m, 0.5 * sheet.wide
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
            sheet.text("display:counter", x, 38, f"{10 * tens}", "label", BODY, "second", "n")
    sheet.fill("frame", [(middle - 7.5, 3), (middle + 7.5, 3), (middle, 13)], "ink")
    sheet.line("frame", [(middle, 8), (middle, 37)], "ink", 2.0)
    sheet.text("frame", middle, 38, words("ui.at_roller"), "label", BODY, "second", "n")
    sheet.rule(sheet.tall - 1)


def _notes(sheet: Sheet, view: View, brief: Brief, words: Catalogue) -> None:
    """Set the last range taken, and the transit."""
    right = sheet.wide - LEFT
    sheet.rule(1)
    found = last(view, ev.RangeTaken)
    sheet.label(LEFT, 6, words("ui.last_range"))
    if isinstance(found, ev.RangeTaken):
        told = f"{found.range_m:.0f} m  {bearing(found.bearing_rad)}"
        sheet.text("told", right, 19, told, "figure", SMALL_FIGURE + 2, anchor="ne")
        sheet.text("told", LEFT, 24, target_name(found.target, view, brief), "text", BODY, room=190)
    else:
        sheet.text("frame", LEFT, 24, words("ui.none_yet"), "text", BODY, "second")
    sheet.rule(48)
    taken = last(view, ev.TransitTaken)
    sheet.label(LEFT, 53, words("ui.transit"))
    if isinstance(taken, ev.TransitTaken) and view.transit_open_m is not None:
        shut = view.transit_open_m == 0.0
        held = words("ui.transit.open", open_m=f"{abs(view.transit_open_m):.1f}")
        when = words("ui.transit.taken", bearing=bearing(taken.bearing_rad), at=clock(taken.tick / 60.0))
        sheet.text("told", LEFT, 71, when, "text", BODY, room=200)
        said = words("ui.transit.shut") if shut else held
        sheet.text("told", right, 69, said, "strong", LEAD + 1, "ink" if shut else "hot", "ne")
    else:
        sheet.text("frame", LEFT, 71, words("ui.none_yet"), "text", BODY, "second")


def target_name(target: int, view: View, brief: Brief) -> str:
    """Return the name of a boat (1 ..) or a mark (-1 ..)."""
    if target >= 1:
        return next((o.name for o in view.others if o.number == target), "")
    return brief.chart.marks[-target - 1].name if 0 < -target <= len(brief.chart.marks) else ""


def ledger(
    layout: Layout, view: View, brief: Brief, log: Logbook, rate: float, paused: bool, words: Catalogue
) -> list[Panel]:
    """Return the ledger's panels, top to bottom."""
    left, top, wide, tall = layout.ledger
    u = layout.unit
    sheets: dict[str, Sheet] = {}
    y = top
    for name, height in PARTS.items():
        sheets[name] = Sheet(f"ledger:{name}", (left, y, wide, round(height * u)), u)
        y += round(height * u)
    notes = round(NOTES * u)
    sheets["foredeck"] = Sheet("ledger:foredeck", (left, y, wide, top + tall - notes - y), u)
    sheets["notes"] = Sheet("ledger:notes", (left, top + tall - notes, wide, notes), u)
    _head(sheets["head"], view, brief, rate, paused, words)
    _depth(sheets["depth"], view, brief, words)
    _strip(sheets["strip"], view, words)
    scene_dials.way(sheets["way"], view, log.trend_mps, words)
    scene_dials.wind(sheets["wind"], view, words)
    scene_dials.engine(sheets["engine"], view, words)
    scene_dials.tackle(sheets["tackle"], view, brief, words)
    foredeck(sheets["foredeck"], view, log, words)
    _notes(sheets["notes"], view, brief, words)
    return [s.panel() for s in sheets.values()]
