"""The recording: a header, every command and a hash each second, as lines of text.

While a run lasts the file is plain ``recording.jsonl``, flushed with every hash, so that a kill loses one second; when
it is closed it becomes ``recording.jsonl.gz``. A command's ``t`` is the tick it was applied at; a hash's ``t`` is the
tick of the state it was taken from.
"""

import contextlib
import gzip
import json
import platform
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from importlib import metadata
from pathlib import Path
from typing import Any

from sim import __version__
from sim.base.errors import RecordingError
from sim.base.kernel import KERNEL_MODE
from sim.base.units import TICK_HZ
from sim.core.orders.commands import Command, from_dict, to_dict

FORMAT = 1
PLAIN = "recording.jsonl"
PACKED = "recording.jsonl.gz"
HASH_TICKS = TICK_HZ  # one hash a second
_HEADER = {"scenario", "seed", "boat", "level"}  # what a replay cannot do without
_LIBRARIES = ("numpy", "numba", "pymunk")


def _version(distribution: str) -> str:
    try:
        return metadata.version(distribution)
    except metadata.PackageNotFoundError:
        return "none"


def environment() -> dict[str, Any]:
    """Return what equal hashes depend on besides the scenario, the seed and the commands."""
    return {
        "program": __version__,
        "versions": {"python": platform.python_version()} | {name: _version(name) for name in _LIBRARIES},
        "platform": f"{platform.system()}-{platform.machine()}",
        "kernel_mode": KERNEL_MODE,
    }


def make_header(
    scenario_id: str, sha256: str, seed: int, boat: str, level: str, started_s: float | None = None
) -> dict[str, Any]:
    """Return the header of a run about to begin here.

    Args:
        scenario_id: the lesson's name.
        sha256: of the lesson's bytes.
        seed: the run's seed.
        boat: name of the own boat's file.
        level: name of the marking profile.
        started_s: wall-clock seconds since 1970 where the caller wants them kept.
    """
    head = {"format": FORMAT} | environment()
    head |= {"scenario": {"id": scenario_id, "sha256": sha256}, "seed": seed, "boat": boat, "level": level}
    head["tick_hz"] = TICK_HZ
    if started_s is not None:
        head["started_s"] = started_s
    return head


class Writer:
    """Writes one run's recording into a folder."""

    def __init__(self, folder: Path, header: dict[str, Any]) -> None:
        """Begin ``folder``/recording.jsonl with ``header``; the folder is made where it is missing."""
        folder.mkdir(parents=True, exist_ok=True)
        (folder / PACKED).unlink(missing_ok=True)
        self._plain = folder / PLAIN
        self._packed = folder / PACKED
        self._file = self._plain.open("w", encoding="utf-8")
        self._line(header)
        self._file.flush()

    def _line(self, data: dict[str, Any]) -> None:
        self._file.write(json.dumps(data, separators=(",", ":"), ensure_ascii=False) + "\n")

    def command(self, tick: int, command: Command) -> None:
        """Write a command, whatever its source, applied at ``tick``."""
        self._line({"t": tick} | to_dict(command))

    def state(self, tick: int, state_hash: str) -> None:
        """Write the hash of the state at ``tick``, and let nothing before it be lost."""
        self._file.write(f'{{"t":{tick},"hash":"{state_hash}"}}\n')
        self._file.flush()

    def rewind(self, tick: int) -> None:
        """Forget what was written beyond the state at ``tick``: the run is taken up again from there."""
        self._file.close()
        head, *rows = self._plain.read_text(encoding="utf-8").splitlines(keepends=True)
        kept = [head]
        for row in rows:
            data = json.loads(row)
            if data["t"] < tick or (data["t"] == tick and "hash" in data):
                kept.append(row)
        self._plain.write_text("".join(kept), encoding="utf-8")
        self._file = self._plain.open("a", encoding="utf-8")

    def end(self, tick: int, why: str) -> None:
        """Write why and when the run ended."""
        self._line({"end": {"t": tick, "why": why}})

    def close(self) -> Path:
        """Pack the recording and return the packed file's path; the plain file goes once the packed one is whole."""
        self._file.close()
        half_done = self._packed.with_suffix(".part")
        # A fixed time stamp inside the archive keeps equal runs equal, byte for byte.
        half_done.write_bytes(gzip.compress(self._plain.read_bytes(), compresslevel=6, mtime=0))
        half_done.replace(self._packed)
        self._plain.unlink()
        return self._packed


@dataclass(frozen=True)
class Recording:
    """A recording as read back.

    Attributes:
        header: as ``make_header`` made it.
        commands: (tick, command) in the order they were applied.
        hashes: (tick, state hash), ticks rising.
        end: {"t", "why"}, or None where the run was cut off.
        torn: the file stops in the middle of a line or of the archive.
    """

    header: dict[str, Any]
    commands: tuple[tuple[int, Command], ...]
    hashes: tuple[tuple[int, str], ...]
    end: dict[str, Any] | None = None
    torn: bool = False

    def by_tick(self) -> dict[int, list[Command]]:
        """Return the commands of each tick that has any."""
        out: dict[int, list[Command]] = {}
        for tick, command in self.commands:
            out.setdefault(tick, []).append(command)
        return out


def find(path: Path) -> Path:
    """Return the recording that ``path`` names: itself, or the one in that folder, packed or plain.

    Raises:
        RecordingError: where there is none.
    """
    candidates = [path / PACKED, path / PLAIN] if path.is_dir() else [path]
    for candidate in candidates:
        if candidate.is_file():
            return candidate
    raise RecordingError(str(path), "no recording here")


def _unpacked(path: Path) -> tuple[bytes, bool]:
    """Return the text's bytes and whether the archive breaks off."""
    raw = path.read_bytes()
    if raw[:2] != b"\x1f\x8b":
        return raw, False
    unpack = zlib.decompressobj(wbits=31)
    out = bytearray()
    with contextlib.suppress(zlib.error):
        out += unpack.decompress(raw)
    return bytes(out), not unpack.eof


def _lines(path: Path, text: bytes, torn: list[bool]) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield (line number, data); a last line without its end is dropped and noted in ``torn``."""
    rows = text.split(b"\n")
    if rows.pop() != b"":
        torn.append(True)
    for number, row in enumerate(rows, start=1):
        try:
            data = json.loads(row)
        except ValueError:
            raise RecordingError(str(path), f"line {number} is not a line of a recording") from None
        if not isinstance(data, dict):
            raise RecordingError(str(path), f"line {number} is not a line of a recording")
        yield number, data


@dataclass
class _Parts:
    commands: list[tuple[int, Command]] = field(default_factory=list)
    hashes: list[tuple[int, str]] = field(default_factory=list)
    end: dict[str, Any] | None = None


def _end(data: Any) -> dict[str, Any]:
    if not (isinstance(data, dict) and type(data.get("t")) is int and isinstance(data.get("why"), str)):
        raise ValueError("expected an end with t and why")
    return data


def _sort(path: Path, lines: Iterable[tuple[int, dict[str, Any]]]) -> _Parts:
    parts = _Parts()
    for number, data in lines:
        tick = data.pop("t", None)
        try:
            if "end" in data:
                parts.end = _end(data["end"])
            elif "hash" in data:
                parts.hashes.append((int(tick), str(data["hash"])))
            else:
                parts.commands.append((int(tick), from_dict(data)))
        except (ValueError, TypeError) as wrong:
            raise RecordingError(str(path), f"line {number}: {wrong}") from None
    return parts


def _check_header(path: Path, header: dict[str, Any]) -> None:
    missing = sorted(_HEADER - set(header))
    if missing:
        raise RecordingError(str(path), f"expected a header with {missing[0]}, found none")
    scenario, seed = header["scenario"], header["seed"]
    if not (isinstance(scenario, dict) and {"id", "sha256"} <= set(scenario)):
        raise RecordingError(str(path), f"expected a header whose scenario has id and sha256, found {scenario!r}")
    if type(seed) is not int or seed < 0:
        raise RecordingError(str(path), f"expected a header with a seed of 0 or more, found {seed!r}")
    for key in ("boat", "level"):
        if not isinstance(header[key], str):
            raise RecordingError(str(path), f"expected a header with the name of a {key}, found {header[key]!r}")


def read(path: Path) -> Recording:
    """Return the recording at ``path`` (a run's folder, a packed or a plain file).

    A run that was killed reads up to its last whole line.

    Raises:
        RecordingError: where there is no recording, it has no header, its format is newer, or a line makes no sense.
    """
    path = find(path)
    text, broken = _unpacked(path)
    torn = [True] if broken else []
    lines = _lines(path, text, torn)
    _, header = next(lines, (0, {}))
    if header.get("format") != FORMAT:
        raise RecordingError(str(path), f"expected a recording of format {FORMAT}, found {header.get('format')!r}")
    parts = _sort(path, lines)
    _check_header(path, header)
    return Recording(header, tuple(parts.commands), tuple(parts.hashes), parts.end, bool(torn))
