"""What any trainee may know before the exercise: aim, forecast, tide, chart, boat, the anchorage asked for."""

from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import rad
from sim.model import params
from sim.model.air.sky import Sky
from sim.model.water import water
from sim.scenario.read import boat, weather
from sim.scenario.read import forecast as forecasts
from sim.scenario.read.forecast import Forecast
from sim.scenario.schema.base import BayFile, BoatFile
from sim.scenario.schema.lesson import AnchorageBlock, LessonFile


@dataclass(frozen=True)
class TideBrief:
    """Heights above chart datum [m], times in seconds from the start; None where there is no such water to come."""

    now_m: float
    next_high: tuple[float, float] | None  # time, height
    next_low: tuple[float, float] | None
    rise_m: float  # still to come within the stay, >= 0
    fall_m: float  # below now within the stay, >= 0


@dataclass(frozen=True)
class Obstruction:
    """Something charted that stands on the bottom and a rode can catch on."""

    name: str
    north_m: float
    east_m: float
    radius_m: float


@dataclass(frozen=True)
class Chart:
    """The bay as charted; places north and east [m], depths below datum [m]."""

    title: str
    extent_m: tuple[float, float, float, float]  # south, north, west, east
    shores: tuple[FloatArray, ...]
    contours: tuple[tuple[float, FloatArray], ...]  # depth, line [k, 2]
    soundings: FloatArray  # [k, 3]
    bottom: str  # letters where no patch says otherwise
    patches: tuple[tuple[str, FloatArray], ...]
    marks: tuple[params.Mark, ...]
    zones: tuple[params.Zone, ...]
    protected: tuple[str, ...]  # letters of ground that no anchor may touch
    obstructions: tuple[Obstruction, ...] = ()


@dataclass(frozen=True)
class BoatCard:
    """What her crew knows of their boat."""

    name: str
    title: str
    loa_m: float
    beam_m: float
    draught_m: float
    mast_height_m: float
    roller_x_m: float
    roller_height_m: float
    antenna_x_m: float
    sounder_below_surface_m: float
    chain_m: float
    chain_mm: float
    anchor: str
    anchor_kg: float
    snubber_m: float
    bridle: bool
    windlass_mps: float
    astern_pull_n: float  # at full lever, at rest
    shafts: int
    thruster: bool
    sounder_offset_m: float = 0.0  # to be added to the sounder for the depth below the surface
    sounder_reads: str = "surface"  # from where down
    gear: tuple[str, ...] = ("laser",)
    kind: str = "fin"
    rope_m: float = 0.0  # behind the chain
    idle_share: float = 0.32  # tick-over, of the revolutions astern at full lever

    @property
    def rode_m(self) -> float:
        """Chain and rope together [m]."""
        return self.chain_m + self.rope_m


@dataclass(frozen=True)
class Anchorage:
    """Where she is asked to anchor, to lie where a seat is given, and stern to a quay where a berth's heading is."""

    north_m: float
    east_m: float
    radius_m: float
    seat_m: tuple[float, float] | None
    berth_rad: float | None = None


@dataclass(frozen=True)
class Brief:
    """The brief."""

    title: str
    aim: str
    words: str
    forecast: Forecast
    tide: TideBrief
    stream: FloatArray  # [k, 3] time_s, north_mps, east_mps
    chart: Chart
    boat: BoatCard
    anchorage: Anchorage
    dark: bool
    sky: Sky
    limit_s: float
    stay_s: float
    departure_s: float | None = None  # to weigh and leave in when the stay is over; None where that is no part of it


def build_brief(lesson: LessonFile, bay: BayFile, boat_name: str, boat_file: BoatFile) -> Brief:
    """Return the brief of a lesson sailed in a boat."""
    flow = weather.tide_and_stream(lesson)
    return Brief(
        title=lesson.title,
        aim=lesson.aim,
        words=lesson.words,
        forecast=forecasts.build(lesson, bay),
        tide=tide_brief(flow.tide, lesson.stay_h * 3600.0),
        stream=flow.stream,
        chart=_chart(bay),
        boat=boat_card(boat_name, boat_file),
        anchorage=_anchorage(lesson.anchorage),
        dark=lesson.dark,
        sky=weather.build_sky(lesson),
        limit_s=lesson.limit_min * 60.0,
        stay_s=lesson.stay_h * 3600.0,
        departure_s=lesson.departure.limit_min * 60.0 if lesson.departure is not None else None,
    )


def _anchorage(a: AnchorageBlock) -> Anchorage:
    berth_rad = rad(a.berth_deg) if a.berth_deg is not None else None
    return Anchorage(a.north_m, a.east_m, a.radius_m, a.seat, berth_rad)


def tide_brief(tide: FloatArray, stay_s: float) -> TideBrief:
    """Return what the tide does within the stay, from the heights of high and low waters ``float64[k, 2]``."""
    now = water.tide_height_m(0.0, tide)
    turns = [(float(t), float(h)) for t, h in tide if 0.0 <= t <= stay_s]
    heights = [now, water.tide_height_m(stay_s, tide), *(h for _, h in turns)]
    coming = [(t, h) for t, h in zip(tide[:, 0].tolist(), tide[:, 1].tolist(), strict=True) if t > 0.0]
    steps = [b - a for a, b in zip([now, *(h for _, h in coming)], (h for _, h in coming), strict=False)]
    highs = [turn for turn, step in zip(coming, steps, strict=True) if step > 0.0]
    lows = [turn for turn, step in zip(coming, steps, strict=True) if step < 0.0]
    return TideBrief(
        now_m=now,
        next_high=highs[0] if highs else None,
        next_low=lows[0] if lows else None,
        rise_m=max(heights) - now,
        fall_m=now - min(heights),
    )


def _chart(bay: BayFile) -> Chart:
    e = bay.extent
    return Chart(
        title=bay.title,
        extent_m=(e.south_m, e.north_m, e.west_m, e.east_m),
        shores=tuple(np.array(s.polygon) for s in bay.shores),
        contours=tuple((c.depth_m, np.array(c.line)) for c in bay.contours),
        soundings=np.array(bay.soundings),
        bottom=bay.bottom,
        patches=tuple((p.letters, np.array(p.polygon)) for p in bay.patches if p.charted),
        marks=tuple(params.Mark(m.name, m.kind, m.north_m, m.east_m, m.height_m, m.lit) for m in bay.marks),
        zones=tuple(params.Zone(z.name, z.rule, np.array(z.polygon)) for z in bay.zones),
        protected=bay.protected,
        obstructions=tuple(Obstruction(s.name, s.north_m, s.east_m, s.radius_m) for s in bay.snags if s.charted),
    )


def boat_card(name: str, file: BoatFile) -> BoatCard:
    """Return what a boat's crew knows of her."""
    return BoatCard(
        name=name,
        title=file.title,
        loa_m=file.hull.loa_m,
        beam_m=file.hull.beam_m,
        draught_m=file.hull.draught_m,
        mast_height_m=file.deck.mast_height_m,
        roller_x_m=file.deck.roller_x_m,
        roller_height_m=file.deck.roller_height_m,
        antenna_x_m=file.deck.antenna_x_m,
        sounder_below_surface_m=file.deck.sounder_below_surface_m,
        sounder_offset_m=boat.sounder_offset_m(file),
        sounder_reads=file.deck.sounder_reads,
        gear=file.gear,
        kind=file.kind,
        rope_m=file.tackle.rope.length_m if file.tackle.rope is not None else 0.0,
        idle_share=boat.idle_share(file),
        chain_m=file.tackle.chain_m,
        chain_mm=file.tackle.chain_mm,
        anchor=file.tackle.anchor,
        anchor_kg=file.tackle.anchor_kg,
        snubber_m=file.tackle.snubber.length_m,
        bridle=file.deck.bridle_half_m > 0.0,
        windlass_mps=file.tackle.windlass.rate_mpmin / 60.0,
        astern_pull_n=boat.astern_pull_n(file),
        shafts=len(file.shafts),
        thruster=file.thruster_n > 0.0,
    )
