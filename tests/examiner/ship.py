"""Everything of the simulator that the examiner's hands use, in one place."""

from sim.base.frames import to_world, wrap_pi
from sim.base.units import TICK_HZ, deg, knots, mps, rad
from sim.core import commands as cmd
from sim.core import events as ev
from sim.core.world import World
from sim.helm import course, planning
from sim.helm.demonstrator import Demonstrator
from sim.helm.exercise import Exercise
from sim.helm.pilot import ACTOR, IDLE
from sim.helm.planning import Other, Spot
from sim.helm.skipper import Steps
from sim.helm.view import Lookout
from sim.model import layout
from sim.model.catenary import reach_on_bed_m
from sim.record.track import Track, TrackRecorder
from sim.run import night
from sim.run.attempt import SLEEPS, Attempt
from sim.scenario.brief import Brief
from sim.scenario.library import Lesson, load_lesson
from sim.scenario.schema_lesson import REFUSALS

__all__ = [
    "ACTOR", "IDLE", "REFUSALS", "SLEEPS", "TICK_HZ", "Attempt", "Brief", "Demonstrator", "Exercise", "Lesson",
    "Lookout", "Other", "Spot", "Steps", "Track", "TrackRecorder", "World", "cmd", "course", "deg", "ev", "knots",
    "layout", "load_lesson", "mps", "night", "planning", "rad", "reach_on_bed_m", "to_world", "wrap_pi",
]  # fmt: skip
