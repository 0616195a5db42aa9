"""Compiling behind the list, so that a lesson can begin at once."""

import threading

from sim.play import warmup


class Warming:
    """Compiles the kernels behind the list."""

    def __init__(self) -> None:
        """Begin at once, on a thread that does not keep the program alive."""
        self._thread = threading.Thread(target=warmup.warm_up, args=(lambda _line: None,), daemon=True)
        self._thread.start()

    def wait(self) -> None:
        """Wait until everything is compiled."""
        self._thread.join()

    def ready(self) -> bool:
        """Return whether everything is compiled."""
        return not self._thread.is_alive()
