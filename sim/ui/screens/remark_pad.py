"""The pad on which the instructor writes remarks while a run is looked at again: one line at a time."""

from pathlib import Path

import pygame

from sim.record import remarks
from sim.record.remarks import MOST_LETTERS, Remark

NEAR_S = 3.0  # a remark so near the time is the one meant


class RemarkPad:
    """Keeps the remarks beside the run, and the line in hand.

    Attributes:
        kept: the remarks, in order of time.
        line: the line in hand, None while none is being written.
        at_s: the time it is for.
        changed: whether anything was changed since the run was opened.
    """

    def __init__(self, folder: Path) -> None:
        """Take up what lies beside the run."""
        self.folder = folder
        self.kept = remarks.read(folder)
        self.line: str | None = None
        self.at_s = 0.0
        self.changed = False
        self._before: list[list[Remark]] = []  # what each change replaced
        self._deaf = False  # the key that opened the pad also writes a letter, which is not meant

    @property
    def times(self) -> list[float]:
        """The times of the remarks."""
        return [one.t_s for one in self.kept]

    def near(self, t_s: float) -> Remark | None:
        """Return the remark at a time, None where there is none."""
        found = [one for one in self.kept if abs(one.t_s - t_s) < NEAR_S]
        return min(found, key=lambda one: abs(one.t_s - t_s)) if found else None

    def open(self, t_s: float) -> None:
        """Begin a line for a time; the remark that is there is taken in hand."""
        here = self.near(t_s)
        self.line, self.at_s = (here.text, here.t_s) if here is not None else ("", t_s)
        self._deaf = True

    def key(self, code: int) -> None:
        """A key goes down while a line is in hand: Enter keeps it, Escape drops it, Backspace takes a letter away."""
        self._deaf = False
        if self.line is None:
            return
        if code in (pygame.K_RETURN, pygame.K_KP_ENTER):
            self._enter(self.line.strip())
        elif code == pygame.K_ESCAPE:
            self.line = None
        elif code == pygame.K_BACKSPACE:
            self.line = self.line[:-1]

    def write(self, text: str) -> None:
        """Letters are typed."""
        if self.line is not None and not self._deaf:
            self.line = (self.line + "".join(c for c in text if c.isprintable()))[:MOST_LETTERS]

    def _enter(self, text: str) -> None:
        """Keep the line in hand; left empty it takes its remark away."""
        others = [one for one in self.kept if one.t_s != self.at_s]
        self._put(sorted([*others, Remark(self.at_s, text)]) if text else others)
        self.line = None

    def take_away(self, t_s: float) -> None:
        """Take away the remark at a time, where there is one."""
        here = self.near(t_s)
        if here is not None:
            self._put([one for one in self.kept if one != here])

    def undo(self) -> None:
        """Put things back to before the last change."""
        if self._before:
            self._keep(self._before.pop())

    def _put(self, rows: list[Remark]) -> None:
        if rows != self.kept:
            self._before.append(self.kept)
            self._keep(rows)

    def _keep(self, rows: list[Remark]) -> None:
        self.kept, self.changed = rows, True
        remarks.write(self.folder, rows)
