"""A real window on a virtual screen: the first lesson sailed with the keyboard alone, and its recording verified."""

import json
import os
import shutil
import subprocess
import sys
import time

import pytest
from ui.trainee import Trainee

from sim.core.orders import commands as cmd
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout
from sim.scenario.library import load_lesson

MISSING = [tool for tool in ("Xvfb", "xdotool") if shutil.which(tool) is None]
pytestmark = [
    pytest.mark.skipif(bool(MISSING), reason=f"needs {' and '.join(MISSING)}: apt-get install xvfb xdotool"),
    pytest.mark.slow,  # a hundred seconds of real time; the same keys are played without a screen in test_app
]
LESSON = "lantern-pool"
WAIT_S = 90.0
LAG_S = 0.02


class Xdotool:
    """A keyboard on a virtual screen."""

    def __init__(self, display):
        self.env = {**os.environ, "DISPLAY": display}

    def run(self, *words):
        """Return what xdotool says; only a search may find nothing."""
        done = subprocess.run(
            ["xdotool", *words], env=self.env, capture_output=True, text=True, timeout=30, check=False
        )
        assert done.returncode == 0 or words[0] == "search", (words, done.stderr)
        return done.stdout.split() if done.returncode == 0 else []

    def tap(self, key, times=1):
        """Press and release a key."""
        for _ in range(times):
            self.run("key", key)

    def down(self, key):
        """Press a key and keep it down."""
        self.run("keydown", key)

    def up(self, key):
        """Release a key."""
        self.run("keyup", key)


class Mirror:
    """What the window shows, worked out from what it records as it goes: the same lesson sailed alongside."""

    def __init__(self, folder):
        self.path = folder / "recording.jsonl"
        self.exercise = Exercise(load_lesson(LESSON), 1, timeline=False)
        self.lookout = Lookout(self.exercise)
        self.orders = {}
        self._read = 0

    def view(self):
        """Return the view at the last second that is on disk, None where there is no new one."""
        if not self.path.exists():
            return None
        text = self.path.read_text(encoding="utf-8")
        whole = text[: text.rfind("\n") + 1].splitlines()
        reached = self.exercise.tick
        for line in whole[max(self._read, 1) :]:
            data = json.loads(line)
            tick = data.pop("t")
            if "do" in data:
                self.orders.setdefault(tick, []).append(cmd.from_dict(data))
            elif "hash" in data:
                reached = tick
        self._read = len(whole)
        if reached == self.exercise.tick:
            return None
        while self.exercise.tick < reached:
            self.exercise.step(self.orders.get(self.exercise.tick, ()))
        return self.lookout.view()


def wait_for(found, what):
    """Return what ``found`` returns once it is something."""
    until = time.monotonic() + WAIT_S
    while time.monotonic() < until:
        got = found()
        if got:
            return got
        time.sleep(0.1)
    raise AssertionError(f"no {what} within {WAIT_S:g} s")


@pytest.fixture
def screen(tmp_path):
    """Return a virtual screen's name, the screen closed afterwards."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1024x768x24", "-nolisten", "tcp"],
        pass_fds=(write,), stderr=subprocess.DEVNULL,
    )  # fmt: skip
    os.close(write)
    with os.fdopen(read) as number:
        display = f":{number.readline().strip()}"
    yield display
    server.terminate()
    server.wait(timeout=20)


@pytest.fixture
def window(screen, tmp_path):
    """Return (keys, process) of the program's window, ready and with the keyboard."""
    env = {**os.environ, "DISPLAY": screen, "SDL_VIDEODRIVER": "x11", "SDL_AUDIODRIVER": "dummy"}
    code = "from sim.ui.cli import app; app()"
    told = (tmp_path / "told.txt").open("w+", encoding="utf-8")
    program = subprocess.Popen(
        [sys.executable, "-c", code, "sail", LESSON, "--out", str(tmp_path / "run")], env=env, stdout=told,
        stderr=subprocess.STDOUT,
    )  # fmt: skip
    keys = Xdotool(screen)
    number = wait_for(lambda: keys.run("search", "--class", "windrode"), "window")[-1]
    wait_for(lambda: "planning" in (tmp_path / "told.txt").read_text(encoding="utf-8"), "brief on screen")
    keys.run("windowfocus", "--sync", number)
    time.sleep(1.0)  # a window just given the keyboard may miss a key
    keys.tap("Return")
    wait_for(lambda: "sailing" in (tmp_path / "told.txt").read_text(encoding="utf-8"), "lesson under way")
    yield keys, program
    if program.poll() is None:
        program.kill()
    program.wait(timeout=20)
    told.close()


def test_a_lesson_is_sailed_in_a_real_window(window, tmp_path):
    """Start to result with keys alone, four times as fast as life; the recording sails again the same."""
    keys, program = window
    mirror = Mirror(tmp_path / "run")
    trainee = Trainee(mirror.exercise.lesson.brief, keys)
    keys.tap("period", 2)
    result = tmp_path / "run" / "result.json"
    until = time.monotonic() + 6.0 * WAIT_S
    while "rating" not in (tmp_path / "told.txt").read_text(encoding="utf-8") and time.monotonic() < until:
        assert program.poll() is None, (tmp_path / "told.txt").read_text(encoding="utf-8")
        view = mirror.view()
        if view is None:
            time.sleep(LAG_S)
        else:
            trainee.look(view)

    keys.tap("Return")
    wait_for(lambda: "windrode: night" in (tmp_path / "told.txt").read_text(encoding="utf-8"), "night on screen")
    keys.tap("Escape")
    wait_for(lambda: "result" in (tmp_path / "told.txt").read_text(encoding="utf-8"), "result on screen")
    data = json.loads(result.read_text(encoding="utf-8"))
    assert data["ended"]["why"] == "secured"
    assert data["outcome"]["held"]
    again = subprocess.run(
        [sys.executable, "-m", "sim", "replay", str(tmp_path / "run"), "--verify"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert again.returncode == 0, again.stdout + again.stderr
    keys.tap("Return")
    time.sleep(1.0)
    keys.tap("Escape")
    assert program.wait(timeout=30) == 0
