"""What the foredeck looks and feels for: when each thing is so, when it is no longer so, how long it must last.

Words and definitions are common practice; the figures are judgement. To leave a state takes a fifth more than to enter
it. Nothing here is told that eye, hand and foot at the bow could not tell.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.base.units import ticks
from sim.core.groups import LOG_FELT
from sim.core.world import World
from sim.helm.lead import Lead
from sim.model import layout as lay
from sim.model.tackle.anchor import DRAG_MPS, DRAG_N

MORE, LESS = 1.2, 0.8  # hysteresis
STILL_MPS, RUNS_MPS = 0.005, 0.02  # of the chain
WAY_OFF_MPS = 0.051  # a tenth of a knot
TURN_S = 180.0

# Columns of the state's crew array: what a hand remembers and feels. Those of watches and of the tongue follow.
(
    Q_SPOKE,  # tick of the last call
    Q_LEAD,  # last told stay and sector of the lead, as one number
    Q_LEAD_NEW,
    Q_LEAD_SINCE,
    Q_STAY,  # last told stay
    Q_COUNTED,  # last length called
    Q_MEAN,  # slow mean of the tension
    Q_PEAK,  # its peak since she was snubbed
    Q_AHEAD,  # m gone ahead since then
    Q_WAY,  # mean way along her heading over ten seconds
    Q_RAN,  # mean rate of the chain over two seconds
    Q_STOPPED,  # 1 once chain that ran has been stopped
    Q_HOVE,  # 1 since she has been heaved on
    Q_BEEN_DOWN,  # 1 since the anchor was let go
    Q_BEARING,  # of the lead a quarter of a second ago
    Q_BEARING_RATE,  # how fast it goes further off the bow, - coming to
    Q_PULL,  # tension a quarter of a second ago, smoothed
    Q_PULL_RATE,
    Q_SMOOTH,  # tension smoothed over a third of a second, and
    Q_SHAKE,  # the mean square of what is left
    Q_SIDE,  # on which the rode leads, -1 or 1
    Q_WIDE,  # widest it has led since it changed sides
    Q_TURN_A,  # ticks of the last three changes of side
    Q_TURN_B,
    Q_TURN_C,
    Q_WIDEST,  # mean of that over the last boards
    Q_PROVED,  # load at which it was last told that she holds; -1 once she has dragged
    Q_BROUGHT_UP,  # 1 since it was told, until chain runs again
    Q_LAST,  # 1 + which watch was told last: it is not told twice running
    Q_DUE,  # tick at which the next word on the tongue is due, 0 none
) = range(30)
Q_WATCHES = 32


class Sense:
    """All that a hand forward has of a moment, in plain numbers.

    Attributes:
        world: the truth; nothing is asked of it here that a hand could not tell.
        memory: what the hand remembers, by the columns above.
        lead: how the rode leads, None while the anchor is at the roller.
        tick: ticks since the start.
        line: the main rode's row.
        own: the own boat's row.
        rate: how fast the rode goes out [m/s].
        creep: how fast the anchor moves over the ground [m/s], felt through a chain that is not slack.
        down: whether the anchor is on the bottom.
        hanging: whether it hangs.
        pull: tension over the weight that hangs straight down; 0 without a lead.
        scope: rode out over the height of the roller; 0 without a lead.
    """

    __slots__ = (
        "anchor", "creep", "down", "hanging", "lead", "line", "memory", "own", "pull", "rate", "scope", "tick", "world",
    )  # fmt: skip

    def __init__(self, world: World, memory: list[float], lead: Lead | None) -> None:
        """Look and feel now."""
        s = world.state
        self.world, self.memory, self.lead, self.tick = world, memory, lead, s.tick
        self.line: list[float] = s.lines[0].tolist()
        self.own: list[float] = s.boats[0].tolist()
        self.anchor: list[float] = s.anchors[0].tolist()
        self.rate, self.creep = self.line[lay.L_RATE], self.anchor[lay.A_SPEED]
        self.down = self.anchor[lay.A_ATTITUDE] > lay.HANGING
        self.hanging = self.anchor[lay.A_ATTITUDE] == lay.HANGING
        self.pull = lead.tension_n / max(lead.hanging_n, 1.0) if lead else 0.0
        self.scope = lead.out_m / max(lead.height_m, 0.1) if lead else 0.0

    @property
    def astern(self) -> bool:
        """Whether an engine goes astern: one hears it and sees the wash."""
        return bool(min(self.world.state.shafts[:, lay.S_GEAR].tolist()) < 0.0)

    @property
    def off_wind_rad(self) -> float:
        """How far the bow is off the wind, + to starboard of it; felt on the face."""
        wind_from = math.atan2(-self.own[lay.B_WIND_E], -self.own[lay.B_WIND_N])
        return math.remainder(self.own[lay.B_HEADING] - wind_from, 2.0 * math.pi)

    @property
    def anchor_under_m(self) -> float:
        """How deep the anchor hangs below the surface [m], negative above it."""
        s = self.world.state
        top = int(self.line[lay.L_COUNT]) - 1
        if top < 1:
            return math.inf
        surface = float(s.nodes[0, top, lay.N_Z]) - self.world.params.boat.particulars.roller_height_m
        return surface - float(s.nodes[0, 0, lay.N_Z])


@dataclass(frozen=True)
class Watch:
    """One thing looked out for; ``stays`` is asked once it has been told."""

    key: str
    enters: Callable[[Sense], bool]
    stays: Callable[[Sense], bool]
    hold_s: float = 2.0
    by_night: bool = True

    hold_ticks: int = field(init=False)  # for how many ticks it must have been so

    def __post_init__(self) -> None:
        """Count the ticks once."""
        object.__setattr__(self, "hold_ticks", ticks(self.hold_s))


def _drags(s: Sense, least_mps: float) -> bool:
    return s.down and s.creep > least_mps and s.anchor[lay.A_LOAD] > DRAG_N and s.scope > 1.6


def _proved(s: Sense) -> bool:
    pull = s.lead.tension_n if s.lead else 0.0
    holds = s.down and s.creep < 0.01 and s.pull > 1.3 and pull > 0.8 * s.memory[Q_MEAN]
    return holds and (s.memory[Q_PROVED] < 0.0 or s.astern)


def _still_proved(s: Sense) -> bool:
    """Return whether the load is still about the one at which it was told: a new step is told anew."""
    pull = s.lead.tension_n if s.lead else 0.0
    return s.creep < 0.012 and 0.5 * s.memory[Q_PROVED] < pull < 1.4 * s.memory[Q_PROVED]


def _brought_up(s: Sense) -> bool:
    if s.lead is None or not s.down or abs(s.rate) > RUNS_MPS:
        return False
    m = s.memory
    peaked = m[Q_PEAK] >= 1.3 * max(m[Q_MEAN], s.lead.hanging_n)
    eased = s.lead.tension_n <= 0.8 * m[Q_PEAK] and m[Q_AHEAD] >= 0.2
    stopped = math.hypot(s.own[lay.B_SURGE], s.own[lay.B_SWAY]) < 3.0 * WAY_OFF_MPS
    still = stopped and abs(m[Q_WAY]) < WAY_OFF_MPS and s.creep < 0.01
    return bool(peaked and eased and still and abs(s.lead.bearing_rad) <= math.radians(20.0) and s.scope > 2.0)


def _trembles(s: Sense, share: float, creep_mps: float) -> bool:
    if s.lead is None or not s.down or abs(s.rate) > STILL_MPS or s.pull < 1.3:
        return False
    return bool(math.sqrt(s.memory[Q_SHAKE]) > share * s.lead.tension_n or creep_mps < s.creep < DRAG_MPS)


def _nylon_has_it(s: Sense) -> bool:
    """Return whether the chain inboard of the hook hangs in a loop: nothing in it but its own weight and a little."""
    line = s.line
    if line[lay.L_HOOK] < 0.0:
        return False
    nylon = line[lay.L_SNUB_A] + line[lay.L_SNUB_B]
    loop_m = line[lay.L_COUNT] - 1.0 - line[lay.L_HOOK]
    loop_n = loop_m * float(s.world.params.rodes[0].line[lay.LP_WEIGHT])
    return bool(nylon > 0.0 and line[lay.L_TENSION] < 0.1 * nylon + loop_n)


def _seen(s: Sense, foul: bool) -> bool:
    if not s.hanging or s.rate > -0.01 or s.anchor_under_m > 2.0 or not s.memory[Q_BEEN_DOWN]:
        return False
    return foul == (s.anchor[lay.A_CLOG] > 0.2)


def _foul_hawse(s: Sense) -> bool:
    """Return whether her own rodes cross; another boat's across the chain shows when it comes up, and is told then."""
    state = s.world.state
    if max(state.lines[:, lay.L_CROSSED].tolist()) < 0.0:
        return False
    others = state.fleet[:, lay.Q_ACROSS]
    return not ((others == lay.LIES_ACROSS) | (others == lay.SEEN_ACROSS)).any()


def _short(s: Sense, most: float) -> bool:
    still = abs(s.rate) < STILL_MPS and abs(s.memory[Q_WAY]) < 2.0 * WAY_OFF_MPS
    return bool(s.memory[Q_HOVE] and s.down and still and 0.0 < s.scope < most)


def _goes_off(s: Sense, side: int) -> bool:
    own = s.own
    if not s.down or s.memory[Q_BROUGHT_UP] or side * own[lay.B_YAW_RATE] <= math.radians(1.5):
        return False
    windy = math.hypot(own[lay.B_WIND_N], own[lay.B_WIND_E]) > 2.5
    return windy and side * s.off_wind_rad > math.radians(15.0)


def _comes_to(s: Sense) -> bool:
    if s.lead is None or not s.down or abs(s.lead.bearing_rad) < math.radians(18.0):
        return False
    turning = s.memory[Q_BEARING_RATE] < -math.radians(1.0)
    return bool(turning and s.memory[Q_PULL_RATE] > 0.0 and not s.memory[Q_BROUGHT_UP])


def _yaws(s: Sense, within_s: float) -> bool:
    m = s.memory
    lately = m[Q_TURN_C] > 0.0 and s.tick - m[Q_TURN_C] < 60.0 * within_s
    return bool(s.down and abs(s.rate) < STILL_MPS and lately and m[Q_WIDEST] > math.radians(25.0))


def _eased_on(s: Sense) -> bool:
    running = s.down and s.memory[Q_RAN] > 0.05 and 0.0 <= s.rate < 0.5 * s.memory[Q_RAN]
    return bool(running and s.line[lay.L_BRAKE] >= 0.3 and s.memory[Q_PULL_RATE] > 0.0 and s.memory[Q_MEAN] < 2000.0)


def _veers(s: Sense, least_mps: float) -> bool:
    held = 0.02 < s.line[lay.L_BRAKE] < 0.95 or s.line[lay.L_MOTION] > 0.0
    return bool(s.down and held and s.rate > least_mps)


# The most pressing first. Leads and counts, which have values, are told by ``crew`` between these two lists.
PRESSING = (
    Watch("dragging", lambda s: _drags(s, DRAG_MPS), lambda s: s.creep > 0.01, 5.0),
    Watch(
        "coming_home",
        lambda s: s.down and s.line[lay.L_MOTION] < 0.0 and s.rate < -RUNS_MPS and s.creep > 0.05 and s.scope > 1.3,
        lambda s: s.creep > 0.04,
    ),
    Watch("holding", _proved, _still_proved, 10.0),
    Watch("brought_up", _brought_up, lambda s: abs(s.rate) < RUNS_MPS and s.down),
    Watch("trembling", lambda s: _trembles(s, 0.08, 0.012), lambda s: _trembles(s, 0.05, 0.008)),
    Watch("on_the_snubber", _nylon_has_it, lambda s: s.line[lay.L_HOOK] >= 0.0),
    Watch("foul_hawse", _foul_hawse, _foul_hawse),
    Watch("sighted_foul", lambda s: _seen(s, True), lambda s: s.hanging, 0.5, by_night=False),
    Watch("sighted_clear", lambda s: _seen(s, False), lambda s: s.hanging, 0.5, by_night=False),
    Watch("bow_off_starboard", lambda s: _goes_off(s, 1), lambda s: s.off_wind_rad > math.radians(12.0), 1.0),
    Watch("bow_off_port", lambda s: _goes_off(s, -1), lambda s: s.off_wind_rad < -math.radians(12.0), 1.0),
    Watch("yawing", lambda s: _yaws(s, TURN_S), lambda s: _yaws(s, MORE * TURN_S), 0.0),
)
ROUTINE = (
    Watch("hove_short", lambda s: _short(s, 1.6), lambda s: s.down and s.scope < 1.6 * MORE),
    Watch("coming_to", _comes_to, lambda s: s.lead is not None and abs(s.lead.bearing_rad) > math.radians(12.0), 1.0),
    Watch(
        "a_cockbill",
        lambda s: s.hanging and s.anchor_under_m < 0.0 and abs(s.rate) < STILL_MPS,
        lambda s: s.hanging and s.anchor_under_m < 0.0,
    ),
    Watch(
        "walking_back",
        lambda s: s.hanging and s.line[lay.L_MOTION] > 0.0 and s.rate > RUNS_MPS,
        lambda s: s.hanging and s.rate > LESS * RUNS_MPS,
        1.0,
    ),
    Watch(
        "heaving",
        lambda s: s.line[lay.L_MOTION] < 0.0 and s.rate < -RUNS_MPS,
        lambda s: s.rate < -LESS * RUNS_MPS or s.tick - s.memory[Q_SPOKE] < 600.0,
    ),
    Watch("veering", lambda s: _veers(s, RUNS_MPS), lambda s: s.rate > LESS * RUNS_MPS or s.memory[Q_RAN] > 0.01),
    Watch("checking", _eased_on, lambda s: s.memory[Q_RAN] > 0.02, 0.0),
    Watch(
        "snubbed",
        lambda s: s.down and abs(s.rate) < STILL_MPS and s.pull > 0.1 and bool(s.memory[Q_STOPPED]),
        lambda s: abs(s.rate) < RUNS_MPS,
    ),
    Watch(
        "ready",
        lambda s: s.lead is None and not s.memory[Q_BEEN_DOWN] and s.line[lay.L_STOPPER] == 0.0
        and s.line[lay.L_BRAKE] > 0.9,
        lambda s: not s.memory[Q_BEEN_DOWN],
    ),
)  # fmt: skip


@kernel
def feel_shake(memory: FloatArray, log: FloatArray, dt_s: float) -> None:
    """Let hand and foot follow the quick part of the tension, above a hertz or so, in place.

    ``log`` is ``float64[steps, LOG_COLS]``, a row for each step of ``dt_s``.
    """
    for k in range(log.shape[0]):
        pull = log[k, LOG_FELT]
        memory[Q_SMOOTH] += dt_s / (0.15 + dt_s) * (pull - memory[Q_SMOOTH])
        off = pull - memory[Q_SMOOTH]
        memory[Q_SHAKE] += dt_s / (1.0 + dt_s) * (off * off - memory[Q_SHAKE])


def feel(s: Sense, passed_s: float) -> None:
    """Let the hand's memory follow what it feels and sees, in place."""
    m, own = s.memory, s.own
    m[Q_RAN] += passed_s / (2.0 + passed_s) * (s.rate - m[Q_RAN])
    m[Q_WAY] += passed_s / (10.0 + passed_s) * (own[lay.B_SURGE] - m[Q_WAY])
    if s.lead is None:
        return
    m[Q_MEAN] += passed_s / (10.0 + passed_s) * (s.lead.tension_n - m[Q_MEAN])
    if abs(s.rate) > RUNS_MPS:
        m[Q_PEAK] = m[Q_AHEAD] = m[Q_BROUGHT_UP] = 0.0
        m[Q_STOPPED], m[Q_HOVE] = 1.0, max(m[Q_HOVE], float(s.rate < 0.0))
    elif s.lead.tension_n > m[Q_PEAK]:
        m[Q_PEAK], m[Q_AHEAD] = s.lead.tension_n, 0.0
    else:
        m[Q_AHEAD] += passed_s * max(own[lay.B_SURGE], 0.0)
    share = passed_s / (0.7 + passed_s)
    off = abs(s.lead.bearing_rad)
    m[Q_BEARING_RATE] += share * ((off - m[Q_BEARING]) / passed_s - m[Q_BEARING_RATE])
    m[Q_BEARING] = off
    before = m[Q_PULL]
    m[Q_PULL] += share * (s.lead.tension_n - m[Q_PULL])
    m[Q_PULL_RATE] = (m[Q_PULL] - before) / passed_s
    _note_boards(s)


def _note_boards(s: Sense) -> None:
    """Remember when the rode last changed sides of the bow, and how wide it led in between."""
    assert s.lead is not None
    m, bearing = s.memory, s.lead.bearing_rad
    if abs(bearing) < math.radians(5.0) or abs(bearing) > math.radians(150.0):
        return
    side = math.copysign(1.0, bearing)
    if side == m[Q_SIDE]:
        m[Q_WIDE] = max(m[Q_WIDE], abs(bearing))
        return
    m[Q_WIDEST] += 0.5 * (m[Q_WIDE] - m[Q_WIDEST])
    m[Q_TURN_C], m[Q_TURN_B], m[Q_TURN_A] = m[Q_TURN_B], m[Q_TURN_A], s.tick
    m[Q_SIDE], m[Q_WIDE] = side, abs(bearing)
