"""What the lesson says of the stay she anchors for."""

from dataclasses import dataclass

from sim.base.units import mps
from sim.scenario.library import Lesson

ATTENDED_S = 4 * 3600.0  # a stay shorter than this is a stop with people on board (judgement)


@dataclass(frozen=True)
class Stay:
    """What the lesson says of the stay she anchors for.

    Attributes:
        gust_mps: the gust to be ready for.
        wind_from_rad: direction of the forecast wind.
        sector_rad: the directions it may come from, clockwise from the first to the second.
        high_m: highest tide of the stay above chart datum.
        low_m: lowest tide of the stay.
        scope: scope asked for, from the roller at the highest water.
        dark: it is dark, so a light is due instead of a ball.
        no_safe_spot: nowhere here is safe for the stay: to leave is the answer.
        reference_s: how long the reference run takes until she rides to her snubber, None where nobody says.
        night: she is meant to stay the night, or so long that nobody keeps awake throughout.
        berth_rad: how she shall head where she berths stern to a quay, None where she swings to her anchor.
        refusals: good reasons to leave without anchoring, none where leaving is no answer.
    """

    gust_mps: float
    wind_from_rad: float
    sector_rad: tuple[float, float]
    high_m: float
    low_m: float
    scope: float
    dark: bool = False
    no_safe_spot: bool = False
    refusals: tuple[str, ...] = ()
    reference_s: float | None = None
    night: bool = False
    berth_rad: float | None = None


def stay_of(lesson: Lesson) -> Stay:
    """Return what ``lesson`` says of the stay, with the scope its marking profile asks for."""
    brief, scope = lesson.brief, lesson.profile.scope
    asked, night = scope.night, brief.dark or brief.stay_s >= ATTENDED_S
    reference = lesson.teacher.reference
    if brief.forecast.mean_mps >= mps(scope.strong_wind_kn):
        asked = scope.strong_wind
    elif not night:
        asked = scope.attended
    return Stay(
        gust_mps=brief.forecast.gust_mps,
        wind_from_rad=brief.forecast.from_rad,
        sector_rad=brief.forecast.sector_rad,
        high_m=brief.tide.now_m + brief.tide.rise_m,
        low_m=brief.tide.now_m - brief.tide.fall_m,
        scope=asked,
        dark=brief.dark,
        no_safe_spot=lesson.sources.lesson.no_safe_spot,
        refusals=lesson.teacher.refusal.because if lesson.teacher.refusal is not None else (),
        reference_s=60.0 * reference.minutes if reference is not None and reference.minutes is not None else None,
        night=night,
        berth_rad=brief.anchorage.berth_rad,
    )
