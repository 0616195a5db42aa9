"""A few lines of vector drawing: what the debrief's pictures need, in the colours of the program's day look."""

from collections.abc import Iterable, Sequence
from html import escape

from sim.base.arrays import FloatArray

PAPER, PANEL, INK, SECOND, HOT = "#F5EFE0", "#FBF7EC", "#10303F", "#4F6670", "#B33A10"
DRYING, RULE = "#D9C58C", "#CFC6B0"
BANDS = ("#F3EDDA", "#E6EADD", "#D3E2DC", "#BED7D6", "#A9CACE", "#94BCC4")
BAND_FROM_M = (0.0, 2.0, 3.0, 5.0, 7.0, 9.0)

Points = FloatArray | Sequence[tuple[float, float]]


def number(value: float) -> str:
    """Return a coordinate to a tenth of a unit, short.

    >>> number(12.04), number(-0.0)
    ('12', '0')
    """
    text = f"{value:.1f}"
    text = text[:-2] if text.endswith(".0") else text
    return "0" if text == "-0" else text


def path_data(points: Points, closed: bool = False) -> str:
    """Return the ``d`` of a path through (x, y) points."""
    steps = [f"{number(float(x))} {number(float(y))}" for x, y in points]
    return "M" + "L".join(steps) + ("Z" if closed else "") if steps else ""


def tag(name: str, content: str = "", /, **attributes: object) -> str:
    """Return an element; ``stroke_width`` becomes ``stroke-width``, numbers are shortened, None is left out."""
    parts = [name]
    for key, value in attributes.items():
        if value is not None:
            text = number(value) if isinstance(value, float) else str(value)
            parts.append(f'{key.rstrip("_").replace("_", "-")}="{escape(text)}"')
    head = " ".join(parts)
    return f"<{head}>{content}</{name}>" if content else f"<{head}/>"


def line(points: Points, stroke: str = INK, width: float = 1.5, dash: str | None = None, **more: object) -> str:
    """Return an open line."""
    d = path_data(points)
    return tag("path", d=d, fill="none", stroke=stroke, stroke_width=width, stroke_dasharray=dash, **more)


def cased(points: Points, stroke: str, width: float, dash: str | None = None) -> str:
    """Return a line with a pale casing under it, so that it reads on any ground."""
    return line(points, PANEL, width + 2.5, stroke_linejoin="round") + line(
        points, stroke, width, dash, stroke_linejoin="round"
    )


def area(rings: Iterable[Points], fill: str, stroke: str | None = None, width: float = 1.0, **more: object) -> str:
    """Return closed rings filled as one area, rings within rings left open."""
    d = "".join(path_data(ring, closed=True) for ring in rings)
    if not d:
        return ""
    return tag(
        "path", d=d, fill=fill, fill_rule="evenodd", stroke=stroke, stroke_width=width if stroke else None, **more
    )


def circle(x: float, y: float, radius: float, fill: str = "none", stroke: str | None = INK, **more: object) -> str:
    """Return a circle."""
    return tag("circle", cx=x, cy=y, r=radius, fill=fill, stroke=stroke, **more)


def text(
    x: float, y: float, words: str, size: float = 13.0, fill: str = INK, anchor: str = "start", **more: object
) -> str:
    """Return words; a casing is drawn round them where ``halo=True``."""
    if more.pop("halo", False):
        more |= {"stroke": PANEL, "stroke_width": 3.0, "paint_order": "stroke", "stroke_linejoin": "round"}
    return tag("text", escape(words), x=x, y=y, font_size=size, fill=fill, text_anchor=anchor, **more)


def numbered(x: float, y: float, label: str, fill: str = INK) -> str:
    """Return a small disc with a figure in it."""
    disc = circle(x, y, 8.5, fill=fill, stroke=PANEL, stroke_width=1.5)
    return disc + text(x, y + 4.2, label, 12.0, PANEL, "middle", font_weight="700")


def picture(width: float, height: float, parts: Iterable[str], title: str, key: str) -> str:
    """Return the whole picture, clipped to its frame, with a title for those who cannot see it."""
    frame = tag("rect", width=width, height=height)
    clip = tag("clipPath", frame, id=f"clip-{key}")
    body = tag("g", "".join(parts), clip_path=f"url(#clip-{key})")
    edge = tag(
        "rect", x=0.75, y=0.75, width=width - 1.5, height=height - 1.5, fill="none", stroke=INK, stroke_width=1.5
    )
    return tag(
        "svg", tag("title", escape(title)) + clip + body + edge,
        viewBox=f"0 0 {number(width)} {number(height)}", role="img", class_="picture",
    )  # fmt: skip
