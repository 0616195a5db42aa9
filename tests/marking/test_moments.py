"""The moments of an anchoring, and which attempt counts."""

import numpy as np
import pytest
from marking import sailed

from sim.core import events as ev


def test_the_moments_of_a_single_attempt():
    """Let go, touched, 85 % of the rode out, secured: each where it was drawn."""
    m = sailed.run().moments

    assert (m.begin_s, m.let_go_s, m.touch_s, m.stop_s, m.secured_s) == (0.0, 95.0, 100.0, 480.0, 480.0)
    # 0.85 x 32.5 = 27.625 m; out of 6.5 + 26 (t - 104) / 96
    assert m.laid_s == pytest.approx(104.0 + 96.0 * (27.625 - 6.5) / 26.0, abs=0.2)


def test_after_lifting_only_the_next_drop_counts():
    """An abort costs nothing but time: begin is where the anchor last came off the bottom."""
    lifted = [
        ev.AnchorLetGo(tick=sailed.tick(20), rode=0),
        sailed.touch(25.0),
        ev.AnchorAweigh(tick=sailed.tick(50), rode=0),
    ]
    m = sailed.run(lifted + sailed.events()).moments

    assert (m.begin_s, m.let_go_s, m.touch_s) == (50.0, 95.0, 100.0)


def test_a_bounce_is_one_landing():
    """Off the bottom for less than ten seconds is the same attempt, from its first touch."""
    bounce = [ev.AnchorAweigh(tick=sailed.tick(101), rode=0), sailed.touch(103.0)]
    m = sailed.run(sorted(sailed.events() + bounce, key=lambda e: e.tick)).moments

    assert (m.begin_s, m.touch_s, m.stop_s) == (0.0, 100.0, 480.0)


def test_lifting_for_good_ends_the_attempt():
    """Without another drop the attempt stops where the anchor came up."""
    m = sailed.run([*sailed.without(ev.Secured), ev.AnchorAweigh(tick=sailed.tick(400), rode=0)]).moments

    assert (m.stop_s, m.secured_s) == (400.0, None)


def test_an_anchor_that_never_touched_has_no_moments():
    """Everything that has not happened stands at the end."""
    m = sailed.run([sailed.plan()]).moments

    assert m.touch is None
    assert (m.let_go_s, m.touch_s, m.laid_s, m.stop_s) == (500.0, 500.0, 500.0, 500.0)


@pytest.mark.parametrize(("out_m", "begins"), [(60.0, 65.0), (10.0, 0.0)])
def test_an_approach_called_off_is_over_once_she_goes_out_again(out_m, begins):
    """Called off at 40 s on the spot; she turns away so far, and comes back to let go at 95 s."""
    north = np.interp(sailed.T_S, [0.0, 40.0, 65.0, 90.0, 100.0], [-94.0, -6.0, -6.0 - out_m, -6.0, -6.0])
    off = [*sailed.events(), ev.Aborted(tick=sailed.tick(40), reason="bow off")]

    assert sailed.run(off, north_m=north).moments.begin_s == begins
