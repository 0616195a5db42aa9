"""What went wrong in a file, in plain words, and the slip that was probably made."""

import copy
import difflib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

KeyPath = tuple[str | int, ...]

_PLAIN = {
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "string_type": "words",
    "bool_type": "true or false",
    "tuple_type": "a list",
    "list_type": "a list",
    "dict_type": "a block of keys",
    "model_type": "a block of keys",
    "finite_number": "a finite number",
}
_BOUNDS = {"greater_than_equal": "ge", "greater_than": "gt", "less_than_equal": "le", "less_than": "lt"}
_BOUND_WORDS = {"ge": "at least", "gt": "more than", "le": "at most", "lt": "less than"}
_FACTORS = (0.1, 10.0, 0.01, 0.001)  # a point in the wrong place, per cent, millimetres
_MANY = 8
MOST = 20  # told at once; who has more has another problem


@dataclass(frozen=True)
class Slip:
    """One thing that does not fit, at a path in a document."""

    path: KeyPath
    expected: str
    found: str
    hint: str


def dotted(path: Iterable[str | int]) -> str:
    """Return ``("boats", 2, "rode")`` as ``boats[2].rode``; entries are counted from 0.

    >>> dotted(("boats", 2, "rode"))
    'boats[2].rode'
    """
    out = ""
    for part in path:
        out += f"[{part}]" if isinstance(part, int) else f".{part}" if out else part
    return out


def shown(value: Any) -> str:
    """Return a value as a short phrase for an error."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a block of keys"
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}"
    text = repr(value)
    return text if len(text) <= 60 else text[:56] + "...'"


def near(word: str, known: Iterable[str], everyday: Mapping[str, str] | None = None) -> str:
    """Return "did you mean X?" for the known word nearest to ``word``, or nothing.

    What ``everyday`` says it means comes first; then a key with the right stem and the wrong unit; then likeness.

    >>> near("beginner", ["novice", "examiner"], {"beginner": "novice"})
    'did you mean novice?'
    """
    names = list(known)
    meant = (everyday or {}).get(word.strip().lower())
    if meant in names:
        return f"did you mean {meant}?"
    stem = word.rpartition("_")[0]
    same = [n for n in names if stem and n.rpartition("_")[0] == stem]
    likely = same or difflib.get_close_matches(word, names, n=1, cutoff=0.6)
    return f"did you mean {likely[0]}?" if likely else ""


def every(model: type[BaseModel], data: Any, invalid: ValidationError, line: Callable[[KeyPath], int]) -> list[Slip]:
    """Return what does not fit, by line, at most ``MOST``; a missing key is not told beside an unknown one."""
    found = [(_path(data, error), error) for error in invalid.errors(include_url=False)]
    odd = {path[:-1] for path, error in found if error["type"] == "extra_forbidden"}
    kept = [(p, e) for p, e in found if not (e["type"] == "missing" and p[:-1] in odd)]
    first: dict[KeyPath, ErrorDetails] = {}
    for path, error in sorted(kept, key=lambda pair: line(pair[0])):
        first.setdefault(path, error)  # each alternative of a key that has several tells its own story: one is enough
    return [_slip(model, data, path, error) for path, error in list(first.items())[:MOST]]


def _path(data: Any, error: ErrorDetails) -> KeyPath:
    """Return where an error stands in the data: its place without the names of alternatives tried."""
    path: list[str | int] = []
    here = data
    for part in error["loc"]:
        if _has(here, part):
            here = here[part]
        elif error["type"] != "missing" or part != error["loc"][-1]:
            continue
        path.append(part)
    return tuple(path)


def _has(here: Any, part: str | int) -> bool:
    if isinstance(here, list):
        return isinstance(part, int) and part < len(here)
    return isinstance(here, dict) and part in here


def _slip(model: type[BaseModel], data: Any, path: KeyPath, error: ErrorDetails) -> Slip:
    kind = error["type"]
    context: Mapping[str, Any] = error.get("ctx", {})
    value = error["input"]
    if kind == "extra_forbidden":
        known = [k for k in _keys(model, path[:-1]) if k not in _get(data, path[:-1])]
        expected = "one of " + ", ".join(known) if 0 < len(known) <= _MANY else "a key of the format"
        return Slip(path, expected, "an unknown key", near(str(path[-1]), known))
    if kind == "missing":
        return Slip(path, "this key" if isinstance(path[-1], str) else "one entry more", "none", "")
    if kind in _BOUNDS:
        bound = context[_BOUNDS[kind]]
        return Slip(
            path, f"{_BOUND_WORDS[_BOUNDS[kind]]} {bound:g}", shown(value), _other_size(model, data, path, value)
        )
    if kind == "literal_error":
        options = str(context["expected"])
        names = [part.strip("' ") for part in options.replace(" or ", ", ").split(",")]
        expected = options if len(names) <= MOST else f"one of {len(names)} names, such as {names[0]}"
        return Slip(path, expected, shown(value), near(value, names) if isinstance(value, str) else "")
    if kind in ("too_short", "too_long"):
        count = context["min_length" if kind == "too_short" else "max_length"]
        most = "at least" if kind == "too_short" else "at most"
        return Slip(path, f"{most} {count} entries", f"{context['actual_length']}", "")
    if kind == "value_error":
        return Slip(path, str(context["error"]), shown(value), "")
    return Slip(path, _PLAIN.get(kind, error["msg"].lower()), shown(value), "")


def _other_size(model: type[BaseModel], data: Any, path: KeyPath, value: float) -> str:
    """Return the value with its point moved, where that would do."""
    for factor in _FACTORS:
        tried = copy.deepcopy(data)
        guess = float(f"{value * factor:.6g}")
        _get(tried, path[:-1])[path[-1]] = guess
        try:
            model.model_validate(tried)
        except ValidationError as still:
            if any(_path(tried, error) == path for error in still.errors(include_url=False)):
                continue
        return f"did you mean {guess:g}?"
    return ""


def _get(data: Any, path: KeyPath) -> Any:
    for part in path:
        data = data[part]
    return data


def _keys(model: type[BaseModel], path: KeyPath) -> list[str]:
    """Return the keys that a block at ``path`` may have."""
    blocks: list[type[BaseModel]] = [model]
    for part in path:
        fields = [block.model_fields[part] for block in blocks if part in block.model_fields]
        # An entry of a list, or a name in a block of like things, leads no deeper into the model.
        blocks = [inner for field in fields for inner in _models(field.annotation)] or blocks
    return [key for block in blocks for key in block.model_fields]


def _models(annotation: Any) -> list[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for inner in get_args(annotation) for model in _models(inner)]
