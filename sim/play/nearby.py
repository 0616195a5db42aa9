"""An attempt taken up again near its drop: the same orders at the same ticks, up to two lengths short of it."""

from collections.abc import Sequence

import numpy as np

from sim.base.units import ticks
from sim.core.orders import commands as cmd
from sim.core.orders.commands import Command
from sim.marking.run import Run

LENGTHS = 2.0  # of the boat, from where she let go


def near_tick(run: Run, lengths: float = LENGTHS) -> int | None:
    """Return the tick at which she was last so many lengths off the place of her drop; None where she did not anchor.

    Where she never was so far off, it is the beginning of the attempt.
    """
    m = run.moments
    if m.touch is None:
        return None
    span = run.span(m.begin_s, m.let_go_s)
    north, east = run.track["north_m"][span], run.track["east_m"][span]
    far = np.flatnonzero(np.hypot(north - north[-1], east - east[-1]) > lengths * run.loa_m)
    at = span.start + (int(far[-1]) if far.size else 0)
    return ticks(float(run.track["t_s"][at]))


def given(orders: Sequence[tuple[int, Command]]) -> dict[int, list[Command]]:
    """Return what was ordered at each tick, but for what the lesson's own timeline orders again."""
    by_tick: dict[int, list[Command]] = {}
    for at, order in orders:
        if not order.actor.startswith("timeline"):
            by_tick.setdefault(at, []).append(order)
    return by_tick


def taken_up(run: Run, tick: int) -> Command:
    """Return the note that a run was taken up again at a tick: what follows is assisted."""
    return cmd.StepBack(seconds=round(max(run.moments.stop_s - tick / ticks(1.0), 0.0), 2))
