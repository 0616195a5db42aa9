"""A bay's raster passes through the figures of its file; land rises; the ground's patchiness is smooth and seeded."""

import numpy as np
import pytest

from sim.model import params
from sim.model.water import water
from sim.scenario import library
from sim.scenario.read import bay, load
from sim.scenario.schema.base import BayFile
from sim.scenario.schema.tackle import BottomsFile

BAYS = sorted(path.stem for path in (library.data_root() / "bays").glob("*.yaml"))


def bottoms() -> BottomsFile:
    return load.validate(BottomsFile, load.read(library.data_root() / "tackle" / "bottoms.yaml"))


def file(name: str) -> BayFile:
    return load.validate(BayFile, load.read(library.data_root() / "bays" / f"{name}.yaml"))


def step_m(built: params.Bay, north: float, east: float) -> float:
    """Return how much the depth changes from cell to cell about a place: as far as a raster can be off on a slope."""
    i, j = (round((x - built.raster[k]) / built.raster[2]) for k, x in enumerate((north, east)))
    around = built.depth_m[max(i - 1, 0) : i + 2, max(j - 1, 0) : j + 2]
    return float(around.max() - around.min()) / 2.0


@pytest.mark.parametrize("name", BAYS)
def test_the_raster_reproduces_every_sounding(name):
    """Within 0.15 m, or a cell of the slope there."""
    built = bay.build_bay(name, file(name), bottoms(), 1)

    for north, east, depth in built.soundings:
        off = water.charted_depth_m(north, east, built.raster, built.depth_m) - depth
        assert abs(off) <= max(0.15, step_m(built, north, east))


@pytest.mark.parametrize("name", BAYS)
def test_contours_keep_their_depth_and_nothing_overshoots(name):
    source = file(name)
    built = bay.build_bay(name, source, bottoms(), 1)
    given = [d for *_, d in source.soundings] + [c.depth_m for c in source.contours]

    for contour in source.contours:
        for north, east in contour.line:
            off = water.charted_depth_m(north, east, built.raster, built.depth_m) - contour.depth_m
            assert abs(off) <= max(0.3, 1.5 * step_m(built, north, east))
    assert built.depth_m.max() <= max(given)


@pytest.mark.parametrize("name", BAYS)
def test_land_lies_above_the_water_and_water_below(name):
    built = bay.build_bay(name, file(name), bottoms(), 1)
    north, east = np.meshgrid(
        built.raster[0] + built.raster[2] * np.arange(built.depth_m.shape[0]),
        built.raster[1] + built.raster[2] * np.arange(built.depth_m.shape[1]),
        indexing="ij",
    )
    land = np.zeros(built.depth_m.shape, dtype=bool)
    for shore in built.shores:
        land |= bay.inside(north, east, shore)

    assert land.any()
    assert (built.depth_m[land] <= 0.0).all()
    assert (built.depth_m[land] < -1.0).any(), "it rises behind the shore"
    assert (built.depth_m[~land] >= -max(shore.height_m for shore in file(name).shores)).all()


def test_patches_lie_where_they_are_drawn():
    built = bay.build_bay("hazel-cove", file("hazel-cove"), bottoms(), 1)

    def letters(north: float, east: float) -> str:
        return built.bottom_letters[water.bottom_at(north, east, built.raster, built.bottom)]

    assert letters(0.0, 0.0) == "S"
    assert letters(75.0, 5.0) == "Wd"
    assert letters(130.0, 140.0) == "R"


def test_patchiness_is_smooth_periodic_and_of_unit_variance():
    noise = bay.seabed_noise(3)

    assert noise.shape == (64, 64)
    assert noise.mean() == pytest.approx(0.0, abs=1e-12)
    assert noise.std() == pytest.approx(1.0)
    for axis in (0, 1):
        step = noise - np.roll(noise, 1, axis=axis)  # the roll crosses the seam
        assert step.std() < 1.0, "white noise would step by 1.41"
        seam = np.take(step, 0, axis=axis)
        assert seam.std() < 1.2


def test_patchiness_follows_the_seed():
    assert np.array_equal(bay.seabed_noise(1), bay.seabed_noise(1))
    assert not np.array_equal(bay.seabed_noise(1), bay.seabed_noise(2))


def test_a_point_is_inside_a_polygon_or_not():
    square = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
    notched = np.array([[0.0, 0.0], [10.0, 0.0], [2.0, 5.0], [10.0, 10.0], [0.0, 10.0]])

    assert bay.inside(np.array([5.0, 5.0, -1.0]), np.array([5.0, 11.0, 5.0]), square).tolist() == [True, False, False]
    assert bay.inside(np.array([1.0, 8.0]), np.array([5.0, 5.0]), notched).tolist() == [True, False]


def test_distance_to_an_outline():
    square = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])

    got = bay.distance_m(np.array([5.0, 13.0, -2.0]), np.array([4.0, 14.0, 5.0]), square)

    assert got == pytest.approx([4.0, 5.0, 2.0])


def test_a_snag_stands_on_the_bed_where_the_bay_says():
    """Its height counts from the bed at its foot; its top is kept from datum."""
    pile = {"name": "old pile", "north_m": 0.0, "east_m": 0.0, "radius_m": 0.3, "height_m": 2.0}
    with_pile = BayFile.model_validate({**file("lantern-pool").model_dump(), "snags": (pile,)})
    built = bay.build_bay("lantern-pool", with_pile, bottoms(), 1)

    assert built.snag_names == ("old pile",)
    assert built.snags == pytest.approx(np.array([[0.0, 0.0, 0.3, 2.0 - 5.0]]), abs=0.15)
