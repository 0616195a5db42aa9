"""What lies over a screen for a while: help, a question."""

from collections.abc import Collection, Sequence

from sim.play.hands import Act
from sim.scenario.read.brief import Brief
from sim.ui.input.fore_keys import NOT_THE_HELMS, TELLING
from sim.ui.input.keys import Bindings, Press
from sim.ui.paint import fonts
from sim.ui.paint.display import Panel
from sim.ui.paint.palette import Ink
from sim.ui.paint.sheet import BODY, LABEL, LEAD, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.panels.scene_rail import Cell
from sim.ui.words import Catalogue

HELP: tuple[tuple[tuple[Act | Press, ...], str], ...] = (
    ((Act.PORT, Act.STARBOARD), "helm"), ((Act.MIDSHIPS,), "midships"), ((Act.AHEAD, Act.ASTERN), "levers"),
    ((Act.PORT_AHEAD, Act.PORT_ASTERN), "port"), ((Act.STBD_AHEAD, Act.STBD_ASTERN), "starboard"),
    ((Act.NEUTRAL,), "neutral"), ((Act.THRUST_PORT, Act.THRUST_STBD), "thruster"),
    ((Act.VEER, Act.HEAVE), "windlass"), ((Act.PRESET_LESS, Act.PRESET_MORE), "preset"), ((Act.BRAKE,), "brake"),
    ((Act.BRAKE_EASE, Act.BRAKE_HARDEN), "grip"), ((Act.STOPPER,), "stopper"), ((Act.SNUBBER,), "snubber"),
    ((Act.NEXT_RODE,), "rode"), ((Act.ASHORE,), "ashore"), ((Act.MARK,), "mark"), ((Act.ALARM,), "alarm"),
    ((Act.SIGNAL,), "signal"), ((Press.WATCH,), "watch"),
    ((Press.ENTER,), "secure"), ((Press.ABORT,), "abort"), ((Press.PLAN,), "plan"),
    ((Act.LOOK_LEFT, Act.LOOK_RIGHT), "look"), ((Act.TRANSIT,), "transit"),
    ((Act.LEADING,), "leading"), ((Act.NEXT_TARGET,), "target"),
    ((Act.RANGE,), "range"), ((Act.RANGE_MAST,), "range_mast"),
    ((Act.HAIL,), "hail"), ((Act.ASK,), "ask"), ((Act.SOUND,), "sound"),
    ((Act.DIVE,), "dive"), ((Press.SOUNDER, Press.ANCHOR, Press.CIRCLE), "instruments"),
    ((Press.RADAR, Press.AIS), "radar"),
    ((Press.FARTHER, Press.NEARER), "zoom"), ((Press.PAN_LEFT, Press.PAN_RIGHT), "pan"),
    ((Press.OWN_ZOOM,), "own_zoom"), ((Press.HEAD_UP,), "head_up"), ((Press.NEXT,), "focus"),
    ((Press.PAGE,), "page"), ((Press.PAUSE,), "pause"),
    ((Press.SLOWER, Press.FASTER), "rate"), ((Press.BACK_30,), "back"), ((Act.BOOKMARK,), "bookmark"),
    ((Press.FREEZE,), "freeze"), ((Press.TWO,), "two"),
    ((Press.PALETTE,), "palette"), ((Press.DIMMER, Press.BRIGHTER), "brightness"),
    ((Press.MUTE,), "mute"), ((Press.ESCAPE,), "quit"),
)  # fmt: skip
LISTED = 38.0  # and a row of a sheet of rows
ROW = 40.0  # units a row of the help takes where a mouse is to hit it
TWO_SCREWS = ("port", "starboard")


def middle(layout: Layout, name: str, wide: float, tall: float) -> Sheet:
    """Return an empty sheet of so many units over the middle of the screen."""
    u = layout.unit
    w, h = round(wide * u), round(tall * u)
    sheet = Sheet(name, ((layout.size[0] - w) // 2, (layout.size[1] - h) // 2, w, h), u)
    sheet.box("frame", (1.5, 1.5, sheet.wide - 3, sheet.tall - 3), None, "ink", 3.0)
    return sheet


def key(sheet: Sheet, x: float, y: float, name: str) -> float:
    """Set one key and return how wide it is."""
    wide = 26.0 if len(name) == 1 else 16.0 + 8.5 * len(name)
    sheet.box("frame", (x, y, wide, 26), None, "ink", 1.5, 4)
    sheet.text("frame", x + 0.5 * wide, y + 13.5, name, "strong" if name[-1] in "←→↑↓" else "figure", 16, "ink", "c")
    return wide


def helped(
    brief: Brief, rodes: int, two: bool = False, idle: Collection[Act | Press] = ()
) -> list[tuple[tuple[Act | Press, ...], str]]:
    """Return the rows of the help that this boat has a use for; while ``two`` are aboard those of the helm.

    Rows with a key that is ``idle`` now are left out.
    """
    left_out: set[str] = set()
    if brief.boat.shafts < 2:
        left_out |= set(TWO_SCREWS)
    if not brief.boat.thruster:
        left_out.add("thruster")
    if not {"radar", "ais"} & set(brief.boat.gear):
        left_out.add("radar")
    if rodes < 2:
        left_out |= {"rode", "ashore"}
    if two:
        tells = [((act,), fore.value) for act, fore in TELLING.items()]
        rest = [row for row in HELP if not set(row[0]) & set(NOT_THE_HELMS) and row[1] not in left_out]
        return [*rest[:5], *tells, *rest[5:]]
    return [row for row in HELP if row[1] not in left_out and not set(row[0]) & set(idle)]


def help_sheet(
    layout: Layout,
    brief: Brief,
    words: Catalogue,
    bindings: Bindings,
    rodes: int = 1,
    two: bool = False,
    idle: Collection[Act | Press] = (),
) -> tuple[Panel, list[Cell]]:
    """Return the help, every key but the ``idle`` ones and what it does, and where its rows can be clicked."""
    shown = helped(brief, rodes, two, idle)
    columns = 3
    rows = -(-len(shown) // columns)
    u = layout.unit
    wide = min(1180.0, layout.size[0] / u - 24.0)
    pitch = min(ROW, (layout.size[1] / u - 150.0) / rows)
    sheet = middle(layout, "overlay:help", wide, 122 + pitch * rows)
    sheet.text("frame", 26, 16, words("ui.help.title"), "figure", 24)
    close = words("ui.help.close", sign=bindings.sign(Press.HELP))
    sheet.text("frame", sheet.wide - 26, 22, close, "text", BODY, "second", "ne", sheet.wide - 200)
    sheet.rule(50, "ink", 2.0, 26)
    across = (sheet.wide - 40) / columns
    cells = []
    for k, (acts, what) in enumerate(shown):
        column, row = divmod(k, rows)
        x, y = 22 + column * across, 56 + pitch * row
        at = x
        for act in acts:
            at += key(sheet, at, y + 0.5 * (pitch - 26), bindings.sign(act)) + 5
        label = max(at, x + 72)
        sheet.text(
            "frame", label, y + 0.5 * pitch, words(f"ui.help.{what}"), "text", BODY, "ink", "w", x + across - label - 6
        )
        left, top = sheet.rect[0] + round(x * u), sheet.rect[1] + round(y * u)
        cells.append(Cell((left, top, round(across * u), round(pitch * u)), acts[0]))
    caution = fonts.wrapped(words("ui.caution"), "text", sheet.size(LABEL), (sheet.wide - 52) * sheet.unit)
    for k, line in enumerate(caution[:2]):
        sheet.text("frame", 26, sheet.tall - 48 + 18 * k, line, "text", LABEL, "second")
    return sheet.panel(), cells


def freeze(layout: Layout, bindings: Bindings, words: Catalogue) -> Panel:
    """Return what stands on the screen while the instructor asks."""
    sheet = middle(layout, "overlay:freeze", 560, 150)
    sheet.text("frame", 0.5 * sheet.wide, 22, words("ui.freeze.title"), "figure", 28, "hot", "n", 508)
    sheet.text("frame", 0.5 * sheet.wide, 64, words("ui.freeze.detail"), "text", LEAD, "ink", "n", 508)
    told = words("ui.freeze.go_on", sign=bindings.sign(Press.FREEZE))
    sheet.text("frame", 0.5 * sheet.wide, 104, told, "text", BODY, "second", "n", 508)
    return sheet.panel()


def question(layout: Layout, asked: str, words: Catalogue, sign: str = "", leave: str = "") -> tuple[Panel, list[Cell]]:
    """Return a question with its two answers, and where they can be clicked.

    Args:
        layout: of the window.
        asked: the question, by its key.
        words: the catalogue.
        sign: of the key that opens the watch's orders.
        leave: sign of the key by which she leaves without anchoring.
    """
    sheet = middle(layout, "overlay:question", 560, 190)
    sheet.text("frame", 26, 20, words(f"ui.ask.{asked}.title"), "figure", 26, room=508)
    room = 508 * sheet.unit
    for k, line in enumerate(
        fonts.wrapped(words(f"ui.ask.{asked}.detail", sign=sign, leave=leave), "text", sheet.size(LEAD), room)[:3]
    ):
        sheet.text("frame", 26, 62 + 23 * k, line, "text", LEAD)
    key(sheet, 26, 144, "Enter")
    sheet.text("frame", 96, 157, words(f"ui.ask.{asked}.yes"), "strong", LEAD, "hot", "w", 200)
    key(sheet, 290, 144, "Esc")
    sheet.text("frame", 342, 157, words(f"ui.ask.{asked}.no"), "strong", LEAD, "ink", "w", 190)
    left, top, wide, tall = sheet.rect
    foot = round(54 * sheet.unit)
    half = wide // 2
    yes = Cell((left, top + tall - foot, half, foot), Press.ENTER)
    return sheet.panel(), [yes, Cell((left + half, top + tall - foot, wide - half, foot), Press.ESCAPE)]


def listed(
    layout: Layout,
    name: str,
    head: tuple[str, str],
    rows: Sequence[tuple[str, str]],
    chosen: int,
    arrows: str,
    foot: tuple[str, str],
) -> Panel:
    """Return a sheet of rows, one of them chosen, to lie over the screen.

    Args:
        layout: of the window.
        name: the panel's.
        head: title and what stands under it.
        rows: what each is and how it stands, the second empty where there is no more to say.
        chosen: number of the row chosen.
        arrows: the keys that move or change it, printed on it.
        foot: what Enter does, and what Escape.
    """
    s = middle(layout, name, 600, 170 + LISTED * len(rows))
    s.text("frame", 26, 18, head[0], "figure", 26, room=548)
    s.text("frame", 26, 56, head[1], "text", BODY, "second", room=548)
    for k, (what, how) in enumerate(rows):
        y = 88 + LISTED * k
        ink: Ink = "panel" if k == chosen else "ink"
        at = y + 0.5 * LISTED - 2.0
        if k == chosen:
            s.box("frame", (16, y, s.wide - 32, LISTED - 4), "ink", corner=5)
            s.text("frame", s.wide - 28, at, arrows, "strong", BODY, "panel", "e")
        s.text("frame", 28, at, what, "text", LEAD, ink, "w", 280 if how else 490)
        if how:
            s.text("hand", 324, at, how, "strong", LEAD, ink, "w", 190)
    y = s.tall - 46
    for x, sign, what in ((26.0, "Enter", foot[0]), (316.0, "Esc", foot[1])):
        wide = key(s, x, y, sign)
        s.text("frame", x + wide + 10, y + 13, what, "strong", LEAD, "ink", "w", 190)
    return s.panel()
