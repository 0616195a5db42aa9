"""The forecast: what is given out of the weather to come, and its lines by their words' keys."""

from dataclasses import dataclass

from sim.base.units import deg, knots, mps, rad
from sim.model.air import squall
from sim.scenario.read import weather
from sim.scenario.schema.base import BayFile
from sim.scenario.schema.lesson import LessonFile

SECTOR_DEG = 30.0  # either side of the wind, where a lesson names no sector; judgement


@dataclass(frozen=True)
class Shift:
    """A shift foreseen; ``turn_rad`` veers, below 0 backs; direction and mean are those after it."""

    at_s: float
    last_s: float
    turn_rad: float
    from_rad: float
    mean_mps: float


@dataclass(frozen=True)
class SquallRisk:
    """A squall to be expected between two times, and the most it may blow."""

    from_s: float
    to_s: float
    most_mps: float


@dataclass(frozen=True)
class HighGround:
    """Gusts off high ground: where it lies, the most they blow, how far to either side they swing."""

    from_rad: float
    most_mps: float
    swing_rad: float


@dataclass(frozen=True)
class Forecast:
    """The wind as forecast; ``sector_rad`` are the directions it may come from, clockwise from the first.

    ``gust_mps`` is the strongest to be ready for, squalls and gusts off high ground with it; waves are those at the
    anchorage in the mean wind, 0 for none.
    """

    mean_mps: float
    gust_mps: float
    from_rad: float
    sector_rad: tuple[float, float]
    shift: str
    shifts: tuple[Shift, ...] = ()
    squalls: tuple[SquallRisk, ...] = ()
    high_ground: HighGround | None = None
    wave_height_m: float = 0.0
    wave_period_s: float = 0.0


def build(lesson: LessonFile, bay: BayFile) -> Forecast:
    """Return the forecast of a lesson."""
    w = lesson.wind
    sector = w.sector_deg or ((w.from_deg - SECTOR_DEG) % 360.0, (w.from_deg + SECTOR_DEG) % 360.0)
    shifts, mean_kn, from_deg = [], w.mean_kn, w.from_deg
    for one in w.shifts:
        from_deg = (from_deg + one.turn_deg) % 360.0
        mean_kn = mean_kn if one.mean_kn is None else one.mean_kn
        turn = rad(one.turn_deg)
        shifts.append(Shift(3600.0 * one.at_h, 60.0 * one.last_min, turn, rad(from_deg), mps(mean_kn)))
    squalls = tuple(
        SquallRisk(3600.0 * s.from_h, 3600.0 * s.to_h, mps(s.max_kn or w.mean_kn / squall.MEAN_BEFORE))
        for s in w.squalls
    )
    g = w.high_ground
    ground = HighGround(rad(g.from_deg), mps(w.mean_kn * g.factor), rad(g.swing_deg)) if g else None
    height_m, period_s = weather.waves_at(lesson, bay)
    return Forecast(
        mean_mps=mps(w.mean_kn),
        gust_mps=max(mps(w.gust_kn), *(s.most_mps for s in squalls), ground.most_mps if ground else 0.0),
        from_rad=rad(w.from_deg),
        sector_rad=(rad(sector[0]), rad(sector[1])),
        shift=w.shift,
        shifts=tuple(shifts),
        squalls=squalls,
        high_ground=ground,
        wave_height_m=height_m,
        wave_period_s=period_s,
    )


def _bearing(angle_rad: float) -> str:
    return f"{round(deg(angle_rad)) % 360:03d}°"


def _hour(t_s: float) -> str:
    return f"{t_s / 3600.0:g}"


def lines(f: Forecast) -> list[tuple[str, dict[str, str]]]:
    """Return what the forecast says beyond the wind of the hour, each as (words' key, values)."""
    told = []
    for s in f.shifts:
        way = "veer" if s.turn_rad > 0.0 else "back" if s.turn_rad < 0.0 else "change"
        values = {"at_h": _hour(s.at_s), "last_min": f"{s.last_s / 60.0:.0f}", "source": _bearing(s.from_rad)}
        told.append((f"forecast.{way}", values | {"mean_kn": f"{knots(s.mean_mps):.0f}"}))
    for q in f.squalls:
        hours = {"from_h": _hour(q.from_s), "to_h": _hour(q.to_s)}
        told.append(("forecast.squall", hours | {"most_kn": f"{knots(q.most_mps):.0f}"}))
    if f.high_ground is not None:
        g = f.high_ground
        values = {"source": _bearing(g.from_rad), "swing": f"{deg(g.swing_rad):.0f}°"}
        told.append(("forecast.high_ground", values | {"most_kn": f"{knots(g.most_mps):.0f}"}))
    if f.wave_height_m > 0.0:
        told.append(("forecast.waves", {"height_m": f"{f.wave_height_m:.1f}", "period_s": f"{f.wave_period_s:.1f}"}))
    return told
