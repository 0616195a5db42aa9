"""A small boat's radar: echoes as blobs, drowned in clutter of sea and rain or lost when it is set wrong; rings.

A ring that touches an echo tells the least distance to it.

Stateless between sweeps: a picture follows from where things are, how the set is set, and the number of the sweep.
"""

import math
from dataclasses import dataclass

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.units import TICK_HZ
from sim.core.orders.ranging import raining
from sim.core.world import World
from sim.helm.sight import is_here
from sim.model import layout as lay

SWEEP_S = 2.5  # 24 turns a minute
BEAM_RAD = math.radians(4.9)  # a 0.5 m scanner (common practice, no source)
PULSE_M = 12.0  # 0.08 microseconds, 150 m to the microsecond
DOTS = 250.0  # across the radius of the screen
BEARING_SD_RAD = math.radians(0.7)  # within the degree that IMO MSC.192(79) allows (from memory)
LEAST_M = 25.0  # nothing is seen nearer (judgement)
FLUTTER_DB = 2.5  # from sweep to sweep (judgement)
# Echoing area of a boat by her kind [m2]: glass fibre, mast and engine (judgement).
ECHO_M2 = {"fin": 3.0, "long": 3.0, "twin": 5.0, "motor": 8.0, "day": 0.7}
MARK_M2 = 1.0
# Levels in dB over the receiver's noise (judgement): a sailing boat a mile off is just seen when the set is well set.
AT_1500_M_DB = 16.0
# The sea: 0.03 m2 of echo from the patch of water in one beam and pulse at 200 m, in ten knots, and 1.2 dB more for
# each m/s (judgement, after backscatter of the sea at small angles, from memory).
CLUTTER_AT_200_M_DB, CLUTTER_WIND_DB, CLUTTER_WIND_MPS = 30.0, 1.2, 5.0
STANDS_OUT_DB = 15.0  # over clutter that fills the screen
# Rain fills the whole beam: drops of Marshall and Palmer (J. Meteorology 5, 1948, Z = 200 R^1.6, mm6/m3 and mm/h) send
# back eta = pi^5 |K|^2 Z / lambda^4 from each cubic metre (Rayleigh; |K|^2 = 0.93 for water).
RAIN_MMPH = 10.0  # of a squall: heavy rain is more than 7.6 (glossary of the AMS; the figure is judgement)
WAVE_M = 0.032  # 9.4 GHz
TALL_RAD = math.radians(25.0)  # the beam's height (common practice, no source)
GAIN_DB, SEA_M = 60.0, 6000.0
RAYS = 120
BLOOM_DB = 45.0  # so far over the threshold an echo is twice as wide


@dataclass(frozen=True)
class Echo:
    """A blob on the screen: its near edge, its middle's bearing off the bow, its depth and its width, its strength."""

    range_m: float
    bearing_rad: float
    depth_m: float
    width_rad: float
    strength: float  # 0..1


@dataclass(frozen=True)
class RadarPicture:
    """The screen after the last sweep, head up.

    Attributes:
        scale_m: from the middle to the edge.
        rings_m: the fixed rings.
        echoes: of boats and marks that stand out.
        land_m: near edge of the land on each of 120 bearings from the bow round, inf where there is none.
        clutter_m: how far out sea and rain fill the screen.
        speckled: share of the screen that is the receiver's own noise, 0..1.
        gain: as set, 0..1; ``sea`` likewise.
    """

    scale_m: float
    rings_m: tuple[float, ...]
    echoes: tuple[Echo, ...]
    land_m: tuple[float, ...]
    clutter_m: float
    speckled: float
    gain: float
    sea: float

    @property
    def nearest_m(self) -> float:
        """Return the least distance at which a ring touches an echo or land; inf where there is none."""
        return min([e.range_m for e in self.echoes] + list(self.land_m), default=math.inf)


def threshold_db(gain: float) -> float:
    """Return the level that shows, for a gain 0..1: 10 dB over the noise at the middle setting."""
    return 10.0 + GAIN_DB * (0.5 - gain)


def suppressed_db(range_m: float, sea: float) -> float:
    """Return what the sea clutter control takes off near echoes [dB], wanted and unwanted alike.

    By the cube of the range, as clutter itself falls, from a range that grows with the setting.
    """
    works_to = SEA_M * sea * sea
    return max(30.0 * math.log10(max(works_to, 1e-3) / max(range_m, 1.0)), 0.0)


def echo_db(range_m: float, area_m2: float) -> float:
    """Return the level of an echo: by the fourth power of the range, as the radar equation has it."""
    return AT_1500_M_DB + 10.0 * math.log10(area_m2 / 3.0) + 40.0 * math.log10(1500.0 / max(range_m, 1.0))


def clutter_db(range_m: float, wind_mps: float) -> float:
    """Return the level of the sea's own echo, which falls by the cube of the range and rises with the wind."""
    wind = CLUTTER_WIND_DB * (wind_mps - CLUTTER_WIND_MPS)
    return CLUTTER_AT_200_M_DB + 30.0 * math.log10(200.0 / max(range_m, 1.0)) + wind


def rain_m2(range_m: float, rate_mmph: float) -> float:
    """Return the echoing area of the rain in one beam and pulse [m2], by the square of the range; 0 where it is dry.

    Left out: what rain between takes away, which at 9.4 GHz over a mile is a fraction of a decibel.
    """
    if rate_mmph <= 0.0:
        return 0.0
    drops_m6pm3 = 200.0 * rate_mmph**1.6 * 1e-18
    eta = math.pi**5 * 0.93 * drops_m6pm3 / WAVE_M**4
    return float(eta * 0.25 * math.pi * BEAM_RAD * TALL_RAD * PULSE_M * range_m**2)


def unwanted_db(range_m: float, wind_mps: float, rain_mmph: float) -> float:
    """Return the level of all that is no target: the sea's echo, and the rain's where it rains, powers added."""
    sea = clutter_db(range_m, wind_mps)
    area = rain_m2(range_m, rain_mmph)
    if area <= 0.0:
        return sea
    return 10.0 * math.log10(10.0 ** (0.1 * sea) + 10.0 ** (0.1 * echo_db(range_m, area)))


def _targets(world: World) -> list[tuple[float, float, float, float]]:
    """Return (range of the near edge, bearing, depth along the ray, echoing area) of all that stands up."""
    own = world.state.boats[0]
    found = []
    for i, n in enumerate(world.params.neighbours, start=1):
        if not is_here(world, i):
            continue
        row, p = world.state.boats[i], n.boat.particulars
        dn, de = float(row[lay.B_NORTH] - own[lay.B_NORTH]), float(row[lay.B_EAST] - own[lay.B_EAST])
        away, bearing = math.hypot(dn, de), math.atan2(de, dn)
        aspect = abs(math.cos(bearing - float(row[lay.B_HEADING])))
        half = 0.5 * (p.loa_m * aspect + p.beam_m * (1.0 - aspect))
        found.append((max(away - half, 0.0), bearing, 2.0 * half, ECHO_M2[p.kind]))
    for mark in world.params.bay.marks:
        dn, de = mark.north_m - float(own[lay.B_NORTH]), mark.east_m - float(own[lay.B_EAST])
        found.append((math.hypot(dn, de), math.atan2(de, dn), 1.0, MARK_M2))
    return found


def _merged(echoes: list[Echo]) -> tuple[Echo, ...]:
    """Return the echoes with those run together that the set cannot tell apart."""
    out: list[Echo] = []
    for e in sorted(echoes, key=lambda e: (e.range_m, e.bearing_rad)):
        for k, seen in enumerate(out):
            off = math.remainder(e.bearing_rad - seen.bearing_rad, 2.0 * math.pi)
            touching = abs(off) < 0.5 * (e.width_rad + seen.width_rad)
            if touching and e.range_m < seen.range_m + seen.depth_m:
                first = min(-0.5 * seen.width_rad, off - 0.5 * e.width_rad)
                last = max(0.5 * seen.width_rad, off + 0.5 * e.width_rad)
                depth = max(seen.depth_m, e.range_m + e.depth_m - seen.range_m)
                middle = math.remainder(seen.bearing_rad + 0.5 * (first + last), 2.0 * math.pi)
                out[k] = Echo(seen.range_m, middle, depth, last - first, max(seen.strength, e.strength))
                break
        else:
            out.append(e)
    return tuple(out)


def _land_m(world: World, heading_rad: float, scale_m: float) -> FloatArray:
    """Return the distance to the nearest shore on each ray from the bow round, inf beyond the scale."""
    shore = world.constants.shore
    nearest = np.full(RAYS, math.inf)
    if not len(shore):
        return nearest
    own = world.state.boats[0]
    angles = heading_rad + 2.0 * math.pi * np.arange(RAYS) / RAYS
    rn, re = np.cos(angles)[:, None], np.sin(angles)[:, None]
    an, ae = shore[:, 0] - own[lay.B_NORTH], shore[:, 1] - own[lay.B_EAST]
    bn, be = shore[:, 2] - shore[:, 0], shore[:, 3] - shore[:, 1]
    across = rn * be - re * bn
    safe = np.where(np.abs(across) < 1e-9, 1e-9, across)
    along = (an * be - ae * bn) / safe
    where = (an * re - ae * rn) / safe
    hit = (along > 0.0) & (where >= 0.0) & (where <= 1.0) & (np.abs(across) > 1e-9)
    nearest = np.where(hit, along, math.inf).min(axis=1)
    return np.where(nearest <= scale_m, nearest, math.inf)


def picture(world: World, scale_m: float, gain: float, sea: float) -> RadarPicture:
    """Return the screen of the sweep that has just been made.

    Args:
        world: the truth, which the screen shows as well as it can.
        scale_m: range scale.
        gain: 0..1; too little loses boats, though in rain less brings them out again; too much fills the screen with
            specks and swells every echo.
        sea: sea clutter control 0..1; too little leaves the middle white, too much takes near boats with it.
    """
    s = world.state
    sweep = int(s.tick / TICK_HZ / SWEEP_S)
    own = s.boats[0]
    heading = float(own[lay.B_HEADING])
    wind = math.hypot(float(own[lay.B_WIND_N]), float(own[lay.B_WIND_E]))
    rain = RAIN_MMPH if raining(world) else 0.0
    shows = threshold_db(gain)
    targets = _targets(world)
    slips = rng.stream(world.params.seed, "radar", sweep).standard_normal((len(targets), 2))
    step = max(PULSE_M, scale_m / DOTS)
    echoes = []
    for (away, bearing, deep, area), (flutter, slip) in zip(targets, slips.tolist(), strict=True):
        if not LEAST_M <= away <= scale_m:
            continue
        hidden = suppressed_db(away, sea)
        level = echo_db(away, area) - hidden + FLUTTER_DB * flutter
        noise = max(unwanted_db(away, wind, rain) - hidden, 0.0)
        if level < shows or (noise > shows and level < noise + STANDS_OUT_DB):
            continue
        bloom = 1.0 + min((level - shows) / BLOOM_DB, 1.0)
        off = math.remainder(bearing + BEARING_SD_RAD * slip - heading, 2.0 * math.pi)
        near = step * math.floor(away / step)
        strength = min((level - shows) / BLOOM_DB, 1.0)
        echoes.append(Echo(near, off, deep + step * bloom, BEAM_RAD * bloom, strength))
    reach = [r for r in np.geomspace(10.0, 2000.0, 60) if unwanted_db(r, wind, rain) - suppressed_db(r, sea) > shows]
    land = _land_m(world, heading, scale_m)
    return RadarPicture(
        scale_m=scale_m,
        rings_m=tuple(scale_m * k / 4.0 for k in (1, 2, 3, 4)),
        echoes=_merged(echoes),
        land_m=tuple((step * np.floor(land / step)).tolist()),
        clutter_m=min(max(reach, default=0.0), scale_m),
        speckled=math.exp(-(10.0 ** (shows / 10.0))),
        gain=gain,
        sea=sea,
    )
