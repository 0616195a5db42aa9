"""Golden runs: recorded orders sailed again, and every bit of the physics compared with what came out before.

The orders lie in ``orders/``, one recording a case; what they led to lies in ``expected.yaml``, a digest for every
minute of the live clock and for every ten of the watch's. Run this file to write the expectations anew after a change
that is meant to move them; ``--sail`` lets the demonstrator sail the cases anew first.
"""

import gzip
import hashlib
import platform
import sys
import tempfile
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Any

import yaml

from sim.base.kernel import KERNEL_MODE
from sim.base.units import TICK_HZ
from sim.core import events as ev
from sim.core.orders.commands import BeginWatch
from sim.core.state import State
from sim.helm.exercise import Exercise
from sim.model import layout as lay
from sim.play import demo
from sim.record import recording, replay
from sim.scenario import library

HERE = Path(__file__).resolve().parent
EXPECTED = HERE / "expected.yaml"
MINUTE, TEN_MINUTES = 60 * TICK_HZ, 600 * TICK_HZ
NEAR_M = 1e-3  # on another processor the last bit of a sine may differ: what is compared there instead


@dataclass(frozen=True)
class Case:
    """One golden run: a lesson's name or a file beside this one, what it stands for, and how much of its night."""

    lesson: str
    seed: int
    night_s: float
    stands_for: str


CASES = (
    Case("lantern-pool", 6, 0.0, "the own boat alone"),
    Case("nettle-roads", 3, 3600.0, "many boats"),
    Case("gannet-narrows", 5, 7200.0, "stream, shear and eddies, the stream turning"),
    Case("saltmarrow-reach", 4, 3600.0, "chain and rope, the tide rising"),
    Case("sallowmarket-quay", 5, 1800.0, "a line ashore"),
    Case("snagged", 3, 9000.0, "a chain that catches on a pile and comes clear"),
    Case("wethercombe-ledge", 7, 3600.0, "waves of the wind"),
    Case("raven-steeps", 9, 3600.0, "gusts off high ground, in the lee of land"),
)


def load(case: Case) -> library.Lesson:
    """Return the case's lesson."""
    own = HERE / "lessons" / f"{case.lesson}.yaml"
    return library.load_lesson(str(own) if own.is_file() else case.lesson)


def orders_path(case: Case) -> Path:
    """Return where a case's orders lie."""
    return HERE / "orders" / f"{case.lesson}.jsonl.gz"


def digest(state: State) -> str:
    """Return a digest of the physics: boats, engines, rodes, anchors, other boats, to the last bit.

    Named columns, so that a column that is added later changes nothing here.
    """
    told = hashlib.blake2b(digest_size=6)
    for array in (state.boats[:, : lay.B_STUCK + 1], state.control, state.shafts[:, : lay.S_THRUST + 1]):
        told.update(array.tobytes())
    for line, nodes in zip(state.lines, state.nodes, strict=True):
        told.update(line[: lay.L_SNAG + 1].tobytes())
        told.update(nodes[: int(line[lay.L_COUNT])].tobytes())
    told.update(state.anchors[:, : lay.A_FOUL_DRAWN + 1].tobytes())
    told.update(state.fleet[:, : lay.Q_ACROSS_M + 1].tobytes())
    return told.hexdigest()


def figures(state: State) -> list[float]:
    """Return (north, east, heading, rode out, pull at the roller / 1 kN) of the own boat, to be compared elsewhere."""
    own, line = state.boats[0], state.lines[0]
    raw = (own[lay.B_NORTH], own[lay.B_EAST], own[lay.B_HEADING], line[lay.L_OUT], line[lay.L_TENSION] / 1000.0)
    return [round(float(value), 6) for value in raw]


def environment() -> dict[str, str]:
    """Return what equal bits are promised for."""
    try:
        from llvmlite import binding  # missing where kernels run uncompiled

        processor = str(binding.get_host_cpu_name())
    except ImportError:
        processor = "unknown"
    return {
        "python": ".".join(platform.python_version_tuple()[:2]),
        "numpy": metadata.version("numpy"),
        "kernels": KERNEL_MODE,
        "platform": f"{platform.system()}-{platform.machine()}",
        "processor": processor,
    }


def sail_again(case: Case, most: int = 600) -> dict[str, Any]:
    """Return what a case's orders lead to: digests and figures by minute, and all that happened and was said.

    ``most`` is how many ticks may pass in one step at the most; nothing may depend on it.
    """
    taken = recording.read(orders_path(case))
    exercise = Exercise(load(case), case.seed, timeline=False)
    orders = taken.by_tick()
    ordered = sorted(orders)
    assert taken.end is not None
    last = int(taken.end["t"])
    out: dict[str, Any] = {"live": [], "night": [], "figures": []}
    happened: list[ev.Event] = []

    def note(which: str) -> None:
        out[which].append(digest(exercise.world.state))
        out["figures"].append(figures(exercise.world.state))

    def sail(until: int) -> None:
        nonlocal happened
        tick = exercise.tick
        happened += exercise.step(orders.get(tick, ()), min(replay.rests_ticks(ordered, tick, until), most))

    while exercise.tick < last:
        sail(last)
        if exercise.tick % MINUTE == 0:
            note("live")
    end = exercise.tick + round(case.night_s * TICK_HZ)
    if case.night_s:
        happened += exercise.step([BeginWatch()])
    while exercise.tick < end:
        sail(end)
        if exercise.tick % TEN_MINUTES == 0:
            note("night")
    out["events"] = [f"{e.tick} {type(e).__name__}" for e in happened]
    out["calls"] = [f"{c.tick} {c.key}" for c in exercise.calls]
    return out


def sail_anew(case: Case) -> None:
    """Let the demonstrator sail a case and keep its orders up to where she is reported secured, and those at night."""
    with tempfile.TemporaryDirectory() as folder:
        demo.sail(load(case), case.seed, Path(folder), sleep=case.night_s > 0.0)
        text = gzip.decompress((Path(folder) / recording.PACKED).read_bytes()).decode()
    kept = [line for line in text.splitlines(keepends=True) if '"hash"' not in line and '"begin_watch"' not in line]
    orders_path(case).parent.mkdir(exist_ok=True)
    orders_path(case).write_bytes(gzip.compress("".join(kept).encode(), mtime=0))


def main() -> None:
    """Write the expectations anew."""
    if "--sail" in sys.argv:
        for case in CASES:
            sail_anew(case)
    runs = {case.lesson: sail_again(case) for case in CASES}
    text = yaml.safe_dump({"environment": environment(), "runs": runs}, default_flow_style=None, width=118)
    EXPECTED.write_text(f"# Written by runs.py; see there.\n{text}", encoding="utf-8")


if __name__ == "__main__":
    main()
