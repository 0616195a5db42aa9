"""A good run with a quiet night after it."""

import dataclasses

import numpy as np
from marking import sailed

from sim.marking.run import Run
from sim.record.night import Night

HOURS = 3600.0


def slept(**changes: object) -> Run:
    """Return a good run with ten quiet hours after it, changed as asked."""
    t_s = np.arange(600.0, 10.0 * HOURS + 1.0, 10.0)
    one = np.ones_like(t_s)
    quiet = Night(
        began_s=600.0, until_s=10.0 * HOURS, t_s=t_s, own=np.zeros((t_s.size, 3)), pull_n=800.0 * one,
        uplift_rad=0.0 * one, wind=np.zeros((t_s.size, 2)), tide_m=one, gap_m=20.0 * one, gap_boat=one,
        rodes=np.zeros((t_s.size, 1, 5)), others=np.zeros((t_s.size, 0, 3)), drag_m=1.0, drag_s=700.0, peak_n=1600.0,
        peak_s=9000.0, load_99_n=1200.0, steep_s=90.0, least_gap_m=6.0, least_gap_s=5000.0, least_gap_boat=None,
    )  # fmt: skip
    return dataclasses.replace(sailed.run(), night=dataclasses.replace(quiet, **changes))  # type: ignore[arg-type]
