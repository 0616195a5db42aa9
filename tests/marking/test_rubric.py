"""From values to marks: three points, straight lines between, phases out of 100, and the cap."""

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as some
from marking import sailed

from sim.base.errors import ScenarioError
from sim.core import events as ev
from sim.marking import rubric
from sim.marking.critical import CHECKS, Fail
from sim.marking.measures import MEASURES
from sim.scenario import library
from sim.scenario.schema.marking import FailCode, MeasureName

SKIPPER = library.load_profile("skipper")
ROWS = [pytest.param(m, id=m.name) for p in SKIPPER.phases for m in p.measures]
FAIL = Fail("cf1", "touched", 10.0)


def edges(limit) -> tuple[float, ...]:
    return limit if isinstance(limit, tuple) else (limit,)


@pytest.mark.parametrize("row", ROWS)
def test_each_threshold_gives_exactly_its_marks(row):
    """Full, half and nought at the figures of the profile, at both edges of a band."""
    for limit, share in ((row.full, 1.0), (row.half, 0.5), (row.zero, 0.0)):
        for value in edges(limit):
            assert rubric.marks(value, row.full, row.half, row.zero) == share


def test_what_a_profile_may_ask_for_is_what_marking_knows():
    """A measure or a fail that is named in a file is found by name, or the file is refused when it is read."""
    assert set(get_args(MeasureName)) == set(MEASURES)
    assert set(get_args(FailCode)) == set(CHECKS)


def test_a_misspelt_measure_is_told_when_the_profile_is_read(tmp_path):
    """With its line, and the name that was probably meant; not after the sail."""
    text = (library.data_root() / "marking" / "skipper.yaml").read_text(encoding="utf-8")
    (tmp_path / "marking").mkdir()
    mine = tmp_path / "marking" / "mine.yaml"
    mine.write_text(text.replace("ph5.proofs", "ph5.prooves"), encoding="utf-8")

    lesson = (library.data_root() / "lessons" / "lantern-pool.yaml").read_text(encoding="utf-8")
    (tmp_path / "lessons").mkdir()
    (tmp_path / "lessons" / "mine.yaml").write_text(lesson.replace("level: novice", "level: mine"), encoding="utf-8")

    with pytest.raises(ScenarioError) as told:
        library.load_lesson(str(tmp_path / "lessons" / "mine.yaml"))

    assert told.value.line == 1 + text[: text.index("ph5.proofs")].count("\n")
    assert told.value.hint == "did you mean ph5.proofs?"


THREE = some.lists(some.floats(-50.0, 50.0), min_size=3, max_size=3, unique=True).map(sorted)


@given(THREE, some.floats(-80.0, 80.0), some.floats(0.0, 20.0), some.booleans())
def test_better_never_costs_marks(three, value, more, rises):
    """Marks are between nought and one and never fall as the value improves."""
    full, half, zero = three[::-1] if rises else three
    better = value + more if rises else value - more

    assert 0.0 <= rubric.marks(value, full, half, zero) <= rubric.marks(better, full, half, zero) <= 1.0


@given(some.floats(-5.0, 5.0))
def test_a_band_is_marked_by_its_worse_side(value):
    """Inside the band all the marks; outside, those of the side it lies on."""
    band = ((-0.4, 0.0), (-0.8, 0.3), (-1.5, 0.8))
    low, high = (rubric.marks(value, *(limit[k] for limit in band)) for k in (0, 1))

    assert rubric.marks(value, *band) == min(low, high)
    if -0.4 <= value <= 0.0:
        assert rubric.marks(value, *band) == 1.0
    elif not -0.41 <= value <= 0.01:
        assert rubric.marks(value, *band) < 1.0


@given(THREE, some.floats(-80.0, 80.0))
def test_a_lenient_level_never_marks_lower(three, value):
    """Half and zero move away from full with the tolerance."""
    full, half, zero = three
    wide = [rubric.widened(full, limit, 1.5) for limit in (half, zero)]
    narrow = [rubric.widened(full, limit, 0.8) for limit in (half, zero)]

    strict, plain, lenient = (rubric.marks(value, full, *ends) for ends in (narrow, (half, zero), wide))
    assert strict <= plain + 1e-9 and plain <= lenient + 1e-9  # but for rounding


def test_what_was_not_done_earns_nothing():
    """No value, no marks, whatever the thresholds."""
    assert rubric.marks(None, 0.0, 5.0, 15.0) == 0.0


def test_the_whole_is_a_hundred_whatever_drops_out():
    """An empty bay without a night still adds up, phases keeping their proportions."""
    marks = rubric.judge(sailed.run(), SKIPPER)

    assert sum(p.of for p in marks.phases) == pytest.approx(100.0)
    assert sum(m.of for m in marks.measures) == pytest.approx(100.0)
    assert [p.code for p in marks.phases] == ["ph1", "ph2", "ph3", "ph4", "ph5", "ph6"]
    worth = {p.code: p.of for p in marks.phases}
    assert worth["ph1"] / worth["ph2"] == pytest.approx(2.0)
    names = {m.name for m in marks.measures}
    assert not names & {"ph1.min_gap_loa", "ph2.min_cpa_loa", "ph1.bottom_class"}
    assert not any(name.startswith("ph7.") for name in names)  # no night was sailed


def test_double_weights_count_double():
    """The speed at the touch is worth two of its neighbours."""
    marks = {m.name: m for m in rubric.judge(sailed.run(), SKIPPER).measures}

    assert marks["ph3.sog_at_touch_kn"].of == pytest.approx(2.0 * marks["ph3.bow_off_lie_deg"].of)


def test_the_tolerance_of_a_level_leaves_fixed_measures_alone():
    """Novice widens the bow's angle by half as much again, and not the water under the keel."""
    marks = {m.name: m for m in rubric.judge(sailed.run(), library.load_profile("novice")).measures}

    assert (marks["ph3.bow_off_lie_deg"].half, marks["ph3.bow_off_lie_deg"].zero) == (50.0, 95.0)
    assert marks["ph1.min_ukc_m"].half == 0.5


def test_a_critical_fail_caps_and_says_what_was_earned():
    """However well it was done, forty is the most, and it is not a pass."""
    clean, spoilt = rubric.judge(sailed.run(), SKIPPER), rubric.judge(sailed.run(), SKIPPER, [FAIL])

    assert clean.passed and clean.points > 90.0
    assert (spoilt.points, spoilt.passed) == (40.0, False)
    assert spoilt.earned == clean.points


def test_the_three_that_cost_most_come_dearest_first():
    """A run without plan, mark and transit loses on those."""
    marks = rubric.judge(sailed.run(sailed.without(ev.PlanMade, ev.AnchorMarked, ev.TransitTaken)), SKIPPER)
    lost = [m.lost for m in marks.costliest]

    assert len(lost) == 3
    assert lost == sorted(lost, reverse=True)
    assert max(m.lost for m in marks.measures) == lost[0]


def test_a_perfect_run_has_nothing_that_cost():
    """Nothing lost, nothing told."""
    good = rubric.judge(sailed.run(), SKIPPER)

    assert good.points == pytest.approx(100.0)
    assert good.costliest == ()


def test_every_law_answers_an_empty_attempt():
    """A run in which nothing was done is marked without complaint, and low."""
    marks = rubric.judge(sailed.run([]), SKIPPER)

    assert {m.name for m in marks.measures} <= set(MEASURES)
    assert marks.points < 15.0
