"""Reading a file: plain data with lines, and one clear error for whatever is wrong."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.base.errors import ScenarioError
from sim.scenario.read import load


def parse(text: str) -> load.Document:
    return load.parse(text.encode(), "here.yaml")


def refused(text: str | bytes) -> ScenarioError:
    raw = text.encode() if isinstance(text, str) else text
    with pytest.raises(ScenarioError) as caught:
        load.parse(raw, "here.yaml")
    assert "\n" not in str(caught.value)
    return caught.value


def test_every_key_and_entry_knows_its_line():
    document = parse("format: 1\nwind:\n  mean_kn: 12\ntide:\n  - { at_h: 0 }\n  - { at_h: 6 }\n")

    assert document.line(("wind", "mean_kn")) == 3
    assert document.line(("tide", 1, "at_h")) == 6
    assert document.line(("wind", "gust_kn")) == 2, "a key that is missing is looked for in its block"


def test_scalars_follow_yaml_1_2():
    """``on`` and ``no`` are words and 12:30 is no number: the traps of the older standard are not set."""
    data = parse("a: on\nb: no\nc: 12:30\nd: 1e3\ne: '5'\nf: true\ng: ~\nh: 2026-01-01\ni: -3\nj: .5").data

    assert data == {
        "a": "on", "b": "no", "c": "12:30", "d": 1000.0, "e": "5", "f": True, "g": None, "h": "2026-01-01", "i": -3,
        "j": 0.5,
    }  # fmt: skip


def test_not_a_number_is_only_a_word():
    assert parse("a: .nan\nb: .inf").data == {"a": ".nan", "b": ".inf"}


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        pytest.param("format: 1\n\tname: x\n", 2, "a tab", id="tab"),
        pytest.param("", 1, "an empty file", id="empty"),
        pytest.param("# nothing\n", 1, "an empty file", id="only-comments"),
        pytest.param("- a\n- b\n", 1, "a list of 2", id="list"),
        pytest.param("words\n", 1, "'words'", id="scalar"),
        pytest.param("a: 1\nb: [1, 2\nc: 3\n", 3, "", id="unclosed"),
        pytest.param("a: 1\nb: 2\na: 3\n", 3, "it again (first on line 1)", id="repeated-key"),
        pytest.param("a: 1\n---\nb: 2\n", 2, "a second one", id="two-documents"),
        pytest.param("a: 1\nb: !!python/object:os.system x\n", 2, "the tag", id="tag"),
        pytest.param("a: &x 1\n", 1, "an alias or anchor", id="anchor"),
        pytest.param("? [a, b]\n: 1\n", 1, "a list or block", id="list-as-key"),
    ],
)
def test_a_file_that_is_no_block_of_plain_keys_is_refused_with_its_line(text, line, found):
    error = refused(text)

    assert error.file == "here.yaml"
    assert error.line == line
    assert error.found.startswith(found)


def test_an_alias_bomb_is_refused_at_its_first_anchor():
    rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    rows += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 12)]

    error = refused("\n".join(rows))

    assert (error.line, error.key) == (1, "a0")


def test_deep_nesting_is_refused():
    assert "levels" in refused("a: " + "[" * 40 + "]" * 40).expected


def test_a_huge_file_is_refused(tmp_path):
    path = tmp_path / "huge.yaml"
    path.write_bytes(b"a: 1\n" + b"#" * load.MAX_BYTES)

    with pytest.raises(ScenarioError, match="at most 1 MB"):
        load.read(path)


def test_bytes_that_are_no_text_are_refused_with_their_line():
    assert refused(b"a: 1\nb: \xff\xfe\n").line == 2


def test_a_file_that_is_not_there_is_named(tmp_path):
    path = tmp_path / "none.yaml"

    with pytest.raises(ScenarioError) as caught:
        load.read(path)

    assert str(path) in str(caught.value)


@given(st.text(max_size=200))
def test_any_text_gives_a_block_or_one_clear_error(text):
    """Whatever is typed: never a traceback of another kind."""
    try:
        raw = text.encode()
    except UnicodeEncodeError:
        return
    try:
        assert isinstance(load.parse(raw, "here.yaml").data, dict)
    except ScenarioError as error:
        assert "\n" not in str(error)
