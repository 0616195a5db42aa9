"""Everything anyone can order: the trainee, the demonstrator, the timeline, the instructor.

A command is a frozen dataclass with one text line each way; ``actor`` says whose order it is (``trainee``,
``demonstrator``, ``desk``, ``timeline:3`` for the third entry of a lesson's timeline). Angles are in radians, lengths
in metres. ``rode`` numbers the rode where a boat carries more than one. Acts that take time are answered by an event.
"""

from dataclasses import dataclass
from typing import Any

from sim.core.orders import textline


@dataclass(frozen=True, kw_only=True)
class Command:
    """The base of all commands."""

    actor: str = "trainee"


@dataclass(frozen=True, kw_only=True)
class Helm(Command):
    """Order a rudder angle; positive turns her to starboard when going ahead."""

    angle_rad: float


@dataclass(frozen=True, kw_only=True)
class Engine(Command):
    """Set a lever, -1 full astern to 1 full ahead; shaft -1 means all of them."""

    lever: float
    shaft: int = -1


@dataclass(frozen=True, kw_only=True)
class Thruster(Command):
    """Push the bow, -1 to port to 1 to starboard."""

    push: float


@dataclass(frozen=True, kw_only=True)
class Windlass(Command):
    """Work the windlass motor: -1 heaves, 0 stops, 1 lowers under power."""

    motion: int
    rode: int = 0


@dataclass(frozen=True, kw_only=True)
class Brake(Command):
    """Set the brake, 0 free to 1 hard on."""

    grip: float
    rode: int = 0


@dataclass(frozen=True, kw_only=True)
class Stopper(Command):
    """Put the chain stopper on or off."""

    on: bool
    rode: int = 0


@dataclass(frozen=True, kw_only=True)
class PresetLength(Command):
    """Let the windlass stop by itself at a length out; 0 for none."""

    length_m: float
    rode: int = 0


@dataclass(frozen=True, kw_only=True)
class Snubber(Command):
    """Hook the snubber (or the bridle, where she has two legs) on or off."""

    on: bool
    length_m: float = 0.0  # 0: the boat's own
    rode: int = 0


@dataclass(frozen=True, kw_only=True)
class LineToShore(Command):
    """Take a line to a mark ashore (1 is the first) and make it fast; thrown where it reaches, else rowed."""

    mark: int


@dataclass(frozen=True, kw_only=True)
class TakeRange(Command):
    """Range another boat (1 is the first) or a mark (-1 is the first), by ``laser`` or by the height of a ``mast``."""

    target: int
    means: str = "laser"


@dataclass(frozen=True, kw_only=True)
class SetRadar(Command):
    """Switch the radar on or off and set it: range scale, gain and sea clutter, both 0 to 1."""

    on: bool
    scale_m: float = 463.0
    gain: float = 0.5
    sea: float = 0.4


@dataclass(frozen=True, kw_only=True)
class SoundRound(Command):
    """Sound round the spot at a radius."""

    radius_m: float


@dataclass(frozen=True, kw_only=True)
class Hail(Command):
    """Ask a neighbour what rode lies out."""

    target: int


@dataclass(frozen=True, kw_only=True)
class AskCrew(Command):
    """Ask the foredeck how she leads."""

    question: str = "lead"


@dataclass(frozen=True, kw_only=True)
class TakeTransit(Command):
    """Take two things in line on a bearing, or drop the transit."""

    bearing_rad: float
    on: bool = True


@dataclass(frozen=True, kw_only=True)
class MarkAnchor(Command):
    """Mark the anchor's position where the bow is now."""

    rode: int = 0


@dataclass(frozen=True, kw_only=True)
class SetAlarm(Command):
    """Place the alarm circle, or switch it off."""

    north_m: float
    east_m: float
    radius_m: float
    on: bool = True


@dataclass(frozen=True, kw_only=True)
class Lights(Command):
    """Show or take in the anchor light and the ball."""

    anchor_light: bool = False
    ball: bool = False


@dataclass(frozen=True, kw_only=True)
class Plan(Command):
    """Enter the plan: where the anchor goes, how much rode, and the reasons."""

    drop_north_m: float
    drop_east_m: float
    rode_m: float
    depth_m: float  # at the drop, now
    high_water_m: float  # rise still to come
    lie_rad: float  # heading she will lie to
    escape_rad: float = 0.0
    reading: str = ""  # how the others lie, stream, why gaps are empty, what rodes lie out
    abort: str = ""


@dataclass(frozen=True, kw_only=True)
class Dive(Command):
    """Send a diver down to look."""

    rode: int = 0


@dataclass(frozen=True, kw_only=True)
class Abort(Command):
    """Call it off: lift and do it again, or leave."""

    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Leave(Command):
    """Decide not to anchor here, with the reason: the exercise is over. Not while an anchor is out."""

    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Secure(Command):
    """Report her secured: riding to her anchor, the exercise done."""


@dataclass(frozen=True, kw_only=True)
class WatchOrders(Command):
    """Say what the watch calls for; 0 leaves it out."""

    drag_m: float = 0.0  # further from the anchor's mark than the rode reaches, by the receiver
    wind_mps: float = 0.0
    shift_rad: float = 0.0
    near_m: float = 0.0  # another boat within this, hull to hull


@dataclass(frozen=True, kw_only=True)
class BeginWatch(Command):
    """Leave the helm, all stopped, and run the stay on at the watch's clock."""


@dataclass(frozen=True, kw_only=True)
class EndWatch(Command):
    """Come back to the live clock."""


@dataclass(frozen=True, kw_only=True)
class TimeRate(Command):
    """Note the rate at which the person lets time run."""

    rate: float


@dataclass(frozen=True, kw_only=True)
class Note(Command):
    """Write a line in the record."""

    text: str


@dataclass(frozen=True, kw_only=True)
class Bookmark(Command):
    """Mark this moment to come back to."""

    text: str = ""


@dataclass(frozen=True, kw_only=True)
class StepBack(Command):
    """Note that the run was taken up again from so many seconds before: what follows is assisted."""

    seconds: float


@dataclass(frozen=True, kw_only=True)
class Override(Command):
    """An instructor's change to a mark, with the reason."""

    measure: str
    points: float
    reason: str


@dataclass(frozen=True, kw_only=True)
class Inject(Command):
    """Add an episode of wind: a shift that stays, a gust that passes, a squall that passes and dies away slowly."""

    what: str  # "shift" | "gust" | "squall"
    ramp_s: float
    hold_s: float = 0.0
    turn_rad: float = 0.0
    factor: float = 1.0


@dataclass(frozen=True, kw_only=True)
class Wash(Command):
    """Let the wash of a ship come in: waves so high from crest to trough, for so long."""

    height_m: float
    period_s: float
    from_rad: float
    last_s: float


@dataclass(frozen=True, kw_only=True)
class NeighbourAct(Command):
    """Let another boat (1 is the first) do something.

    ``arrive``: she that is not here yet comes in under engine and anchors. ``lay_over``: she does so ahead of the own
    anchor, and falls back over it. ``leave``: she weighs and goes to a place.
    ``drag``: from now on her anchor comes home at a pull of ``hold_n``, 0 for never. ``part``: her rode holds her no
    more. ``lights_on`` and ``lights_off``.
    """

    target: int
    what: str
    north_m: float = 0.0
    east_m: float = 0.0
    hold_n: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Fault(Command):
    """Make something fail: engine, counter, windlass, thruster, helm, or so many of the marks on the chain.

    ``ears``: the foredeck's next order is asked back (1) or misheard (2), once.
    """

    what: str
    value: float = 1.0
    rode: int = 0


KINDS: dict[str, type[Command]] = textline.registry(Command)


def to_line(command: Command) -> str:
    """Return the command's text line.

    >>> to_line(Engine(lever=-0.3))
    '{"do":"engine","lever":-0.3}'
    """
    return textline.to_line(command, "do")


def to_dict(command: Command) -> dict[str, Any]:
    """Return the command as plain data."""
    return textline.to_dict(command, "do")


def from_dict(data: dict[str, Any]) -> Command:
    """Return the command that plain data describes; ValueError where it describes none."""
    return textline.from_dict(KINDS, "do", data)
