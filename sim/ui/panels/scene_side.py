"""The side view, where a lesson grants it: the water cut along the chain."""

from sim.helm.aids import Aids, Section
from sim.scenario.read.brief import BoatCard
from sim.ui.measures import tenths, whole
from sim.ui.paint import fonts
from sim.ui.paint.display import Face, Panel, Point
from sim.ui.paint.sheet import LABEL, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.words import Catalogue

LINE = 17.0  # units from line to line
SKY = 25.0  # units kept for words above the boat
BELOW_M = 0.9
SOURCE = "aid:side_view"


class _Cut:
    """Places a section on a sheet, its height stretched to be seen."""

    def __init__(self, sheet: Sheet, section: Section, boat: BoatCard, sky: float) -> None:
        left = min(x for x, _ in section.chain_m) - 5.0
        right = section.roller_m[0] + boat.loa_m + 5.0
        self.across = min(sheet.wide / (right - left), 22.0)
        self.left = left - 0.5 * (sheet.wide / self.across - (right - left))
        bed = [z for x, z in section.bed_m if left <= x <= right]
        self.high = section.surface_m + boat.roller_height_m + 0.2
        self.sky = sky
        self.up = (sheet.tall - sky) / (self.high - min(bed, default=-5.0) + BELOW_M)

    def at(self, x: float, z: float) -> Point:
        """Return the place on the sheet of a distance along and a height."""
        return (x - self.left) * self.across, self.sky + (self.high - z) * self.up


def _hull(cut: _Cut, section: Section, boat: BoatCard) -> list[list[Point]]:
    """Return her side: body and keel."""
    roller, sea, loa = section.roller_m[0], section.surface_m, boat.loa_m
    sheer = [(0.0, 1.0), (0.2, 0.86), (0.45, 0.76), (0.7, 0.74), (1.0, 0.82)]
    under = [(0.985, 0.05), (0.9, -0.25), (0.75, -0.5), (0.55, -0.62), (0.35, -0.5), (0.18, -0.25), (0.06, 0.05)]
    body = [cut.at(roller + x * loa, sea + z * boat.roller_height_m) for x, z in sheer]
    body += [cut.at(roller + x * loa, sea + z) for x, z in under]
    keel = [(0.43, -0.5), (0.62, -0.5), (0.59, -boat.draught_m), (0.48, -boat.draught_m)]
    blade = [(0.92, -0.2), (0.975, -0.1), (0.965, -0.8 * boat.draught_m), (0.93, -0.8 * boat.draught_m)]
    return [body, *([cut.at(roller + x * loa, sea + z) for x, z in part] for part in (keel, blade))]


def side(layout: Layout, aids: Aids, boat: BoatCard, words: Catalogue) -> Panel | None:
    """Return the side view's panel, None where the lesson does not grant it."""
    if layout.side is None:
        return None
    sheet = Sheet("side", layout.side, layout.unit)
    if aids.section is None:
        _empty(sheet, words)
    else:
        said, source, face = _told(sheet, aids, words)
        _section(sheet, aids, aids.section, boat, SKY + LINE * (max(len(said), 1) - 1))
        for k, line in enumerate(said):
            sheet.text(source, sheet.wide - 12, 6 + LINE * k, line, face, LABEL, anchor="ne")
    sheet.line("frame", [(0, 1), (sheet.wide, 1)], "ink", 2.0)
    sheet.text("frame", 12, 6, words("ui.side.title").upper(), "label", LABEL, "second")
    return sheet.panel()


def _empty(sheet: Sheet, words: Catalogue) -> None:
    sea = 0.4 * sheet.tall
    sheet.box(SOURCE, (0, sea, sheet.wide, sheet.tall - sea), "band2")
    sheet.line(SOURCE, [(0, sea), (sheet.wide, sea)], "ink", 1.8)
    sheet.text(SOURCE, 0.5 * sheet.wide, sea + 24, words("ui.side.stowed"), "text", LABEL + 1, "second", "n")


def _section(sheet: Sheet, aids: Aids, section: Section, boat: BoatCard, sky: float) -> None:
    cut = _Cut(sheet, section, boat, sky)
    sea = cut.at(0.0, section.surface_m)[1]
    sheet.box(SOURCE, (0, sea, sheet.wide, sheet.tall - sea), "band2")
    bed = [cut.at(x, z) for x, z in section.bed_m]
    bed = [(-20.0, bed[0][1]), *bed, (sheet.wide + 20, bed[-1][1])]
    sheet.fill(SOURCE, [*bed, (sheet.wide + 20, sheet.tall + 4), (-20, sheet.tall + 4)], "drying")
    sheet.line(SOURCE, bed, "ink", 1.8)
    sheet.line(SOURCE, [(0, sea), (sheet.wide, sea)], "ink", 1.8)
    for shape in _hull(cut, section, boat):
        sheet.fill(SOURCE, shape, "hot")
    chain = [cut.at(x, z + 0.06) for x, z in section.chain_m]
    sheet.line(SOURCE, chain, "hot", 2.6)
    _anchor(sheet, chain[0], aids)
    a = aids.anchor
    if a is not None and 0.5 < a.lying_m < len(chain) - 1:
        sheet.disc(SOURCE, *chain[round(a.lying_m)], 3.6, "casing", "hot", 1.8)


def _anchor(sheet: Sheet, at: Point, aids: Aids) -> None:
    """Set an anchor whose fluke goes down into the bed as it buries, where that is granted."""
    x, y = at
    sunk = 6.0 * aids.anchor.burial if aids.anchor is not None and aids.truth else 0.0
    sheet.line(SOURCE, [(x + 14, y + 0.3 * sunk), (x - 3, y + sunk)], "hot", 3.2)
    sheet.fill(SOURCE, [(x - 6, y - 6 + sunk), (x + 6, y + 7 + sunk), (x - 9, y + 4 + sunk)], "hot")


def _told(sheet: Sheet, aids: Aids, words: Catalogue) -> tuple[list[str], str, Face]:
    """Return where the chain lifts, and the truth about the anchor where that is granted; its source, its face."""
    a = aids.anchor
    if a is None:
        return [], SOURCE, "strong"
    source, told = SOURCE, words("ui.side.lifts", lying_m=whole(a.lying_m))
    if aids.truth:
        truth = words(
            "ui.side.truth",
            attitude=words(f"attitude.{a.attitude}"),
            burial=f"{100.0 * a.burial:.0f}",
            drag_m=tenths(a.drag_m),
            pull_kn=f"{a.pull_n / 1000.0:.1f}",
        )
        source, told = "aid:truth", f"{truth}; {told}"
    room = (
        (sheet.wide - 24) * sheet.unit - fonts.measure(words("ui.side.title").upper(), "label", sheet.size(LABEL)) - 16
    )
    faces: tuple[Face, ...] = ("strong", "label")  # the narrow one where the other would want a third line
    lines = {face: fonts.wrapped(told, face, sheet.size(LABEL), room) for face in faces}
    face = next((face for face in faces if len(lines[face]) <= 2), faces[-1])
    return lines[face][:2], source, face
