"""The key rail: the keys as they can be used now."""

from collections.abc import Sequence
from dataclasses import dataclass

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.helm.view import View
from sim.scenario.brief import Brief
from sim.ui import fonts
from sim.ui.display import LEAST_PX, Face, Panel
from sim.ui.hands import Can
from sim.ui.layout import Layout
from sim.ui.palette import Ink
from sim.ui.sheet import BODY, Sheet
from sim.ui.words import Catalogue

CAP, GAP, BETWEEN = 30.0, 5.0, 12.0
ARROWS = "←→↑↓"
MARK_NOW_S = 20.0  # after the touch the mark is what matters


@dataclass(frozen=True)
class Group:
    """Keys that belong together.

    Attributes:
        keys: as written on them.
        words: key of the caption.
        usable: dim where not.
        on: what they work is on; printed solid.
        now: it wants doing, or is running: printed hot.
        rank: the highest are left out first where there is no room.
    """

    keys: tuple[str, ...]
    words: str
    usable: bool = True
    on: bool = False
    now: bool = False
    rank: int = 0


def groups(view: View, brief: Brief) -> list[Group]:
    """Return the rail's groups for a moment."""
    can, h = Can.now(view, brief), view.handling
    touched = [c for c in view.calls if c.key == "on_the_bottom"]
    touched_s = touched[-1].tick / TICK_HZ if touched else -1e9
    marked = [e.tick / TICK_HZ for e in view.seen if isinstance(e, ev.AnchorMarked)]
    unmarked = bool(touched) and (not marked or marked[-1] < touched_s - 5.0)
    levers = [Group(("W", "S"), "ui.rail.levers")]
    if brief.boat.shafts > 1:
        levers += [Group(("Q", "Z"), "ui.rail.port", rank=2), Group(("E", "C"), "ui.rail.starboard", rank=2)]
    return [
        Group(("A", "D"), "ui.rail.helm"),
        *levers,
        Group(("N",), "ui.rail.neutral", on=all(lever == 0.0 for lever in view.readings.levers)),
        Group(("V", "H"), "ui.rail.windlass", can.windlass, now=h.motion != 0),
        Group(("B",), "ui.rail.brake_on" if h.brake <= 0.5 else "ui.rail.let_go", now=h.brake <= 0.5),
        Group(("P",), "ui.rail.stopper", on=h.stopper),
        Group(("U",), "ui.rail.bridle" if brief.boat.bridle else "ui.rail.snubber", can.snubber, on=h.hooked),
        Group(("M",), "ui.rail.mark", now=unmarked and view.readings.t_s - touched_s < MARK_NOW_S, rank=1),
        Group(("R",), "ui.rail.range", rank=3),
        Group(("K",), "ui.rail.ask", view.arm is not None, rank=1),
        Group(("T",), "ui.rail.transit", on=view.transit_open_m is not None, rank=1),
        Group(("Y",), "ui.rail.plan", rank=3),
        Group(("Enter",), "ui.rail.secure", can.secure),
    ]


def cap_width(key: str) -> float:
    """Return the width of a key as drawn [units]."""
    return CAP if len(key) == 1 else 20.0 + 9.0 * len(key)


def _caps_width(group: Group) -> float:
    return sum(cap_width(key) for key in group.keys) + (len(group.keys) - 1) * GAP


def _width(group: Group, words: Catalogue, unit: float) -> float:
    size = max(LEAST_PX, BODY * unit)
    return max(_caps_width(group), fonts.measure(words(group.words).upper(), "label", size) / unit)


def _cap(sheet: Sheet, x: float, y: float, key: str, ground: Ink | None, edge: Ink, ink: Ink) -> None:
    wide = cap_width(key)
    sheet.box("frame", (x, y, wide, CAP), ground, edge, 1.6, 4.5)
    face: Face = "strong" if key in ARROWS else "figure"
    sheet.text("frame", x + 0.5 * wide, y + 0.5 * CAP + 0.5, key, face, 17, ink, "c")


def _set(sheet: Sheet, x: float, wide: float, group: Group, words: Catalogue) -> None:
    ink: Ink = "rail_text" if group.usable else "rail_dim"
    ground: Ink | None = "hot" if group.now else "rail_text" if group.on else None
    letter: Ink = "casing" if group.now else "rail" if group.on else ink
    edge: Ink = "hot" if group.now else ink
    left = x + 0.5 * (wide - _caps_width(group))
    for key in group.keys:
        _cap(sheet, left, 10, key, ground, edge, letter)
        left += cap_width(key) + GAP
    sheet.text("frame", x + 0.5 * wide, 45, words(group.words).upper(), "label", BODY, ink, "n")


def rail(layout: Layout, view: View, brief: Brief, paused: bool, words: Catalogue) -> Panel:
    """Return the rail's panel; what matters least is left out where there is no room."""
    sheet = Sheet("rail", layout.rail, layout.unit, "rail")
    shown = groups(view, brief)
    ends = 156.0
    room = sheet.wide - ends - 16
    while True:
        widths = [_width(g, words, layout.unit) for g in shown]
        if sum(widths) + BETWEEN * (len(shown) - 1) <= room:
            break
        least = max(shown, key=lambda g: g.rank)
        shown = [g for g in shown if g is not least]
    spare = min((room - sum(widths)) / max(len(shown) - 1, 1), 30.0)
    x = 16.0
    for group, wide in zip(shown, widths, strict=True):
        _set(sheet, x, wide, group, words)
        x += wide + spare
    _end(sheet, paused, words)
    return sheet.panel()


def _end(sheet: Sheet, paused: bool, words: Catalogue) -> None:
    right = sheet.wide - 16
    pause = Group((words("ui.key.space"),), "ui.rail.go_on" if paused else "ui.rail.pause", now=paused)
    _set(sheet, right - 74, 74, pause, words)
    _set(sheet, right - 130, 44, Group(("F1",), "ui.rail.help"), words)


def caption_rail(layout: Layout, pairs: Sequence[tuple[str, str]]) -> Panel:
    """Return a rail for the other screens: keys with what they do."""
    sheet = Sheet("rail", layout.rail, layout.unit, "rail")
    x = 18.0
    for keys, caption in pairs:
        for key in keys.split():
            _cap(sheet, x, 21, key, None, "rail_text", "rail_text")
            x += cap_width(key) + GAP
        x += 5
        sheet.text("frame", x, 36, caption, "text", 16, "rail_text", "w")
        x += fonts.measure(caption, "text", sheet.size(16)) / sheet.unit + 30
    return sheet.panel()
