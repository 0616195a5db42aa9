"""The shipped files as a whole: the schema is current, every word is there, every number has its source."""

import json
import re

import pytest

from sim.core import events
from sim.helm import crew
from sim.model.layout import ATTITUDES
from sim.scenario import library
from sim.scenario.schema_marking import schema_text

ROOT = library.data_root()
LANGUAGES = sorted(path.stem for path in (ROOT / "words").glob("*.yaml"))


def test_the_schema_file_is_current():
    """Write it anew with the line at the end of scenarios/README.md."""
    assert (ROOT / "schema.json").read_text(encoding="utf-8") == schema_text()
    assert json.loads(schema_text())["title"] == "Windrode scenario files"


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_language_has_words_for_all_that_happens(language):
    words = library.load_words(language)

    for kind in events.KINDS:
        assert f"event.{kind}" in words
    for attitude in ATTITUDES:
        assert f"attitude.{attitude}" in words


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_language_has_words_for_every_reason_the_core_gives(language):
    """Reasons are the last argument of the core's refusals."""
    source = (ROOT.parent / "sim" / "core" / "orders.py").read_text(encoding="utf-8")
    reasons = set(re.findall(r'_no\(world, [^)]*"(\w+)"\)', source))

    assert len(reasons) > 5
    assert {f"declined.{reason}" for reason in reasons} <= set(library.load_words(language))


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_language_has_words_for_all_the_foredeck_says(language):
    calls = set(crew.KEYS)
    words = set(library.load_words(language))

    assert len(calls) > 10
    assert {f"foredeck.{call}" for call in calls} <= words
    assert {f"stay.{stay}" for stay in crew.STAYS} | {f"sector.{sector}" for sector in crew.SECTORS} <= words


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_leaves_the_same_gaps(language):
    english, other = library.load_words("en"), library.load_words(language)

    assert set(other) == set(english)
    for key, words in english.items():
        assert set(re.findall(r"\{\w+\}", words)) == set(re.findall(r"\{\w+\}", other[key])), key


NUMBERS = sorted(path for folder in ("marking", "tackle", "boats") for path in (ROOT / folder).glob("*.yaml"))


@pytest.mark.parametrize("path", NUMBERS, ids=lambda path: path.stem)
def test_files_of_numbers_say_where_these_come_from(path):
    assert "judgement" in path.read_text(encoding="utf-8")
