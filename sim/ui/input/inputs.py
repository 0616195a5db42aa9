"""Keyboard, mouse and pad: events become what screens understand."""

import math

import pygame

from sim.base.units import rad
from sim.play.hands import MOST_HELM_RAD, Act
from sim.ui.input.keys import Bindings, Press
from sim.ui.panels.scene_rail import Cell
from sim.ui.screens.sail import SailScreen

# A pad as most number their buttons: A, B, X, Y, shoulders, back, start, sticks.
PAD: dict[int, Act | Press] = {
    0: Act.BRAKE, 1: Act.NEUTRAL, 2: Act.SNUBBER, 3: Act.MARK, 4: Act.HEAVE, 5: Act.VEER, 6: Act.ASK, 7: Press.PAUSE,
    8: Act.STOPPER, 9: Act.TRANSIT,
}  # fmt: skip
PAD_OVER: dict[int, Press] = {0: Press.ENTER, 1: Press.ESCAPE}  # over a question or on the other screens
HAT: dict[tuple[int, int], Act] = {
    (0, 1): Act.AHEAD, (0, -1): Act.ASTERN, (-1, 0): Act.LOOK_LEFT, (1, 0): Act.LOOK_RIGHT,
}  # fmt: skip
HAT_OVER: dict[tuple[int, int], Press] = {
    (0, 1): Press.UP, (0, -1): Press.DOWN, (-1, 0): Press.LEFT, (1, 0): Press.RIGHT,
}  # fmt: skip
FOCUS_PAD = 10  # a button that goes along the rail with the ring
DEAD = 0.12  # of a stick's way that counts as its middle
STICK_STEP_RAD = rad(2.5)
HIT_PX = 22.0
LOOK_PX = 10.0  # of the strip a degree, about


def cell_at(cells: list[Cell], at: tuple[int, int]) -> Cell | None:
    """Return the cell under a pixel."""
    return next((cell for cell in cells if pygame.Rect(cell.rect).collidepoint(at)), None)


class Pointer:
    """The mouse on the sea screen: clicks keys, chooses boats, pushes the plan, turns the lookout."""

    def __init__(self) -> None:
        """Hold nothing."""
        self._act: Act | None = None
        self._drag = ""

    def down(self, screen: SailScreen, at: tuple[int, int]) -> None:
        """The button goes down."""
        if screen.covered:
            cell = cell_at(screen.help_cells, at)
            if cell is not None and screen.helping:
                screen.press(Press.ESCAPE)
                screen.work(cell.act)
            elif cell is not None and isinstance(cell.act, Press):
                screen.press(cell.act)
            return
        cell = cell_at(screen.cells, at)
        if cell is not None:
            if isinstance(cell.act, Act):
                self._act = cell.act
                screen.press_act(cell.act)
            else:
                screen.press(cell.act)
        elif pygame.Rect(screen.layout.lookout).collidepoint(at):
            self._drag = "look"
        elif pygame.Rect(screen.layout.plan).collidepoint(at) and not screen.choose_at(at, HIT_PX):
            self._drag = "plan"

    def up(self, screen: SailScreen) -> None:
        """The button comes up."""
        self._drag = ""
        if self._act is not None:
            screen.release_act(self._act)
            self._act = None

    def moved(self, screen: SailScreen, by: tuple[int, int]) -> None:
        """The mouse moves with its button down."""
        if self._drag == "plan":
            screen.pan(float(by[0]), float(by[1]))
        elif self._drag == "look":
            hands = screen.session.hands
            hands.look_rad = (hands.look_rad - rad(by[0] / LOOK_PX)) % (2.0 * math.pi)


class Pad:
    """A gamepad: the stick is the wheel, the hat the lever, buttons are keys."""

    def __init__(self) -> None:
        """Open every pad there is."""
        self._hat: Act | None = None
        self.pads: dict[int, pygame.joystick.JoystickType] = {}
        pygame.joystick.init()
        for number in range(pygame.joystick.get_count()):
            self.add(number)

    def add(self, number: int) -> None:
        """Open a pad that was plugged in."""
        pad = pygame.joystick.Joystick(number)
        self.pads[pad.get_instance_id()] = pad

    def button(self, screen: SailScreen, button: int, down: bool) -> None:
        """A button of a pad at the sea screen."""
        what = PAD_OVER.get(button) if screen.covered or screen.focus is not None else PAD.get(button)
        if button == FOCUS_PAD:
            what = Press.NEXT
        if isinstance(what, Act):
            if down:
                screen.press_act(what)
            else:
                screen.release_act(what)
        elif what is not None and down:
            screen.press(what)

    def hat(self, screen: SailScreen, value: tuple[int, int]) -> None:
        """The hat moves."""
        if self._hat is not None:
            screen.release_act(self._hat)
            self._hat = None
        if screen.covered:
            if value in HAT_OVER:
                screen.press(HAT_OVER[value])
            return
        self._hat = HAT.get(value)
        if self._hat is not None:
            screen.press_act(self._hat)

    @staticmethod
    def axis(screen: SailScreen, axis: int, value: float) -> None:
        """A stick moves: the first one's sideways way is the wheel."""
        if axis == 0 and not screen.covered:
            share = 0.0 if abs(value) < DEAD else value
            angle = round(share * MOST_HELM_RAD / STICK_STEP_RAD) * STICK_STEP_RAD
            screen.session.hands.steer_to(angle)


class Inputs:
    """Gives events to the sea screen."""

    def __init__(self, bindings: Bindings) -> None:
        """Take the keys as bound."""
        self.bindings = bindings
        self.pointer, self.pad = Pointer(), Pad()

    def take(self, event: pygame.event.Event, screen: SailScreen) -> None:
        """Let an event come to the sea screen; keys going down are the window's business."""
        if event.type == pygame.KEYUP:
            for shift in (False, True):  # whichever it was when it went down
                act, _ = self.bindings.find(event.scancode, shift)
                if act is not None:
                    screen.release_act(act)
        elif event.type == pygame.WINDOWFOCUSLOST:
            screen.session.hands.let_go_of_all()
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            self.pointer.down(screen, event.pos)
        elif event.type == pygame.MOUSEBUTTONUP and event.button == 1:
            self.pointer.up(screen)
        elif event.type == pygame.MOUSEMOTION and event.buttons[0]:
            self.pointer.moved(screen, event.rel)
        elif event.type == pygame.MOUSEWHEEL and not screen.covered:
            screen.press(Press.NEARER if event.y > 0 else Press.FARTHER)
        else:
            self._pad(event, screen)

    def _pad(self, event: pygame.event.Event, screen: SailScreen) -> None:
        if event.type in (pygame.JOYBUTTONDOWN, pygame.JOYBUTTONUP):
            self.pad.button(screen, event.button, event.type == pygame.JOYBUTTONDOWN)
        elif event.type == pygame.JOYHATMOTION:
            self.pad.hat(screen, event.value)
        elif event.type == pygame.JOYAXISMOTION:
            self.pad.axis(screen, event.axis, event.value)

    def pressed(self, event: pygame.event.Event) -> Press | None:
        """Return what an event of key or pad asks of a screen that is not the sea."""
        if event.type == pygame.KEYDOWN:
            return self.bindings.find(event.scancode, bool(getattr(event, "mod", 0) & pygame.KMOD_SHIFT))[1]
        if event.type == pygame.JOYBUTTONDOWN:
            return PAD_OVER.get(event.button)
        if event.type == pygame.JOYHATMOTION:
            return HAT_OVER.get(event.value)
        return None
