"""What lies over a screen for a while: help, a question."""

from sim.scenario.brief import Brief
from sim.ui import fonts
from sim.ui.display import Panel
from sim.ui.layout import Layout
from sim.ui.sheet import BODY, LABEL, LEAD, Sheet
from sim.ui.words import Catalogue

# keys as written on them, and the key of what they do
HELP = (
    ("A D", "helm"), ("X", "midships"), ("W S", "levers"), ("Q Z", "port"), ("E C", "starboard"), ("N", "neutral"),
    ("V", "veer"), ("H", "heave"), ("B", "brake"), ("P", "stopper"), ("U", "snubber"), ("M", "mark"),
    ("R", "range"), ("L", "hail"), ("K", "ask"), ("T", "transit"), ("← →", "look"), ("O", "alarm"), ("I", "signal"),
    ("Y", "plan"), ("Enter", "secure"), ("Back", "abort"), ("Space", "pause"), (", .", "rate"),
    ("- =", "zoom"), ("0", "own_zoom"), ("F9", "palette"), ("Esc", "quit"),
)  # fmt: skip


def _middle(layout: Layout, name: str, wide: float, tall: float) -> Sheet:
    u = layout.unit
    w, h = round(wide * u), round(tall * u)
    sheet = Sheet(name, ((layout.size[0] - w) // 2, (layout.size[1] - h) // 2, w, h), u)
    sheet.box("frame", (1.5, 1.5, sheet.wide - 3, sheet.tall - 3), None, "ink", 3.0)
    return sheet


def _key(sheet: Sheet, x: float, y: float, keys: str) -> None:
    for name in keys.split():
        wide = 26.0 if len(name) == 1 else 16.0 + 8.5 * len(name)
        sheet.box("frame", (x, y, wide, 26), None, "ink", 1.5, 4)
        sheet.text("frame", x + 0.5 * wide, y + 13.5, name, "strong" if name in "←→" else "figure", 16, "ink", "c")
        x += wide + 5


def help_sheet(layout: Layout, brief: Brief, words: Catalogue) -> Panel:
    """Return the help: every key and what it does."""
    shown = [row for row in HELP if brief.boat.shafts > 1 or row[1] not in ("port", "starboard")]
    rows = (len(shown) + 1) // 2
    sheet = _middle(layout, "overlay:help", 860, 134 + 31 * rows)
    sheet.text("frame", 26, 18, words("ui.help.title"), "figure", 24)
    sheet.text("frame", sheet.wide - 26, 24, words("ui.help.close"), "text", BODY, "second", "ne")
    sheet.rule(54, "ink", 2.0, 26)
    for k, (keys, what) in enumerate(shown):
        column, row = divmod(k, rows)
        x, y = 26 + column * 412, 66 + 31 * row
        _key(sheet, x, y, keys)
        sheet.text("frame", x + 74, y + 13, words(f"ui.help.{what}"), "text", BODY, "ink", "w", 334)
    caution = fonts.wrapped(words("ui.caution"), "text", sheet.size(LABEL), (sheet.wide - 52) * sheet.unit)
    for k, line in enumerate(caution[:2]):
        sheet.text("frame", 26, sheet.tall - 50 + 18 * k, line, "text", LABEL, "second")
    return sheet.panel()


def question(layout: Layout, key: str, words: Catalogue) -> Panel:
    """Return a question with its two answers."""
    sheet = _middle(layout, "overlay:question", 560, 190)
    sheet.text("frame", 26, 20, words(f"ui.ask.{key}.title"), "figure", 26, room=508)
    room = 508 * sheet.unit
    for k, line in enumerate(fonts.wrapped(words(f"ui.ask.{key}.detail"), "text", sheet.size(LEAD), room)[:3]):
        sheet.text("frame", 26, 62 + 23 * k, line, "text", LEAD)
    _key(sheet, 26, 144, "Enter")
    sheet.text("frame", 96, 157, words(f"ui.ask.{key}.yes"), "strong", LEAD, "hot", "w", 200)
    _key(sheet, 290, 144, "Esc")
    sheet.text("frame", 342, 157, words(f"ui.ask.{key}.no"), "strong", LEAD, "ink", "w", 190)
    return sheet.panel()
