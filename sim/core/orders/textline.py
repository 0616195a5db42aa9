"""Commands and events as one text line each way."""

import dataclasses
import json
import re
from typing import Any, TypeVar

T = TypeVar("T")


def snake(name: str) -> str:
    """Return ``MarkAnchor`` as ``mark_anchor``.

    >>> snake("MarkAnchor")
    'mark_anchor'
    """
    return re.sub(r"(?<!^)(?=[A-Z])", "_", name).lower()


def registry(base: type[T]) -> dict[str, type[T]]:
    """Return every direct subclass of ``base`` by its name on paper."""
    return {snake(kind.__name__): kind for kind in base.__subclasses__()}


def to_dict(item: Any, key: str) -> dict[str, Any]:
    """Return a frozen dataclass as plain data, its kind under ``key``; fields at their default are left out."""
    out: dict[str, Any] = {key: snake(type(item).__name__)}
    for f in dataclasses.fields(item):
        value = getattr(item, f.name)
        if value != f.default:
            out[f.name] = value
    return out


def to_line(item: Any, key: str) -> str:
    """Return the text line of a command or an event."""
    return json.dumps(to_dict(item, key), separators=(",", ":"), ensure_ascii=False)


def from_dict(kinds: dict[str, type[T]], key: str, data: dict[str, Any]) -> T:
    """Return the command or event that ``data`` describes.

    Raises:
        ValueError: for an unknown kind or a field that the kind does not have.
    """
    fields = dict(data)
    name = fields.pop(key, None)
    if name not in kinds:
        raise ValueError(f"unknown {key} {name!r}")
    kind = kinds[name]
    known = {f.name for f in dataclasses.fields(kind)}  # type: ignore[arg-type]
    unknown = sorted(set(fields) - known)
    if unknown:
        raise ValueError(f"{name} has no field {unknown[0]!r}")
    try:
        return kind(**fields)
    except TypeError as missing:
        raise ValueError(f"{name}: {missing}") from None
