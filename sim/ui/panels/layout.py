"""Where things stand on the screen, laid out afresh for each size of window."""

from dataclasses import dataclass

Rect = tuple[int, int, int, int]
LEAST = (1024, 768)


@dataclass(frozen=True)
class Layout:
    """Parts of the window, left, top, width and height [px].

    Attributes:
        unit: px per unit of the drawings, which were made for 1280 by 800.
    """

    size: tuple[int, int]
    unit: float
    lookout: Rect
    plan: Rect
    side: Rect | None
    ledger: Rect
    rail: Rect

    @property
    def small(self) -> float:
        """Px per unit of what stands on the plan, which must not fill it."""
        return max(min(self.unit, self.plan[2] / 760.0), 0.85)


def lay_out(size: tuple[int, int], side_view: bool, scale: float = 1.0) -> Layout:
    """Return the layout of a window; the plan grows where a lesson shows no side view.

    Args:
        size: of the window [px].
        side_view: whether the lesson grants it.
        scale: the user's own factor on all sizes, as far as the window has room for it.
    """
    wide, tall = size
    asked = scale * min(max(min(wide / 1280.0, tall / 800.0), 0.85), 2.5)
    # However large it is asked for, the plan keeps half the width and 48 in 100 of the height: 1920 by 1080 takes 2.
    unit = max(min(asked, 0.5 * wide / 380.0, 0.52 * tall / 276.0), 0.85)
    rail = round(72 * unit)
    ledger = round(380 * unit)
    left = wide - ledger
    strip = round(88 * unit)
    side = round(116 * unit) if side_view else 0
    return Layout(
        size=size,
        unit=unit,
        lookout=(0, 0, left, strip),
        plan=(0, strip, left, tall - rail - strip - side),
        side=(0, tall - rail - side, left, side) if side_view else None,
        ledger=(left, 0, ledger, tall - rail),
        rail=(0, tall - rail, wide, rail),
    )
