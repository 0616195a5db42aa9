"""How fast frames are drawn."""

import pytest

from sim.ui import bench


@pytest.mark.bench
def test_a_frame_is_drawn_in_time():
    """A minute with twenty boats in view: the middle frame under 6 ms, none of our own work over a sixtieth."""
    drawn = bench.draw(boats=20, seconds=60.0)

    assert drawn.median_ms < 6.0
    assert drawn.longest_own_ms < 16.7
