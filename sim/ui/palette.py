"""The two inks and what they are printed on, by day and by night."""

from dataclasses import dataclass
from typing import Literal

Ink = Literal[
    "paper", "panel", "ink", "second", "hot", "casing", "drying", "rule", "carve",
    "band0", "band1", "band2", "band3", "band4", "band5", "rail", "rail_text", "rail_dim", "wash", "hill", "ripple",
]  # fmt: skip
Colour = tuple[int, int, int]


@dataclass(frozen=True)
class Palette:
    """Colours by what they are for.

    Ink for the world; the hot ink only for what is yours or needs action. More water is more ink.
    """

    name: str
    colours: dict[Ink, Colour]

    def __getitem__(self, ink: Ink) -> Colour:
        """Return the colour of an ink."""
        return self.colours[ink]


def _hex(code: str) -> Colour:
    return int(code[0:2], 16), int(code[2:4], 16), int(code[4:6], 16)


def _palette(name: str, **codes: str) -> Palette:
    return Palette(name, {ink: _hex(code) for ink, code in codes.items()})  # type: ignore[misc]


DAY = _palette(
    "day",
    paper="F5EFE0", panel="FBF7EC", ink="10303F", second="4F6670", hot="B33A10", casing="FBF7EC", drying="D9C58C",
    rule="D8CDB0", carve="6F8C93",
    band0="F3EDDA", band1="E6EADD", band2="D3E2DC", band3="BED7D6", band4="A9CACE", band5="94BCC4",
    rail="10303F", rail_text="FBF7EC", rail_dim="5F7C86", wash="FBF7EC", hill="9DB3B5", ripple="7FA6B2",
)  # fmt: skip
NIGHT = _palette(
    "night",
    paper="0B1418", panel="101C22", ink="D9C9A3", second="8E9A92", hot="F08A4B", casing="0B1418", drying="3A3524",
    rule="2A3B42", carve="26363C",
    band0="0D181D", band1="0F1F26", band2="12272F", band3="153039", band4="183A45", band5="1B4552",
    rail="101C22", rail_text="D9C9A3", rail_dim="56635F", wash="2E525C", hill="1C2B31", ripple="2C5A67",
)  # fmt: skip
BANDS: tuple[Ink, ...] = ("band0", "band1", "band2", "band3", "band4", "band5")


def land(palette: Palette) -> Colour:
    """Return the colour of land: a solid block of ink by day, nearly black by night."""
    return palette["ink"] if palette.name == "day" else (5, 9, 11)
