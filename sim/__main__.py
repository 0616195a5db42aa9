"""The command line: thin, every command a few lines over ``sim.run``."""

import sys
from typing import NoReturn

from sim import __version__


def _leave(message: str, code: int) -> NoReturn:
    sys.stderr.write(f"{message}\n")
    raise SystemExit(code) from None


def main() -> None:
    """Run ``windrode``; bad input gives one line and exit 2, Ctrl-C a clean 130."""
    if sys.argv[1:] == ["--version"]:  # answered before anything heavy is loaded
        sys.stdout.write(f"windrode {__version__}\n")
        return
    from sim.base.errors import SimulationDiverged, WindrodeError  # noqa: PLC0415 - see above
    from sim.run.cli import app  # noqa: PLC0415

    try:
        app()
    except SimulationDiverged as diverged:
        _leave(str(diverged), 1)
    except WindrodeError as problem:
        _leave(str(problem), 2)
    except KeyboardInterrupt:
        _leave("stopped; what was recorded is kept", 130)


if __name__ == "__main__":
    main()
