"""A run for other programs, read back by independent ones."""

import csv
import io

import gpxpy
import pytest
from geographiclib.geodesic import Geodesic
from marking import sailed
from marking.test_result import made

from sim.marking import export


def test_the_measures_come_back_as_they_went():
    result = made()
    rows = list(csv.DictReader(io.StringIO(export.measures_csv(result))))
    measures = [m for p in result["phases"] for m in p["measures"]]

    assert [r["measure"] for r in rows] == [m["name"] for m in measures]
    assert [float(r["points"]) for r in rows] == pytest.approx([m["points"] for m in measures])
    assert next(r["full"] for r in rows if r["measure"] == "ph3.sog_at_touch_kn") == "-0.4..0"


@pytest.mark.parametrize(("north_m", "east_m"), [(0.0, 0.0), (300.0, 0.0), (0.0, -250.0), (-1000.0, 1500.0)])
def test_a_place_is_as_far_off_on_the_ellipsoid_as_in_the_bay(north_m, east_m):
    """Against Karney's geodesics on WGS 84 (geographiclib): to a centimetre in a kilometre."""
    lat, lon = export.position_deg(north_m, east_m)
    line = Geodesic.WGS84.Inverse(*export.ORIGIN_DEG, lat, lon)

    assert line["s12"] == pytest.approx(float((north_m**2 + east_m**2) ** 0.5), abs=0.15)


def test_the_track_is_gpx_that_another_program_reads():
    """Gpxpy finds a point a second, the anchor, and the length she sailed; the place is open ocean."""
    run = sailed.run()
    read = gpxpy.parse(export.track_gpx(run.track, "A & B", 1_700_000_000.0))
    points = read.tracks[0].segments[0].points

    assert read.version == "1.1"
    assert len(points) == sailed.SECONDS + 1
    assert (points[-1].time - points[0].time).total_seconds() == sailed.SECONDS
    assert read.waypoints[0].name == "anchor"
    sailed_m = abs(-5.6 - -94.0) + abs(-36.0 - -5.6)
    assert read.length_2d() == pytest.approx(sailed_m, rel=0.01)
    assert read.tracks[0].name == "A & B"
