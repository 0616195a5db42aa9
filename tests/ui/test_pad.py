"""A gamepad that is none: SDL's own virtual joystick, its hat, stick and buttons as a real one's."""

import ctypes
import sys
from pathlib import Path

import pygame
import pytest

from sim.play.hands import Act
from sim.ui.app import App
from sim.ui.input.inputs import PAD
from sim.ui.screens.sail import SailScreen

LIBRARIES = sorted(Path(pygame.__file__).parent.parent.glob("pygame_ce.libs/libSDL2-2*"))
pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux") or not LIBRARIES, reason="needs SDL's virtual joystick, on Linux"
)
GAMEPAD = 1
AXES, BUTTONS, HATS = 2, 11, 1
UP, MIDDLE, FULL = 1, 0, 32767


@pytest.fixture
def pad(monkeypatch):
    """Return SDL and its virtual pad, plugged in before the window opens."""
    monkeypatch.setenv("SDL_JOYSTICK_ALLOW_BACKGROUND_EVENTS", "1")
    sdl = ctypes.CDLL(str(LIBRARIES[0]))
    sdl.SDL_JoystickOpen.restype = ctypes.c_void_p
    for name in ("SDL_JoystickSetVirtualAxis", "SDL_JoystickSetVirtualButton", "SDL_JoystickSetVirtualHat"):
        getattr(sdl, name).argtypes = [ctypes.c_void_p, ctypes.c_int, ctypes.c_int]
    pygame.joystick.init()
    index = sdl.SDL_JoystickAttachVirtual(GAMEPAD, AXES, BUTTONS, HATS)
    assert index >= 0
    yield sdl, sdl.SDL_JoystickOpen(index)
    sdl.SDL_JoystickDetachVirtual(index)


def test_a_boat_is_handled_with_a_pad_alone(pad, tmp_path):
    """From the list to sea with a button; wheel by stick, lever by hat, anchor let go by a button."""
    sdl, handle = pad
    app = App(tmp_path / "run", size=(1024, 768))
    app.warming.wait()

    def button(number, frames=3):
        for down in (1, 0):
            sdl.SDL_JoystickSetVirtualButton(handle, number, down)
            for _ in range(frames):
                app.frame(1.0 / 60.0)

    for _ in range(40):
        if isinstance(app.screen, SailScreen):
            break
        button(0)
    screen = app.screen
    assert isinstance(screen, SailScreen)
    sdl.SDL_JoystickSetVirtualAxis(handle, 0, FULL)
    for _ in range(90):
        app.frame(1.0 / 60.0)
    sdl.SDL_JoystickSetVirtualHat(handle, 0, UP)
    for _ in range(3):
        app.frame(1.0 / 60.0)
    sdl.SDL_JoystickSetVirtualHat(handle, 0, MIDDLE)
    button(next(number for number, what in PAD.items() if what is Act.BRAKE))
    screen.session.look()
    view = screen.session.view
    app.window.destroy()

    assert view.readings.rudder_rad > 0.3
    assert view.readings.levers == (0.1,)
    assert view.handling.brake == 0.0
