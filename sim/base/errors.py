"""The errors a person may meet, each one clear line."""

from collections.abc import Sequence
from dataclasses import dataclass


class WindrodeError(Exception):
    """Anything the program explains to its user instead of crashing."""


@dataclass(eq=False)  # not frozen: Python itself sets an exception's traceback
class ScenarioError(WindrodeError):
    """A file that cannot be used.

    Attributes:
        file: the file's path, as given.
        line: 1-based line number, 0 where no line applies.
        key: dotted path of the key, empty where no key applies.
        expected: what should have stood there.
        found: what stood there.
        hint: a likely slip, or empty.
        also: what else is wrong in this file or in those it refers to.
    """

    file: str
    line: int
    key: str
    expected: str
    found: str
    hint: str = ""
    also: tuple["ScenarioError", ...] = ()

    def every(self) -> list["ScenarioError"]:
        """Return this error and all that were found with it, by file and line."""
        return [self, *(one for other in self.also for one in other.every())]

    def __str__(self) -> str:
        """Return the one line shown to the user."""
        where = f"{self.file}:{self.line}" if self.line else self.file
        key = f" {self.key}:" if self.key else ""
        hint = f" ({self.hint})" if self.hint else ""
        return f"{where}:{key} expected {self.expected}, found {self.found}{hint}"


def together(errors: Sequence[ScenarioError]) -> ScenarioError:
    """Return the first of some errors, of at least one, with the others told along with it, each once."""
    first, *others = dict.fromkeys(one for error in errors for one in error.every())
    for other in others:
        other.also = ()
    first.also = tuple(others)
    return first


@dataclass(eq=False)  # not frozen: Python itself sets an exception's traceback
class SimulationDiverged(WindrodeError):  # noqa: N818 - it names what happened, as the trade of solvers does
    """The state stopped being a boat: not finite, or beyond physical limits.

    Attributes:
        tick: the tick at which it was noticed.
        field: name of the state array and element.
        value: the offending value.
    """

    tick: int
    field: str
    value: float

    def __str__(self) -> str:
        """Return the one line shown to the user."""
        return f"the simulation diverged at tick {self.tick}: {self.field} = {self.value!r}"


@dataclass(eq=False)  # not frozen: Python itself sets an exception's traceback
class NotMarked(WindrodeError):  # noqa: N818 - it says what the attempt is
    """An attempt that could not be marked; its track and recording are kept in ``folder``."""

    folder: str
    why: str

    def __str__(self) -> str:
        """Return the one line shown to the user."""
        return f"{self.folder}: sailed and kept, but could not be marked: {self.why}"


@dataclass(eq=False)  # not frozen: Python itself sets an exception's traceback
class RecordingError(WindrodeError):
    """A recording that cannot be read or does not verify."""

    file: str
    message: str

    def __str__(self) -> str:
        """Return the one line shown to the user."""
        return f"{self.file}: {self.message}"
