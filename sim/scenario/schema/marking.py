"""The files of marking profiles and of languages, and the schema of all files together."""

import json
from typing import Annotated, Literal

from pydantic import Field, StringConstraints, model_validator
from pydantic.json_schema import models_json_schema

from sim.scenario.schema.base import BayFile, Block, BoatFile, File, Flag, Name, Number, Whole, Words
from sim.scenario.schema.lesson import LessonFile
from sim.scenario.schema.rig import RigFile
from sim.scenario.schema.tackle import AnchorsFile, BottomsFile
from sim.scenario.schema.trial import MeasuredFile
from sim.scenario.schema.words import LessonWordsFile, MeantFile

Code = Annotated[str, StringConstraints(pattern=r"^[a-z]+[0-9]*$", max_length=10)]
# What a profile may ask for; ``marking.measures`` and ``marking.critical`` say how each is found.
MeasureName = Literal[
    "ph1.min_ukc_m",
    "ph1.min_gap_loa",
    "ph1.veer_room",
    "ph1.bottom_class",
    "ph1.rode_ratio",
    "ph1.plan_items",
    "ph2.max_sog_near_kn",
    "ph2.min_cpa_loa",
    "ph2.approach_error_deg",
    "ph3.sog_at_touch_kn",
    "ph3.bow_off_lie_deg",
    "ph3.drop_error_m",
    "ph3.mark_delay_s",
    "ph4.sternway_kn",
    "ph4.slack_ratio",
    "ph4.heap_m",
    "ph4.lead_aft_s",
    "ph4.early_tension_ratio",
    "ph4.chain_off_deg",
    "ph5.load_steps",
    "ph5.proved_load_ratio",
    "ph5.drag_m",
    "ph5.proofs",
    "ph5.scope_ratio",
    "ph6.secured_items",
    "rec.lead_ahead",
    "rec.windlass_load",
    "rec.steerage_s",
    "rec.hull_hits",
    "rec.gone",
    "ph7.drag_m",
    "ph7.min_gap_loa",
    "ph7.uplift_min",
    "ph7.contact",
    "leave.decision",
    "leave.reason",
]
FailCode = Literal["cf1", "cf2", "cf3", "cf4", "cf5", "cf6", "cf7", "cf8", "cf9", "cf10"]
Limits = Number | tuple[Number, Number]


class MeasureBlock(Block):
    """One quantity: its share of the phase and the values for full, half and no marks."""

    name: MeasureName
    title: Words
    of: Number = Field(gt=0.0, le=10.0)
    unit: str
    full: Limits
    half: Limits
    zero: Limits
    fixed: Flag = False
    source: Words

    @model_validator(mode="after")
    def _steps(self) -> "MeasureBlock":
        rows = [v if isinstance(v, tuple) else (v,) for v in (self.full, self.half, self.zero)]
        if len({len(row) for row in rows}) != 1:
            raise ValueError("full, half and zero alike: three figures, or three [least, most] bands")
        for edge, (full, half, zero) in enumerate(zip(*rows, strict=True)):
            falls, rises = full > half > zero, full < half < zero
            if not (falls or rises) or (len(rows[0]) == 2 and falls != (edge == 0)):
                raise ValueError("full, half and zero in order, each band outside the one before")
        return self


class PhaseBlock(Block):
    """A phase of the job and its worth out of 100; ``takes_from`` are phases that give it up, pro rata."""

    code: Code
    title: Words
    of: Number = Field(gt=0.0, le=100.0)
    takes_from: tuple[Code, ...] = ()
    measures: tuple[MeasureBlock, ...] = Field(min_length=1, max_length=30)


class CriticalBlock(Block):
    """A critical fail."""

    code: FailCode
    title: Words
    limit: Number | None = None
    unit: str = ""


class ScopeBlock(Block):
    """Scope asked for, from the roller, at the highest water of the stay."""

    night: Number = Field(ge=2.0, le=15.0)
    strong_wind_kn: Number = Field(ge=5.0, le=60.0)
    strong_wind: Number = Field(ge=2.0, le=15.0)
    attended: Number = Field(ge=1.5, le=15.0)


class CapsBlock(Block):
    """Most points that an error leaves: of danger (weight 5), grave (4), of weight 3 where it is the first cause.

    ``each_more`` is what each grave error beyond the first takes besides; ``minor`` is left by one of weight 2;
    ``never`` is left where she cannot pass; an error less certain than ``certain`` caps nothing.
    """

    danger: Number = Field(default=40.0, ge=0.0, le=100.0)
    grave: Number = Field(default=65.0, ge=0.0, le=100.0)
    each_more: Number = Field(default=10.0, ge=0.0, le=50.0)
    first_cause: Number = Field(default=85.0, ge=0.0, le=100.0)
    minor: Number = Field(default=97.0, ge=0.0, le=100.0)
    never: Number = Field(default=60.0, ge=0.0, le=100.0)
    certain: Number = Field(default=0.7, ge=0.0, le=1.0)


class SlowBlock(Block):
    """What it costs to block the bay: ``points`` where she takes over ``times`` as long as the reference run."""

    times: Number = Field(ge=1.0, le=20.0)
    points: Number = Field(ge=0.0, le=100.0)


class ProfileFile(File):
    """A marking profile, whole, or as changes to another (``based_on``)."""

    title: Words
    version: Whole = Field(ge=1)
    based_on: Name | None = None
    tolerance: Number = Field(ge=0.2, le=5.0)
    pass_points: Number | None = Field(default=None, ge=0.0, le=100.0)
    cap_points: Number | None = Field(default=None, ge=0.0, le=100.0)
    caps: CapsBlock | None = None
    scope: ScopeBlock | None = None
    slow: SlowBlock | None = None
    phases: tuple[PhaseBlock, ...] | None = None
    leaving: PhaseBlock | None = None
    critical: tuple[CriticalBlock, ...] = ()

    @model_validator(mode="after")
    def _whole(self) -> "ProfileFile":
        parts = (self.pass_points, self.cap_points, self.scope, self.phases, self.leaving)
        if self.based_on is None and any(part is None for part in parts):
            raise ValueError("pass_points, cap_points, scope, phases and leaving, or based_on")
        worth = {p.code: p.of for p in self.phases or ()}
        for phase in self.phases or ():
            if phase.takes_from and not all(phase.of < worth.get(code, 0.0) for code in phase.takes_from):
                raise ValueError(f"takes_from of {phase.code} naming phases that are each worth more than it is")
        return self


class WordsFile(File):
    """A language: every key of the program and its words."""

    language: Words
    words: dict[str, Words]


def schema_text() -> str:
    """Return the JSON Schema of every kind of file, as the text of ``scenarios/schema.json``."""
    kinds = (
        *(LessonFile, LessonWordsFile, BoatFile, BayFile, AnchorsFile, BottomsFile, ProfileFile, WordsFile),
        *(MeasuredFile, RigFile, MeantFile),
    )
    refs, schema = models_json_schema([(kind, "validation") for kind in kinds], title="Windrode scenario files")
    schema["anyOf"] = [refs[(kind, "validation")] for kind in kinds]
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
