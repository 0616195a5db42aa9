"""Two people aboard: the second window, its keys and its pad, and who works what."""

import pygame

from sim.ui.input.fore_keys import FORE_HAT, FORE_PAD, GEAR, SIGNALS, Fore, TwoBindings
from sim.ui.input.inputs import Inputs
from sim.ui.input.keys import Bindings
from sim.ui.input.signals import FROM_HELM, Shown, made
from sim.ui.paint.display import Item, Panel
from sim.ui.paint.painter import Painter
from sim.ui.paint.palette import Palette
from sim.ui.panels import scene_forward
from sim.ui.panels.scene_forward import Moment, Touch
from sim.ui.screens.sail import SailScreen

MOUSE = (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP, pygame.MOUSEMOTION, pygame.MOUSEWHEEL)
PADS = (pygame.JOYBUTTONDOWN, pygame.JOYBUTTONUP, pygame.JOYHATMOTION, pygame.JOYAXISMOTION)
LOOK = 3  # frames from one drawing to the next


class Foredeck:
    """The second person's place: what it shows, and what its keys do."""

    def __init__(self, screen: SailScreen, bindings: TwoBindings) -> None:
        """Take the gear over from the helm of a lesson under way."""
        self.screen, self.bindings = screen, bindings
        self.touches: list[Touch] = []
        self._held: Fore | None = None  # by the mouse
        self._hat: Fore | None = None
        screen.session.part(two=True)
        screen.bindings = bindings
        screen.heard, screen.told = [], None
        screen.resize(screen.layout.size)
        self.use(screen.palette)

    def use(self, palette: Palette) -> None:
        """Print in another palette."""
        self.palette, self.painter = palette, Painter(palette)

    def leave(self, usual: Bindings) -> None:
        """Give the gear back to the helm."""
        self.screen.session.part(two=False)
        self.screen.two, self.screen.bindings = False, usual
        self.screen.resize(self.screen.layout.size)

    def press(self, fore: Fore) -> None:
        """A key of these goes down; over a question or a sheet it does nothing."""
        session = self.screen.session
        if self.screen.covered or session.apart is None:
            return
        if fore in GEAR:
            session.press_forward(GEAR[fore])
            return
        signal = SIGNALS[fore]
        session.look()
        own = Shown(signal, session.exercise.t_s)
        bow = session.apart
        self.screen.tell(own if signal in FROM_HELM else made(signal, own.t_s, bow, session.hands.rode))

    def release(self, fore: Fore) -> None:
        """A key of these comes up."""
        if fore in GEAR:
            self.screen.session.hands.release(GEAR[fore])

    def panels(self, size: tuple[int, int]) -> list[Panel]:
        """Return the window's panels."""
        screen, session = self.screen, self.screen.session
        if session.apart is None:
            return []
        last = screen.heard[-1] if screen.heard else None
        at = Moment(
            session.apart, session.view, session.brief, session.hands.rode, screen.told, last, session.exercise.t_s,
            screen.standing,
        )  # fmt: skip
        shown, self.touches = scene_forward.panels(size, at, screen.words, self.bindings)
        return shown

    def items(self, size: tuple[int, int] = scene_forward.SIZE) -> list[Item]:
        """Return everything that is on the window now as one list, for reading."""
        return [item for panel in self.panels(size) for item in panel.items]

    def draw(self, surface: pygame.Surface, wall_s: float = 0.0) -> None:
        """Draw one frame on the whole window."""
        del wall_s
        for panel in self.panels(surface.get_size()):
            surface.blit(self.painter.panel(panel), panel.rect[:2])

    def mouse(self, event: pygame.event.Event) -> None:
        """The mouse over this window: its keys can be clicked and held."""
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            on = [touch.fore for touch in self.touches if pygame.Rect(touch.rect).collidepoint(event.pos)]
            self._held = on[0] if on else None
            for fore in on[:1]:
                self.press(fore)
        elif event.type == pygame.MOUSEBUTTONUP and event.button == 1 and self._held is not None:
            self.release(self._held)
            self._held = None

    def pad(self, event: pygame.event.Event) -> None:
        """The foredeck's own pad."""
        if event.type in (pygame.JOYBUTTONDOWN, pygame.JOYBUTTONUP):
            fore = FORE_PAD.get(event.button)
            if fore is not None:
                (self.press if event.type == pygame.JOYBUTTONDOWN else self.release)(fore)
        elif event.type == pygame.JOYHATMOTION:
            if self._hat is not None:
                self.release(self._hat)
            self._hat = FORE_HAT.get(event.value)
            if self._hat is not None:
                self.press(self._hat)


class Company:
    """Opens the second window where two are aboard, lets its events through to it, and closes it again."""

    def __init__(self, inputs: Inputs) -> None:
        """Be alone."""
        self.inputs = inputs
        self.foredeck: Foredeck | None = None
        self.window: pygame.Window | None = None
        self._usual: Bindings = inputs.bindings
        self._frames, self._at_sea = 0, False

    def frame(self, shown: object, own: dict[str, str]) -> None:
        """Open, draw or close the window, as the screen that is shown asks; ``own`` are the person's own keys."""
        self._at_sea = isinstance(shown, SailScreen)
        if isinstance(shown, SailScreen):
            if shown.two and self.foredeck is None:
                self._open(shown, own)
            elif not shown.two or (self.foredeck is not None and self.foredeck.screen is not shown):
                self.close()
        elif getattr(shown, "session", None) is None or not hasattr(shown, "plan"):
            self.close(keep=True)
        if self.window is None or self.foredeck is None:
            return
        if self.foredeck.palette is not self.foredeck.screen.palette:
            self.foredeck.use(self.foredeck.screen.palette)
        if self._frames % LOOK == 0:
            self.foredeck.draw(self.window.get_surface())
            self.window.flip()
        self._frames += 1

    def _open(self, screen: SailScreen, own: dict[str, str]) -> None:
        bindings = TwoBindings(own)
        title = screen.words("ui.two.title", lesson=screen.session.lesson.title)
        self.window = pygame.Window(title, scene_forward.SIZE, resizable=True)
        self.window.minimum_size = scene_forward.LEAST
        self._usual, self.inputs.bindings = self.inputs.bindings, bindings
        self.foredeck, self._frames = Foredeck(screen, bindings), 0

    def close(self, keep: bool = False) -> None:
        """Close the second window; ``keep`` where the two stay aboard while the sea is not on screen."""
        if self.foredeck is None:
            return
        screen = self.foredeck.screen
        self.inputs.bindings = self._usual
        self.foredeck.leave(self._usual)
        screen.two = keep
        if self.window is not None:
            self.window.destroy()
        self.foredeck = self.window = None

    def take(self, event: pygame.event.Event) -> bool:
        """Return whether an event was the foredeck's alone, and let it work there."""
        if self.foredeck is None or self.window is None:
            return False
        mine = getattr(event, "window", None) is self.window
        if event.type == pygame.WINDOWCLOSE and mine:
            self.foredeck.screen.two = False
            return True
        if event.type in MOUSE and mine:
            if self._at_sea or event.type == pygame.MOUSEBUTTONUP:
                self.foredeck.mouse(event)
            return True
        if event.type in PADS and self._is_second(event):
            self.foredeck.pad(event)
            return True
        if event.type == pygame.KEYDOWN:
            fore = self._fore(event) if self._at_sea else None
            if fore is not None:
                self.foredeck.press(fore)
            return fore is not None
        if event.type == pygame.KEYUP:
            for shift in (False, True):  # whichever it was when it went down
                fore = self.foredeck.bindings.fore(event.scancode, shift)
                if fore is not None:
                    self.foredeck.release(fore)
        return False

    def _fore(self, event: pygame.event.Event) -> Fore | None:
        assert self.foredeck is not None
        shift = bool(getattr(event, "mod", 0) & pygame.KMOD_SHIFT)
        return self.foredeck.bindings.fore(event.scancode, shift)

    def _is_second(self, event: pygame.event.Event) -> bool:
        """Return whether a pad is the foredeck's: the one plugged in last, as the helm has the keyboard."""
        pads = self.inputs.pad.pads
        return bool(pads) and getattr(event, "instance_id", None) == max(pads)
