"""What a lesson leaves to the day: figures drawn by the run's seed, before anything is made of them.

A lesson's ``drawn`` names keys of its own file and what may stand there. Each key has a random stream of its own, so
that one draw more shifts no other; the same seed always makes the same day.
"""

import copy
import re
from collections.abc import Iterator, Sequence
from typing import Any

from sim.base import rng
from sim.scenario.schema.lesson import DrawBlock, EntryBlock

KeyPath = tuple[str | int, ...]
_PART = re.compile(r"([a-z_]+)((?:\[[0-9]+\])*)")


def parse_key(key: str) -> KeyPath:
    """Return ``wind.sector_deg[1]`` as a path; ValueError where it is none.

    >>> parse_key("wind.sector_deg[1]")
    ('wind', 'sector_deg', 1)
    """
    path: list[str | int] = []
    for part in key.split("."):
        found = _PART.fullmatch(part)
        if found is None:
            raise ValueError(key)
        path += [found[1], *(int(n) for n in re.findall(r"[0-9]+", found[2]))]
    return tuple(path)


def _at(data: Any, path: KeyPath) -> Any:
    """Return what stands at a path; LookupError where nothing does."""
    for part in path:
        if isinstance(part, int) != isinstance(data, list):
            raise LookupError(part)
        data = data[part]
    return data


def put(data: dict[str, Any], path: KeyPath, value: Any) -> None:
    """Let ``value`` stand at ``path``, in place; LookupError where nothing stands there to be replaced."""
    here = _at(data, path[:-1])
    last = path[-1]
    if isinstance(last, int):
        _at(here, (last,))
        here[last] = value
    elif isinstance(here, dict):
        here[last] = value
    else:
        raise LookupError(last)


def _figure(block: DrawBlock, share: float, data: dict[str, Any]) -> Any:
    """Return what a draw of ``share``, from 0 up to 1, puts into ``data``."""
    if block.one_of is not None:
        return copy.deepcopy(block.one_of[min(int(share * len(block.one_of)), len(block.one_of) - 1)])
    assert block.between is not None  # the schema asks for one of the two
    low, high = block.between
    value = low + share * (high - low)
    if block.step is not None:
        value = low + block.step * round((value - low) / block.step)
    if block.over is not None:
        value += _at(data, parse_key(block.over))
    return round(value, 6)


def drawn(data: dict[str, Any], blocks: Sequence[DrawBlock], seed: int) -> dict[str, Any]:
    """Return a lesson's data as the day of ``seed`` has it, in the order of the draws."""
    out = copy.deepcopy(data)
    for block in blocks:
        share = float(rng.stream(seed, f"drawn:{block.key}").random())
        put(out, parse_key(block.key), _figure(block, share, out))
    return out


def extremes(data: dict[str, Any], blocks: Sequence[DrawBlock]) -> Iterator[tuple[int, dict[str, Any]]]:
    """Yield (number of the draw, data) with each draw in turn at each of its ends, the others at their first.

    Raises:
        LookupError: where a key stands nowhere.
    """
    base = copy.deepcopy(data)
    for block in blocks:
        put(base, parse_key(block.key), _figure(block, 0.0, base))
    for k, block in enumerate(blocks):
        options = len(block.one_of) if block.one_of is not None else 2
        for n in range(options):
            out = copy.deepcopy(base)
            for other in blocks[k:]:
                share = 0.0 if other is not block else (n + 0.5) / options if block.one_of is not None else float(n)
                put(out, parse_key(other.key), _figure(other, share, out))
            yield k, out


def entries(blocks: Sequence[EntryBlock], seed: int) -> tuple[EntryBlock, ...]:
    """Return the timeline of a day: times drawn between ``at_s`` and ``to_s``, entries by their ``chance``."""
    out = []
    for k, block in enumerate(blocks):
        take, when = (float(x) for x in rng.uniforms(seed, f"timeline:{k}", 2))
        if block.chance is not None and take >= block.chance:
            continue
        if block.to_s is not None:
            assert block.at_s is not None  # the schema sees to it
            at_s = round(block.at_s + when * (block.to_s - block.at_s), 1)
            out.append(block.model_copy(update={"at_s": at_s, "to_s": None}))
        else:
            out.append(block)
    return tuple(out)


def varies(blocks: Sequence[EntryBlock]) -> bool:
    """Return whether a timeline leaves anything to the day."""
    return any(block.chance is not None or block.to_s is not None for block in blocks)
