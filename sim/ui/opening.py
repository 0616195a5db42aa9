"""Whether a window can be opened."""

import os
import sys


def has_display() -> bool:
    """Return whether a window can be opened here."""
    if os.environ.get("SDL_VIDEODRIVER"):
        return True
    if sys.platform.startswith(("win", "darwin", "cygwin")):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
