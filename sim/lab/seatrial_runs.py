"""Sea trials: one boat, deep calm water, steady wind, and the figures an instructor would take with watch and log.

Each trial is a run of the laws alone, without a bay. The anchored ones use the law of the other boats at anchor.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from sim.base.arrays import FloatArray
from sim.base.units import DT_S, TICK_HZ, deg, knots, mps, rad
from sim.core.state import FAULT_COLS
from sim.model import fleet
from sim.model import layout as lay
from sim.model.groups import Builds, Helm
from sim.model.hull import boat as law
from sim.model.hull import engine, hull
from sim.model.params import Boat
from sim.scenario.read import tackle
from sim.scenario.read.boat import ROPE_EA_N, ROPE_WEIGHT_N_PER_M, build_boat
from sim.scenario.schema.base import BoatFile

DEEP_M = 30.0
IDLE, THIRD, HALF, FULL = 0.06, 0.33, 0.5, 1.0
ANCHORED_M, SCOPE, ANCHORED_DT_S = 6.5, 5.0, 1.0 / 30.0
STREAM_WIND_KN = 12.0

BoolArray: TypeAlias = NDArray[np.bool_]
Trial = Callable[[BoatFile, Boat], dict[str, float]]
Done = Callable[[FloatArray], BoolArray]  # of logged rows: which of them end the trial


@dataclass
class Afloat:
    """A boat under way in deep water; stream still, wind steady from north."""

    boat: Boat
    row: FloatArray
    shafts: FloatArray
    control: FloatArray

    def sail(self, for_s: float) -> FloatArray:
        """Sail on and return her rows, one a tick."""
        log = np.zeros((round(for_s * TICK_HZ), lay.BOAT_COLS))
        helm = Helm(self.control, self.shafts, np.zeros(FAULT_COLS))
        law.sail_free(self.row, helm, np.zeros((1, lay.LINE_COLS)), self.boat.build, DT_S, log)
        return log

    def until(self, done: Done, limit_s: float = 300.0) -> tuple[float, FloatArray]:
        """Sail until a row is ``done``; return (seconds, that row), or (nan, the last row) after ``limit_s``."""
        for began in range(0, round(limit_s), 5):
            log = self.sail(5.0)
            over = np.flatnonzero(done(log))
            if len(over):
                return began + (over[0] + 1) / TICK_HZ, log[over[0]]
        return math.nan, self.row

    def order(self, *levers: float, helm_deg: float = 0.0) -> None:
        """Set the levers (one for all shafts, or one each) and the helm."""
        self.shafts[: self.boat.shaft_count, lay.S_LEVER] = levers
        self.control[lay.C_RUDDER_ORDER] = rad(helm_deg)


def steady_lever(boat: Boat, speed_mps: float) -> float:
    """Return the lever that holds a speed ahead, 0.051 to 1."""
    low, high = 0.051, 1.0
    for _ in range(30):
        lever = 0.5 * (low + high)
        push = sum(
            engine.thrust_n(speed_mps, 1.0, engine.shaft_rps(lever, s), s) for s in boat.shafts[: boat.shaft_count]
        )
        if push < hull.resistance_n(speed_mps, 0.0, boat.hull):
            low = lever
        else:
            high = lever
    return high


def afloat(boat: Boat, heading_deg: float = 0.0, wind_kn: float = 0.0, speed_kn: float = 0.0) -> Afloat:
    """Return a boat at rest in neutral, or running steadily ahead under engine at ``speed_kn``."""
    row, shafts = np.zeros(lay.BOAT_COLS), np.zeros((lay.MAX_SHAFTS, lay.SHAFT_COLS))
    row[lay.B_HEADING], row[lay.B_WIND_N] = rad(heading_deg) % (2.0 * math.pi), -mps(wind_kn)
    row[lay.B_DEPTH], row[lay.B_SURGE] = DEEP_M, mps(speed_kn)
    running = slice(0, boat.shaft_count)
    shafts[running, lay.S_RPS] = boat.shafts[running, lay.SP_IDLE_RPS]
    if speed_kn > 0.0:
        lever = steady_lever(boat, mps(speed_kn))
        shafts[running, lay.S_LEVER], shafts[running, lay.S_GEAR] = lever, 1.0
        shafts[running, lay.S_RPS] = [engine.shaft_rps(lever, s) for s in boat.shafts[running]]
    return Afloat(boat, row, shafts, np.zeros(lay.CONTROL_COLS))


def _slower(speed_kn: float) -> Done:
    return lambda log: log[:, lay.B_SURGE] <= mps(speed_kn)


def _run_m(row: FloatArray) -> float:
    return float(math.hypot(row[lay.B_NORTH], row[lay.B_EAST]))


def _angle_deg(angle_rad: float) -> float:
    return deg(math.remainder(angle_rad, 2.0 * math.pi))


def speed_kn(boat: Boat, lever: float) -> float:
    """Return the speed she settles to under a lever, in knots, + ahead."""
    a = afloat(boat)
    a.order(lever)
    a.sail(240.0)
    return knots(a.row[lay.B_SURGE])


def coast_m(boat: Boat, from_kn: float) -> float:
    """Return the metres she runs on in neutral from a speed down to one knot."""
    a = afloat(boat, speed_kn=from_kn)
    a.order(0.0)
    return _run_m(a.until(_slower(1.0), 600.0)[1])


def stop(boat: Boat, from_kn: float, lever: float) -> tuple[float, float]:
    """Return (seconds, metres) from a steady speed until she has stopped, the lever put astern at once."""
    a = afloat(boat, speed_kn=from_kn)
    a.order(lever)
    took_s, row = a.until(_slower(0.0))
    return took_s, _run_m(row)


def walk_deg(boat: Boat, lever: float) -> float:
    """Return the degrees she turns in ten seconds astern from rest, + bow to starboard."""
    a = afloat(boat)
    a.order(lever)
    a.sail(10.0)
    return _angle_deg(a.row[lay.B_HEADING])


def bow_off_s(boat: Boat, wind_kn: float, to_deg: float) -> float:
    """Return the seconds from rest 10 degrees off the wind until her head is ``to_deg`` off."""
    a = afloat(boat, heading_deg=10.0, wind_kn=wind_kn)
    return a.until(lambda log: log[:, lay.B_HEADING] >= rad(to_deg))[0]


def _speeds(file: BoatFile, boat: Boat) -> dict[str, float]:
    return {
        "ahead_idle_kn": speed_kn(boat, IDLE),
        "ahead_half_kn": speed_kn(boat, HALF),
        "ahead_full_kn": speed_kn(boat, FULL),
        "astern_half_kn": -speed_kn(boat, -HALF),
    }


def _pull(file: BoatFile, boat: Boat) -> dict[str, float]:
    shafts = boat.shafts[: boat.shaft_count]
    return {"pull_astern_n": -sum(engine.thrust_n(0.0, -1.0, engine.shaft_rps(-FULL, s), s) for s in shafts)}


def _stops(file: BoatFile, boat: Boat) -> dict[str, float]:
    found = {"coast_4kn_m": coast_m(boat, 4.0)}
    for name, lever in (("idle", IDLE), ("half", HALF), ("full", FULL)):
        found[f"stop_{name}_s"], found[f"stop_{name}_m"] = stop(boat, 4.0, -lever)
    return found


def _turning(file: BoatFile, boat: Boat) -> dict[str, float]:
    a = afloat(boat, speed_kn=2.0)
    a.order(THIRD, helm_deg=deg(boat.max_rudder_rad))
    end = a.sail(120.0)[-1]
    speed = math.hypot(end[lay.B_SURGE], end[lay.B_SWAY])
    found = {
        "walk_half_deg": walk_deg(boat, -HALF),
        "turn_lengths": 2.0 * speed / abs(end[lay.B_YAW_RATE]) / boat.particulars.loa_m,
    }
    if boat.shaft_count == 2:
        a = afloat(boat)
        a.order(THIRD, -THIRD)
        found["pivot_30s_deg"] = abs(deg(float(np.unwrap(a.sail(30.0)[:, lay.B_HEADING])[-1])))
    return found


def _blown(file: BoatFile, boat: Boat) -> dict[str, float]:
    found = {}
    for wind_kn in (10, 15, 25):
        for to_deg in (45, 90):
            found[f"off{to_deg}_{wind_kn}kn_s"] = bow_off_s(boat, wind_kn, to_deg)
    return found


def _sternway(file: BoatFile, boat: Boat) -> dict[str, float]:
    found = {}
    for wind_kn in (10, 15):
        a = afloat(boat, heading_deg=3.0, wind_kn=wind_kn)
        for after_s in (10, 20):
            a.sail(10.0)
            found[f"sternway_{wind_kn}kn_{after_s}s_kn"] = -knots(a.row[lay.B_SURGE])
    return found


def drifting(boat: Boat, wind_kn: float) -> tuple[float, float, float]:
    """Return (head off the wind [degrees], drift downwind [kn], way across the wind [kn]) once she lies steadily."""
    a = afloat(boat, heading_deg=10.0, wind_kn=wind_kn)
    a.sail(600.0)
    log = a.sail(120.0)
    made = (log[-1] - log[0]) / (120.0 - DT_S)
    off = float(np.mean(np.abs([_angle_deg(h) for h in log[::TICK_HZ, lay.B_HEADING]])))
    return off, -knots(made[lay.B_NORTH]), abs(knots(made[lay.B_EAST]))


def _lying(file: BoatFile, boat: Boat) -> dict[str, float]:
    found = {}
    for wind_kn in (10, 15, 25):
        off, down, across = drifting(boat, wind_kn)
        found[f"drift_{wind_kn}kn_kn"] = down
        if wind_kn == 15:
            found["lies_off_deg"], found["across_15kn_kn"] = off, across
    return found


def at_anchor(
    file: BoatFile, boat: Boat, wind_kn: float, stream_mps: tuple[float, float], heading_deg: float, for_s: float
) -> FloatArray:
    """Return her rows, two a second, lying to her own rode, five times the height; wind from north, anchor at 0, 0."""
    t = file.tackle
    height = ANCHORED_M + file.deck.roller_height_m
    length = SCOPE * height
    chain = min(t.chain_m, length) if t.rope else length
    weight = (chain * tackle.chain_weight_n_per_m(t.chain_kgpm) + (length - chain) * ROPE_WEIGHT_N_PER_M) / length
    give = chain / tackle.chain_ea_n(t.chain_mm) + (length - chain) / ROPE_EA_N + t.snubber.length_m / t.snubber.ea_n
    table = fleet.rode_table(height, length, weight, give)
    boats = np.zeros((2, lay.BOAT_COLS))
    boats[:, lay.B_WIND_N], boats[:, lay.B_DEPTH] = -mps(wind_kn), ANCHORED_M
    boats[:, lay.B_STREAM_N], boats[:, lay.B_STREAM_E] = stream_mps
    back = 0.8 * length + file.deck.roller_x_m
    boats[1, lay.B_NORTH], boats[1, lay.B_HEADING] = -back, rad(heading_deg) % (2.0 * math.pi)
    rode = np.zeros((2, lay.FLEET_COLS))
    rode[:, lay.Q_LENGTH], rode[:, lay.Q_WEIGHT], rode[:, lay.Q_MU] = length, weight, 0.7
    rode[:, lay.Q_DEPTH_LOW] = rode[:, lay.Q_DEPTH_HIGH] = height
    builds = Builds(*(np.array([part, part]) for part in (boat.hull, boat.foils, boat.rudders)))
    tables = np.array([[table] * lay.TABLE_ROWS] * 2)
    seen = []
    for _ in range(round(2.0 * for_s)):
        for _ in range(round(0.5 / ANCHORED_DT_S)):
            fleet.advance_fleet(boats, builds, rode, tables, fleet.PULLS_N, ANCHORED_DT_S)
        seen.append(boats[1].copy())
    return np.array(seen)


def _mean_deg(headings_rad: FloatArray) -> float:
    return deg(math.atan2(float(np.sin(headings_rad).mean()), float(np.cos(headings_rad).mean())))


def _anchored(file: BoatFile, boat: Boat) -> dict[str, float]:
    yaw = at_anchor(file, boat, 25.0, (0.0, 0.0), 5.0, 900.0)[600:, lay.B_HEADING]
    off = np.array([_angle_deg(h) for h in yaw])
    found = {"sheer_25kn_deg": float(0.5 * (np.quantile(off, 0.98) - np.quantile(off, 0.02)))}
    for tenths in (5, 10, 15):
        lain = at_anchor(file, boat, STREAM_WIND_KN, (0.0, mps(tenths / 10.0)), -45.0, 900.0)
        found[f"stream_{tenths:02d}kn_deg"] = -_mean_deg(lain[1200:, lay.B_HEADING])
    lain = at_anchor(file, boat, STREAM_WIND_KN, (mps(1.0), 0.0), 150.0, 900.0)
    off = np.array([_angle_deg(h - math.pi) for h in lain[1200:, lay.B_HEADING]])
    return found | {"opposed_10kn_deg": float(np.abs(off).mean())}


def _coast(file: BoatFile, boat: Boat) -> dict[str, float]:
    return {"coast_3kn_m": coast_m(boat, 3.0)}


def _half_astern(file: BoatFile, boat: Boat) -> dict[str, float]:
    return {"stop_5kn_s": stop(boat, 5.0, -HALF)[0]}


def _full_astern(file: BoatFile, boat: Boat) -> dict[str, float]:
    return {"walk_full_deg": walk_deg(boat, -FULL)}


TRIALS = (
    _speeds, _pull, _stops, _turning, _blown, _sternway, _lying, _anchored, _coast, _half_astern, _full_astern,
)  # fmt: skip


def measure(file: BoatFile, trials: Iterable[Trial] = TRIALS) -> dict[str, float]:
    """Return a boat's figures by name, as ``scenario.schema.trial.Expects`` names them; nan where it never happened."""
    boat = build_boat("trial", file)
    found: dict[str, float] = {}
    for trial in trials:
        found |= trial(file, boat)
    return found
