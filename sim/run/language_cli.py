"""The option for a language, and what a language still lacks."""

from typing import Annotated

import typer

from sim.marking import advice
from sim.scenario import language as languages

Language = Annotated[
    str | None,
    typer.Option(
        "--language", envvar="WINDRODE_LANGUAGE", help="of all that is said: the name of a file in scenarios/words"
    ),
]


def report(language: str) -> list[str]:
    """Return what a language lacks and what in it nothing asks for, a line each, and how many these are.

    Raises:
        ScenarioError: when there is no such language, or one of its files does not fit.
    """
    lacking = [f"{key}: not there, said in English" for key in languages.lacking(language) + advice.lacking(language)]
    lines = lacking + [f"{key}: nothing asks for it" for key in languages.unknown(language)]
    return [*lines, f"{language}: {len(lines)} to see to" if lines else f"{language}: complete"]
