"""The two clocks: how finely time passes, and how often each thing is looked at. The order of a tick is the same."""

from typing import NamedTuple

from sim.base.units import TICK_HZ

FIX_TICKS = TICK_HZ  # the receiver gives a fix each second


class Clock(NamedTuple):
    """Step lengths and rates, in ticks of a sixtieth of a second.

    A rate is counted from tick 0, so that what a run does never depends on where it was stopped and taken up again.
    """

    ticks: int  # how many ticks one step is; the other boats move once in it
    own_steps: int  # how often the own boat and her rodes move in it
    passes: int  # how often at least the chain is solved each time
    weather_ticks: int  # wind at the own boat, and what ground she stands in
    others_weather_ticks: int  # the same at the other boats
    others_water_ticks: int  # stream and depth at them
    look_ticks: int  # what is looked at now and then: groundings, crossings, hulls that come close
    watch: bool  # whether the watch's orders are kept
    mesh_m: float  # about how far apart a rode's nodes are; 0 as its tackle says

    @property
    def step_s(self) -> float:
        """How long one step is [s]."""
        return self.ticks / TICK_HZ


LIVE = Clock(
    ticks=1, own_steps=1, passes=2, weather_ticks=6, others_weather_ticks=6, others_water_ticks=1, look_ticks=6,
    watch=False, mesh_m=0.0,
)  # fmt: skip
# A third pass moves no load by half a per cent (windrode night-fidelity). The quickest gust takes two seconds.
NIGHT = Clock(
    ticks=12, own_steps=3, passes=2, weather_ticks=12, others_weather_ticks=60, others_water_ticks=60, look_ticks=12,
    watch=True, mesh_m=2.5,
)  # fmt: skip
