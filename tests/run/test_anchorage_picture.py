"""A dozen boats through a turn of the tide: they turn with it, by kind, each in her own measure."""

import xml.etree.ElementTree as ET

import numpy as np
import pytest

from sim.core import world as wd
from sim.lab import anchorage_picture as picture

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def tide():
    """Return (parameters, how the boats lie at each hour)."""
    p = picture.params(1)
    return p, picture.lie(wd.build(p))


def test_they_turn_with_the_tide_from_north_of_the_wind_to_south_of_it(tide):
    """A stream to the north heads them south of the wind from the west, and the other way round; at slack, the wind."""
    rows = picture.mix(*tide)

    for kind in picture.KINDS:
        first, slack, final = (rows[k][kind] for k in (0, 2, 5))
        assert 180.0 < first < 250.0
        assert slack == pytest.approx(270.0, abs=15.0)
        assert 290.0 < final < 360.0


def test_kinds_of_hull_lie_differently_in_the_same_water(tide):
    """Deep keels go with the stream, topsides with the wind: a long keel beyond a twin hull and a motor yacht."""
    rows = picture.mix(*tide)

    assert rows[0]["long-keel-11"] < rows[0]["twin-hull-12"] < rows[0]["motor-14"]
    assert rows[5]["long-keel-11"] > rows[5]["twin-hull-12"] > rows[5]["motor-14"]
    assert rows[2]["spread"] < 0.6 * rows[1]["spread"]


def test_the_picture_has_a_panel_an_hour_and_every_boat_in_it(tide):
    p, lies = tide
    root = ET.fromstring(picture.draw(p, lies))
    panels = [g for g in root.iter("{http://www.w3.org/2000/svg}g") if "translate" in g.get("transform", "")]

    assert len(panels) == len(picture.HOURS)
    for panel in panels:
        fills = [path.get("fill") for path in panel.iter("{http://www.w3.org/2000/svg}path")]
        assert sum(fill in picture.TINTS.values() for fill in fills) >= len(p.neighbours)
    assert np.all(np.isfinite(lies))
    assert len(picture.table(p, lies)) == 1 + len(picture.HOURS)
