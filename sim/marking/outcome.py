"""The outcome, apart from how it was reached: did she stay, and clear of the others?"""

import math
from dataclasses import dataclass

from sim.core import events as ev
from sim.marking.phases import night, setting
from sim.marking.phases.approach import least_gap_to_boats_m
from sim.marking.run import Run
from sim.model import layout as lay
from sim.model.tackle.catenary import wind_for_load_mps

HELD_M = 3.0  # a set anchor may creep so far (judgement)
LATELY, CREEP_M = 50, 0.3  # samples, ten seconds; less than this in them is no dragging (judgement)
TESTED = 0.2  # of the load to prove: less is no test (judgement)
_HOLDING = (lay.SET, lay.LYING, lay.TIPPING, lay.TURNED)


@dataclass(frozen=True)
class Outcome:
    """What became of her.

    Attributes:
        drag_m: how far the anchor moved from the end of the proof on; None where none is down.
        min_gap_m: least gap there really was to another hull from the touch on; None in an empty bay.
        grounded: her keel met the ground.
        contact: she met a boat or the shore, on her way out as well.
        tested: a load worth the name was proved.
        held: an anchor is down, it stayed where it was proved, and she touched nothing.
        held_through_night: she lay through the night near her place and touched nothing; None where no whole night
            was sailed and none was lost.
        proved_load_n: highest load proved, None where none was.
        proved_wind_mps: wind of which that is the load.
        scope: at the highest water of the stay, None where nothing is down.
        out_m: rode out at the end of the attempt.
        night_peak_load_n: greatest pull of the night; None where none was sailed.
    """

    drag_m: float | None
    min_gap_m: float | None
    grounded: bool
    contact: bool
    tested: bool
    held: bool
    held_through_night: bool | None
    proved_load_n: float | None
    proved_wind_mps: float | None
    scope: float | None
    out_m: float
    night_peak_load_n: float | None


def _met(run: Run) -> bool:
    return any(isinstance(e, ev.Touched) and 0 in (e.boat, e.other) for e in run.track.events)


def find_outcome(run: Run) -> Outcome:
    """Return what became of her in ``run``."""
    m, track = run.moments, run.track
    events = track.events
    grounded = any(isinstance(e, ev.Grounded) and e.boat == 0 for e in events)
    contact = _met(run)
    drag_m = None
    held = False
    k = track.index(m.stop_s)
    if m.touch is not None and not math.isnan(float(track["anchor_n_m"][k])):
        steps = setting.load_steps_held(run)
        best = setting.proved(run)
        set_s = steps[-1].to_s if steps else best.to_s if best is not None else m.laid_s
        drag_m = setting.moved_m(run, track.index(set_s), k)
        attitude = int(track["attitude"][k])
        # One that gives a hand's breadth in a gust just then has not come home.
        creeps = attitude == lay.DRAGGING and setting.moved_m(run, max(k - LATELY, 0), k) < CREEP_M
        held = drag_m <= HELD_M and (attitude in _HOLDING or creeps) and not grounded and not contact
    proved = setting.proved(run)
    load_n = proved.thrust_n if proved is not None else None
    return Outcome(
        drag_m=drag_m,
        min_gap_m=least_gap_to_boats_m(run, m.touch_s),
        grounded=grounded,
        contact=contact or (run.leaving is not None and _met(run.leaving)),
        tested=load_n is not None and load_n >= TESTED * run.target_load_n,
        held=held,
        held_through_night=night.held(run),
        proved_load_n=load_n,
        proved_wind_mps=wind_for_load_mps(run.loa_m, load_n) if load_n is not None else None,
        scope=setting.scope_at_highest(run),
        out_m=float(track["out_m"][k]),
        night_peak_load_n=run.night.peak_n if run.night is not None else None,
    )
