"""Camera, tiles, dashes and type: small things that pictures rest on."""

import itertools
import math

import numpy as np
import pytest

from sim.ui.chart.camera import CLOSE, Camera, Follow
from sim.ui.chart.scene_chart import smoothed
from sim.ui.chart.tiles import clipped
from sim.ui.paint import fonts, hulls
from sim.ui.paint.display import LEAST_PX, Ring
from sim.ui.paint.painter import dashes
from sim.ui.paint.palette import DAY, NIGHT
from sim.ui.panels.layout import lay_out

RECT = (100, 50, 900, 500)


def test_north_is_up_and_east_is_right():
    """A place north of the middle lies above it, one to the east to its right."""
    camera = Camera(10.0, -20.0, 6.0, RECT)
    middle, north, east = camera.px((10.0, -20.0)), camera.px((11.0, -20.0)), camera.px((10.0, -19.0))

    assert middle == pytest.approx((550.0, 300.0), abs=0.5)
    assert (north[0] - middle[0], north[1] - middle[1]) == pytest.approx((0.0, -6.0))
    assert (east[0] - middle[0], east[1] - middle[1]) == pytest.approx((6.0, 0.0))


def test_a_place_comes_back_from_its_pixel():
    """Px and place are each other's inverse."""
    camera = Camera(3.3, 7.7, 4.2, RECT)

    assert camera.place(camera.px((12.5, -3.25))) == pytest.approx((12.5, -3.25))


def test_a_world_circle_keeps_its_metres():
    """A radius in metres becomes pixels by the zoom."""
    assert Camera(0.0, 0.0, 6.0, RECT).project(Ring("chart", (0.0, 0.0), 10.0, "ink")).radius == 60.0


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800), (1920, 1080), (2560, 1440)])
@pytest.mark.parametrize("side_view", [True, False])
def test_from_the_round_up_on_a_metre_is_at_least_six_pixels(size, side_view):
    """In any window, near the spot."""
    layout = lay_out(size, side_view)

    assert Follow().zoom(True, layout.plan[2:]) >= CLOSE


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800), (1920, 1080), (3840, 2160)])
def test_the_parts_fill_the_window_without_lying_on_each_other(size):
    """Lookout, plan, side view, ledger and rail together are the window."""
    layout = lay_out(size, True)
    parts = (layout.lookout, layout.plan, layout.side, layout.ledger, layout.rail)

    assert sum(w * h for _, _, w, h in parts) == size[0] * size[1]


def test_a_polygon_is_cut_to_a_rectangle():
    """A square half outside keeps the half inside; one all outside keeps nothing; one all round keeps the rectangle."""
    square = np.array([[-5.0, 2.0], [5.0, 2.0], [5.0, 8.0], [-5.0, 8.0]])

    assert area(clipped(square, 0.0, 0.0, 10.0, 10.0)) == pytest.approx(30.0)
    assert len(clipped(square + 50.0, 0.0, 0.0, 10.0, 10.0)) == 0
    assert area(clipped(square * 100.0 - 300.0, 0.0, 0.0, 10.0, 10.0)) == pytest.approx(100.0)


def area(polygon):
    """Return the area of a polygon."""
    x, y = polygon.T
    return abs(0.5 * float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))


def test_dashes_have_the_length_asked_for():
    """Ten on and five off along sixty make four dashes of ten, across a corner too."""
    pieces = dashes([(0.0, 0.0), (33.0, 0.0), (33.0, 27.0)], 10.0, 5.0)
    lengths = [sum(math.dist(a, b) for a, b in itertools.pairwise(p)) for p in pieces]

    assert lengths == pytest.approx([10.0] * 4)


def test_a_shore_smoothed_stays_where_it_is():
    """Corners of a line whose sides are 20 m are cut by less than 5 m, and nothing moves elsewhere."""
    ring = np.array([[0.0, 0.0], [0.0, 20.0], [20.0, 20.0], [20.0, 0.0]])

    assert float(np.abs(smoothed(ring) - 10.0).max()) == pytest.approx(10.0)
    assert area(smoothed(ring)) == pytest.approx(400.0, rel=0.2)


@pytest.mark.parametrize("face", list(fonts.FILES))
def test_figures_are_as_wide_as_each_other(face):
    """So that a reading does not dance."""
    assert len({fonts.measure(digit, face, 30.0) for digit in "0123456789"}) == 1


def test_a_line_too_long_is_set_smaller_and_then_cut():
    """It never runs beyond its room, and never below the least size."""
    text, size = fonts.fitted("a line that is far too long for the room it has", "text", 19.0, 120.0)

    assert fonts.measure(text, "text", size) <= 120.0
    assert size == LEAST_PX
    assert text.endswith("…")


def luminance(colour):
    """Return the relative luminance of a colour (WCAG 2)."""
    parts = [c / 255.0 for c in colour]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("palette", [DAY, NIGHT], ids=lambda p: p.name)
@pytest.mark.parametrize("ink", ["ink", "second", "hot"])
def test_what_is_written_on_a_panel_can_be_read(palette, ink):
    """Contrast on the panel is at least 4.5, that of WCAG 2 for text."""
    light, dark = sorted((luminance(palette[ink]), luminance(palette["panel"])), reverse=True)

    assert (light + 0.05) / (dark + 0.05) >= 4.5


def test_a_hull_is_pointed_forward_and_full_amidships():
    """Her half breadth is nothing at the stem, greatest near the middle, and less at the transom."""
    assert hulls.breadth(0.0) == 0.0
    assert max(range(101), key=lambda k: hulls.breadth(k / 100.0)) == pytest.approx(56, abs=2)
    assert 0.6 < hulls.breadth(1.0) < 0.8
