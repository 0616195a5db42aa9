"""Phase 7, the night: how far she dragged, how near she came, how her anchor was pulled, whether she touched."""

from dataclasses import dataclass

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.marking.phases import setting
from sim.marking.run import Found, Run
from sim.record.night import Night

HELD_M = 10.0  # who lies further from her place in the morning has dragged (judgement; half marks)


@dataclass(frozen=True)
class Sums:
    """The night in a few figures, as ``result.json`` has them; times in seconds since the start.

    Attributes:
        whole: the stay was run on to its end.
        hours: how long it was.
        drag_m: furthest that an anchor came to lie from where it lay.
        least_gap_m: least gap to another hull, ``least_gap_s`` when; None where nobody was there.
        least_gap_boat: her name.
        steep_s: seconds with more than ten degrees of uplift.
        peak_load_n: greatest pull of the rode, ``peak_s`` when.
        load_99_n: pull exceeded in one part of a hundred of the time.
        touched: met a hull, the shore or the ground.
        proved_load_ratio: load proved in the exercise over the peak; None where none was proved.
        worst_s: the moment to look at: the contact, else the drag, else the peak.
    """

    whole: bool
    hours: float
    drag_m: float
    least_gap_m: float | None
    least_gap_s: float | None
    least_gap_boat: str | None
    steep_s: float
    peak_load_n: float
    peak_s: float
    load_99_n: float
    touched: bool
    proved_load_ratio: float | None
    worst_s: float


def _touches_s(night: Night) -> list[float]:
    """Return when she met a hull, the shore or the ground in the night."""
    met = [e for e in night.events if isinstance(e, ev.Touched) and 0 in (e.boat, e.other)]
    aground = [e for e in night.events if isinstance(e, ev.Grounded) and e.boat == 0]
    return sorted(e.tick / TICK_HZ for e in (*met, *aground))


def touched_s(night: Night) -> float | None:
    """Return when she first met a hull, the shore or the ground in the night, or None."""
    return min(_touches_s(night), default=None)


def worst_s(night: Night) -> float:
    """Return the moment of the night to look at: the contact, else the drag, else the greatest pull."""
    met = touched_s(night)
    if met is not None:
        return met
    return night.drag_s if night.drag_m > HELD_M else night.peak_s


def sums(run: Run) -> Sums | None:
    """Return the night in a few figures, None where none was sailed."""
    night = run.night
    if night is None:
        return None
    proved = setting.proved(run)
    boat = night.least_gap_boat
    return Sums(
        whole=night.whole,
        hours=(night.end_s - night.began_s) / 3600.0,
        drag_m=night.drag_m,
        least_gap_m=night.least_gap_m,
        least_gap_s=night.least_gap_s,
        least_gap_boat=run.params.neighbours[boat - 1].name if boat else None,
        steep_s=night.steep_s,
        peak_load_n=night.peak_n,
        peak_s=night.peak_s,
        load_99_n=night.load_99_n,
        touched=touched_s(night) is not None,
        proved_load_ratio=proved.thrust_n / night.peak_n if proved is not None and night.peak_n > 0.0 else None,
        worst_s=worst_s(night),
    )


def held(run: Run) -> bool | None:
    """Return whether she lay through the night, clear and near her place; None where no whole night was sailed."""
    night = run.night
    if night is None:
        return None
    if touched_s(night) is not None or night.drag_m > HELD_M:
        return False
    return True if night.whole else None


def _whole(run: Run) -> Night | None:
    return run.night if run.night is not None and run.night.whole else None


def drag_m(run: Run) -> Found | None:
    """Drag over the stay [m]."""
    night = _whole(run)
    return None if night is None else Found(night.drag_m, night.began_s, night.end_s)


def min_gap_loa(run: Run) -> Found | None:
    """Least gap over the stay, in boat lengths; None in an empty bay."""
    night = _whole(run)
    if night is None or night.least_gap_m is None or night.least_gap_s is None:
        return None
    return Found(night.least_gap_m / run.loa_m, night.least_gap_s, night.least_gap_s)


def uplift_min(run: Run) -> Found | None:
    """Minutes with more than ten degrees of uplift."""
    night = _whole(run)
    return None if night is None else Found(night.steep_s / 60.0, night.began_s, night.end_s)


def contact(run: Run) -> Found | None:
    """Times she touched a hull, the shore or the ground in the night."""
    night = _whole(run)
    if night is None:
        return None
    at_s = _touches_s(night)
    span = (at_s[0], at_s[-1]) if at_s else (night.began_s, night.end_s)
    return Found(float(len(at_s)), *span)
