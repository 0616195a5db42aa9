"""Where words go on a picture so that they do not lie on one another."""

from dataclasses import dataclass, field

from sim.pages import svg

LETTER, LINE = 6.4, 14.0  # px: a letter's mean width at 12 px, and the height of a line
OFF = 20.0  # px from a thing's middle to the baseline of the words under it


@dataclass
class Labels:
    """Names already put on a picture of some width and height, each as (left, top, right, bottom)."""

    width: float
    height: float
    taken: list[tuple[float, float, float, float]] = field(default_factory=list)

    def put(self, x: float, y: float, words: str, size: float = 12.0) -> str:
        """Return words for a thing at a place: under it, else over or beside it, wherever least lies on other words.

        They are kept whole inside the picture; "" where the place itself lies outside it.
        """
        if not (0.0 <= x <= self.width and 0.0 <= y <= self.height):
            return ""
        half = 0.5 * LETTER * len(words) * size / 12.0
        shifts = [
            (0.0, OFF), (0.0, -OFF + 8.0), (half + 12.0, 4.0), (-half - 12.0, 4.0),
            (0.0, OFF + LINE), (0.0, -OFF - LINE + 8.0), (0.0, OFF + 2.0 * LINE), (0.0, OFF + 3.0 * LINE),
        ]  # fmt: skip
        boxes = [self._box(x + dx, y + dy, half) for dx, dy in shifts]
        best = min(boxes, key=lambda box: (self._covered(box), boxes.index(box)))
        self.taken.append(best)
        return svg.text(0.5 * (best[0] + best[2]), best[3] - 3.0, words, size, svg.INK, "middle", halo=True)

    def _box(self, x: float, y: float, half: float) -> tuple[float, float, float, float]:
        middle = min(max(x, half + 3.0), self.width - half - 3.0)
        base = min(max(y, LINE), self.height - 6.0)
        return middle - half, base + 3.0 - LINE, middle + half, base + 3.0

    def _covered(self, box: tuple[float, float, float, float]) -> float:
        """Return how much of other words a box would lie on [px2]."""
        return sum(
            max(min(box[2], b[2]) - max(box[0], b[0]), 0.0) * max(min(box[3], b[3]) - max(box[1], b[1]), 0.0)
            for b in self.taken
        )
