"""The files of grounds and of anchors; ranges only catch slips (judgement)."""

from pydantic import Field, model_validator

from sim.scenario.schema.base import AnchorKind, Block, File, Flag, Number, Words


class Nature(Block):
    """One kind of ground, by its letter on the chart."""

    title: Words
    friction: Number = Field(ge=0.1, le=2.0)
    bury_flukes: Number = Field(ge=0.5, le=50.0)
    suction: Number = Field(ge=0.0, le=1.0)
    patchy: Number = Field(ge=0.0, le=1.0)
    soak_min: Number = Field(ge=0.0, le=120.0)
    unsoaked: Number = Field(ge=0.1, le=1.0)
    clog_per_m: Number = Field(ge=0.0, le=1.0)
    skate_kn: Number = Field(ge=0.1, le=5.0)
    stiff: Number = Field(ge=0.0, le=1.0)


class Quality(Block):
    """A small letter before a nature: factors on what the nature does."""

    title: Words
    hold: Number = Field(default=1.0, ge=0.1, le=3.0)
    burial: Number = Field(default=1.0, ge=0.1, le=3.0)
    stiff: Number = Field(default=1.0, ge=0.1, le=3.0)
    unsoaked: Number = Field(default=1.0, ge=0.1, le=3.0)


class BottomsFile(File):
    """All kinds of ground."""

    natures: dict[str, Nature] = Field(min_length=1)
    qualities: dict[str, Quality]


class Grip(Block):
    """How one type of anchor holds in one nature: a power law, or so many times its weight."""

    efficiency: Number | None = Field(default=None, ge=0.1, le=200.0)
    hold_4536kg_n: Number | None = Field(default=None, ge=1000.0, le=5_000_000.0)
    exponent: Number | None = Field(default=None, ge=0.5, le=1.2)
    burial: Number = Field(ge=0.0, le=1.0)

    @model_validator(mode="after")
    def _one_law(self) -> "Grip":
        power = (self.hold_4536kg_n is not None) + (self.exponent is not None)
        if power + 2 * (self.efficiency is not None) != 2:
            raise ValueError("either efficiency, or hold_4536kg_n and exponent")
        return self


class AnchorType(Block):
    """A generic type of anchor; ``fluke_m`` and ``drag_m2`` are those of one of 15 kg."""

    title: Words
    fluke_m: Number = Field(ge=0.05, le=2.0)
    drag_m2: Number = Field(ge=0.01, le=2.0)
    slide: Number = Field(ge=0.1, le=2.0)
    self_tips: Flag
    trips_at_180: Number = Field(ge=0.0, le=1.0)
    stays_out: Number = Field(ge=0.0, le=0.9)
    turn_flukes: Number = Field(ge=0.1, le=10.0)
    side: Number = Field(ge=0.05, le=1.0)
    grips: dict[str, Grip] = Field(min_length=1)


class AnchorsFile(File):
    """All types of anchor."""

    anchors: dict[AnchorKind, AnchorType]
