"""Reading YAML: plain data with the line of every key, and one clear error for whatever is wrong.

The only place that knows YAML. The text is read as events and built here, so that nothing but numbers, words, lists and
blocks can come out of a file, whoever wrote it: no aliases, no tags, no deep nesting, no repeated keys. Scalars follow
the core schema of YAML 1.2 (``on`` and ``no`` are words, ``12:30`` is not a number).
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import yaml
from pydantic import BaseModel, ValidationError

from sim.base.errors import ScenarioError, together
from sim.scenario.read import slips

MAX_BYTES = 1_000_000
MAX_DEPTH = 20
MAX_VALUES = 50_000  # the largest bay has a few thousand

KeyPath = tuple[str | int, ...]
M = TypeVar("M", bound=BaseModel)

_INT = re.compile(r"[-+]?[0-9]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_WORDS: dict[str, bool | None] = {
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
    **dict.fromkeys(("null", "Null", "NULL", "~", ""), None),
}
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Document:
    """A file's data and where each of its keys stands.

    Attributes:
        file: the path, as given.
        data: the root block.
        lines: 1-based line of every key and list entry.
        raw: the file's bytes.
    """

    file: str
    data: dict[str, Any]
    lines: dict[KeyPath, int]
    raw: bytes

    def line(self, path: KeyPath) -> int:
        """Return the line of ``path``, or of its nearest parent that stands in the file."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)

    def error(self, path: KeyPath, expected: str, found: str, hint: str = "") -> ScenarioError:
        """Return the error that says what should have stood at ``path``."""
        return ScenarioError(self.file, self.line(path), slips.dotted(path), expected, found, hint)


def dotted(path: KeyPath) -> str:
    """Return a key path as it is told to a person: ``neighbours[2].rode``."""
    return slips.dotted(path)


def read(path: Path | str) -> Document:
    """Return the document in a YAML file.

    Raises:
        ScenarioError: when it cannot be read, is no YAML, or is not one block of keys.
    """
    file = str(path)
    try:
        with Path(path).open("rb") as stream:
            raw = stream.read(MAX_BYTES + 1)
    except OSError as missing:
        raise ScenarioError(file, 0, "", "a file", (missing.strerror or "none").lower()) from None
    return parse(raw, file)


def parse(raw: bytes, file: str) -> Document:
    """Return the document in the bytes of a file; ``file`` names it in errors.

    Raises:
        ScenarioError: when it is no YAML, or is not one block of keys.
    """
    text = _text(raw, file)
    for number, row in enumerate(text.split("\n"), start=1):
        if re.match(r" *\t", row):
            raise ScenarioError(file, number, "", "spaces before the key", "a tab")
    builder = _Builder(file, yaml.parse(text, Loader=_LOADER))
    try:
        data = builder.document()
    except yaml.MarkedYAMLError as broken:
        line = broken.problem_mark.line + 1 if broken.problem_mark else 0
        raise ScenarioError(file, line, "", "YAML", broken.problem or "something else") from None
    except yaml.reader.ReaderError as broken:
        line = text[: broken.position].count("\n") + 1
        raise ScenarioError(file, line, "", "YAML text", "characters that YAML does not allow") from None
    if not isinstance(data, dict):
        found = "an empty file" if data is None else slips.shown(data)
        raise ScenarioError(file, 1, "", "a block of keys", found)
    return Document(file, data, builder.lines, raw)


def validate(model: type[M], document: Document) -> M:
    """Return the model that a document describes.

    Raises:
        ScenarioError: for the first thing, by line, that does not fit; the others come with it.
    """
    try:
        return model.model_validate(document.data)
    except ValidationError as invalid:
        found = slips.every(model, document.data, invalid, document.line)
        raise together([document.error(s.path, s.expected, s.found, s.hint) for s in found]) from None


def misfit(model: type[BaseModel], data: dict[str, Any], document: Document) -> slips.Slip | None:
    """Return the first thing in ``data``, a changed copy of a document's, that does not fit, None where all does."""
    try:
        model.model_validate(data)
    except ValidationError as invalid:
        return slips.every(model, data, invalid, document.line)[0]
    return None


def _text(raw: bytes, file: str) -> str:
    if len(raw) > MAX_BYTES:
        raise ScenarioError(file, 0, "", "a file of at most 1 MB", "a larger one")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        line = raw[: wrong.start].count(b"\n") + 1
        raise ScenarioError(file, line, "", "UTF-8 text", "other bytes") from None


class _Builder:
    """Plain data out of a stream of YAML events."""

    def __init__(self, file: str, events: Iterator[Any]) -> None:
        self.file = file
        self.events = events
        self.lines: dict[KeyPath, int] = {}
        self.values = 0

    def document(self) -> Any:
        """Return the data of the only document, None where there is none."""
        data = None
        seen = False
        for event in self.events:
            if isinstance(event, yaml.DocumentStartEvent):
                if seen:
                    raise self._refuse(event, (), "one document", "a second one")
                seen = True
                data = self._value(next(self.events), ())
        return data

    def _refuse(self, event: Any, path: KeyPath, expected: str, found: str) -> ScenarioError:
        return ScenarioError(self.file, _line(event), slips.dotted(path), expected, found)

    def _check(self, event: Any, path: KeyPath) -> None:
        if isinstance(event, yaml.AliasEvent) or event.anchor is not None:
            raise self._refuse(event, path, "plain values", "an alias or anchor (& or *)")
        if event.tag is not None and event.tag != "!":
            raise self._refuse(event, path, "plain values", f"the tag {event.tag}")

    def _value(self, event: Any, path: KeyPath) -> Any:
        self._check(event, path)
        self.values += 1
        if self.values > MAX_VALUES:
            raise self._refuse(event, path[:1], f"at most {MAX_VALUES} values in a file", "more")
        if len(path) > MAX_DEPTH:
            raise self._refuse(event, path[:3], f"at most {MAX_DEPTH} levels", "deeper nesting")
        if isinstance(event, yaml.ScalarEvent):
            return _scalar(event.value) if event.implicit[0] else event.value
        if isinstance(event, yaml.SequenceStartEvent):
            return self._list(path)
        return self._block(path)

    def _list(self, path: KeyPath) -> list[Any]:
        items: list[Any] = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            here = (*path, len(items))
            self.lines[here] = _line(event)
            items.append(self._value(event, here))
        return items

    def _block(self, path: KeyPath) -> dict[str, Any]:
        block: dict[str, Any] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            self._check(event, path)
            if not isinstance(event, yaml.ScalarEvent):
                raise self._refuse(event, path, "a word as key", "a list or block")
            key = event.value
            here = (*path, key)
            if key in block:
                raise self._refuse(event, here, "each key once", f"it again (first on line {self.lines[here]})")
            self.lines[here] = _line(event)
            block[key] = self._value(next(self.events), here)
        return block


def _line(event: Any) -> int:
    return int(event.start_mark.line) + 1


def _scalar(text: str) -> Any:
    if text in _WORDS:
        return _WORDS[text]
    if _INT.fullmatch(text) and len(text) < 20:
        return int(text)
    if _FLOAT.fullmatch(text):
        return float(text)
    return text
