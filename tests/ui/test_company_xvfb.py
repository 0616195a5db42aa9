"""Two real windows on a virtual screen: each person's keys work whichever window has the keyboard."""

import os
import shutil
import subprocess
import sys
import time

import pytest
from ui.test_xvfb import LESSON, Xdotool, screen, wait_for

from sim.core.orders import commands as cmd
from sim.record import recording

__all__ = ["screen"]
MISSING = [tool for tool in ("Xvfb", "xdotool") if shutil.which(tool) is None]
pytestmark = [
    pytest.mark.skipif(bool(MISSING), reason=f"needs {' and '.join(MISSING)}: apt-get install xvfb xdotool"),
    pytest.mark.slow,
]


@pytest.fixture
def aboard(screen, tmp_path):
    """Return (keys, program, what it told, its first window) of the program, ready with two aboard."""
    env = {**os.environ, "DISPLAY": screen, "SDL_VIDEODRIVER": "x11", "SDL_AUDIODRIVER": "dummy"}
    code = "from sim.ui.cli import app; app()"
    path = tmp_path / "told.txt"
    with path.open("w", encoding="utf-8") as told:
        program = subprocess.Popen(
            [sys.executable, "-c", code, "sail", LESSON, "--two", "--out", str(tmp_path / "run")], env=env,
            stdout=told, stderr=subprocess.STDOUT,
        )  # fmt: skip
        keys = Xdotool(screen)
        first = wait_for(lambda: keys.run("search", "--class", "windrode"), "window")[-1]
        wait_for(lambda: "planning" in path.read_text(encoding="utf-8"), "brief on screen")
        keys.run("windowfocus", "--sync", first)
        time.sleep(1.0)  # a window just given the keyboard may miss a key
        keys.tap("Return")
        wait_for(lambda: "sailing" in path.read_text(encoding="utf-8"), "lesson under way")
        yield keys, program, path, first
        if program.poll() is None:
            program.kill()
        program.wait(timeout=20)


def windows(keys):
    """Return the numbers of the program's windows."""
    return keys.run("search", "--class", "windrode")


def test_two_windows_share_one_keyboard(aboard, tmp_path):
    """The foredeck lets go from the helm's window, the helm goes astern from the foredeck's; the record verifies."""
    keys, program, told, helm = aboard
    wait_for(lambda: len(windows(keys)) == 2, "second window")
    deck = next(w for w in windows(keys) if w != helm)
    keys.run("windowfocus", "--sync", helm)
    time.sleep(1.0)
    keys.tap("l")
    keys.run("windowfocus", "--sync", deck)
    time.sleep(1.0)
    keys.tap("s")
    keys.tap("7")
    keys.tap("b")
    time.sleep(1.0)
    keys.tap("shift+F2")
    wait_for(lambda: windows(keys) == [helm], "second window closed")
    keys.run("windowfocus", "--sync", helm)
    time.sleep(1.0)
    keys.tap("b")
    time.sleep(1.0)
    keys.tap("Escape")
    keys.tap("Return")
    wait_for(lambda: "rating" in told.read_text(encoding="utf-8"), "rating")
    keys.tap("Return")
    wait_for(lambda: "result" in told.read_text(encoding="utf-8"), "result")
    orders = [c for _, c in recording.read(tmp_path / "run").commands]
    notes = [c.text for c in orders if isinstance(c, cmd.Note)]

    assert [c for c in orders if isinstance(c, cmd.Brake | cmd.Engine)] == [
        cmd.Brake(actor="foredeck", grip=0.0), cmd.Engine(lever=-0.1), cmd.Brake(grip=1.0),
    ]  # fmt: skip
    assert "helm signals: let go" in notes
    assert any(text.startswith("foredeck signals: chain") for text in notes)
    again = subprocess.run(
        [sys.executable, "-m", "sim", "replay", str(tmp_path / "run"), "--verify"], capture_output=True, text=True,
        check=False,
    )  # fmt: skip
    assert again.returncode == 0, again.stdout + again.stderr
    keys.tap("Return")
    time.sleep(1.0)
    keys.tap("Escape")
    assert program.wait(timeout=30) == 0
