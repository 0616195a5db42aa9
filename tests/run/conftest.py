"""The command line, as a person meets it: in a process of its own, or called in this one where that is as good."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from sim import __main__ as command_line
from sim.play import warmup
from sim.scenario import library


@dataclass(frozen=True)
class Said:
    """What a command came to."""

    code: int
    out: str
    err: str


Call = Callable[..., Said]


DISPLAYS = ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")


def in_process(*words: str, hash_seed: str = "0", cwd: Path | None = None) -> Said:
    """Run ``windrode`` with ``words`` in a process of its own, without a display, somewhere else."""
    env = {key: value for key, value in os.environ.items() if key not in DISPLAYS}
    done = subprocess.run(
        [sys.executable, "-m", "sim", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={**env, "PYTHONHASHSEED": hash_seed, "PYTHONIOENCODING": "utf-8"},
        cwd=cwd or tempfile.gettempdir(),
        timeout=300,
        check=False,
    )
    return Said(done.returncode, done.stdout, done.stderr)


@pytest.fixture(scope="session")
def windrode() -> Call:
    """Return what runs ``windrode`` in a process of its own."""
    return in_process


@pytest.fixture
def here(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Call:
    """Return what runs ``windrode`` in this process."""

    def call(*words: str) -> Said:
        monkeypatch.setattr(sys, "argv", ["windrode", *words])
        capsys.readouterr()
        code = 0
        try:
            command_line.main()
        except SystemExit as end:
            code = int(end.code or 0)
        said = capsys.readouterr()
        return Said(code, said.out, said.err)

    return call


@dataclass(frozen=True)
class Demo:
    """The first lesson as the demonstrator sailed it."""

    said: Said
    folder: Path


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Return the first lesson's run, seed 1, by the command line; the folder is not to be written to."""
    folder = tmp_path_factory.mktemp("demo") / "run"
    said = in_process(
        "demo", "lantern-pool", "--seed", "1", "--headless", "--no-night", "--out", str(folder), hash_seed="1"
    )
    return Demo(said, folder)


@pytest.fixture
def lesson_file(tmp_path: Path) -> Callable[[str, str], Path]:
    """Return what writes a copy of the first lesson with one text replaced, outside the library."""

    def write(old: str, new: str) -> Path:
        text = (library.data_root() / "lessons" / "lantern-pool.yaml").read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the lesson"
        path = tmp_path / "mine.yaml"
        path.write_text(text.replace(old, new), encoding="utf-8")
        return path

    return write


@pytest.fixture(scope="session", autouse=True)
def _compiled() -> None:
    """Compile before the first command, so that none of them has to announce it."""
    warmup.warm_up(lambda _line: None)
