"""Words whose keys are put together while it runs: each of them is in the list, whatever happens."""

import inspect
import re
from typing import get_args

import pytest

from sim.core.orders import acts, carry_out
from sim.core.orders.watch_orders import WHYS
from sim.helm.view import SEEN
from sim.marking.result_schema import Ended
from sim.model import layout as lay
from sim.play import watchful
from sim.play.session import DEPARTURE
from sim.scenario.library import load_words
from sim.scenario.schema.lesson import REFUSALS, NeighbourRode
from sim.ui.chart import scene_plan
from sim.ui.input import presses
from sim.ui.input.presses import BY_NIGHT, OUT, QUESTIONS, UNHELD

WORDS = load_words("en")


def told(event: type) -> str:
    """Return the key under which an event is told."""
    name = event.__name__
    return "event." + "".join("_" + c.lower() if c.isupper() else c for c in name).lstrip("_")


def reasons() -> set[str]:
    """Return why an order can be declined, as the orders give it."""
    return set(re.findall(r'_no\(world, "[a-z_]+", "([a-z_]+)"', inspect.getsource(carry_out)))


def threats() -> set[str]:
    """Return what ends fast time."""
    return {"alarm", "news"} | set(re.findall(r'return "([a-z_]+)"', inspect.getsource(watchful.threat)))


FAMILIES = {
    "acts under way": {f"ui.busy.{name}" for name in acts.NAMES.values()},
    "what is seen": {told(event) for event in SEEN},
    "orders declined": {f"declined.{why}" for why in reasons()},
    "what others lie to": {f"rode.{kind}" for kind in get_args(NeighbourRode.model_fields["kind"].annotation)},
    "what swings unlike her": {
        f"ui.plan.unlike.{kind}"
        for kind in get_args(NeighbourRode.model_fields["kind"].annotation)
        if scene_plan.unlike(kind)
    },
    "how an anchor lies": {f"attitude.{name}" for name in lay.ATTITUDES[1:]},
    "why to leave": {f"refuse.{reason}" for reason in REFUSALS},
    "why it ended": {f"page.ended.{why}" for why in get_args(Ended.model_fields["why"].annotation)},
    "who wakes": {f"ui.night.woke.{why}" for why in (*WHYS, "alarm", "self", DEPARTURE)},
    "why time slows": {f"ui.slowed.{why}" for why in threats()},
    "what is asked": {
        f"ui.ask.{asked}.{part}"
        for asked in {*QUESTIONS.values(), *BY_NIGHT.values(), *OUT.values(), *UNHELD.values()}
        for part in ("title", "detail", "yes", "no")
    },
}


@pytest.mark.parametrize("family", FAMILIES)
def test_every_key_of_it_has_words(family):
    assert FAMILIES[family], "nothing to look for is nothing found"
    assert sorted(FAMILIES[family] - set(WORDS)) == []


def test_questions_are_those_of_the_screen():
    """The families above are the whole of what the screen asks."""
    asked = set(re.findall(r'question (?:==|in) \(?"([a-z]+)"', inspect.getsource(presses)))
    assert asked <= {*QUESTIONS.values(), *BY_NIGHT.values(), *OUT.values(), *UNHELD.values()}
