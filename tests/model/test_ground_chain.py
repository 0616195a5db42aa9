"""Another boat's chain on the bed: held by its friction, dragged after her only as far as her pull makes it."""

import math

import numpy as np
import pytest

from sim.model import layout as lay
from sim.model.tackle.ground_chain import drag_links, lay_straight

LENGTH_M, HELD_N_PER_M = 36.0, 13.0
LINK_M = LENGTH_M / lay.LINKS


def laid() -> np.ndarray:
    """Return a chain that lies straight to the south of its anchor."""
    links = np.zeros(2 * lay.LINKS)
    lay_straight(links, (0.0, 0.0), (-LENGTH_M, 0.0), LENGTH_M)
    return links


def pulled(
    links: np.ndarray, pull_n: float, bow: tuple[float, float], lying_m: float, held: float = HELD_N_PER_M,
    for_s: float = 300.0, dt_s: float = 0.1,
) -> tuple[float, float, float]:  # fmt: skip
    """Pull on a chain from a bow that stays where it is; return where it leaves the bed and the length up to there."""
    for _ in range(round(for_s / dt_s)):
        leaves = drag_links(links, (0.0, 0.0), bow, lying_m, LENGTH_M, pull_n, held, dt_s)
    return leaves


def test_a_pull_along_it_moves_nothing():
    links = laid()
    before = links[: 2 * 7].copy()
    north, east, length = pulled(links, 300.0, (-40.0, 0.0), 20.0)

    assert links[: 2 * 7] == pytest.approx(before, abs=1e-9)
    assert (north, east) == pytest.approx((-length, 0.0), abs=1e-6)
    assert 20.0 - LINK_M <= length <= 20.0 + LINK_M


def test_a_light_pull_from_aside_moves_only_the_last_of_it():
    """Below what a link holds round a bend nothing goes; the first half of the chain never hears of it."""
    links = laid()
    before = links.copy()
    pulled(links, 40.0, (-26.0, 30.0), 26.0)
    moved = np.hypot(*(links - before).reshape(-1, 2).T)

    assert moved[:5].max() < 1e-9


def test_it_bends_no_sharper_than_its_friction_lets_it():
    """Source: a cable on rough ground under tension T bends with a radius of T / (mu w) and no less.

    From the outer end on friction takes mu w from the tension in each metre, so the bound is that of the tension left.
    """
    pull = 250.0
    links = laid()
    pulled(links, pull, (-10.0, 40.0), 30.0, for_s=1200.0)
    at = np.vstack([[0.0, 0.0], links.reshape(-1, 2)])[: int(30.0 / LINK_M) + 1]
    way = np.unwrap(np.arctan2(*np.diff(at, axis=0).T[::-1]))
    bends = np.abs(np.diff(way))[::-1]
    for k, bend in enumerate(bends):
        left = pull - HELD_N_PER_M * LINK_M * (k + 1)
        if left > 0.2 * pull:
            assert bend <= 1.25 * HELD_N_PER_M * LINK_M / left

    assert math.degrees(bends.sum()) > 60.0


def test_a_hard_pull_takes_all_of_it_round_and_a_rope_follows_a_light_one():
    chain, rope = laid(), laid()
    pulled(chain, 3000.0, (0.0, 40.0), 30.0, for_s=600.0)
    pulled(rope, 60.0, (0.0, 40.0), 30.0, held=0.15, for_s=600.0)
    for links in (chain, rope):
        at = links.reshape(-1, 2)[8]
        assert math.degrees(math.atan2(at[1], at[0])) == pytest.approx(90.0, abs=12.0)


@pytest.mark.parametrize("dt_s", [1.0 / 60.0, 0.2])
def test_the_step_does_not_matter(dt_s):
    found = []
    for step in (dt_s, 0.1):
        links = laid()
        found.append(pulled(links, 250.0, (-10.0, 40.0), 30.0, for_s=900.0, dt_s=step)[:2])

    assert found[0] == pytest.approx(found[1], abs=1.5)


def test_all_lifted_it_leads_from_the_anchor():
    links = laid()

    assert drag_links(links, (1.0, 2.0), (-30.0, 5.0), -1.0, LENGTH_M, 900.0, HELD_N_PER_M, 0.1) == (1.0, 2.0, 0.0)
