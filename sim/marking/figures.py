"""How a figure is spoken of."""

import math
import re
from collections.abc import Mapping

WHOLE = ("min", "s", "°", "deg", "degrees", "Grad", "%", "rpm", "U/min")  # nobody says half of one of these
_GAP = re.compile(r"\{(\w+)\} ?(min\b|s\b|°|degrees\b|Grad\b|%|rpm\b|U/min\b)?")


def figure(value: float) -> str:
    """Return a value as it is spoken of: two figures where it is small, whole where it is large.

    >>> figure(0.914), figure(3.0), figure(47.3), figure(-0.26)
    ('0.91', '3', '47', '−0.26')
    """
    size = abs(value)
    text = f"{value:.0f}" if size >= 20.0 else f"{value:.1f}" if size >= 2.0 else f"{value:.2f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text.replace("-", "−")


def measured(value: float, unit: str) -> str:
    """Return a value as it is spoken of in its unit: whole minutes, seconds, degrees and per cent.

    A part of a minute counts as one.

    >>> measured(0.63, "min"), measured(14.3, "%"), measured(0.63, "m"), measured(-3.4, "deg")
    ('1', '14', '0.63', '−3')
    """
    if unit not in WHOLE or not math.isfinite(value):
        return figure(value)
    return "1" if unit == "min" and 0.0 < value < 1.0 else figure(round(value))


def filled(text: str, values: Mapping[str, float]) -> str:
    """Return a sentence with its figures filled in, each as its unit behind it is spoken of.

    >>> filled("{wait} s and {drift} m", {"wait": 8.4, "drift": 8.4})
    '8 s and 8.4 m'
    """
    units: dict[str, str] = dict(_GAP.findall(text))
    return text.format(**{name: measured(value, units.get(name, "")) for name, value in values.items()})
