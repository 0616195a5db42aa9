"""The one decorator that compiles a law.

A kernel is a pure function written as plain loops over floats and float64 arrays. Where numba is installed it is
compiled (never with fast-math); elsewhere the same source runs as it stands. Set ``WINDRODE_KERNELS=off`` to run
uncompiled.

Numba keys its disk cache by the file of each function, so an edited callee in another file would leave a stale
caller. Therefore the cache folder's name carries a hash of all kernel sources and of the versions involved: change
any of them and everything is compiled afresh.
"""

import contextlib
import hashlib
import os
import platform
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

import numpy as np
import platformdirs

P = ParamSpec("P")
R = TypeVar("R")

_SOURCES = Path(__file__).resolve().parent.parent
_KERNEL_ROOMS = ("base", "model", "core", "helm")
_DONE = "compiled.txt"


def source_hash(root: Path = _SOURCES) -> str:
    """Return a short hash of every source file below ``root`` that may hold a kernel, or a constant that one uses."""
    digest = hashlib.blake2b(digest_size=8)
    for room in _KERNEL_ROOMS:
        for path in sorted((root / room).rglob("*.py")):
            digest.update(path.relative_to(root).as_posix().encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()


def _versions() -> str:
    return f"py{platform.python_version()}-np{np.__version__}-nb{_NUMBA_VERSION}"


def _writable(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def _find_cache() -> Path | None:
    """Return the folder for compiled kernels, or None where nothing is writable."""
    asked = os.environ.get("WINDRODE_CACHE")
    base = Path(asked) if asked else Path(platformdirs.user_cache_dir("windrode", appauthor=False))
    folder = base / "kernels" / f"{source_hash()}-{_versions()}"
    return folder if _writable(folder) else None


try:
    if os.environ.get("WINDRODE_KERNELS", "on") == "off":
        raise ImportError("kernels are switched off")
    import numba
    import numba.core.config

    _NUMBA_VERSION = str(numba.__version__)
    COMPILED = True
except ImportError:
    _NUMBA_VERSION = "none"
    COMPILED = False

KERNEL_MODE = "compiled" if COMPILED else "uncompiled"
CACHE_FOLDER = _find_cache() if COMPILED else None
if COMPILED:
    # The laws are scalar from end to end: looking for vectors in them takes time to compile and finds none.
    for name in ("LOOP_VECTORIZE", "SLP_VECTORIZE"):
        setattr(numba.core.config, name, 0)
if CACHE_FOLDER is not None:
    setattr(numba.core.config, "CACHE_DIR", str(CACHE_FOLDER))  # noqa: B010 - made at run time


def kernel(law: Callable[P, R]) -> Callable[P, R]:
    """Return ``law`` compiled where that is possible, with its types kept for the type checker.

    Compiled, a division by zero is infinite or not a number, as in numpy; ``core.bounds`` stops what comes of it.
    """
    if not COMPILED:
        return law
    options: dict[str, Any] = {"error_model": "numpy", "no_cfunc_wrapper": True, "cache": CACHE_FOLDER is not None}
    compiled: Callable[P, R] = numba.njit(**options)(law)
    return compiled


def is_warm() -> bool:
    """Return whether the kernels need no compiling: already on disk for this source, or never compiled."""
    return not COMPILED or (CACHE_FOLDER is not None and (CACHE_FOLDER / _DONE).exists())


def mark_warm() -> None:
    """Note on disk that every kernel has been compiled, and drop the folders of older sources."""
    if CACHE_FOLDER is None:
        return
    with contextlib.suppress(OSError):
        (CACHE_FOLDER / _DONE).write_text("all kernels compiled\n", encoding="utf-8")
        old = sorted(
            (f for f in CACHE_FOLDER.parent.iterdir() if f != CACHE_FOLDER),
            key=lambda f: f.stat().st_mtime,
        )
        for folder in old[:-3]:  # keep a few: another environment on this machine may use them
            shutil.rmtree(folder, ignore_errors=True)
