"""Drawing by hand: contours that close, figures that are short, strips that lose no peak."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from marking import sailed

from sim.pages import side_picture, strip_picture, svg
from sim.pages.contours import contour_rings
from sim.pages.debrief import speaker
from sim.scenario.library import load_words

SAY = speaker(load_words("en"))


def area(rings: list[np.ndarray]) -> float:
    """Return the signed area of rings, holes of the other sense."""
    total = 0.0
    for ring in rings:
        x, y = ring[:, 0], ring[:, 1]
        total += 0.5 * float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))
    return abs(total)


def test_a_cone_has_round_contours():
    """Height 10 less the distance from the middle: the contour at 4 is a circle of radius 6."""
    i, j = np.mgrid[0:41, 0:41]
    cone = 10.0 - np.hypot(i - 20.0, j - 20.0) / 2.0
    rings = contour_rings(cone, 4.0)

    assert len(rings) == 1
    assert np.hypot(rings[0][:, 0] - 20.0, rings[0][:, 1] - 20.0) == pytest.approx(12.0, abs=0.05)
    assert area(rings) == pytest.approx(np.pi * 144.0, rel=0.01)


def test_a_ring_of_high_ground_has_a_hole():
    """Two rings of opposite sense: filled by the even-odd rule they leave the middle open."""
    i, j = np.mgrid[0:41, 0:41]
    ridge = -np.abs(np.hypot(i - 20.0, j - 20.0) - 10.0)
    rings = contour_rings(ridge, -3.0)

    assert len(rings) == 2
    assert area(rings) == pytest.approx(np.pi * (13.0**2 - 7.0**2), rel=0.02)


def test_all_above_is_the_whole_raster_and_all_below_is_nothing():
    """The raster's own edge closes the outline."""
    assert area(contour_rings(np.full((11, 21), 5.0), 1.0)) == pytest.approx(200.0, rel=0.02)
    assert contour_rings(np.full((11, 21), 5.0), 6.0) == []


@given(some.lists(some.lists(some.integers(0, 3), min_size=6, max_size=6), min_size=6, max_size=6))
def test_contours_of_anything_are_closed_rings(rows):
    """However torn the ground, saddles included, every ring has corners and steps no further than a cell."""
    for ring in contour_rings(np.array(rows, dtype=float), 1.5):
        assert len(ring) >= 4
        step = np.abs(ring - np.roll(ring, -1, axis=0)).max(axis=1)
        assert step.max() <= 1.0 + 1e-9


def test_attributes_are_escaped_and_short():
    """Names with a sign in them do not break a picture."""
    assert svg.text(1.26, 2.0, "Fish & <Chips>") == (
        '<text x="1.3" y="2" font-size="13" fill="#10303F" text-anchor="start">Fish &amp; &lt;Chips&gt;</text>'
    )


@given(some.floats(-1e4, 1e4), some.floats(0.001, 1e4), some.integers(2, 12))
def test_ticks_are_round_and_few(low, width, most):
    """Never more than asked for by more than one, all within the values, evenly apart."""
    found = strip_picture.ticks(low, low + width, most)

    assert 1 <= len(found) <= most + 1
    assert all(low - 1e-6 * width <= t <= low + width * (1.0 + 1e-6) for t in found)
    assert np.allclose(np.diff(found, n=2), 0.0, atol=1e-6 * width)


def test_thinning_keeps_the_peaks():
    """One sample in three thousand stands out; the strip still shows it."""
    pull = np.zeros(3001)
    pull[1234] = 9.0
    t_s, kept = strip_picture._thinned(np.arange(3001) / 5.0, pull)

    assert kept.max() == 9.0
    assert t_s[np.argmax(kept)] == 1234 / 5.0
    assert len(kept) < 900


def test_the_table_has_the_figures_of_the_strips():
    """From the first moment to the last, chain out as drawn."""
    heads, rows = strip_picture.table(sailed.run(), SAY)

    assert len(heads) == len(rows[0]) == 6
    assert (rows[0][0], rows[-1][0]) == ("0:00", "8:00")
    assert rows[-1][3] == "32.5"


def test_the_side_view_is_empty_without_chain():
    """Before the anchor is let go there is nothing to see from the side."""
    assert side_picture.draw(sailed.run(), 10.0, "Before", "k", SAY) == ""
    assert "Under load" in side_picture.draw(sailed.run(), 340.0, "Under load", "k", SAY)


def test_a_chain_leading_aft_is_drawn_under_her():
    """Heading away from the anchor her hull lies over the chain; heading for it, beyond the chain's upper end."""

    def hull_and_roller_x(heading: float) -> tuple[float, float]:
        drawn = side_picture.draw(sailed.run(heading_rad=heading), 340.0, "Under load", "k", SAY)
        hull = re.search(rf'd="M([^"]*)Z" fill="{svg.INK}"', drawn)
        chain = re.search(rf'd="M([^"]*)" fill="none" stroke="{svg.HOT}"', drawn)
        assert hull is not None and chain is not None
        xs = [float(pair.split()[0]) for pair in hull.group(1).split("L")]
        return float(np.mean(xs)), float(chain.group(1).split("L")[-1].split()[0])

    towards, away = hull_and_roller_x(0.0), hull_and_roller_x(np.pi)

    assert towards[0] > towards[1]
    assert away[0] < away[1]
