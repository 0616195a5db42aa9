"""The foredeck: says what it sees and feels, when it is so, briefly and not too often; never what it cannot know."""

import math
import re
from collections.abc import Callable
from itertools import pairwise

import pytest
import worlds

from sim.base.units import TICK_HZ
from sim.core.events import ChainUnderHull, CrewAsked
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.core.step import advance
from sim.core.world import World
from sim.helm import crew
from sim.helm.crew import Call, Crew
from sim.model import layout as lay
from sim.scenario import library

LESSONS = ("hazel-cove", "lantern-pool", "lantern-pool-2")
AT_ONCE = {*crew.PROMPT, "all_stowed"}
CAN_BE_TOLD = {"out_m", "sector", "side", "hour", "stay", "feel"}


class Deck:
    """A world with a hand on its foredeck."""

    def __init__(self, world: World) -> None:
        self.world, self.crew, self.calls, self.out_m = world, Crew(world), [], {}

    def run(self, for_s: float, *orders: Command) -> list[Call]:
        """Give orders, let time pass, and return what was said."""
        before = len(self.calls)
        for k in range(round(for_s * TICK_HZ)):
            self.calls += self.crew.step(advance(self.world, orders if k == 0 else ()))
            self.out_m[self.world.state.tick] = float(self.world.state.lines[0, lay.L_OUT])
        return self.calls[before:]

    def until(self, key: str) -> None:
        """Let time pass until ``key`` is called, two minutes at most."""
        for _ in range(120 * TICK_HZ):
            if key in keys(self.run(1.0 / TICK_HZ)):
                return
        raise AssertionError(f"{key} was not called")

    def lay(self, out_m: float) -> None:
        """Let go and check the chain in step with her as the wind takes her back."""
        self.run(4.0, cmd.Brake(grip=0.0))
        for _ in range(300 * TICK_HZ):
            if self.world.state.lines[0, lay.L_OUT] >= out_m:
                break
            astern = -float(self.world.state.boats[0, lay.B_SURGE])
            free = float(self.world.state.lines[0, lay.L_RATE]) < 0.1 + astern
            self.run(1.0 / TICK_HZ, cmd.Brake(grip=0.0 if free else 0.4))
        self.run(1.0 / TICK_HZ, cmd.Brake(grip=1.0))


def deck(out_m: float = 25.0, wind_kn: float = 10.0, hold_n: float = 7000.0) -> Deck:
    """Return a deck after letting go in 5 m of water, ``out_m`` of chain laid."""
    hand = Deck(worlds.world(weather=worlds.steady(wind_kn), rodes=(worlds.rode(hold_n=hold_n),)))
    hand.lay(out_m)
    return hand


def keys(calls: list[Call]) -> list[str]:
    return [call.key for call in calls]


def test_letting_go_and_touching_bottom_are_told_with_the_length():
    hand = deck()

    assert keys(hand.calls)[0] == "anchors_gone"
    touched = next(call for call in hand.calls if call.key == "on_the_bottom")
    assert 5.0 <= touched.values["out_m"] <= 8.0


def counted(seed: int, gone: float) -> list[tuple[float, float]]:
    """Return (metres called, metres out) of every call while 45 m run out with so many marks gone."""
    hand = Deck(worlds.world(weather=worlds.steady(10.0), seed=seed))
    hand.run(0.1, cmd.Fault(what="marks", value=gone))
    hand.lay(48.0)
    return [(float(call.values["out_m"]), hand.out_m[call.tick]) for call in hand.calls if call.key == "metres_out"]


def test_a_missing_mark_puts_the_count_ten_metres_short_from_there_on():
    """Tens are still called in order; from the missing mark on each is a mark late, and the seed says which it is."""
    sound = counted(1, 0.0)
    short = {seed: counted(seed, 1.0) for seed in range(1, 7)}

    assert [told for told, _ in sound] == [10.0, 20.0, 30.0, 40.0]
    begins = set()
    for calls in short.values():
        told = [length for length, _ in calls]
        slips = [round((out - length) / 10.0) for length, out in calls]
        assert told == [10.0 * (k + 1) for k in range(len(told))]
        assert slips == sorted(slips)
        assert set(slips) <= {0, 1}
        begins.add(slips.count(0))
    assert len(begins) > 1
    assert counted(3, 1.0) == short[3]


def test_tens_of_metres_are_counted_out_and_back():
    hand = deck(out_m=32.0)
    assert [c.values["out_m"] for c in hand.calls if c.key == "metres_out"] == [10.0, 20.0, 30.0]

    calls = hand.run(75.0, cmd.Windlass(motion=-1))
    assert [c.values["out_m"] for c in calls if c.key == "metres_left"] == [20.0, 10.0]


def test_brought_up_is_called_when_way_is_off_and_she_lies_to_her_chain():
    hand = deck()
    hand.until("brought_up")
    own, anchor = hand.world.state.boats[0], hand.world.state.anchors[0]

    assert math.hypot(own[lay.B_SURGE], own[lay.B_SWAY]) < 0.15
    assert abs(worlds.heading_deg(hand.world)) < 30.0, "head to the northerly"
    assert anchor[lay.A_SPEED] < 0.01
    assert "brought_up" not in keys(hand.run(60.0)), "told once"


def test_an_anchor_that_comes_home_under_load_is_called_dragging():
    hand = deck(out_m=20.0, hold_n=700.0)
    hand.run(60.0, cmd.Stopper(on=True))
    there = hand.world.state.nodes[0, 0, :2].copy()
    calls = hand.run(60.0, cmd.Engine(lever=-0.6))

    assert "dragging" in keys(calls)
    assert abs(hand.world.state.nodes[0, 0, :2] - there).max() > 1.0


def test_an_anchor_that_holds_is_not_called_dragging():
    hand = deck(out_m=35.0)
    hand.run(60.0, cmd.Stopper(on=True))
    hand.run(60.0, cmd.Engine(lever=-0.3))  # let it bury
    calls = hand.run(60.0)

    assert "dragging" not in keys(calls)


def test_aweigh_and_home_are_called_as_she_is_hove_up():
    hand = deck()
    hand.run(30.0)
    calls = hand.run(120.0, cmd.Windlass(motion=-1))

    assert [key for key in keys(calls) if key in ("aweigh", "home")] == ["aweigh", "home"]
    assert hand.world.state.anchors[0, lay.A_ATTITUDE] == lay.STOWED


def test_chain_under_the_boat_is_called_at_once_and_once():
    hand = deck()
    hand.run(60.0)
    assert keys(hand.run(60.0, cmd.Engine(lever=0.4))).count("under_the_boat") == 1


def test_weight_on_the_snubber_is_called_when_the_nylon_has_the_load():
    hand = deck(out_m=25.0, wind_kn=18.0)
    hand.run(60.0)
    hand.run(1.0, cmd.Snubber(on=True))
    assert "on_the_snubber" not in keys(hand.calls), "the chain still has it"
    hand.run(0.1, cmd.Windlass(motion=1))
    hand.until("on_the_snubber")
    line = hand.world.state.lines[0]

    assert line[lay.L_SNUB_A] > 3.0 * line[lay.L_TENSION]
    assert "on_the_snubber" not in keys(hand.run(60.0, cmd.Windlass(motion=0))), "told once"


def test_how_does_she_lead_always_gets_an_answer():
    hand = Deck(worlds.world())
    assert "all_stowed" in keys(hand.run(2.1, cmd.AskCrew()))

    hand = deck()
    said = [key for _ in range(5) for key in keys(hand.run(0.2, cmd.AskCrew()))]  # five questions within one second
    said += keys(hand.run(2.1))
    assert said.count("she_leads") == 5


def test_of_several_things_the_warning_comes_before_the_lead():
    """Priority: warning, dragging, lead, count."""
    hand = deck()
    hand.run(30.0)
    tick = hand.world.state.tick
    hand.crew.step([CrewAsked(tick=tick, question="lead"), ChainUnderHull(tick=tick, rode=0)])
    said = [key for key in keys(hand.run(2.1)) if key in crew.PROMPT]

    assert said == ["under_the_boat", "she_leads"]


@pytest.mark.parametrize("lesson", LESSONS)
def test_unprompted_calls_keep_three_seconds_apart(lesson, sailed):
    """A hand forward does not chatter; what cannot wait (bottom, aweigh, a warning, an answer) does not."""
    calls = sailed(lesson).exercise.calls
    gaps = [(later.tick - earlier.tick) / TICK_HZ for earlier, later in pairwise(calls) if later.key not in AT_ONCE]

    assert len(gaps) > 10
    assert min(gaps) >= 3.0


@pytest.mark.parametrize("lesson", LESSONS)
def test_nothing_is_said_twice_running(lesson, sailed):
    """Repeat only on a change: the same words again would be noise. That she holds is told of each load."""
    speak = library.load_words("en")
    calls = [c for c in sailed(lesson).exercise.calls if c.key not in AT_ONCE]
    said = [speak[f"foredeck.{c.key}"].format(**c.values) for c in calls]

    assert all(now != before or now == speak["foredeck.holding"] for before, now in pairwise(said)), said


@pytest.mark.parametrize("lesson", LESSONS)
def test_every_call_is_a_key_of_the_word_list_with_all_its_gaps_filled(lesson, sailed):
    words = library.load_words("en")
    for call in sailed(lesson).exercise.calls:
        gaps = set(re.findall(r"\{(\w+)\}", words[f"foredeck.{call.key}"])) - {"sector", "stay", "feel"}
        assert gaps <= set(call.values)
        for part in ("sector", "stay", "feel", "side"):
            assert part not in call.values or f"{part}.{call.values[part]}" in words


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_foredeck_tells_only_what_eye_hand_and_foot_can_tell(lesson, sailed):
    """No place, no burial, no newtons; lengths in whole metres."""
    for call in sailed(lesson).exercise.calls:
        assert set(call.values) <= CAN_BE_TOLD
        assert float(call.values.get("out_m", 0.0)).is_integer()


@pytest.mark.parametrize(
    "spoil",
    [
        pytest.param(lambda s: s.anchors[0].__setitem__(lay.A_BURIAL, 0.0), id="burial"),
        pytest.param(lambda s: s.anchors[0].__setitem__(lay.A_UPLIFT, 0.5), id="uplift"),
        pytest.param(lambda s: s.anchors[0].__setitem__(lay.A_CAP_H, 1.0), id="holding"),
        pytest.param(lambda s: s.anchors[0].__setitem__(lay.A_BOTTOM, 1.0), id="bottom"),
        pytest.param(lambda s: s.nodes[0].__setitem__((0, lay.N_NORTH), 99.0), id="place"),
    ],
)
def test_what_lies_unseen_on_the_bottom_changes_no_word(spoil: Callable):
    """Two decks alike but for what nobody forward can know say the same."""
    one, other = deck(), deck()
    spoil(other.world.state)
    asked = [CrewAsked(tick=one.world.state.tick, question="lead")]
    said = [[*hand.crew.step(asked), *standing(hand, 10.0)] for hand in (one, other)]

    assert "she_leads" in keys(said[0])
    assert said[0] == said[1]


def standing(hand: Deck, for_s: float) -> list[Call]:
    """Return what is said while the clock runs over a world that stands still."""
    calls: list[Call] = []
    for _ in range(round(for_s * TICK_HZ)):
        hand.world.state.clock[0] += 1
        calls += hand.crew.step(())
    return calls
