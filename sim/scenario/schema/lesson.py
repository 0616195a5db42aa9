"""The file of a lesson; ranges only catch slips (judgement)."""

import itertools
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from sim.scenario.schema.base import Bearing, Block, File, Flag, Metres, Name, Number, Point, Polygon, Whole, Words
from sim.scenario.schema.weather import (
    HighGroundBlock,
    ShiftBlock,
    SkyBlock,
    SquallBlock,
    StreamBlock,
    TideBlock,
    WavesBlock,
)

REFUSALS = ("room", "rode", "water", "ground", "lee_shore", "forbidden", "weather")
RefusalReason = Literal["room", "rode", "water", "ground", "lee_shore", "forbidden", "weather"]
Seed = Annotated[Whole, Field(ge=0, le=1_000_000)]
AidName = Literal["ranges", "circles", "chain", "side_view", "truth", "transits"]


class WindBlock(Block):
    """The wind as forecast; ``sector_deg`` are the directions it may come from during the stay, clockwise."""

    mean_kn: Number = Field(ge=0.0, le=60.0)
    gust_kn: Number = Field(ge=0.0, le=90.0)
    from_deg: Bearing
    veer_deg: Number = Field(default=6.0, ge=0.0, le=45.0)
    sector_deg: tuple[Bearing, Bearing] | None = None
    shift: str = ""
    shifts: tuple[ShiftBlock, ...] = Field(default=(), max_length=20)
    squalls: tuple[SquallBlock, ...] = Field(default=(), max_length=20)
    high_ground: HighGroundBlock | None = None

    @model_validator(mode="after")
    def _gusts(self) -> "WindBlock":
        if self.gust_kn < self.mean_kn:
            raise ValueError("gust_kn not below mean_kn")
        if self.mean_kn == 0.0 and (self.squalls or self.high_ground or any(s.mean_kn for s in self.shifts)):
            raise ValueError("mean_kn above 0 with squalls, high_ground or shifts of mean_kn")
        if any(later.at_h <= sooner.at_h for sooner, later in itertools.pairwise(self.shifts)):
            raise ValueError("shifts with at_h rising")
        strongest = max(self.mean_kn, *(s.mean_kn or 0.0 for s in self.shifts), 0.0)
        if any(s.max_kn is not None and s.max_kn <= strongest for s in self.squalls):
            raise ValueError("squalls with max_kn above every mean_kn")
        return self


class StartBlock(Block):
    """Where and how she begins."""

    north_m: Metres
    east_m: Metres
    heading_deg: Bearing
    speed_kn: Number = Field(ge=-3.0, le=8.0)


class AnchorageBlock(Block):
    """Where she is asked to anchor; ``seat`` where she shall lie afterwards, ``berth_deg`` heading how.

    Where ``berth_deg`` is given she lies stern to a quay, a line ashore from her stern, her anchor straight out ahead.
    """

    north_m: Metres
    east_m: Metres
    radius_m: Number = Field(ge=5.0, le=1000.0)
    seat: Point | None = None
    berth_deg: Bearing | None = None

    @model_validator(mode="after")
    def _seated(self) -> "AnchorageBlock":
        if self.berth_deg is not None and self.seat is None:
            raise ValueError("seat with berth_deg")
        return self


class SecondBlock(Block):
    """Where the second anchor lies, or where the line from her stern is made fast, and how long it is."""

    north_m: Metres
    east_m: Metres
    length_m: Number = Field(ge=2.0, le=150.0)


class NeighbourRode(Block):
    """What a neighbour lies to; a snubber of 0 m is none, ``hold_n`` of 0 an anchor that never comes home."""

    kind: Literal["chain", "rope", "mooring", "two_anchors", "stern_line"]
    length_m: Number = Field(ge=2.0, le=150.0)
    snubber_m: Number = Field(default=0.0, ge=0.0, le=40.0)
    second: SecondBlock | None = None
    hold_n: Number = Field(default=0.0, ge=0.0, le=100_000.0)

    @model_validator(mode="after")
    def _two(self) -> "NeighbourRode":
        if (self.kind in ("two_anchors", "stern_line")) != (self.second is not None):
            raise ValueError("second with two_anchors and stern_line, and with nothing else")
        return self


class NeighbourBlock(Block):
    """Another boat at anchor; she finds her own place. With ``comes_from`` she comes in when the timeline says so."""

    name: Words
    boat: Name
    anchor_north_m: Metres
    anchor_east_m: Metres
    rode: NeighbourRode
    comes_from: Point | None = None
    lit: Flag = True
    ais: Literal["none", "a", "b"] = "none"


class InjectBlock(Block):
    """An episode of wind: a shift that stays, a gust that passes, a squall that comes within two minutes."""

    what: Literal["shift", "gust", "squall"]
    ramp_s: Number = Field(ge=1.0, le=7200.0)
    hold_s: Number = Field(default=0.0, ge=0.0, le=7200.0)
    turn_deg: Number = Field(default=0.0, ge=-180.0, le=180.0)
    factor: Number = Field(default=1.0, ge=0.0, le=5.0)

    @model_validator(mode="after")
    def _front(self) -> "InjectBlock":
        if self.what == "squall" and not (self.ramp_s <= 120.0 and self.factor > 1.0):
            raise ValueError("a squall with ramp_s at most 120 and factor above 1")
        return self


class WashBlock(Block):
    """The wash of a ship: waves so high from crest to trough at their highest, most half way through their time."""

    height_m: Number = Field(ge=0.05, le=1.5)
    period_s: Number = Field(default=4.0, ge=2.0, le=10.0)
    from_deg: Bearing
    last_s: Number = Field(default=60.0, ge=5.0, le=600.0)


class CrewActBlock(Block):
    """What the hand forward makes of the next order for the windlass or the length to stop at, once."""

    what: Literal["asks_back", "mishears"]


class FaultBlock(Block):
    """Something that fails; ``value`` is the counter's scale, or marks gone; else 1 failed, 0 sound."""

    what: Literal["engine", "counter", "windlass", "thruster", "helm", "marks"]
    value: Number = Field(default=1.0, ge=0.0, le=3.0)
    rode: Whole = Field(default=0, ge=0, le=1)


class NeighbourActBlock(Block):
    """What another boat does: ``to`` where she goes who leaves, ``hold_n`` the pull at which her anchor comes home."""

    name: Words
    what: Literal["arrive", "lay_over", "leave", "drag", "part", "lights_on", "lights_off"]
    to: Point | None = None
    hold_n: Number = Field(default=0.0, ge=0.0, le=100_000.0)

    @model_validator(mode="after")
    def _whole(self) -> "NeighbourActBlock":
        if (self.what == "leave") != (self.to is not None):
            raise ValueError("to with leave, and with nothing else")
        if (self.what == "drag") != (self.hold_n > 0.0):
            raise ValueError("hold_n with drag, and with nothing else")
        return self


class NoteBlock(Block):
    """A line in the record."""

    text: Words


class DoBlock(Block):
    """What the timeline does: exactly one of these."""

    inject: InjectBlock | None = None
    fault: FaultBlock | None = None
    neighbour: NeighbourActBlock | None = None
    wash: WashBlock | None = None
    crew: CrewActBlock | None = None
    note: NoteBlock | None = None

    @model_validator(mode="after")
    def _one(self) -> "DoBlock":
        if sum(getattr(self, name) is not None for name in type(self).model_fields) != 1:
            raise ValueError(f"exactly one of {', '.join(type(self).model_fields)}")
        return self


class WhenBlock(Block):
    """Conditions; all that are given must be met at once."""

    event: (
        Literal[
            "anchor_let_go", "anchor_touched", "anchor_set", "anchor_dragged", "anchor_aweigh",
            "snubber_hooked", "plan_made", "secured", "first_snub",
        ]
        | None
    ) = None  # fmt: skip
    out_m_over: Number | None = Field(default=None, ge=0.0, le=150.0)
    pull_n_over: Number | None = Field(default=None, ge=0.0, le=100_000.0)
    within_m: Number | None = Field(default=None, ge=1.0, le=1000.0)
    way_kn_under: Number | None = Field(default=None, gt=0.0, le=10.0)
    beyond: tuple[Point, Point] | None = None

    @model_validator(mode="after")
    def _some(self) -> "WhenBlock":
        if not self.model_fields_set:
            raise ValueError("one of event, out_m_over, pull_n_over, within_m, way_kn_under, beyond")
        return self


class EntryBlock(Block):
    """One entry of the timeline: at a time, on a condition, or on a condition not before a time.

    With ``to_s`` the day draws the time between the two; ``chance`` is how many days in one have the entry at all.
    """

    at_s: Number | None = Field(default=None, ge=0.0, le=90_000.0)
    to_s: Number | None = Field(default=None, ge=0.0, le=90_000.0)
    chance: Number | None = Field(default=None, gt=0.0, le=1.0)
    when: WhenBlock | None = None
    do: DoBlock

    @model_validator(mode="after")
    def _some(self) -> "EntryBlock":
        if self.at_s is None and self.when is None:
            raise ValueError("at_s or when")
        if self.to_s is not None and (self.at_s is None or self.to_s < self.at_s):
            raise ValueError("to_s after at_s")
        return self


class DrawBlock(Block):
    """What a day of its own puts at a key of this lesson: a figure between two, or one of several things.

    ``step`` rounds, counted from the lower end; with ``over`` the figure is added to what stands at another key.
    """

    key: Words
    between: tuple[Number, Number] | None = None
    step: Number | None = Field(default=None, gt=0.0)
    over: Words | None = None
    one_of: tuple[Any, ...] | None = Field(default=None, min_length=1, max_length=100)

    @model_validator(mode="after")
    def _one(self) -> "DrawBlock":
        if (self.between is None) == (self.one_of is None):
            raise ValueError("either between or one_of")
        if self.between is None and (self.step is not None or self.over is not None):
            raise ValueError("step and over with between only")
        if self.between is not None and self.between[0] > self.between[1]:
            raise ValueError("between with the lower end first")
        if self.key.split(".")[0].split("[")[0] in ("format", "drawn", "seeds", "bay", "level"):
            raise ValueError("a key that may differ from day to day")
        return self


class ReferenceBlock(Block):
    """The plan that a good skipper would make; ``region`` is where an anchor may well go, about the drop.

    ``minutes`` is how long the reference run takes from the start until she rides to her snubber.
    """

    drop_north_m: Metres
    drop_east_m: Metres
    region: Polygon | None = None
    rode_m: Number = Field(ge=5.0, le=150.0)
    minutes: Number | None = Field(default=None, gt=0.0, le=240.0)
    why: Words


class RefusalBlock(Block):
    """Why it is right to leave without anchoring: any one of ``because`` is a good reason."""

    because: tuple[RefusalReason, ...] = Field(min_length=1, max_length=len(REFUSALS))
    why: Words


class TeacherBlock(Block):
    """The instructor's page: never shown to the trainee before the debrief."""

    teaches: Words
    reading: Words | None = None
    intended_error: Words
    debrief: Words
    reference: ReferenceBlock | None = None
    refusal: RefusalBlock | None = None


class GoalBlock(Block):
    """What a measure of the marking must come to for a pass, whatever the marks."""

    measure: Words
    least: Number | None = None
    most: Number | None = None

    @model_validator(mode="after")
    def _some(self) -> "GoalBlock":
        if self.least is None and self.most is None:
            raise ValueError("least or most")
        return self


class DepartureBlock(Block):
    """When the stay is over she weighs and leaves; ``limit_min`` is the time for it."""

    limit_min: Number = Field(ge=2.0, le=120.0)


class SeedsBlock(Block):
    """Days to practise on and days to be tested on."""

    practice: tuple[Seed, ...] = Field(min_length=1, max_length=100)
    test: tuple[Seed, ...] = Field(min_length=1, max_length=100)

    @model_validator(mode="after")
    def _apart(self) -> "SeedsBlock":
        if set(self.practice) & set(self.test):
            raise ValueError("no seed for practice among those of the test")
        return self


class LessonFile(File):
    """A lesson."""

    title: Words
    order: Whole | None = Field(default=None, ge=1, le=999)
    level: Name
    aim: Words
    words: Words
    bay: Name
    boat: Name
    aids: tuple[AidName, ...] = ()
    crew: Literal["able", "novice"] = "able"
    dark: Flag = False
    sky: SkyBlock | None = None
    read_min: Number = Field(default=2.0, ge=0.5, le=30.0)
    limit_min: Number = Field(ge=1.0, le=240.0)
    stay_h: Number = Field(default=10.0, ge=0.5, le=48.0)
    departure: DepartureBlock | None = None
    wind: WindBlock
    tide: tuple[TideBlock, ...] = Field(default=(), max_length=20)
    stream: tuple[StreamBlock, ...] = Field(default=(), max_length=50)
    waves: WavesBlock | None = None
    start: StartBlock
    anchorage: AnchorageBlock
    neighbours: tuple[NeighbourBlock, ...] = Field(default=(), max_length=200)
    timeline: tuple[EntryBlock, ...] = Field(default=(), max_length=64)
    goals: tuple[GoalBlock, ...] = Field(default=(), max_length=10)
    drawn: tuple[DrawBlock, ...] = Field(default=(), max_length=50)
    seeds: SeedsBlock = SeedsBlock(practice=(1, 2, 3, 4, 5), test=(101, 102, 103))
    no_safe_spot: Flag = False
    teacher: TeacherBlock

    @model_validator(mode="after")
    def _in_order(self) -> "LessonFile":
        for name, rows in (("tide", self.tide), ("stream", self.stream)):
            times = [row.at_h for row in rows]
            if any(later <= sooner for sooner, later in itertools.pairwise(times)):
                raise ValueError(f"{name} entries with at_h rising")
        return self

    @model_validator(mode="after")
    def _known(self) -> "LessonFile":
        names = [n.name for n in self.neighbours]
        acting = [e.do.neighbour for e in self.timeline if e.do.neighbour is not None]
        if len(set(names)) != len(names):
            raise ValueError("a name of her own for each neighbour")
        for act in acting:
            if act.name not in names:
                raise ValueError(f"a neighbour's name in the timeline, not {act.name!r}")
            if act.what in ("arrive", "lay_over") and self.neighbours[names.index(act.name)].comes_from is None:
                raise ValueError(f"comes_from for {act.name!r}, who arrives")
        return self

    @model_validator(mode="after")
    def _answered(self) -> "LessonFile":
        teacher = self.teacher
        if self.no_safe_spot and (teacher.refusal is None or teacher.reference is not None):
            raise ValueError("with no_safe_spot a teacher.refusal and no teacher.reference")
        if not self.no_safe_spot and teacher.reference is None:
            raise ValueError(
                "a teacher.reference { drop_north_m, drop_east_m, rode_m, why }, or no_safe_spot: true and a"
                " teacher.refusal { because, why }"
            )
        return self
