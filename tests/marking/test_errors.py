"""The catalogue of typical errors: every entry has a detector and a sentence, and detectors see what they should."""

import re
from dataclasses import replace

import numpy as np
import pytest
import worlds
from hypothesis import given
from hypothesis import strategies as some
from marking import sailed

from sim.base.units import mps, rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking.errors.catalogue import CATALOGUE, UNSHOWN, ancestors
from sim.marking.errors.found import DETECTORS, find_errors, related, root
from sim.marking.errors.signs import spell, sure
from sim.model import layout as lay
from sim.scenario import library

WORDS = library.load_words("en")
UNITS = r"(?:m|kn|s|min|N|kN|rpm)\b|[%×]"
LEAST_SHOWN = 65


def codes(run) -> set[str]:
    return {e.code for e in find_errors(run)}


def test_the_catalogue_has_a_detector_for_all_that_can_be_shown():
    """Every code is either detected or listed with the reason why it cannot be."""
    assert set(DETECTORS) == set(CATALOGUE)
    assert len(DETECTORS) >= LEAST_SHOWN
    assert not set(UNSHOWN) & set(CATALOGUE)
    assert all(len(reason) > 40 for reason in UNSHOWN.values())


@pytest.mark.parametrize("code", CATALOGUE)
def test_an_entry_has_a_weight_and_known_causes(code):
    entry = CATALOGUE[code]

    assert 1 <= entry.weight <= 5
    assert set(entry.parents) <= set(CATALOGUE)
    assert code not in ancestors(code), "nothing is its own cause"


@pytest.mark.parametrize("code", CATALOGUE)
def test_a_sentence_has_a_number_with_its_unit_a_consequence_and_a_remedy(code):
    """What was seen with its figure, what follows from it, what to do: a sentence each."""
    text = WORDS[f"errors.{code}"]
    seen, so, remedy = re.fullmatch(r"(.+?\.) ([A-Z].+?\.) ([A-Z].+\.)", text).groups()

    assert re.search(rf"\{{\w+\}}(?: ({UNITS})|°|:1)", text), "a number with its unit"
    assert "{" in seen + so
    assert len(so.split()) >= 3
    assert len(remedy.split()) >= 4


def test_a_good_run_shows_none():
    assert find_errors(sailed.run()) == ()


def test_every_detector_answers_an_empty_attempt():
    """Nothing was done, so nothing was done wrongly."""
    assert codes(sailed.run([])) == set()


THRUST = sailed.fast()["thrust_n_0"]
FULL = 0.85 * 22.7  # revolutions a second, astern
LATE = sailed.T_S > 210.0
SPOILT = {
    "A1": {"happened": sailed.instead(sailed.plan(depth_m=3.0))},
    "A2": {"happened": sailed.instead(sailed.plan(rode_m=25.0))},
    "A10": {"happened": sailed.instead(sailed.plan(escape_rad=0.0))},
    "A14": {"happened": sailed.without(ev.PlanMade)},
    "B3": {"happened": sailed.instead(sailed.touch(along_mps=mps(0.7)))},
    "B5": {"heap_m": np.where(sailed.between(110.0, 120.0), 7.0, 0.0)},
    "B6": {"happened": sailed.instead(sailed.touch(heading_rad=rad(60.0)))},
    "B7": {"surge_mps": np.where(sailed.between(55.0, 95.0), 0.0, sailed.fast()["surge_mps"])},
    "B9": {"happened": sailed.instead(sailed.plan(depth_m=0.0))},
    "B11": {"happened": sailed.without(ev.AnchorMarked)},
    "C1": {"surge_mps": np.where(sailed.between(110.0, 125.0), -mps(2.0), sailed.fast()["surge_mps"])},
    "C5": {"lead_rad": np.where(sailed.between(150.0, 165.0), rad(170.0), 0.0), "tension_n": 900.0},
    "C9": {"happened": sailed.instead(sailed.plan(rode_m=45.0))},
    "C10": {"happened": [*sailed.events(), ev.ChainOut(tick=sailed.tick(200), rode=0, lost=True)]},
    "D1": {"rps_0": np.where(sailed.T_S > 320.0, FULL, 0.3 * FULL), "gear_0": np.where(LATE, -1.0, 0.0)},
    "D4": {"thrust_n_0": 0.0, "rode_pull_n": 100.0},
    "D5": {"thrust_n_0": np.where(sailed.between(290.0, 330.0), -9000.0, 0.0)},
    "D6": {"happened": sailed.without(ev.TransitTaken)},
    "D8": {"happened": sailed.without(ev.CrewAsked)},
    "D12": {"stopper": 0.0},
    "E1": {"hook": -1.0},
    "E2": {"hook": -1.0, "stopper": 0.0},
    "E4": {"happened": sailed.instead(ev.AlarmSet(tick=21600, north_m=-36.0, east_m=0.0, radius_m=55.0, on=True))},
    "E5": {"happened": sailed.instead(ev.AlarmSet(tick=21600, north_m=1.0, east_m=0.0, radius_m=200.0, on=True))},
    "E7": {"happened": sailed.without(ev.LightsShown)},
    "E8": {"orders": ((sailed.tick(470), cmd.Stopper(on=True)),)},
    "E13": {"happened": [*sailed.events(), ev.AlarmRang(tick=sailed.tick(400), distance_m=60.0)]},
}  # fmt: skip


@pytest.mark.parametrize("code", SPOILT)
def test_a_run_spoilt_in_one_way_shows_the_error(code):
    """The good run by hand with one thing changed."""
    found = {e.code: e for e in find_errors(sailed.run(**SPOILT[code]))}

    assert code in found
    assert 0.5 <= found[code].certainty <= 1.0
    assert "{" not in found[code].text()


def test_the_engine_in_gear_over_the_chain_is_a_screw_in_it():
    met = ev.ChainTouched(tick=sailed.tick(160), rode=0, part="propeller", in_gear=True)

    assert "C6" in codes(sailed.run([*sailed.events(), met]))
    assert "C6" not in codes(sailed.run([*sailed.events(), replace(met, in_gear=False)]))


def test_the_stream_carries_her_on_while_the_log_shows_nothing():
    stopped = sailed.instead(sailed.touch(along_mps=mps(0.8)))

    assert "B4" in codes(sailed.run(stopped, stream_n_mps=mps(0.8)))
    assert "B4" not in codes(sailed.run(stopped))


def test_speed_with_the_anchor_hanging_and_nobody_at_the_helm():
    """Lifted at 400 s: three knots on, and no gear for the rest of the run."""
    lifted = [*sailed.events(), ev.AnchorAweigh(tick=sailed.tick(400), rode=0)]
    hanging = np.where(sailed.T_S >= 400.0, lay.HANGING, sailed.fast()["attitude"])
    found = codes(sailed.run(lifted, attitude=hanging, surge_mps=np.where(sailed.T_S > 399.0, mps(3.0), -0.1)))

    assert {"F3", "F4", "F5"} <= found


def test_a_parent_is_named_only_where_it_was_found():
    spoilt = sailed.run(**SPOILT["E2"])
    both = {e.code: e for e in find_errors(spoilt)}

    assert both["E2"].parents == ("E1",)
    assert root(both["E2"], both.values()).code == "E1"
    assert related(both["E1"], both["E2"])


@given(some.floats(-10.0, 10.0), some.floats(-10.0, 10.0), some.floats(0.01, 5.0), some.booleans())
def test_certainty_grows_with_the_error_and_stays_between_half_and_one(value, threshold, width, rises):
    plain = threshold + width if rises else threshold - width
    worse = value + 0.5 if rises else value - 0.5

    assert 0.5 <= sure(value, threshold, plain) <= sure(worse, threshold, plain) <= 1.0
    assert sure(threshold, threshold, plain) == 0.5
    assert sure(plain, threshold, plain) == 1.0


@given(some.lists(some.booleans(), min_size=1, max_size=60), some.integers(0, 10))
def test_a_spell_is_the_first_long_enough(held, least):
    """Against the plain way: look at every start."""
    t_s = np.arange(len(held), dtype=float)
    mask = np.array(held)
    starts = [k for k in range(len(held)) if held[k] and (k == 0 or not held[k - 1])]
    ends = [next((j - 1 for j in range(k, len(held)) if not held[j]), len(held) - 1) for k in starts]
    long = [(float(a), float(b)) for a, b in zip(starts, ends, strict=True) if b - a >= least]

    assert spell(t_s, mask, float(least)) == (long[0] if long else None)


NIGHT = replace(sailed.STAY, night=True)


def left_for_the_night(*orders: cmd.Command, alarm: bool = False, **changed) -> set[str]:
    happened = sailed.events() if alarm else sailed.without(ev.AlarmSet)
    told = tuple((sailed.tick(400), order) for order in orders)
    return codes(sailed.run(happened, orders=told, **{"stay": NIGHT, **changed}))


def test_a_night_left_to_neither_alarm_nor_orders_is_no_watch():
    """One of the two is enough, and a stop with people on deck needs neither."""
    assert "E9" in left_for_the_night()
    assert "E9" in left_for_the_night(cmd.WatchOrders())
    assert "E9" not in left_for_the_night(alarm=True)
    assert "E9" not in left_for_the_night(cmd.WatchOrders(drag_m=10.0))
    assert "E9" not in left_for_the_night(stay=replace(sailed.STAY, night=False))


@pytest.mark.parametrize("language", ["en", "de"])
def test_every_way_of_an_error_has_its_sentence(language):
    run = sailed.run(sailed.without(ev.AlarmSet), stay=NIGHT)
    (found,) = (e for e in find_errors(run) if e.code == "E9")

    assert found.way == "night"
    assert "{" not in found.text(language)
    assert re.fullmatch(r".+\d min.+\. [A-ZÖ].+\. [A-Z].+\.", found.text(language))


@pytest.mark.parametrize(("at_s", "lost", "found"), [(200.0, False, True), (345.0, False, False), (345.0, True, True)])
def test_all_the_chain_out_is_an_error_until_nylon_has_the_load(at_s, lost, found):
    """Hooked at 340 s: an end made fast carries nothing afterwards; one that is not has gone overboard."""
    ran = [*sailed.events(), ev.ChainOut(tick=sailed.tick(at_s), rode=0, lost=lost)]

    assert ("C10" in codes(sailed.run(sorted(ran, key=lambda e: e.tick)))) is found


@pytest.mark.parametrize(("gave_m", "found"), [(0.6, False), (1.4, True)])
def test_a_give_is_more_than_bedding_in(gave_m, found):
    """All of it within two seconds of the third step of load."""
    north = np.interp(sailed.T_S, [300.0, 302.0], [0.0, -gave_m])

    assert ("D13" in codes(sailed.run(anchor_n_m=north, anchor_e_m=0.0))) is found


@pytest.mark.parametrize(("about_deg", "found"), [(0.0, False), (40.0, True)])
def test_how_another_lies_is_the_mean_of_her_sheering(about_deg, found):
    """She sheers forty degrees either way, and is at one end of it just as the anchor touches."""
    still = sailed.run(params={"neighbours": (worlds.neighbour(60.0, 40.0),)}, others=[(20.0, 40.0, 0.0)])
    poses = still.track.others.copy()
    sheering = np.cos(2.0 * np.pi * (still.track.slow_t_s - sailed.TOUCH_S) / 50.0)
    poses[:, 0, 2] = np.radians(about_deg + 40.0 * sheering)

    assert ("A5" in codes(replace(still, track=replace(still.track, others=poses)))) is found
