"""Words a person reads are plain: no phrase that was retired, no code for a name, no plural with one, whole minutes."""

import json
import re
from collections.abc import Iterator
from functools import cache
from importlib import resources

import click
import pytest
import typer
import yaml

from sim.marking.figures import filled, measured
from sim.scenario import library
from sim.ui.cli import app

ROOT = library.data_root()
PAGES = (("sim.pages", "debrief.html.j2"), ("sim.pages", "brief.html.j2"))
TEXTS = ("title", "aim", "words", "shift", "teaches", "reading", "intended_error", "debrief", "why", "text", "refusal")

# What was said once and stopped a reader, or was misunderstood at sea.
RETIRED = (
    r"anchor's gone", r"\bgrowing\b", r"^leads \{", r"^holding on\.$", r"checking her",
    r"\bavast\b", r"no such thing", r"breaker open", r"\ba breath\b", r"\{\w+\} times\b", r"unlike (make|you|each)",
    r"full is full", r"a boat again", r"\bring the (anchor|mark)\b", r"\btime stands?\b",
    r"as in life", r"^not here\b", r"; not here", r"\bledger\b", r"\bshall\b", r"spot in hand",
    r"of its kind", r"to be sailed again", r"came apart", r"a hundredth of", r"take the engine out", r"water stand\b",
    r"twin hull", r"\bscrews?\b", r"per cent", r"of \{rode_kind\} out", r"\{rode\} out", r"lights and shapes changed",
    r"\bwants\b", r"\bepisodes?\b", r"\bbursts? (of (thirty|\d)|to \d|off)", r"no odds", r"\ban own\b", r"\breckon",
    r"^tell\b", r"\banew\b", r"cockbill", r"what became of", r"an ornament", r"heave up first",
)  # fmt: skip
RETIRED_GERMAN = (
    r", also ", r"[Tt]rosse", r"Zeit wie im Leben", r"Doppelrumpf", r"voll zurück", r"Hundertstel",
    r"\b[Bb]efehl", r"befohlen", r"\bWinsch (zog|abgewürgt|ist)", r"seiner Art", r"\{\w+\} Mal\b", r"Prozent\b",
    r"Lichter und Signalkörper geändert", r"Gang (ist )?drin", r"auseinandergelaufen", r"Atemzug", r"\bkn zurück",
)  # fmt: skip
CODE = re.compile(r"\b(ph|cf)\d+\b|\b[a-z]+_[a-z_]+\b|\b[a-z]+\.[a-z]+_\w+")  # a phase, a fail, an identifier
MANY = {
    "en": r"metres|minutes|hours|seconds|knots|steps|points|lengths|boat lengths|times|degrees|items|contacts|classes"
    r"|kinds|proofs|days|marks|boats|loads|tries",
    "de": r"Minuten|Stunden|Sekunden|Stufen|Punkte|Längen|Bootslängen|Male|Proben|Berührungen|Klassen|Arten|Tage"
    r"|Marken",
}


def catalogue(language: str) -> Iterator[tuple[str, str]]:
    """Yield each line of a language and of the advice in it, with the key it goes by."""
    yield from yaml.safe_load((ROOT / "words" / f"{language}.yaml").read_text("utf-8"))["words"].items()
    advice = resources.files("sim.marking").joinpath(f"advice.{language}.json").read_text("utf-8")
    for name, sides in json.loads(advice).items():
        yield from ((f"advice {name} {side}", text) for side, text in sides.items())


def inside(data: object, where: str) -> Iterator[tuple[str, str]]:
    """Yield every text of a lesson's, boat's or profile's data that is read by a person."""
    if isinstance(data, dict):
        for key, item in data.items():
            if isinstance(item, str) and key in TEXTS:
                yield f"{where}: {key}", item
            yield from inside(item, where)
    elif isinstance(data, list):
        for item in data:
            yield from inside(item, where)


def files(*folders: str) -> Iterator[tuple[str, str]]:
    for folder in folders:
        for path in sorted((ROOT / folder).glob("*.yaml")):
            yield from inside(yaml.safe_load(path.read_text("utf-8")), f"{folder}/{path.name}")


def pages() -> Iterator[tuple[str, str]]:
    """Yield what the templates print that is no tag, no style and no expression."""
    for package, name in PAGES:
        text = resources.files(package).joinpath("templates").joinpath(name).read_text("utf-8")
        text = re.sub(r"(?s)<(style|script).*?</\1>|\{[{%#].*?[}%#]\}|<[^>]*>", " ", text)
        yield from ((name, line.strip()) for line in text.splitlines() if line.strip())


def helps(command: click.Command, name: str = "windrode") -> Iterator[tuple[str, str]]:
    """Yield the help of every command and option."""
    yield name, command.help or ""
    yield from ((f"{name} {p.name}", p.help) for p in command.params if getattr(p, "help", None))
    for sub, one in getattr(command, "commands", {}).items():
        yield from helps(one, f"{name} {sub}")


@cache
def english() -> list[tuple[str, str]]:
    read = [*catalogue("en"), *files("lessons", "practice", "boats", "marking"), *pages()]
    return [*read, *helps(typer.main.get_command(app))]


@cache
def german() -> list[tuple[str, str]]:
    return [*catalogue("de"), *files("lessons/de")]


@pytest.mark.parametrize("phrase", RETIRED)
def test_a_retired_phrase_does_not_come_back(phrase):
    assert [(where, text) for where, text in english() if re.search(phrase, text, re.IGNORECASE)] == []


def test_the_night_tells_how_long_it_has_lasted():
    """Over the hours "Passed" was read as a verdict."""
    assert dict(catalogue("en"))["ui.night.asleep"] == "Elapsed"


@pytest.mark.parametrize("phrase", RETIRED_GERMAN)
def test_a_retired_german_phrase_does_not_come_back(phrase):
    assert [(where, text) for where, text in german() if re.search(phrase, text)] == []


def test_there_is_something_to_read():
    """Whoever finds nothing has looked nowhere."""
    where = {w.split(":")[0].split("/")[0].split(" ")[0] for w, _ in english()}

    assert {"lessons", "practice", "boats", "marking", "advice", "windrode"} <= where
    assert len(english()) > 1500
    assert len(german()) > 1400


@pytest.mark.parametrize("language", ["en", "de"])
def test_nothing_is_called_by_its_code(language):
    """Measures, phases and keys have names of their own: what stands in braces alone is filled in."""
    read = english() if language == "en" else german()
    bare = [(where, re.sub(r"\{\w+\}", "", text)) for where, text in read]
    assert CODE.search("ph1") and CODE.search("cf10") and CODE.search("side_view")
    told = [(where, text) for where, text in bare if not where.startswith("windrode")]  # help names files and keys

    assert [(where, text) for where, text in told if CODE.search(text)] == []


@pytest.mark.parametrize("language", sorted(MANY))
def test_one_is_not_many(language):
    """Each line filled in with ones: "1 steps" is said of nothing."""
    plural = re.compile(rf"(?<![\d.,:×] )(?<![\d.,:])\b1 ({MANY[language]})\b")
    ones = [(where, re.sub(r"\{\w+\}", "1", text)) for where, text in catalogue(language)]

    assert plural.search("1 steps held" if language == "en" else "1 Stufen gehalten")
    assert [(where, text) for where, text in ones if plural.search(text)] == []


def test_a_unit_reads_with_one():
    """A table of measures says its unit behind the figure, whatever the figure is."""
    profile = library.load_profile("skipper")
    units = {m.unit for phase in (*profile.phases, profile.leaving) for m in phase.measures}

    assert "kn" in units
    assert [unit for unit in units if unit.endswith("s") and unit != "s"] == []


@pytest.mark.parametrize("language", ["en", "de"])
def test_minutes_seconds_degrees_and_shares_are_whole(language):
    """As a person says them: no error and no advice speaks of 0.63 min or 14.3 %."""
    broken = re.compile(r"\d\.\d+ ?(min|s|%|°)(?!\w)")
    sentences = [(w, t) for w, t in catalogue(language) if w.startswith(("errors.", "advice "))]
    for value in (0.63, 3.4, 14.3):
        said = [(w, filled(t, dict.fromkeys(re.findall(r"\{(\w+)\}", t), value))) for w, t in sentences]
        assert [(w, t) for w, t in said if broken.search(t)] == []

    assert len(sentences) > 150
    assert [measured(0.63, unit) for unit in ("min", "s", "deg", "m")] == ["1", "1", "1", "0.63"]
    assert measured(14.3, "min") == "14"


@pytest.mark.parametrize("language", ["en", "de"])
def test_helm_and_foredeck_call_one_thing_by_one_word(language):
    """Two windows, one boat: the rail of the helm and the keys of the foredeck."""
    words = dict(catalogue(language))
    same = {
        "ui.rail.snubber": "ui.fore.fore_snubber",
        "ui.rail.bridle": "ui.fore.fore_bridle",
        "ui.rail.stopper": "ui.fore.fore_stopper",
        "ui.rail.grip": "ui.fore.grip",
        "ui.rail.let_go": "ui.fore.fore_brake",
        "ui.rail.preset": "ui.fore.preset",
    }

    assert {helm: words[helm].lower() for helm in same} == {helm: words[fore].lower() for helm, fore in same.items()}
