"""The command line: thin, every command a few lines over ``sim.play`` and its neighbours."""

import sys
from typing import NoReturn

from sim import __version__
from sim.base.errors import ScenarioError, SimulationDiverged, WindrodeError

INTERRUPTED = 130


def _leave(message: str, code: int) -> NoReturn:
    sys.stderr.write(f"{message}\n")
    raise SystemExit(code) from None


def _stopped() -> NoReturn:
    _leave("stopped; the recording is kept", INTERRUPTED)


def main() -> None:
    """Run ``windrode``; bad input gives a line for each thing that is wrong and exit 2, Ctrl-C one line and 130."""
    if sys.argv[1:] == ["--version"]:  # answered before anything heavy is loaded
        sys.stdout.write(f"windrode {__version__}\n")
        return
    try:
        from sim.ui.cli import app  # noqa: PLC0415 - see above; and Ctrl-C may come while it loads

        app()
    except SimulationDiverged as diverged:
        _leave(str(diverged), 1)
    except ScenarioError as problem:
        _leave("\n".join(str(one) for one in problem.every()), 2)
    except WindrodeError as problem:
        _leave(str(problem), 2)
    except OSError as problem:  # a folder that is a file, a disk that is full
        _leave(str(problem), 2)
    except KeyboardInterrupt:
        _stopped()
    except SystemExit as end:  # the command line library turns Ctrl-C into this
        if end.code == INTERRUPTED:
            _stopped()
        raise


if __name__ == "__main__":
    main()
