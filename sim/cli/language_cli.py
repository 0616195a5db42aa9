"""The option for a language, and what a language still lacks."""

from collections.abc import Sequence
from typing import Annotated

import typer

from sim.base.errors import ScenarioError
from sim.marking import advice
from sim.scenario.words import language as languages

Language = Annotated[
    str | None,
    typer.Option(
        "--language", envvar="WINDRODE_LANGUAGE", help="language to use: the name of a file in scenarios/words"
    ),
]


def report(language: str, own: Sequence[str] = ()) -> list[str]:
    """Return what a language lacks and what in it nothing asks for, a line each, and how many these are.

    Args:
        language: its name.
        own: lessons to look at beside the library's, by path; those that do not load are left to whoever loads them.

    Raises:
        ScenarioError: when there is no such language, or one of its files does not fit.
    """
    asked = languages.lacking(language) + advice.lacking(language)
    for path in own:
        try:
            asked += [key for key in languages.lesson_lacking(path, language) if key not in asked]
        except ScenarioError:
            continue
    lines = [f"{key}: missing, English is used" for key in asked]
    lines += [f"{key}: not used anywhere" for key in languages.unknown(language)]
    return [*lines, f"{language}: {len(lines)} to fix" if lines else f"{language}: complete"]
