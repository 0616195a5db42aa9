"""The track: sampled truth of a run, for marking and drawing.

Five times a second the raw rows of the own boat, her engine, rode and anchor are copied into a block (a few slice
copies, so that sampling costs microseconds); once a second the whole chain and every other boat. What is derived from
them is worked out once, when the run is over.
"""

import bisect
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

import numpy as np
import numpy.typing as npt

from sim.base.arrays import FloatArray
from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core.state import State
from sim.model import layout as lay
from sim.model.params import WorldParams
from sim.record import archive, columns

FORMAT = 1
FAST_TICKS = TICK_HZ // 5
SLOW_TICKS = TICK_HZ
_BLOCK = 1024
_BEYOND = 3  # columns of a pose: north, east, heading


class Sampled(Protocol):
    """What is sampled: a world."""

    @property
    def params(self) -> WorldParams:
        """Return the world's parameters."""

    @property
    def state(self) -> State:
        """Return the world's state."""


@dataclass(frozen=True)
class Call:
    """Something said during the run: a key of the word list and its values; ``who`` said it."""

    tick: int
    who: str  # "foredeck" | "demonstrator"
    key: str
    values: dict[str, Any]


@dataclass(frozen=True)
class Track:
    """A run's sampled truth; ``track["north_m"]`` is one quantity over time.

    Attributes:
        fast: quantity by name, each ``float64[n]``, at 5 Hz; the names are in ``columns.NAMES``, NaN where there is
            nothing to tell (no anchor in the water).
        slow_t_s: ``float64[m]`` times of the samples below, once a second.
        chain: ``float64[m, nodes, 3]`` north, east, z from anchor to roller, padded with NaN.
        others: ``float64[m, boats, 3]`` north, east, heading of every other boat.
        rodes: ``float64[m, rodes, 5]`` north, east, z of each rode's anchor, tension at its roller, length out;
            NaN where nothing is out.
        events: in tick order.
        calls: what the foredeck and the demonstrator said, in tick order.
    """

    fast: dict[str, FloatArray]
    slow_t_s: FloatArray
    chain: FloatArray
    others: FloatArray
    rodes: FloatArray
    events: tuple[ev.Event, ...] = ()
    calls: tuple[Call, ...] = ()

    def __getitem__(self, name: str) -> FloatArray:
        """Return one quantity over the times ``track["t_s"]``."""
        return self.fast[name]

    @property
    def end_s(self) -> float:
        """Time of the last sample [s]; 0 for an empty track."""
        t_s = self.fast["t_s"]
        return float(t_s[-1]) if t_s.size else 0.0

    def index(self, t_s: float) -> int:
        """Return the fast sample nearest to a time, clipped to the track."""
        return _nearest(self.fast["t_s"], t_s)

    def slow_index(self, t_s: float) -> int:
        """Return the slow sample nearest to a time, clipped to the track."""
        return _nearest(self.slow_t_s, t_s)

    def chain_at(self, t_s: float) -> FloatArray:
        """Return ``float64[k, 3]``: the chain from anchor to roller at a time, empty where none is out."""
        if not self.chain.size:
            return np.zeros((0, 3))
        shape = np.asarray(self.chain[self.slow_index(t_s)], dtype=np.float64)
        shape = shape[~np.isnan(shape[:, 0])]
        return shape if len(shape) > 1 else np.zeros((0, 3))

    def save(self, path: Path) -> Path:
        """Write the track as one compressed ``.npz`` and return its path."""
        said = [json.dumps([c.tick, c.who, c.key, c.values], ensure_ascii=False) for c in self.calls]
        np.savez_compressed(
            path,
            format=np.array(FORMAT),
            slow_t_s=self.slow_t_s,
            chain=self.chain.astype(np.float32),  # to the millimetre within a bay
            others=self.others.astype(np.float32),
            rodes=self.rodes.astype(np.float32),
            events=np.array([ev.to_line(e) for e in self.events], dtype=np.str_),
            calls=np.array(said, dtype=np.str_),
            **{f"fast_{name}": column for name, column in self._narrowed().items()},  # type: ignore[arg-type]
        )
        return path

    def _narrowed(self) -> dict[str, npt.NDArray[np.floating[Any]]]:
        """Return the fast columns in single precision, to a tenth of a millimetre; times stay exact."""
        return {name: col if name == "t_s" else col.astype(np.float32) for name, col in self.fast.items()}


def _nearest(times: FloatArray, t_s: float) -> int:
    k = int(np.searchsorted(times, t_s))
    if k > 0 and (k == times.size or t_s - times[k - 1] <= times[k] - t_s):
        k -= 1
    return k


def load(path: Path) -> Track:
    """Return the track saved at ``path``.

    Raises:
        RecordingError: where there is none that can be used.
    """
    return archive.read(path, "a track", FORMAT, _from_arrays)


def _from_arrays(data: Mapping[str, Any]) -> Track:
    fast = {name: data[f"fast_{name}"].astype(np.float64) for name in columns.NAMES}
    happened = tuple(ev.from_dict(json.loads(str(line))) for line in data["events"])
    said = tuple(Call(*json.loads(str(line))) for line in data["calls"])
    slow = {name: data[name].astype(np.float64) for name in ("slow_t_s", "chain", "others", "rodes")}
    if len({column.shape for column in fast.values()}) > 1 or fast["t_s"].ndim != 1:
        raise ValueError("columns of unequal length")
    return Track(fast=fast, **slow, events=happened, calls=said)


class TrackRecorder:
    """Gathers a track while a run goes on."""

    def __init__(self) -> None:
        """Begin with nothing sampled."""
        self._full: list[FloatArray] = []
        self._block = np.full((_BLOCK, columns.RAW_COLS), np.nan)
        self._row = 0
        self._slow_t_s: list[float] = []
        self._chain: list[FloatArray] = []
        self._others: list[FloatArray] = []
        self._rodes: list[FloatArray] = []
        self._events: list[ev.Event] = []
        self._calls: list[Call] = []

    def sample(self, world: Sampled) -> None:
        """Take what this tick calls for: call it once a tick, it samples where one is due."""
        state = world.state
        tick = state.tick
        if tick % FAST_TICKS == 0:
            self._take(state, slow=tick % SLOW_TICKS == 0)

    def _take(self, state: State, slow: bool) -> None:
        if self._row == _BLOCK:
            self._full.append(self._block)
            self._block = np.full((_BLOCK, columns.RAW_COLS), np.nan)
            self._row = 0
        columns.copy_raw(state, self._block[self._row])
        self._row += 1
        if slow:
            count = int(state.lines[0, lay.L_COUNT])
            self._slow_t_s.append(state.tick / TICK_HZ)
            self._chain.append(state.nodes[0, :count, : lay.N_Z + 1].copy())
            self._others.append(state.boats[1:, :_BEYOND].copy())
            self._rodes.append(columns.rodes_now(state))

    def rewind(self, tick: int) -> None:
        """Forget what was taken beyond ``tick``."""
        blocks = [*self._full, self._block[: self._row]]
        kept = sum(int(np.count_nonzero(columns.ticks(block) <= tick)) for block in blocks)
        full, row = divmod(max(kept - 1, 0), _BLOCK)  # a full block stays open until the next sample
        self._row = row + 1 if kept else 0
        if full < len(self._full):
            self._block = self._full[full]
            del self._full[full:]
        self._block[self._row :] = np.nan
        slow = bisect.bisect_right(self._slow_t_s, tick / TICK_HZ)
        del self._slow_t_s[slow:], self._chain[slow:], self._others[slow:], self._rodes[slow:]
        self._events = [event for event in self._events if event.tick < tick]
        self._calls = [call for call in self._calls if call.tick <= tick]

    def heard(self, happened: Sequence[ev.Event]) -> None:
        """Keep what a tick brought about."""
        self._events.extend(happened)

    def said(self, tick: int, who: str, key: str, values: Mapping[str, Any]) -> None:
        """Keep something that ``who``, the foredeck or the demonstrator, said."""
        self._calls.append(Call(tick, who, key, dict(values)))

    def finish(self, world: Sampled) -> Track:
        """Return the track of what was sampled so far; where that is nothing, of the world as it is."""
        if not self._full and not self._row:
            self._take(world.state, slow=True)
        raw = np.concatenate([*self._full, self._block[: self._row]])
        most = max((nodes.shape[0] for nodes in self._chain), default=0)
        chain = np.full((len(self._chain), most, 3), np.nan)
        for k, nodes in enumerate(self._chain):
            chain[k, : nodes.shape[0]] = nodes
        slow_t_s = np.array(self._slow_t_s, dtype=np.float64)
        boats = len(world.params.neighbours)
        others = np.array(self._others, dtype=np.float64).reshape(len(slow_t_s), boats, _BEYOND)
        rodes = np.array(self._rodes, dtype=np.float64).reshape(len(slow_t_s), len(world.params.rodes), -1)
        fast = columns.derive(raw, world.params, slow_t_s, chain)
        calls = tuple(sorted(self._calls, key=lambda c: c.tick))
        return Track(fast, slow_t_s, chain, others, rodes, tuple(self._events), calls)
