"""How the chain leads: slope, bearing and stay, as seen and felt at the bow."""

import math

import numpy as np
import pytest
import worlds

from sim.core.world import World
from sim.helm.crew import SECTORS, sector
from sim.helm.lead import Lead, look
from sim.model import layout as lay

HEIGHT_M = 7.5
WEIGHT_N_PER_M = 19.6
HANGING_N = HEIGHT_M * WEIGHT_N_PER_M


def hung(pull_n: float, out_m: float = 40.0, bearing_deg: float = 0.0) -> World:
    """Return the sloop over 6 m of water with chain on the closed-form catenary of a horizontal pull."""
    world = worlds.world(bay=worlds.bay(depth_m=HEIGHT_M - worlds.SLOOP.roller_height_m))
    s = world.state
    a = pull_n / WEIGHT_N_PER_M
    lifted = math.sqrt(HEIGHT_M * (HEIGHT_M + 2.0 * a))
    assert lifted <= out_m, "some chain must lie on the bed"
    along = np.arange(out_m + 1.0)
    arc = np.maximum(along - (out_m - lifted), 0.0)
    away = along - arc + a * np.arcsinh(arc / a)
    nodes, count = s.nodes[0], len(along)
    ahead = worlds.SLOOP.roller_x_m + away[-1] - away
    nodes[:count, lay.N_NORTH] = worlds.SLOOP.roller_x_m + (ahead - worlds.SLOOP.roller_x_m) * math.cos(
        math.radians(bearing_deg)
    )
    nodes[:count, lay.N_EAST] = (ahead - worlds.SLOOP.roller_x_m) * math.sin(math.radians(bearing_deg))
    nodes[:count, lay.N_Z] = np.hypot(a, arc) - a - s.boats[0, lay.B_DEPTH]
    s.lines[0, [lay.L_COUNT, lay.L_OUT, lay.L_TOP]] = [count, out_m, 1.0]
    s.lines[0, [lay.L_FN, lay.L_FZ]] = [pull_n, -WEIGHT_N_PER_M * lifted]
    s.anchors[0, lay.A_ATTITUDE] = lay.SET
    return world


@pytest.mark.parametrize(
    ("pull_n", "slope_deg"),
    [pytest.param(222.0, 53.0, id="idle"), pytest.param(820.0, 32.0, id="half"), pytest.param(1872.0, 22.0, id="full")],
)
def test_the_slope_at_the_roller_tells_the_pull(pull_n, slope_deg):
    """At a little over 5:1 in 6 m, 10 mm chain: 53, 32 and 22 degrees at tick-over, half and full astern.

    Closed form: cos(slope) = a / (a + height), a = pull / weight. The eye takes in the first metres of chain below the
    roller, and so sees it a few degrees flatter than it leaves.
    """
    exact_deg = math.degrees(math.acos(pull_n / (pull_n + HEIGHT_M * WEIGHT_N_PER_M)))
    assert exact_deg == pytest.approx(slope_deg, abs=0.5)
    lead = look(hung(pull_n))

    assert lead is not None
    assert exact_deg - 5.0 < math.degrees(lead.slope_rad) < exact_deg


@pytest.mark.parametrize("bearing_deg", [0.0, 40.0, -40.0, 120.0, -160.0])
def test_the_lead_is_off_the_bow_starboard_positive(bearing_deg):
    lead = look(hung(820.0, bearing_deg=bearing_deg))

    assert lead is not None
    assert math.degrees(lead.bearing_rad) == pytest.approx(bearing_deg, abs=0.5)


def test_with_the_anchor_at_the_roller_nothing_leads():
    assert look(worlds.world()) is None


def test_chain_straight_down_leads_nowhere():
    """A bearing of a plumb line would be noise."""
    world = worlds.world()
    s = world.state
    s.nodes[0, :3, lay.N_Z] = [-3.0, -1.0, 1.5]
    s.nodes[0, :3, lay.N_NORTH] = worlds.SLOOP.roller_x_m
    s.nodes[0, 0, lay.N_EAST] = 0.1
    s.lines[0, [lay.L_COUNT, lay.L_OUT]] = [3, 4.5]
    lead = look(world)

    assert lead is not None
    assert lead.bearing_rad == 0.0
    assert math.degrees(lead.slope_rad) > 85.0


@pytest.mark.parametrize(
    ("out_m", "slope_deg", "tension", "stay"),
    [
        pytest.param(0.2, 90.0, 1.0, "none", id="home"),
        pytest.param(7.6, 85.0, 1.0, "up_and_down", id="as-long-as-deep"),
        pytest.param(10.0, 84.0, 1.4, "up_and_down", id="vertical"),
        pytest.param(10.0, 60.0, 1.4, "short", id="under-1.6"),
        pytest.param(16.0, 50.0, 1.5, "medium", id="under-3"),
        pytest.param(37.0, 40.0, 2.0, "long", id="taut"),
        pytest.param(37.0, 70.0, 1.05, "slack", id="hanging"),
    ],
)
def test_the_stay_is_told_in_the_trades_words(out_m, slope_deg, tension, stay):
    """Glossaries give the words; the limits between them are judgement. Tension in weights of chain hanging down."""
    lead = Lead(0.0, math.radians(slope_deg), tension * HANGING_N, HANGING_N, out_m, HEIGHT_M)

    assert lead.stay == stay


@pytest.mark.parametrize(
    ("off_deg", "name"),
    [(0, "ahead"), (22, "ahead"), (-45, "bow"), (67, "bow"), (90, "abeam"), (-140, "quarter"), (170, "under")],
)
def test_a_lead_falls_into_one_of_five_sectors(off_deg, name):
    assert SECTORS[sector(math.radians(off_deg))] == name
