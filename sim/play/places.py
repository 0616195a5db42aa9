"""Where a person's own files lie: runs and settings, apart from the program's data."""

import os
from pathlib import Path

import platformdirs


def home() -> Path:
    """Return the folder of a person's own files; ``WINDRODE_HOME`` moves it, as to a stick or a school's share."""
    moved = os.environ.get("WINDRODE_HOME")
    return Path(moved) if moved else platformdirs.user_data_path("windrode", appauthor=False)


def runs() -> Path:
    """Return the folder below which the window keeps attempts."""
    return home() / "runs"
