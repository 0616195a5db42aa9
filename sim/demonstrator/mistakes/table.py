"""Every canned mistake by its code."""

from sim.base.errors import ScenarioError
from sim.demonstrator.mistakes import approach, laying, planning, recovery, riding, setting
from sim.demonstrator.mistakes.manner import Mistake

MISTAKES: dict[str, Mistake] = {
    m.code: m for part in (planning, approach, laying, setting, riding, recovery) for m in part.MISTAKES
}


def find(code: str) -> Mistake:
    """Return the canned mistake of a code.

    Raises:
        ScenarioError: when there is none.
    """
    found = MISTAKES.get(code.upper())
    if found is None:
        raise ScenarioError("the command line", 0, "--mistake", f"one of {', '.join(MISTAKES)}", code)
    return found
