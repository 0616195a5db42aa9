"""A world: parameters that never change, the state that does, and what the kernels need of both."""

import math
from dataclasses import dataclass, replace

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.frames import to_world
from sim.core import state as st
from sim.core.state import State
from sim.model import fleet, water, wind
from sim.model import layout as lay
from sim.model.chain_forces import WORK_COLS
from sim.model.fix import WANDER_PERIODS_S, fix_error_m
from sim.model.params import Neighbour, Water, Weather, WorldParams

VEER_DRAWS = 64
SETTLE_STEPS, SETTLE_DT_S = 1200, 0.1  # other boats find their lie before the exercise begins


@dataclass(frozen=True)
class Packed:
    """Constants of every boat, row 0 the own one, and scratch that carries nothing from tick to tick."""

    hulls: FloatArray  # [boats, HULL_COLS]
    foils: FloatArray  # [boats, MAX_FOILS, FOIL_COLS]
    rudders: FloatArray  # [boats, MAX_RUDDERS, RUDDER_COLS]
    limits: FloatArray  # [3] most rudder angle, rudder rate, thruster push
    tables: FloatArray  # [boats, 2, TABLE_POINTS]
    shore: FloatArray  # [k, 4] shore segments: north, east, north, east
    veer_draws: FloatArray  # [VEER_DRAWS]
    outlines: tuple[FloatArray, ...]
    roller: FloatArray  # [3] scratch
    no_legs: FloatArray  # [0, 3]
    legs: FloatArray  # [1 or 2, 3] scratch
    work: FloatArray  # [NODE_CAP, WORK_COLS] scratch
    fix_phases: FloatArray  # [2, 3] of the receiver's error


@dataclass(frozen=True)
class World:
    """One run's world. Only ``core.step.advance`` lets time pass in it."""

    params: WorldParams
    packed: Packed
    state: State


def _shore_segments(params: WorldParams) -> FloatArray:
    rows = [
        [*polygon[i], *polygon[(i + 1) % len(polygon)]] for polygon in params.bay.shores for i in range(len(polygon))
    ]
    return np.array(rows, dtype=float).reshape(-1, 4)


def _depth_here(params: WorldParams, north_m: float, east_m: float, tide_m: float) -> float:
    return water.charted_depth_m(north_m, east_m, params.bay.raster, params.bay.depth_m) + tide_m


def _rode_tables(params: WorldParams, n: Neighbour) -> tuple[FloatArray, float, float]:
    """Return a neighbour's pull tables at low and high water, with the roller's height above the bed at each."""
    heights = params.water.tide[:, 1]
    low, high = float(heights.min()), float(heights.max())
    compliance = n.rode_m / n.ea_n + (n.snubber_m / n.snubber_ea_n if n.snubber_m > 0.0 else 0.0)
    rows = []
    levels = []
    for tide_m in (low, high):
        depth = _depth_here(params, n.anchor_north_m, n.anchor_east_m, tide_m)
        height = max(depth + n.roller_height_m, 0.5)
        rows.append(fleet.rode_table(height, n.rode_m, n.weight_n_per_m, compliance))
        levels.append(height)
    return np.array(rows), levels[0], levels[1]


def _pack(params: WorldParams) -> Packed:
    boats = [params.boat, *(n.boat for n in params.neighbours)]
    tables = np.zeros((len(boats), 2, lay.TABLE_POINTS))
    for i, n in enumerate(params.neighbours, start=1):
        tables[i], _, _ = _rode_tables(params, n)
    legs = 2 if params.boat.particulars.bridle_half_m > 0.0 else 1
    return Packed(
        hulls=np.array([b.hull for b in boats]),
        foils=np.array([b.foils for b in boats]),
        rudders=np.array([b.rudders for b in boats]),
        limits=np.array([params.boat.max_rudder_rad, params.boat.rudder_rate_radps, params.boat.thruster_n]),
        tables=tables,
        shore=_shore_segments(params),
        veer_draws=rng.uniforms(params.seed, "veer draw", VEER_DRAWS),
        outlines=tuple(b.outline_m for b in boats),
        roller=np.zeros(3),
        no_legs=np.zeros((0, 3)),
        legs=np.zeros((legs, 3)),
        work=np.zeros((lay.NODE_CAP, WORK_COLS)),
        fix_phases=(2.0 * math.pi) * rng.uniforms(params.seed, "gnss", 2 * len(WANDER_PERIODS_S)).reshape(2, -1),
    )


def _place_own(params: WorldParams, s: State) -> None:
    own = s.boats[0]
    own[lay.B_NORTH], own[lay.B_EAST] = params.start.north_m, params.start.east_m
    own[lay.B_HEADING] = params.start.heading_rad % (2.0 * math.pi)
    own[lay.B_SURGE] = params.start.speed_mps
    s.shafts[:, lay.S_RPS] = params.boat.shafts[:, lay.SP_IDLE_RPS]
    s.lines[:, lay.L_BRAKE] = 1.0
    s.lines[:, lay.L_HOOK] = s.lines[:, lay.L_CROSSED] = -1.0
    s.lines[:, lay.L_COUNTER_SCALE] = 1.0


def _place_neighbours(params: WorldParams, s: State) -> None:
    """Lay every neighbour back from her anchor, along the wind, at nearly the full reach of her rode."""
    from_rad = float(params.weather.wind[lay.W_FROM])
    for i, n in enumerate(params.neighbours, start=1):
        _, low, high = _rode_tables(params, n)
        roller = n.boat.particulars.roller_x_m
        back = 0.85 * math.sqrt(max(n.rode_m**2 - high**2, 0.0)) + roller
        s.boats[i, lay.B_NORTH] = n.anchor_north_m - back * math.cos(from_rad)
        s.boats[i, lay.B_EAST] = n.anchor_east_m - back * math.sin(from_rad)
        s.boats[i, lay.B_HEADING] = from_rad % (2.0 * math.pi)
        s.fleet[i] = [
            n.anchor_north_m,
            n.anchor_east_m,
            n.rode_m,
            n.weight_n_per_m,
            0.7 if n.rode_kind == "chain" else 0.3,
            low,
            high,
            0.0,
            0.0,
        ]


def observe_weather(world: World) -> None:
    """Write wind, stream, depth and grounding at every boat into the state, for the present tick."""
    p, s = world.params, world.state
    t_s = s.tick / 60.0
    w = p.weather
    wind.blow(s.boats, t_s, w.wind, w.gusts, w.veers, s.episodes, int(s.clock[st.K_EPISODES]))
    observe_water(world)


def tide_m(world: World) -> float:
    """Return the height of tide now [m above datum]."""
    return water.tide_height_m(world.state.tick / 60.0, world.params.water.tide)


def fix(world: World) -> tuple[float, float]:
    """Return the receiver's fix of the own boat's antenna now, north and east [m], with its error."""
    own = world.state.boats[0]
    n, e = to_world(world.params.boat.particulars.antenna_x_m, 0.0, float(own[lay.B_HEADING]))
    off_n, off_e = fix_error_m(world.state.tick / 60.0, world.packed.fix_phases)
    return float(own[lay.B_NORTH]) + n + off_n, float(own[lay.B_EAST]) + e + off_e


def observe_water(world: World) -> None:
    """Write stream, depth and grounding at every boat into the state, for the present tick."""
    p, s = world.params, world.state
    stream_n, stream_e = water.stream_at(s.tick / 60.0, p.water.stream)
    bay = p.bay
    water.float_boats(s.boats, world.packed.hulls, tide_m(world), stream_n, stream_e, bay.raster, bay.depth_m)


def _settle(world: World) -> None:
    """Let the other boats find their lie in the wind of the first moment."""
    s, k = world.state, world.packed
    if len(s.boats) == 1:
        return
    for _ in range(SETTLE_STEPS):
        fleet.advance_fleet(s.boats, k.hulls, k.foils, k.rudders, s.fleet, k.tables, fleet.PULLS_N, SETTLE_DT_S)


def _own_arrays(params: WorldParams) -> WorldParams:
    """Return the parameters with arrays of the world's own, all of one memory layout: one compiled kernel fits all."""
    b = params.bay
    bay = replace(
        b,
        raster=np.array(b.raster),
        depth_m=np.array(b.depth_m),
        bottom=np.array(b.bottom),
        bottoms=np.array(b.bottoms),
        noise=np.array(b.noise),
    )
    weather = Weather(*(np.array(a) for a in (params.weather.wind, params.weather.gusts, params.weather.veers)))
    water_of_it = Water(np.array(params.water.tide), np.array(params.water.stream))
    rodes = tuple(
        replace(r, line=np.array(r.line), anchor=np.array(r.anchor), anchor_on_bottom=np.array(r.anchor_on_bottom))
        for r in params.rodes
    )
    boat = replace(params.boat, shafts=np.array(params.boat.shafts))
    return replace(params, bay=bay, weather=weather, water=water_of_it, rodes=rodes, boat=boat)


def build(params: WorldParams) -> World:
    """Return the world at tick 0: the own boat at her start, the others lying to their rodes."""
    params = _own_arrays(params)
    s = st.empty(1 + len(params.neighbours), len(params.rodes))
    world = World(params=params, packed=_pack(params), state=s)
    _place_own(params, s)
    _place_neighbours(params, s)
    observe_weather(world)
    _settle(world)
    observe_weather(world)
    return world
