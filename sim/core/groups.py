"""What the tick reads and writes, named: the one flat row of arrays it is handed, and the groups it makes of them.

Handing a nested record from Python to a compiled kernel costs several microseconds a call, a flat tuple of arrays few;
so ``World.flat`` is one tuple, made once, and the kernel names its parts. Parameters never change, state is what
``State`` lists, scratch carries nothing from step to step, the log is what the last run of steps saw.
"""

from typing import NamedTuple

from sim.base.arrays import FloatArray, IntArray
from sim.model.layout import BOAT_COLS

MOST_TICKS = 600  # in one run of steps
# What a run of steps has seen: a row for each step of the own boat. Gap and boat are looked at by the watch alone.
(
    LOG_FELT,  # pull of the first rode on the boat, as whoever stands forward feels it [N]
    LOG_PULL,  # the level part of it
    LOG_UPLIFT,  # at its anchor [rad]
    LOG_GAP,  # to the next hull [m]
    LOG_BOAT,  # whose
    LOG_ASTERN,  # most thrust astern of a shaft [N], and which
    LOG_SHAFT,
    LOG_OWN,  # from here on the own boat's row
) = range(8)
LOG_COLS = LOG_OWN + BOAT_COLS


class Others(NamedTuple):
    """Every boat, row 0 the own one, and what the others ride to."""

    boats: FloatArray  # [boats, BOAT_COLS]
    hulls: FloatArray  # [boats, HULL_COLS]
    fleet: FloatArray  # [boats, FLEET_COLS]


class Rodes(NamedTuple):
    """All rodes of the own boat."""

    nodes: FloatArray  # [rodes, NODE_CAP, NODE_COLS]
    lines: FloatArray  # [rodes, LINE_COLS]
    anchors: FloatArray  # [rodes, ANCHOR_COLS]
    params: FloatArray  # [rodes, LINE_PARAM_COLS]
    memory: FloatArray  # [rodes, MEMORY_COLS]


class Watch(NamedTuple):
    """What the watch is called by and what it has seen."""

    watch: FloatArray  # [WATCH_COLS]
    rung: FloatArray  # [4, RUNG_COLS]
    places: FloatArray  # [PLACE_COLS]


class Seen(NamedTuple):
    """What a run of steps brought about, as bits of ``detect``: scratch, empty at its start."""

    world: IntArray  # [2] bits; what is no longer physical: -1 nothing, 100 + boat, 1000 + rode
    rodes: IntArray  # [rodes, SEEN_COLS]
    boats: IntArray  # [boats]
    orders: IntArray  # [1] which of the watch's orders called
    found: FloatArray  # [FOUND_COLS] what they looked at


class Flat(NamedTuple):
    """Everything, in the order in which it is handed over."""

    # state
    clock: IntArray
    boats: FloatArray
    control: FloatArray
    shafts: FloatArray
    lines: FloatArray
    nodes: FloatArray
    anchors: FloatArray
    fleet: FloatArray
    episodes: FloatArray
    acts: IntArray
    places: FloatArray
    memory: FloatArray
    faults: FloatArray
    near: IntArray
    watch: FloatArray
    rung: FloatArray
    # parameters: boats
    hulls: FloatArray
    foils: FloatArray
    rudders: FloatArray
    shaft_params: FloatArray
    limits: FloatArray
    answers: FloatArray  # of the own hull to the waves
    tables: FloatArray
    pulls: FloatArray
    # rodes
    line_params: FloatArray
    anchor_params: FloatArray
    on_bottoms: FloatArray
    draws: FloatArray
    # bay
    raster: FloatArray
    depth: FloatArray
    bottom: IntArray
    bottoms: FloatArray
    snags: FloatArray
    noise: FloatArray
    shore: FloatArray
    # wind
    wind: FloatArray
    gusts: FloatArray
    veers: FloatArray
    falls: FloatArray
    planned: FloatArray
    lee: FloatArray
    lee_raster: FloatArray
    # water
    tide: FloatArray
    stream: FloatArray
    eddies: FloatArray
    formed: FloatArray
    eddy_raster: FloatArray
    waves: FloatArray
    fetch: FloatArray
    fetch_raster: FloatArray
    fix_phases: FloatArray
    # scratch
    roller: FloatArray
    legs: FloatArray
    work: FloatArray
    seen_world: IntArray
    seen_rodes: IntArray
    seen_boats: IntArray
    seen_orders: IntArray
    found: FloatArray
    # log
    log: FloatArray
