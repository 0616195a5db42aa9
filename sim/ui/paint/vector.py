"""The program's vector pictures as pixels, without a window: shapes by pygame's reader, words by the window's fonts.

Only what ``sim.pages.svg`` writes is understood: shapes, and lines of text with or without a casing.
"""

import io
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree as Xml

import pygame

from sim.ui.paint.fonts import font

SPACE = "{http://www.w3.org/2000/svg}"
Xml.register_namespace("", SPACE[1:-1])
SHARP = 2  # pixels for a unit of the picture
SHIFTS = {"start": 0.0, "middle": 0.5, "end": 1.0}


def write_png(picture: str, path: Path) -> None:
    """Write a picture, given as SVG, to a PNG file of twice its units."""
    pygame.image.save(drawn(picture), str(path))


def drawn(picture: str) -> pygame.Surface:
    """Return a picture, given as SVG, as pixels, two to a unit each way."""
    root = Xml.fromstring(picture)
    wide, tall = (float(part) for part in root.attrib["viewBox"].split()[2:])
    size = (round(SHARP * wide), round(SHARP * tall))
    sheet = pygame.Surface(size)
    sheet.fill("white")
    for shapes, words in _layers(root):
        if shapes:
            text = f'<svg width="{size[0]}" height="{size[1]}" viewBox="0 0 {wide} {tall}">'
            text += "".join(Xml.tostring(shape, encoding="unicode") for shape in shapes) + "</svg>"
            sheet.blit(pygame.image.load(io.BytesIO(text.encode()), "layer.svg"), (0, 0))
        for line in words:
            _say(sheet, line)
    return sheet


def _layers(root: Xml.Element) -> Iterator[tuple[list[Xml.Element], list[Xml.Element]]]:
    """Yield (shapes, lines of text) from below upwards; a panel (a rectangle) covers what was drawn before it."""
    shapes: list[Xml.Element] = []
    words: list[Xml.Element] = []
    clips = {id(one) for clip in root.iter(f"{SPACE}clipPath") for one in clip.iter()}
    for one in root.iter():
        kind = one.tag.removeprefix(SPACE)
        if id(one) in clips or kind not in ("rect", "path", "circle", "text"):
            continue
        if kind == "rect" and (shapes or words):
            yield shapes, words
            shapes, words = [], []
        (words if kind == "text" else shapes).append(one)
    yield shapes, words


def _say(sheet: pygame.Surface, line: Xml.Element) -> None:
    """Draw one line of text where its element says."""
    a = line.attrib
    face = font("strong" if a.get("font-weight") == "700" else "text", round(SHARP * float(a["font-size"])))
    text = line.text or ""
    x = SHARP * float(a["x"]) - SHIFTS[a["text-anchor"]] * face.size(text)[0]
    y = SHARP * float(a["y"]) - face.get_ascent()
    if "stroke" in a:
        casing = face.render(text, True, a["stroke"])
        reach = round(0.5 * SHARP * float(a["stroke-width"]))
        for dx in range(-reach, reach + 1):
            for dy in range(-reach, reach + 1):
                if dx * dx + dy * dy <= reach * reach:
                    sheet.blit(casing, (x + dx, y + dy))
    sheet.blit(face.render(text, True, a["fill"]), (x, y))
