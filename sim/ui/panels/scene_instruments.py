"""Instruments opened when wanted, one at a time over the plan: depth trace, anchor's mark, alarm circle."""

import math
from collections.abc import Callable, Iterator

from sim.base.frames import bearing_rad, to_world
from sim.core import events as ev
from sim.core.state import TRACE_S
from sim.helm.view import View
from sim.play.logbook import last
from sim.scenario.read.brief import Brief
from sim.ui import measures
from sim.ui.input.keys import Press
from sim.ui.measures import Kind, tenths, whole
from sim.ui.paint import fonts
from sim.ui.paint.display import Item, Panel, Stroke
from sim.ui.paint.sheet import BODY, FIGURE, LABEL, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.panels.scene_dials import bearing
from sim.ui.words import Catalogue

WIDE, TALL = 320.0, 268.0
OPENS = (Press.SOUNDER, Press.ANCHOR, Press.CIRCLE, Press.RADAR, Press.AIS)
GEAR = {Press.SOUNDER: "trace", Press.RADAR: "radar", Press.AIS: "ais"}  # what she must carry for it
AIS_ROWS = 8
SPECKS = 260


def panel(
    which: Press, layout: Layout, view: View, brief: Brief, words: Catalogue, radius_m: float, sign: str
) -> Panel:
    """Return the instrument that is open; ``sign`` is written on the key that sets the alarm."""
    u = layout.small
    left, top, wide, tall = layout.plan
    high = min(round(TALL * u), tall - round(24 * u))
    at = (left + wide - round((WIDE + 12) * u), top + round(12 * u), round(WIDE * u), high)
    sheet = Sheet("plan:instrument", at, u)
    sheet.box("frame", (1, 1, sheet.wide - 2, sheet.tall - 2), None, "ink", 2.0)
    sheet.label(14, 8, words(f"ui.instrument.{which.value}"), sheet.wide - 28)
    draw: dict[Press, Callable[[], None]] = {
        Press.SOUNDER: lambda: _sounder(sheet, view, brief, words),
        Press.ANCHOR: lambda: _anchor(sheet, view, words),
        Press.CIRCLE: lambda: _circle(sheet, view, words, radius_m, sign),
        Press.RADAR: lambda: _radar(sheet, view, words),
        Press.AIS: lambda: _ais(sheet, view, words),
    }
    if which in GEAR and GEAR[which] not in brief.boat.gear:
        sheet.text("brief", 14, 40, words("ui.instrument.not_fitted"), "text", BODY, "second", room=sheet.wide - 28)
    else:
        draw[which]()
    return sheet.panel()


def _sounder(sheet: Sheet, view: View, brief: Brief, words: Catalogue) -> None:
    """Set the depth of the last minutes, the keel's depth a line across it."""
    depth = view.readings.depth_m
    sheet.figure("display:depth", 14, 24, *_first(words, "depth", depth, 1))
    under = words("ui.instrument.under_keel", depth_m=tenths(depth - brief.boat.draught_m))
    sheet.text("display:depth", sheet.wide - 14, 34, under, "label", BODY, "second", "ne", 170)
    left, top, wide, tall = 44.0, 66.0, sheet.wide - 58.0, sheet.tall - 66.0 - 30.0
    per = measures.per(words.units, "depth")
    most = per * 4.0 * math.ceil(0.25 * max(*view.trace_m, depth, brief.boat.draught_m + 1.0) / per + 0.25)

    def at(seconds_ago: float, d: float) -> tuple[float, float]:
        return left + wide * (1.0 - seconds_ago / TRACE_S), top + tall * d / most

    for k in range(5):
        d = most * k / 4
        sheet.line("frame", [at(TRACE_S, d), at(0.0, d)], "rule", 1.0)
        sheet.text("frame", left - 6, at(0, d)[1], f"{d / per:.0f}", "label", LABEL, "second", "e")
    trace = [at(len(view.trace_m) - 1 - k, d) for k, d in enumerate(view.trace_m)]
    if len(trace) > 1:
        foot = top + tall
        sheet.fill("display:depth", [(trace[0][0], foot), *trace, (trace[-1][0], foot)], "drying")
        sheet.line("display:depth", trace, "ink", 2.0)
    keel = at(0.0, brief.boat.draught_m)[1]
    sheet.line("brief", [(left, keel), (left + wide, keel)], "hot", 1.6, (7.0, 5.0))
    sheet.text("brief", left + 4, keel - 2, words("ui.instrument.keel"), "label", LABEL, "hot", "sw", 90)
    sheet.text(
        "frame",
        left,
        sheet.tall - 8,
        words("ui.instrument.ago", minutes=TRACE_S // 60),
        "label",
        LABEL,
        "second",
        "sw",
        150,
    )
    sheet.text("frame", left + wide, sheet.tall - 8, words("ui.instrument.now"), "label", LABEL, "second", "se", 80)


def _plot(sheet: Sheet, view: View, centre: tuple[float, float], radius_m: float | None) -> None:
    """Set a small plot round a place: her by her receiver, north up, with the alarm's circle where there is one."""
    r = view.readings
    half = 0.5 * (sheet.tall - 76.0) - 14.0
    cx, cy = sheet.wide - half - 24.0, 62.0 + half
    dn, de = r.north_m - centre[0], r.east_m - centre[1]
    reach = max(math.hypot(dn, de) * 1.15, (radius_m or 0.0) * 1.1, 20.0)
    k = half / reach
    sheet.disc("frame", cx, cy, half, "paper", "rule", 1.4)
    if radius_m is not None:
        ring = [(cx + k * radius_m * math.cos(a * 0.1309), cy + k * radius_m * math.sin(a * 0.1309)) for a in range(48)]
        sheet.line("told", ring, "ink", 1.6, (5.0, 4.0), closed=True)
    sheet.mark("told", cx, cy, "anchor_mark", "ink", 6.0)
    x, y = cx + k * de, cy - k * dn
    s, c = math.sin(r.heading_rad), -math.cos(r.heading_rad)
    hull = [(x + 11 * s, y + 11 * c), (x - 7 * s + 5 * c, y - 7 * c - 5 * s), (x - 7 * s - 5 * c, y - 7 * c + 5 * s)]
    sheet.line("display:fix", [(cx, cy), (x, y)], "second", 1.2, (4.0, 4.0))
    sheet.fill("display:fix", hull, "hot", "panel")


def _first(words: Catalogue, kind: Kind, length_m: float, digits: int = 0) -> tuple[str, float, str, float]:
    """Return a length as the great figure of an instrument: figure, size, unit and the unit's room."""
    figure, unit = words.figure(kind, length_m, digits)
    return figure, FIGURE, unit, 40.0


def _anchor(sheet: Sheet, view: View, words: Catalogue) -> None:
    """Set bearing and distance from the antenna to the anchor's mark."""
    mark = last(view, ev.AnchorMarked)
    if not isinstance(mark, ev.AnchorMarked) or view.to_mark is None:
        sheet.text("frame", 14, 40, words("ui.instrument.no_mark"), "text", BODY, "second", room=sheet.wide - 28)
        return
    sheet.figure("display:fix", 14, 24, *_first(words, "distance", view.to_mark.distance_m))
    sheet.text("display:fix", sheet.wide - 14, 24, bearing(view.to_mark.bearing_rad), "figure", FIGURE, anchor="ne")
    _plot(sheet, view, (mark.north_m, mark.east_m), None)
    _lines(sheet, words("ui.instrument.from_antenna"))


def _circle(sheet: Sheet, view: View, words: Catalogue, radius_m: float, sign: str) -> None:
    """Set the alarm circle: its radius, how far off its middle she is, and the keys that size and place it."""
    ring = last(view, ev.AlarmSet)
    set_now = ring if isinstance(ring, ev.AlarmSet) and ring.on else None
    sheet.figure("told", 14, 24, *_first(words, "distance", set_now.radius_m if set_now else radius_m))
    state = words("ui.instrument.alarm_on" if set_now else "ui.instrument.alarm_off")
    sheet.text("told", sheet.wide - 14, 34, state, "strong", BODY, "ink" if set_now else "hot", "ne", 180)
    centre = (set_now.north_m, set_now.east_m) if set_now else None
    if centre is None:
        mark = last(view, ev.AnchorMarked)
        centre = (mark.north_m, mark.east_m) if isinstance(mark, ev.AnchorMarked) else None
    if centre is not None:
        _plot(sheet, view, centre, set_now.radius_m if set_now else radius_m)
    _lines(sheet, words("ui.instrument.circle_keys", sign=sign))


def _speck(n: int, reach_m: float, at: Callable[[float, float], tuple[float, float]]) -> tuple[float, float]:
    """Return the place of speck ``n`` of a screen: evenly scattered, the same whenever it is drawn."""
    return at(reach_m * math.sqrt((0.5 + 0.7548776662 * n) % 1.0), 2.0 * math.pi * 0.5698402910 * n)


def _radar(sheet: Sheet, view: View, words: Catalogue) -> None:
    """Set the radar's screen, her head up: rings, land, echoes, the sea's clutter and the set's own noise."""
    seen = view.radar
    if seen is None:
        sheet.text("frame", 14, 40, words("ui.instrument.warming"), "text", BODY, "second")
        return
    half = min(0.5 * (sheet.tall - 86.0), 0.5 * (sheet.wide - 140.0))
    cx, cy = sheet.wide - half - 16.0, 34.0 + half
    k = half / seen.scale_m

    def at(range_m: float, off_rad: float) -> tuple[float, float]:
        return cx + k * range_m * math.sin(off_rad), cy - k * range_m * math.cos(off_rad)

    sheet.disc("frame", cx, cy, half, "paper", "ink", 1.6)
    for n in range(round(SPECKS * seen.speckled)):  # scattered evenly, the same whenever it is drawn
        sheet.disc("display:radar", *_speck(n, seen.scale_m, at), 0.9, "ink")
    reach_m = min(seen.clutter_m, 0.98 * seen.scale_m)
    for n in range(round(SPECKS * (reach_m / seen.scale_m) ** 2)):
        sheet.disc("display:radar", *_speck(n, reach_m, at), 1.5, "second")
    rays = len(seen.land_m)
    for n, range_m in enumerate(seen.land_m):
        if range_m < seen.scale_m:
            a, b = (n - 0.5) * 2.0 * math.pi / rays, (n + 0.5) * 2.0 * math.pi / rays
            edge = min(range_m + 0.12 * seen.scale_m, seen.scale_m)
            sheet.fill("display:radar", [at(range_m, a), at(range_m, b), at(edge, b), at(edge, a)], "ink")
    for echo in seen.echoes:
        if echo.range_m < seen.scale_m:
            a, b = echo.bearing_rad - 0.5 * echo.width_rad, echo.bearing_rad + 0.5 * echo.width_rad
            steps = [a + (b - a) * i / 6.0 for i in range(7)]
            far = echo.range_m + max(echo.depth_m, 0.02 * seen.scale_m)
            blob = [at(echo.range_m, s) for s in steps] + [at(far, s) for s in reversed(steps)]
            sheet.fill("display:radar", blob, "ink")
    for ring_m in seen.rings_m:
        ring = [at(ring_m, 0.1309 * n) for n in range(48)]
        sheet.line("display:radar", ring, "second", 1.0, closed=True)
    sheet.line("display:radar", [(cx, cy), at(seen.scale_m, 0.0)], "second", 1.0)
    rings = words("ui.instrument.rings", ring_m=whole(seen.rings_m[0]) if seen.rings_m else "")
    sheet.text("display:radar", 14, 34, rings, "label", BODY, "ink", room=96)
    for row, (name, value) in enumerate((("gain", seen.gain), ("sea", seen.sea))):
        y = 62 + 40 * row
        sheet.text("hand", 14, y, words(f"ui.instrument.{name}"), "label", LABEL, "second", room=76)
        sheet.box("frame", (14, y + 20, 70, 6), "rule", corner=3)
        sheet.box("hand", (14, y + 20, 70 * value, 6), "ink", corner=3)
    _lines(sheet, words("ui.instrument.radar_keys"), cy + half + 6.0, sheet.wide - 28.0)


def _ais(sheet: Sheet, view: View, words: Catalogue) -> None:
    """Set the last report of each boat that sends any, the nearest first: where from here, and how old."""
    r = view.readings
    rows = []
    for mark in view.ais:
        dn, de = mark.north_m - r.north_m, mark.east_m - r.east_m
        rows.append((math.hypot(dn, de), bearing_rad(dn, de), mark))
    if not rows:
        sheet.text("frame", 14, 40, words("ui.instrument.no_reports"), "text", BODY, "second", room=sheet.wide - 28)
    for k, (away_m, off_rad, mark) in enumerate(sorted(rows, key=lambda row: row[0])[:AIS_ROWS]):
        y = 32 + 27 * k
        sheet.text("display:ais", 14, y, mark.name, "text", BODY, "ink", room=112)
        sheet.text(
            "display:ais",
            206,
            y - 1,
            f"{words.length('distance', away_m)}  {bearing(off_rad)}",
            "figure",
            17,
            "ink",
            "ne",
            84,
        )
        age = words("ui.instrument.age", age_s=f"{mark.age_s:.0f}")
        sheet.text("display:ais", sheet.wide - 14, y, age, "label", BODY, "second", "ne", 90)


def reports(view: View) -> Iterator[Item]:
    """Yield where boats last reported themselves, as signs on the plan."""
    for mark in view.ais:
        corners = []
        for forward, side in ((7.0, 0.0), (-5.0, 4.0), (-5.0, -4.0)):
            dn, de = to_world(forward, side, mark.course_rad)
            corners.append((mark.north_m + dn, mark.east_m + de))
        yield Stroke("display:ais", tuple(corners), "ink", 1.8, None, True, True)


def _lines(sheet: Sheet, text: str, top: float = 72.0, room: float = 104.0) -> None:
    for k, line in enumerate(fonts.wrapped(text, "text", sheet.size(LABEL), room * sheet.unit)[:7]):
        sheet.text("frame", 14, top + 18 * k, line, "text", LABEL, "second", room=room)
