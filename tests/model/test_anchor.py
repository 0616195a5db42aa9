"""An anchor alone: it tips, buries, soaks, clogs, drags, turns and breaks out by how it is pulled."""

import itertools
import math

import numpy as np
import pytest
from anchor_alone import Ground
from published import published

from sim.model import layout as lay
from sim.model.tackle.anchor import resistance_n, soak_factor, uplift_factor

TABLE = published("ground_tackle")
MUD = np.array([0.56, 10.0, 0.4, 0.05, 1200.0, 0.5, 0.0, 1.5, 0.1])
WEED = np.array([0.65, 12.0, 0.15, 0.4, 0.0, 1.0, 0.15, 1.0, 0.3])


@pytest.mark.parametrize(("slope_deg", "share"), TABLE["uplift"]["rows"])
def test_uplift_takes_holding_away_by_the_published_rule(slope_deg, share):
    """From memory, not traced to a page; an echo of the rows that the law carries."""
    assert uplift_factor(math.radians(slope_deg)) == pytest.approx(share, abs=1e-9)


def test_a_steeper_lead_never_holds_more_and_forty_eight_degrees_hold_nothing():
    """The rule's last row is 12 degrees; beyond it the fall to nothing at 48 is judgement."""
    shares = [uplift_factor(math.radians(d)) for d in range(91)]

    assert all(a >= b for a, b in itertools.pairwise(shares))
    assert shares[48] == 0.0


def test_drawn_over_sand_it_tips_in_a_fluke_length_and_buries_in_three():
    """Common practice, no source: two thirds of the way down in about three fluke lengths once it has tipped."""
    ground = Ground()
    fluke = ground.params[lay.AP_FLUKE]
    ground.draw(0.9 * fluke)
    assert ground.burial == 0.0

    ground.draw(0.1 * fluke + 3.0 * fluke)

    assert ground.burial == pytest.approx(1.0 - math.exp(-1.0), abs=0.03)


def test_an_anchor_under_its_own_heap_does_not_tip():
    ground = Ground()
    ground.anchor[lay.A_HEAP] = 10.0
    ground.draw(5.0)

    assert ground.burial == 0.0
    assert ground.cap_n < 200.0


def test_towed_at_six_knots_it_comes_out_and_at_two_it_digs_in_again():
    """The speed at which nothing enters the ground is judgement; that no speed is a latch is the point."""
    ground = Ground().draw(4.0)
    deep = ground.burial
    ground.draw(8.0, speed_mps=3.1)
    out = ground.burial
    ground.draw(4.0, speed_mps=1.03)

    assert deep > 0.9
    assert out < 0.1
    assert ground.burial > 0.7


def test_dragging_in_weed_never_buries_again():
    """Each metre fills it; a clogged anchor must be lifted and cleared."""
    ground = Ground(WEED)
    ground.draw(3.0)
    once = ground.cap_n
    ground.draw(20.0)
    ground.draw(20.0, speed_mps=0.05)

    assert ground.anchor[lay.A_CLOG] == 1.0
    assert int(ground.anchor[lay.A_ATTITUDE]) == lay.CLOGGED
    assert ground.cap_n < 0.5 * once
    assert ground.cap_n == pytest.approx(ground.params[lay.AP_SLIDE] * ground.params[lay.AP_WEIGHT], rel=0.1)


def test_mud_grips_an_anchor_that_has_soaked():
    """Log of time: half of it at once, all of it after the ground's soaking time (common practice, 10 to 30 min)."""
    ground = Ground(MUD)
    ground.draw(8.0)
    fresh = ground.hold(2.0, pull_n=100.0).cap_n  # at rest: in motion the ground resists more
    ground.hold(20.0 * 60.0, pull_n=100.0)

    assert fresh / ground.cap_n == pytest.approx(0.5, abs=0.05)
    assert soak_factor(60.0, MUD) > 0.5 + 0.5 / 20.0  # most of it comes early


def test_loaded_before_it_soaks_mud_ploughs():
    """A drag of a few metres spends what the ground had regained."""
    ground = Ground(MUD)
    ground.draw(8.0)
    ground.hold(20.0 * 60.0, pull_n=100.0)
    soaked = ground.cap_n
    ground.draw(5.0)

    assert ground.cap_n < 0.75 * soaked


def test_a_pull_uphill_holds_more_than_one_downhill():
    ground = Ground()
    ground.draw(3.0)
    uphill, level, downhill = (
        resistance_n(ground.anchor, ground.params, ground.here(rise), 0.0)[0] for rise in (0.1, 0.0, -0.1)
    )

    assert uphill > 1.1 * level
    assert downhill < 0.9 * level


def test_no_pull_moves_nothing_in_ten_hours():
    ground = Ground()
    ground.draw(3.0).hold(30.0, pull_n=0.0)
    before = ground.burial, ground.cap_n
    ground.hold(10.0 * 3600.0, pull_n=0.0, dt_s=1.0)

    assert (ground.burial, ground.cap_n) == pytest.approx(before, rel=1e-9)
    assert ground.anchor[lay.A_DRAG] == pytest.approx(3.0, abs=1e-9)


def test_hove_up_and_down_it_breaks_out():
    """A pull straight up beyond its weight and the ground's suction draws it; a lighter one does not."""
    ground = Ground()
    ground.draw(3.0)
    _, down = resistance_n(ground.anchor, ground.params, ground.here(), 0.0)
    needed = down + ground.params[lay.AP_WEIGHT]
    ground.hold(60.0, pull_n=0.0, up_n=0.9 * needed)
    deep = ground.burial
    ground.hold(20.0, pull_n=0.0, up_n=1.1 * needed)

    assert deep > 0.8
    assert ground.burial == 0.0
