"""Where the wind of a lesson's day shifts to: foreseen by its ``wind.shifts``, or brought by its timeline."""

import math
from dataclasses import dataclass

from sim.scenario.schema.lesson import LessonFile


@dataclass(frozen=True)
class Shifted:
    """The wind after a shift: when it has set in [h], where it comes from and its mean, and its turn since the start.

    ``turn_deg`` veers, below 0 backs. ``at_h`` is 0 where only the run itself tells when it comes.
    """

    at_h: float
    from_deg: float
    mean_kn: float
    turn_deg: float


def of_day(day: LessonFile) -> list[Shifted]:
    """Return the wind after each shift within the stay, in order; of a day as drawn, empty where it holds."""
    changes = [(s.at_h, s.turn_deg, s.mean_kn, 1.0) for s in day.wind.shifts if s.at_h < day.stay_h]
    for entry in day.timeline:
        inject = entry.do.inject
        if inject is not None and inject.what == "shift":
            changes.append(((entry.at_s or 0.0) / 3600.0, inject.turn_deg, None, inject.factor))
    found, turn, mean = [], 0.0, day.wind.mean_kn
    for at_h, by_deg, to_kn, factor in sorted(changes, key=lambda change: change[0]):
        turn += by_deg
        mean = (mean if to_kn is None else to_kn) * factor
        found.append(Shifted(at_h, (day.wind.from_deg + turn) % 360.0, mean, turn))
    return found


def furthest(day: LessonFile) -> Shifted | None:
    """Return the wind of the shift that turns it furthest from where it was, None where none turns it."""
    turned = [s for s in of_day(day) if s.turn_deg != 0.0]
    return max(turned, key=lambda s: abs(math.remainder(s.turn_deg, 360.0)), default=None)


def sector_end(day: LessonFile) -> Shifted | None:
    """Return the wind at the far end of the sector, where the forecast speaks of a shift and gives one."""
    w = day.wind
    if not w.shift or w.sector_deg is None:
        return None
    turns = [math.remainder(end - w.from_deg, 360.0) for end in w.sector_deg]
    turn = max(turns, key=abs)
    return Shifted(0.0, (w.from_deg + turn) % 360.0, w.mean_kn, turn) if turn else None
