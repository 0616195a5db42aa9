"""A boat's file made ready: her numbers, her outline, her pull astern; neighbours that differ by the seed."""

import numpy as np
import pytest

from sim.model import layout as lay
from sim.scenario import library
from sim.scenario.read import boat, load
from sim.scenario.schema.base import BoatFile
from sim.scenario.schema.lesson import NeighbourBlock, NeighbourRode


def file(name: str) -> BoatFile:
    return load.validate(BoatFile, load.read(library.data_root() / "boats" / f"{name}.yaml"))


@pytest.mark.parametrize("name", library.boat_names())
def test_every_boat_is_made_ready(name):
    built = library.load_boat(name)

    assert built.name == name
    assert built.hull[lay.H_MASS] == file(name).hull.mass_kg
    assert built.shaft_count == len(file(name).shafts)
    assert np.isfinite(built.hull).all() and np.isfinite(built.foils).all() and np.isfinite(built.shafts).all()
    assert built.max_rudder_rad == pytest.approx(0.611, abs=0.001)


@pytest.mark.parametrize("name", library.boat_names())
def test_her_outline_is_convex_symmetric_and_of_her_size(name):
    built = library.load_boat(name)
    corners = built.outline_m
    ahead, behind = np.roll(corners, -1, axis=0) - corners, corners - np.roll(corners, 1, axis=0)

    turns = behind[:, 0] * ahead[:, 1] - behind[:, 1] * ahead[:, 0]
    assert (turns > 0.0).all() or (turns < 0.0).all()
    assert np.ptp(corners[:, 0]) == pytest.approx(built.particulars.loa_m)
    assert np.ptp(corners[:, 1]) == pytest.approx(built.particulars.beam_m)
    assert sorted(map(tuple, corners)) == sorted(map(tuple, corners * [1.0, -1.0]))


@pytest.mark.parametrize(
    ("name", "least_n", "most_n"),
    [("sloop-12", 1800, 2400), ("twin-hull-12", 3000, 3800), ("long-keel-11", 1400, 2000)],
)
def test_pull_astern_is_that_of_such_a_boat(name, least_n, most_n):
    """Press, not traceable: a 36 ft cruiser with 44 hp pulls 2.2 kN at most astern; bands are judgement."""
    assert least_n < boat.astern_pull_n(file(name)) < most_n


def test_anchors_are_not_below_the_coding_rules():
    """UK MCA, MGN 280 (M), annex, table 20.1 (read): mass of the main anchor by length."""
    asked_kg = {
        "day-boat-7": 9.0, "fin-keel-9": 13.0, "sloop-12": 18.0, "long-keel-11": 15.0, "twin-hull-12": 21.0,
        "motor-14": 24.0,
    }  # fmt: skip
    assert set(asked_kg) == set(library.boat_names())

    for name, least_kg in asked_kg.items():
        assert file(name).tackle.anchor_kg >= least_kg


def neighbour(kind: str, seed: int, name: str = "Teasel"):
    block = NeighbourBlock(
        name=name, boat="sloop-12", anchor_north_m=1.0, anchor_east_m=2.0,
        rode=NeighbourRode(kind=kind, length_m=30.0, snubber_m=5.0),
    )  # fmt: skip
    return boat.build_neighbour(block, file("sloop-12"), seed)


def test_rope_is_light_and_stretches_and_a_mooring_is_heavy():
    chain, rope, mooring = (neighbour(kind, 1) for kind in ("chain", "rope", "mooring"))

    assert rope.weight_n_per_m < 0.1 * chain.weight_n_per_m < chain.weight_n_per_m < mooring.weight_n_per_m
    assert rope.ea_n < 0.1 * chain.ea_n
    assert chain.boat.particulars.bridle_half_m == 0.0


def test_no_two_neighbours_sheer_alike_but_each_seed_gives_the_same():
    first, again, other_seed, other_name = (
        neighbour("chain", *who).boat.particulars for who in ((1,), (1,), (2,), (1, "Burr"))
    )
    plain = file("sloop-12").windage

    assert first == again
    for one in (first, other_seed, other_name):
        assert abs(one.lateral_m2 / plain.lateral_m2 - 1.0) <= boat.WINDAGE_SPREAD
        assert abs(one.windage_x_m - plain.x_m) <= boat.WINDAGE_SHIFT * 12.0
    assert len({first.windage_x_m, other_seed.windage_x_m, other_name.windage_x_m}) == 3
