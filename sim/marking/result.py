"""The result of a run as plain data, and as ``result.json``."""

import dataclasses
import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking import advice, attempts
from sim.marking.critical import Fail
from sim.marking.errors.found import Error
from sim.marking.outcome import Outcome
from sim.marking.phases import leave, night, secure
from sim.marking.rubric import Marked, MarkedPhase, Marks
from sim.marking.run import Run

FORMAT = 1
_ON_THE_WAY = {"across": ev.RodeSeenAcross, "slipped": ev.RodeSlipped, "aweigh": ev.AnchorAweigh, "gone": ev.Departed}
_FACTS = ("drag_m", "min_gap_m", "grounded", "contact", "held", "held_through_night")


@dataclass(frozen=True)
class Ended:
    """How the run ended: why (secured, left, limit, closed, aborted, diverged) and when."""

    why: str
    t_s: float


def _finite(value: Any) -> Any:
    """Return data with every number that JSON cannot hold as None, and rounded to what is meant."""
    if isinstance(value, float):
        return round(value, 6) if math.isfinite(value) else None
    if isinstance(value, dict):
        return {key: _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    return value


def _measure(m: Marked) -> dict[str, Any]:
    return {
        "name": m.name,
        "value": m.found.value,
        "unit": m.unit,
        "full": m.full,
        "half": m.half,
        "zero": m.zero,
        "points": m.points,
        "of": m.of,
        "from_s": m.found.from_s,
        "to_s": m.found.to_s,
        "at": m.found.at,
        "note": m.note,
    }


def _phase(p: MarkedPhase) -> dict[str, Any]:
    measures = [_measure(m) for m in p.measures]
    return {"code": p.code, "title": p.title, "points": p.points, "of": p.of, "measures": measures}


def _marks(marks: Marks) -> dict[str, Any]:
    return {
        "points": marks.points,
        "earned": marks.earned,
        "passed": marks.passed,
        "slow": dataclasses.asdict(marks.slow) if marks.slow is not None else None,
        "goals": [dataclasses.asdict(goal) for goal in marks.goals],
        "phases": [_phase(p) for p in marks.phases],
    }


def _plan(run: Run) -> dict[str, Any] | None:
    return None if run.plan is None else {k: v for k, v in ev.to_dict(run.plan).items() if k != "was"}


def _overrides(run: Run) -> list[dict[str, Any]]:
    made = [(tick, o) for tick, o in run.orders if isinstance(o, cmd.Override)]
    return [{"measure": o.measure, "points": o.points, "reason": o.reason, "t_s": tick / TICK_HZ} for tick, o in made]


def _said(marks: Marks, fails: Sequence[Fail], found: Sequence[Error], language: str) -> dict[str, Any]:
    return {
        "critical": [{"code": f.code, "t_s": f.t_s, "text": f.title} for f in fails],
        "errors": advice.errors(found, language),
        "feedback": advice.feedback(marks, found, language),
    }


def _aborted(run: Run) -> list[dict[str, Any]]:
    called = [e for e in run.track.events if isinstance(e, ev.Aborted)]
    return [{"t_s": e.tick / TICK_HZ, "reason": e.reason} for e in called]


def _rode(outcome: Outcome) -> dict[str, Any]:
    return {
        "out_m": outcome.out_m,
        "scope_at_highest_water": outcome.scope,
        "proved_load_n": outcome.proved_load_n,
        "night_peak_load_n": outcome.night_peak_load_n,
    }


def _night(run: Run) -> dict[str, Any] | None:
    sums = night.sums(run)
    if sums is None or run.night is None:
        return None
    return asdict(sums) | {"answers": [asdict(a) for a in run.night.answers]}


def _departure(run: Run) -> dict[str, Any] | None:
    """Return when what happened on the way out, in seconds since the start; None where no departure was sailed."""
    if run.leaving is None:
        return None
    track = run.leaving.track
    out: dict[str, Any] = {"began_s": float(track["t_s"][0])}
    for name, kind in _ON_THE_WAY.items():
        out[f"{name}_s"] = next((e.tick / TICK_HZ for e in track.events if isinstance(e, kind)), None)
    return out


def _head(header: dict[str, Any], profile: tuple[str, int], ended: Ended) -> dict[str, Any]:
    return {
        "format": FORMAT,
        **{key: header[key] for key in ("program", "versions", "kernel_mode", "scenario", "boat", "seed", "level")},
        "profile": {"id": profile[0], "version": profile[1]},
        "started_s": header.get("started_s"),
        "ended": {"why": ended.why, "t_s": ended.t_s},
    }


def _tries(run: Run) -> dict[str, Any]:
    """Return what was called off, and the attempts that came before the one that is marked."""
    return {"aborted": _aborted(run), "earlier": [asdict(one) for one in attempts.earlier(run)]}


def make_result(
    run: Run,
    header: dict[str, Any],
    profile: tuple[str, int],
    ended: Ended,
    marks: Marks,
    fails: tuple[Fail, ...],
    outcome: Outcome,
    state_hash: str,
    rated: Mapping[str, int] | None = None,
    found: Sequence[Error] = (),
    language: str = "en",
) -> dict[str, Any]:
    """Return everything a run's ``result.json`` says.

    Args:
        run: what was marked.
        header: the recording's header.
        profile: name and version of the marking profile.
        ended: why and when the run ended.
        marks: of this run.
        fails: its critical fails.
        outcome: what became of her.
        state_hash: of the last state.
        rated: what the trainee thought of each phase before any mark was shown, 0 to 5.
        found: the typical errors of this run.
        language: of what is said of them.
    """
    data = {
        **_head(header, profile, ended),
        "assisted": any(isinstance(order, cmd.StepBack) for _, order in run.orders),
        "refused": leave.refused(run) is not None,
        **_tries(run),
        "secured": secure.listed(run),
        "verdict": advice.verdict(marks, fails, found, language),
        "plan": _plan(run),
        "self_rating": dict(rated) if rated else None,
        "override": _overrides(run),
        "outcome": {name: getattr(outcome, name) for name in _FACTS},
        **_marks(marks),
        **_said(marks, fails, found, language),
        "rodes": [_rode(outcome)],
        "night": _night(run),
        "departure": _departure(run),
        "state_hash": state_hash,
    }
    out: dict[str, Any] = _finite(data)
    return out


def write(folder: Path, result: dict[str, Any]) -> Path:
    """Write ``result`` as ``folder``/result.json and return its path."""
    path = folder / "result.json"
    path.write_text(json.dumps(result, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return path
