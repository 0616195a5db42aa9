"""The foredeck's window: the chain as eye, hand and foot have it, its gear, what the helm signals, and the keys."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.helm.apart import Forward
from sim.helm.view import View
from sim.play.logbook import MESSAGE_S
from sim.scenario.read.brief import Brief
from sim.ui.chart.scene_furniture import said
from sim.ui.input.fore_keys import SIGNALS, Fore, TwoBindings
from sim.ui.input.signals import FROM_HELM, Shown
from sim.ui.paint import fonts, glyphs
from sim.ui.paint.display import Panel
from sim.ui.paint.palette import Ink
from sim.ui.paint.sheet import BODY, GREAT, LABEL, LEAD, Sheet
from sim.ui.panels import scene_dials, scene_foredeck
from sim.ui.panels.layout import Rect
from sim.ui.panels.scene_ledger import strip
from sim.ui.panels.scene_rail import cap, cap_width
from sim.ui.panels.scene_signals import ago, word
from sim.ui.words import Catalogue

SIZE, LEAST = (600, 720), (520, 624)
MARGIN = 18.0
COLUMNS, SIGNALLED = 4, 8  # keys in a row, and how many are signals
# name, height in units, top to bottom; what is left over goes to the signs
PARTS = {"told": 118.0, "chain": 76.0, "strip": 60.0, "signs": 150.0, "tackle": 58.0, "news": 34.0, "keys": 180.0}
# What stands together, by the word for it; signals first.
KEYS: tuple[tuple[str, tuple[Fore, ...]], ...] = (
    *((fore.value, (fore,)) for fore, signal in SIGNALS.items() if signal not in FROM_HELM),
    *((fore.value, (fore,)) for fore in (Fore.HEAVE, Fore.VEER, Fore.BRAKE)),
    ("grip", (Fore.BRAKE_EASE, Fore.BRAKE_HARDEN)), ("fore_stopper", (Fore.STOPPER,)),
    ("fore_snubber", (Fore.SNUBBER,)), ("preset", (Fore.PRESET_LESS, Fore.PRESET_MORE)),
)  # fmt: skip
NEXT = ("fore_next_rode", (Fore.NEXT_RODE,))


@dataclass(frozen=True)
class Moment:
    """What there is to draw.

    Attributes:
        bow: what is known forward.
        view: only for the names in what has happened.
        rode: which of her rodes is worked.
        told: the last signal from the helm, ``made`` the last to it.
        now_s: the time.
        standing: whether time stands still.
    """

    bow: Forward
    view: View
    brief: Brief
    rode: int
    told: Shown | None
    made: Shown | None
    now_s: float
    standing: bool


@dataclass(frozen=True)
class Touch:
    """Where one of the foredeck's keys can be clicked [px]."""

    rect: Rect
    fore: Fore


def panels(
    size: tuple[int, int], at: Moment, words: Catalogue, bindings: TwoBindings
) -> tuple[list[Panel], list[Touch]]:
    """Return the window's panels, top to bottom, and where its keys can be clicked."""
    unit = max(min(size[0] / SIZE[0], size[1] / SIZE[1]), 0.8)
    touches: list[Touch] = []
    setters: dict[str, Callable[[Sheet], None]] = {
        "told": lambda s: _told(s, at, words),
        "chain": lambda s: _chain(s, at, words),
        "strip": lambda s: strip(s, at.bow.rodes[at.rode].counter_m, words),
        "signs": lambda s: _signs(s, at.bow, words),
        "tackle": lambda s: scene_dials.tackle(s, at.bow.rodes[at.rode], at.brief, words),
        "news": lambda s: _news(s, at, words),
        "keys": lambda s: touches.extend(_keys(s, len(at.bow.rodes), at.brief.boat.bridle, words, bindings)),
    }
    spare = size[1] - sum(round(high * unit) for high in PARTS.values())
    out, y = [], 0
    for name, high in PARTS.items():
        tall = round(high * unit) + (spare if name == "signs" else 0)
        sheet = Sheet(f"forward:{name}", (0, y, size[0], max(tall, 1)), unit, "rail" if name == "keys" else "panel")
        setters[name](sheet)
        out.append(sheet.panel())
        y += tall
    return out, touches


def _told(sheet: Sheet, at: Moment, words: Catalogue) -> None:
    """Set the helm's last signal, and the last one made to it."""
    half = 0.5 * sheet.wide
    for x, title, shown in ((MARGIN, "from_helm", at.told), (half + 10, "to_helm", at.made)):
        sheet.label(x, 7, words(f"ui.two.{title}"), half - MARGIN - 20)
        if shown is None or not shown.stands(at.now_s):
            sheet.text("frame", x, 30, words("ui.two.nothing"), "text", BODY, "second", room=half - MARGIN - 16)
            continue
        mine = title == "to_helm"
        ink: Ink = "hot" if shown.fresh(at.now_s) and not mine else "second" if mine else "ink"
        glyphs.draw(sheet, (x + 54, 70), 34.0, shown, ink)
        room = half - MARGIN - 124
        large = LEAD + (0 if mine else 4)
        lines = fonts.wrapped(word(shown, words), "strong", sheet.size(large), room * sheet.unit)[:2]
        for k, line in enumerate(lines):
            sheet.text("told", x + 112, 42 + 22 * k, line, "strong", large, ink, room=room)
        sheet.text(
            "told", x + 112, 48 + 22 * len(lines), ago(shown, at.now_s, words), "label", LABEL, "second", room=room
        )
    sheet.line("frame", [(half, 8), (half, sheet.tall - 8)], "rule", 1.0)
    sheet.rule(sheet.tall - 1.5, "ink", 2.0)


def _chain(sheet: Sheet, at: Moment, words: Catalogue) -> None:
    """Set the chain out and whether it runs."""
    h, running = at.bow.rodes[at.rode], at.bow.running[at.rode]
    title = words("ui.chain_out" if at.rode == 0 else f"ui.out.{h.role}")
    sheet.label(MARGIN, 7, title, 200)
    figure, unit = words.figure("cable", abs(h.counter_m))
    sheet.figure("display:counter", MARGIN, 18, figure, GREAT, unit, 30)
    if running:
        way = words("ui.two.runs_out" if running > 0 else "ui.two.comes_in")
        sheet.text("eye", sheet.wide - MARGIN, 34, way, "strong", LEAD + 3, "hot", "ne", 240)
        x, y = 0.5 * sheet.wide, 44.0
        sheet.fill("eye", [(x - 13, y - 9 * running), (x + 13, y - 9 * running), (x, y + 13 * running)], "hot")
    elif at.standing:
        sheet.text("frame", sheet.wide - MARGIN, 34, words("ui.head.paused"), "label", LEAD, "hot", "ne", 240)


def _signs(sheet: Sheet, bow: Forward, words: Catalogue) -> None:
    """Set how the chain leads, how it slopes and how it feels, as large as there is room."""
    sheet.label(MARGIN, 7, words("ui.two.lead_and_feel"), sheet.wide - 2 * MARGIN)
    top, foot = 34.0, sheet.tall - 28.0
    size = max(min((foot - top) / 2.1, sheet.wide / 9.6), 12.0)
    middle = 0.5 * (top + foot)
    sixth = sheet.wide / 6.0
    scene_foredeck.clock(sheet, sixth, middle, size, bow.arm, words)
    scene_foredeck.slope(sheet, 3.0 * sixth, middle, size, bow.arm, bow.stay, words)
    scene_foredeck.feel(sheet, 5.0 * sixth, middle, size, bow.feel, words)
    sheet.rule(sheet.tall - 1)


def _news(sheet: Sheet, at: Moment, words: Catalogue) -> None:
    """Set what has just happened at the bow."""
    event: ev.Event | None = at.bow.seen[-1] if at.bow.seen else None
    if event is not None and 0.0 <= at.now_s - event.tick / TICK_HZ < MESSAGE_S:
        text, ink = said(event, at.view, at.brief, words)
        sheet.text("told", 0.5 * sheet.wide, 0.5 * sheet.tall, text, "strong", LEAD, ink, "c", sheet.wide - 2 * MARGIN)


def _keys(sheet: Sheet, rodes: int, bridle: bool, words: Catalogue, bindings: TwoBindings) -> Sequence[Touch]:
    """Set every key with what it does, signals first; return where they can be clicked."""
    shown = (*KEYS, NEXT) if rodes > 1 else KEYS
    named = {"fore_snubber": "fore_bridle"} if bridle else {}
    across = (sheet.wide - 2 * 12.0) / COLUMNS
    pitch = (sheet.tall - 12.0) / math.ceil(len(shown) / COLUMNS)
    out = []
    for k, (what, fores) in enumerate(shown):
        x, y = 12.0 + across * (k % COLUMNS), 4.0 + pitch * (k // COLUMNS)
        y += 4.0 if k >= SIGNALLED else 0.0
        left = x
        for fore in fores:
            key = bindings.sign(fore)
            cap(sheet, left, y + 0.5 * (pitch - 30.0), key, None, "rail_text", "rail_text")
            wide = cap_width(key) + 4.0
            on_screen = (round(v * sheet.unit) for v in (left, y, across if len(fores) == 1 else wide, pitch))
            px, top, broad, high = on_screen
            out.append(Touch((px, sheet.rect[1] + top, broad, high), fore))
            left += wide
        room = x + across - left - 7.0
        caption = words(f"ui.fore.{named.get(what, what)}")
        sheet.text("frame", left + 3.0, y + 0.5 * pitch, caption, "label", BODY, "rail_text", "w", room)
    rows = SIGNALLED // COLUMNS
    sheet.line("frame", [(12, 6.0 + rows * pitch), (sheet.wide - 12, 6.0 + rows * pitch)], "rail_dim", 1.2)
    return out
