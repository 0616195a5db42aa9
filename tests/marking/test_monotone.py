"""A run made worse in one respect never scores better in it: every measure, over runs drawn by hand."""

from dataclasses import replace

import numpy as np
import pytest
import worlds
from hypothesis import given, settings
from hypothesis import strategies as some
from marking import sailed
from marking.berthed import berthed
from marking.slept import slept
from marking.weedy import weedy

from sim.base.units import rad
from sim.core import events as ev
from sim.marking.measures import MEASURES
from sim.marking.rubric import marks
from sim.marking.run import Run
from sim.model import layout as lay
from sim.scenario import library

SKIPPER = library.load_profile("skipper")
ROWS = {m.name: m for p in SKIPPER.phases for m in p.measures}
FAST = sailed.fast()
PROOFS = (ev.TransitTaken, ev.CrewAsked)
SECURED = (ev.LightsShown, ev.AlarmSet)
HEAVE = {
    "out_m": np.interp(sailed.T_S, [0.0, 100.0, 400.0, 480.0], [6.5, 32.5, 32.5, 5.0]),
    "rate_mps": np.where(sailed.between(400.0, 480.0), -0.34, 0.0),
    "tension_n": 900.0,
}
LIFTED = ev.AnchorAweigh(tick=sailed.tick(420), rode=0)


def lasting(from_s: float, for_s: float) -> np.ndarray:
    return sailed.between(from_s, from_s + for_s) & (for_s > 0.0)


def kept(count: int, kinds: tuple) -> list[ev.Event]:
    return sailed.without(*kinds[:count])


def steps(count: float) -> dict:
    pull = np.zeros_like(sailed.T_S)
    for from_s, to_s, thrust in sailed.STEPS[: 4 - int(count * 4)]:
        pull[sailed.between(from_s, to_s)] = thrust
    return {"thrust_n_0": -pull, "rode_pull_n": pull}


def aground(times: int) -> tuple[ev.Event, ...]:
    return tuple(ev.Grounded(tick=60 * k, boat=0, speed_mps=0.1) for k in range(times))


def hits(count: float) -> dict:
    met = [ev.Grounded(tick=sailed.tick(430 + k), boat=0, speed_mps=0.2) for k in range(int(3 * count))]
    return {**HEAVE, "happened": [*sailed.events(), *met]}


def beside(other, lies: tuple[float, float, float]) -> dict:
    """Return a run with another boat on a mooring near by."""
    return {"params": {"neighbours": (replace(other, rode_kind="mooring"),)}, "others": [lies]}


def departed(x: float) -> Run:
    """Return a run whose departure ends gone, or with the anchor only home, or with it still out."""
    gone = [ev.Departed(tick=sailed.tick(450))] if x < 0.3 else []
    out = sailed.run(happened=gone, out_m=0.0 if x < 0.7 else FAST["out_m"])
    return replace(sailed.run(), departure=out.track)


# measure: the run spoilt by an amount from 0, good, to 1, quite wrong
WORSE = {
    "ph1.min_ukc_m": lambda x: {"stay": replace(sailed.STAY, low_m=-3.5 * x)},
    "ph1.rode_ratio": lambda x: {"happened": sailed.instead(sailed.plan(rode_m=40.0 - 30.0 * x))},
    "ph1.plan_items": lambda x: {
        "happened": sailed.instead(
            sailed.plan(
                reading="" if x > 0.2 else "read", abort="" if x > 0.4 else "a", escape_rad=0.0 if x > 0.6 else 3.0
            )
        )
    },
    "ph2.max_sog_near_kn": lambda x: {"surge_mps": np.where(sailed.T_S < 95.0, 0.8 + 2.0 * x, FAST["surge_mps"])},
    "ph2.approach_error_deg": lambda x: {"east_m": np.interp(sailed.T_S, [0.0, 98.0], [90.0 * x, 0.0])},
    "ph3.sog_at_touch_kn": lambda x: {"surge_mps": np.where(sailed.between(95.0, 105.0), -0.1 + 1.2 * x, -0.2)},
    "ph3.bow_off_lie_deg": lambda x: {"happened": sailed.instead(sailed.touch(heading_rad=rad(90.0 * x)))},
    "ph3.drop_error_m": lambda x: {"happened": sailed.instead(sailed.touch(north_m=40.0 * x))},
    "ph3.mark_delay_s": lambda x: {
        "happened": sailed.instead(ev.AnchorMarked(tick=sailed.tick(100 + 60 * x), rode=0, north_m=0.0, east_m=0.0))
    },
    "ph4.sternway_kn": lambda x: {"surge_mps": np.where(sailed.between(100.0, 200.0), -0.3 - x, FAST["surge_mps"])},
    "ph4.heap_m": lambda x: {"heap_m": 10.0 * x},
    "ph4.lead_aft_s": lambda x: {
        "lead_rad": np.where(lasting(150.0, 20.0 * x), rad(170.0), 0.0), "tension_n": 900.0,
    },
    "ph4.early_tension_ratio": lambda x: {"anchor_load_n": np.where(sailed.between(105.0, 120.0), 3000.0 * x, 0.0)},
    "ph5.load_steps": steps,
    "ph5.proved_load_ratio": lambda x: {"rode_pull_n": FAST["rode_pull_n"] * (1.0 - x)},
    "ph5.drag_m": lambda x: {"anchor_n_m": np.interp(sailed.T_S, [322.0, 350.0], [0.0, -10.0 * x]), "anchor_e_m": 0.0},
    "ph5.proofs": lambda x: {"happened": kept(int(2 * x), PROOFS)},
    "ph5.scope_ratio": lambda x: {"out_m": FAST["out_m"] * (1.0 - 0.6 * x)},
    "ph6.secured_items": lambda x: {"happened": kept(int(2 * x), SECURED)},
    "rec.lead_ahead": lambda x: {**HEAVE, "lead_rad": np.where(lasting(400.0, 79.0 * x), rad(90.0), 0.0)},
    "rec.windlass_load": lambda x: {**HEAVE, "tension_n": 200.0 + 5000.0 * x},
    "rec.steerage_s": lambda x: {
        "happened": [*sailed.events(), LIFTED], "gear_0": np.where(420.0 + 70.0 * x < sailed.T_S, 1.0, 0.0),
        "attitude": np.where(sailed.T_S >= 420.0, lay.HANGING, FAST["attitude"]),
    },
    "rec.hull_hits": hits,
    "rec.gone": departed,
    "ph1.min_gap_loa": lambda x: beside(worlds.neighbour(0.0, 300.0 - 280.0 * x), (0.0, 300.0 - 280.0 * x, 0.0)),
    "ph1.veer_room": lambda x: {"stay": replace(sailed.STAY, low_m=-3.5 * x)},
    "ph1.bottom_class": lambda x: {
        "params": weedy(), "happened": sailed.instead(sailed.touch(north_m=30.0 - 30.0 * x)),
    },
    "ph2.min_cpa_loa": lambda x: beside(worlds.neighbour(-40.0, 60.0 - 55.0 * x), (-60.0, 60.0 - 55.0 * x, 0.0)),
    "ph4.slack_ratio": lambda x: {"shapes": sailed.slow()[1] * np.array([1.0 - 0.6 * x, 1.0, 1.0])},
    "ph4.chain_off_deg": lambda x: berthed(60.0 * x),
    "ph7.drag_m": lambda x: slept(drag_m=40.0 * x),
    "ph7.min_gap_loa": lambda x: slept(least_gap_m=20.0 * (1.0 - x)),
    "ph7.uplift_min": lambda x: slept(steep_s=3600.0 * x),
    "ph7.contact": lambda x: slept(events=aground(int(3 * x))),
}  # fmt: skip
NOT_HERE = ("leave.",)  # a yes or no


def share(name: str, amount: float) -> float:
    spoilt = WORSE[name](amount)
    found = MEASURES[name](spoilt if isinstance(spoilt, Run) else sailed.run(**spoilt))
    row = ROWS[name]
    return marks(found.value, row.full, row.half, row.zero)


def test_every_measure_is_here():
    assert set(WORSE) == {name for name in MEASURES if not name.startswith(NOT_HERE)}


@pytest.mark.parametrize("name", WORSE)
def test_it_is_full_when_good_and_costs_when_spoilt(name):
    """Otherwise the next test could not fail."""
    assert share(name, 0.0) == 1.0
    assert share(name, 1.0) < 0.7


@pytest.mark.parametrize("name", WORSE)
@settings(max_examples=6, deadline=None)
@given(data=some.data())
def test_worse_never_scores_better(name, data):
    little, much = sorted(data.draw(some.lists(some.floats(0.0, 1.0), min_size=2, max_size=2)))

    assert share(name, much) <= share(name, little) + 1e-9


def test_the_profile_names_every_measure():
    assert {name for name in MEASURES if not name.startswith("leave.")} <= set(ROWS)
