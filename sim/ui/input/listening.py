"""What the window hears: its events, each handed to the screen that is shown."""

import pygame

from sim.ui.input.inputs import Inputs
from sim.ui.input.keys import Press
from sim.ui.screens.chooser import Chooser
from sim.ui.screens.night_screen import NightScreen
from sim.ui.screens.outcome import ResultScreen
from sim.ui.screens.plan_screen import PlanScreen
from sim.ui.screens.rating import RatingScreen
from sim.ui.screens.replay_screen import ReplayScreen
from sim.ui.screens.sail import SailScreen
from sim.ui.screens.settings import SettingsScreen
from sim.ui.second_window import Company

LOOKS = (Press.PALETTE, Press.DIMMER, Press.BRIGHTER, Press.MUTE)

Screen = Chooser | PlanScreen | SailScreen | RatingScreen | NightScreen | ResultScreen | ReplayScreen | SettingsScreen


class Listening:
    """The part of the window that hears."""

    window: pygame.Window
    screen: Screen
    inputs: Inputs
    company: Company

    def _look(self, press: Press) -> None:
        """Change how it looks or sounds."""
        raise NotImplementedError

    def listen(self) -> bool:
        """Take in what has happened to window, keys, mouse and pad; return False when the window is to close."""
        for event in pygame.event.get():
            if self.company.take(event):
                continue
            if event.type in (pygame.QUIT, pygame.WINDOWCLOSE):
                return False
            if event.type == pygame.JOYDEVICEADDED:
                self.inputs.pad.add(event.device_index)
            elif event.type == pygame.KEYDOWN:
                self._down(event)
            elif event.type == pygame.TEXTINPUT:
                if isinstance(self.screen, ReplayScreen):
                    self.screen.pad.write(event.text)
            elif isinstance(self.screen, SailScreen):
                self.inputs.take(event, self.screen)
            elif isinstance(self.screen, PlanScreen) and event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
                self.screen.click(event.pos, self.window.get_surface().get_size())
            else:
                press = self.inputs.pressed(event)
                if press is not None:
                    self.screen.press(press)
        return True

    def _down(self, event: pygame.event.Event) -> None:
        shift = bool(getattr(event, "mod", 0) & pygame.KMOD_SHIFT)
        if isinstance(self.screen, SettingsScreen) and self.screen.waiting:
            self.screen.key(event.scancode, shift)
            return
        if isinstance(self.screen, ReplayScreen) and self.screen.pad.line is not None:
            self.screen.pad.key(event.key)
            return
        act, press = self.inputs.bindings.find(event.scancode, shift)
        if press in LOOKS:
            self._look(press)
        elif isinstance(self.screen, SailScreen) and act is not None and not self.screen.covered:
            self.screen.press_act(act)
        elif press is not None:
            self.screen.press(press)
