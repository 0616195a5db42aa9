"""Starting without a display."""

import subprocess
import sys

import pytest

from sim.ui.opening import has_display

BARE = {"DISPLAY": "", "WAYLAND_DISPLAY": "", "SDL_VIDEODRIVER": ""}


def test_without_a_display_there_is_no_window(monkeypatch):
    """On Linux a display is named by X or Wayland, or by a driver asked for."""
    monkeypatch.setattr(sys, "platform", "linux")
    for name, value in BARE.items():
        monkeypatch.setenv(name, value)
    assert not has_display()
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")

    assert has_display()


@pytest.mark.slow
def test_without_a_display_the_demonstrator_sails(tmp_path):
    """The command for sailing oneself says so, and where the debrief lies."""
    import os

    code = "from sim.ui.cli import app; app()"
    done = subprocess.run(
        [sys.executable, "-c", code, "sail", "lantern-pool", "--out", str(tmp_path / "run")],
        env={**os.environ, **BARE}, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert done.returncode == 0, done.stderr
    assert "demonstrator" in done.stdout
    assert (tmp_path / "run" / "debrief.html").exists()


def test_what_is_set_aside_is_freed_when_it_is_no_longer_wanted():
    """A ring of two things that nobody holds any more does not outlive the next settling."""
    import gc
    import weakref

    from sim.ui import collector

    class Thing:
        other = None

    one, two = Thing(), Thing()
    one.other, two.other = two, one
    collector.settle()
    assert gc.get_freeze_count() > 0
    gone = weakref.ref(one)
    del one, two
    collector.settle()

    assert gone() is None
    gc.unfreeze()
