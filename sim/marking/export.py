"""A run for other programs: its measures as CSV, its track as GPX 1.1.

Bays are invented, so the track is placed about a point in the open ocean, where nobody takes it for a chart.
"""

import csv
import io
import math
from collections.abc import Mapping
from datetime import datetime, timedelta, timezone
from typing import Any
from xml.sax.saxutils import escape

from sim.record.track import Track

ORIGIN_DEG = (-40.0, -120.0)  # south Pacific, a thousand miles from anywhere
EVERY = 5  # fast samples between points: one a second
COLUMNS = ("phase", "measure", "value", "unit", "full", "half", "zero", "points", "of", "from_s", "to_s", "note")
# WGS 84
_A_M, _E2 = 6378137.0, 0.00669437999014


def measures_csv(result: Mapping[str, Any]) -> str:
    """Return a line for each measure of a result, thresholds of a band as "least..most"."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for phase in result["phases"]:
        for m in phase["measures"]:
            cells = {**m, "phase": phase["code"], "measure": m["name"]}
            writer.writerow([_cell(cells[name]) for name in COLUMNS])
    return out.getvalue()


def _cell(value: object) -> object:
    return "..".join(f"{v:g}" for v in value) if isinstance(value, list | tuple) else "" if value is None else value


def position_deg(north_m: float, east_m: float) -> tuple[float, float]:
    """Return (latitude, longitude) in degrees of a place in a bay, good to a centimetre within a few kilometres.

    Radii of curvature of the WGS 84 ellipsoid, at the latitude half way.
    """
    lat0, lon0 = math.radians(ORIGIN_DEG[0]), math.radians(ORIGIN_DEG[1])
    lat = lat0
    for _ in range(3):
        root = 1.0 - _E2 * math.sin(0.5 * (lat0 + lat)) ** 2
        lat = lat0 + north_m * root**1.5 / (_A_M * (1.0 - _E2))
    across_m = _A_M / math.sqrt(1.0 - _E2 * math.sin(lat) ** 2) * math.cos(lat)
    return math.degrees(lat), math.degrees(lon0 + east_m / across_m)


def track_gpx(track: Track, name: str, started_s: float | None = None) -> str:
    """Return the boat's track once a second as GPX 1.1, with her anchor where it first lay as a waypoint.

    Args:
        track: of the run.
        name: of the run.
        started_s: wall-clock seconds since 1970 at the start; 0 where nobody knows.
    """
    began = datetime.fromtimestamp(started_s or 0.0, tz=timezone.utc)
    parts = ['<?xml version="1.0" encoding="UTF-8"?>']
    parts.append('<gpx version="1.1" creator="Windrode" xmlns="http://www.topografix.com/GPX/1/1">')
    parts.append(f"<metadata><name>{escape(name)}</name><desc>Invented place; not for navigation.</desc></metadata>")
    laid = (track["anchor_n_m"] == track["anchor_n_m"]).nonzero()[0]  # NaN is not itself
    if laid.size:
        lat, lon = position_deg(float(track["anchor_n_m"][laid[0]]), float(track["anchor_e_m"][laid[0]]))
        parts.append(f'<wpt lat="{lat:.8f}" lon="{lon:.8f}"><name>anchor</name></wpt>')
    parts.append(f"<trk><name>{escape(name)}</name><trkseg>")
    for north, east, t_s in zip(
        track["north_m"][::EVERY], track["east_m"][::EVERY], track["t_s"][::EVERY], strict=True
    ):
        lat, lon = position_deg(float(north), float(east))
        when = (began + timedelta(seconds=float(t_s))).strftime("%Y-%m-%dT%H:%M:%SZ")
        parts.append(f'<trkpt lat="{lat:.8f}" lon="{lon:.8f}"><time>{when}</time></trkpt>')
    parts.append("</trkseg></trk></gpx>\n")
    return "\n".join(parts)
