"""A boat's file made ready for the kernels, and the boats that lie about."""

import dataclasses

import numpy as np

from sim.base import rng
from sim.base.arrays import FloatArray
from sim.base.units import rad
from sim.model import params
from sim.model.hull import engine, hull, rudder
from sim.scenario.read import tackle
from sim.scenario.schema.base import BoatFile, Screw
from sim.scenario.schema.lesson import NeighbourBlock

# Half breadth over half beam at stations from bow (1) to stern (-1), for a hull seen from above; judgement.
ONE_HULL = ((1.0, 0.0), (0.8, 0.38), (0.5, 0.75), (0.1, 0.98), (-0.3, 1.0), (-0.7, 0.9), (-1.0, 0.7))
TWO_HULLS = ((1.0, 0.78), (0.9, 0.92), (0.7, 1.0), (-0.95, 1.0), (-1.0, 0.9))

WINDAGE_SPREAD = 0.15  # of a neighbour's windage areas, either way, and
WINDAGE_SHIFT = 0.04  # of her length, of its centre: no two boats of a kind sheer alike; judgement
ROPE_WEIGHT_N_PER_M = 0.5  # nylon all but floats: 0.15 kg/m of density 1140 kg/m3 gives 0.15; with some wear and splice
ROPE_EA_N = 50_000.0  # 14 mm three-strand nylon, from memory
MOORING_MM, MOORING_KGPM = 16.0, 5.6  # ground chain of a mooring; judgement


def _shaft(s: Screw) -> params.Shaft:
    return params.Shaft(
        x_m=s.x_m,
        y_m=s.y_m,
        power_w=s.power_kw * 1000.0,
        diameter_m=s.diameter_m,
        pitch_m=s.pitch_m,
        idle_rps=s.idle_rpm / 60.0,
        max_rps=s.max_rpm / 60.0,
        astern_factor=s.astern_factor,
        merit=s.merit,
        locked_cd=s.locked_cd,
        walk=s.walk,
        handed=1 if s.hand == "right" else -1,
        steers=s.outboard,
    )


def sounder_offset_m(file: BoatFile) -> float:
    """Return what is to be added to a boat's sounder to have the depth below the surface [m]."""
    below = {"surface": 0.0, "transducer": file.deck.sounder_below_surface_m, "keel": file.hull.draught_m}
    return below[file.deck.sounder_reads]


def particulars(file: BoatFile) -> params.Particulars:
    """Return a boat's main dimensions."""
    h, k, w, d = file.hull, file.keel, file.windage, file.deck
    return params.Particulars(
        kind=file.kind,
        loa_m=h.loa_m,
        lwl_m=h.lwl_m,
        beam_m=h.beam_m,
        hull_beam_m=h.hull_beam_m,
        hulls=h.hulls,
        canoe_draught_m=h.canoe_draught_m,
        mass_kg=h.mass_kg,
        gyradius=h.gyradius,
        draught_m=h.draught_m,
        keel_x_m=k.x_m if k else 0.0,
        keel_chord_m=k.chord_m if k else 0.0,
        keel_span_m=k.span_m if k else 0.0,
        keels=k.count if k else 0,
        keel_centre_of_pressure=k.centre_of_pressure if k else 0.0,
        wetted_m2=h.wetted_m2,
        residuary=h.residuary,
        astern_resistance=h.astern_resistance,
        yaw_damping=h.yaw_damping,
        fouling=h.fouling,
        cross_flow=h.cross_flow,
        frontal_m2=w.frontal_m2,
        lateral_m2=w.lateral_m2,
        windage_x_m=w.x_m,
        cd_bow=w.cd_bow,
        cd_stern=w.cd_stern,
        cd_beam=w.cd_beam,
        cross_force=w.cross_force,
        roller_x_m=d.roller_x_m,
        roller_height_m=d.roller_height_m,
        bridle_half_m=d.bridle_half_m,
        mast_height_m=d.mast_height_m,
        antenna_x_m=d.antenna_x_m,
        sounder_x_m=d.sounder_x_m,
        sounder_below_surface_m=d.sounder_below_surface_m,
        sounder_offset_m=sounder_offset_m(file),
    )


def outline(p: params.Particulars) -> FloatArray:
    """Return the convex outline of a boat seen from above, ``float64[k, 2]`` forward and starboard [m]."""
    shape = TWO_HULLS if p.hulls == 2 else ONE_HULL
    side = [(0.5 * p.loa_m * x, 0.5 * p.beam_m * y) for x, y in shape]
    return np.array(side + [(x, -y) for x, y in reversed(side) if y > 0.0])


def build_boat(name: str, file: BoatFile, windage: float = 1.0, windage_shift_m: float = 0.0) -> params.Boat:
    """Return the boat of a file, her windage scaled and its centre moved forward where asked."""
    p = particulars(file)
    p = dataclasses.replace(
        p,
        frontal_m2=p.frontal_m2 * windage,
        lateral_m2=p.lateral_m2 * windage,
        windage_x_m=p.windage_x_m + windage_shift_m,
    )
    shafts = tuple(_shaft(s) for s in file.shafts)
    blades = tuple(params.Rudder(b.x_m, b.y_m, b.area_m2, b.span_m, b.slope_factor) for b in file.rudders.blades)
    row, foils = hull.pack(p, shafts, blades)
    return params.Boat(
        name=name,
        title=file.title,
        particulars=p,
        hull=row,
        foils=foils,
        rudders=rudder.pack(blades, shafts[0].diameter_m),
        shafts=engine.pack(shafts),
        shaft_count=len(shafts),
        max_rudder_rad=rad(file.rudders.max_deg),
        rudder_rate_radps=rad(file.rudders.rate_degps),
        thruster_n=file.thruster_n,
        outline_m=outline(p),
        snubber_length_m=file.tackle.snubber.length_m,
        gear=file.gear,
    )


def astern_pull_n(file: BoatFile) -> float:
    """Return the static pull astern at full lever, all shafts together [N]."""
    shafts = [_shaft(s) for s in file.shafts]
    full = engine.ASTERN_RPS**2  # thrust goes as the square of the revolutions
    return sum(s.astern_factor * full * engine.bollard_pull_n(s.power_w, s.diameter_m, s.merit) for s in shafts)


def idle_share(file: BoatFile) -> float:
    """Return tick-over as a share of the revolutions astern at full lever, of the first shaft."""
    first = file.shafts[0]
    return first.idle_rpm / (engine.ASTERN_RPS * first.max_rpm)


def _second(block: NeighbourBlock, weight: float, ea_n: float) -> params.Second | None:
    """Return her second anchor, on the same chain as the first, or the rope from her stern."""
    more = block.rode.second
    if more is None:
        return None
    ashore = block.rode.kind == "stern_line"
    weight, ea_n = (ROPE_WEIGHT_N_PER_M, ROPE_EA_N) if ashore else (weight, ea_n)
    return params.Second(more.north_m, more.east_m, more.length_m, weight, ea_n, ashore)


def build_neighbour(block: NeighbourBlock, file: BoatFile, seed: int) -> params.Neighbour:
    """Return a boat that lies at anchor; her windage differs a little with her name and the seed."""
    more, forward = (2.0 * rng.uniforms(seed, f"neighbour {block.name}", 2) - 1.0).tolist()
    boat = build_boat(block.boat, file, 1.0 + WINDAGE_SPREAD * more, WINDAGE_SHIFT * file.hull.loa_m * forward)
    if block.rode.kind == "mooring":
        weight = tackle.chain_weight_n_per_m(MOORING_KGPM)
        ea_n = tackle.chain_ea_n(MOORING_MM)
    elif block.rode.kind == "rope":
        weight, ea_n = ROPE_WEIGHT_N_PER_M, ROPE_EA_N
    else:
        weight = tackle.chain_weight_n_per_m(file.tackle.chain_kgpm)
        ea_n = tackle.chain_ea_n(file.tackle.chain_mm)
    return params.Neighbour(
        name=block.name,
        boat=boat,
        anchor_north_m=block.anchor_north_m,
        anchor_east_m=block.anchor_east_m,
        rode_kind=block.rode.kind,
        rode_m=block.rode.length_m,
        weight_n_per_m=weight,
        ea_n=ea_n,
        snubber_m=block.rode.snubber_m,
        snubber_ea_n=file.tackle.snubber.ea_n,
        roller_height_m=file.deck.roller_height_m,
        second=_second(block, weight, ea_n),
        hold_n=block.rode.hold_n,
        comes_from_m=block.comes_from,
        lit=block.lit,
        ais="" if block.ais == "none" else block.ais,
    )
