"""The catalogue of typical errors: how grave each is, and what commonly brings it about.

Codes, weights and causes are ours: judgement, after what instructors commonly name. Where a weight depends on how bad
it was, the detector gives it.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Entry:
    """An error of the catalogue.

    Attributes:
        weight: 1 cosmetic, 2 poor, 3 costs a night's sleep, 4 likely drag or damage, 5 danger to people or boats.
        parents: codes of the errors that commonly bring it about, the most usual first.
    """

    weight: int
    parents: tuple[str, ...] = ()


CATALOGUE: dict[str, Entry] = {
    # planning and reading
    "A1": Entry(3),
    "A2": Entry(4),
    "A3": Entry(4),
    "A4": Entry(5, ("A6", "A14")),
    "A5": Entry(3),
    "A6": Entry(3),
    "A7": Entry(4, ("A16",)),
    "A8": Entry(4),
    "A9": Entry(5),
    "A10": Entry(2),
    "A11": Entry(3, ("A6",)),
    "A12": Entry(5),
    "A13": Entry(3),
    "A14": Entry(2),
    "A15": Entry(2),
    "A16": Entry(2),
    "A17": Entry(2),
    "A18": Entry(4, ("A3", "A2", "C9", "A15", "A1")),
    "A19": Entry(3, ("A14",)),
    "A20": Entry(4, ("A6", "A14")),
    # approach, way off, drop
    "B1": Entry(3),
    "B2": Entry(4, ("B1",)),
    "B3": Entry(4, ("B12", "B4", "B1")),
    "B4": Entry(3),
    "B5": Entry(4),
    "B6": Entry(3, ("B7", "B10", "A5")),
    "B7": Entry(5, ("B8",)),
    "B8": Entry(2),
    "B9": Entry(2, ("A1", "A14")),
    "B10": Entry(2),
    "B11": Entry(2),
    "B12": Entry(2),
    # laying
    "C1": Entry(4),
    "C2": Entry(3, ("C1",)),
    "C3": Entry(3, ("B5", "C5")),
    "C4": Entry(4, ("B3", "C1", "C5", "C9")),
    "C5": Entry(4, ("B3", "B6", "B7")),
    "C6": Entry(5, ("C5", "F8", "B3")),
    "C7": Entry(3, ("A5", "B6", "B7")),
    "C8": Entry(2, ("C3", "B5", "B6")),
    "C9": Entry(2, ("A14",)),
    "C10": Entry(5),
    "C12": Entry(2, ("B5", "C3", "C8", "B11")),
    "C13": Entry(4, ("A6", "A16")),
    "C14": Entry(4, ("C5", "B3")),
    # setting and checking
    "D1": Entry(4),
    "D2": Entry(3, ("C12", "C3")),
    "D3": Entry(3),
    "D4": Entry(4, ("C9", "C4", "A2", "A3")),
    "D5": Entry(3, ("D1",)),
    "D6": Entry(3),
    "D7": Entry(1),
    "D8": Entry(1),
    "D9": Entry(4, ("D6", "B5", "C4", "C9", "A2", "A11", "D1")),
    "D10": Entry(2, ("D9", "B5", "C9")),
    "D12": Entry(4),
    "D13": Entry(3, ("D1", "D2", "D5", "D9")),
    "D14": Entry(4),
    "D15": Entry(3, ("D1", "D2")),
    # riding and watch
    "E1": Entry(3),
    "E2": Entry(4, ("E1",)),
    "E3": Entry(1),
    "E4": Entry(3, ("B11", "D9", "C1", "C2", "C4")),
    "E5": Entry(2, ("E4", "E6")),
    "E6": Entry(1),
    "E7": Entry(3),
    "E8": Entry(3),
    "E9": Entry(3, ("E8",)),
    "E10": Entry(1, ("A16",)),
    "E11": Entry(3),
    "E12": Entry(3),
    "E13": Entry(4, ("E5", "E4", "E8")),
    "E14": Entry(2),
    # recovery and abort
    "F1": Entry(3),
    "F2": Entry(3),
    "F3": Entry(3, ("F2",)),
    "F4": Entry(4, ("F3",)),
    "F5": Entry(2, ("F3",)),
    "F6": Entry(3, ("F1",)),
    "F7": Entry(4, ("B7", "B6", "C5", "B3")),
    "F8": Entry(5, ("F2", "C5")),
}

# What the simulation cannot show, and why.
UNSHOWN: dict[str, str] = {
    "B13": "nobody walks between helm and foredeck: where she is sailed alone, her one hand works everything at once",
    "C11": "hands, gloves and who stands where are not simulated; the cautions speak of them",
    "D11": "the engine cannot be stopped, only put into neutral, so that it was left running cannot be told",
}


def ancestors(code: str) -> set[str]:
    """Return every code that may lie behind an error, not itself."""
    seen: set[str] = set()
    waiting = list(CATALOGUE[code].parents)
    while waiting:
        parent = waiting.pop()
        if parent not in seen:
            seen.add(parent)
            waiting.extend(CATALOGUE[parent].parents)
    return seen
