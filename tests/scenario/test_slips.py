"""A slip in a lesson or in a file it refers to is told in one line: file, line, key, expected, found, likely meant."""

import pytest

SLOOP = "boats/sloop-12.yaml"
POOL = "lessons/lantern-pool.yaml"


@pytest.mark.parametrize(
    ("file", "old", "new", "key", "hint"),
    [
        pytest.param(
            SLOOP,
            "roller_height_m: 1.5",
            "roller_height_m: 15",
            "deck.roller_height_m",
            "did you mean 1.5?",
            id="point-slipped",
        ),
        pytest.param(SLOOP, "mass_kg: 9000", "mass_kg: 9.0e6", "hull.mass_kg", "did you mean 90000?", id="grams"),
        pytest.param(POOL, "mean_kn: 8", "mean_mps: 8", "wind.mean_mps", "did you mean mean_kn?", id="wrong-unit"),
        pytest.param(POOL, "limit_min:", "limit_s:", "limit_s", "did you mean limit_min?", id="wrong-time-unit"),
        pytest.param(POOL, "anchorage:", "anchorige:", "anchorige", "did you mean anchorage?", id="misspelt-key"),
        pytest.param(POOL, "side_view,", "sideview,", "aids[3]", "did you mean side_view?", id="misspelt-word"),
        pytest.param(POOL, "boat: sloop-12", "boat: sloop-21", "boat", "did you mean sloop-12?", id="missing-boat"),
        pytest.param(
            POOL, "bay: lantern-pool", "bay: lantern-pol", "bay", "did you mean lantern-pool?", id="missing-bay"
        ),
        pytest.param(POOL, "level: novice", "level: novize", "level", "did you mean novice?", id="missing-level"),
        *(
            pytest.param(POOL, "level: novice", f"level: {word}", "level", f"did you mean {level}?", id=word)
            for word, level in (
                ("beginner", "novice"),
                ("intermediate", "skipper"),
                ("advanced", "examiner"),
                ("expert", "examiner"),
                ("examinor", "examiner"),
            )
        ),
    ],
)
def test_a_slip_is_named_with_what_was_likely_meant(spoil, refusal, line_of, file, old, new, key, hint):
    path = spoil(file, old, new)

    error = refusal()

    assert error.file == str(path)
    assert error.line == line_of(path, new)
    assert error.key == key
    assert error.hint == hint


@pytest.mark.parametrize(
    ("file", "old", "new", "key", "expected", "found"),
    [
        pytest.param(POOL, "format: 1", "format: 2", "format", "1", "2", id="format-of-the-future"),
        pytest.param(
            POOL, "mean_kn: 8,", "mean_kn: fresh,", "wind.mean_kn", "a number", "'fresh'", id="words-for-a-number"
        ),
        pytest.param(POOL, "mean_kn: 8,", "mean_kn: '8',", "wind.mean_kn", "a number", "'8'", id="quoted-number"),
        pytest.param(POOL, "mean_kn: 8,", "mean_kn: .inf,", "wind.mean_kn", "a number", "'.inf'", id="infinite"),
        pytest.param(POOL, "mean_kn: 8,", "mean_kn: true,", "wind.mean_kn", "a number", "true", id="yes-for-a-number"),
        pytest.param(
            POOL,
            "gust_kn: 10,",
            "gust_kn: 6,",
            "wind",
            "gust_kn not below mean_kn",
            "a block of keys",
            id="gust-below-mean",
        ),
        pytest.param(POOL, "start: {", "start: 3 #{", "start", "a block of keys", "3", id="figure-for-a-block"),
        pytest.param(
            POOL, "neighbours: []", "neighbours: {}", "neighbours", "a list", "a block of keys", id="block-for-a-list"
        ),
        pytest.param(POOL, "title: Lantern Pool", "title: 3", "title", "words", "3", id="figure-for-words"),
        pytest.param(
            "bays/lantern-pool.yaml",
            "letters: St",
            "letters: Sx",
            "patches[1].letters",
            "letters of the chart",
            "'Sx'",
            id="no-such-letter",
        ),
        pytest.param(
            "tackle/anchors.yaml",
            "efficiency: 70, burial",
            "burial",
            "anchors.scoop.grips.S",
            "either efficiency, or",
            "a block",
            id="no-holding-law",
        ),
        pytest.param(
            "tackle/anchors.yaml",
            "      St: { efficiency: 2, burial: 0.15 }\n",
            "",
            "anchors.fluke.grips.St",
            "the holding in St",
            "nothing",
            id="ground-without-holding",
        ),
    ],
)
def test_what_does_not_fit_is_told_in_plain_words(spoil, refusal, file, old, new, key, expected, found):
    path = spoil(file, old, new)

    error = refusal()

    assert error.file == str(path)
    assert error.line > 0
    assert error.key == key
    assert error.expected.startswith(expected)
    assert error.found.startswith(found)


def test_a_missing_key_is_named_at_its_block(spoil, refusal, line_of):
    path = spoil(POOL, "mean_kn: 8, ", "")

    error = refusal()

    assert (error.line, error.key, error.found) == (line_of(path, "wind:"), "wind.mean_kn", "none")


def test_the_first_of_several_slips_by_line_is_told(spoil, refusal, line_of):
    spoil(POOL, "veer_deg: 3", "veer_deg: 300")
    path = spoil(POOL, "stay_h: 10", "stay_h: 100")

    assert refusal().line == line_of(path, "stay_h")


def test_the_whole_line_reads_like_this(spoil, refusal, line_of):
    path = spoil(SLOOP, "roller_height_m: 1.5", "roller_height_m: 15")

    line = line_of(path, "roller_height_m")
    assert str(refusal()) == f"{path}:{line}: deck.roller_height_m: expected at most 5, found 15 (did you mean 1.5?)"
