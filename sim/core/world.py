"""A world: parameters that never change, the state that does, and what the kernels need of both."""

import math
from dataclasses import dataclass, replace
from typing import cast

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray, IntArray
from sim.base.frames import to_world
from sim.base.units import DT_S
from sim.core import state as st
from sim.core.clock import LIVE
from sim.core.detect import FOUND_COLS, SEEN_COLS
from sim.core.groups import LOG_COLS, MOST_TICKS, Flat
from sim.core.state import State
from sim.model import fleet, ground
from sim.model import layout as lay
from sim.model.air import wind
from sim.model.fix import WANDER_PERIODS_S, fix_of
from sim.model.groups import Builds
from sim.model.params import Neighbour, Second, Water, Weather, WorldParams
from sim.model.tackle.chain_forces import WORK_COLS
from sim.model.tackle.ground_chain import lay_straight
from sim.model.water import water, waves

VEER_DRAWS = 64
LIE_ASIDE_RAD = math.radians(6.0)  # how far aside of the wind the others are laid at first (judgement)
ROPE_FRICTION = 0.3  # of a rope over the bed (judgement)
SETTLE_STEPS, SETTLE_DT_S = 1200, 0.1  # other boats find their lie before the exercise begins


@dataclass(frozen=True)
class Constants:
    """Parameters as the kernels take them: of every boat, row 0 the own one, and of every rode."""

    builds: Builds
    answers: FloatArray  # [COMPONENTS, WAVE_SECTORS, RESPONSE_COLS] of the own hull to the waves
    tables: FloatArray  # [boats, TABLE_ROWS, TABLE_POINTS]
    lines: FloatArray  # [rodes, LINE_PARAM_COLS]
    anchors: FloatArray  # [rodes, ANCHOR_PARAM_COLS]
    on_bottoms: FloatArray  # [rodes, bottoms, ANCHOR_BOTTOM_COLS]
    draws: FloatArray  # [VEER_DRAWS]
    shore: FloatArray  # [k, 4] shore segments: north, east, north, east
    outlines: tuple[FloatArray, ...]
    fix_phases: FloatArray  # [2, 3] of the receiver's error

    @property
    def hulls(self) -> FloatArray:
        """``float64[boats, HULL_COLS]``."""
        return self.builds.hulls


@dataclass(frozen=True)
class Scratch:
    """Carries nothing from step to step: where the kernels write what is read at once."""

    roller: FloatArray  # [3]
    legs: FloatArray  # [1 or 2, 3]
    no_legs: FloatArray  # [0, 3]
    work: FloatArray  # [NODE_CAP, WORK_COLS]
    world: IntArray  # [2] what happened, as bits of ``detect``; what is no longer physical
    rodes: IntArray  # [rodes, SEEN_COLS] the same of each rode
    boats: IntArray  # [boats] and of each other boat
    orders: IntArray  # [1] which of the watch's orders called
    found: FloatArray  # [FOUND_COLS] what they looked at


@dataclass
class Log:
    """What the last run of steps saw, a row for each step of the own boat."""

    rows: FloatArray  # [MOST_TICKS, LOG_COLS]
    count: int = 0
    every_ticks: int = 1  # from one row to the next

    @property
    def last(self) -> FloatArray:
        """``float64[count, LOG_COLS]``: the rows in use."""
        return self.rows[: self.count]


@dataclass(frozen=True)
class World:
    """One run's world: what never changes, what does, and what is written afresh. ``core.step`` lets time pass in it.

    ``flat`` is all of it in one tuple, in the order of ``core.groups.Flat``.
    """

    params: WorldParams
    constants: Constants
    state: State
    scratch: Scratch
    log: Log
    flat: Flat


def _shore_segments(params: WorldParams) -> FloatArray:
    rows = [
        [*polygon[i], *polygon[(i + 1) % len(polygon)]] for polygon in params.bay.shores for i in range(len(polygon))
    ]
    return np.array(rows, dtype=float).reshape(-1, 4)


def _depth_here(params: WorldParams, north_m: float, east_m: float, tide_m: float) -> float:
    return water.charted_depth_m(north_m, east_m, params.bay.raster, params.bay.depth_m) + tide_m


def _heights_m(params: WorldParams, north_m: float, east_m: float, roller_m: float) -> tuple[float, float]:
    """Return how high a roller is above the bed of a place at the lowest and at the highest water."""
    levels = params.water.tide[:, 1]
    low, high = (_depth_here(params, north_m, east_m, float(t)) + roller_m for t in (levels.min(), levels.max()))
    return max(low, 0.5), max(high, 0.5)


def _rode_tables(params: WorldParams, n: Neighbour) -> tuple[FloatArray, float, float]:
    """Return a neighbour's pull tables at low and high water, with the roller's height above the bed at each."""
    low, high = _heights_m(params, n.anchor_north_m, n.anchor_east_m, n.roller_height_m)
    compliance = n.rode_m / n.ea_n + (n.snubber_m / n.snubber_ea_n if n.snubber_m > 0.0 else 0.0)
    rows = [fleet.rode_table(height, n.rode_m, n.weight_n_per_m, compliance) for height in (low, high)]
    return np.array(rows), low, high


def _second_heights_m(params: WorldParams, n: Neighbour, second: Second) -> tuple[float, float]:
    """Return the same for what else holds her; a line ashore leads level."""
    if second.from_stern:
        return 1.0, 1.0
    return _heights_m(params, second.north_m, second.east_m, n.roller_height_m)


def _second_tables(params: WorldParams, n: Neighbour, second: Second) -> FloatArray:
    heights = _second_heights_m(params, n, second)
    compliance = second.length_m / second.ea_n
    rows = [fleet.rode_table(height, second.length_m, second.weight_n_per_m, compliance) for height in heights]
    return np.array(rows)


def _constants(params: WorldParams) -> Constants:
    boats = [params.boat, *(n.boat for n in params.neighbours)]
    tables = np.zeros((len(boats), lay.TABLE_ROWS, lay.TABLE_POINTS))
    for i, n in enumerate(params.neighbours, start=1):
        tables[i, :2], _, _ = _rode_tables(params, n)
        if n.second is not None:
            tables[i, 2:] = _second_tables(params, n, n.second)
    return Constants(
        builds=Builds(
            np.array([b.hull for b in boats]), np.array([b.foils for b in boats]), np.array([b.rudders for b in boats])
        ),
        answers=waves.responses(params.boat.hull, params.water.waves),
        tables=tables,
        lines=np.array([r.line for r in params.rodes]),
        anchors=np.array([r.anchor for r in params.rodes]),
        on_bottoms=np.array([r.anchor_on_bottom for r in params.rodes]),
        draws=rng.uniforms(params.seed, "veer draw", VEER_DRAWS),
        shore=_shore_segments(params),
        outlines=tuple(b.outline_m for b in boats),
        fix_phases=(2.0 * math.pi) * rng.uniforms(params.seed, "gnss", 2 * len(WANDER_PERIODS_S)).reshape(2, -1),
    )


def _scratch(params: WorldParams) -> Scratch:
    legs = 2 if params.boat.particulars.bridle_half_m > 0.0 else 1
    i = np.int64
    return Scratch(
        roller=np.zeros(3),
        legs=np.zeros((legs, 3)),
        no_legs=np.zeros((0, 3)),
        work=np.zeros((lay.NODE_CAP, WORK_COLS)),
        world=np.zeros(2, i),
        rodes=np.zeros((len(params.rodes), SEEN_COLS), i),
        boats=np.zeros(1 + len(params.neighbours), i),
        orders=np.zeros(1, i),
        found=np.zeros(FOUND_COLS),
    )


def _flat(p: WorldParams, k: Constants, s: State, scratch: Scratch, log: Log) -> Flat:
    """Return all arrays as the plain tuple that is quickest to hand over, in the order of ``Flat``."""
    bay, water = p.bay, p.water
    named = Flat(
        s.clock, s.boats, s.control, s.shafts, s.lines, s.nodes, s.anchors, s.fleet, s.episodes, s.acts, s.places,
        s.memory, s.faults, s.near, s.watch, s.rung,
        *k.builds, p.boat.shafts, p.boat.build.limits, k.answers, k.tables, fleet.PULLS_N,
        k.lines, k.anchors, k.on_bottoms, k.draws,
        bay.raster, bay.depth_m, bay.bottom, bay.bottoms, bay.snags, bay.noise, k.shore,
        *p.weather.air, water.tide, *water.streams, *water.swell, k.fix_phases,
        scratch.roller, scratch.legs, scratch.work, scratch.world, scratch.rodes, scratch.boats, scratch.orders,
        scratch.found, log.rows,
    )  # fmt: skip
    return cast(Flat, tuple(named))


def _place_own(params: WorldParams, s: State) -> None:
    own = s.boats[0]
    own[lay.B_NORTH], own[lay.B_EAST] = params.start.north_m, params.start.east_m
    own[lay.B_HEADING] = params.start.heading_rad % (2.0 * math.pi)
    own[lay.B_SURGE] = params.start.speed_mps
    s.shafts[:, lay.S_RPS] = params.boat.shafts[:, lay.SP_IDLE_RPS]
    s.lines[:, lay.L_BRAKE] = 1.0
    s.lines[:, lay.L_HOOK] = s.lines[:, lay.L_CROSSED] = -1.0
    s.lines[:, lay.L_COUNTER_SCALE] = 1.0


def _lie(params: WorldParams, n: Neighbour, high_m: float) -> tuple[float, float, float]:
    """Return (north, east, heading) of a neighbour laid back from her anchor, nearly as far as her rode reaches.

    A little to one side of the wind, by her name and the seed: exactly head to a steady wind a boat would stand still
    for ever. A line from her stern holds her on the line between its end and her anchor.
    """
    p, wind_from = n.boat.particulars, float(params.weather.wind[lay.W_FROM])
    aside, turned = rng.uniforms(params.seed, f"lie {n.name}", 2).tolist()
    from_rad = wind_from + (1.0 if aside < 0.5 else -1.0) * LIE_ASIDE_RAD * (0.5 + turned)
    north, east = n.anchor_north_m, n.anchor_east_m
    back = 0.85 * math.sqrt(max(n.rode_m**2 - high_m**2, 0.0))
    if n.second is not None and n.second.from_stern:
        from_rad = math.atan2(east - n.second.east_m, north - n.second.north_m)
        apart = math.hypot(east - n.second.east_m, north - n.second.north_m)
        back = max(back, apart - p.loa_m - 0.98 * n.second.length_m)
    elif n.second is not None:  # from the middle between two anchors, no further than either reaches
        north, east = 0.5 * (north + n.second.north_m), 0.5 * (east + n.second.east_m)
        spread = math.hypot(n.second.north_m - north, n.second.east_m - east)
        reach = min(back, 0.85 * n.second.length_m)
        back = math.sqrt(max(reach**2 - spread**2, 0.0)) * 0.5
    back += p.roller_x_m
    return north - back * math.cos(from_rad), east - back * math.sin(from_rad), from_rad % (2.0 * math.pi)


def _place_neighbour(params: WorldParams, n: Neighbour, boat: FloatArray, rode: FloatArray) -> None:
    _, low, high = _rode_tables(params, n)
    boat[lay.B_NORTH], boat[lay.B_EAST], boat[lay.B_HEADING] = _lie(params, n, high)
    rode[lay.Q_ANCHOR_N], rode[lay.Q_ANCHOR_E] = n.anchor_north_m, n.anchor_east_m
    rode[lay.Q_LENGTH], rode[lay.Q_WEIGHT] = n.rode_m, n.weight_n_per_m
    here = water.bottom_at(n.anchor_north_m, n.anchor_east_m, params.bay.raster, params.bay.bottom)
    rode[lay.Q_MU] = ROPE_FRICTION if n.rode_kind == "rope" else params.bay.bottoms[here, lay.G_FRICTION]
    lead_n, lead_e = to_world(n.boat.particulars.roller_x_m, 0.0, float(boat[lay.B_HEADING]))
    bow = float(boat[lay.B_NORTH]) + lead_n, float(boat[lay.B_EAST]) + lead_e
    lay_straight(rode[lay.Q_LINKS :], (n.anchor_north_m, n.anchor_east_m), bow, n.rode_m)
    rode[lay.Q_DEPTH_LOW], rode[lay.Q_DEPTH_HIGH] = low, high
    rode[lay.Q_HOLD], rode[lay.Q_LIT] = n.hold_n, float(n.lit)
    if n.second is not None:
        second = n.second
        rode[lay.Q_SECOND] = 2.0 if second.from_stern else 1.0
        rode[lay.Q_SECOND_N], rode[lay.Q_SECOND_E] = second.north_m, second.east_m
        rode[lay.Q_SECOND_LOW], rode[lay.Q_SECOND_HIGH] = _second_heights_m(params, n, second)
    if n.comes_from_m is not None:
        boat[lay.B_NORTH], boat[lay.B_EAST] = n.comes_from_m
        bound = math.atan2(n.anchor_east_m - n.comes_from_m[1], n.anchor_north_m - n.comes_from_m[0])
        boat[lay.B_HEADING], boat[lay.B_AWAY] = bound % (2.0 * math.pi), 1.0
        rode[lay.Q_STATE] = rode[lay.Q_TOLD] = lay.AWAY
        rode[lay.Q_ADRIFT] = 1.0


def _place_neighbours(params: WorldParams, s: State) -> None:
    for i, n in enumerate(params.neighbours, start=1):
        _place_neighbour(params, n, s.boats[i], s.fleet[i])


def observe_weather(world: World) -> None:
    """Write wind, stream, depth and grounding at every boat into the state, for the present tick."""
    p, s = world.params, world.state
    t_s = s.tick / 60.0
    wind.blow(s.boats, t_s, p.weather.air, s.episodes, int(s.clock[st.K_EPISODES]))
    observe_water(world)
    ground.feel_ground(s.boats, p.bay.raster, p.bay.bottom, p.bay.bottoms, LIVE.weather_ticks * DT_S)


def tide_m(world: World) -> float:
    """Return the height of tide now [m above datum]."""
    return water.tide_height_m(world.state.tick / 60.0, world.params.water.tide)


def fix(world: World) -> tuple[float, float]:
    """Return the receiver's fix of the own boat's antenna now, north and east [m], with its error."""
    k = world.constants
    return fix_of(world.state.boats[0], k.hulls[0], world.state.tick / 60.0, k.fix_phases)


def observe_water(world: World) -> None:
    """Write stream, depth and grounding at every boat, and the heave of the own one, for the present tick."""
    p, s = world.params, world.state
    t_s, bay = s.tick / 60.0, p.bay
    water.float_boats(s.boats, world.constants.hulls, t_s, tide_m(world), p.water.streams, bay.raster, bay.depth_m)
    s.boats[0, lay.B_HEAVE] = 0.0
    if len(p.water.waves):
        k = world.constants
        blows = wind.slow_wind(t_s, p.weather.air, s.episodes, int(s.clock[st.K_EPISODES]))
        waves.ride(s.boats[0], k.hulls[0], k.answers, p.water.swell, blows, t_s, 0.0)


def _settle(world: World) -> None:
    """Let the other boats find their lie in the wind of the first moment."""
    s, k = world.state, world.constants
    if len(s.boats) == 1:
        return
    for _ in range(SETTLE_STEPS):
        fleet.advance_fleet(s.boats, k.builds, s.fleet, k.tables, fleet.PULLS_N, SETTLE_DT_S)


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
        snags=np.array(b.snags),
    )
    weather = Weather(*(np.array(a) for a in params.weather.air))
    w = params.water
    water_of_it = Water(*(np.array(a) for a in (w.tide, *w.streams, *w.swell)))
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
    constants, scratch, log = _constants(params), _scratch(params), Log(np.zeros((MOST_TICKS, LOG_COLS)))
    world = World(params, constants, s, scratch, log, _flat(params, constants, s, scratch, log))
    _place_own(params, s)
    _place_neighbours(params, s)
    observe_weather(world)
    _settle(world)
    observe_weather(world)
    return world
