"""How far the marking agrees with the examiner: every case sailed, marked, and laid beside the verdict written for it.

    PYTHONPATH=tests python tests/examiner/agree.py [--again FOLDER] [ID ...]

Runs go to ``--again``'s folder where one is given, and a run that lies there already is only marked again.
"""

import argparse
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from examiner.cases import Case, all_cases
from examiner.hands import sail
from examiner.ship import Marked, load_past


@dataclass(frozen=True)
class Judged:
    """A case and what the marking made of it."""

    case: Case
    marked: Marked

    @property
    def agrees(self) -> bool:
        """Whether pass or not is the examiner's, and the points are within the band."""
        least, most = self.case.verdict.points
        marks = self.marked.marks
        return marks.passed == self.case.verdict.passed and least - 0.5 <= marks.points <= most + 0.5

    def row(self) -> str:
        """Return the case as lines of text: both verdicts, both errors."""
        said, marks = self.case.verdict, self.marked.marks
        named = " ".join(f"{e.code}({e.weight},{e.certainty:.1f})" for e in self.marked.errors)
        reasons = " ".join(r.code for r in marks.reasons)
        head = f"{'' if self.agrees else '!! '}{self.case.id}: {marks.points:.0f} {'passed' if marks.passed else 'not'}"
        asked = f"asked {said.points[0]:.0f} to {said.points[1]:.0f} {'passed' if said.passed else 'not'}"
        lines = (
            f"{head} | {asked}",
            f"     said:  {said.error} <- {said.cause}",
            f"     named: {named or 'nothing'} | {reasons}",
        )
        return "\n".join(lines)


def judge(case: Case, folder: Path) -> Judged:
    """Return a case marked, sailed first where it does not lie in its folder."""
    if not (folder / "track.npz").is_file():
        folder.mkdir(parents=True, exist_ok=True)
        sailed = sail(case, folder)
        sailed.attempt.finish(sailed.why, sleep=False)
    return Judged(case, load_past(folder).marked)


def falls(judged: Sequence[Judged]) -> list[str]:
    """Return the pairs in which a fault more gave more points."""
    points = {one.case.id: one.marked.marks.points for one in judged}
    pairs = ((one.case.id, one.case.base) for one in judged if one.case.base in points)
    return [f"{worse} {points[worse]:.0f} > {base} {points[base]:.0f}" for worse, base in pairs
            if base is not None and points[worse] > points[base] + 0.5]  # fmt: skip


def main() -> None:
    """Sail, mark and print."""
    parser = argparse.ArgumentParser()
    parser.add_argument("ids", nargs="*")
    parser.add_argument("--again", type=Path)
    given = parser.parse_args()
    root = given.again or Path(tempfile.mkdtemp())
    cases = [case for name, case in all_cases().items() if not given.ids or name in given.ids]
    judged = []
    for case in cases:
        judged.append(judge(case, root / case.id))
        print(judged[-1].row(), flush=True)  # noqa: T201 - a script
    agreed = sum(one.agrees for one in judged)
    print(f"{agreed} of {len(judged)} agree; a fault more, and more points: {falls(judged) or 'never'}")  # noqa: T201


if __name__ == "__main__":
    main()
