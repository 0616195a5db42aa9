"""Archives of arrays: opened with one clear line where a file is cut short, of another format or no archive at all."""

import zipfile
import zlib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

import numpy as np

from sim.base.errors import RecordingError

T = TypeVar("T")
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, OSError, NotImplementedError, RuntimeError, MemoryError)
_SENSELESS = (ValueError, TypeError, IndexError, AttributeError, OverflowError)


def read(path: Path, wanted: str, formats: int, build: Callable[[Mapping[str, Any]], T]) -> T:
    """Return what ``build`` makes of the arrays of an ``.npz`` by name.

    Args:
        path: the archive.
        wanted: what it should hold, in words, for the message.
        formats: the format it should be of.
        build: from the arrays to what they stand for.

    Raises:
        RecordingError: where the file is missing, broken off or no archive, lacks an array, is of another format, or
            holds what makes no sense.
    """
    told = str(path)
    try:
        with np.load(path, allow_pickle=False) as data:
            found = int(data["format"])
            if found != formats:
                raise RecordingError(told, f"expected {wanted} of format {formats}, found format {found}")
            return build(data)
    except KeyError as missing:
        lacking = str(missing.args[0]).split(" is not a file")[0]
        raise RecordingError(told, f"expected {wanted} with {lacking}, found none") from None
    except _BROKEN:
        raise RecordingError(told, f"expected {wanted}, found a file cut short or broken") from None
    except _SENSELESS:
        raise RecordingError(told, f"expected {wanted}, found something else") from None
