"""Marking profiles: whole, or as changes to another."""

import pytest

from sim.scenario import library


@pytest.mark.parametrize("name", ["novice", "skipper", "examiner"])
def test_a_profile_is_out_of_a_hundred_and_names_each_measure_once(name):
    marking = library.load_profile(name)
    names = [m.name for phase in marking.phases for m in phase.measures]

    assert sum(phase.of for phase in marking.phases if not phase.takes_from) == 100.0
    assert len(names) == len(set(names))
    assert all(m.name.startswith(f"{phase.code}.") for phase in marking.phases for m in phase.measures)


def test_levels_differ_in_tolerance_and_the_examiner_asks_for_the_light():
    novice, skipper, examiner = (library.load_profile(n) for n in ("novice", "skipper", "examiner"))

    assert novice.tolerance > skipper.tolerance > examiner.tolerance
    assert novice.phases == skipper.phases == examiner.phases
    assert "cf8" in {fail.code for fail in examiner.critical}
    assert {fail.code for fail in examiner.critical} - {"cf8"} == {fail.code for fail in skipper.critical}
    assert examiner.pass_points > skipper.pass_points


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        pytest.param(
            "full: 5, half: 12, zero: 25", "full: 5, half: 25, zero: 12", "phases[2].measures[2]", id="out-of-order"
        ),
        pytest.param("half: [-0.8, 0.3]", "half: 0.3", "phases[2].measures[0]", id="band-and-figure"),
        pytest.param("half: [-0.8, 0.3]", "half: [-0.3, 0.3]", "phases[2].measures[0]", id="band-inside-band"),
    ],
)
def test_thresholds_must_follow_each_other(spoil, refusal, old, new, key):
    path = spoil("marking/skipper.yaml", old, new)

    error = refusal()

    assert (error.file, error.key) == (str(path), key)


def test_profiles_based_on_each_other_in_a_ring_are_refused(school, refusal):
    path = school / "marking" / "skipper.yaml"
    path.write_text("format: 1\ntitle: x\nversion: 1\ntolerance: 1\nbased_on: novice\n", encoding="utf-8")

    assert refusal().key == "based_on"
