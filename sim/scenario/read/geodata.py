"""Bays from open data: GeoJSON in WGS 84, points of depth as CSV, or a grid of depths as ESRI ASCII.

What comes out is a bay's file like any other, to be read and changed by hand. GeoJSON features say
what they are in their property ``kind``: shore, contour, sounding, bottom, zone, mark; their other properties are the
keys of a bay's file.
"""

import json
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from sim.base.arrays import FloatArray
from sim.base.errors import ScenarioError
from sim.scenario.read.projection import local_m

Place = tuple[float, float]  # longitude, latitude, as GeoJSON has it
MOST_SOUNDINGS, MOST_CORNERS = 600, 1200
CORNER_M = 1.0  # a corner that stands out by less is left out of a line that has too many
GEOMETRY = {
    "shore": "Polygon", "contour": "LineString", "sounding": "Point", "bottom": "Polygon", "zone": "Polygon",
    "mark": "Point",
}  # fmt: skip
KEYS = {
    "shore": ("name",), "contour": ("depth_m",), "sounding": ("depth_m",), "bottom": ("letters",),
    "zone": ("name", "rule"), "mark": ("name", "mark", "height_m"),
}  # fmt: skip


@dataclass(frozen=True)
class Feature:
    """One thing on a chart: its kind, its places and its properties; ``number`` counts from 1 in the source."""

    kind: str
    places: tuple[Place, ...]
    properties: dict[str, Any]
    number: int


@dataclass(frozen=True)
class Chart:
    """A chart as read, still in degrees."""

    title: str
    bottom: str
    features: tuple[Feature, ...]


@dataclass
class Bay:
    """A chart in metres about its middle, as the blocks of a bay's file."""

    title: str
    bottom: str
    middle: tuple[float, float]
    blocks: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    soundings: list[tuple[float, float, float]] = field(default_factory=list)


def read(path: Path, heights: bool = False) -> Chart:
    """Return the chart in a file, by its ending: ``.geojson`` or ``.json``, ``.csv``, ``.asc``.

    Args:
        path: the file.
        heights: figures of a grid or of points are heights above datum instead of depths below it.

    Raises:
        ScenarioError: when it cannot be read or is none of these.
    """
    readers: dict[str, Callable[[str, str, float], Chart]] = {
        ".geojson": _geojson, ".json": _geojson, ".csv": _csv, ".asc": _ascii_grid,
    }  # fmt: skip
    reader = readers.get(path.suffix.lower())
    if reader is None:
        raise ScenarioError(str(path), 0, "", "a file ending in .geojson, .csv or .asc", repr(path.suffix))
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as missing:
        raise ScenarioError(str(path), 0, "", "a file", (missing.strerror or "none").lower()) from None
    except UnicodeDecodeError:
        raise ScenarioError(str(path), 0, "", "UTF-8 text", "other bytes") from None
    return reader(text, str(path), -1.0 if heights else 1.0)


def _geojson(text: str, file: str, _sign: float) -> Chart:
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as broken:
        line = broken.lineno if isinstance(broken, json.JSONDecodeError) else 1
        raise ScenarioError(file, line, "", "JSON", "something else") from None
    if not isinstance(data, dict) or not isinstance(data.get("features"), list):
        raise ScenarioError(file, 1, "features", "a FeatureCollection", "none")
    features = tuple(_feature(one, number, file) for number, one in enumerate(data["features"], start=1))
    if not features:
        raise ScenarioError(file, 1, "features", "at least one", "none")
    return Chart(str(data.get("title", Path(file).stem)), str(data.get("bottom", "S")), features)


def _feature(one: Any, number: int, file: str) -> Feature:
    def wrong(key: str, expected: str, found: str) -> ScenarioError:
        return ScenarioError(file, 0, f"features[{number - 1}].{key}", expected, found)

    properties = one.get("properties") if isinstance(one, dict) else None
    geometry = one.get("geometry") if isinstance(one, dict) else None
    if not isinstance(properties, dict) or not isinstance(geometry, dict):
        raise wrong("properties", "a feature with properties and geometry", "none")
    kind = properties.get("kind")
    if kind not in GEOMETRY:
        raise wrong("properties.kind", "one of " + ", ".join(GEOMETRY), repr(kind))
    for key in KEYS[kind]:
        if key not in properties:
            raise wrong(f"properties.{key}", "a value", "nothing")
        if key.endswith("_m") and not _is_figure(properties[key]):
            raise wrong(f"properties.{key}", "a number", repr(properties[key]))
    if geometry.get("type") != GEOMETRY[kind]:
        raise wrong("geometry.type", GEOMETRY[kind], repr(geometry.get("type")))
    shape = geometry.get("coordinates")
    if kind in ("shore", "bottom", "zone"):
        if not isinstance(shape, list) or len(shape) != 1:
            raise wrong("geometry.coordinates", "one ring, without holes", "none or several")
        shape = shape[0][:-1] if isinstance(shape[0], list) and shape[0][:1] == shape[0][-1:] else shape[0]
    elif GEOMETRY[kind] == "Point":
        shape = [shape]
    places = tuple(_places(shape, wrong))
    least = {"Point": 1, "LineString": 2, "Polygon": 3}[GEOMETRY[kind]]
    if len(places) < least:
        raise wrong("geometry.coordinates", f"at least {least} places", str(len(places)))
    return Feature(str(kind), places, properties, number)


def _is_figure(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def _places(shape: Any, wrong: Callable[[str, str, str], ScenarioError]) -> Iterator[Place]:
    for pair in shape if isinstance(shape, list) else [None]:
        if not isinstance(pair, list) or len(pair) < 2 or not all(_is_figure(x) for x in pair[:2]):
            raise wrong("geometry.coordinates", "places as [longitude, latitude]", repr(pair)[:40])
        if not (-180.0 <= pair[0] <= 180.0 and -90.0 <= pair[1] <= 90.0):
            raise wrong("geometry.coordinates", "degrees, longitude first", repr(pair)[:40])
        yield float(pair[0]), float(pair[1])


def _csv(text: str, file: str, sign: float) -> Chart:
    rows = text.splitlines()
    head = [name.strip().lower() for name in rows[0].split(",")] if rows else []
    if not {"lat", "lon", "depth_m"} <= set(head):
        raise ScenarioError(
            file, 1, "", "a first line with lat, lon, depth_m", repr(rows[0][:40]) if rows else "nothing"
        )
    features = []
    for number, row in enumerate(rows[1:], start=2):
        if not row.strip():
            continue
        cells = dict(zip(head, row.split(","), strict=False))
        try:
            lat, lon, depth = (float(cells[key]) for key in ("lat", "lon", "depth_m"))
        except (KeyError, ValueError):
            raise ScenarioError(file, number, "", "three numbers", repr(row[:40])) from None
        if not (abs(lat) <= 90.0 and abs(lon) <= 180.0 and math.isfinite(depth)):
            raise ScenarioError(file, number, "", "degrees and a depth", repr(row[:40]))
        features.append(Feature("sounding", ((lon, lat),), {"depth_m": sign * depth}, number))
    if len(features) < 3:
        raise ScenarioError(file, len(rows), "", "at least three soundings", str(len(features)))
    return Chart(Path(file).stem, "S", tuple(features))


def _ascii_grid(text: str, file: str, sign: float) -> Chart:
    rows = text.splitlines()
    head: dict[str, float] = {}
    for number, row in enumerate(rows[:6], start=1):
        parts = row.split()
        try:
            head[parts[0].lower()] = float(parts[1])
        except (IndexError, ValueError):
            raise ScenarioError(
                file, number, "", "a line of the grid's head, such as ncols 40", repr(row[:40])
            ) from None
    for key in ("ncols", "nrows", "xllcorner", "yllcorner", "cellsize", "nodata_value"):
        if key not in head:
            raise ScenarioError(file, 1, key, "a value", "nothing")
    try:
        figures = np.array([[float(x) for x in row.split()] for row in rows[6:] if row.strip()])
    except ValueError:
        raise ScenarioError(file, 7, "", "rows of numbers, all alike long", "something else") from None
    if figures.shape != (int(head["nrows"]), int(head["ncols"])) or min(figures.shape) < 3:
        raise ScenarioError(file, 7, "", f"{head['nrows']:.0f} rows of {head['ncols']:.0f}", f"{figures.shape}")
    return Chart(Path(file).stem, "S", tuple(_cells(figures, head, sign)))


def _cells(figures: FloatArray, head: dict[str, float], sign: float) -> Iterator[Feature]:
    """Yield a sounding for every cell that is kept: every cell of a small grid, every n-th of a large one."""
    size = head["cellsize"]
    step = max(1, math.ceil(math.sqrt(figures.size / MOST_SOUNDINGS)))
    for i in range(step // 2, figures.shape[0], step):
        for j in range(step // 2, figures.shape[1], step):
            if figures[i, j] != head["nodata_value"] and math.isfinite(figures[i, j]):
                place = (
                    head["xllcorner"] + (j + 0.5) * size,
                    head["yllcorner"] + (figures.shape[0] - i - 0.5) * size,
                )
                yield Feature("sounding", (place,), {"depth_m": sign * float(figures[i, j])}, i + 7)


def project(chart: Chart, title: str | None = None) -> Bay:
    """Return a chart in metres about the middle of all its places."""
    places = np.array([place for one in chart.features for place in one.places])
    west, south = places.min(axis=0)
    east, north = places.max(axis=0)
    middle = (float(0.5 * (south + north)), float(0.5 * (west + east)))
    bay = Bay(title or chart.title, chart.bottom, middle)
    for one in chart.features:
        points = [local_m(lat, lon, middle) for lon, lat in one.places]
        p = one.properties
        if one.kind == "sounding":
            bay.soundings.append((*points[0], float(p["depth_m"])))
        elif one.kind == "mark":
            mark = {"name": p["name"], "kind": p["mark"], "north_m": points[0][0], "east_m": points[0][1]}
            bay.blocks.setdefault("marks", []).append({**mark, "height_m": float(p["height_m"])})
        elif one.kind == "contour":
            block = {"depth_m": float(p["depth_m"]), "line": _thinned(points)}
            bay.blocks.setdefault("contours", []).append(block)
        else:
            folder = {"shore": "shores", "bottom": "patches", "zone": "zones"}[one.kind]
            named = {key: p[key] for key in KEYS[one.kind]}
            bay.blocks.setdefault(folder, []).append({**named, "polygon": _thinned(points)})
    return bay


def _thinned(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return a line's corners, those that hardly stand out left aside where there are too many."""
    line, tolerance = np.array(points), CORNER_M
    while len(line) > MOST_CORNERS:
        line, tolerance = line[_kept(line, tolerance)], 1.5 * tolerance
    return [(float(n), float(e)) for n, e in line]


def _kept(line: FloatArray, tolerance_m: float) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return which corners of a line stay, by the rule of Douglas and Peucker."""
    keep = np.zeros(len(line), dtype=bool)
    keep[[0, -1]] = True
    spans = [(0, len(line) - 1)]
    while spans:
        a, b = spans.pop()
        if b - a < 2:
            continue
        side = line[b] - line[a]
        off = line[a + 1 : b] - line[a]
        length = float(np.hypot(*side))
        away = np.abs(off[:, 0] * side[1] - off[:, 1] * side[0]) / length if length > 0.0 else np.hypot(*off.T)
        k = int(np.argmax(away))
        if away[k] > tolerance_m:
            keep[a + 1 + k] = True
            spans += [(a, a + 1 + k), (a + 1 + k, b)]
    return keep
