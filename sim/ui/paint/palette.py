"""The two inks and what they are printed on, by day and by night."""

from dataclasses import dataclass
from typing import Literal

Ink = Literal[
    "paper", "panel", "ink", "second", "hot", "casing", "drying", "rule", "carve",
    "band0", "band1", "band2", "band3", "band4", "band5", "rail", "rail_text", "rail_dim", "wash", "hill", "ripple",
    "paw", "lamp", "inland",
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
    paw="2F6476", lamp="B33A10", inland="FBF7EC",
)  # fmt: skip
NIGHT = _palette(
    "night",
    paper="0B1418", panel="101C22", ink="D9C9A3", second="8E9A92", hot="F08A4B", casing="0B1418", drying="3A3524",
    rule="2A3B42", carve="26363C",
    band0="0D181D", band1="0F1F26", band2="12272F", band3="153039", band4="183A45", band5="1B4552",
    rail="101C22", rail_text="D9C9A3", rail_dim="56635F", wash="2E525C", hill="1C2B31", ripple="2C5A67",
    paw="04090C", lamp="FFE9B0", inland="A3A08C",
)  # fmt: skip
BANDS: tuple[Ink, ...] = ("band0", "band1", "band2", "band3", "band4", "band5")


def land(palette: Palette) -> Colour:
    """Return the colour of land: a solid block of ink by day, nearly black by night."""
    return LAND_NIGHT if palette.name.startswith("night") else palette["ink"]


LAND_NIGHT: Colour = (5, 9, 11)
TEXT: tuple[Ink, ...] = ("ink", "second", "hot", "rail_text", "inland")
STEPS = 8  # of dusk and dawn
DUSKY, DAWNING = 0.6, 0.25  # how far paper goes over to the other side half way (judgement)
PAPERS: tuple[Ink, ...] = (
    "paper", "panel", "casing", "drying", "rule", "carve", "hill", "ripple", "paw", "wash", *BANDS,
)  # fmt: skip
READABLE = 4.5  # the contrast WCAG 2 asks of text


def luminance(colour: Colour) -> float:
    """Return the relative luminance of a colour, 0 to 1.

    Source: WCAG 2, definition of relative luminance.
    """
    parts = [c / 255.0 for c in colour]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(a: Colour, b: Colour) -> float:
    """Return the contrast of two colours, 1 to 21.

    Source: WCAG 2, definition of contrast ratio.
    """
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


def night(brightness: float = 1.0) -> Palette:
    """Return the night's colours dimmed for eyes that have grown used to the dark; what is written stays readable.

    Args:
        brightness: 0.4 to 1.
    """
    if brightness >= 1.0:
        return NIGHT
    colours = {ink: _scaled(colour, brightness) for ink, colour in NIGHT.colours.items()}
    for ink in TEXT:
        share = brightness
        ground = colours["rail"] if ink == "rail_text" else LAND_NIGHT if ink == "inland" else colours["panel"]
        while contrast(colours[ink], ground) < READABLE:
            share += 0.02
            colours[ink] = _scaled(NIGHT[ink], share)
    return Palette(f"night-{brightness:.1f}", colours)


def twilight(darkness: float, brightness: float = 1.0) -> Palette:
    """Return the colours for a sky, by steps.

    What is written stays readable throughout: day's dark letters on ever darker paper until half way, from there on the
    night's light letters.

    Args:
        darkness: 0 by day to 1 by night.
        brightness: of the night's colours, 0.4 to 1.
    """
    step = round(min(max(darkness, 0.0), 1.0) * STEPS)
    if step == 0:
        return DAY
    dark = night(brightness)
    if step == STEPS:
        return dark
    share = step / STEPS
    by_day = share < 0.5
    base, other = (DAY, dark) if by_day else (dark, DAY)
    part = DUSKY * share if by_day else DAWNING * (1.0 - share)
    colours = dict(base.colours)
    for ink in PAPERS:
        colours[ink] = _mixed(base[ink], other[ink], part)
    for ink in ("ink", "second", "hot"):
        colours[ink] = _read_on(colours[ink], (colours["panel"], colours["casing"]), 0 if by_day else 255)
    name = f"dusk-{step}" if by_day else f"{dark.name}-{step}"
    if by_day:
        colours["rail"] = colours["ink"]
    return Palette(name, colours)


def _mixed(a: Colour, b: Colour, share: float) -> Colour:
    red, green, blue = (round(x + (y - x) * share) for x, y in zip(a, b, strict=True))
    return red, green, blue


def _read_on(colour: Colour, grounds: tuple[Colour, ...], towards: int) -> Colour:
    """Return a colour moved towards black or white until it can be read on every ground."""
    share, moved = 0.0, colour
    while share < 1.0 and min(contrast(moved, ground) for ground in grounds) < READABLE:
        share += 0.02
        moved = _mixed(colour, (towards, towards, towards), share)
    return moved


def _scaled(colour: Colour, share: float) -> Colour:
    red, green, blue = (min(round(c * share), 255) for c in colour)
    return red, green, blue
