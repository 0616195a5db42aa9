"""The window: draws a view through a display list and returns commands. The only room that imports pygame."""

import os
import sys

# Read when pygame is imported, so said before any module of this room does so.
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
os.environ.setdefault("SDL_VIDEO_X11_WMCLASS", "windrode")
os.environ.setdefault("SDL_WINDOWS_DPI_AWARENESS", "permonitorv2")
if sys.platform == "linux":  # every pixel is painted here: a detour by OpenGL only costs, most of all in software
    os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
