"""Own boat and another just like her go through a shift alike: her chain lags because it lies where it was laid."""

import math
from dataclasses import replace

import numpy as np
import pytest
import worlds

from sim.base.units import rad
from sim.core import world as wd
from sim.core.orders import commands as cmd
from sim.core.world import World
from sim.lab.bench import laid_chain
from sim.model import layout as lay
from sim.model.params import Neighbour, Start
from sim.scenario import library

APART_M, DEPTH_M, OUT_M = 250.0, 6.5, 40.0


def pair(wind_kn: float, name: str = "sloop-12", rode_kind: str = "chain") -> World:
    """Return own boat and her twin, each laid back on the same straight chain, or the twin on rope."""
    b = library.load_boat(name)
    p = b.particulars
    rode = worlds.rode(hold_n=1e6)
    line = rode.line.copy()
    line[lay.LP_LEAD_X], line[lay.LP_ROLLER_Z] = p.roller_x_m, p.roller_height_m
    weight, ea_n = (0.5, 50e3) if rode_kind == "rope" else (float(line[lay.LP_WEIGHT]), float(line[lay.LP_EA]))
    twin = Neighbour("Twin", b, 0.0, 0.0, rode_kind, OUT_M, weight, ea_n, 0.0, 50e3, p.roller_height_m)
    w = wd.build(
        worlds.params(
            boat=b,
            rodes=(replace(rode, line=line),),
            bay=worlds.bay(DEPTH_M),
            weather=worlds.steady(wind_kn),
            neighbours=(twin,),
            start=Start(-p.roller_x_m - OUT_M, -APART_M, rad(5.0), 0.0),
        )
    )
    s = w.state
    away, up = laid_chain(OUT_M, DEPTH_M + p.roller_height_m)
    count = len(away)
    nodes, ln, anchor = s.nodes[0], s.lines[0], s.anchors[0]
    nodes[:count, lay.N_NORTH] = nodes[:count, lay.N_STICK_N] = -away
    nodes[:count, lay.N_EAST] = nodes[:count, lay.N_STICK_E] = -APART_M
    nodes[:count, lay.N_Z] = up - DEPTH_M
    s.boats[0, lay.B_NORTH] = -away[-1] - p.roller_x_m
    ln[lay.L_COUNT], ln[lay.L_OUT], ln[lay.L_TOP], ln[lay.L_STOPPER] = count, count - 1.0, 1.0, 1.0
    anchor[lay.A_ATTITUDE], anchor[lay.A_BURIAL], anchor[lay.A_TIP] = lay.SET, 1.0, 1.0
    anchor[lay.A_SHANK] = math.pi
    s.boats[1, : lay.B_HEADING + 1] = s.boats[0, : lay.B_HEADING + 1]
    s.boats[1, lay.B_EAST] = 0.0
    worlds.run(w, 300.0)
    return w


def swung(w: World, shift_deg: float, minutes: float) -> np.ndarray:
    """Return (north, east, heading north, heading east) of both boats every 5 s while and after the wind shifts."""
    seen = []
    orders = (cmd.Inject(what="shift", ramp_s=60.0, turn_rad=rad(shift_deg)),)
    for k in range(round(minutes * 12.0)):
        worlds.run(w, 5.0, *(orders if k == 0 else ()))
        b = w.state.boats
        seen.append(
            [(r[lay.B_NORTH], r[lay.B_EAST], math.cos(r[lay.B_HEADING]), math.sin(r[lay.B_HEADING])) for r in b]
        )
    found = np.array(seen)
    found[:, 0, 1] += APART_M
    return found


def between(seen: np.ndarray, minute: float, half_min: float = 1.0) -> tuple[float, float]:
    """Return (metres, degrees) from one to the other, of means over two minutes: her sheering is taken out."""
    rows = seen[round((minute - half_min) * 12.0) : round((minute + half_min) * 12.0)].mean(axis=0)
    heading = np.degrees(np.arctan2(rows[:, 3], rows[:, 2]))
    return float(np.hypot(*(rows[0, :2] - rows[1, :2]))), abs(math.remainder(float(heading[0] - heading[1]), 360.0))


@pytest.mark.parametrize(
    ("wind_kn", "shift_deg"),
    [(8.0, 90.0)]
    + [
        pytest.param(kn, deg, marks=pytest.mark.slow)
        for kn in (5.0, 8.0, 12.0, 20.0)
        for deg in (60.0, 90.0, 175.0)
        if (kn, deg) != (8.0, 90.0)
    ],
)
def test_two_boats_alike_go_through_a_shift_alike(wind_kn, shift_deg, record_property):
    """2, 5, 10 and 15 minutes on: 5 m and, as long as they sheer together, 10 degrees."""
    seen = swung(pair(wind_kn), shift_deg, 16.0)
    apart = {minute: between(seen, minute) for minute in (2, 5, 10, 15)}
    record_property("metres and degrees", apart)
    print(wind_kn, shift_deg, {k: (round(m, 1), round(d, 1)) for k, (m, d) in apart.items()})  # noqa: T201

    assert max(m for m, _ in apart.values()) <= 5.0
    assert max(d for minute, (_, d) in apart.items() if minute <= 10) <= 10.0


def test_on_rope_she_swings_before_boats_on_chain():
    """Common practice, no source: in a light wind a boat on chain lies to what is on the ground."""
    swings = {}
    for kind in ("chain", "rope"):
        seen = swung(pair(5.0, rode_kind=kind), 90.0, 6.0)[-24:, 1].mean(axis=0)
        swings[kind] = math.degrees(math.atan2(-seen[1], -seen[0]))  # of her place, seen from her anchor

    assert swings["rope"] > swings["chain"] + 15.0
