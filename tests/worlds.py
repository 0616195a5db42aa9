"""Small worlds for tests, built in code: a flat bay, a steady wind, one or two boats."""

import math
from dataclasses import replace

import numpy as np

from sim.base.units import SUBMERGED_STEEL, TICK_HZ, mps, rad
from sim.core import world as wd
from sim.core.events import Event
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.core.step import advance
from sim.core.tick import log_step
from sim.core.world import World
from sim.model import layout as lay
from sim.model.air import wind
from sim.model.hull import engine, hull, rudder
from sim.model.params import (
    Bay,
    Boat,
    Neighbour,
    Particulars,
    Rode,
    Rudder,
    Shaft,
    Start,
    Water,
    Weather,
    WorldParams,
)

SLOOP = Particulars(
    kind="fin", loa_m=12.0, lwl_m=10.8, beam_m=3.9, hull_beam_m=3.3, hulls=1, canoe_draught_m=0.58, mass_kg=9000.0,
    gyradius=0.25, draught_m=2.03, keel_x_m=0.05, keel_chord_m=1.7, keel_span_m=1.45, keels=1,
    keel_centre_of_pressure=0.25, wetted_m2=37.0, residuary=0.018, astern_resistance=1.5, yaw_damping=0.01,
    fouling=1.0, cross_flow=1.0, frontal_m2=12.0, lateral_m2=30.0, windage_x_m=0.10, cd_bow=0.80, cd_stern=0.75,
    cd_beam=0.95, cross_force=0.6,
    roller_x_m=6.3, roller_height_m=1.5, bridle_half_m=0.0, mast_height_m=16.0, antenna_x_m=-5.0, sounder_x_m=1.0,
    sounder_below_surface_m=0.5,
)  # fmt: skip
TWIN = replace(
    SLOOP, kind="twin", loa_m=12.5, lwl_m=12.2, beam_m=7.0, hull_beam_m=1.5, hulls=2, canoe_draught_m=0.62,
    mass_kg=12500.0, gyradius=0.29, draught_m=1.22, keel_x_m=-0.30, keel_chord_m=3.4, keel_span_m=0.60, keels=2,
    keel_centre_of_pressure=0.12, wetted_m2=56.0, residuary=0.013, astern_resistance=1.3, frontal_m2=26.0,
    lateral_m2=42.0, cd_bow=0.75, roller_x_m=5.9, bridle_half_m=2.6,
)  # fmt: skip
SLOOP_SHAFT = Shaft(-3.9, 0.0, 30e3, 0.45, 0.30, 6.4, 22.7, 0.65, 0.64, 0.25, 0.22, 1)
TWIN_SHAFTS = (
    Shaft(-4.2, -2.6, 30e3, 0.43, 0.28, 6.4, 22.7, 0.60, 0.60, 0.12, 0.0, 1),
    Shaft(-4.2, 2.6, 30e3, 0.43, 0.28, 6.4, 22.7, 0.60, 0.60, 0.12, 0.0, -1),
)
SLOOP_RUDDER = Rudder(-4.9, 0.0, 0.85, 1.35, 1.0)
TWIN_RUDDERS = (Rudder(-5.4, -2.6, 0.42, 0.90, 1.0), Rudder(-5.4, 2.6, 0.42, 0.90, 1.0))
SAND = np.array([[0.74, 3.0, 0.5, 0.05, 1.0, 1.0, 0.0, 1.5, 0.5]])


def boat(p: Particulars = SLOOP) -> Boat:
    """Return the sloop, or the twin hull where her particulars are given."""
    shafts = TWIN_SHAFTS if p.hulls == 2 else (SLOOP_SHAFT,)
    rudders = TWIN_RUDDERS if p.hulls == 2 else (SLOOP_RUDDER,)
    packed, foils = hull.pack(p, shafts, rudders)
    half, side = p.loa_m / 2.0, p.beam_m / 2.0
    outline = [[half, 0.0], [0.5 * half, 0.85 * side], [-0.4 * half, side], [-half, 0.75 * side]]
    outline += [[-half, -0.75 * side], [-0.4 * half, -side], [0.5 * half, -0.85 * side]]
    return Boat(
        name=p.kind,
        title=p.kind,
        particulars=p,
        hull=packed,
        foils=foils,
        rudders=rudder.pack(rudders, shafts[0].diameter_m),
        shafts=engine.pack(shafts),
        shaft_count=len(shafts),
        max_rudder_rad=rad(35.0),
        rudder_rate_radps=rad(20.0),
        thruster_n=0.0,
        outline_m=np.array(outline),
        snubber_length_m=8.0,
    )


def rode(chain_mm: float = 10.0, carried_m: float = 80.0, hold_n: float = 7000.0, mass_kg: float = 20.0) -> Rode:
    """Return a chain rode with a scoop anchor."""
    line = np.zeros(lay.LINE_PARAM_COLS)
    per_m = 2.3 if chain_mm == 10.0 else 0.022 * chain_mm**2
    line[lay.LP_MASS] = per_m
    line[lay.LP_WEIGHT] = per_m * 9.80665 * SUBMERGED_STEEL
    line[lay.LP_EA] = 0.854e11 * (chain_mm / 1000.0) ** 2
    line[lay.LP_DIAMETER] = chain_mm / 1000.0
    line[lay.LP_CARRIED] = carried_m
    line[lay.LP_SEGMENT] = 1.0
    line[lay.LP_BITTER_FAST] = 1.0
    line[lay.LP_SNUB_EA] = 90e3
    line[lay.LP_MOTOR_RATE] = 20.0 / 60.0
    line[lay.LP_MOTOR_STALL] = 5000.0
    line[lay.LP_CLUTCH] = 4000.0
    line[lay.LP_STOPPER_LIMIT] = 30e3
    line[lay.LP_ROLLER_Z] = 1.5
    line[lay.LP_LEADER] = carried_m
    line[lay.LP_LEAD_X] = SLOOP.roller_x_m
    line[lay.LP_SNUB_BREAK] = 40e3
    line[lay.LP_DRAG_NORMAL], line[lay.LP_DRAG_TANGENT] = 2.4, 1.15
    anchor = np.array([mass_kg, mass_kg * 9.80665 * SUBMERGED_STEEL, 0.35, 0.12, 0.8, 0.0, 0.51, 0.08, 1.0, 0.45])
    return Rode(chain_mm, line, "scoop", anchor, np.array([[hold_n, 1.0]]))


def bay(depth_m: float = 5.0, shores: tuple = ()) -> Bay:
    """Return a flat bay of sand, 1000 m square, with the middle at the origin."""
    return Bay(
        name="flat",
        title="Flat",
        raster=np.array([-500.0, -500.0, 10.0]),
        depth_m=np.full((101, 101), depth_m),
        bottom=np.zeros((101, 101), np.int64),
        bottom_letters=("S",),
        bottoms=SAND,
        shores=shores,
        patches=(),
        marks=(),
        zones=(),
        soundings=np.zeros((0, 3)),
        noise=np.zeros((64, 64)),
    )


def steady(speed_kn: float, from_deg: float = 0.0) -> Weather:
    """Return a wind without gusts."""
    return wind.pack(1, mps(speed_kn), rad(from_deg), 0.0, 0.0)


def gusty(speed_kn: float, seed: int = 1, from_deg: float = 0.0) -> Weather:
    """Return an ordinary gusty wind."""
    return wind.pack(seed, mps(speed_kn), rad(from_deg), 0.13, rad(6.0))


def params(**changes: object) -> WorldParams:
    """Return a calm flat world with the sloop at rest at the origin, heading north, changed as asked."""
    base = WorldParams(
        seed=1,
        boat=boat(),
        rodes=(rode(),),
        bay=bay(),
        weather=steady(0.0),
        water=Water(tide=np.array([[0.0, 0.0]]), stream=np.array([[0.0, 0.0, 0.0]])),
        neighbours=(),
        start=Start(0.0, 0.0, 0.0, 0.0),
    )
    made: WorldParams = replace(base, **changes)  # type: ignore[arg-type]
    for held in made.rodes:
        held.line[lay.LP_BRIDLE_Y] = made.boat.particulars.bridle_half_m
    return made


def world(**changes: object) -> World:
    """Return a built world; see ``params``."""
    return wd.build(params(**changes))


def neighbour(north_m: float, east_m: float, rode_m: float = 30.0, p: Particulars = SLOOP) -> Neighbour:
    """Return a neighbour on 10 mm chain with her anchor at a place."""
    return Neighbour("Plover", boat(p), north_m, east_m, "chain", rode_m, 19.6, 8.5e6, 8.0, 90e3, 1.5)


def heading_deg(w: World, i: int = 0) -> float:
    """Return a boat's heading in degrees, -180..180."""
    return math.degrees(math.remainder(w.state.boats[i, lay.B_HEADING], 2 * math.pi))


def run(w: World, for_s: float, *orders: Command) -> list[Event]:
    """Give orders, let time pass, and return what happened."""
    happened = advance(w, orders)
    for _ in range(round(for_s * TICK_HZ) - 1):
        happened += advance(w, ())
    return happened


def log_now(w: World) -> None:
    """Let the log of a world that a test has changed by hand say what there is now, in one row."""
    s = w.state
    log_step(s.boats[0], s.lines[0], s.anchors[0], s.shafts, w.log.rows[0])
    w.log.count, w.log.every_ticks = 1, 1


def let_go(w: World, out_m: float, lever: float = -0.1) -> list[Event]:
    """Let go, make sternway over the chain as it runs, and check it at a length; return what happened."""
    happened = run(w, 4.0, cmd.Brake(grip=0.0))
    happened += advance(w, [cmd.Engine(lever=lever), cmd.Brake(grip=0.9)])
    limit = w.state.tick + 300 * TICK_HZ
    while w.state.lines[0, lay.L_OUT] < out_m and w.state.tick < limit:
        # A hand on the brake: no faster than she makes sternway, or it heaps.
        running = float(w.state.lines[0, lay.L_RATE])
        free = running < 0.1 - float(w.state.boats[0, lay.B_SURGE])
        happened += advance(w, [cmd.Brake(grip=0.0 if free else 0.4)])
    return happened + advance(w, [cmd.Brake(grip=1.0), cmd.Engine(lever=0.0)])


def lying_back(p: Particulars = SLOOP, wind_kn: float = 22.0, out_m: float = 35.0) -> World:
    """Return a boat that has laid and dug her anchor and lies to it in a steady wind from the north."""
    w = world(boat=boat(p), weather=steady(wind_kn))
    let_go(w, out_m)
    run(w, 60.0)
    for lever in (-0.1, -0.3, -0.5):
        run(w, 20.0, cmd.Engine(lever=lever))
    run(w, 90.0, cmd.Engine(lever=0.0))
    return w
