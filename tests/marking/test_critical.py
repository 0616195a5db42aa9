"""Critical fails: each is found where it happened, and none in a good run."""

from dataclasses import replace

import numpy as np
import pytest
import worlds
from marking import sailed

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking import critical
from sim.model.params import Zone
from sim.scenario import library

EXAMINER = library.load_profile("examiner").critical


def fails(run) -> list[tuple[str, float]]:
    return [(f.code, f.t_s) for f in critical.find_fails(run, EXAMINER)]


def also(*more: ev.Event) -> list[ev.Event]:
    return sorted([*sailed.events(), *more], key=lambda e: e.tick)


def test_a_good_run_has_none():
    """Nothing touched, fouled, lost or forgotten."""
    assert fails(sailed.run()) == []


@pytest.mark.parametrize(
    ("event", "counts"),
    [
        pytest.param(ev.Touched(tick=6000, boat=0, other=1, closing_mps=0.3, impulse_ns=9.0), True, id="a-boat"),
        pytest.param(ev.Touched(tick=6000, boat=2, other=0, closing_mps=0.3, impulse_ns=9.0), True, id="by-a-boat"),
        pytest.param(ev.Touched(tick=6000, boat=0, other=-1, closing_mps=0.3, impulse_ns=9.0), True, id="the-shore"),
        pytest.param(ev.Touched(tick=6000, boat=1, other=2, closing_mps=0.3, impulse_ns=9.0), False, id="two-others"),
        pytest.param(ev.Grounded(tick=6000, boat=0, speed_mps=0.5), True, id="aground"),
        pytest.param(ev.Grounded(tick=6000, boat=3, speed_mps=0.5), False, id="another-aground"),
    ],
)
def test_contact(event, counts):
    """What others do among themselves is theirs."""
    assert fails(sailed.run(also(event))) == ([("cf1", 100.0)] if counts else [])


def test_a_turning_propeller_within_reach_of_the_chain():
    """The chain passes the propeller at 150 s; in neutral that is no fail."""
    _, shapes = sailed.slow()
    north = float(np.interp(150.0, *zip(*sailed.NORTH, strict=True)))
    shapes[150, :2] = [(north - 3.9, -3.0, -0.9), (north - 3.9, 3.0, -0.9)]

    assert fails(sailed.run(shapes=shapes, gear_0=-1.0)) == [("cf2", 150.0)]
    assert fails(sailed.run(shapes=shapes, gear_0=0.0)) == []


@pytest.mark.parametrize(
    ("along_mps", "under_s", "found"),
    [
        pytest.param(0.8, 120.0, [("cf3", 100.0)], id="headway-and-under"),
        pytest.param(0.4, 120.0, [], id="under-a-knot"),
        pytest.param(0.8, 200.0, [], id="under-much-later"),
    ],
)
def test_headway_at_the_touch_with_the_chain_under_her(along_mps, under_s, found):
    """Both are needed: more than a knot ahead, and the chain under the hull soon after."""
    under = ev.ChainUnderHull(tick=sailed.tick(under_s), rode=0)
    happened = [*sailed.instead(sailed.touch(along_mps=along_mps)), under]

    assert fails(sailed.run(happened)) == found


@pytest.mark.parametrize(("rule", "half_m", "found"), [("seagrass", 5.0, [("cf4", 100.0)]), ("seagrass", -5.0, [])])
def test_an_anchor_on_forbidden_ground(rule, half_m, found):
    """The anchor touches at the origin; the zone lies round it, or to the south of it."""
    square = np.array([[half_m, -9.0], [half_m, 9.0], [-20.0, 9.0], [-20.0, -9.0]])
    bay = replace(worlds.bay(), zones=(Zone("meadow", rule, square),))

    assert fails(sailed.run(params={"bay": bay})) == found


def test_a_drag_is_unnoticed_where_nobody_does_anything():
    """Secured at 200 s she drags 20 m by 300 s; a length is passed at 260 s, a minute later it counts."""
    happened = sailed.instead(ev.Secured(tick=sailed.tick(200), out_m=32.5))
    north = np.interp(sailed.T_S, [0.0, 200.0, 300.0], [0.0, 0.0, -20.0])
    asked = ((sailed.tick(270), cmd.AskCrew()),)

    unseen = fails(sailed.run(happened, anchor_n_m=north, anchor_e_m=0.0))

    assert unseen == [("cf5", pytest.approx(320.2, abs=0.3))]
    assert fails(sailed.run(happened, orders=asked, anchor_n_m=north, anchor_e_m=0.0)) == []


def test_the_bitter_end_lost():
    """All out is no fail; lost is."""
    assert fails(sailed.run(also(ev.ChainOut(tick=12000, rode=0, lost=True)))) == [("cf6", 200.0)]
    assert fails(sailed.run(also(ev.ChainOut(tick=12000, rode=0, lost=False)))) == []


def test_secured_in_the_dark_without_a_light():
    """The ball shown is no light; the fail stands at the report."""
    dark = replace(sailed.STAY, dark=True)
    lit = sailed.instead(ev.LightsShown(tick=22200, anchor_light=True, ball=False))

    assert fails(sailed.run(stay=dark)) == [("cf8", 480.0)]
    assert fails(sailed.run(lit, stay=dark)) == []


def test_only_the_fails_of_the_profile_count():
    """A level that does not ask for a light does not fail her for it."""
    skipper = library.load_profile("skipper").critical

    assert critical.find_fails(sailed.run(stay=replace(sailed.STAY, dark=True)), skipper) == ()
