"""Changing numbers in a file's own text, so that everything else in it, comments too, stays as it was written."""

import re
from collections.abc import Mapping, Sequence

from sim.scenario.read.load import Document, KeyPath

_VALUE = r"(?P<head>\b{key}:\s*)(?P<old>[^,#}}\n]*[^,#}}\s])"


def with_values(
    document: Document, values: Mapping[KeyPath, float | str], note: str, header: Sequence[str] = ()
) -> str:
    """Return a document's text with new values, each changed line saying what stood there, under a header of comments.

    Args:
        document: a file as read.
        values: by key; a key the file leaves out is put into its block, which must be there.
        note: why, as in "note, was 0.65".
        header: comment lines without their sign.
    """
    rows = document.raw.decode("utf-8-sig").split("\n")
    told: dict[int, list[str]] = {}
    added: list[tuple[int, str]] = []
    for path, value in values.items():
        text = f"{value:.4g}" if isinstance(value, float) else value
        if path not in document.lines:
            added.append((document.line(path[:-1]), f"{path[-1]}: {text}"))
            continue
        at = document.lines[path] - 1
        rows[at], was = _replaced(rows[at], str(path[-1]), text, _same_before(document, path))
        told.setdefault(at, []).append(was)
    for at, olds in told.items():
        rows[at] += f"{';' if ' #' in rows[at] else ' #'} {note}, was {' and '.join(dict.fromkeys(olds))}"
    for line, entry in sorted(added, reverse=True):
        _put_in(rows, line, entry, note)
    return "\n".join([*(f"# {line}" for line in header), *rows])


def _same_before(document: Document, path: KeyPath) -> int:
    """Return how many keys of the same name stand on the same line before this one."""
    same = [p for p, line in document.lines.items() if line == document.lines[path] and p[-1] == path[-1]]
    return same.index(path)


def _replaced(row: str, key: str, text: str, skip: int) -> tuple[str, str]:
    found = list(re.finditer(_VALUE.format(key=re.escape(key)), row))[skip]
    return row[: found.start("old")] + text + row[found.end("old") :], found["old"]


def _put_in(rows: list[str], line: int, entry: str, note: str) -> None:
    """Put an entry first into the block whose key stands on a line (counted from 1)."""
    if "{" in rows[line - 1]:
        rows[line - 1] = rows[line - 1].replace("{", "{ " + entry + ",", 1)
        return
    below = next(row for row in rows[line:] if row.strip() and not row.lstrip().startswith("#"))
    indent = " " * (len(below) - len(below.lstrip()))
    rows.insert(line, f"{indent}{entry} # {note}")
