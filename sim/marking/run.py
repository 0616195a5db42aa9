"""What marking looks at: the truth of a run, what the lesson says of the stay, and the moments of the attempt."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.frames import bearing_rad
from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core.orders.commands import Command
from sim.marking.moments import Moments, find_moments, lying_moments
from sim.marking.phases import needed_pull
from sim.marking.stay import Stay
from sim.model import layout as lay
from sim.model.air.sky import darkness
from sim.model.params import WorldParams
from sim.model.tackle.catenary import wind_load_n
from sim.model.tackle.lying import resultant_rad
from sim.record.ground import charted_depths_m
from sim.record.night import Night
from sim.record.track import Track
from sim.scenario.read.brief import Brief


@dataclass(frozen=True)
class Found:
    """The value of one measure and where in the run it was found.

    Attributes:
        value: in the measure's own unit; None where what it measures was not done, which earns no marks.
        from_s: beginning of the span it was taken from.
        to_s: end of that span.
        at: north, east of the place, where there is one.
    """

    value: float | None
    from_s: float
    to_s: float
    at: tuple[float, float] | None = None


@dataclass(frozen=True)
class Run:
    """One run, ready to be marked.

    Attributes:
        track: its sampled truth, with the events.
        params: the world it was sailed in.
        stay: what the lesson says of the stay.
        orders: (tick, command) in order.
        brief: what the trainee was told, where there is one.
        night: the stay that followed, where it was sailed.
        departure: the track of how she weighed and left after that, where the lesson has it.
        at_anchor: she lies at anchor where the track begins.
    """

    track: Track
    params: WorldParams
    stay: Stay
    orders: tuple[tuple[int, Command], ...] = ()
    brief: Brief | None = None
    night: Night | None = None
    departure: Track | None = None
    at_anchor: bool = False

    @cached_property
    def moments(self) -> Moments:
        """The moments of the attempt that counts, the last one."""
        return lying_moments(self.track) if self.at_anchor else find_moments(self.track)

    @cached_property
    def leaving(self) -> "Run | None":
        """The departure as a run of its own, which begins at anchor; None where there was none."""
        if self.departure is None:
            return None
        return replace(self, track=self.departure, night=None, departure=None, at_anchor=True)

    def dark(self, t_s: float) -> bool:
        """Return whether a light is due instead of a ball, as it is from sunset to sunrise (COLREG 20 b)."""
        return self.stay.dark or darkness(self.params.sky, t_s) > 0.0

    @property
    def loa_m(self) -> float:
        """Length of the own boat."""
        return float(self.params.boat.hull[lay.H_LOA])

    @property
    def line(self) -> FloatArray:
        """Constants of the rode."""
        return self.params.rodes[0].line

    @cached_property
    def plan(self) -> ev.PlanMade | None:
        """The last plan made before the anchor touched, or None."""
        limit_s = self.moments.touch_s if self.moments.touch is not None else math.inf
        plans = [e for e in self.track.events if isinstance(e, ev.PlanMade) and e.tick / TICK_HZ <= limit_s]
        return plans[-1] if plans else None

    @cached_property
    def lie_rad(self) -> float:
        """The heading she lies to around the drop: the berth's, else against wind and stream together on her hull."""
        if self.stay.berth_rad is not None:
            return self.stay.berth_rad
        m = self.moments
        span = self.span(m.anchoring_s - 120.0, m.anchoring_s + 60.0)
        wind, stream = (
            (float(self.track[f"{what}_n_mps"][span].mean()), float(self.track[f"{what}_e_mps"][span].mean()))
            for what in ("wind", "stream")
        )
        return resultant_rad(bearing_rad(-wind[0], -wind[1]), math.hypot(*wind), stream)

    @cached_property
    def target_load_n(self) -> float:
        """The load to prove: the lesser of the forecast gust's and what her engine can fairly pull."""
        gust_n = wind_load_n(self.loa_m, self.stay.gust_mps)
        return min(gust_n, needed_pull.ENGINE_SHARE * needed_pull.usable_astern_n(self.params.boat))

    def span(self, from_s: float, to_s: float) -> slice:
        """Return the fast samples of a span of time; never empty."""
        first, last = self.track.index(from_s), self.track.index(to_s)
        return slice(first, max(last, first) + 1)

    def charted_m(self, north_m: float, east_m: float) -> float:
        """Return the depth below chart datum at a place."""
        return float(charted_depths_m(self.params.bay, np.array([north_m]), np.array([east_m]))[0])

    def roller_above_bed_m(self, north_m: float, east_m: float, tide_m: float) -> float:
        """Return the height of the roller above the bed at a place and tide, at least a metre."""
        depth_m = self.charted_m(north_m, east_m) + tide_m
        return max(depth_m + float(self.line[lay.LP_ROLLER_Z]), 1.0)


Law = Callable[[Run], Found | None]
