"""The kernel decorator: never a stale law, never a need to write, the same numbers with and without a compiler."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.base import kernel as room
from sim.base.kernel import source_hash

TESTS = Path(__file__).resolve().parent.parent
ROOMS = Path(sim.__file__).parent
LAW = """from sim.base.kernel import kernel


@kernel
def called(x: float) -> float:
    return {factor} * x
"""
CALLER = """from sim.base.kernel import kernel
from sim.model.called import called


@kernel
def caller(x: float) -> float:
    return 1.0 + called(x)
"""
ASK = "from sim.base import kernel as k; from sim.model.caller import caller; print(k.KERNEL_MODE, caller(10.0))"


def told(code: str, root: Path, **environment: str) -> str:
    """Return what a fresh process prints with the package found in ``root``."""
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, "PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "1", **environment},
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """Return a folder with a package of one law that calls another in another file."""
    base, model = tmp_path / "sim" / "base", tmp_path / "sim" / "model"
    base.mkdir(parents=True)
    model.mkdir()
    for folder in (base.parent, base, model):
        (folder / "__init__.py").touch()
    shutil.copy(ROOMS / "base" / "kernel.py", base)
    (model / "called.py").write_text(LAW.format(factor=2.0), encoding="utf-8")
    (model / "caller.py").write_text(CALLER, encoding="utf-8")
    return tmp_path


needs_compiler = pytest.mark.skipif(not room.COMPILED, reason="no compiler here")


@needs_compiler
def test_an_edited_callee_changes_its_caller(small):
    """The caller's own file is untouched, and its compiled form lies on disk: the answer changes all the same."""
    cache = str(small / "cache")
    assert told(ASK, small, WINDRODE_CACHE=cache) == "compiled 21.0"
    assert list((small / "cache").rglob("*.nbc")), "nothing was kept on disk"

    (small / "sim" / "model" / "called.py").write_text(LAW.format(factor=3.0), encoding="utf-8")

    assert told(ASK, small, WINDRODE_CACHE=cache) == "compiled 31.0"


@needs_compiler
def test_with_no_folder_to_write_in_it_compiles_in_memory(small):
    """The cache is asked for below a plain file, where nobody can make a folder."""
    (small / "file").write_text("not a folder", encoding="utf-8")

    assert told(ASK, small, WINDRODE_CACHE=str(small / "file" / "below")) == "compiled 21.0"
    assert told(
        "from sim.base import kernel as k; print(k.CACHE_FOLDER)", small, WINDRODE_CACHE=str(small / "file" / "below")
    ) == ("None")


def test_switched_off_the_same_source_runs_as_it_stands(small):
    assert told(ASK, small, WINDRODE_KERNELS="off") == "uncompiled 21.0"


def test_the_hash_sees_every_room_that_holds_a_kernel(small):
    """A changed law anywhere is another folder; every room of ours with a kernel is among those looked at."""
    before = source_hash(small / "sim")
    (small / "sim" / "model" / "called.py").write_text(LAW.format(factor=4.0), encoding="utf-8")
    kernels = [p for p in ROOMS.rglob("*.py") if "\n@kernel\n" in p.read_text(encoding="utf-8")]
    holding = {p.relative_to(ROOMS).parts[0] for p in kernels}

    assert source_hash(small / "sim") != before
    assert holding <= set(room._KERNEL_ROOMS)


def test_warm_is_known_only_after_it_was_noted(small):
    ask = "from sim.base import kernel as k; a = k.is_warm(); k.mark_warm(); print(a, k.is_warm())"
    cache = str(small / "cache")

    assert told(ask, small, WINDRODE_CACHE=cache) == ("False True" if room.COMPILED else "True True")
    assert told(ask, small, WINDRODE_CACHE=cache) == "True True"


RUN = f"""
import sys
sys.path.insert(0, {str(TESTS)!r})
import worlds
from sim.core.orders import commands as cmd
w = worlds.world(weather=worlds.gusty(15.0), neighbours=(worlds.neighbour(80.0, 20.0),))
worlds.run(w, 3.0, cmd.Brake(grip=0.0), cmd.Engine(lever=-0.2))
print(repr(w.state.boats[:, :6].ravel().tolist() + w.state.nodes[0, :8, :3].ravel().tolist()))
"""


@needs_compiler
def test_uncompiled_laws_give_the_same_numbers():
    """A boat letting go in gusts beside another, three seconds: equal to a thousandth of a millionth."""
    here = ROOMS.parent
    compiled = np.array(eval(told(RUN, here)))
    plain = np.array(eval(told(RUN, here, WINDRODE_KERNELS="off")))

    assert np.abs(compiled).max() > 1.0
    assert plain == pytest.approx(compiled, rel=1e-9, abs=1e-9)
