"""What happened, as ``advance`` tells it: frozen dataclasses, in tick order, one text line each way."""

from dataclasses import dataclass
from typing import Any

from sim.core.event import Event as Event
from sim.core.orders import textline
from sim.core.upset_events import OrderAskedBack as OrderAskedBack
from sim.core.upset_events import OrderMisheard as OrderMisheard
from sim.core.upset_events import RodeLaidOver as RodeLaidOver
from sim.core.upset_events import RodeSeenAcross as RodeSeenAcross
from sim.core.upset_events import RodeSlipped as RodeSlipped
from sim.core.upset_events import WashBegan as WashBegan
from sim.core.watch_events import WatchBegan as WatchBegan
from sim.core.watch_events import WatchCalled as WatchCalled
from sim.core.watch_events import WatchEnded as WatchEnded
from sim.core.watch_events import WatchOrdered as WatchOrdered


@dataclass(frozen=True, kw_only=True)
class Declined(Event):
    """An order that could not be carried out; ``why`` is a key of the word list."""

    what: str
    why: str


@dataclass(frozen=True, kw_only=True)
class AnchorLetGo(Event):
    """The anchor left the roller."""

    rode: int


@dataclass(frozen=True, kw_only=True)
class AnchorTouched(Event):
    """The anchor met the bottom."""

    rode: int
    north_m: float
    east_m: float
    depth_m: float
    bottom: str
    along_mps: float  # the boat's speed over the ground along her heading, - astern
    speed_mps: float
    heading_rad: float
    out_m: float


@dataclass(frozen=True, kw_only=True)
class AnchorSet(Event):
    """The anchor has tipped and begun to bury."""

    rode: int


@dataclass(frozen=True, kw_only=True)
class AnchorDragged(Event):
    """The anchor began to move under load."""

    rode: int
    load_n: float


@dataclass(frozen=True, kw_only=True)
class AnchorHeld(Event):
    """A dragging anchor came to rest under load, after ``moved_m``."""

    rode: int
    moved_m: float


@dataclass(frozen=True, kw_only=True)
class AnchorVeered(Event):
    """The pull came from another side: the anchor turned in place, or tripped."""

    rode: int
    outcome: str  # "turned" | "tripped" | "stays_out"


@dataclass(frozen=True, kw_only=True)
class AnchorAweigh(Event):
    """The anchor left the bottom."""

    rode: int


@dataclass(frozen=True, kw_only=True)
class AnchorHome(Event):
    """The anchor came home to its roller."""

    rode: int


@dataclass(frozen=True, kw_only=True)
class BrakeSlipped(Event):
    """Chain ran out against the brake or the clutch."""

    rode: int
    tension_n: float


@dataclass(frozen=True, kw_only=True)
class WindlassStalled(Event):
    """The windlass could not lift the load."""

    rode: int
    tension_n: float


@dataclass(frozen=True, kw_only=True)
class WindlassTripped(Event):
    """The windlass breaker opened."""

    rode: int


@dataclass(frozen=True, kw_only=True)
class PresetReached(Event):
    """The windlass stopped by itself."""

    rode: int
    out_m: float


@dataclass(frozen=True, kw_only=True)
class ChainOut(Event):
    """All the chain is out; ``lost`` where the bitter end was not fast."""

    rode: int
    lost: bool


@dataclass(frozen=True, kw_only=True)
class SnubberHooked(Event):
    """The snubber or bridle was hooked on."""

    rode: int
    out_m: float


@dataclass(frozen=True, kw_only=True)
class SnubberCast(Event):
    """The snubber or bridle was taken off."""

    rode: int


@dataclass(frozen=True, kw_only=True)
class SnubberParted(Event):
    """The snubber or bridle chafed through, or broke."""

    rode: int


@dataclass(frozen=True, kw_only=True)
class StopperFailed(Event):
    """The chain stopper gave way under the load."""

    rode: int
    tension_n: float


@dataclass(frozen=True, kw_only=True)
class ChainUnderHull(Event):
    """The chain began to lead under the boat."""

    rode: int


@dataclass(frozen=True, kw_only=True)
class ChainCaught(Event):
    """The rode bears on a post or a rock head of the bay."""

    rode: int
    snag: str
    north_m: float
    east_m: float


@dataclass(frozen=True, kw_only=True)
class ChainCleared(Event):
    """The rode has come clear of what it was caught on."""

    rode: int
    snag: str


@dataclass(frozen=True, kw_only=True)
class ChainTouched(Event):
    """The rode met the keel, the rudder or the propeller; ``in_gear`` tells whether the propeller turned."""

    rode: int
    part: str  # "keel" | "rudder" | "propeller"
    in_gear: bool


@dataclass(frozen=True, kw_only=True)
class LineAshore(Event):
    """A line was made fast ashore."""

    rode: int
    mark: str
    out_m: float


@dataclass(frozen=True, kw_only=True)
class Touched(Event):
    """Hull met hull (``other`` >= 1) or shore (``other`` = -1) at a closing speed."""

    boat: int
    other: int
    closing_mps: float
    impulse_ns: float


@dataclass(frozen=True, kw_only=True)
class Grounded(Event):
    """A keel met the ground; ``hard`` where that is sand, stones or rock, and not mud."""

    boat: int
    speed_mps: float
    hard: bool = False


@dataclass(frozen=True, kw_only=True)
class RangeTaken(Event):
    """A range and a bearing, with their error."""

    target: int
    range_m: float
    bearing_rad: float


@dataclass(frozen=True, kw_only=True)
class RangeFailed(Event):
    """No range was had; ``why`` is ``out_of_reach``, ``rain`` or ``rigging``."""

    target: int
    why: str


@dataclass(frozen=True, kw_only=True)
class DepthSounded(Event):
    """Depths round the spot, least and most, below the surface."""

    least_m: float
    most_m: float


@dataclass(frozen=True, kw_only=True)
class HailAnswered(Event):
    """What a neighbour says lies out."""

    target: int
    rode_kind: str
    rode_m: float


@dataclass(frozen=True, kw_only=True)
class CrewAsked(Event):
    """The foredeck was asked."""

    question: str


@dataclass(frozen=True, kw_only=True)
class TransitTaken(Event):
    """A transit was taken, or dropped."""

    bearing_rad: float
    on: bool


@dataclass(frozen=True, kw_only=True)
class AnchorMarked(Event):
    """The anchor's mark was placed."""

    rode: int
    north_m: float
    east_m: float


@dataclass(frozen=True, kw_only=True)
class AlarmSet(Event):
    """The alarm circle was placed or switched off."""

    north_m: float
    east_m: float
    radius_m: float
    on: bool


@dataclass(frozen=True, kw_only=True)
class AlarmRang(Event):
    """The boat left the alarm circle, by her own receiver."""

    distance_m: float  # from the circle's middle, as the receiver has it


@dataclass(frozen=True, kw_only=True)
class LightsShown(Event):
    """Lights and shapes as they are now."""

    anchor_light: bool
    ball: bool


@dataclass(frozen=True, kw_only=True)
class PlanMade(Event):
    """The plan, as entered."""

    drop_north_m: float
    drop_east_m: float
    rode_m: float
    depth_m: float
    high_water_m: float
    lie_rad: float
    escape_rad: float = 0.0
    reading: str = ""
    abort: str = ""


@dataclass(frozen=True, kw_only=True)
class DiverReported(Event):
    """What the diver saw."""

    rode: int
    attitude: str
    burial: float
    clog: float


@dataclass(frozen=True, kw_only=True)
class WindInjected(Event):
    """An episode of wind has begun."""

    what: str


@dataclass(frozen=True, kw_only=True)
class NeighbourActed(Event):
    """What another boat is about has changed; ``what`` is one of ``layout.FLEET_STATES``, or ``drags``."""

    target: int
    what: str


@dataclass(frozen=True, kw_only=True)
class FaultBegun(Event):
    """Something has failed."""

    what: str


@dataclass(frozen=True, kw_only=True)
class Aborted(Event):
    """The attempt was called off."""

    reason: str


@dataclass(frozen=True, kw_only=True)
class Left(Event):
    """It was decided not to anchor here."""

    reason: str


@dataclass(frozen=True, kw_only=True)
class Departed(Event):
    """She has weighed after her stay and is gone."""


@dataclass(frozen=True, kw_only=True)
class Secured(Event):
    """She was reported secured."""

    out_m: float


KINDS: dict[str, type[Event]] = textline.registry(Event)
NUMBERS: dict[type[Event], int] = {kind: number for number, kind in enumerate(KINDS.values())}


def to_line(event: Event) -> str:
    """Return the event's text line."""
    return textline.to_line(event, "was")


def to_dict(event: Event) -> dict[str, Any]:
    """Return the event as plain data."""
    return textline.to_dict(event, "was")


def from_dict(data: dict[str, Any]) -> Event:
    """Return the event that plain data describes; ValueError where it describes none."""
    return textline.from_dict(KINDS, "was", data)
