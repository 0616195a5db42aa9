"""Everything of the simulator that the examiner's hands use, in one place."""

from sim.base.frames import to_world, wrap_pi
from sim.base.units import TICK_HZ, deg, knots, mps, rad
from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.world import World
from sim.demonstrator import choosing as planning
from sim.demonstrator import course
from sim.demonstrator.choosing import Other, Spot
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.pilot import ACTOR, IDLE
from sim.demonstrator.skipper import Steps
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout
from sim.model import layout
from sim.model.tackle.catenary import reach_on_bed_m
from sim.play import night_run as night
from sim.play.attempt import SLEEPS, Attempt, Marked
from sim.play.past import load_past
from sim.record.track import Track, TrackRecorder
from sim.scenario.library import Lesson, load_lesson
from sim.scenario.read.brief import Brief
from sim.scenario.schema.lesson import REFUSALS

__all__ = [
    "ACTOR",
    "IDLE",
    "REFUSALS",
    "SLEEPS",
    "TICK_HZ",
    "Attempt",
    "Brief",
    "Demonstrator",
    "Exercise",
    "Lesson",
    "Lookout",
    "Marked",
    "Other",
    "Spot",
    "Steps",
    "Track",
    "TrackRecorder",
    "World",
    "cmd",
    "course",
    "deg",
    "ev",
    "knots",
    "layout",
    "load_lesson",
    "load_past",
    "mps",
    "night",
    "planning",
    "rad",
    "reach_on_bed_m",
    "to_world",
    "wrap_pi",
]  # fmt: skip
