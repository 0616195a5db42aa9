"""How fast frames are drawn and shown, and how soon there is a list to choose from.

The bars are those of a machine on which the chain of 60 nodes takes 12 us; on a slower one they widen with it.
"""

import json
import os
import shutil
import subprocess
import sys
import time

import pytest

from sim.lab.bench import slowness
from sim.ui import bench

LARGE = (1920, 1080)


@pytest.fixture(scope="module")
def slower():
    """Return how many times slower this machine is than the one the bars were set for."""
    return max(slowness(), 1.0)


@pytest.mark.bench
def test_a_frame_is_drawn_in_time(slower):
    """Half a minute with sixty boats in view, at 1280 by 800: the middle frame under 4 ms, 95 of 100 under 8."""
    drawn = bench.draw(boats=60, seconds=30.0)

    assert drawn.median_ms < 4.0 * slower
    assert drawn.p95_ms < 8.0 * slower


@pytest.mark.bench
def test_a_turning_plan_is_drawn_in_time(slower):
    """With her heading up and the helm hard over the plan turns all the while, and takes no longer."""
    drawn = bench.draw(boats=60, seconds=30.0, head_up=True)

    assert drawn.median_ms < 4.0 * slower
    assert drawn.p95_ms < 8.0 * slower


@pytest.mark.bench
def test_a_large_window_is_drawn_in_time(slower):
    """The same at 1920 by 1080: the middle frame under 6 ms, 95 of 100 under 12."""
    drawn = bench.draw(boats=60, seconds=30.0, size=LARGE)

    assert drawn.median_ms < 6.0 * slower
    assert drawn.p95_ms < 12.0 * slower


@pytest.mark.bench
def test_a_step_of_the_zoom_is_drawn_in_time(slower):
    """No frame after a step takes longer than 30 ms, two of the screen's own."""
    assert bench.zoom(boats=60, size=LARGE).longest_ms < 30.0 * slower


@pytest.fixture
def display():
    """Return the name of a virtual screen."""
    if shutil.which("Xvfb") is None:
        pytest.skip("needs Xvfb: apt-get install xvfb")
    reading, writing = os.pipe()
    command = ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1920x1080x24", "-nolisten", "tcp"]
    server = subprocess.Popen(command, pass_fds=(writing,), stderr=subprocess.DEVNULL)
    os.close(writing)
    with os.fdopen(reading) as told:
        number = told.readline().strip()
    yield f":{number}"
    server.terminate()
    server.wait(timeout=10)


def on(display, tmp_path):
    """Return the surroundings of a program on a display, its settings and runs below a folder of the test's."""
    env = {k: v for k, v in os.environ.items() if k != "SDL_VIDEODRIVER"}
    return {**env, "DISPLAY": display, "SDL_VIDEODRIVER": "x11", "XDG_CONFIG_HOME": str(tmp_path / "settings"),
            "XDG_DATA_HOME": str(tmp_path / "runs")}  # fmt: skip


@pytest.mark.bench
def test_a_frame_is_shown_in_time(display, tmp_path, slower):
    """Drawn and flipped in a real window of 1920 by 1080, by the clock on the wall: the middle frame under 12 ms."""
    code = (
        "import dataclasses, json; from sim.ui import bench; "
        f"print(json.dumps(dataclasses.asdict(bench.flip(60, 20.0, {LARGE}))))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], env=on(display, tmp_path), capture_output=True, text=True, timeout=300, check=True
    )
    shown = json.loads(done.stdout.splitlines()[-1])

    assert shown["median_ms"] < 12.0 * slower, shown


@pytest.mark.bench
def test_the_list_is_there_soon(display, tmp_path, slower):
    """From the command to a list that takes keys, with everything compiled before: the best of three under 1.5 s."""
    took = []
    for _ in range(3):
        began = time.perf_counter()
        program = subprocess.Popen(
            [sys.executable, "-m", "sim"], env=on(display, tmp_path), stdout=subprocess.PIPE, text=True
        )
        line = next((line for line in program.stdout if line.startswith("windrode: ready")), "")
        took.append(time.perf_counter() - began)
        program.terminate()
        program.wait(timeout=20)
        assert line

    assert min(took) < 1.5 * slower, took
