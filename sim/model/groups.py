"""Arrays that travel together, by name, so that a law takes what it is about and not a row of numbers.

A kernel builds these from the one flat tuple it is handed (``core.tick``); nothing is copied. Shapes and columns are
those of ``layout``.
"""

from typing import NamedTuple

from sim.base.arrays import FloatArray, IntArray


class Air(NamedTuple):
    """The wind: what it is made of, as in ``params.Weather``."""

    wind: FloatArray  # [WIND_COLS]
    gusts: FloatArray  # [k, GUST_COLS]
    veers: FloatArray  # [k, VEER_COLS]
    falls: FloatArray  # [k, FALL_COLS]
    planned: FloatArray  # [k, EPISODE_COLS]
    lee: FloatArray  # [sectors, rows, columns]
    lee_raster: FloatArray  # [RASTER_COLS]


class Streams(NamedTuple):
    """The stream and its eddies."""

    stream: FloatArray  # [k, 3]
    eddies: FloatArray  # [k, EDDY_COLS]
    formed: FloatArray  # [k, rows, columns]
    raster: FloatArray  # [RASTER_COLS]


class Swell(NamedTuple):
    """The waves of the wind."""

    waves: FloatArray  # [k, WAVE_COLS]
    fetch: FloatArray  # [sectors, rows, columns] m
    raster: FloatArray  # [RASTER_COLS]


class Ground(NamedTuple):
    """The bed: how deep it lies, what it is made of, what stands on it."""

    raster: FloatArray  # [RASTER_COLS]
    depth: FloatArray  # [rows, columns] below chart datum
    bottom: IntArray  # [rows, columns] which of ``bottoms`` lies where
    bottoms: FloatArray  # [bottoms, BOTTOM_COLS]
    snags: FloatArray  # [snags, SNAG_COLS]; no rows where there are none, and then they cost nothing
    noise: FloatArray  # [64, 64] patchiness


class Here(NamedTuple):
    """The ground at one place, and what one type of anchor makes of it."""

    on_bottom: FloatArray  # [ANCHOR_BOTTOM_COLS]
    bottom: FloatArray  # [BOTTOM_COLS]
    noise: float  # patchiness, about unit variance
    rise: float  # slope of the bed along the pull, positive uphill


class Build(NamedTuple):
    """What one boat is, and never changes."""

    hull: FloatArray  # [HULL_COLS]
    foils: FloatArray  # [MAX_FOILS, FOIL_COLS]
    rudders: FloatArray  # [MAX_RUDDERS, RUDDER_COLS]
    shafts: FloatArray  # [MAX_SHAFTS, SHAFT_PARAM_COLS]
    limits: FloatArray  # [3] most rudder angle, rudder rate, thruster push


class Builds(NamedTuple):
    """The same of every boat, row 0 the own one, as far as all of them have it."""

    hulls: FloatArray  # [boats, HULL_COLS]
    foils: FloatArray  # [boats, MAX_FOILS, FOIL_COLS]
    rudders: FloatArray  # [boats, MAX_RUDDERS, RUDDER_COLS]


class Helm(NamedTuple):
    """How the own boat is steered and driven now."""

    control: FloatArray  # [CONTROL_COLS]
    shafts: FloatArray  # [MAX_SHAFTS, SHAFT_COLS]
    faults: FloatArray  # [FAULT_COLS] engine, windlass, thruster, helm, ...


class Tackle(NamedTuple):
    """What one rode and its anchor are, and never changes."""

    line: FloatArray  # [LINE_PARAM_COLS]
    anchor: FloatArray  # [ANCHOR_PARAM_COLS]
    on_bottoms: FloatArray  # [bottoms, ANCHOR_BOTTOM_COLS]
    draws: FloatArray  # [k] seeded uniforms for veers


class Lying(NamedTuple):
    """Where one rode lies now, and what its anchor is about."""

    nodes: FloatArray  # [NODE_CAP, NODE_COLS]
    line: FloatArray  # [LINE_COLS]
    anchor: FloatArray  # [ANCHOR_COLS]


class Scratch(NamedTuple):
    """Written afresh in every step of a rode: where it leaves the boat, and the table of its equations."""

    roller: FloatArray  # [3] north, east, z
    legs: FloatArray  # [legs, 3] fairleads of the snubber's legs
    work: FloatArray  # [NODE_CAP, WORK_COLS]


class End(NamedTuple):
    """The anchor as the chain feels it."""

    mass_kg: float
    weight_n: float  # in water
    drag_m2: float  # drag coefficient times frontal area
    hold_n: float  # horizontal resistance now
    down_n: float  # how hard the ground holds it down


class Sea(NamedTuple):
    """The water round a rode now."""

    tide_m: float
    stream_n: float  # at the surface, north [m/s]
    stream_e: float


class Step(NamedTuple):
    """How finely time passes: the step, and how often at least the chain is solved in it."""

    dt_s: float
    passes: int
