"""The key rail: what can be done now, with the keys that do it; what matters least now gives way."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sim.base.units import TICK_HZ, mps
from sim.core import events as ev
from sim.helm.view import View
from sim.play.hands import Act, Can
from sim.scenario.read.brief import Brief
from sim.ui.input.fore_keys import TELLS
from sim.ui.input.keys import Bindings, Press
from sim.ui.paint import fonts
from sim.ui.paint.display import LEAST_PX, Face, Panel
from sim.ui.paint.palette import Ink
from sim.ui.paint.sheet import BODY, Sheet
from sim.ui.panels.layout import Layout, Rect
from sim.ui.words import Catalogue

CAP, GAP, BETWEEN = 30.0, 5.0, 10.0
FEWEST = 3  # captions, that are kept however short room is
TARGET_PX = 40.0  # nothing to be clicked is smaller
ARROWS = "←→↑↓"
MARK_NOW_S = 20.0  # after the touch the mark is what matters
# What is left out first where there is no room: with the anchor home, on its way, and once the snubber is on.
STOWED = ("ui.rail.plan", "ui.rail.sound", "ui.rail.hail", "ui.rail.stopper", "ui.rail.mark", "ui.rail.range")
LAYING = ("ui.rail.plan", "ui.rail.sound", "ui.rail.hail", "ui.rail.secure", "ui.rail.thruster", "ui.rail.range")
RIDING = ("ui.rail.sound", "ui.rail.plan", "ui.rail.hail", "ui.rail.range", "ui.rail.thruster", "ui.rail.mark")
TELL = "ui.rail.tell."  # the helm's signals, while two are aboard
ENGINES = ("ui.rail.port", "ui.rail.starboard")  # both have their keys, or neither
ALWAYS_LAST = (*ENGINES, "ui.rail.dive", "ui.rail.rode", "ui.rail.grip", "ui.rail.preset")


@dataclass(frozen=True)
class Group:
    """Keys that belong together.

    Attributes:
        acts: what the keys do.
        words: key of the caption.
        usable: dim where not.
        on: what they work is on; printed solid.
        now: it wants doing, or is running: printed hot.
    """

    acts: tuple[Act | Press, ...]
    words: str
    usable: bool = True
    on: bool = False
    now: bool = False


@dataclass(frozen=True)
class Cell:
    """Where one key of the rail can be clicked [px of the window], and what it does."""

    rect: Rect
    act: Act | Press


def groups(view: View, brief: Brief, rode: int = 0, two: bool = False, departing: bool = False) -> list[Group]:
    """Return the rail's groups for a moment; while ``two`` are aboard those of the one at the helm."""
    if two:
        out = [*_drive(view, brief), *_about(view, Can.now(view, rode))]
        kept = [g for g in out if Act.ASK not in g.acts]
        kept = [replace(g, usable=True) if g.words in ("ui.rail.alarm", "ui.rail.signal") else g for g in kept]
        told = [Group((act,), f"{TELL}{signal.value}") for act, signal in TELLS.items()]
        still = abs(view.readings.sog_mps) < mps(1.0)
        mark = Group((Act.MARK,), "ui.rail.mark")
        secure = _ends(Can.now(view, rode), still, departing)
        return [Group((Act.PORT, Act.STARBOARD), "ui.rail.helm"), *told, mark, *kept, secure]
    can, h = Can.now(view, rode), view.rodes[rode]
    touched = [c for c in view.calls if c.key == "on_the_bottom"]
    touched_s = touched[-1].tick / TICK_HZ if touched else -1e9
    marked = [e.tick / TICK_HZ for e in view.seen if isinstance(e, ev.AnchorMarked)]
    unmarked = bool(touched) and (not marked or marked[-1] < touched_s - 5.0)
    return [
        Group((Act.PORT, Act.STARBOARD), "ui.rail.helm"),
        *_drive(view, brief),
        Group((Act.VEER, Act.HEAVE), "ui.rail.windlass", can.windlass, now=h.motion != 0),
        Group((Act.PRESET_LESS, Act.PRESET_MORE), "ui.rail.preset", on=h.stop_at_m > 0.0),
        Group((Act.BRAKE,), "ui.rail.brake_on" if h.brake <= 0.5 else "ui.rail.let_go", now=h.brake <= 0.5),
        Group((Act.BRAKE_EASE, Act.BRAKE_HARDEN), "ui.rail.grip"),
        Group((Act.STOPPER,), "ui.rail.stopper", on=h.stopper),
        Group((Act.SNUBBER,), "ui.rail.bridle" if brief.boat.bridle else "ui.rail.snubber", can.snubber, on=h.hooked),
        Group((Act.MARK,), "ui.rail.mark", now=unmarked and view.readings.t_s - touched_s < MARK_NOW_S),
        *([Group((Act.NEXT_RODE,), "ui.rail.rode")] if len(view.rodes) > 1 else []),
        *_about(view, can),
        _ends(can, can.secure, departing),
    ]


def _ends(can: Can, secure: bool, departing: bool) -> Group:
    """Return the group of what ends it: to leave while nothing is out, to report her secured after that, or gone."""
    if departing:
        return Group((Press.ENTER,), "ui.rail.gone", can.leave)
    return Group((Press.ENTER,), "ui.rail.leave") if can.leave else Group((Press.ENTER,), "ui.rail.secure", secure)


def _drive(view: View, brief: Brief) -> list[Group]:
    """Return the groups of levers and thruster."""
    levers = [Group((Act.AHEAD, Act.ASTERN), "ui.rail.levers")]
    if brief.boat.shafts > 1:
        levers += [
            Group((Act.PORT_AHEAD, Act.PORT_ASTERN), "ui.rail.port"),
            Group((Act.STBD_AHEAD, Act.STBD_ASTERN), "ui.rail.starboard"),
        ]
    neutral = Group((Act.NEUTRAL,), "ui.rail.neutral", on=all(lever == 0.0 for lever in view.readings.levers))
    thruster = [Group((Act.THRUST_PORT, Act.THRUST_STBD), "ui.rail.thruster")] if brief.boat.thruster else []
    return [*levers, neutral, *thruster]


def _about(view: View, can: Can) -> list[Group]:
    """Return the groups of looking, asking and showing."""
    rings = [e for e in view.seen if isinstance(e, ev.AlarmSet)]
    busy = {kind for kind, _ in view.busy}
    return [
        Group((Act.RANGE,), "ui.rail.range", now="range" in busy),
        Group((Act.HAIL,), "ui.rail.hail", can.hail, now="hail" in busy),
        Group((Act.SOUND,), "ui.rail.sound", now="sound" in busy),
        Group((Act.ASK,), "ui.rail.ask", view.arm is not None),
        Group((Act.TRANSIT,), "ui.rail.transit", on=view.transit_open_m is not None),
        Group((Act.ALARM,), "ui.rail.alarm", can.signal, on=bool(rings and rings[-1].on)),
        Group((Act.SIGNAL,), "ui.rail.signal", can.signal, on=view.handling.ball or view.handling.light),
        Group((Act.DIVE,), "ui.rail.dive", can.signal, now="dive" in busy),
        Group((Press.PLAN,), "ui.rail.plan"),
    ]


def _leaving(view: View, shown: Sequence[Group]) -> Group:
    """Return the group that gives way: what cannot be done, then what this stage of the work asks for least."""
    h = view.handling
    two = any(group.words.startswith(TELL) for group in shown)
    stage = RIDING if h.hooked else LAYING if two or view.readings.counter_m > 0.5 else STOWED
    for words in (*ALWAYS_LAST[2:4], *stage[:3], *ALWAYS_LAST[4:], *stage[3:], *ALWAYS_LAST[:2]):
        for group in shown:
            if group.words == words and not (group.now or group.on):
                return group
    dim = [group for group in shown if not group.usable]
    return dim[-1] if dim else shown[-1]


def cap_width(key: str) -> float:
    """Return the width of a key as drawn [units]."""
    return CAP if len(key) == 1 else 20.0 + 9.0 * len(key)


def _caps_width(signs: Sequence[str]) -> float:
    return sum(cap_width(key) for key in signs) + (len(signs) - 1) * GAP


class _Rail:
    """Sets groups along the rail and keeps where they can be clicked."""

    def __init__(self, layout: Layout, words: Catalogue, bindings: Bindings, focus: Act | Press | None) -> None:
        self.sheet = Sheet("rail", layout.rail, layout.unit, "rail")
        self.words, self.bindings, self.focus = words, bindings, focus
        self.cells: list[Cell] = []

    def caption(self, group: Group) -> str:
        return self.words(group.words).upper()

    def width(self, group: Group) -> float:
        unit = self.sheet.unit
        said = fonts.measure(self.caption(group), "label", max(LEAST_PX, BODY * unit)) / unit
        signs = [self.bindings.sign(act) for act in group.acts]
        return max(_caps_width(signs), said, len(signs) * TARGET_PX / unit)

    def set(self, x: float, wide: float, group: Group) -> None:
        sheet = self.sheet
        ink: Ink = "rail_text" if group.usable else "rail_dim"
        ground: Ink | None = "hot" if group.now else "rail_text" if group.on else None
        letter: Ink = "casing" if group.now else "rail" if group.on else ink
        edge: Ink = "hot" if group.now else ink
        signs = [self.bindings.sign(act) for act in group.acts]
        left, share = x + 0.5 * (wide - _caps_width(signs)), wide / len(signs)
        for k, (act, key) in enumerate(zip(group.acts, signs, strict=True)):
            if act is self.focus:
                ring = (left - 4.5, 5.5, cap_width(key) + 9, CAP + 9)
                sheet.box("frame", ring, None, "rail_text", 2.4, 7.0)
            cap(sheet, left, 10, key, ground, edge, letter)
            left += cap_width(key) + GAP
            px, top = sheet.rect[0], sheet.rect[1]
            at = px + round((x + k * share) * sheet.unit)
            self.cells.append(Cell((at, top, round(share * sheet.unit), sheet.rect[3]), act))
        sheet.text("frame", x + 0.5 * wide, 45, self.caption(group), "label", BODY, ink, "n")


def cap(sheet: Sheet, x: float, y: float, key: str, ground: Ink | None, edge: Ink, ink: Ink) -> None:
    """Set one key."""
    wide = cap_width(key)
    sheet.box("frame", (x, y, wide, CAP), ground, edge, 1.6, 4.5)
    face: Face = "strong" if key[-1] in ARROWS else "figure"
    sheet.text("frame", x + 0.5 * wide, y + 0.5 * CAP + 0.5, key, face, 17, ink, "c")


def rail(
    layout: Layout,
    view: View,
    brief: Brief,
    paused: bool,
    words: Catalogue,
    bindings: Bindings,
    rode: int = 0,
    focus: Act | Press | None = None,
    two: bool = False,
    departing: bool = False,
) -> tuple[Panel, list[Cell]]:
    """Return the rail's panel and where it can be clicked."""
    made = _Rail(layout, words, bindings, focus)
    pause = Group((Press.PAUSE,), "ui.rail.go_on" if paused else "ui.rail.pause", now=paused)
    more = Group((Press.HELP,), "ui.rail.help")
    shown = groups(view, brief, rode, two, departing)
    ends = [made.width(g) for g in (more, pause)]
    room = made.sheet.wide - 32 - sum(ends) - 2 * BETWEEN
    while True:
        widths = [made.width(g) for g in shown]
        if sum(widths) + BETWEEN * (len(shown) - 1) <= room:
            break
        least = _leaving(view, shown)
        gone = ENGINES if least.words in ENGINES else (least.words,)
        shown = [g for g in shown if g.words not in gone]
    spare = min((room - sum(widths)) / max(len(shown) - 1, 1), 30.0)
    x = 16.0
    for group, wide in zip(shown, widths, strict=True):
        made.set(x, wide, group)
        x += wide + spare
    right = made.sheet.wide - 16
    made.set(right - ends[1], ends[1], pause)
    made.set(right - ends[1] - BETWEEN - ends[0], ends[0], more)
    return made.sheet.panel(), made.cells


def pause_sign(bindings: Bindings, words: Catalogue) -> str:
    """Return what is written on the key that pauses, goes on deck, looks again: a bar has a name in each language."""
    return words("ui.key.space") if bindings.key(Press.PAUSE) == "space" else bindings.sign(Press.PAUSE)


def caption_rail(layout: Layout, pairs: Sequence[tuple[str, str]], caution: str = "") -> Panel:
    """Return a rail for the other screens: keys with what they do; where room is short the second gives way first.

    ``caution`` stands small along its lower edge.
    """
    sheet = Sheet("rail", layout.rail, layout.unit, "rail")
    wide = [fonts.measure(caption, "text", sheet.size(16)) / sheet.unit for _, caption in pairs]
    caps = [sum(cap_width(key) + GAP for key in keys.split()) + 5.0 for keys, _ in pairs]
    x, spare = 18.0, sheet.wide - 36.0 - sum(wide) - sum(caps)
    if spare < 6.0 * (len(pairs) - 1) and len(pairs) > FEWEST:
        return caption_rail(layout, [pairs[0], *pairs[2:]], caution)
    between = min(30.0, max(spare / max(len(pairs) - 1, 1), 6.0))
    for (keys, caption), long in zip(pairs, wide, strict=True):
        for key in keys.split():
            cap(sheet, x, 21, key, None, "rail_text", "rail_text")
            x += cap_width(key) + GAP
        x += 5
        sheet.text("frame", x, 36, caption, "text", 16, "rail_text", "w", max(sheet.wide - x - 8.0, 1.0))
        x += long + between
    if caution:
        sheet.text("frame", sheet.wide - 18.0, sheet.tall - 3.0, caution, "text", 12, "rail_text", "se")
    return sheet.panel()
