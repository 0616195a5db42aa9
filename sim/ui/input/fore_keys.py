"""The keys of two people at one keyboard: the foredeck's lie under the right hand, over those of the helm.

A key of the helm's that the foredeck has taken is worked with Shift.
"""

from collections.abc import Mapping
from enum import Enum

from sim.play.hands import Act
from sim.ui.input.keys import PLACES, SHIFT, Bindings, Press, sign
from sim.ui.input.signals import Signal


class Fore(Enum):
    """What a key does while two are aboard."""

    HEAVE = "fore_heave"
    VEER = "fore_veer"
    BRAKE = "fore_brake"
    BRAKE_EASE = "fore_brake_ease"
    BRAKE_HARDEN = "fore_brake_harden"
    STOPPER = "fore_stopper"
    SNUBBER = "fore_snubber"
    PRESET_LESS = "fore_preset_less"
    PRESET_MORE = "fore_preset_more"
    NEXT_RODE = "fore_next_rode"
    LEAD = "fore_lead"
    TENS = "fore_tens"
    HEAVING = "fore_heaving"
    VEERING = "fore_veering"
    BROUGHT_UP = "fore_brought_up"
    SLOWER = "fore_slower"
    HOLD = "fore_hold"
    STOP_PROPELLER = "fore_stop_propeller"
    TELL_LET_GO = "helm_let_go"
    TELL_VEER = "helm_veer"
    TELL_HEAVE = "helm_heave"
    TELL_HOLD = "helm_hold"


FORE_KEYS: dict[Fore, str] = {
    Fore.HEAVE: "i", Fore.VEER: "k", Fore.BRAKE: "l", Fore.BRAKE_EASE: "leftbracket",
    Fore.BRAKE_HARDEN: "rightbracket", Fore.STOPPER: "p", Fore.SNUBBER: "u", Fore.PRESET_LESS: "semicolon",
    Fore.PRESET_MORE: "apostrophe", Fore.NEXT_RODE: "backslash", Fore.LEAD: "7", Fore.TENS: "8", Fore.HEAVING: "9",
    Fore.VEERING: "0", Fore.BROUGHT_UP: "minus", Fore.SLOWER: "equals", Fore.HOLD: "o", Fore.STOP_PROPELLER: "slash",
    Fore.TELL_LET_GO: "b", Fore.TELL_VEER: "v", Fore.TELL_HEAVE: "h", Fore.TELL_HOLD: "f",
}  # fmt: skip
GEAR: dict[Fore, Act] = {
    Fore.HEAVE: Act.HEAVE, Fore.VEER: Act.VEER, Fore.BRAKE: Act.BRAKE, Fore.BRAKE_EASE: Act.BRAKE_EASE,
    Fore.BRAKE_HARDEN: Act.BRAKE_HARDEN, Fore.STOPPER: Act.STOPPER, Fore.SNUBBER: Act.SNUBBER,
    Fore.PRESET_LESS: Act.PRESET_LESS, Fore.PRESET_MORE: Act.PRESET_MORE, Fore.NEXT_RODE: Act.NEXT_RODE,
}  # fmt: skip
SIGNALS: dict[Fore, Signal] = {
    Fore.LEAD: Signal.LEAD, Fore.TENS: Signal.TENS, Fore.HEAVING: Signal.HEAVING, Fore.VEERING: Signal.VEERING,
    Fore.BROUGHT_UP: Signal.BROUGHT_UP, Fore.SLOWER: Signal.SLOWER, Fore.HOLD: Signal.HOLD,
    Fore.STOP_PROPELLER: Signal.STOP_PROPELLER, Fore.TELL_LET_GO: Signal.LET_GO, Fore.TELL_VEER: Signal.VEER,
    Fore.TELL_HEAVE: Signal.HEAVE, Fore.TELL_HOLD: Signal.WAIT,
}  # fmt: skip
# What the helm's usual keys of the gear say to the foredeck instead; the rest of the gear is not the helm's.
TELLS: dict[Act, Signal] = {
    Act.BRAKE: Signal.LET_GO, Act.VEER: Signal.VEER, Act.HEAVE: Signal.HEAVE, Act.STOPPER: Signal.WAIT,
}  # fmt: skip
TELLING: dict[Act, Fore] = {
    Act.BRAKE: Fore.TELL_LET_GO, Act.VEER: Fore.TELL_VEER, Act.HEAVE: Fore.TELL_HEAVE, Act.STOPPER: Fore.TELL_HOLD,
}  # fmt: skip
NOT_THE_HELMS = (*GEAR.values(), Act.ASK)
NAMES: dict[str, Fore] = {fore.value: fore for fore in Fore}
# A second pad, as most number their buttons, and its hat.
FORE_PAD: dict[int, Fore] = {
    0: Fore.BRAKE, 1: Fore.HOLD, 2: Fore.SNUBBER, 3: Fore.LEAD, 4: Fore.HEAVE, 5: Fore.VEER, 6: Fore.TENS,
    7: Fore.BROUGHT_UP, 8: Fore.STOPPER, 9: Fore.STOP_PROPELLER,
}  # fmt: skip
FORE_HAT: dict[tuple[int, int], Fore] = {
    (0, 1): Fore.BRAKE_HARDEN, (0, -1): Fore.BRAKE_EASE, (-1, 0): Fore.SLOWER, (1, 0): Fore.VEERING,
}  # fmt: skip


def bound(own: Mapping[str, str]) -> dict[Fore, str]:
    """Return the key of each, a person's ``own`` laid over the usual ones."""
    return {fore: own.get(fore.value, key) for fore, key in FORE_KEYS.items()}


def clashes(own: Mapping[str, str]) -> list[tuple[str, str]]:
    """Return pairs that one key would do, among these keys alone; lists and questions keep theirs."""
    taken = {key: what.value for what, keys in _LISTS.items() for key in keys}
    out = []
    for fore, key in bound(own).items():
        other = taken.setdefault(key, fore.value)
        if other != fore.value:
            out.append((other, fore.value))
    return out


_LISTS: dict[Press, tuple[str, ...]] = {
    Press.ENTER: ("return", "kp_enter"), Press.ESCAPE: ("escape",), Press.UP: ("up",), Press.DOWN: ("down",),
    Press.LEFT: ("left",), Press.RIGHT: ("right",),
}  # fmt: skip


class TwoBindings(Bindings):
    """The keys of both, as they are bound."""

    def __init__(self, own: Mapping[str, str] | None = None) -> None:
        """Lay the foredeck's keys over those of one person alone."""
        super().__init__(own)
        self._fore = bound(own or {})
        self._places = {(PLACES[k.removeprefix(SHIFT)], k.startswith(SHIFT)): f for f, k in self._fore.items()}

    def fore(self, scancode: int, shift: bool = False) -> Fore | None:
        """Return which of the foredeck's keys, or of the helm's signals to it, lies there."""
        return self._places.get((scancode, shift))

    def find(self, scancode: int, shift: bool = False) -> tuple[Act | None, Press | None]:
        """Return what a key does for the helm: with Shift, what lies under one of the foredeck's."""
        if self.fore(scancode, shift) is not None:
            return None, None
        act, press = super().find(scancode, shift)
        return (None if act in NOT_THE_HELMS else act), press

    def plain(self, what: Act | Press | Fore) -> str:
        """Return what is written on a key as it is bound, whether or not two are aboard."""
        return sign(self._fore[what]) if isinstance(what, Fore) else super().sign(what)

    def sign(self, what: Act | Press | Fore) -> str:
        """Return what is written on the key while two are aboard."""
        if isinstance(what, Act) and what in TELLING:
            what = TELLING[what]
        if isinstance(what, Fore):
            return sign(self._fore[what])
        key = self.key(what)
        return sign(SHIFT + key if key in self._fore.values() else key)
