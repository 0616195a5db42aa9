"""What a boat is expected to do in a sea trial, and what was measured on a real one.

The fields of ``Expects`` are the list of a trial's figures: name with unit, and what it says in words.
"""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, Strict, StringConstraints, model_validator

Figure = Annotated[float, Strict(), Field(allow_inf_nan=False, ge=-1e5, le=1e5)]
Source = Annotated[str, StringConstraints(min_length=1, max_length=400)]


class _Block(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Band(_Block):
    """Between what and what a figure is expected, and who says so."""

    low: Figure
    high: Figure
    source: Source

    @model_validator(mode="after")
    def _ordered(self) -> "Band":
        if not self.low < self.high:
            raise ValueError("low below high")
        return self


def _told(words: str) -> Any:
    return Field(default=None, description=words)


class Expects(_Block):
    """The behaviour that is expected of a boat, as ``windrode seatrial`` measures it; any figure may be left out.

    At rest and deep water unless said; wind steady; at anchor on her own rode, five times the height. What is blown off
    starts 10 degrees off the wind, sternway 3 degrees off; lying is counted from the wind towards the stream.
    """

    ahead_idle_kn: Band | None = _told("speed ahead, tick-over")
    ahead_half_kn: Band | None = _told("speed ahead, half lever")
    ahead_full_kn: Band | None = _told("speed ahead, full lever")
    astern_half_kn: Band | None = _told("speed astern, half lever")
    pull_astern_n: Band | None = _told("pull astern made fast, full lever")
    coast_4kn_m: Band | None = _told("way carried in neutral, 4 kn down to 1 kn")
    stop_idle_s: Band | None = _told("4 kn to stopped, tick-over astern")
    stop_idle_m: Band | None = _told("and the distance run")
    stop_half_s: Band | None = _told("4 kn to stopped, half astern")
    stop_half_m: Band | None = _told("and the distance run")
    stop_full_s: Band | None = _told("4 kn to stopped, full astern")
    stop_full_m: Band | None = _told("and the distance run")
    walk_half_deg: Band | None = _told("10 s half astern from rest: bow to starboard")
    turn_lengths: Band | None = _told("turning circle over her length, third of the lever")
    pivot_30s_deg: Band | None = _told("pivots in 30 s, engines a third ahead and astern")
    off45_10kn_s: Band | None = _told("bow blown off in 10 kn from rest, 10 to 45 degrees")
    off90_10kn_s: Band | None = _told("and to 90 degrees")
    off45_15kn_s: Band | None = _told("bow blown off in 15 kn")
    off90_15kn_s: Band | None = _told("and to 90 degrees")
    off45_25kn_s: Band | None = _told("bow blown off in 25 kn")
    off90_25kn_s: Band | None = _told("and to 90 degrees")
    sternway_10kn_10s_kn: Band | None = _told("sternway head to wind in 10 kn, 10 s from rest")
    sternway_10kn_20s_kn: Band | None = _told("and after 20 s")
    sternway_15kn_10s_kn: Band | None = _told("sternway head to wind in 15 kn, 10 s from rest")
    sternway_15kn_20s_kn: Band | None = _told("and after 20 s")
    lies_off_deg: Band | None = _told("left alone in 15 kn: her head off the wind")
    drift_10kn_kn: Band | None = _told("left alone in 10 kn: drift downwind")
    drift_15kn_kn: Band | None = _told("left alone in 15 kn: drift downwind")
    drift_25kn_kn: Band | None = _told("left alone in 25 kn: drift downwind")
    across_15kn_kn: Band | None = _told("left alone in 15 kn: way made across the wind")
    sheer_25kn_deg: Band | None = _told("at anchor in a steady 25 kn: sheers either way")
    stream_05kn_deg: Band | None = _told("12 kn across a 0.5 kn stream: lies from the wind")
    stream_10kn_deg: Band | None = _told("12 kn across a 1 kn stream")
    stream_15kn_deg: Band | None = _told("12 kn across a 1.5 kn stream")
    opposed_10kn_deg: Band | None = _told("12 kn against a 1 kn stream: lies off the stream")
    coast_3kn_m: Band | None = _told("way carried in neutral, 3 kn down to 1 kn")
    stop_5kn_s: Band | None = _told("5 kn to stopped, half astern")
    walk_full_deg: Band | None = _told("10 s full astern from rest: bow to starboard")


class Measured(_Block):
    """Figures measured on a real boat, in calm water and little stream; the wind's with the wind steady."""

    coast_3kn_m: Figure | None = Field(default=None, gt=0.0, le=500.0)
    stop_5kn_s: Figure | None = Field(default=None, gt=0.0, le=300.0)
    walk_full_deg: Figure | None = Field(default=None, ge=-180.0, le=180.0)
    off45_15kn_s: Figure | None = Field(default=None, gt=0.0, le=300.0)
    drift_15kn_kn: Figure | None = Field(default=None, gt=0.0, le=5.0)

    @model_validator(mode="after")
    def _some(self) -> "Measured":
        if not self.model_fields_set:
            raise ValueError("at least one figure")
        return self


class MeasuredFile(_Block):
    """A boat's measurements for ``windrode seatrial --fit``."""

    format: Literal[1]
    title: Source
    measured: Measured
