"""What stands on the sea screen while the demonstrator is watched: his words, and the keys of time and look."""

from sim.demonstrator.skipper import Said
from sim.helm.view import View
from sim.ui.chart import scene_furniture
from sim.ui.chart.camera import Camera
from sim.ui.input.keys import Bindings, Press
from sim.ui.paint import fonts
from sim.ui.paint.display import LEAST_PX, Panel
from sim.ui.paint.sheet import LEAD, Sheet
from sim.ui.panels import scene_rail
from sim.ui.panels.layout import Layout
from sim.ui.panels.scene_ledger import clock
from sim.ui.words import Catalogue

LINES = 4


def panels(
    layout: Layout,
    view: View,
    said: Said | None,
    paused: bool,
    camera: Camera,
    words: Catalogue,
    bindings: Bindings,
) -> list[Panel]:
    """Return rail and furniture, and what he said last, once he has spoken."""
    sign = bindings.sign
    captions = (
        (sign(Press.PAUSE), words("ui.rail.go_on" if paused else "ui.rail.pause")),
        (f"{sign(Press.SLOWER)} {sign(Press.FASTER)}", words("ui.help.rate")),
        (f"{sign(Press.FARTHER)} {sign(Press.NEARER)}", words("ui.help.zoom")),
        (sign(Press.HEAD_UP), words("ui.help.head_up")),
        (sign(Press.ESCAPE), words("ui.watched.leave")),
    )
    shown = [
        scene_rail.caption_rail(layout, captions),
        scene_furniture.wind(layout, view, words, camera.up_rad),
        scene_furniture.scale(layout, camera.scale, words, camera.up_rad),
    ]
    return shown if said is None else [*shown, caption(layout, said, words)]


def caption(layout: Layout, said: Said, words: Catalogue) -> Panel:
    """Return what the demonstrator said last, with its time, at the plan's head."""
    u = layout.small
    left, top, wide, _ = layout.plan
    w = min(round(680 * u), wide - 40)
    lines = fonts.wrapped(words.told(said.key, said.values), "text", max(LEAST_PX, LEAD * u), w - round(36 * u))[:LINES]
    h = round((34 + 23 * len(lines)) * u)
    sheet = Sheet("plan:caption", (left + (wide - w) // 2, top + round(12 * u), w, h), u)
    sheet.box("frame", (1, 1, sheet.wide - 2, sheet.tall - 2), None, "ink", 2.0)
    sheet.label(18, 7, words("ui.watched.title", clock=clock(said.t_s)), sheet.wide - 36)
    for k, line in enumerate(lines):
        sheet.text("told", 18, 27 + 23 * k, line, "text", LEAD, "ink", room=sheet.wide - 36)
    return sheet.panel()
