"""What her engine can fairly be asked to pull."""

from sim.model import layout as lay
from sim.model.hull import engine
from sim.model.params import Boat

ENGINE_SHARE = 0.9  # of the usable pull astern: more than a skipper need ask of her engine (judgement)


def usable_astern_n(boat: Boat) -> float:
    """Return the pull of all engines full astern, the boat held [N]."""
    pulls = boat.shafts[: boat.shaft_count, lay.SP_BOLLARD] * boat.shafts[: boat.shaft_count, lay.SP_ASTERN]
    return float(pulls.sum()) * engine.ASTERN_RPS**2
