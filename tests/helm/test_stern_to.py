"""Stern to a quay among boats that lie so: the whole manoeuvre, and what comes of not making it."""

import math

import numpy as np
import pytest

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.skipper import Steps
from sim.play import demo
from sim.scenario import library


class Swings(Demonstrator):
    """Anchors off the berths and calls it done."""

    def _berth(self) -> Steps:
        yield from self._anchor()
        yield from self._take_the_load()
        yield from self._settle()


@pytest.fixture(scope="module")
def berthed(tmp_path_factory):
    """The lesson as it is meant."""
    folder = tmp_path_factory.mktemp("quay")
    return demo.sail(library.load_lesson("sallowmarket-quay"), 203, folder, sleep=False)


def test_she_lies_between_the_two_stern_to(berthed):
    """Heading out within 35 degrees, her stern a few metres off the wall, nothing touched."""
    track, seat = berthed.run.track, berthed.run.brief.anchorage.seat_m
    k = track.index(track.end_s - 1.0)
    heading = float(track["heading_rad"][k])
    assert abs(np.angle(np.exp(1j * (heading - math.pi)))) < math.radians(35.0)
    assert math.hypot(track["north_m"][k] - seat[0], track["east_m"][k] - seat[1]) < 5.0
    assert berthed.outcome.held and not berthed.outcome.contact and not berthed.outcome.grounded
    assert berthed.result["passed"]


def test_sternway_comes_before_the_drop_and_the_windward_line_first(berthed):
    """Let go going astern; the one line made fast leads to the bollard on the wind's side."""
    run = berthed.run
    assert run.moments.touch.along_mps < -0.2
    (line,) = [e for e in run.track.events if isinstance(e, ev.LineAshore)]
    assert line.mark == "west bollard"
    assert sum(isinstance(o, cmd.LineToShore) for _, o in run.orders) == 1


def test_the_chain_leads_straight_out_and_no_error_is_found(berthed):
    """Within the lesson's own ten degrees."""
    (goal,) = berthed.result["goals"]
    assert goal["measure"] == "ph4.chain_off_deg" and goal["met"]
    assert not [e for e in berthed.result["errors"] if e["weight"] >= 3]


@pytest.mark.slow
def test_swinging_off_the_berths_does_not_pass(tmp_path):
    """However well she anchors: no line is ashore, and her chain does not lead from the berth."""
    marked = demo.sail(library.load_lesson("sallowmarket-quay"), 203, tmp_path, sleep=False, kind=Swings)
    assert not marked.result["passed"]
