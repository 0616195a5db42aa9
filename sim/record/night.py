"""The night: what was seen of the stay after the exercise was over, as it was run on at the watch's clock.

A sample every ten seconds for drawing, and the sums that marking asks for, taken from every step of the own boat. The
same recorder watches a run, and a replay of it, and gets the same.
"""

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.units import TICK_HZ, rad
from sim.core import events as ev
from sim.core import state as st
from sim.core import watch
from sim.core.clock import NIGHT
from sim.core.groups import LOG_BOAT, LOG_GAP, LOG_PULL, LOG_UPLIFT
from sim.core.near import FAR_M, nearest
from sim.core.orders import commands as cmd
from sim.core.world import World, tide_m
from sim.model import layout as lay
from sim.record import archive, columns

FORMAT = 2
EVERY_TICKS = watch.STEP_TICKS
STEEP_RAD = rad(10.0)  # an anchor pulled upwards by more loses hold
_ROW_TICKS = NIGHT.ticks // NIGHT.own_steps  # the live clock is looked at as often as the watch's
_NAMES = ("t_s", "own", "pull_n", "uplift_rad", "wind", "tide_m", "gap_m", "gap_boat", "rodes", "others")
_SUMS = (
    "began_s", "until_s", "drag_m", "drag_s", "peak_n", "peak_s", "load_99_n", "steep_s",
    "least_gap_m", "least_gap_s", "least_gap_boat",
)  # fmt: skip


@dataclass(frozen=True)
class Answer:
    """How a call in the night was answered: its time, then the seconds to the first command and its kind, if any."""

    called_s: float
    why: str  # "alarm", or the order that came true: "drag" | "wind" | "shift" | "near"
    delay_s: float | None = None
    first: str = ""  # the command's name


@dataclass(frozen=True)
class Night:
    """The stay, from the end of the exercise on. Times are seconds since the start of the exercise.

    Attributes:
        began_s: when it began.
        until_s: when the stay ends.
        t_s: ``float64[n]`` of the samples, ten seconds apart.
        own: ``float64[n, 3]`` north, east, heading.
        pull_n: ``float64[n]`` horizontal pull of the first rode on the boat.
        uplift_rad: ``float64[n]`` slope of the rode at its anchor.
        wind: ``float64[n, 2]`` true wind at the boat, velocity north and east, blowing to.
        tide_m: ``float64[n]``.
        gap_m: ``float64[n]`` least gap to another hull since the sample before; infinite where there is none.
        gap_boat: ``float64[n]`` to whom: 1 is the first neighbour, 0 nobody.
        rodes: ``float64[n, rodes, 5]`` north, east, z of each anchor, tension at the roller, length out.
        others: ``float64[n, boats, 3]`` north, east, heading of every other boat.
        drag_m: furthest that an anchor came to lie from where it lay when the night began.
        drag_s: when it had gone half that way.
        peak_n: greatest pull, and ``peak_s`` when.
        load_99_n: pull exceeded in one part of a hundred of the time.
        steep_s: seconds with more than ten degrees of uplift.
        least_gap_m: least gap of all, ``least_gap_s`` when and ``least_gap_boat`` to whom; None where nobody was near.
        shape: ``float64[k, 3]`` north, east, z of the first rode, anchor first, at the sample of the greatest pull.
        shape_s: when that was.
        events: what happened, in order.
        answers: how calls and alarms were answered.
    """

    began_s: float
    until_s: float
    t_s: FloatArray
    own: FloatArray
    pull_n: FloatArray
    uplift_rad: FloatArray
    wind: FloatArray
    tide_m: FloatArray
    gap_m: FloatArray
    gap_boat: FloatArray
    rodes: FloatArray
    others: FloatArray
    drag_m: float
    drag_s: float
    peak_n: float
    peak_s: float
    load_99_n: float
    steep_s: float
    least_gap_m: float | None
    least_gap_s: float | None
    least_gap_boat: int | None
    shape: FloatArray = field(default_factory=lambda: np.zeros((0, 3)))
    shape_s: float = 0.0
    events: tuple[ev.Event, ...] = ()
    answers: tuple[Answer, ...] = ()

    @property
    def end_s(self) -> float:
        """When it ended."""
        return float(self.t_s[-1]) if self.t_s.size else self.began_s

    @property
    def whole(self) -> bool:
        """Whether the stay was run on to its end."""
        return self.end_s >= self.until_s - EVERY_TICKS / TICK_HZ

    def save(self, path: Path) -> Path:
        """Write it as one compressed ``.npz`` and return its path."""
        sums = {name: getattr(self, name) for name in _SUMS}
        answers = [[a.called_s, a.why, a.delay_s, a.first] for a in self.answers]
        np.savez_compressed(
            path,
            format=np.array(FORMAT),
            sums=np.array(json.dumps(sums)),
            events=np.array([ev.to_line(e) for e in self.events], dtype=np.str_),
            answers=np.array(json.dumps(answers)),
            shape=self.shape.astype(np.float32),
            shape_s=np.array(self.shape_s),
            **{name: _narrowed(name, getattr(self, name)) for name in _NAMES},  # type: ignore[arg-type]
        )
        return path


def _narrowed(name: str, values: FloatArray) -> "np.ndarray[tuple[int, ...], np.dtype[np.floating]]":
    return values if name == "t_s" else values.astype(np.float32)


def load(path: Path) -> Night:
    """Return the night saved at ``path``.

    Raises:
        RecordingError: where there is none that can be used.
    """
    return archive.read(path, "a night", FORMAT, _from_arrays)


def _from_arrays(data: Mapping[str, Any]) -> Night:
    return Night(
        **{name: data[name].astype(np.float64) for name in _NAMES},
        **json.loads(str(data["sums"])),
        shape=data["shape"].astype(np.float64),
        shape_s=float(data["shape_s"]),
        events=tuple(ev.from_dict(json.loads(str(line))) for line in data["events"]),
        answers=tuple(Answer(*row) for row in json.loads(str(data["answers"]))),
    )


class NightRecorder:
    """Gathers a night while it is run on, at either clock."""

    def __init__(self, world: World, until_s: float) -> None:
        """Begin where ``world`` stands now; the stay ends at ``until_s``."""
        self.world = world
        self.until_s = until_s
        s = world.state
        self._began_tick = s.tick
        self._anchored = s.nodes[:, 0, :2].copy()
        self._pulls: list[FloatArray] = []
        self._peak = (0.0, s.tick)
        self._least = (math.inf, 0, s.tick)
        self._since = (math.inf, 0)
        self._shape: tuple[float, float, FloatArray] = (0.0, 0.0, np.zeros((0, 3)))  # pull, time, shape
        self._steep_s = 0.0
        self._rows: dict[str, list[FloatArray | float]] = {name: [] for name in _NAMES}
        self._events: list[ev.Event] = []
        self._open: list[tuple[float, str]] = []
        self._answers: list[Answer] = []

    @property
    def began_s(self) -> float:
        """When it began."""
        return self._began_tick / TICK_HZ

    def step(self, tick: int, commands: Sequence[cmd.Command], happened: Sequence[ev.Event]) -> None:
        """Take what a step showed that began at ``tick``: call it after every step of the world."""
        s = self.world.state
        self._answer(tick, commands)
        self._events.extend(happened)
        for e in happened:
            if isinstance(e, ev.AlarmRang | ev.WatchCalled):
                self._open.append((e.tick / TICK_HZ, e.why if isinstance(e, ev.WatchCalled) else "alarm"))
        log = self.world.log
        if log.every_ticks == _ROW_TICKS:
            self._take(log.last, tick)
        else:
            first = -(tick + 1) % _ROW_TICKS
            rows = log.last[first::_ROW_TICKS]
            if len(rows):
                rows[:, [LOG_GAP, LOG_BOAT]] = nearest(s.boats, self.world.constants.hulls)
                self._take(rows, tick + first + 1 - _ROW_TICKS)
        if s.tick % EVERY_TICKS == 0:
            self._sample()

    def _answer(self, tick: int, commands: Sequence[cmd.Command]) -> None:
        """Note the first order after a call; waking, time and words are none."""
        acted = [c for c in commands if not isinstance(c, cmd.BeginWatch | cmd.EndWatch | cmd.TimeRate | cmd.Note)]
        acted = [c for c in acted if not c.actor.startswith("timeline")]
        if not acted or not self._open:
            return
        first = cmd.to_dict(acted[0])["do"]
        self._answers += [Answer(called, why, tick / TICK_HZ - called, first) for called, why in self._open]
        self._open = []

    def _take(self, log: FloatArray, tick: int) -> None:
        pulls = log[:, LOG_PULL]
        self._pulls.append(pulls.astype(np.float32))
        k = int(np.argmax(pulls))
        if pulls[k] > self._peak[0]:
            self._peak = (float(pulls[k]), tick + (k + 1) * _ROW_TICKS)
        self._steep_s += float(np.count_nonzero(log[:, LOG_UPLIFT] > STEEP_RAD)) * _ROW_TICKS / TICK_HZ
        k = int(np.argmin(log[:, LOG_GAP]))
        gap = float(log[k, LOG_GAP])
        if gap < FAR_M:
            self._since = min(self._since, (gap, int(log[k, LOG_BOAT])))
            if gap < self._least[0]:
                self._least = (gap, int(log[k, LOG_BOAT]), tick + (k + 1) * _ROW_TICKS)

    def _sample(self) -> None:
        s = self.world.state
        own = s.boats[0]
        now: dict[str, FloatArray | float] = {
            "t_s": s.tick / TICK_HZ,
            "own": own[[lay.B_NORTH, lay.B_EAST, lay.B_HEADING]],
            "pull_n": math.hypot(s.lines[0, lay.L_FN], s.lines[0, lay.L_FE]),
            "uplift_rad": float(s.anchors[0, lay.A_UPLIFT]),
            "wind": own[[lay.B_WIND_N, lay.B_WIND_E]],
            "tide_m": tide_m(self.world),
            "gap_m": self._since[0],
            "gap_boat": float(self._since[1]),
            "rodes": columns.rodes_now(s),
            "others": s.boats[1:, : lay.B_HEADING + 1].copy(),
        }
        for name, value in now.items():
            self._rows[name].append(value)
        pull = math.hypot(s.lines[0, lay.L_FN], s.lines[0, lay.L_FE])
        if pull > self._shape[0]:
            count = int(s.lines[0, lay.L_COUNT])
            self._shape = (pull, s.tick / TICK_HZ, s.nodes[0, :count, : lay.N_Z + 1].copy())
        self._since = (math.inf, 0)

    def _drag(self, t_s: FloatArray, rodes: FloatArray) -> tuple[float, float]:
        """Return how far the anchor that moved most came to lie from its place, and when it was half that way."""
        if not t_s.size:
            return 0.0, self._began_tick / TICK_HZ
        away = np.hypot(rodes[..., 0] - self._anchored[:, 0], rodes[..., 1] - self._anchored[:, 1])
        away = np.nan_to_num(away).max(axis=1)
        most = float(away.max())
        return most, float(t_s[int(np.argmax(away >= 0.5 * most))])

    def finish(self) -> Night:
        """Return the night as far as it has come."""
        s = self.world.state
        size = {"own": (3,), "wind": (2,), "rodes": (len(s.lines), 5), "others": (len(s.boats) - 1, 3)}
        rows = {
            name: np.array(values, dtype=np.float64).reshape(len(values), *size.get(name, ()))
            for name, values in self._rows.items()
        }
        pulls = np.concatenate(self._pulls) if self._pulls else np.zeros(1, np.float32)
        drag_m, drag_s = self._drag(rows["t_s"], rows["rodes"])
        gap, whose, when = self._least
        known = math.isfinite(gap)
        return Night(
            began_s=self._began_tick / TICK_HZ,
            until_s=self.until_s,
            **rows,
            drag_m=drag_m,
            drag_s=drag_s,
            peak_n=self._peak[0],
            peak_s=self._peak[1] / TICK_HZ,
            load_99_n=float(np.percentile(pulls, 99.0)),
            steep_s=self._steep_s,
            least_gap_m=gap if known else None,
            least_gap_s=when / TICK_HZ if known else None,
            least_gap_boat=whose if known else None,
            shape=self._shape[2],
            shape_s=self._shape[1],
            events=tuple(self._events),
            answers=(*self._answers, *(Answer(called, why) for called, why in self._open)),
        )


def begins(over: bool, world: World, commands: Sequence[cmd.Command]) -> bool:
    """Return whether a step began the night: the watch was called once the exercise was over."""
    called = any(isinstance(c, cmd.BeginWatch) for c in commands)
    return over and called and world.state.clock[st.K_WATCH] != st.LIVE
