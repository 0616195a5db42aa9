"""Which key does what, by its place on the keyboard."""

from enum import Enum

import pygame

from sim.ui.hands import Act

ACTS: dict[int, Act] = {
    pygame.KSCAN_A: Act.PORT,
    pygame.KSCAN_D: Act.STARBOARD,
    pygame.KSCAN_X: Act.MIDSHIPS,
    pygame.KSCAN_W: Act.AHEAD,
    pygame.KSCAN_S: Act.ASTERN,
    pygame.KSCAN_N: Act.NEUTRAL,
    pygame.KSCAN_Q: Act.PORT_AHEAD,
    pygame.KSCAN_Z: Act.PORT_ASTERN,
    pygame.KSCAN_E: Act.STBD_AHEAD,
    pygame.KSCAN_C: Act.STBD_ASTERN,
    pygame.KSCAN_V: Act.VEER,
    pygame.KSCAN_H: Act.HEAVE,
    pygame.KSCAN_B: Act.BRAKE,
    pygame.KSCAN_P: Act.STOPPER,
    pygame.KSCAN_U: Act.SNUBBER,
    pygame.KSCAN_M: Act.MARK,
    pygame.KSCAN_R: Act.RANGE,
    pygame.KSCAN_L: Act.HAIL,
    pygame.KSCAN_K: Act.ASK,
    pygame.KSCAN_T: Act.TRANSIT,
    pygame.KSCAN_O: Act.ALARM,
    pygame.KSCAN_I: Act.SIGNAL,
    pygame.KSCAN_LEFT: Act.LOOK_LEFT,
    pygame.KSCAN_RIGHT: Act.LOOK_RIGHT,
}


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
    PLAN = "plan"
    ABORT = "abort"
    AGAIN = "again"
    PAGE = "page"
    PALETTE = "palette"


PRESSES: dict[int, Press] = {
    pygame.KSCAN_UP: Press.UP,
    pygame.KSCAN_DOWN: Press.DOWN,
    pygame.KSCAN_LEFT: Press.LEFT,
    pygame.KSCAN_RIGHT: Press.RIGHT,
    pygame.KSCAN_RETURN: Press.ENTER,
    pygame.KSCAN_KP_ENTER: Press.ENTER,
    pygame.KSCAN_ESCAPE: Press.ESCAPE,
    pygame.KSCAN_SPACE: Press.PAUSE,
    pygame.KSCAN_F1: Press.HELP,
    pygame.KSCAN_COMMA: Press.SLOWER,
    pygame.KSCAN_PERIOD: Press.FASTER,
    pygame.KSCAN_EQUALS: Press.NEARER,
    pygame.KSCAN_KP_PLUS: Press.NEARER,
    pygame.KSCAN_MINUS: Press.FARTHER,
    pygame.KSCAN_KP_MINUS: Press.FARTHER,
    pygame.KSCAN_0: Press.OWN_ZOOM,
    pygame.KSCAN_Y: Press.PLAN,
    pygame.KSCAN_BACKSPACE: Press.ABORT,
    pygame.KSCAN_F5: Press.AGAIN,
    pygame.KSCAN_F2: Press.PAGE,
    pygame.KSCAN_F9: Press.PALETTE,
}
