"""The errors of a run: every detector asked, each error with its place in the causal chain and its sentence."""

from collections.abc import Collection
from dataclasses import dataclass
from functools import cache

from sim.marking import credit
from sim.marking.errors import approach, laying, place, planning, recovery, riding, setting
from sim.marking.errors.catalogue import CATALOGUE, ancestors
from sim.marking.errors.signs import Detector, Sign
from sim.marking.figures import filled
from sim.marking.phases import berth, leave
from sim.marking.run import Run
from sim.scenario import library

DETECTORS: dict[str, Detector] = {
    **planning.DETECTORS,
    **approach.DETECTORS,
    **laying.DETECTORS,
    **setting.DETECTORS,
    **place.DETECTORS,
    **riding.DETECTORS,
    **recovery.DETECTORS,
}

PLANNED = "A"  # letter of what is wrong with a plan
DEPARTING = ("C6", "F1", "F2", "F3", "F4", "F5", "F6")  # what can be done wrong on the way out
DANGER = 5  # weight of what is held against her whenever it was
SAME_S = 1.0  # a cause comes no later than what it brings about, give or take
FORGIVEN = ("C", "D")  # letters of what an attempt called off in time is not held to


@dataclass(frozen=True)
class Error:
    """An error that was found.

    Attributes:
        code: in the catalogue.
        t_s: when it happened.
        at: north, east of the place, where there is one.
        weight: 1 cosmetic to 5 danger.
        certainty: 0 to 1.
        parents: codes of those found in the same run that may lie behind it, the most usual first.
        values: the figures of its sentence.
        way: which of its sentences, empty for the plain one.
    """

    code: str
    t_s: float
    at: tuple[float, float] | None
    weight: int
    certainty: float
    parents: tuple[str, ...]
    values: dict[str, float]
    way: str = ""

    @property
    def gravity(self) -> float:
        """Weight times certainty."""
        return self.weight * self.certainty

    def text(self, language: str = "en") -> str:
        """Return what to say about it: what was seen with its figure, what follows from it, the remedy."""
        key = f"errors.{self.code}.{self.way}" if self.way else f"errors.{self.code}"
        return filled(_words(language)[key], self.values)


@cache
def _words(language: str) -> dict[str, str]:
    return library.load_words(language)


def find_errors(run: Run, codes: Collection[str] | None = None) -> tuple[Error, ...]:
    """Return the errors of a run, greatest weight times certainty first, the earlier first among equals.

    Args:
        run: the run.
        codes: which detectors to ask; all of them if left out.
    """
    asked = DETECTORS if codes is None else {code: DETECTORS[code] for code in codes}
    signs = {code: sign for code, detect in asked.items() if (sign := _sign(run, code, detect)) is not None}
    if run.moments.touch is not None and not run.at_anchor:
        # What an earlier attempt showed is listed, not held against the one that counts; danger is danger.
        begin_s = run.moments.begin_s
        signs = {
            code: s for code, s in signs.items()
            if code[0] == PLANNED or s.t_s >= begin_s or (s.weight or CATALOGUE[code].weight) >= DANGER
        }  # fmt: skip
    if leave.is_answer(run):
        # Nothing was anchored by this plan: that it would not do is why she left.
        signs = {code: sign for code, sign in signs.items() if code[0] != PLANNED}
    if berth.is_one(run):
        signs = {code: sign for code, sign in signs.items() if code not in berth.NO_ERRORS}
    off_s = credit.called_off_s(run)
    if off_s is not None:
        # What was given up in time is forgiven: laying and setting were not finished.
        signs = {code: s for code, s in signs.items() if code[0] not in FORGIVEN or s.t_s > off_s}
    found = [
        Error(
            code=code,
            t_s=round(sign.t_s, 3),
            at=sign.at,
            weight=sign.weight or CATALOGUE[code].weight,
            certainty=round(sign.certainty, 3),
            parents=tuple(p for p in CATALOGUE[code].parents if p in signs and signs[p].t_s <= sign.t_s + SAME_S),
            values=sign.values,
            way=sign.way,
        )
        for code, sign in signs.items()
    ]
    return tuple(sorted(found, key=lambda e: (-e.gravity, e.t_s, e.code)))


def _sign(run: Run, code: str, detect: Detector) -> Sign | None:
    """Return what a detector sees of a run, its departure included where the error can be made there."""
    sign = detect(run)
    return detect(run.leaving) if sign is None and run.leaving is not None and code in DEPARTING else sign


def root(error: Error, found: Collection[Error]) -> Error:
    """Return the earliest of the errors found that may lie behind ``error``; itself where none does."""
    behind = ancestors(error.code)
    older = [e for e in found if e.code in behind and e.t_s <= error.t_s + SAME_S]
    return min(older, key=lambda e: (e.t_s, -e.gravity), default=error)


def related(one: Error, other: Error) -> bool:
    """Return whether one of two errors may lie behind the other, or both stem from a third."""
    a, b = {one.code} | ancestors(one.code), {other.code} | ancestors(other.code)
    return one.code in b or other.code in a
