"""Remarks of whoever taught: written while a run is looked at again, each at its time, in a file of its own beside it.

The recording knows nothing of them, so nothing written here changes what it proves.
"""

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

FILE = "remarks.json"
MOST_LETTERS = 120


@dataclass(frozen=True, order=True)
class Remark:
    """One line at one time of the run.

    Attributes:
        t_s: time since the start of the run.
        text: what was written, one line.
    """

    t_s: float
    text: str


def read(folder: Path) -> list[Remark]:
    """Return the remarks beside a run in order of time; none where there is no file, or none that can be read."""
    try:
        data = json.loads((folder / FILE).read_text(encoding="utf-8"))
        found = [Remark(float(one["t_s"]), str(one["text"]).strip()) for one in data["remarks"]]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return sorted(one for one in found if one.text and math.isfinite(one.t_s))


def write(folder: Path, remarks: Sequence[Remark]) -> None:
    """Keep the remarks beside a run; where there are none, no file is left."""
    path = folder / FILE
    if not remarks:
        path.unlink(missing_ok=True)
        return
    rows = [{"t_s": round(one.t_s, 1), "text": one.text} for one in sorted(remarks)]
    path.write_text(json.dumps({"format": 1, "remarks": rows}, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
