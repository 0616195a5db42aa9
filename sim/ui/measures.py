"""Lengths as a person wants to read them: metres, feet, or fathoms for depth and cable with feet for the rest.

Everything within is metres; this is the only room in which that changes.
"""

import re
from typing import Literal, get_args

FOOT_M = 0.3048  # exactly: the international foot (NIST SP 811, appendix B.8)
FATHOM_M = 6.0 * FOOT_M  # six feet
Units = Literal["metres", "feet", "fathoms"]
UNITS: tuple[Units, ...] = get_args(Units)
Kind = Literal["depth", "cable", "distance"]

_PER: dict[str, float] = {"m": 1.0, "ft": FOOT_M, "fm": FATHOM_M}  # metres in each unit
_DEPTHS = ("depth_m", "rise_m", "fall_m", "draught_m", "height_m", "least_m", "most_m", "roller_m", "ukc_m")
_CABLE = (
    "out_m",
    "chain_m",
    "rope_m",
    "rode_m",
    "length_m",
    "lying_m",
    "rate_mpmin",
    "needed_m",
    "marks_m",
    "counter_m",
)
_PLACE = re.compile(r"\{(\w+_(?:m|mpmin))\} (?:m|metres|Meter)\b")
_NUMBER = r"\d+(?:\.\d+)?"
_BETWEEN = " to | bis | or | oder | and | und |–|-"
_PROSE = re.compile(rf"(?<![\w.])(?:({_NUMBER})({_BETWEEN}))?({_NUMBER}) (?:m|metres|Meter)\b(?!/)")


class Figure(float):
    """A length in metres that knows to how many decimals of a metre it is to be read."""

    digits = 0

    def __str__(self) -> str:
        """Return it in metres."""
        return f"{float(self):.{self.digits}f}"

    def __format__(self, spec: str) -> str:
        """Return it in metres, by its own decimals where no others are asked for."""
        return format(float(self), spec) if spec else str(self)


class Tenths(Figure):
    """A length to be read to a tenth of a metre."""

    digits = 1


def whole(length_m: float) -> Figure:
    """Return a length to be read to the metre."""
    return Figure(length_m)


def tenths(length_m: float) -> Figure:
    """Return a length to be read to a tenth of a metre."""
    return Tenths(length_m)


def kind_of(name: str) -> Kind:
    """Return what a value of that name measures."""
    return "depth" if name in _DEPTHS else "cable" if name in _CABLE else "distance"


def symbol(units: Units, kind: Kind) -> str:
    """Return the unit in which a kind of length is read: m, ft or fm."""
    if units == "metres":
        return "m"
    return "fm" if units == "fathoms" and kind != "distance" else "ft"


def per(units: Units, kind: Kind) -> float:
    """Return how many metres the unit has in which a kind of length is read."""
    return _PER[symbol(units, kind)]


def figure(units: Units, kind: Kind, length_m: float, digits: int) -> str:
    """Return a length's figure; metres and feet to ``digits`` decimals, fathoms to a tenth, which is under a foot."""
    decimals = 1 if symbol(units, kind) == "fm" else digits
    return f"{length_m / per(units, kind):.{decimals}f}"


def pattern(text: str) -> str:
    """Return a line of the catalogue without the unit behind each length: the figure brings its own."""
    return _PLACE.sub(r"{\1}", text)


def prose(text: str, units: Units, unit: str) -> str:
    """Return a ready sentence with its metres said in feet, to as many decimals; ``unit`` is the word for feet."""
    if units == "metres":
        return text

    def said(found: re.Match[str]) -> str:
        first, between, last = found.groups()
        lengths = [first, last] if first else [last]
        feet = [figure(units, "distance", float(one), len(one.partition(".")[2])) for one in lengths]
        return f"{(between or '').join(feet)} {unit}"

    return _PROSE.sub(said, text)
