"""Which colours the window is printed in: as the sky asks, as the person has set, or as they have just chosen."""

from dataclasses import dataclass

from sim.ui.paint.palette import DAY, LAND_NIGHT, Palette, land, night, twilight
from sim.ui.preferences import Preferences


@dataclass
class SkyColours:
    """Follows the sky.

    Attributes:
        asked: name of the colours that the sky asked for last.
        by_hand: whether others have been chosen since.
    """

    asked: str = ""
    by_hand: bool = False

    @staticmethod
    def wanted(chosen: Preferences, darkness: float) -> Palette:
        """Return the colours for a sky, 0 by day to 1 by night, as the person has set them."""
        return twilight({"day": 0.0, "night": 1.0}.get(chosen.colours, darkness), chosen.brightness)

    def follow(self, chosen: Preferences, darkness: float, now: Palette) -> Palette:
        """Return the colours to go on with, ``now`` those in use; what was chosen by hand stays until the sky turns."""
        wanted = self.wanted(chosen, darkness)
        if wanted.name != self.asked:
            self.asked, self.by_hand = wanted.name, False
        return now if self.by_hand or wanted.name == now.name else wanted

    def turned(self, chosen: Preferences, now: Palette, over: bool) -> Palette:
        """Return the colours chosen by hand: the other ones, or the same in the brightness now set."""
        self.by_hand = True
        dark = land(now) == LAND_NIGHT
        return night(chosen.brightness) if dark != over else DAY
