"""Tests of the window: no screen, no sound device, one display for all."""

import os

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ.setdefault("SDL_AUDIODRIVER", "dummy")

import pygame
import pytest

from sim.scenario.library import load_words
from sim.ui.words import Catalogue


@pytest.fixture(scope="session", autouse=True)
def _display():
    """Open the driver that has no screen."""
    pygame.display.init()
    pygame.font.init()
    pygame.display.set_mode((64, 64))


@pytest.fixture(scope="session")
def words():
    """Return the English catalogue."""
    return Catalogue(load_words("en"))
