"""The middle of the ledger: way, wind, engine and rudder, and how the gear stands."""

import math

from sim.base.units import deg, knots
from sim.helm.view import Handling, View
from sim.scenario.read.brief import Brief
from sim.ui.measures import whole
from sim.ui.paint.palette import Ink
from sim.ui.paint.sheet import BODY, FIGURE, LABEL, LEAD, Sheet
from sim.ui.words import Catalogue

LEFT, RIGHT, COLUMN = 18.0, 202.0, 160.0
LEAST_WAY_KN = 0.05
MOST_RUDDER_RAD = math.radians(35.0)


def bearing(angle_rad: float) -> str:
    """Return a direction in three figures."""
    return f"{round(deg(angle_rad)) % 360:03d}°"


def side_of(angle_rad: float, words: Catalogue) -> str:
    """Return to which side an angle lies."""
    return words("ui.port" if angle_rad < 0.0 else "ui.starboard")


def way(sheet: Sheet, view: View, trend_mps: list[float], words: Catalogue) -> None:
    """Set speed over the ground with its sense and its last minute, heading and course."""
    r = view.readings
    still = knots(r.sog_mps) < LEAST_WAY_KN
    sense = words("ui.kn") if still else words("ui.kn_astern" if r.along_mps < 0.0 else "ui.kn_ahead")
    sheet.label(LEFT, 7, words("ui.sog"), COLUMN + 16)
    sheet.figure("display:sog", LEFT, 21, f"{knots(r.sog_mps):.1f}", FIGURE, sense, 74)
    _trend(sheet, trend_mps)
    sheet.label(RIGHT, 7, words("ui.heading"), COLUMN)
    sheet.text("display:heading", RIGHT, 21, bearing(r.heading_rad), "figure", FIGURE)
    if not still:
        over = words("ui.course", course=bearing(r.cog_rad))
        sheet.text("display:sog", RIGHT + COLUMN, 33, over, "label", LEAD, "second", "ne", room=96)
    sheet.rule(sheet.tall - 1)


def _trend(sheet: Sheet, trend_mps: list[float]) -> None:
    """Set the last minute of her way, astern below the line."""
    x0, y0, wide, half = LEFT + 120.0, 42.0, 48.0, 13.0
    sheet.line("frame", [(x0, y0), (x0 + wide, y0)], "rule", 1.2)
    if len(trend_mps) < 2:
        return
    most = max(0.5, *(abs(v) for v in trend_mps))
    step = wide / 59.0
    begin = x0 + wide - step * (len(trend_mps) - 1)
    points = [(begin + k * step, y0 - half * v / most) for k, v in enumerate(trend_mps)]
    sheet.line("display:sog", points, "ink", 1.6)
    sheet.disc("display:sog", points[-1][0], points[-1][1], 2.4, "ink")


def wind(sheet: Sheet, view: View, words: Catalogue) -> None:
    """Set the apparent wind, with an arrow on to a hull whose bow is up."""
    r = view.readings
    sheet.label(LEFT, 7, words("ui.apparent_wind"), COLUMN - 40)
    sheet.figure("display:wind", LEFT, 21, f"{knots(r.wind_mps):.0f}", FIGURE, words("ui.kn"), 40)
    cx, cy = LEFT + 138.0, 34.0
    hull = [(0, -19), (4.5, -9), (5.5, 2), (4, 15), (-4, 15), (-5.5, 2), (-4.5, -9)]
    sheet.fill("frame", [(cx + x, cy + y) for x, y in hull], "second")
    angle = round(deg(r.wind_angle_rad) / 2.0) * math.radians(2.0)
    s, c = math.sin(angle), -math.cos(angle)
    tip, base, tail = ((cx + d * s, cy + d * c) for d in (8.0, 17.0, 29.0))
    sheet.line("display:wind", [tail, base], "ink", 2.6)
    sheet.fill(
        "display:wind", [tip, (base[0] - 5.5 * c, base[1] + 5.5 * s), (base[0] + 5.5 * c, base[1] - 5.5 * s)], "ink"
    )
    sheet.label(RIGHT, 7, words("ui.wind_angle"), COLUMN)
    off = f"{round(abs(deg(r.wind_angle_rad)))}°"
    sheet.figure("display:wind", RIGHT, 21, off, FIGURE, side_of(r.wind_angle_rad, words), 90)
    sheet.rule(sheet.tall - 1)


def _bar(sheet: Sheet, source: str, x: float, y: float, wide: float, share: float) -> None:
    """Set a bar that grows from its middle, right for ahead or starboard."""
    sheet.box("frame", (x, y, wide, 6), "rule", corner=3)
    middle = x + 0.5 * wide
    reach = 0.5 * wide * max(-1.0, min(1.0, share))
    if abs(reach) > 0.5:
        sheet.box(source, (min(middle, middle + reach), y, abs(reach), 6), "hot")
    sheet.line("frame", [(middle, y - 3), (middle, y + 9)], "ink", 1.8)


def _lever(sheet: Sheet, x: float, y: float, wide: float, share: float, words: Catalogue) -> None:
    """Set a lever in its slot, astern left and ahead right, a notch each tenth; in neutral it cannot be missed."""
    middle, half = x + 0.5 * wide, 0.5 * wide - 8.0
    sheet.box("frame", (x, y - 3, wide, 6), "rule", corner=3)
    for k in range(-10, 11):
        deep = 7.0 if k in (-10, -5, 5, 10) else 4.5
        sheet.line("frame", [(middle + 0.1 * k * half, y + 4), (middle + 0.1 * k * half, y + deep)], "second", 1.2)
    if share == 0.0:
        sheet.box("hand", (middle - 11, y - 10, 22, 20), "ink", corner=4)
        sheet.text("hand", middle, y + 0.5, words("ui.neutral_mark"), "figure", 17.0, "panel", "c")
        return
    sheet.line("frame", [(middle, y - 8), (middle, y + 8)], "ink", 2.2)
    at = middle + half * max(-1.0, min(1.0, share))
    sheet.box("hand", (min(at, middle), y - 2.5, abs(at - middle), 5), "hot")
    sheet.box("hand", (at - 5, y - 9, 10, 18), "hot", "panel", 1.4, 3)


def engine(sheet: Sheet, view: View, words: Catalogue) -> None:
    """Set each engine's revolutions with its lever, and the rudder."""
    r = view.readings
    single = len(r.levers) == 1
    sheet.label(LEFT, 7, words("ui.engine" if single else "ui.engines"), COLUMN + 16)
    for i, (lever, rps) in enumerate(zip(r.levers, r.rps, strict=True)):
        wide = COLUMN if single else 78.0
        x = LEFT + i * 86.0
        sense = words("ui.neutral") if abs(rps) < 0.2 else words("ui.ahead" if rps > 0.0 else "ui.astern")
        revs = f"{abs(rps) * 60.0:.0f}"
        if single:
            sheet.figure("display:engine", x, 20, revs, FIGURE, sense, 84)
        else:
            sheet.text("display:engine", x, 20, revs, "figure", 22.0)
            sheet.text("display:engine", x, 41, sense, "label", LABEL, "second", room=wide)
        _lever(sheet, x, 67 if single else 68.5, wide, lever, words)
    sheet.label(RIGHT, 7, words("ui.rudder"), COLUMN)
    angle = round(deg(r.rudder_rad))
    side = words("ui.midships") if angle == 0 else side_of(r.rudder_rad, words)
    sheet.figure("display:rudder", RIGHT, 20, f"{abs(angle)}°", FIGURE, side, 100)
    _bar(sheet, "display:rudder", RIGHT, 64, COLUMN, r.rudder_rad / MOST_RUDDER_RAD)


def _grip(grip: float, words: Catalogue) -> str:
    if grip in (0.0, 1.0):
        return words("ui.tackle.hard_on" if grip else "ui.tackle.free")
    return f"{100.0 * grip:.0f} %"


def tackle(sheet: Sheet, h: Handling, brief: Brief, words: Catalogue) -> None:
    """Set how brake, stopper, windlass and snubber stand: solid where it holds the chain, hot where chain may run."""
    on, off = words("ui.tackle.on"), words("ui.tackle.off")
    motor = words({1: "ui.tackle.veering", -1: "ui.tackle.heaving"}.get(h.motion, "ui.tackle.stopped"))
    if h.stop_at_m > 0.0:
        motor = words("ui.tackle.stops_at", length_m=whole(h.stop_at_m))
    holding, running = h.brake > 0.5, h.brake <= 0.5
    states = (
        (words("ui.brake"), _grip(h.brake, words), holding, running),
        (words("ui.stopper"), on if h.stopper else off, h.stopper, False),
        (words("ui.windlass"), motor, False, h.motion != 0),
        (words("ui.bridle" if brief.boat.bridle else "ui.snubber"), on if h.hooked else off, h.hooked, False),
    )
    wide = (sheet.wide - 2 * LEFT - 18) / 4
    for k, (name, state, holds, runs) in enumerate(states):
        x = LEFT + k * (wide + 6)
        edge: Ink = "hot" if runs else "ink" if holds else "rule"
        ink: Ink = "panel" if holds else "hot" if runs else "second"
        sheet.label(x, 4, name, wide)
        sheet.box("hand", (x, 23, wide, 26), "ink" if holds else None, edge, 1.8, 4)
        sheet.text("hand", x + wide / 2, 36.5, state, "strong", BODY, ink, "c", wide - 8)
    sheet.rule(sheet.tall - 1.5, "ink", 2.0)
