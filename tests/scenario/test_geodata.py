"""Bays from open data: places come back in metres to a thousandth, figures where they were, errors where they are."""

import json
import math

import numpy as np
import pytest

from sim.base.errors import ScenarioError
from sim.model.water import water
from sim.scenario import library
from sim.scenario.read import bay as bays
from sim.scenario.read import bay_text, geodata, load
from sim.scenario.read.projection import local_m
from sim.scenario.schema.base import BayFile
from sim.scenario.schema.tackle import BottomsFile

EXAMPLE = library.data_root() / "geodata" / "cinder-hole.geojson"
PLACES = "features[2].geometry.coordinates"
MIDDLE = (-41.5, -124.2)  # open ocean
A_M, F = 6378137.0, 1.0 / 298.257223563  # WGS 84, its defining constants


def radii_m(latitude_deg: float) -> tuple[float, float]:
    """Return the radii of curvature of meridian and prime vertical: closed forms of any textbook of geodesy."""
    e2 = F * (2.0 - F)
    w = 1.0 - e2 * math.sin(math.radians(latitude_deg)) ** 2
    return A_M * (1.0 - e2) / w**1.5, A_M / math.sqrt(w)


@pytest.mark.parametrize("latitude", [-62.0, -41.5, 0.0, 38.0, 70.0])
def test_a_known_size_comes_back(latitude):
    """Half a kilometre of arc along meridian and parallel by the radii of curvature, within a thousandth."""
    meridian, vertical = radii_m(latitude)
    up = math.degrees(500.0 / meridian)
    across = math.degrees(500.0 / (vertical * math.cos(math.radians(latitude))))
    north, east = local_m(latitude + up, -124.2 + across, (latitude, -124.2))

    assert (north, east) == (pytest.approx(500.0, rel=1e-3), pytest.approx(500.0, rel=1e-3))


def made(data: dict) -> BayFile:
    return load.validate(BayFile, load.parse(bay_text.write(geodata.project(data), "x.geojson").encode(), "bay.yaml"))


def test_the_example_becomes_a_bay_with_every_figure_where_it_was():
    file = made(geodata.read(EXAMPLE))
    bottoms = load.validate(BottomsFile, load.read(library.data_root() / "tackle" / "bottoms.yaml"))
    built = bays.build_bay("cinder-hole", file, bottoms, 1)

    assert (file.title, len(file.shores), len(file.contours), len(file.soundings)) == ("Cinder Hole", 1, 1, 8)
    assert [z.rule for z in file.zones] == ["fairway"]
    assert {m.name for m in file.marks} == {"cinder cone", "black hut"}
    for north, east, depth in file.soundings:
        assert water.charted_depth_m(north, east, built.raster, built.depth_m) == pytest.approx(depth, abs=0.15)
    first, second = np.array(file.shores[0].polygon[0]), np.array(file.shores[0].polygon[1])
    assert np.hypot(*(second - first)) == pytest.approx(math.hypot(90.0, 12.0), rel=2e-3), "a shore of 90.8 m"


def test_points_and_grids_give_the_same_depths_either_way_up(tmp_path):
    lat, lon = np.meshgrid(MIDDLE[0] + 1e-4 * np.arange(30), MIDDLE[1] + 1e-4 * np.arange(24), indexing="ij")
    depth = 3.0 + 40.0 * (MIDDLE[0] + 3e-3 - lat)
    points = "\n".join(f"{a:.6f},{o:.6f},{d:.3f}" for a, o, d in zip(lat.flat, lon.flat, depth.flat, strict=True))
    (tmp_path / "p.csv").write_text("lat,lon,depth_m\n" + points, encoding="utf-8")
    corner = f"xllcorner {MIDDLE[1] - 5e-5:.6f}\nyllcorner {MIDDLE[0] - 5e-5:.6f}\n"
    rows = "\n".join(" ".join(f"{-d:.3f}" for d in row) for row in depth[::-1])
    head = f"ncols 24\nnrows 30\n{corner}cellsize 0.0001\nnodata_value -9999\n"
    (tmp_path / "g.asc").write_text(head + rows, encoding="utf-8")

    a = made(geodata.read(tmp_path / "p.csv"))
    b = made(geodata.read(tmp_path / "g.asc", heights=True))

    assert len(a.soundings) == 720
    assert len(b.soundings) <= geodata.MOST_SOUNDINGS
    assert a.extent.north_m - a.extent.south_m == pytest.approx(b.extent.north_m - b.extent.south_m, abs=25.0)
    nearest = {(round(n, -1), round(e, -1)): d for n, e, d in a.soundings}
    shared = [
        (d, nearest[(round(n, -1), round(e, -1))]) for n, e, d in b.soundings if (round(n, -1), round(e, -1)) in nearest
    ]
    assert len(shared) > 20
    assert max(abs(x - y) for x, y in shared) < 0.15


def test_a_line_of_too_many_corners_is_thinned_and_keeps_its_shape():
    t = np.linspace(0.0, 2.0 * math.pi, 5001)[:-1]
    ring = [[MIDDLE[1] + 2e-3 * math.cos(x), MIDDLE[0] + 2e-3 * math.sin(x)] for x in t]
    soundings = [geodata.Feature("sounding", ((p[0], p[1]),), {"depth_m": 2.0}, 1) for p in ring[::1700]]
    shore = geodata.Feature("shore", tuple((p[0], p[1]) for p in ring), {"name": "round"}, 1)
    file = made(geodata.Chart("Round", "S", (shore, *soundings)))
    polygon = np.array(file.shores[0].polygon)

    assert len(polygon) <= geodata.MOST_CORNERS
    exact = np.array([local_m(p[1], p[0], MIDDLE) for p in ring])
    exact -= exact.mean(axis=0)
    whole = bays.distance_m(exact[:, 0], exact[:, 1], polygon)
    assert whole.max() < 1.5, "no corner left out stood out by more"


def change(edit) -> dict:
    data = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    edit(data)
    return data


@pytest.mark.parametrize(
    ("edit", "key", "expected"),
    [
        (lambda d: d.pop("features"), "features", "a FeatureCollection"),
        (lambda d: d["features"][0]["properties"].update(kind="reef"), "features[0].properties.kind", "one of shore"),
        (lambda d: d["features"][1]["properties"].pop("depth_m"), "features[1].properties.depth_m", "a value"),
        (lambda d: d["features"][1]["properties"].update(depth_m="3"), "features[1].properties.depth_m", "a number"),
        (lambda d: d["features"][2]["geometry"].update(type="Polygon"), "features[2].geometry.type", "Point"),
        (lambda d: d["features"][2]["geometry"].update(coordinates=[-4, -124]), PLACES, "longitude first"),
        (lambda d: d["features"][2]["geometry"].update(coordinates=["a", 1]), PLACES, "places"),
        (lambda d: d["features"][0]["geometry"].update(coordinates=[]), "features[0].geometry.coordinates", "one ring"),
        (lambda d: d["features"].__setitem__(3, 7), "features[3].properties", "a feature"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_told_where_it_stands(tmp_path, edit, key, expected):
    path = tmp_path / "bad.geojson"
    path.write_text(json.dumps(change(edit)), encoding="utf-8")
    with pytest.raises(ScenarioError) as caught:
        geodata.read(path)

    assert (caught.value.file, caught.value.key) == (str(path), key)
    assert expected in caught.value.expected


@pytest.mark.parametrize(
    ("name", "text", "line"),
    [
        ("a.geojson", '{\n"features": [', 2),
        ("a.csv", "lat,lon,depth_m\n-41.5,-124.2,3\n-41.5,x,3\n", 3),
        ("a.csv", "latitude,longitude,z\n", 1),
        ("a.asc", "ncols 3\nnrows 3\nxllcorner 0\n", 1),
        ("a.asc", "ncols 3\nnrows 3\nxllcorner 0\nyllcorner 0\ncellsize 1\nnodata_value -1\n1 2 3\n1 2\n1 2 3\n", 7),
        ("a.tif", "", 0),
    ],
)
def test_a_file_that_is_none_is_refused_in_one_line(tmp_path, name, text, line):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ScenarioError) as caught:
        geodata.read(path)

    assert caught.value.line == line
    assert "\n" not in str(caught.value)
