"""The lookout: the shore as it is seen over the rail, for transits. What lies nearer moves faster along it."""

import math

import numpy as np

from sim.base.frames import wrap_pi
from sim.base.units import deg, rad
from sim.core import events as ev
from sim.helm.aids import Pose
from sim.helm.view import Sighted, View
from sim.play.logbook import last
from sim.play.transit import DARK, Leading, is_seen
from sim.scenario.read.brief import Brief
from sim.ui.chart.scene_chart import KINDS, DepthAt
from sim.ui.paint import fonts
from sim.ui.paint.display import LEAST_PX, Panel
from sim.ui.paint.sheet import LABEL, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.words import Catalogue

HALF_RAD = rad(45.0)
SHORE, SCALE = 58.0, 60.0  # units from the top: where land meets water, and the scale of bearings
STEP_M, REACH_M = 8.0, 480.0
RAYS = 91
MAST = 1.35  # masts over lengths, about (judgement)
GLASS_PX_PER_M = 11.0
GLASS_PX_PER_RAD = 12.0 / rad(1.0)  # of two marks seen through it
RAIN_APART, RAIN_HZ = 9.0, 3.0
TITLE = 230.0  # units kept free for the strip's title


def shore_m(depth_at: DepthAt, own: Pose, bearings: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> list[float]:
    """Return how far off the shore lies on each bearing [m], infinite over open water."""
    reach = np.arange(STEP_M, REACH_M, STEP_M)
    south, west, cell = depth_at.raster
    i = np.rint((own.north_m + reach * np.cos(bearings)[:, None] - south) / cell).astype(int)
    j = np.rint((own.east_m + reach * np.sin(bearings)[:, None] - west) / cell).astype(int)
    rows, columns = depth_at.depth_m.shape
    within = (i >= 0) & (i < rows) & (j >= 0) & (j < columns)
    land = within & (depth_at.depth_m[i.clip(0, rows - 1), j.clip(0, columns - 1)] <= 0.0)
    first = land.argmax(axis=1)
    found: list[float] = np.where(land.any(axis=1), reach[first], np.inf).tolist()
    return found


def quarter(look_rad: float, words: Catalogue) -> str:
    """Return where a direction off the bow lies, in words."""
    eighth = round(wrap_pi(look_rad) / (0.25 * math.pi))
    names = {
        0: "ahead",
        1: "bow_s",
        2: "beam_s",
        3: "quarter_s",
        4: "astern",
        -1: "bow_p",
        -2: "beam_p",
        -3: "quarter_p",
        -4: "astern",
    }
    return words(f"ui.look.{names[eighth]}")


class _Strip:
    """Bearings laid along a sheet."""

    def __init__(self, sheet: Sheet, middle_rad: float) -> None:
        self.sheet, self.middle_rad = sheet, middle_rad

    def x(self, bearing_rad: float) -> float | None:
        """Return how far along the strip a bearing is seen, None where it is not."""
        off = wrap_pi(bearing_rad - self.middle_rad)
        return self.sheet.wide * (0.5 + 0.5 * off / HALF_RAD) if abs(off) <= HALF_RAD else None


def _land(strip: _Strip, depth_at: DepthAt, own: Pose, dark: bool) -> None:
    sheet = strip.sheet
    bearings = strip.middle_rad + np.linspace(-HALF_RAD, HALF_RAD, RAYS)
    far = shore_m(depth_at, own, bearings)
    xs = np.linspace(0.0, sheet.wide, RAYS).tolist()
    waves = 0.5 + 0.5 * np.sin(9.0 * bearings + 1.3) * np.cos(4.0 * bearings)
    back = [
        SHORE - (0.0 if math.isinf(d) else 8.0 + 16.0 * w + 500.0 / (d + 60.0))
        for d, w in zip(far, waves.tolist(), strict=True)
    ]
    front = [SHORE - (0.0 if math.isinf(d) else min(2.5 + 420.0 / (d + 30.0), 12.0)) for d in far]
    for heights, ink in ((_eased(back), "hill"), (_eased(front), "rule" if dark else "ink")):
        sheet.fill("eye", [*zip(xs, heights, strict=True), (sheet.wide, SHORE), (0.0, SHORE)], ink)  # type: ignore[arg-type]


def _eased(values: list[float]) -> list[float]:
    """Return a line without the steps that rays make of a shore."""
    padded = np.pad(np.array(values), 4, mode="edge")
    eased: list[float] = np.convolve(padded, np.ones(9) / 9.0, mode="valid").tolist()
    return eased


def _scale(strip: _Strip) -> None:
    sheet = strip.sheet
    sheet.box("frame", (0, SCALE, sheet.wide, sheet.tall - SCALE), "panel")
    sheet.line("frame", [(0, SCALE), (sheet.wide, SCALE)], "ink", 2.0)
    sheet.line("frame", [(0, sheet.tall - 1), (sheet.wide, sheet.tall - 1)], "ink", 2.0)
    first = math.ceil(deg(strip.middle_rad - HALF_RAD) / 5.0)
    for k in range(first, first + 19):
        x = strip.x(rad(5.0 * k))
        if x is None:
            continue
        whole = k % 3 == 0
        sheet.line("frame", [(x, SCALE), (x, SCALE + (8 if whole else 5))], "ink", 1.4)
        if whole and 18 < x < sheet.wide - 18:
            sheet.text("display:heading", x, SCALE + 8, f"{5 * k % 360:03d}", "label", LABEL, "ink", "n")


def _standing(strip: _Strip, view: View, own: Pose, brief: Brief) -> None:
    """Set what stands up, the farthest first: marks, by night only their lights; then boats, as far as they show."""
    names: list[tuple[float, float]] = [(0.0, TITLE)]
    dark = view.darkness > DARK
    for mark in sorted(brief.chart.marks, key=lambda m: -math.hypot(m.north_m - own.north_m, m.east_m - own.east_m)):
        dn, de = mark.north_m - own.north_m, mark.east_m - own.east_m
        x = strip.x(math.atan2(de, dn))
        if x is None or not is_seen(mark, view, own):
            continue
        tall = min(max(260.0 * mark.height_m / (math.hypot(dn, de) + 40.0), 8.0), 17.0)
        if dark:
            _lamp(strip.sheet, x, SHORE - 4 - 1.1 * tall)
        else:
            kind = KINDS.get(mark.kind, "beacon")
            strip.sheet.mark("eye", x, SHORE - 4 - 0.75 * tall, kind, "ink", tall * 0.8)
        _named(strip.sheet, x, 8 + 1.75 * tall, mark.name, names)
    for other in sorted(view.others, key=lambda o: -o.judged_m):
        x = strip.x(other.bearing_rad)
        if x is not None:
            up = _boat(strip, x, other)
            if up > 0.0:
                _named(strip.sheet, x, min(up + 4, 38.0), other.name, names)


def _rain(strip: _Strip, t_s: float) -> None:
    """Hang a veil of rain before the shore: slanting strokes that fall on as the clock does, in jumps."""
    sheet = strip.sheet
    beat = math.floor(t_s * RAIN_HZ)
    for k in range(math.ceil(TITLE / RAIN_APART), math.ceil(sheet.wide / RAIN_APART)):
        x = RAIN_APART * (k + 0.37 * ((7 * k + beat) % 3))
        top = 2.0 + (11.0 * (5 * k + 3 * beat)) % (SHORE - 20.0)
        sheet.line("eye", [(x, top), (x - 5.0, top + 18.0)], "second", 1.0)


def _lamp(sheet: Sheet, x: float, y: float) -> None:
    sheet.disc("eye", x, y, 5.0, None, "hill", 2.0)
    sheet.disc("eye", x, y, 2.6, "lamp")


def _boat(strip: _Strip, x: float, seen: Sighted) -> float:
    """Set a boat as large as she looks from here, and return how high she stands; 0 where nothing of her shows."""
    sheet = strip.sheet
    degree = sheet.wide / deg(2.0 * HALF_RAD)
    away = max(seen.judged_m, 8.0)
    tall = min(max(0.45 * degree * deg(math.atan2(MAST * seen.loa_m, away)), 12.0), SHORE - 14.0)
    aspect = max(abs(math.sin(seen.bearing_rad - seen.heading_rad)), 0.3)
    half = 0.5 * min(max(degree * deg(math.atan2(seen.loa_m * aspect, away)), 9.0), 150.0)
    side = math.copysign(1.0, math.sin(seen.heading_rad - seen.bearing_rad))  # her bow to the right of her stern
    board = min(max(0.2 * tall, 4.0), 9.0)
    if seen.shown:
        hull = [(x - side * half, SHORE - 0.85 * board), (x + side * 1.1 * half, SHORE - board)]
        hull += [(x + side * 0.8 * half, SHORE), (x - side * 0.85 * half, SHORE)]
        if seen.light_m is None:
            sheet.fill("eye", hull, "panel", "ink")
            sheet.line(
                "eye", [(x + side * 0.1 * half, SHORE - board), (x + side * 0.1 * half, SHORE - tall)], "ink", 1.6
            )
        else:  # a shadow
            sheet.fill("eye", hull, "hill")
    if seen.light_m is not None:
        _lamp(sheet, x, SHORE - tall)
    return tall if seen.shown or seen.light_m is not None else 0.0


def _named(sheet: Sheet, x: float, up: float, name: str, taken: list[tuple[float, float]]) -> None:
    """Set a name over a thing, where it has room."""
    half = 0.5 * fonts.measure(name, "text", max(LEAST_PX, LABEL * sheet.unit)) / sheet.unit + 5
    if half < x < sheet.wide - half and all(abs(x - at) > half + other for at, other in taken):
        taken.append((x, half))
        sheet.text("eye", x, max(SHORE - up, 16.0), name, "text", LABEL, "second", "s")


def _pair(strip: _Strip, two: Leading, own: Pose) -> None:
    """Set the two marks of a transit on the strip, the front one's line the lower, with what lies between them."""
    ends = []
    for mark, foot in ((two.rear, SHORE), (two.front, SCALE)):
        x = strip.x(math.atan2(mark.east_m - own.east_m, mark.north_m - own.north_m))
        if x is not None:
            strip.sheet.line("eye", [(x, 20), (x, foot)], "hot", 1.6, (3.0, 3.0) if mark is two.rear else None)
            ends.append((x, 22.0))
    if len(ends) == 2:
        strip.sheet.line("eye", ends, "hot", 2.2)


def angle(two: Leading) -> str:
    """Return how far two marks stand open, in tenths of a degree."""
    return f"{abs(deg(two.open_rad)):.1f}°"


def _glass(sheet: Sheet, off: float, told: str, shut: bool) -> None:
    """Set the transit as it looks through a glass: the front mark under the rear one, apart as far as it has opened."""
    wide, tall = 96.0, SHORE - 6.0
    left, top = sheet.wide - wide - 8.0, 3.0
    sheet.box("frame", (left, top, wide, tall), "panel", "ink", 1.6, 4)
    middle, foot = left + 0.5 * wide, top + tall - 4.0
    off = max(-0.42 * wide, min(0.42 * wide, off))
    sheet.box("eye", (middle - 3, foot - 40, 6, 40), "second")
    sheet.box("eye", (middle - 8, foot - 44, 16, 8), "ink")
    x = middle + off
    sheet.fill("told", [(x - 9, foot - 6), (x + 9, foot - 6), (x, foot - 24)], "hot", "panel")
    sheet.line("told", [(x, foot - 6), (x, foot)], "hot", 3.0)
    where = left + 6 if off > 0 else left + wide - 6
    sheet.text("told", where, top + 3, told, "label", LABEL, "ink" if shut else "hot", "nw" if off > 0 else "ne", 44)


def lookout(
    layout: Layout,
    view: View,
    own: Pose,
    brief: Brief,
    look_rad: float,
    depth_at: DepthAt,
    words: Catalogue,
    still: bool = False,
    two: Leading | None = None,
) -> Panel:
    """Return the strip: what is seen towards ``look_rad`` off the bow.

    ``still`` where nothing is to move by itself; ``two`` marks taken for a transit stand instead of the single bearing.
    """
    sheet = Sheet("lookout", layout.lookout, layout.unit, "paper")
    strip, dark = _Strip(sheet, view.readings.heading_rad + look_rad), view.darkness > DARK
    _land(strip, depth_at, own, dark)
    _standing(strip, view, own, brief)
    if view.raining:
        _rain(strip, 0.0 if still else view.readings.t_s)
    _scale(strip)
    taken = last(view, ev.TransitTaken)
    if two is not None:
        _pair(strip, two, own)
        shut = two.open_rad == 0.0
        _glass(sheet, GLASS_PX_PER_RAD * two.open_rad, words("ui.transit.shut") if shut else angle(two), shut)
    elif isinstance(taken, ev.TransitTaken) and view.transit_open_m is not None:
        x = strip.x(taken.bearing_rad)
        if x is not None and x < sheet.wide - 112:
            sheet.line("told", [(x, 8), (x, SCALE)], "hot", 2.2)
            sheet.fill("told", [(x - 6, 4), (x + 6, 4), (x, 13)], "hot")
            title = fonts.measure(quarter(look_rad, words).upper(), "label", sheet.size(LABEL)) / sheet.unit
            if max(TITLE - 20, title + 20) < x < sheet.wide - 230:
                sheet.text("told", x + 9, 1, words("ui.look.transit"), "strong", LABEL, "hot", room=120)
        open_m, shut = view.transit_open_m, view.transit_open_m == 0.0
        told = words("ui.transit.shut") if shut else words.figure("distance", abs(open_m), 1)[0]
        _glass(sheet, -GLASS_PX_PER_M * open_m, told, shut)
    sheet.text("frame", 12, 4, quarter(look_rad, words).upper(), "label", LABEL, "second")
    return sheet.panel()
