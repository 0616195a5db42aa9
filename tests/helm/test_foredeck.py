"""Each call of the foredeck by its definition: when it comes, when it stays unsaid, and that it is not repeated.

Definitions are common practice; figures are judgement.
"""

import math
from collections.abc import Callable

import numpy as np
import pytest
import worlds

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core import state as st
from sim.core.world import World
from sim.helm import crew as crews
from sim.helm import foredeck as fd
from sim.helm.crew import Call, Crew
from sim.helm.lead import Lead
from sim.model import layout as lay

Act = Callable[["Bow"], object]
HEIGHT_M = 6.5  # roller above the bed in five metres of water


class Bow:
    """A hand at the bow of a world that stands still, on a rode that a test lays as it likes."""

    def __init__(self, **changes) -> None:
        self.world: World = worlds.world(**changes)
        self.crew = Crew(self.world)
        self.said: list[Call] = []
        self.s = self.world.state

    def rode(self, out_m: float, pull: float, bearing_deg: float = 0.0, slope_deg: float = 30.0) -> "Bow":
        """Lay a rode: so long, ``pull`` times the weight that hangs straight down, leading so off the bow."""
        s, line = self.s, self.s.lines[0]
        nodes = s.nodes[0]
        bearing, slope = math.radians(bearing_deg), math.radians(slope_deg)
        line[lay.L_COUNT], line[lay.L_OUT] = 4.0, out_m
        roller = np.array([worlds.SLOOP.roller_x_m, 0.0, worlds.SLOOP.roller_height_m])
        step = np.array([math.cos(bearing) * math.cos(slope), math.sin(bearing) * math.cos(slope), -math.sin(slope)])
        for k in range(4):
            nodes[k, : lay.N_Z + 1] = roller + (3 - k) * step
        weight = float(self.world.params.rodes[0].line[lay.LP_WEIGHT]) * min(HEIGHT_M, out_m)
        line[[lay.L_FN, lay.L_FE, lay.L_FZ]] = pull * weight, 0.0, 0.0
        line[lay.L_TENSION] = pull * weight
        if s.anchors[0, lay.A_ATTITUDE] == lay.STOWED:
            s.anchors[0, lay.A_ATTITUDE] = lay.SET
            s.crew[fd.Q_BEEN_DOWN] = 1.0
        return self

    def wait(self, for_s: float, *happened: ev.Event) -> list[str]:
        """Let the hand stand there and return the keys of what is said."""
        before = len(self.said)
        for k in range(round(for_s * TICK_HZ)):
            self.s.clock[st.K_TICK] += 1
            worlds.log_now(self.world)
            self.said += self.crew.step(happened if k == 0 else ())
        return [call.key for call in self.said[before:]]

    def anchor(self, **values: float) -> "Bow":
        """Set columns of the anchor."""
        for name, value in values.items():
            self.s.anchors[0, getattr(lay, name)] = value
        return self

    def line(self, **values: float) -> "Bow":
        """Set columns of the rode."""
        for name, value in values.items():
            self.s.lines[0, getattr(lay, name)] = value
        return self


def laid(out_m: float = 30.0, pull: float = 2.0, **changes) -> Bow:
    """Return a rode out with nothing more to say about it."""
    bow = Bow(**changes).rode(out_m, pull)
    bow.wait(30.0)
    return bow


def said_once(
    bow: Bow, key: str, enter: Callable[[Bow], object], leave: Callable[[Bow], object], lasts_s: float
) -> None:
    """Check one call: not before it has lasted, then once, not again while it lasts, again after it has been left."""
    assert key not in [c.key for c in bow.said]
    enter(bow)
    if lasts_s > 0.5:
        assert key not in bow.wait(lasts_s - 0.4)
    assert bow.wait(8.0).count(key) == 1
    assert key not in bow.wait(30.0), "not again while it lasts"
    leave(bow)
    bow.wait(12.0)
    enter(bow)
    bow.s.crew[fd.Q_LAST] = 0.0  # something else has been told meanwhile
    assert key in bow.wait(20.0)


def test_cleared_away_when_nothing_holds_the_anchor_but_the_brake():
    assert Bow().wait(10.0).count("ready") == 1
    held = Bow()
    held.line(L_STOPPER=1.0)
    assert "ready" not in held.wait(10.0)


def test_let_go_is_told_a_second_or_two_late():
    bow = Bow().line(L_STOPPER=1.0)
    assert bow.wait(0.9, ev.AnchorLetGo(tick=0, rode=0)) == []
    assert bow.wait(1.2) == ["anchors_gone"]


@pytest.mark.parametrize(("motion", "key"), [(0.0, "on_the_bottom"), (1.0, "walked_back")])
def test_on_the_bottom_let_go_or_walked_back(motion, key):
    bow = Bow().rode(7.0, 1.0, slope_deg=85.0).line(L_MOTION=motion)
    touch = ev.AnchorTouched(
        tick=0, rode=0, north_m=0.0, east_m=0.0, depth_m=5.0, bottom="S", along_mps=0.0, speed_mps=0.0,
        heading_rad=0.0, out_m=6.6,
    )  # fmt: skip
    bow.wait(0.9, touch)
    bow.wait(2.0)
    told = [c for c in bow.said if c.key == key]

    assert [c.values["out_m"] for c in told] == [7.0]


def test_a_cockbill_when_it_hangs_clear_of_the_roller_above_the_water():
    bow = Bow()
    bow.anchor(A_ATTITUDE=lay.HANGING).rode(0.9, 1.0, slope_deg=20.0)
    assert "a_cockbill" in bow.wait(8.0)

    under = Bow()
    under.anchor(A_ATTITUDE=lay.HANGING).rode(3.0, 1.0, slope_deg=88.0)
    assert "a_cockbill" not in under.wait(8.0)


def test_walking_back_while_it_is_lowered_under_power():
    bow = Bow().anchor(A_ATTITUDE=lay.HANGING).rode(3.0, 1.0, slope_deg=85.0).line(L_MOTION=1.0, L_RATE=0.3)
    assert "walking_back" in bow.wait(8.0)

    free = Bow().anchor(A_ATTITUDE=lay.HANGING).rode(3.0, 1.0, slope_deg=85.0).line(L_RATE=0.8, L_BRAKE=0.0)
    assert "walking_back" not in free.wait(8.0)


def test_veering_under_control_only():
    bow = laid()
    said_once(bow, "veering", lambda b: b.line(L_RATE=0.3, L_BRAKE=0.5), lambda b: b.line(L_RATE=0.0, L_BRAKE=1.0), 2.0)
    assert "veering" not in laid().line(L_RATE=0.3, L_BRAKE=0.0).wait(8.0), "free run is not veering"


def test_checking_when_the_brake_takes_hold_of_running_chain():
    bow = laid().line(L_RATE=0.5, L_BRAKE=0.2)
    bow.wait(4.0)
    bow.line(L_RATE=0.1, L_BRAKE=0.7).rode(30.0, 2.6)

    assert "checking" in bow.wait(2.0)
    assert "checking" not in laid().line(L_RATE=0.5, L_BRAKE=0.2).wait(6.0)


def test_snubbed_once_chain_that_ran_has_been_still_under_weight():
    bow = laid().line(L_RATE=0.5)
    assert "snubbed" not in bow.wait(6.0)
    bow.line(L_RATE=0.0)
    assert bow.wait(10.0).count("snubbed") == 1
    assert "snubbed" not in bow.wait(20.0)


@pytest.mark.parametrize(
    ("ratio", "pull", "slope_deg", "stay"),
    [
        (1.0, 1.0, 88.0, "up_and_down"), (1.4, 1.2, 60.0, "short"), (2.2, 1.5, 50.0, "medium"),
        (4.0, 1.6, 40.0, "long"), (4.0, 1.0, 85.0, "slack"), (2.2, 1.05, 70.0, "slack"),
    ],
)  # fmt: skip
def test_how_the_rode_stands(ratio, pull, slope_deg, stay):
    """Up and down; short, medium and long stay by rode over height and a taut rode; slack below the hanging weight."""
    bow = Bow().rode(ratio * HEIGHT_M, pull, slope_deg=slope_deg)
    bow.wait(8.0)
    told = [c for c in bow.said if c.key == "lead"]

    assert [c.values["stay"] for c in told] == [stay]


def test_a_stay_that_was_told_is_left_by_a_fifth():
    """Long stay from 1.3 times the hanging weight: it is slack again below 1.1, not where it came from."""
    lead = Lead(0.0, math.radians(40.0), 1.2 * 100.0, 100.0, 4.0 * HEIGHT_M, HEIGHT_M)
    assert lead.stay == "slack"
    assert lead.is_still("long", fd.MORE)
    assert not lead._replace(tension_n=105.0).is_still("long", fd.MORE)
    assert lead.is_still("slack", fd.MORE)


@pytest.mark.parametrize(
    ("bearing_deg", "sector", "side"),
    [
        (10.0, "ahead", "starboard"), (-40.0, "bow", "port"), (90.0, "abeam", "starboard"),
        (-140.0, "quarter", "port"), (170.0, "under", "starboard"),
    ],
)  # fmt: skip
def test_growing_is_the_direction_in_which_it_leads(bearing_deg, sector, side):
    bow = Bow().rode(30.0, 2.0, bearing_deg)
    bow.wait(8.0)
    told = next(c for c in bow.said if c.key == "lead")

    assert (told.values["sector"], told.values["side"]) == (sector, side)


def test_clock_form():
    """Two o'clock is sixty degrees to starboard."""
    bow = Bow().rode(30.0, 2.0, 60.0)
    bow.wait(3.0, ev.CrewAsked(tick=0, question="lead"))

    assert next(c for c in bow.said if c.key == "she_leads").values["hour"] == 2


@pytest.mark.parametrize(("side", "key"), [(1.0, "bow_off_starboard"), (-1.0, "bow_off_port")])
def test_bow_going_off_when_it_turns_away_from_the_wind(side, key):
    bow = laid(weather=worlds.steady(12.0))
    own = bow.s.boats[0]

    def goes_off(_: Bow) -> None:
        own[[lay.B_HEADING, lay.B_YAW_RATE]] = side * math.radians(20.0), side * math.radians(2.0)

    def comes_back(_: Bow) -> None:
        own[[lay.B_HEADING, lay.B_YAW_RATE]] = 0.0, 0.0

    said_once(bow, key, goes_off, comes_back, 1.0)
    own[[lay.B_HEADING, lay.B_YAW_RATE]] = side * math.radians(20.0), -side * math.radians(2.0)
    assert key not in bow.wait(10.0)[-1:], "coming back is not going off"


def test_coming_to_when_the_bow_turns_back_to_a_chain_that_takes_weight():
    bow = laid()
    said: list[str] = []
    for k in range(20):
        bow.rode(30.0, 2.0 + 0.1 * k, 60.0 - 2.0 * k)
        said += bow.wait(1.0)

    assert "coming_to" in said


def peaked(bow: Bow) -> None:
    """Let the strain rise, and fall off as she springs ahead."""
    bow.rode(30.0, 6.0)
    bow.wait(1.0)
    bow.s.boats[0, lay.B_SURGE] = 0.3
    bow.wait(1.5)
    bow.rode(30.0, 2.0)
    bow.s.boats[0, lay.B_SURGE] = 0.0


def test_brought_up_after_the_strain_has_peaked_and_eased_and_she_has_sprung_ahead():
    bow = laid()
    peaked(bow)
    assert bow.wait(30.0).count("brought_up") == 1
    peaked(bow)
    assert "brought_up" not in bow.wait(30.0), "once, until chain runs again"


@pytest.mark.parametrize(
    "spoil",
    [
        pytest.param(lambda b: b.anchor(A_SPEED=0.02), id="anchor still moving"),
        pytest.param(lambda b: b.rode(30.0, 2.0, 45.0), id="leads abeam"),
        pytest.param(lambda b: b.s.boats[0].__setitem__(lay.B_SURGE, -0.4), id="still going astern"),
        pytest.param(lambda b: b.rode(30.0, 6.0), id="strain not eased"),
        pytest.param(lambda b: b.anchor(A_ATTITUDE=lay.HANGING), id="not on the bottom"),
    ],
)
def test_not_brought_up(spoil):
    bow = laid()
    peaked(bow)
    spoil(bow)

    assert "brought_up" not in bow.wait(20.0)


def astern(bow: Bow) -> None:
    bow.s.shafts[0, lay.S_GEAR] = -1.0


def test_holding_when_the_anchor_stands_under_a_load_for_ten_seconds_and_anew_at_the_next_step():
    bow = laid()
    astern(bow)
    bow.rode(30.0, 4.0)
    assert "holding" not in bow.wait(9.0)
    assert "holding" in bow.wait(8.0)
    assert "holding" not in bow.wait(30.0)
    bow.rode(30.0, 7.0)
    assert "holding" in bow.wait(20.0), "a new step of force"

    adrift = laid().anchor(A_SPEED=0.02)
    astern(adrift)
    adrift.rode(30.0, 4.0)
    assert "holding" not in adrift.wait(30.0)


def test_dragging_after_five_seconds_under_load():
    bow = laid()
    said_once(bow, "dragging", lambda b: b.anchor(A_SPEED=0.05, A_LOAD=900.0), lambda b: b.anchor(A_SPEED=0.0), 5.0)
    assert "dragging" not in laid().anchor(A_SPEED=0.05, A_LOAD=10.0).wait(20.0), "no load, no drag"


def test_a_tremor_when_the_strain_shakes_or_the_anchor_creeps_on_and_off():
    bow = laid()
    said: list[str] = []
    for k in range(240):
        bow.rode(30.0, 2.0 + (0.8 if k % 10 < 5 else -0.6))  # three hertz
        said += bow.wait(2.0 / TICK_HZ)
    assert "trembling" in said

    slow = laid()
    said = []
    for k in range(60):
        slow.rode(30.0, 2.0 + 0.8 * math.sin(2.0 * math.pi * k / 24.0))  # once in twelve seconds
        said += slow.wait(0.5)
    assert "trembling" not in said
    assert "trembling" in laid().anchor(A_SPEED=0.02).wait(10.0)


def test_coming_home_when_heaving_brings_the_anchor_and_not_the_boat():
    bow = laid().line(L_MOTION=-1.0, L_RATE=-0.3).anchor(A_SPEED=0.1)
    assert "coming_home" in bow.wait(6.0)
    assert "coming_home" not in laid().line(L_MOTION=-1.0, L_RATE=-0.3).wait(6.0)


def test_heaving_then_hove_short():
    bow = laid().line(L_MOTION=-1.0, L_RATE=-0.3)
    assert "heaving" in bow.wait(8.0)
    bow.line(L_MOTION=0.0, L_RATE=0.0).rode(1.4 * HEIGHT_M, 1.3, slope_deg=60.0)
    assert "hove_short" in bow.wait(30.0)

    never = Bow().rode(1.4 * HEIGHT_M, 1.3, slope_deg=60.0)
    assert "hove_short" not in never.wait(30.0), "going down she is not hove short"


@pytest.mark.parametrize(("clog", "key"), [(0.0, "sighted_clear"), (0.5, "sighted_foul")])
def test_sighted_in_the_last_two_metres_coming_up(clog, key):
    bow = Bow().rode(4.0, 1.2, slope_deg=88.0).anchor(A_ATTITUDE=lay.HANGING, A_CLOG=clog)
    bow.line(L_MOTION=-1.0, L_RATE=-0.2)
    assert key in bow.wait(10.0)

    night = Bow(night=True).rode(4.0, 1.2, slope_deg=88.0).anchor(A_ATTITUDE=lay.HANGING, A_CLOG=clog)
    night.line(L_MOTION=-1.0, L_RATE=-0.2)
    assert key not in night.wait(10.0), "nothing is seen under water by night"


@pytest.mark.parametrize(
    ("event", "key"),
    [
        (ev.AnchorAweigh(tick=0, rode=0), "aweigh"),
        (ev.AnchorHome(tick=0, rode=0), "home"),
        (ev.ChainUnderHull(tick=0, rode=0), "under_the_boat"),
        (ev.BrakeSlipped(tick=0, rode=0, tension_n=900.0), "surging"),
    ],
)
def test_what_cannot_be_missed_is_told_within_two_seconds(event, key):
    assert key in laid().wait(2.1, event)


def test_foul_hawse_when_two_rodes_are_crossed():
    bow = laid()
    said_once(bow, "foul_hawse", lambda b: b.line(L_CROSSED=3.0), lambda b: b.line(L_CROSSED=-1.0), 2.0)


def test_yawing_after_three_changes_of_side_in_three_minutes():
    bow = laid()
    for k in range(5):
        bow.rode(30.0, 2.0, 35.0 if k % 2 else -35.0)
        bow.wait(40.0)
    assert "yawing" in [c.key for c in bow.said]

    gentle = laid()
    for k in range(5):
        gentle.rode(30.0, 2.0, 15.0 if k % 2 else -15.0)
        gentle.wait(40.0)
    assert "yawing" not in [c.key for c in gentle.said]


def test_weight_is_on_the_snubber_when_the_chain_inboard_of_the_hook_hangs_in_a_loop():
    bow = laid().line(L_HOOK=2.0, L_SNUB_A=900.0, L_TENSION=60.0)
    assert "on_the_snubber" in bow.wait(8.0)
    assert "on_the_snubber" not in laid().line(L_HOOK=2.0, L_SNUB_A=300.0, L_TENSION=400.0).wait(8.0)


def test_lengths_are_counted_in_tens_each_once():
    bow = Bow()
    for out in (8.0, 12.0, 18.0, 23.0, 22.0, 31.0, 19.0):
        bow.rode(out, 2.0)
        bow.wait(12.0)
    told = [(c.key, c.values["out_m"]) for c in bow.said if c.key in ("metres_out", "metres_left")]

    assert told == [("metres_out", 10.0), ("metres_out", 20.0), ("metres_out", 30.0), ("metres_left", 10.0)]


def test_a_green_hand_counts_and_points_wrong_within_his_limits_and_an_able_one_does_not():
    """Up to five metres of count and fifteen degrees of bearing, as the seed has it (common practice, no source)."""
    slips, turns = [], []
    for seed in range(1, 25):
        able, green = (Bow(seed=seed, crew=level) for level in ("able", "novice"))
        for bow in (able, green):
            bow.rode(31.0, 2.0, 40.0)
            bow.wait(15.0)
        counts = [next(c.values["out_m"] for c in bow.said if c.key == "metres_out") for bow in (able, green)]
        assert counts[0] == 30.0
        slips.append(float(counts[1]) - 30.0)
        lead = Lead(math.radians(40.0), 0.5, 300.0, 130.0, 31.0, HEIGHT_M)
        assert able.crew.as_told(lead) == lead
        turns.append(math.degrees(green.crew.as_told(lead).bearing_rad) - 40.0)

    assert max(map(abs, slips)) <= crews.GREEN_COUNT_M
    assert max(map(abs, turns)) <= 15.0 + 1e-9
    assert len(set(slips)) > 4
    assert np.std(turns) > 4.0


def test_dragging_is_told_before_a_lead_and_a_lead_before_a_count():
    bow = laid(out_m=19.0)
    bow.rode(31.0, 2.0, 90.0).anchor(A_SPEED=0.05, A_LOAD=900.0)
    bow.s.crew[fd.Q_SPOKE] = bow.s.tick + 4.0 * TICK_HZ  # hands busy for seven seconds
    said = bow.wait(20.0)

    assert said[:3] == ["dragging", "lead", "metres_out"]


def test_what_is_on_the_tongue_is_in_the_snapshot():
    bow = laid()
    bow.wait(0.5, ev.AnchorAweigh(tick=0, rode=0))
    saved = st.snapshot(bow.s)
    first = bow.wait(3.0)
    st.restore(bow.s, saved)

    assert "aweigh" in first
    assert bow.wait(3.0) == first
