"""Everything that changes: a few arrays of fixed capacity, listed in one place.

``snapshot`` copies all of them, ``restore`` puts them back, ``state_hash`` covers all of them. A run restored and run
on gives the same hash. The arrays of instruments and crew belong to ``helm``, which alone writes them; they live here
so that a snapshot is complete.
"""

import dataclasses
import hashlib
from dataclasses import dataclass

import numpy as np

from sim.base.arrays import FloatArray, IntArray
from sim.model import layout as lay

# clock
K_TICK, K_WATCH, K_SECURED, K_ABORTS, K_EPISODES, K_DRAWS, K_LIGHT, K_BALL, K_ALARM_ON, K_ALARM_RANG = range(10)
K_TRANSIT, K_MARKED, K_LEFT = 10, 11, 12
CLOCK_COLS = 13
LIVE, CALLED, ON_WATCH = 0, 1, 2  # of K_WATCH: the live clock; the watch begins as soon as the tick allows; it is kept
# pending acts that take time: kind, due tick, target
MAX_ACTS = 16
RADAR_SCALES_M = (115.75, 231.5, 463.0, 926.0, 1852.0)  # a sixteenth of a mile to one
AIS_TICK, AIS_NORTH, AIS_EAST, AIS_SPEED, AIS_COURSE = range(5)
AIS_COLS = 5
TRACE_S = 240
MAX_TOUCHES = 256  # pairs of hulls in contact at once
# places the crew of the boat keeps: alarm (n, e, radius), anchor mark (n, e), transit (bearing, from n, e)
P_ALARM_N, P_ALARM_E, P_ALARM_R, P_MARK_N, P_MARK_E, P_TRANSIT, P_TRANSIT_N, P_TRANSIT_E = range(8)
PLACE_COLS = 8
# what the core remembers from tick to tick to tell an event from a state, one row per rode
(
    M_ATTITUDE,
    M_MOVING,
    M_MOVED,
    M_STALLED,
    M_SLIPPING,
    M_UNDER,
    M_ALL_OUT,
    M_MOVED_TICK,  # when it last moved under load
    M_AGROUND,
    M_HOOKED,
    M_STOPPED,
    M_DOWN,
    M_SNAG,
    M_SNAG_TICK,  # when it last bore on the snag it is told to bear on
) = range(14)
MEMORY_COLS = 14
MAX_FIRED = 64
INSTRUMENT_COLS = 48
CREW_COLS = 128
FAULT_ENGINE, FAULT_WINDLASS, FAULT_THRUSTER, FAULT_HELM, FAULT_MARKS, FAULT_EARS = range(6)
FAULT_COLS = 6
MAX_EVENT_KINDS = 64
# the watch: what it is called by (0: not by this), what it has seen, what it has been called by already
(
    V_DRAG,  # m further from the anchor's mark than the rode reaches
    V_WIND,  # m/s
    V_SHIFT,  # rad
    V_NEAR,  # m from hull to hull
    V_SINCE,  # s on watch
    V_NOW_N,  # wind of the last seconds, blowing to
    V_NOW_E,
    V_MEAN_N,  # of the last minutes
    V_MEAN_E,
    V_FROM_N,  # that mean as it was when the watch had settled in
    V_FROM_E,
    V_GAP,  # m to the nearest hull
    V_CALLED,  # bit 1 << k for the order in column k
) = range(13)
WATCH_COLS = 13
R_QUIET, R_AT = range(2)  # s on watch until it may call again, and what it called with
RUNG_COLS = 2


@dataclass
class State:
    """The arrays, each zero at the start; units and columns in ``layout`` and above."""

    clock: IntArray  # [CLOCK_COLS]
    boats: FloatArray  # [boats, BOAT_COLS], row 0 the own boat
    control: FloatArray  # [CONTROL_COLS]
    shafts: FloatArray  # [MAX_SHAFTS, SHAFT_COLS]
    lines: FloatArray  # [rodes, LINE_COLS]
    nodes: FloatArray  # [rodes, NODE_CAP, NODE_COLS]
    anchors: FloatArray  # [rodes, ANCHOR_COLS]
    fleet: FloatArray  # [boats, FLEET_COLS]
    episodes: FloatArray  # [MAX_EPISODES, EPISODE_COLS]
    acts: IntArray  # [MAX_ACTS, 3] kind, due tick, target; kind 0 is free
    places: FloatArray  # [PLACE_COLS]
    memory: FloatArray  # [rodes, MEMORY_COLS]
    touching: IntArray  # [MAX_TOUCHES, 3] boat, other, tick until which their contact counts as the same; 0 is free
    faults: FloatArray  # [FAULT_COLS] what has failed, 0 sound
    near: IntArray  # [boats] which could touch: 1 another boat, 2 the shore, 3 both
    fired: IntArray  # [MAX_FIRED] timeline entries that have spoken
    instruments: FloatArray  # [INSTRUMENT_COLS]
    crew: FloatArray  # [CREW_COLS]
    radar: FloatArray  # [4] on, range scale [m], gain, sea clutter control
    ais: FloatArray  # [boats, AIS_COLS] of each boat's last report, as received
    trace: FloatArray  # [TRACE_S] what the sounder showed, a figure each second, round and round
    heard: IntArray  # [MAX_EVENT_KINDS] 1 where an event of this kind happened in the last tick
    watch: FloatArray  # [WATCH_COLS]
    rung: FloatArray  # [4, RUNG_COLS] of each of the watch's orders, since it last called

    @property
    def tick(self) -> int:
        """Ticks since the start."""
        ticks: int = self.clock.item(K_TICK)  # asked some twenty times a tick: the quickest way to a plain number
        return ticks


def empty(boats: int, rodes: int) -> State:
    """Return a state of zeros for so many boats (the own one included) and rodes."""
    f = np.float64
    i = np.int64
    return State(
        clock=np.zeros(CLOCK_COLS, i),
        boats=np.zeros((boats, lay.BOAT_COLS), f),
        control=np.zeros(lay.CONTROL_COLS, f),
        shafts=np.zeros((lay.MAX_SHAFTS, lay.SHAFT_COLS), f),
        lines=np.zeros((rodes, lay.LINE_COLS), f),
        nodes=np.zeros((rodes, lay.NODE_CAP, lay.NODE_COLS), f),
        anchors=np.zeros((rodes, lay.ANCHOR_COLS), f),
        fleet=np.zeros((boats, lay.FLEET_COLS), f),
        episodes=np.zeros((lay.MAX_EPISODES, lay.EPISODE_COLS), f),
        acts=np.zeros((MAX_ACTS, 3), i),
        places=np.zeros(PLACE_COLS, f),
        memory=np.zeros((rodes, MEMORY_COLS), f),
        touching=np.zeros((MAX_TOUCHES, 3), i),
        faults=np.zeros(FAULT_COLS, f),
        near=np.zeros(boats, i),
        fired=np.zeros(MAX_FIRED, i),
        instruments=np.zeros(INSTRUMENT_COLS, f),
        crew=np.zeros(CREW_COLS, f),
        radar=np.array([0.0, RADAR_SCALES_M[2], 0.5, 0.4]),
        ais=np.zeros((boats, AIS_COLS), f),
        trace=np.zeros(TRACE_S, f),
        heard=np.zeros(MAX_EVENT_KINDS, i),
        watch=np.zeros(WATCH_COLS, f),
        rung=np.zeros((4, RUNG_COLS), f),
    )


FIELDS = tuple(f.name for f in dataclasses.fields(State))


def arrays(state: State) -> list[tuple[str, FloatArray | IntArray]]:
    """Return every array with its name, in a fixed order."""
    return [(name, getattr(state, name)) for name in FIELDS]


def snapshot(state: State) -> State:
    """Return a copy that shares nothing with ``state``."""
    return State(**{name: array.copy() for name, array in arrays(state)})


def restore(state: State, saved: State) -> None:
    """Put a snapshot back into ``state``, in place."""
    for (_, array), (_, old) in zip(arrays(state), arrays(saved), strict=True):
        array[...] = old


def state_hash(state: State) -> str:
    """Return 16 hex digits over every bit of the state; the nodes of a rode that is aboard are not of it."""
    digest = hashlib.blake2b(digest_size=8)
    for name in FIELDS:
        if name != "nodes":
            digest.update(getattr(state, name))
    for nodes, count in zip(state.nodes, state.lines[:, lay.L_COUNT].tolist(), strict=True):
        if count:
            digest.update(nodes)
    return digest.hexdigest()
