"""The library's lessons as the list goes through them: headings at once, each lesson when it is come to."""

import threading
from collections.abc import Sequence
from typing import overload

from sim.base.errors import WindrodeError
from sim.scenario.library import Lesson
from sim.scenario.read.headings import headings
from sim.scenario.words.catalogue import ENGLISH
from sim.scenario.words.language import lesson_in


class Syllabus(Sequence[Lesson]):
    """The lessons in a language, in the order of the syllabus, those beside it last.

    Attributes:
        headings: of all of them.
    """

    def __init__(self, language: str = ENGLISH) -> None:
        """Read the headings.

        Raises:
            ScenarioError: when a lesson's own file does not fit.
        """
        self.language, self.headings = language, headings(language)
        self._read: dict[str, Lesson] = {}
        self._one_at_a_time = threading.Lock()

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self.headings)

    @overload
    def __getitem__(self, at: int) -> Lesson: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Lesson]: ...
    def __getitem__(self, at: int | slice) -> Lesson | Sequence[Lesson]:
        """Return a lesson, or several, read and checked with all they refer to.

        Raises:
            ScenarioError: when anything in one, or in a file it refers to, is missing or does not fit.
        """
        if isinstance(at, slice):
            return [self[k] for k in range(*at.indices(len(self)))]
        name = self.headings[at].name
        with self._one_at_a_time:
            if name not in self._read:
                self._read[name] = lesson_in(name, self.language)
            return self._read[name]

    def is_read(self, at: int) -> bool:
        """Return whether a lesson is there without waiting."""
        return self.headings[at].name in self._read

    def read_on(self) -> None:
        """Read the others behind the list, on a thread that does not keep the program alive."""
        threading.Thread(target=self._all, daemon=True).start()

    def _all(self) -> None:
        try:
            for k in range(len(self)):
                self[k]
        except WindrodeError:  # told when somebody comes to it
            return
