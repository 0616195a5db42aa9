"""The shipped files as a whole: the schema is current, every word is there, every number has its source."""

import json
import re

import pytest

from sim.core import events
from sim.helm import crew
from sim.model.layout import ATTITUDES
from sim.scenario import library
from sim.scenario.schema.marking import schema_text

ROOT = library.data_root()


def test_the_schema_file_is_current():
    """Write it again with the line at the end of scenarios/README.md."""
    assert (ROOT / "schema.json").read_text(encoding="utf-8") == schema_text()
    assert json.loads(schema_text())["title"] == "Windrode scenario files"


def test_there_are_words_for_all_that_happens():
    words = library.load_words("en")

    for kind in events.KINDS:
        assert f"event.{kind}" in words
    for attitude in ATTITUDES:
        assert f"attitude.{attitude}" in words


def test_there_are_words_for_every_reason_the_core_gives():
    """Reasons are the last argument of the core's refusals."""
    source = (ROOT.parent / "sim" / "core" / "orders" / "carry_out.py").read_text(encoding="utf-8")
    reasons = set(re.findall(r'_no\(world, [^)]*"(\w+)"\)', source))

    assert len(reasons) > 5
    assert {f"declined.{reason}" for reason in reasons} <= set(library.load_words("en"))


def test_there_are_words_for_all_the_foredeck_says():
    calls = set(crew.KEYS)
    words = set(library.load_words("en"))

    assert len(calls) > 10
    assert {f"foredeck.{call}" for call in calls} <= words
    assert {f"stay.{stay}" for stay in crew.STAYS} | {f"sector.{sector}" for sector in crew.SECTORS} <= words


NUMBERS = sorted(path for folder in ("marking", "tackle", "boats") for path in (ROOT / folder).glob("*.yaml"))


@pytest.mark.parametrize("path", NUMBERS, ids=lambda path: path.stem)
def test_files_of_numbers_say_where_these_come_from(path):
    assert "judgement" in path.read_text(encoding="utf-8")
