"""Parameters: everything about a run that never changes once it has begun.

Frozen dataclasses. What a kernel needs is packed into float64 arrays whose columns are named in ``layout``; the rest is
kept by name for instruments, crew, marking and drawing. ``scenario`` builds these from files.
"""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from sim.base.arrays import FloatArray, IntArray
from sim.model import layout as lay
from sim.model.air.sky import Sky
from sim.model.groups import Air, Build, Streams, Swell

Kind = Literal["fin", "long", "twin", "motor", "day"]
RodeKind = Literal["chain", "rope", "mooring", "two_anchors", "stern_line"]
Gear = Literal["laser", "radar", "ais", "trace"]
Transponder = Literal["", "a", "b"]  # of AIS


@dataclass(frozen=True)
class Particulars:
    """A boat's main dimensions, as her file gives them; laws compute the rest (``hull.pack``).

    Lengths in metres, masses in kg, forces in N, speeds in m/s, x forward of midships, y to starboard.
    """

    kind: Kind
    loa_m: float
    lwl_m: float
    beam_m: float
    hull_beam_m: float
    hulls: int
    canoe_draught_m: float
    mass_kg: float
    gyradius: float  # of LWL
    draught_m: float
    keel_x_m: float
    keel_chord_m: float
    keel_span_m: float
    keels: int
    keel_centre_of_pressure: float  # of chord, towards the leading end
    wetted_m2: float
    residuary: float  # R/mg at Froude number 0.40
    astern_resistance: float
    yaw_damping: float  # k of k 1/2 rho (Tc + s) L^3
    fouling: float  # friction over that of a clean hull
    cross_flow: float  # sideways drag over what Hoerner's curve gives
    frontal_m2: float
    lateral_m2: float
    windage_x_m: float
    cd_bow: float
    cd_stern: float
    cd_beam: float
    cross_force: float  # Blendermann's delta
    roller_x_m: float
    roller_height_m: float
    bridle_half_m: float
    mast_height_m: float
    antenna_x_m: float
    sounder_x_m: float
    sounder_below_surface_m: float
    sounder_offset_m: float = 0.0  # added to what it shows gives the depth below the surface


@dataclass(frozen=True)
class Shaft:
    """One engine, shaft and propeller."""

    x_m: float
    y_m: float
    power_w: float
    diameter_m: float
    pitch_m: float
    idle_rps: float
    max_rps: float
    astern_factor: float
    merit: float
    locked_cd: float
    walk: float
    handed: int  # +1 right-handed, -1 left-handed
    steers: bool = False  # the helm turns it: an outboard


@dataclass(frozen=True)
class Rudder:
    """One rudder; ``slope_factor`` below 1 where it hangs on a keel or skeg."""

    x_m: float
    y_m: float
    area_m2: float
    span_m: float
    slope_factor: float


@dataclass(frozen=True)
class Boat:
    """A boat ready for the kernels."""

    name: str
    title: str
    particulars: Particulars
    hull: FloatArray  # [HULL_COLS]
    foils: FloatArray  # [MAX_FOILS, FOIL_COLS]
    rudders: FloatArray  # [MAX_RUDDERS, RUDDER_COLS]
    shafts: FloatArray  # [MAX_SHAFTS, SHAFT_PARAM_COLS]
    shaft_count: int
    max_rudder_rad: float
    rudder_rate_radps: float
    thruster_n: float
    outline_m: FloatArray  # [k, 2] forward, starboard, convex, for contact and drawing
    snubber_length_m: float
    gear: tuple[Gear, ...] = ("laser",)  # what she carries to look about with

    @property
    def build(self) -> Build:
        """What she is, as the kernels take it."""
        limits = np.array([self.max_rudder_rad, self.rudder_rate_radps, self.thruster_n])
        return Build(self.hull, self.foils, self.rudders, self.shafts, limits)


@dataclass(frozen=True)
class Rode:
    """A rode and what handles it; ``role`` is main, second or shore."""

    chain_mm: float
    line: FloatArray  # [LINE_PARAM_COLS]
    anchor_kind: str
    anchor: FloatArray  # [ANCHOR_PARAM_COLS]
    anchor_on_bottom: FloatArray  # [bottoms, ANCHOR_BOTTOM_COLS]
    role: Literal["main", "second", "shore"] = "main"


@dataclass(frozen=True)
class Second:
    """What else holds a boat: a second anchor, or a line from her stern to the shore."""

    north_m: float
    east_m: float
    length_m: float
    weight_n_per_m: float
    ea_n: float
    from_stern: bool


@dataclass(frozen=True)
class Neighbour:
    """Another boat, at anchor, as she lies when the exercise begins.

    With ``comes_from_m`` she is not there yet: she comes in from that place when she is told to, and lies then as here
    described. ``hold_n`` is the pull at which her anchor comes home, 0 for never.
    """

    name: str
    boat: Boat
    anchor_north_m: float
    anchor_east_m: float
    rode_kind: RodeKind
    rode_m: float
    weight_n_per_m: float
    ea_n: float
    snubber_m: float
    snubber_ea_n: float
    roller_height_m: float
    second: Second | None = None
    hold_n: float = 0.0
    comes_from_m: tuple[float, float] | None = None
    lit: bool = True
    ais: Transponder = ""


@dataclass(frozen=True)
class Zone:
    """An area with a rule, such as a fairway or a cable area."""

    name: str
    rule: str
    polygon_m: FloatArray  # [k, 2] north, east


@dataclass(frozen=True)
class Mark:
    """A charted thing one can take a bearing of."""

    name: str
    kind: str
    north_m: float
    east_m: float
    height_m: float
    lit: bool = False  # whether it shows by night


@dataclass(frozen=True)
class Bay:
    """The place: one raster of depth, one of bottoms, polygons for contact, rules and drawing.

    ``depth_m[i, j]`` is the depth below chart datum at ``raster[Y_NORTH] + i * cell``, ``raster[Y_EAST] + j * cell``;
    negative depths dry or are land. ``bottom[i, j]`` indexes ``bottoms``.
    """

    name: str
    title: str
    raster: FloatArray  # [RASTER_COLS]
    depth_m: FloatArray  # [rows, columns]
    bottom: IntArray  # [rows, columns]
    bottom_letters: tuple[str, ...]
    bottoms: FloatArray  # [bottoms, BOTTOM_COLS]
    shores: tuple[FloatArray, ...]  # each [k, 2] north, east, closed
    patches: tuple[tuple[str, FloatArray], ...]  # (letters, polygon [k, 2])
    marks: tuple[Mark, ...]
    zones: tuple[Zone, ...]
    soundings: FloatArray  # [k, 3] north, east, depth below datum, as charted
    noise: FloatArray  # [64, 64] smooth periodic patchiness, unit variance
    snags: FloatArray = field(default_factory=lambda: np.zeros((0, lay.SNAG_COLS)))  # [snags, SNAG_COLS]
    snag_names: tuple[str, ...] = ()
    protected: tuple[str, ...] = ()  # letters of ground that no anchor may touch


def _none(*shape: int) -> FloatArray:
    return np.zeros(shape)


@dataclass(frozen=True)
class Weather:
    """The wind: mean, seeded gusts and what is to come, all functions of place and time; see ``model.air.wind``.

    ``lee`` is the share of the mean wind that land leaves, by direction and place (``model.air.shelter``); no sectors,
    no land that shelters.
    """

    wind: FloatArray  # [WIND_COLS]
    gusts: FloatArray  # [k, GUST_COLS]
    veers: FloatArray  # [k, VEER_COLS]
    falls: FloatArray = field(default_factory=lambda: _none(0, lay.FALL_COLS))  # [k, FALL_COLS]
    planned: FloatArray = field(default_factory=lambda: _none(0, lay.EPISODE_COLS))  # [k, EPISODE_COLS]
    lee: FloatArray = field(default_factory=lambda: _none(0, 2, 2))  # [sectors, rows, columns]
    lee_raster: FloatArray = field(default_factory=lambda: _none(lay.RASTER_COLS))  # [RASTER_COLS]

    @property
    def air(self) -> Air:
        """All of it, as the kernels take it."""
        return Air(self.wind, self.gusts, self.veers, self.falls, self.planned, self.lee, self.lee_raster)


@dataclass(frozen=True)
class Water:
    """Tide and stream as functions of place and time, and the waves of the wind.

    ``tide`` rows are (time_s, height_m) of high and low waters; ``stream`` rows are (time_s, north_mps, east_mps).
    ``eddies`` and ``formed`` are those of ``model.water.eddy``, ``waves`` and ``fetch`` those of ``model.water.waves``.
    """

    tide: FloatArray  # [k, 2]
    stream: FloatArray  # [k, 3]
    eddies: FloatArray = field(default_factory=lambda: _none(0, lay.EDDY_COLS))  # [k, EDDY_COLS]
    formed: FloatArray = field(default_factory=lambda: _none(0, 2, 2))  # [k, rows, columns]
    eddy_raster: FloatArray = field(default_factory=lambda: _none(lay.RASTER_COLS))  # [RASTER_COLS]
    waves: FloatArray = field(default_factory=lambda: _none(0, lay.WAVE_COLS))  # [k, WAVE_COLS]
    fetch: FloatArray = field(default_factory=lambda: _none(0, 2, 2))  # [sectors, rows, columns] m
    fetch_raster: FloatArray = field(default_factory=lambda: _none(lay.RASTER_COLS))  # [RASTER_COLS]

    @property
    def streams(self) -> Streams:
        """What flows, as the kernels take it."""
        return Streams(self.stream, self.eddies, self.formed, self.eddy_raster)

    @property
    def swell(self) -> Swell:
        """What heaves, as the kernels take it."""
        return Swell(self.waves, self.fetch, self.fetch_raster)


@dataclass(frozen=True)
class Start:
    """Where and how the own boat begins."""

    north_m: float
    east_m: float
    heading_rad: float
    speed_mps: float


@dataclass(frozen=True)
class WorldParams:
    """Everything a world is built from."""

    seed: int
    boat: Boat
    rodes: tuple[Rode, ...]
    bay: Bay
    weather: Weather
    water: Water
    neighbours: tuple[Neighbour, ...]
    start: Start
    night: bool = False
    sky: Sky = field(default=Sky())
    aids: tuple[str, ...] = field(default=())
    crew: Literal["able", "novice"] = "able"  # the hand on the foredeck
