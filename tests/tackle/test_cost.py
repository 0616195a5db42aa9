"""What a tick of a chain costs, and that it grows no faster than its nodes."""

import itertools

import numpy as np
import pytest
from tackle.stand import chain

from sim.lab.bench import chain_us
from sim.model import layout as lay
from sim.model.params import Rode

NODES = (40, 60, 100, 140)


@pytest.mark.bench
def test_cost_grows_no_faster_than_the_nodes(record_property):
    """Microseconds a tick, best of three, each count against the one before; a tenth is left for the clock."""
    no_anchor = np.zeros(lay.ANCHOR_PARAM_COLS), np.zeros((1, lay.ANCHOR_BOTTOM_COLS))
    rode = Rode(10.0, chain(150.0), "fixed", *no_anchor)
    took = {nodes: min(chain_us(rode, nodes) for _ in range(3)) for nodes in NODES}
    record_property("microseconds", {nodes: round(us, 1) for nodes, us in took.items()})
    print({nodes: f"{us:.1f} us, {us / nodes:.3f} a node" for nodes, us in took.items()})  # noqa: T201

    for fewer, more in itertools.pairwise(NODES):
        assert took[more] / took[fewer] <= 1.1 * more / fewer
