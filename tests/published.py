"""Published figures, each file in ``reference`` with its source and how far it can be trusted."""

from functools import cache
from pathlib import Path
from typing import Any

import yaml

FOLDER = Path(__file__).resolve().parent / "reference"


@cache
def published(name: str) -> Any:
    """Return the figures of ``reference/<name>.yaml``."""
    return yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))
