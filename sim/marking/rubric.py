"""From values to marks: three points with straight lines between, phases, weights, the cap of a critical fail.

A measure that a lesson cannot exercise drops out and its phase is shared among the others; a phase without measures
drops out and the total is still out of 100.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from sim.marking import credit, verdict
from sim.marking.critical import Fail
from sim.marking.errors.found import Error
from sim.marking.measures import MEASURES
from sim.marking.phases import berth, leave
from sim.marking.phases.time_taken import Slow, slow
from sim.marking.run import Found, Run
from sim.scenario.read.profile import Profile
from sim.scenario.schema.lesson import GoalBlock
from sim.scenario.schema.marking import MeasureBlock, PhaseBlock

Limits = float | tuple[float, float]
TOTAL = 100.0
SET, DRAG = "ph5.", "ph5.drag_m"
COSTLY = 3


@dataclass(frozen=True)
class Marked:
    """One measure with its marks.

    Attributes:
        name: its name in the profile.
        title: in words.
        unit: of ``found.value`` and of the thresholds.
        full: value (or band) for full marks, as widened for the level; likewise ``half`` and ``zero``.
        found: what the run gave.
        share: marks earned, 0 to 1.
        points: out of the whole 100.
        of: most points it could have earned out of the whole 100.
        note: why the marks are not those of the value alone; empty where they are.
    """

    name: str
    title: str
    unit: str
    full: Limits
    half: Limits
    zero: Limits
    found: Found
    share: float
    points: float
    of: float
    note: str = ""

    @property
    def lost(self) -> float:
        """Points that this measure cost."""
        return self.of - self.points


@dataclass(frozen=True)
class MarkedPhase:
    """A phase with its marks out of the whole 100."""

    code: str
    title: str
    points: float
    of: float
    measures: tuple[Marked, ...]


@dataclass(frozen=True)
class Goal:
    """What a lesson asks of one measure beside the marks, and what it came to; None where it was not exercised."""

    measure: str
    least: float | None
    most: float | None
    value: float | None
    met: bool


@dataclass(frozen=True)
class Marks:
    """The marks of a run: ``earned`` before and ``points`` after the cap of a critical fail.

    ``slow`` is what was taken off ``earned`` for time, None where nothing was. ``reasons`` say what failed or capped
    the run; ``needed`` is what a pass takes.
    """

    phases: tuple[MarkedPhase, ...]
    earned: float
    points: float
    passed: bool
    goals: tuple[Goal, ...] = ()
    slow: Slow | None = None
    reasons: tuple[verdict.Reason, ...] = ()
    needed: float = 70.0

    @property
    def measures(self) -> tuple[Marked, ...]:
        """Every measure in the order of the job."""
        return tuple(m for phase in self.phases for m in phase.measures)

    @property
    def costliest(self) -> tuple[Marked, ...]:
        """The measures that cost most, at most three, dearest first, the earlier in the job first among equals."""
        lost = [m for m in self.measures if m.lost > 1e-9]
        return tuple(sorted(lost, key=lambda m: -m.lost)[:COSTLY])


def one_sided(value: float, full: float, half: float, zero: float) -> float:
    """Return the marks of a value, 0 to 1: 1 at ``full`` and beyond, 0.5 at ``half``, 0 at ``zero`` and beyond.

    ``full``, ``half`` and ``zero`` rise or fall strictly.
    """
    if full < zero:
        value, full, half, zero = -value, -full, -half, -zero
    if value >= full:
        return 1.0
    if value >= half:
        return 0.5 + 0.5 * (value - half) / (full - half)
    if value > zero:
        return 0.5 * (value - zero) / (half - zero)
    return 0.0


def marks(value: float | None, full: Limits, half: Limits, zero: Limits) -> float:
    """Return the marks of a value, 0 to 1; a pair of limits is a band whose worse side counts; None earns none."""
    if value is None:
        return 0.0
    if isinstance(full, tuple) and isinstance(half, tuple) and isinstance(zero, tuple):
        return min(one_sided(value, full[k], half[k], zero[k]) for k in (0, 1))
    assert not isinstance(full, tuple) and not isinstance(half, tuple) and not isinstance(zero, tuple)
    return one_sided(value, full, half, zero)


def widened(full: Limits, limit: Limits, tolerance: float) -> Limits:
    """Return ``limit`` moved away from ``full``, or towards it, by a level's tolerance; never across nought.

    >>> widened(20.0, 40.0, 1.5), widened(0.9, 0.2, 1.5), widened((-0.4, 0.0), (-0.8, 0.3), 1.5)
    (50.0, 0.0, (-1.0, 0.44999999999999996))
    """
    if isinstance(full, tuple) and isinstance(limit, tuple):
        low, high = (_moved(f, x, tolerance) for f, x in zip(full, limit, strict=True))
        return low, high
    assert not isinstance(full, tuple) and not isinstance(limit, tuple)
    return _moved(full, limit, tolerance)


def _moved(full: float, limit: float, tolerance: float) -> float:
    moved = full + tolerance * (limit - full)
    # Nothing done earns nothing: a limit above nought may come down to it, not below.
    return moved if limit < 0.0 or full <= 0.0 else max(moved, 0.0)


def _find(run: Run, row: MeasureBlock) -> Found | None:
    law = MEASURES[row.name]
    return None if berth.is_one(run) and row.name in berth.NO_MEASURES else law(run)


def _marked(row: MeasureBlock, found: Found, tolerance: float, worth: float) -> Marked:
    stretch = 1.0 if row.fixed else tolerance
    half, zero = (widened(row.full, limit, stretch) for limit in (row.half, row.zero))
    share = marks(found.value, row.full, half, zero)
    return Marked(row.name, row.title, row.unit, row.full, half, zero, found, share, worth * share, worth)


def _worths(phases: Sequence[PhaseBlock]) -> dict[str, float]:
    """Return what each phase that was exercised is worth out of the whole 100."""
    worth = {p.code: p.of for p in phases}
    for phase in phases:
        givers = [q for q in phases if q.code in phase.takes_from]
        total = sum(q.of for q in givers)
        for giver in givers:
            worth[giver.code] -= phase.of * giver.of / total
    whole = sum(worth.values())
    return {code: TOTAL * of / whole for code, of in worth.items()}


def _credited(run: Run, m: Marked) -> Marked:
    """Return a measure with the credit that is given beside its value, an instructor's change last."""
    share, note = m.share, ""
    if credit.called_off_s(run) is not None and m.name.startswith(SET):
        share, note = max(share, credit.CALLED_OFF_SHARE), "called_off"
    elif m.name == DRAG and share < 1.0 and credit.drag_noticed(run):
        share, note = share + credit.NOTICED_SHARE * (1.0 - share), "noticed"
    changed = credit.overrides(run).get(m.name)
    if changed is not None:
        share, note = min(max(changed.points, 0.0), m.of) / m.of, changed.reason
    return replace(m, share=share, points=m.of * share, note=note) if note else m


def _phase(
    run: Run, phase: PhaseBlock, found: Mapping[str, Found | None], worth: float, tolerance: float
) -> MarkedPhase:
    """Return a phase marked, its worth shared among the measures that were exercised."""
    rows = [(row, f) for row in phase.measures if (f := found[row.name]) is not None]
    parts = sum(row.of for row, _ in rows)
    plain = (_marked(row, f, tolerance, worth * row.of / parts) for row, f in rows)
    measures = tuple(_credited(run, m) for m in plain)
    return MarkedPhase(phase.code, phase.title, sum(m.points for m in measures), worth, measures)


def reach_goals(run: Run, goals: Sequence[GoalBlock]) -> tuple[Goal, ...]:
    """Return each of a lesson's goals with the value its measure came to; one that was not exercised is not reached."""
    reached = []
    for goal in goals:
        found = MEASURES[goal.measure](run)
        value = found.value if found is not None else None
        met = (
            value is not None
            and (goal.least is None or value >= goal.least)
            and (goal.most is None or value <= goal.most)
        )
        reached.append(Goal(goal.measure, goal.least, goal.most, value, met))
    return tuple(reached)


def judge(
    run: Run,
    profile: Profile,
    fails: Sequence[Fail] = (),
    goals: Sequence[GoalBlock] = (),
    errors: Sequence[Error] = (),
) -> Marks:
    """Return the marks of a run by a profile, capped and failed as ``verdict`` says.

    Where she left without anchoring and the lesson takes that for an answer, the decision alone is marked.

    Args:
        run: the run.
        profile: how its level is marked.
        fails: its critical fails.
        goals: what the lesson asks beside the marks, for a pass.
        errors: those named, of which the gravest cap the total.
    """
    leaving = profile.leaving if leave.is_answer(run) else None
    asked = profile.phases if leaving is None else (leaving,)
    found: dict[str, Found | None] = {row.name: _find(run, row) for phase in asked for row in phase.measures}
    exercised = [p for p in asked if any(found[row.name] is not None for row in p.measures)]
    worths = _worths(exercised)
    phases = tuple(_phase(run, p, found, worths[p.code], profile.tolerance) for p in exercised)
    late = slow(run, profile.slow) if leaving is None else None
    earned = max(sum(p.points for p in phases) - (late.points if late is not None else 0.0), 0.0)
    reasons = verdict.find_reasons(run, profile, fails, errors)
    points = verdict.capped(earned, reasons)
    reached = () if leaving is not None else reach_goals(run, goals)
    failed = any(r.fails for r in reasons) or not all(goal.met for goal in reached)
    return Marks(
        phases,
        earned,
        points,
        points >= profile.pass_points and not failed,
        reached,
        late,
        reasons,
        profile.pass_points,
    )
