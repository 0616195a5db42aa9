"""The catalogue at the edge: keys and values in, words out. The window has no words of its own."""

from collections.abc import Mapping
from typing import Any

from sim.helm.crew import Call
from sim.marking.debrief import speaker


class Catalogue:
    """One language."""

    def __init__(self, words: Mapping[str, str]) -> None:
        """Take a language's words by key."""
        self.words = words
        self._say = speaker(words)

    def __call__(self, key: str, **values: Any) -> str:
        """Return the words of a key, its values filled in."""
        return self.words[key].format(**values)

    def call(self, call: Call) -> str:
        """Return what the foredeck said."""
        return self._say(call.key, call.values)

    def told(self, key: str, values: Mapping[str, Any]) -> str:
        """Return the words of a key; a value that has words of its own is said in them."""
        return self._say(key, values)

    def known(self, key: str) -> bool:
        """Return whether the language has a key."""
        return key in self.words

    def ground(self, letters: str) -> str:
        """Return the name of a ground by a chart's letters, or the letters where it has no name."""
        return self.words.get(f"ui.ground.{letters}", letters)
