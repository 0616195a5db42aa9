"""The plan above the chart: boats, chain, swing, course. A world scene, built anew each frame."""

import math
from collections.abc import Iterator, Sequence

from sim.base.frames import to_world
from sim.base.units import knots
from sim.core import events as ev
from sim.helm.aids import Aids, Pose
from sim.helm.view import Sighted, View
from sim.model import params
from sim.play.logbook import Logbook, last
from sim.scenario.read.brief import Brief
from sim.ui.paint.display import Disc, Fill, Glow, Hatch, Hull, Item, Mark, Point, Ring, Stroke, Words
from sim.ui.words import Catalogue

LETTER = 14.0
COURSE_S = 25.0  # the course arrow reaches as far as she goes in this time
LEAST_WAY_KN = 0.15
NEAR_M = 90.0  # distances are told to boats as near as this
ROUND = 72  # corners of a circle
ARM_M = 3.5  # so much of the chain is seen from the bow
DECK_LIGHT_M = 13.0  # so far her own deck light reaches over the water (judgement)
CLEAR_M = 8.0  # so far to the east of the planned drop she lies on that side of it
LEADS_M = 500.0  # so far beyond both marks the line of a transit is ruled
GOING = 0.02  # a shaft turning slower than this share of full makes no wash worth drawing


def _at(pose: Pose, forward: float, starboard: float = 0.0) -> Point:
    dn, de = to_world(forward, starboard, pose.heading_rad)
    return pose.north_m + dn, pose.east_m + de


def eye_place(own: Pose, seen: Sighted, log: Logbook) -> Point:
    """Return where another boat is plotted by eye: on her bearing, as far off as judged, or as a range has taught."""
    away = seen.judged_m * log.share.get(seen.number, 1.0)
    dn, de = to_world(away, 0.0, seen.bearing_rad)
    return own.north_m + dn, own.east_m + de


def poses(view: View, aids: Aids, log: Logbook) -> list[Pose]:
    """Return where the other boats stand on the plan: by eye, or as they lie where the lesson grants that."""
    if aids.others:
        return list(aids.others)
    return [Pose(*eye_place(aids.own, seen, log), seen.heading_rad) for seen in view.others]


def others(view: View, aids: Aids, log: Logbook, words: Catalogue) -> Iterator[Item]:
    """Yield the other boats as they are seen; their swing and their distance where those are granted."""
    for swing, pose, seen in zip(aids.swings, aids.others, view.others, strict=False):
        place = (swing.north_m, swing.east_m)
        yield Ring("aid:circles", place, swing.radius_m, "second", "dots")
        yield Stroke("aid:circles", (place, _at(pose, 0.5 * seen.loa_m)), "ink", 1.4)
        yield Disc("aid:circles", place, 2.4, "ink", "casing", 1.0)
    yield from conflicts(view, aids, words)
    for k, (pose, seen) in enumerate(zip(poses(view, aids, log), view.others, strict=True)):
        place = (pose.north_m, pose.east_m)
        if seen.shown:
            yield from _rode(pose, seen)
            yield Hull("eye", place, pose.heading_rad, seen.number)
        if seen.light_m is not None:
            yield Glow("eye", place, 6.0, "lamp")
            yield Disc("eye", place, 2.6, "lamp", "casing", 1.0)
        if not seen.shown and seen.light_m is None:
            continue
        clear = 0.5 * seen.loa_m * abs(math.cos(pose.heading_rad)) + 1.5 if seen.shown else 0.0
        near = k < len(aids.ranges_m) and aids.ranges_m[k] < NEAR_M
        text = f"{seen.name}  {words.length('distance', aids.ranges_m[k])}" if near else seen.name
        source = "aid:ranges" if near else "eye"
        yield Words(source, place, text, "text", LETTER, "ink", "n", True, shift=(0.0, 5.0), clear=clear)


def _rode(pose: Pose, seen: Sighted) -> Iterator[Item]:
    """Yield another boat's rode from her bow to where it enters the water: chain whole, rope in dashes, a buoy."""
    if seen.rode is None:
        return
    bow = _at(pose, 0.5 * seen.loa_m)
    dn, de = to_world(max(seen.rode.reach_m, 0.8), 0.0, seen.rode.bearing_rad)
    foot = (bow[0] + dn, bow[1] + de)
    yield Stroke("eye", (bow, foot), "ink", 1.8, (4.0, 3.0) if seen.rode_kind == "rope" else None, True)
    if seen.rode_kind == "mooring":
        yield Disc("eye", foot, 3.4, "casing", "ink", 1.6)


def unlike(rode_kind: str) -> bool:
    """Return whether a boat on such a rode swings unlike one on chain (common practice, no source)."""
    return rode_kind != "chain"


def conflicts(view: View, aids: Aids, words: Catalogue) -> Iterator[Item]:
    """Yield where her swing lies on that of a boat that swings unlike her; boats alike may overlap."""
    own = aids.own_swing
    if own is None:
        return
    for swing, seen in zip(aids.swings, view.others, strict=True):
        area = lens((own.north_m, own.east_m), own.radius_m, (swing.north_m, swing.east_m), swing.radius_m)
        if area and unlike(seen.rode_kind):
            yield Hatch("aid:circles", tuple(area), "hot")
            low = min(area)
            text = words(f"ui.plan.unlike.{seen.rode_kind}")
            yield Words("aid:circles", low, text, "strong", LETTER, "hot", "n", True, shift=(0.0, 6.0))


def lens(a: Point, ra: float, b: Point, rb: float) -> list[Point]:
    """Return the outline of what two circles share, in order round it; empty where they share nothing."""
    if math.hypot(b[0] - a[0], b[1] - a[1]) >= ra + rb:
        return []
    rim: list[Point] = []
    for (n, e), radius, other, reach in ((a, ra, b, rb), (b, rb, a, ra)):
        for k in range(ROUND):
            angle = 2.0 * math.pi * k / ROUND
            p = (n + radius * math.cos(angle), e + radius * math.sin(angle))
            if math.hypot(p[0] - other[0], p[1] - other[1]) <= reach + 1e-9:
                rim.append(p)
    middle = (sum(p[0] for p in rim) / max(len(rim), 1), sum(p[1] for p in rim) / max(len(rim), 1))
    return sorted(rim, key=lambda p: math.atan2(p[1] - middle[1], p[0] - middle[0]))


def placed(view: View, own: Pose, words: Catalogue) -> Iterator[Item]:
    """Yield what she herself has put on the plan: the planned drop, the anchor's mark, the alarm, the transit."""
    plan = last(view, ev.PlanMade)
    if isinstance(plan, ev.PlanMade):
        place = (plan.drop_north_m, plan.drop_east_m)
        yield Mark("told", place, "cross", "hot", 7.0)
        side, off = ("e", -11.0) if own.east_m > plan.drop_east_m + CLEAR_M else ("w", 11.0)  # where her chain is not
        said = words("ui.plan.planned")
        yield Words("told", place, said, "text", LETTER, "hot", side, True, shift=(off, 0.0))  # type: ignore[arg-type]
    ring = last(view, ev.AlarmSet)
    if isinstance(ring, ev.AlarmSet) and ring.on:
        yield Ring("told", (ring.north_m, ring.east_m), ring.radius_m, "ink", "dots")
    mark = last(view, ev.AnchorMarked)
    if isinstance(mark, ev.AnchorMarked) and view.handling.marked:
        yield Mark("told", (mark.north_m, mark.east_m), "anchor_mark", "ink", 6.0)


def transit(view: View, aids: Aids, marks_reach_m: float = 400.0) -> Iterator[Item]:
    """Yield the line of the transit taken, with the lesson's aid, as it runs through where she is now."""
    taken = last(view, ev.TransitTaken)
    if isinstance(taken, ev.TransitTaken) and view.transit_open_m is not None:
        here = (aids.own.north_m, aids.own.east_m)
        dn, de = to_world(marks_reach_m, 0.0, taken.bearing_rad)
        yield Stroke("aid:transits", (here, (here[0] + dn, here[1] + de)), "ink", 1.4, (8.0, 6.0), True)


def leading(pair: Sequence[params.Mark]) -> Iterator[Item]:
    """Yield the marks noted for a transit, and the line through two of them as one would rule it on the chart."""
    for mark in pair:
        yield Disc("hand", (mark.north_m, mark.east_m), 13.0, None, "hot", 2.0)
    if len(pair) == 2:
        a, b = pair
        dn, de = a.north_m - b.north_m, a.east_m - b.east_m
        off = max(math.hypot(dn, de), 1.0)
        ends = [(m.north_m + s * LEADS_M * dn / off, m.east_m + s * LEADS_M * de / off) for m, s in ((a, 1), (b, -1))]
        yield Stroke("chart", tuple(ends), "hot", 1.4, (10.0, 5.0), True)


def swing(aids: Aids, words: Catalogue) -> Iterator[Item]:
    """Yield her swing, where circles are granted."""
    if aids.own_swing is None:
        return
    round_her = aids.own_swing
    yield Ring("aid:circles", (round_her.north_m, round_her.east_m), round_her.radius_m, "hot", "dashes")
    east = aids.own.east_m > round_her.east_m
    beside = -round_her.radius_m if east else round_her.radius_m  # clear of the boat herself
    place = (round_her.north_m, round_her.east_m + beside)
    yield Words("aid:circles", place, words("ui.plan.swing"), "strong", LETTER, "hot", "c", True)


def tackle(view: View, aids: Aids) -> Iterator[Item]:
    """Yield her chain and her anchor as far as they are granted; else the first metres at the bow."""
    if aids.chain_m:
        yield from _chain(aids)
        if aids.anchor is not None:
            yield from _anchor((aids.anchor.north_m, aids.anchor.east_m), aids.anchor.shank_rad)
    elif view.arm is not None:
        bearing = view.readings.heading_rad + view.arm.bearing_rad
        dn, de = to_world(ARM_M * math.cos(view.arm.slope_rad), 0.0, bearing)
        yield Stroke("eye", (aids.roller_m, (aids.roller_m[0] + dn, aids.roller_m[1] + de)), "hot", 3.0, None, True)


def _chain(aids: Aids) -> Iterator[Item]:
    """Yield the chain from the anchor up: whole where it lies on the ground, in links where it hangs."""
    line = (*aids.chain_m[:-1], aids.roller_m)
    lying = 0 if aids.anchor is None else min(aids.anchor.lying_nodes, len(line) - 1)
    if lying > 0:
        yield Stroke("aid:chain", line[: lying + 1], "hot", 3.4, None, True)
    yield Stroke("aid:chain", line[lying:], "hot", 3.0, (5.0, 2.5), True)
    if lying > 1:
        yield Disc("aid:chain", line[lying], 4.0, "casing", "hot", 2.0)


def _anchor(place: Point, shank_rad: float) -> Iterator[Item]:
    """Yield an anchor from above, its shank towards the pull."""
    c, s = math.cos(shank_rad), math.sin(shank_rad)

    def at(along: float, across: float) -> Point:
        return place[0] + along * c - across * s, place[1] + along * s + across * c

    yield Stroke("aid:chain", (at(0.0, 0.0), at(1.3, 0.0)), "hot", 3.5, None, True)
    yield Fill("aid:chain", (at(-1.0, 0.0), at(-0.1, 0.85), at(0.15, 0.0), at(-0.1, -0.85)), "hot", "casing", 1.2)


def own(view: View, aids: Aids, brief: Brief, log: Logbook) -> Iterator[Item]:
    """Yield her wake, wash, hull, rudders and course."""
    pose, boat = aids.own, brief.boat
    if view.darkness > 0.5:
        yield Glow("eye", _at(pose, 0.25 * boat.loa_m), DECK_LIGHT_M, "lamp")
    for place in log.wake_m[:-2]:
        yield Disc("eye", place, 1.0, "hot", None)
    yield from _course(view, pose)
    yield from _wash(view, pose, boat.loa_m, boat.beam_m)
    yield Hull("eye", (pose.north_m, pose.east_m), pose.heading_rad, 0)
    sides = (0.0,) if boat.shafts == 1 else (-0.36 * boat.beam_m, 0.36 * boat.beam_m)
    for y in sides:
        foot = _at(pose, -0.46 * boat.loa_m, y)
        dn, de = to_world(-1.5, 0.0, pose.heading_rad - view.readings.rudder_rad)
        yield Stroke("display:rudder", (foot, (foot[0] + dn, foot[1] + de)), "hot", 3.0, None, True)


def _course(view: View, pose: Pose) -> Iterator[Item]:
    r = view.readings
    if knots(r.sog_mps) < LEAST_WAY_KN:
        return
    c, s = math.cos(r.cog_rad), math.sin(r.cog_rad)
    reach = max(r.sog_mps * COURSE_S, 3.0)
    tip = (pose.north_m + reach * c, pose.east_m + reach * s)
    yield Stroke("display:sog", ((pose.north_m, pose.east_m), tip), "ink", 2.0, None, True)
    wing = min(0.25 * reach, 2.4)
    left = (tip[0] - wing * (c + 0.5 * s), tip[1] - wing * (s - 0.5 * c))
    right = (tip[0] - wing * (c - 0.5 * s), tip[1] - wing * (s + 0.5 * c))
    yield Fill("display:sog", (tip, left, right), "ink", "casing", 1.0)


def _wash(view: View, pose: Pose, loa_m: float, beam_m: float) -> Iterator[Item]:
    """Yield the wash of each propeller: aft when it drives ahead, forward along her side when it drives astern."""
    count = len(view.readings.rps)
    for i, rps in enumerate(view.readings.rps):
        side = 0.0 if count == 1 else (2 * i - 1) * 0.36 * beam_m
        strength = min(abs(rps) / 20.0, 1.0)
        if strength < GOING:
            continue
        for k in range(round(3 + 5 * strength)):
            drift = 1.1 * k + 0.5 * math.sin(2.1 * k + 3.0 * view.readings.t_s)
            spread = (0.35 + 0.12 * k) * math.sin(1.7 * k + 5.0 * view.readings.t_s)
            if rps > 0.0:
                yield Disc("eye", _at(pose, -0.53 * loa_m - drift, side + spread), 2.0 + 0.18 * k, "wash")
            else:
                out = math.copysign(0.34 * beam_m + 0.3, spread or 1.0)
                yield Disc("eye", _at(pose, -0.5 * loa_m + drift, side + out + 0.4 * spread), 2.2 - 0.1 * k, "wash")


def _chosen(view: View, aids: Aids, brief: Brief, log: Logbook, target: int) -> Iterator[Item]:
    """Yield a frame of four corners round the boat or mark that ranges and hails are for."""
    place = [
        ((pose.north_m, pose.east_m), 0.7 * seen.loa_m)
        for pose, seen in zip(poses(view, aids, log), view.others, strict=True)
        if seen.number == target
    ]
    if 0 < -target <= len(brief.chart.marks):
        mark = brief.chart.marks[-target - 1]
        place = [((mark.north_m, mark.east_m), 4.0)]
    for (n, e), half in place:
        for sn, se in ((1, 1), (1, -1), (-1, -1), (-1, 1)):
            corner = (n + sn * half, e + se * half)
            arms = ((corner[0] - 0.4 * sn * half, corner[1]), corner, (corner[0], corner[1] - 0.4 * se * half))
            yield Stroke("hand", arms, "ink", 2.0, None, True)


def around(view: View, aids: Aids, brief: Brief, log: Logbook, words: Catalogue, target: int = 0) -> tuple[Item, ...]:
    """Return what lies about her on the plan, which changes slowly; ``target`` is what ranges and hails are for."""
    return (
        *others(view, aids, log, words),
        *_chosen(view, aids, brief, log, target),
        *placed(view, aids.own, words),
        *swing(aids, words),
    )


def hers(view: View, aids: Aids, brief: Brief, log: Logbook, granted: frozenset[str]) -> tuple[Item, ...]:
    """Return what is hers on the plan: transit, chain, wake and hull."""
    return (
        *(transit(view, aids) if "transits" in granted else ()),
        *tackle(view, aids),
        *own(view, aids, brief, log),
    )
