"""The demonstrator: sees the brief and the view, orders what a person can order, says why, and anchors."""

import ast
import inspect
import json
import re
from itertools import pairwise

import pytest

from sim.core.orders import commands as cmd
from sim.demonstrator import (
    anchor_watch,
    choosing,
    course,
    demonstrator,
    departing,
    letting_go,
    lifting,
    pilot,
    proving,
    skipper,
    stern_to,
)
from sim.demonstrator.demonstrator import Demonstrator
from sim.helm import chartwork
from sim.scenario import library

LESSONS = ("hazel-cove", "lantern-pool", "lantern-pool-2")
MINDS = (
    demonstrator,
    departing,
    stern_to,
    anchor_watch,
    letting_go,
    lifting,
    proving,
    skipper,
    pilot,
    choosing,
    chartwork,
    course,
)
MAY_KNOW = {
    "sim.base.frames", "sim.base.units",  # geometry and units
    "sim.core.orders.commands", "sim.core.events",  # what can be ordered, what was answered
    "sim.base.arrays", "sim.model.params",  # types
    "sim.helm.chartwork", "sim.helm.instruments", "sim.helm.view",
    "sim.demonstrator.anchor_watch", "sim.demonstrator.choosing", "sim.demonstrator.course",
    "sim.demonstrator.departing", "sim.demonstrator.letting_go", "sim.demonstrator.lifting", "sim.demonstrator.pilot",
    "sim.demonstrator.proving", "sim.demonstrator.skipper", "sim.demonstrator.stern_to",
    "sim.scenario.read.bay",  # how depths are read between a chart's figures; no bay is built
    "sim.model.tackle.catenary", "sim.model.tackle.lying",  # what any skipper can work out with a pencil
    "sim.scenario.read.brief",
}  # fmt: skip


def imported(module: object) -> set[str]:
    """Return the modules of the project that a module imports."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(inspect.getsource(module))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            rooms = "base core core.orders model model.tackle helm demonstrator scenario scenario.read"
            packages = {"sim", *(f"sim.{room}" for room in rooms.split())}
            inner = {f"{node.module}.{alias.name}" for alias in node.names}
            names |= inner if node.module in packages else {str(node.module)}
    return {name for name in names if name.split(".")[0] == "sim"}


@pytest.mark.parametrize("mind", MINDS, ids=lambda module: module.__name__)
def test_it_imports_nothing_that_knows_the_truth(mind):
    """No world, no state, no lesson file, no exercise."""
    assert imported(mind) <= MAY_KNOW


@pytest.mark.parametrize("lesson", LESSONS)
def test_it_decides_from_brief_and_views_alone(lesson, sailed):
    """Shown the same views again, with no world anywhere, another one orders and says the same."""
    run = sailed(lesson)
    alone = Demonstrator(run.lesson.brief)

    assert [alone.decide(view) for view in run.views] == list(run.decided)
    assert tuple(alone.said) == run.said


@pytest.mark.parametrize("lesson", LESSONS)
def test_it_orders_what_a_person_can_order_in_the_same_text(lesson, sailed):
    orders = [c for commands in sailed(lesson).orders.values() for c in commands]

    assert len(orders) > 50
    for command in orders:
        assert command.actor == "demonstrator"
        assert not isinstance(command, cmd.Inject | cmd.Fault | cmd.Override), "a teacher's, not a skipper's"
        assert cmd.from_dict(json.loads(cmd.to_line(command))) == command


@pytest.mark.parametrize("lesson", LESSONS)
def test_it_decides_five_times_a_second_at_most(lesson, sailed):
    times = [view.readings.t_s for view in sailed(lesson).views]

    assert min(later - earlier for earlier, later in pairwise(times)) >= 0.2 - 1e-9


@pytest.mark.parametrize("lesson", LESSONS)
def test_each_decision_is_told_in_words_of_the_list(lesson, sailed):
    words = library.load_words("en")
    said = sailed(lesson).said
    told = [line.key for line in said]

    for line in said:
        assert set(re.findall(r"\{(\w+)\}", words[line.key])) == set(line.values), line.key
        words[line.key].format(**line.values)
    for step in ("plan", "on_the_line", "let_go", "lay", "brought_up", "transit", "step_4", "proved", "alarm"):
        assert told.count(f"helm.{step}") == 1, step
    assert [line.t_s for line in said] == sorted(line.t_s for line in said)


@pytest.mark.parametrize("lesson", LESSONS)
def test_it_works_through_the_manoeuvre_in_the_order_it_is_taught(lesson, sailed):
    """Plan, let go, brake and mark, lay, hold on, transit before the set, nylon after it, alarm and signal, report."""
    given = [c for commands in sailed(lesson).orders.values() for c in commands]
    order = [
        next(i for i, c in enumerate(given) if isinstance(c, kind) and wanted(c))
        for kind, wanted in (
            (cmd.Plan, lambda _: True),
            (cmd.Brake, lambda c: c.grip == 0.0),
            (cmd.MarkAnchor, lambda _: True),
            (cmd.Brake, lambda c: c.grip == 1.0),
            (cmd.Windlass, lambda c: c.motion == 1),
            (cmd.Stopper, lambda c: c.on),
            (cmd.TakeTransit, lambda _: True),
            (cmd.Snubber, lambda c: c.on),
            (cmd.SetAlarm, lambda _: True),
            (cmd.Lights, lambda c: c.ball),
            (cmd.Secure, lambda _: True),
        )
    ]

    assert order == sorted(order)
    transit, nylon = order[6], order[7]
    assert any(isinstance(c, cmd.Engine) and c.lever < -0.1 for c in given[transit:nylon]), "the set"


def test_it_ranges_and_asks_every_boat_before_it_plans(sailed):
    run = sailed("hazel-cove")
    planned = next(t for t, cs in run.orders.items() if any(isinstance(c, cmd.Plan) for c in cs))
    before = [c for t, cs in run.orders.items() if t < planned for c in cs]

    assert {c.target for c in before if isinstance(c, cmd.TakeRange)} == {1, 2}
    assert {c.target for c in before if isinstance(c, cmd.Hail)} == {1, 2}


@pytest.mark.parametrize("lesson", LESSONS)
def test_it_anchors(lesson, sailed):
    """Held, under three metres of drag after the set, nothing touched; drop, lay and set at half their points."""
    marked = sailed(lesson).marked
    phases = {p["code"]: p["points"] / p["of"] for p in marked.result["phases"]}

    assert marked.outcome.held
    assert not marked.outcome.contact
    assert marked.outcome.drag_m is not None
    assert marked.outcome.drag_m < 3.0
    assert {code: share for code, share in phases.items() if code in ("ph3", "ph4", "ph5") and share < 0.5} == {}
    assert {"ph3", "ph4", "ph5"} <= set(phases)
    assert not marked.fails
