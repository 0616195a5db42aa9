"""Batches of the demonstrator: what counts as managed, where a lesson is hardest, rows on disk, and going on later."""

import io
import os
from dataclasses import replace

import pytest
from rich.console import Console

from sim.base.errors import ScenarioError
from sim.batch import proof, trials
from sim.batch.trials import Row
from sim.scenario import library


def row(seed: int, held: bool = True, points: float = 90.0, gap: float | None = None, **other: object) -> Row:
    base = Row("lantern-pool", seed, held, False, 0.5, gap, points, {"ph1": 0.9, "ph3": 0.6}, 900.0, "0")
    return replace(base, **other)  # type: ignore[arg-type]


def test_a_day_is_managed_when_the_lesson_says_passed_and_she_stays_or_rightly_leaves_untouched():
    assert row(1).good
    assert not row(1, passed=False).good
    assert not row(1, contact=True).good
    assert not row(1, held=False).good
    assert row(1, held=False, left=True).good


def test_proof_weighs_days_and_gaps():
    weighed = proof.weigh([row(1, True, 90.0, 20.0), row(2, False, 50.0, 8.0)])

    assert (weighed.managed, weighed.reliable, weighed.least_gap_m) == (0.5, False, 8.0)
    assert weighed.difficulty == pytest.approx(0.5 * 0.3 + 0.5 * 0.5)
    assert any("day 2" in line for line in proof.words(library.load_lesson("lantern-pool"), weighed))


def test_the_hardest_moment_is_the_measure_that_cost_most_over_all_days_and_when_that_was():
    rows = [
        row(1, worst="ph3.bow_off_lie_deg", worst_lost=2.0, worst_s=100.0),
        row(2, worst="ph4.slack_ratio", worst_lost=3.0, worst_s=300.0),
        row(3, worst="ph3.bow_off_lie_deg", worst_lost=2.5, worst_s=120.0),
    ]
    found = proof.hardest(rows)

    assert found == proof.Hardest("ph3.bow_off_lie_deg", pytest.approx(2.25), 110.0, 2)
    said = proof.moment(library.load_lesson("lantern-pool"), found)
    assert said.endswith("2.2 points, about 1:50")
    assert "ph3" not in said, "in words, not by its key"
    assert proof.hardest([row(1)]) is None


def test_rows_come_back_from_disk_as_they_went(tmp_path):
    rows = [row(1, gap=3.5, drag_m=None, missed="ph5.drag_m"), row(2, left=True, errors="B3 C1", phases={"leave": 1.0})]
    trials.write_csv(rows, tmp_path / "rows.csv")

    assert trials.read_csv(tmp_path / "rows.csv") == rows


@pytest.mark.parametrize(("old", "new", "line", "key"), [("held", "stayed", 1, "held"), ("True", "perhaps", 2, "")])
def test_a_file_that_is_no_table_of_trials_is_refused_in_one_line(tmp_path, old, new, line, key):
    path = tmp_path / "rows.csv"
    trials.write_csv([row(1)], path)
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")

    with pytest.raises(ScenarioError) as told:
        trials.read_csv(path)
    assert (told.value.line, told.value.key) == (line, key)


def test_a_batch_that_was_broken_off_goes_on_without_sailing_again_what_it_has(here, tmp_path):
    path = tmp_path / "rows.csv"
    trials.write_csv([row(1, state_hash="kept")], path)
    said = here("trials", "lantern-pool", "--seeds", "1:3", "--jobs", "1", "--csv", str(path), "--resume")
    rows = trials.read_csv(path)

    assert said.code == 0
    assert [(r.seed, r.state_hash == "kept") for r in rows] == [(1, True), (2, False)]


def test_every_lesson_of_the_library_or_one_by_name_is_asked_for(here):
    assert "expected the name of a lesson, or --all" in " ".join(here("trials").err.split())
    assert "--csv" in here("trials", "lantern-pool", "--resume").err


@pytest.mark.slow
@pytest.mark.parametrize("name", library.lesson_names())
def test_the_demonstrator_manages_eleven_days_of_twelve(name):
    """On days that were not looked at while it was made. One way of several that are right; the rest is weather."""
    rows = trials.run([(name, seed) for seed in range(401, 413)], jobs=min(os.cpu_count() or 1, 4))
    safe = not library.load_lesson(name).sources.lesson.no_safe_spot

    assert not [r.seed for r in rows if r.contact]
    assert sum(r.good for r in rows) >= (11 if safe else 12), [(r.seed, r.held, r.missed, r.points) for r in rows]


PHASES = {f"ph{k}": 1.0 for k in range(1, 8)} | {"leave": 0.5}


def printed(rows: list[Row], width: int) -> list[str]:
    console = Console(width=width, file=io.StringIO())
    console.print(trials.table(rows, width))
    return console.file.getvalue().splitlines()  # type: ignore[attr-defined]


@pytest.mark.parametrize("width", [60, 79, 80, 100, 140])
@pytest.mark.parametrize("names", [("examiners-bay",), ("saltmarrow-springs", "wethercombe-ledge")])
def test_a_table_is_as_wide_as_the_terminal_at_most_and_breaks_no_cell(names, width):
    rows = [row(s, gap=112.4, drag_m=10.25, points=100.0, phases=PHASES, lesson=n) for n in names for s in (7, 140)]
    lines = printed(rows, width)
    bodies = [line for line in lines if " yes " in line]

    assert all(len(line) <= width for line in lines)
    assert len(bodies) == len(rows)
    assert all(str(r.seed) in line.split() and "100" in line.split() for r, line in zip(rows, bodies, strict=True))
    assert not any("…" in line for line in lines)


def test_a_table_that_is_too_wide_says_what_it_has_no_room_for():
    wide = [row(1, gap=12.0, phases=PHASES, lesson="wethercombe-ledge"), row(1, phases=PHASES, lesson="three-towers")]
    narrow, roomy = " ".join(printed(wide, 80)), " ".join(printed(wide, 140))
    narrow = " ".join(narrow.split())

    assert "no room for drag" in narrow and "drag m" not in narrow
    assert "no room" not in roomy and "drag m" in roomy
    assert "wethercombe-ledge: 1 of 1" in " ".join(printed(wide[:1], 80))
