"""Blocks of a lesson's weather, tide, stream and sky, of a bay's land and eddies; ranges catch slips (judgement)."""

from pydantic import Field, model_validator

from sim.scenario.schema.base import Bearing, Block, Number, Whole


class ShiftBlock(Block):
    """A shift foreseen: it sets in at an hour and takes its time; ``turn_deg`` veers, below 0 backs."""

    at_h: Number = Field(ge=0.0, le=60.0)
    last_min: Number = Field(ge=0.5, le=600.0)
    turn_deg: Number = Field(default=0.0, ge=-180.0, le=180.0)
    mean_kn: Number | None = Field(default=None, ge=1.0, le=60.0)


class SquallBlock(Block):
    """One squall, at a seeded moment between two hours; without ``max_kn`` its strength is drawn as published."""

    from_h: Number = Field(ge=0.0, le=60.0)
    to_h: Number = Field(ge=0.0, le=60.0)
    last_min: Number = Field(default=10.0, ge=1.0, le=120.0)
    max_kn: Number | None = Field(default=None, ge=5.0, le=90.0)

    @model_validator(mode="after")
    def _ordered(self) -> "SquallBlock":
        if self.to_h < self.from_h:
            raise ValueError("to_h not before from_h")
        return self


class HighGroundBlock(Block):
    """Gusts off high ground; ``factor`` is the strongest over the mean wind, ``from_deg`` where the ground lies."""

    from_deg: Bearing
    factor: Number = Field(default=2.5, ge=1.0, le=6.0)
    swing_deg: Number = Field(default=30.0, ge=0.0, le=120.0)
    every_s: Number = Field(default=120.0, ge=20.0, le=3600.0)
    last_s: Number = Field(default=20.0, ge=5.0, le=300.0)

    @model_validator(mode="after")
    def _apart(self) -> "HighGroundBlock":
        if self.every_s < 1.4 * self.last_s:
            raise ValueError("every_s at least 1.4 times last_s")
        return self


class WavesBlock(Block):
    """Small waves of the wind; ``open_fetch_m`` is the water to windward where the chart shows no shore."""

    open_fetch_m: Number = Field(default=0.0, ge=0.0, le=200_000.0)


class TideBlock(Block):
    """A high or low water; hours count from the start."""

    at_h: Number = Field(ge=-15.0, le=60.0)
    height_m: Number = Field(ge=-1.0, le=15.0)


class StreamBlock(Block):
    """The stream at an hour; a smooth curve between the entries."""

    at_h: Number = Field(ge=-15.0, le=60.0)
    rate_kn: Number = Field(ge=0.0, le=8.0)
    to_deg: Bearing


class SkyBlock(Block):
    """The sun's time of day when the exercise begins, and where in the year: day and night follow from them."""

    starts_h: Number = Field(ge=0.0, lt=24.0)
    latitude_deg: Number = Field(default=50.0, ge=-66.0, le=66.0)
    day: Whole = Field(default=220, ge=1, le=366)
