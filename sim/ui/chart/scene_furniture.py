"""What stands on the plan without belonging to it: wind, north, scale, and the latest news."""

import math
from collections.abc import Iterator

from sim.base.frames import to_world
from sim.base.units import TICK_HZ, deg, knots
from sim.core import events as ev
from sim.helm.aids import Aids
from sim.helm.instruments import Readings
from sim.helm.view import View
from sim.play.logbook import Logbook, fresh
from sim.scenario.read.brief import Brief
from sim.ui import measures
from sim.ui.chart.camera import Camera
from sim.ui.chart.scene_plan import poses
from sim.ui.measures import tenths, whole
from sim.ui.paint import fonts
from sim.ui.paint.display import Anchor, Box, Fill, Item, Panel, Words
from sim.ui.paint.palette import Ink
from sim.ui.paint.sheet import BODY, Sheet
from sim.ui.panels.layout import Layout
from sim.ui.panels.scene_dials import bearing
from sim.ui.panels.scene_ledger import target_name
from sim.ui.words import Catalogue

RINGS_S = 12.0
LENGTHS = (5, 10, 20, 40, 50, 100, 200)
QUIET = (ev.PlanMade, ev.TransitTaken)


def true_wind(r: Readings) -> tuple[float, float]:
    """Return speed [m/s] and direction [rad, from] of the true wind, worked out from the displays."""
    ahead, beside = -r.wind_mps * math.cos(r.wind_angle_rad), -r.wind_mps * math.sin(r.wind_angle_rad)
    air_n, air_e = to_world(ahead, beside, r.heading_rad)
    air_n += r.sog_mps * math.cos(r.cog_rad)
    air_e += r.sog_mps * math.sin(r.cog_rad)
    return math.hypot(air_n, air_e), math.atan2(-air_e, -air_n) % (2.0 * math.pi)


def wind(layout: Layout, view: View, words: Catalogue, up_rad: float = 0.0) -> Panel:
    """Return the true wind's box: a plumed arrow that flies with it."""
    left, top, _, tall = layout.plan
    u = layout.small
    wide, high = round(216 * u), round(62 * u)
    sheet = Sheet("plan:wind", (left + round(12 * u), top + tall - high - round(12 * u), wide, high), u)
    sheet.box("frame", (0.75, 0.75, sheet.wide - 1.5, sheet.tall - 1.5), None, "ink", 1.5)
    speed, source = true_wind(view.readings)
    quiet = round(deg(source) / 3.0) * math.radians(3.0)
    s, c = math.sin(quiet - up_rad), -math.cos(quiet - up_rad)
    cx, cy, half = 38.0, 31.0, 21.0
    tail, tip = (cx + half * s, cy + half * c), (cx - half * s, cy - half * c)
    sheet.line("display:wind", [tail, tip], "ink", 2.4)
    base = (tip[0] + 11 * s, tip[1] + 11 * c)
    sheet.fill(
        "display:wind", [tip, (base[0] - 5.5 * c, base[1] + 5.5 * s), (base[0] + 5.5 * c, base[1] - 5.5 * s)], "ink"
    )
    for k in range(max(round(knots(speed) / 5.0), 1)):
        root = (tail[0] - 5.0 * k * s, tail[1] - 5.0 * k * c)
        reach = 9.0
        sheet.line(
            "display:wind", [root, (root[0] + reach * (c + 0.4 * s), root[1] - reach * (s - 0.4 * c))], "ink", 2.0
        )
    sheet.label(74, 7, words("ui.wind"), 136)
    sheet.text(
        "display:wind",
        74,
        23,
        words("ui.wind.figure", speed_kn=f"{knots(speed):.0f}", source=bearing(quiet)),
        "figure",
        22.0,
        room=136,
    )
    return sheet.panel()


def scale(layout: Layout, px_per_m: float, words: Catalogue, up_rad: float = 0.0) -> Panel:
    """Return the box of north and scale."""
    left, top, wide, tall = layout.plan
    u = layout.small
    px = px_per_m * measures.per(words.units, "distance") / u
    length = max((each for each in LENGTHS if each * px <= 120.0), default=LENGTHS[0])
    bar = length * px
    w, h = round((bar + 112) * u), round(52 * u)
    sheet = Sheet("plan:scale", (left + wide - w - round(12 * u), top + tall - h - round(12 * u), w, h), u)
    c, s = math.cos(up_rad), math.sin(up_rad)
    needle = [(0.0, -11.0), (6.0, 10.0), (0.0, 5.0), (-6.0, 10.0)]
    turned = [(18 + x * c + y * s, 17 - x * s + y * c) for x, y in needle]
    sheet.fill("frame", turned[:3], "ink")
    sheet.line("frame", turned, "ink", 1.4, closed=True)
    sheet.text("frame", 33, 19, words("ui.north"), "figure", 17.0, anchor="c")
    parts = 4
    for k in range(parts):
        x = 50 + k * bar / parts
        sheet.box("frame", (x, 16, bar / parts, 6), "ink" if k % 2 == 0 else "panel", "ink", 1.2)
    sheet.text("frame", 58 + bar, 19, f"{length} {words.unit('distance')}", "label", 16.0, anchor="w", room=50)
    sheet.text("frame", 10, sheet.tall - 4, words("ui.caution.short"), "text", 11.0, "second", "sw", sheet.wide - 20)
    return sheet.panel()


def said(event: ev.Event, view: View, brief: Brief, words: Catalogue) -> tuple[str, Ink]:
    """Return what is said of an event, and in which ink."""
    if isinstance(event, ev.Declined):
        why = f"declined.{event.why}"
        return words("event.declined", why=words(why if words.known(why) else "declined.unknown")), "hot"
    values = {name: value for name, value in vars(event).items() if isinstance(value, str | int | float)}
    lead = ""
    if isinstance(event, ev.RangeTaken):
        values |= {"range_m": whole(event.range_m), "bearing": bearing(event.bearing_rad)}
        lead = target_name(event.target, view, brief)
    elif isinstance(event, ev.HailAnswered):
        values |= {"rode_m": whole(event.rode_m), "rode_kind": words(f"rode.{event.rode_kind}")}
        lead = target_name(event.target, view, brief)
    elif isinstance(event, ev.DepthSounded):
        values |= {"least_m": tenths(event.least_m), "most_m": tenths(event.most_m)}
    elif isinstance(event, ev.Left):
        values |= {"reason": words(f"refuse.{event.reason}") if words.known(f"refuse.{event.reason}") else event.reason}
    elif isinstance(event, ev.LineAshore):
        values |= {"out_m": whole(event.out_m)}
    key = "event." + "".join("_" + c.lower() if c.isupper() else c for c in type(event).__name__).lstrip("_")
    if isinstance(event, ev.LightsShown):
        key += ".ball" if event.ball else ".light" if event.anchor_light else ""
    text = words.told(key, values)
    hot = isinstance(
        event, ev.AlarmRang | ev.Touched | ev.Grounded | ev.WindlassTripped | ev.WindlassStalled | ev.ChainOut
    )
    return (f"{lead}: {text}" if lead else text), "hot" if hot else "ink"


def news(layout: Layout, view: View, brief: Brief, slowed: str, words: Catalogue) -> Panel | None:
    """Return the latest news on a slip at the plan's head, else what is under way; None where there is neither."""
    event = fresh(view)
    ink: Ink = "ink"
    if event is not None:
        text, ink = said(event, view, brief, words)
    elif view.busy:
        kind, left_s = view.busy[0]
        text = words(f"ui.busy.{kind}", left_s=f"{5 * math.ceil(left_s / 5.0)}")
    elif slowed:
        text = words(f"ui.slowed.{slowed}")
    else:
        return None
    u = layout.small
    left, top, wide, _ = layout.plan
    w = min(round(fonts.measure(text, "strong", max(14.0, 17 * u)) + 36 * u), wide - 40)
    h = round(36 * u)
    sheet = Sheet("plan:news", (left + (wide - w) // 2, top + round(12 * u), w, h), u)
    sheet.box("frame", (1, 1, sheet.wide - 2, sheet.tall - 2), None, ink, 2.0)
    sheet.text("told", 0.5 * sheet.wide, 0.5 * sheet.tall, text, "strong", 17, ink, "c", sheet.wide - 20)
    return sheet.panel()


def ringing(layout: Layout, view: View) -> Iterator[Item]:
    """Yield a frame round the plan while the anchor alarm rings: what it says to the ear, for the eye."""
    rang = [e.tick / TICK_HZ for e in view.seen[-40:] if isinstance(e, ev.AlarmRang)]
    if rang and view.readings.t_s - rang[-1] < RINGS_S:
        left, top, wide, tall = layout.plan
        yield Box("told", (left + 3, top + 3, wide - 6, tall - 6), None, "hot", 6.0)


def banner(layout: Layout, title: str, detail: str) -> Panel:
    """Return a banner across the plan's middle, as while time stands still."""
    u = layout.unit
    left, top, wide, tall = layout.plan
    w, h = round(360 * u), round(76 * u)
    sheet = Sheet("plan:banner", (left + (wide - w) // 2, top + (tall - h) // 3, w, h), u)
    sheet.box("frame", (1, 1, sheet.wide - 2, sheet.tall - 2), None, "ink", 2.0)
    sheet.text("frame", 0.5 * sheet.wide, 12, title, "figure", 24.0, "ink", "n", sheet.wide - 24)
    sheet.text("frame", 0.5 * sheet.wide, 46, detail, "text", BODY, "second", "n", sheet.wide - 24)
    return sheet.panel()


def out_of_sight(
    camera: Camera, seen_px: tuple[int, ...], view: View, aids: Aids, log: Logbook, unit: float, words: Catalogue
) -> Iterator[Item]:
    """Yield at the plan's edge where the boats beyond it lie, their distance where ranges are granted."""
    left, top, wide, tall = seen_px
    cx, cy = left + 0.5 * wide, top + 0.5 * tall
    for k, (pose, seen) in enumerate(zip(poses(view, aids, log), view.others, strict=True)):
        if not seen.shown and seen.light_m is None:
            continue
        x, y = camera.px((pose.north_m, pose.east_m))
        dx, dy = x - cx, y - cy
        over = max(abs(dx) / (0.5 * wide), abs(dy) / (0.5 * tall))
        if over <= 1.0:
            continue
        # The slip of the latest news and the boxes below keep their places free.
        ex, ey = (
            cx + dx * (0.5 * wide - 16 * unit) / (0.5 * wide * over),
            cy + dy * (0.5 * tall - 16 * unit) / (0.5 * tall * over),
        )
        length = math.hypot(dx, dy)
        c, s = dx / length, dy / length
        size = 8.0 * unit
        tip = (ex + size * c, ey + size * s)
        barbs = (
            (ex - size * c - 0.7 * size * s, ey - size * s + 0.7 * size * c),
            (ex - size * c + 0.7 * size * s, ey - size * s - 0.7 * size * c),
        )
        yield Fill("eye", (tip, *barbs), "ink", "casing", 1.5)
        ranged = k < len(aids.ranges_m)
        text = f"{seen.name}  {words.length('distance', aids.ranges_m[k])}" if ranged else seen.name
        anchor: Anchor = "w" if c < -0.5 else "e" if c > 0.5 else "n" if s < 0 else "s"
        shift = (-1.6 * size * c, -1.6 * size * s)
        yield Words(
            "aid:ranges" if ranged else "eye",
            (ex, ey),
            text,
            "text",
            14.0,
            "ink",
            anchor,
            True,
            shift=shift,
        )
