"""The signals two people aboard make to each other: display and record only, they move nothing.

What each means is agreed aboard, as signals are not standardised among yachts (common practice, no source).
"""

import math
from dataclasses import dataclass
from enum import Enum

from sim.core.orders import commands as cmd
from sim.helm.apart import Forward

ARM_STEP_RAD = math.radians(15.0)  # an arm points as well as that (judgement)
FRESH_S = 4.0  # so long a signal is printed hot
STANDS_S = 30.0  # and so long it stands


class Signal(Enum):
    """What hand and arm say; the first lot comes from the foredeck, the last four from the helm."""

    LEAD = "lead"  # the arm points along the chain, and how it slopes
    TENS = "tens"  # fingers: tens of metres out
    HOLD = "hold"  # fist up
    HEAVING = "heaving"  # a hand that circles
    VEERING = "veering"  # a hand that pushes down
    BROUGHT_UP = "brought_up"  # forearms crossed
    SLOWER = "slower"  # a palm that pats
    STOP_PROPELLER = "stop_propeller"  # a hand across the throat
    LET_GO = "let_go"  # from here on: from the helm
    VEER = "veer"
    WAIT = "wait"
    HEAVE = "heave"


FROM_HELM = (Signal.LET_GO, Signal.VEER, Signal.WAIT, Signal.HEAVE)


@dataclass(frozen=True)
class Shown:
    """A signal as it is made.

    Attributes:
        signal: which.
        t_s: when.
        bearing_rad: of an arm along the chain, off the bow.
        slope_rad: of it below the horizontal.
        tens: fingers shown.
        stowed: the arm points at an anchor that is home.
    """

    signal: Signal
    t_s: float
    bearing_rad: float = 0.0
    slope_rad: float = 0.0
    tens: int = 0
    stowed: bool = False

    def stands(self, now_s: float) -> bool:
        """Return whether it still stands to be seen; after time has been turned back, none that is still to come."""
        return 0.0 <= now_s - self.t_s <= STANDS_S

    def fresh(self, now_s: float) -> bool:
        """Return whether it has just been made."""
        return self.stands(now_s) and now_s - self.t_s <= FRESH_S

    def note(self) -> cmd.Note:
        """Return the line for the record."""
        said = self.signal.value.replace("_", " ")
        if self.signal is Signal.LEAD:
            side = "port" if self.bearing_rad < 0.0 else "starboard"
            off, slope = abs(math.degrees(self.bearing_rad)), math.degrees(self.slope_rad)
            said = "anchor home" if self.stowed else f"chain {off:.0f}° to {side}, {slope:.0f}° down"
        elif self.signal is Signal.TENS:
            said = f"{10 * self.tens} m out"
        who = "helm" if self.signal in FROM_HELM else "foredeck"
        return cmd.Note(actor=who, text=f"{who} signals: {said}")


def made(signal: Signal, t_s: float, bow: Forward, rode: int = 0) -> Shown:
    """Return a signal from the foredeck as it is made now."""
    if signal is Signal.LEAD:
        if bow.arm is None:
            return Shown(signal, t_s, stowed=True)
        step = ARM_STEP_RAD
        return Shown(signal, t_s, round(bow.arm.bearing_rad / step) * step, round(bow.arm.slope_rad / step) * step)
    if signal is Signal.TENS:
        return Shown(signal, t_s, tens=round(abs(bow.rodes[rode].counter_m) / 10.0))
    return Shown(signal, t_s)
