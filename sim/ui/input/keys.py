"""Which key does what, by its place on the keyboard; a person's own keys are laid over these."""

from collections.abc import Mapping
from enum import Enum

import pygame

from sim.play.hands import Act


class Press(Enum):
    """What a key asks of the screen rather than of the boat."""

    UP = "up"
    DOWN = "down"
    LEFT = "left"
    RIGHT = "right"
    ENTER = "enter"
    ESCAPE = "escape"
    PAUSE = "pause"
    HELP = "help"
    SLOWER = "slower"
    FASTER = "faster"
    NEARER = "nearer"
    FARTHER = "farther"
    OWN_ZOOM = "own_zoom"
    PAN_UP = "pan_up"
    PAN_DOWN = "pan_down"
    PAN_LEFT = "pan_left"
    PAN_RIGHT = "pan_right"
    HEAD_UP = "head_up"
    PLAN = "plan"
    ABORT = "abort"
    AGAIN = "again"
    PAGE = "page"
    PALETTE = "palette"
    BACK_30 = "back_30"
    FREEZE = "freeze"
    SOUNDER = "sounder"
    ANCHOR = "anchor_panel"
    CIRCLE = "circle"
    RADAR = "radar"
    AIS = "ais"
    DIMMER = "dimmer"
    BRIGHTER = "brighter"
    MUTE = "mute"
    WATCH = "watch"
    SETTINGS = "settings"
    NEXT = "next"
    BEFORE = "before"
    TWO = "two"
    REMARK = "remark"
    UNDO = "undo"


# act or press: the keys, by the name of their place on an American keyboard
KEYS: dict[Act | Press, tuple[str, ...]] = {
    Act.PORT: ("a",), Act.STARBOARD: ("d",), Act.MIDSHIPS: ("x",), Act.AHEAD: ("w",), Act.ASTERN: ("s",),
    Act.NEUTRAL: ("n",), Act.PORT_AHEAD: ("q",), Act.PORT_ASTERN: ("z",), Act.STBD_AHEAD: ("e",),
    Act.STBD_ASTERN: ("c",), Act.THRUST_PORT: ("g",), Act.THRUST_STBD: ("j",), Act.VEER: ("v",), Act.HEAVE: ("h",),
    Act.BRAKE: ("b",), Act.BRAKE_EASE: ("leftbracket",), Act.BRAKE_HARDEN: ("rightbracket",), Act.STOPPER: ("p",),
    Act.PRESET_LESS: ("semicolon",), Act.PRESET_MORE: ("apostrophe",), Act.SNUBBER: ("u",), Act.MARK: ("m",),
    Act.RANGE: ("r",), Act.RANGE_MAST: ("shift+r",),
    Act.NEXT_TARGET: ("slash",), Act.HAIL: ("l",), Act.ASK: ("k",), Act.TRANSIT: ("t",), Act.LEADING: ("shift+t",),
    Act.ALARM: ("o",), Act.SIGNAL: ("i",), Act.SOUND: ("f",), Act.DIVE: ("8",), Act.NEXT_RODE: ("6",),
    Act.ASHORE: ("7",), Act.LOOK_LEFT: ("left",), Act.LOOK_RIGHT: ("right",), Act.BOOKMARK: ("f8",),
    Press.UP: ("up",), Press.DOWN: ("down",), Press.LEFT: ("left",), Press.RIGHT: ("right",),
    Press.ENTER: ("return", "kp_enter"), Press.ESCAPE: ("escape",), Press.PAUSE: ("space",), Press.HELP: ("f1",),
    Press.SLOWER: ("comma",), Press.FASTER: ("period",), Press.NEARER: ("equals", "kp_plus"),
    Press.FARTHER: ("minus", "kp_minus"), Press.OWN_ZOOM: ("0",), Press.PAN_UP: ("shift+up",),
    Press.PAN_DOWN: ("shift+down",), Press.PAN_LEFT: ("shift+left",), Press.PAN_RIGHT: ("shift+right",),
    Press.HEAD_UP: ("f6",), Press.PLAN: ("y",), Press.ABORT: ("backspace",), Press.AGAIN: ("f5",),
    Press.PAGE: ("f2",), Press.PALETTE: ("f9",), Press.BACK_30: ("f7",), Press.FREEZE: ("f10",),
    Press.SOUNDER: ("1",), Press.ANCHOR: ("2",), Press.CIRCLE: ("3",), Press.RADAR: ("4",), Press.AIS: ("5",),
    Press.DIMMER: ("f3",), Press.BRIGHTER: ("f4",), Press.MUTE: ("f12",), Press.NEXT: ("tab",),
    Press.BEFORE: ("shift+tab",), Press.WATCH: ("9",), Press.SETTINGS: ("f11",),
    Press.TWO: ("shift+f2",), Press.REMARK: ("shift+n",), Press.UNDO: ("shift+backspace",),
}  # fmt: skip

PLACES: dict[str, int] = {
    name.removeprefix("KSCAN_").lower(): code for name, code in vars(pygame).items() if name.startswith("KSCAN_")
}
_SIGNS = {
    "left": "←", "right": "→", "up": "↑", "down": "↓", "comma": ",", "period": ".", "equals": "=", "minus": "-",
    "leftbracket": "[", "rightbracket": "]", "semicolon": ";", "apostrophe": "'", "slash": "/", "return": "Enter",
    "escape": "Esc", "space": "Space", "backspace": "Back", "tab": "Tab", "backslash": "\\", "grave": "`",
}  # fmt: skip
SHIFT = "shift+"


def sign(key: str) -> str:
    """Return what is written on a key; one with Shift has that before it."""
    if key.startswith(SHIFT):
        return "Shift " + sign(key.removeprefix(SHIFT))
    return _SIGNS.get(key, key.upper())


class Bindings:
    """The keys as they are bound."""

    def __init__(self, own: Mapping[str, str] | None = None) -> None:
        """Lay a person's ``own`` keys, by the name of act or press, over the usual ones."""
        named: dict[str, Act | Press] = {what.value: what for what in KEYS}
        self._keys = dict(KEYS)
        for name, key in (own or {}).items():
            if name in named:
                self._keys[named[name]] = (key,)
        self._acts: dict[tuple[int, bool], Act] = {}
        self._presses: dict[tuple[int, bool], Press] = {}
        for what, keys in self._keys.items():
            for key in keys:
                place = PLACES[key.removeprefix(SHIFT)], key.startswith(SHIFT)
                if isinstance(what, Act):
                    self._acts[place] = what
                else:
                    self._presses[place] = what

    def find(self, scancode: int, shift: bool = False) -> tuple[Act | None, Press | None]:
        """Return what a key does to the boat, and what it asks of the screen; with Shift, where that makes no odds."""
        place = scancode, shift
        if shift and place not in self._acts and place not in self._presses:
            place = scancode, False
        return self._acts.get(place), self._presses.get(place)

    def sign(self, what: Act | Press) -> str:
        """Return what is written on the first key of an act or press."""
        return sign(self.key(what))

    def key(self, what: Act | Press) -> str:
        """Return the name of the first key of an act or press."""
        return self._keys[what][0]


def clashes(own: Mapping[str, str]) -> list[tuple[str, str]]:
    """Return pairs of acts or presses that one key would do, beyond those that share keys from the start."""
    taken: dict[str, str] = {}
    out = []
    for what, keys in Bindings(own)._keys.items():
        for key in keys:
            other = taken.setdefault(key, what.value)
            if other != what.value and not (key in ("left", "right") and key not in own.values()):
                out.append((other, what.value))
    return out
