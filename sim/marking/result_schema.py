"""What ``result.json`` holds, as a schema: for whoever reads results with a program of their own."""

import json
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Place = tuple[float, float]
Limits = float | tuple[float, float]
Share = Annotated[float, Field(ge=0.0, le=1.0)]


class _Part(BaseModel):
    """A part of a result; what a later version adds does no harm."""

    model_config = ConfigDict(extra="allow", strict=True)


class Measure(_Part):
    """One measure: its value, its three thresholds, its points, where and when it was found."""

    name: str
    value: float | None
    unit: str
    full: Limits
    half: Limits
    zero: Limits
    points: Annotated[float, Field(ge=0.0)]
    of: Annotated[float, Field(gt=0.0, le=100.0)]
    from_s: float
    to_s: float
    at: Place | None
    note: str


class Phase(_Part):
    """A phase of the job."""

    code: str
    title: str
    points: Annotated[float, Field(ge=0.0)]
    of: Annotated[float, Field(gt=0.0)]
    measures: list[Measure]


class Critical(_Part):
    """A critical fail that happened."""

    code: Annotated[str, Field(pattern=r"^cf[0-9]+$")]
    t_s: float
    text: str


class Found(_Part):
    """A typical error that was found."""

    code: Annotated[str, Field(pattern=r"^[A-F][0-9]+$")]
    t_s: float
    at: Place | None
    weight: Annotated[int, Field(ge=1, le=5)]
    certainty: Share
    parents: list[str]
    text: Annotated[str, Field(min_length=20)]


class Feedback(_Part):
    """One thing to keep, one to change, one to watch; empty where there is none."""

    model_config = ConfigDict(extra="forbid", strict=True)

    keep: str
    change: str
    watch: str


class Named(_Part):
    """A marking profile and its version."""

    id: str
    version: Annotated[int, Field(ge=1)]


class Scenario(_Part):
    """The lesson, and a hash over its files."""

    id: str
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class Ended(_Part):
    """Why and when the run ended."""

    why: Literal["secured", "left", "limit", "closed", "aborted", "diverged"]
    t_s: float


class Slow(_Part):
    """What was taken off for time: over the ceiling of a few times the reference run."""

    took_s: float
    reference_s: float
    points: Annotated[float, Field(ge=0.0, le=100.0)]


class Departure(_Part):
    """How she weighed and left when the stay was over: when what happened, None where it never did."""

    began_s: float
    across_s: float | None
    slipped_s: float | None
    aweigh_s: float | None
    gone_s: float | None


class Override(_Part):
    """An instructor's change to a mark."""

    measure: str
    points: float
    reason: str
    t_s: float


class Earlier(_Part):
    """An attempt given up before the one that is marked; without a touch it was called off on the way in."""

    touch_s: float | None
    speed_kn: float | None
    rode_m: float
    off_s: float
    reason: str


class VerdictRow(_Part):
    """A sentence of the verdict: why she did not pass, or what holds the points; the plain verdict has no time."""

    code: str
    t_s: float | None
    cap: float | None
    fails: bool
    text: Annotated[str, Field(min_length=10)]


class Result(_Part):
    """The result of a run; points are out of 100, times in seconds since the start, places metres north and east."""

    format: Literal[1]
    program: str
    scenario: Scenario
    profile: Named
    boat: str
    seed: Annotated[int, Field(ge=0)]
    level: str
    started_s: float | None
    ended: Ended
    assisted: bool
    refused: bool
    aborted: list[dict[str, Any]]
    earlier: list[Earlier] = []
    secured: dict[str, bool] = {}
    verdict: list[VerdictRow] = []
    plan: dict[str, Any] | None
    self_rating: dict[str, int] | None
    override: list[Override]
    outcome: dict[str, Any]
    points: Annotated[float, Field(ge=0.0, le=100.01)]
    earned: Annotated[float, Field(ge=0.0, le=100.01)]
    passed: bool
    slow: Slow | None = None
    phases: list[Phase]
    critical: list[Critical]
    errors: list[Found]
    feedback: Feedback
    rodes: list[dict[str, Any]]
    departure: Departure | None = None
    state_hash: str


def schema_text() -> str:
    """Return the JSON Schema of a result as text."""
    return json.dumps(Result.model_json_schema(), indent=1, ensure_ascii=False) + "\n"
