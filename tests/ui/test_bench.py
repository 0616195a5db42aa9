"""How fast frames are drawn."""

import pytest

from sim.ui import bench


@pytest.mark.bench
def test_a_frame_is_drawn_in_time():
    """Half a minute with sixty boats in view, at 1280 by 800: the middle frame under 4 ms, 95 of 100 under 8."""
    drawn = bench.draw(boats=60, seconds=30.0)

    assert drawn.median_ms < 4.0
    assert drawn.p95_ms < 8.0


@pytest.mark.bench
def test_a_turning_plan_is_drawn_in_time():
    """With her heading up and the helm hard over the plan turns all the while, and takes no longer."""
    drawn = bench.draw(boats=60, seconds=30.0, head_up=True)

    assert drawn.median_ms < 4.0
    assert drawn.p95_ms < 8.0
