"""A bay written as the text of its file, to be read and changed by hand."""

import json
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from sim.scenario.read.geodata import Bay

WIDTH = 116
CELLS = 200  # about so many across the longer side of the raster


def _figure(value: float) -> str:
    text = f"{value:.1f}"
    return text.removesuffix(".0") if text != "-0.0" else "0"


def _rows(points: Iterable[Sequence[float]], indent: str) -> list[str]:
    """Return points in brackets, as many on a line as fit."""
    out, line = [], ""
    for point in points:
        item = "[" + ", ".join(_figure(x) for x in point) + "], "
        if len(indent + line + item) > WIDTH:
            out.append(indent + line.rstrip())
            line = ""
        line += item
    return [*out, indent + line.rstrip()]


def _words(value: Any) -> str:
    """Return a value as YAML takes it: figures as they are, words in quotes."""
    return _figure(value) if isinstance(value, int | float) else json.dumps(str(value), ensure_ascii=False)


def write(bay: Bay, source: str) -> str:
    """Return the text of the file of ``bay``; ``source`` names where it came from."""
    shapes = [b.get("polygon") or b.get("line") or [] for blocks in bay.blocks.values() for b in blocks]
    points = np.array([p for shape in shapes for p in shape] + [s[:2] for s in bay.soundings])
    south, west = np.floor(points.min(axis=0)).astype(int)
    north, east = np.ceil(points.max(axis=0)).astype(int)
    cell = min(max(round(max(north - south, east - west) / CELLS), 2), 20)
    out = [
        f"# Made from {source}; the middle lies in {bay.middle[0]:.6f} north, {bay.middle[1]:.6f} east (WGS 84).",
        "# Depths are below chart datum. Not for navigation.",
        "format: 1",
        f"title: {_words(bay.title)}",
        f"extent: {{ south_m: {south}, north_m: {north}, west_m: {west}, east_m: {east} }}",
        f"cell_m: {cell}",
    ]
    for key in ("shores", "contours"):
        out += _shapes(key, bay.blocks.get(key, []))
    out += ["soundings: [", *_rows(bay.soundings, "  "), "]", f"bottom: {_words(bay.bottom)}"]
    for key in ("patches", "zones"):
        out += _shapes(key, bay.blocks.get(key, []))
    if bay.blocks.get("marks"):
        out.append("marks:")
        for mark in bay.blocks["marks"]:
            out.append("  - { " + ", ".join(f"{key}: {_words(value)}" for key, value in mark.items()) + " }")
    return "\n".join(out) + "\n"


def _shapes(key: str, blocks: list[dict[str, Any]]) -> list[str]:
    out = [f"{key}:"] if blocks else []
    for block in blocks:
        lead = "  - "
        for name, value in block.items():
            if isinstance(value, list):
                out += [f"    {name}: [", *_rows(value, "      "), "    ]"]
            else:
                out.append(f"{lead}{name}: {_words(value)}")
                lead = "    "
    return out
