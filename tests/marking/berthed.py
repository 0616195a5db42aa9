"""A run drawn by hand that ends stern to a quay in the south, heading north, the wind in the west."""

import math
from dataclasses import replace

import worlds
from marking import sailed

from sim.core import events as ev
from sim.scenario import library

SEAT = (-60.0, 0.0)
LESSON = library.load_lesson("sallowmarket-quay")
BRIEF = replace(LESSON.brief, anchorage=replace(LESSON.brief.anchorage, seat_m=SEAT, berth_rad=0.0))
STAY = replace(sailed.STAY, berth_rad=0.0, wind_from_rad=math.radians(270.0))
FAST_S = 330.0


def berthed(anchor_east_m: float = 0.0, made: tuple[str, ...] = ("west bollard",), fast_s: float = FAST_S):
    """Return a run with the anchor so far to starboard of straight ahead, and these marks taken a line to."""
    lines = [ev.LineAshore(tick=sailed.tick(fast_s + k), rode=1, mark=mark, out_m=8.0) for k, mark in enumerate(made)]
    happened = sorted([*sailed.events(), *lines], key=lambda e: e.tick)
    bay = replace(worlds.params().bay, marks=marks())
    run = sailed.run(happened, stay=STAY, anchor_e_m=anchor_east_m, params={"bay": bay})
    return replace(run, brief=BRIEF)


def marks():
    """Return two bollards on the quay, one on either side of the berth."""
    west, east = LESSON.brief.chart.marks[-2:]
    return (replace(west, north_m=-68.0, east_m=-6.0), replace(east, north_m=-68.0, east_m=6.0))
