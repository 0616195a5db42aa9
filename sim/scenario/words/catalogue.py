"""The words of a language: its own file laid over the English one, which stands in for what it lacks."""

import re
from collections.abc import Mapping

from sim.scenario.read import load
from sim.scenario.read.shelf import Asked, Shelf
from sim.scenario.schema.marking import WordsFile

ENGLISH = "en"
LONGER = "longer"  # a language of English words two fifths longer, made and not kept: does everything fit?
LENGTHENED = 0.4

_GAP = re.compile(r"\{\w+\}")


def gaps(text: str) -> set[str]:
    """Return the places of a text that are filled in, braces and all."""
    return set(_GAP.findall(text))


def longer(text: str) -> str:
    """Return a text two fifths longer, word by word, its gaps as they were."""
    owed, out = 0.0, []
    for word in text.split(" "):
        owed += LENGTHENED * (len(word) + 1)
        out.append(word + "~" * int(owed))
        owed -= int(owed)
    return " ".join(out)


def own_words(books: Shelf, language: str) -> dict[str, str]:
    """Return what a language's file says, by key.

    Raises:
        ScenarioError: when there is no such language, its file does not fit, or a sentence has other gaps than the
            English one.
    """
    file, document = books.read(WordsFile, "words", language, Asked())
    if language != ENGLISH:
        _check_gaps(file.words, books.read(WordsFile, "words", ENGLISH, Asked())[0].words, document)
    return file.words


def words(books: Shelf, language: str) -> dict[str, str]:
    """Return the words of a language by key, in English where it has none.

    Raises:
        ScenarioError: as ``own_words``.
    """
    english = own_words(books, ENGLISH)
    if language == LONGER:
        return {key: longer(text) for key, text in english.items()}
    return english if language == ENGLISH else english | own_words(books, language)


def _check_gaps(own: Mapping[str, str], english: Mapping[str, str], document: load.Document) -> None:
    for key, text in own.items():
        asked, found = gaps(english.get(key, text)), gaps(text)
        if asked != found:
            expected = " and ".join(sorted(asked)) or "nothing in braces"
            raise document.error(("words", key), expected, " and ".join(sorted(found)) or "nothing in braces")
