"""The catalogue at the edge: keys and values in, words out. The window has no words of its own."""

from collections.abc import Mapping
from typing import Any

from sim.helm.crew import Call
from sim.pages.debrief import speaker
from sim.ui import measures
from sim.ui.measures import Figure, Kind, Units


class Catalogue:
    """One language, and the units in which lengths are read.

    Attributes:
        words: the language's words by key, lengths in metres.
        units: in which lengths are said here.
    """

    def __init__(self, words: Mapping[str, str], units: Units = "metres") -> None:
        """Take a language's words by key."""
        self.words, self.units = words, units
        self._said = words if units == "metres" else {key: measures.pattern(text) for key, text in words.items()}
        self._say = speaker(self._said)

    def __call__(self, key: str, **values: Any) -> str:
        """Return the words of a key, its values filled in; lengths, named ``_m``, come in metres."""
        return self._said[key].format(**self._measured(values))

    def call(self, call: Call) -> str:
        """Return what the foredeck said."""
        return self._say(call.key, self._measured(call.values))

    def told(self, key: str, values: Mapping[str, Any]) -> str:
        """Return the words of a key; a value that has words of its own is said in them."""
        return self._say(key, self._measured(values))

    def known(self, key: str) -> bool:
        """Return whether the language has a key."""
        return key in self.words

    def ground(self, letters: str) -> str:
        """Return the name of a ground by a chart's letters, or the letters where it has no name."""
        return self.words.get(f"ui.ground.{letters}", letters)

    def figure(self, kind: Kind, length_m: float, digits: int = 0) -> tuple[str, str]:
        """Return a length's figure and its unit."""
        return measures.figure(self.units, kind, length_m, digits), self.unit(kind)

    def length(self, kind: Kind, length_m: float, digits: int = 0) -> str:
        """Return a length with its unit."""
        return " ".join(self.figure(kind, length_m, digits))

    def unit(self, kind: Kind) -> str:
        """Return the word for the unit in which a kind of length is read."""
        return self.words[f"ui.{measures.symbol(self.units, kind)}"]

    def prose(self, text: str) -> str:
        """Return a ready sentence with the lengths in it in a person's units."""
        return measures.prose(text, self.units, self.words["ui.ft"])

    def _measured(self, values: Mapping[str, Any]) -> Mapping[str, Any]:
        if self.units == "metres":
            return values
        return {name: self._with_unit(name, value) for name, value in values.items()}

    def _with_unit(self, name: str, value: Any) -> Any:
        """Return a length with its unit, anything else as it is."""
        if not name.endswith(("_m", "_mpmin")) or isinstance(value, bool):
            return value
        try:
            length_m = float(value)
        except (TypeError, ValueError):
            return value
        exact = value if isinstance(value, str) else f"{value:.1f}".removesuffix(".0")
        digits = value.digits if isinstance(value, Figure) else len(exact.partition(".")[2])
        return self.length(measures.kind_of(name), length_m, digits)
