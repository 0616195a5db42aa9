"""Every command and every event is one line of text each way."""

import dataclasses
import json
import typing

import pytest
from hypothesis import given
from hypothesis import strategies as some

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.core.orders import textline

# A line is JSON: numbers are finite and texts are text; whole numbers within the sixteen digits a float keeps.
VALUES = {
    bool: some.booleans(),
    int: some.integers(-(10**9), 10**9),
    float: some.floats(allow_nan=False, allow_infinity=False),
    str: some.text(max_size=40),
}


def filled(kind: type) -> some.SearchStrategy:
    """Return a strategy for one kind with every field drawn."""
    hints = typing.get_type_hints(kind)
    return some.builds(kind, **{f.name: VALUES[hints[f.name]] for f in dataclasses.fields(kind)})


@pytest.mark.parametrize(
    ("room", "kind"), [(r, k) for r in (cmd, ev) for k in r.KINDS.values()], ids=lambda x: x.__name__
)
def test_a_line_says_all_of_it(room, kind):
    """Written, read and written again: equal, on one line, with nothing but plain data."""

    @given(filled(kind))
    def there_and_back(item):
        line = textline.to_line(item, "do" if room is cmd else "was")
        assert "\n" not in line
        assert room.from_dict(json.loads(line)) == item
        assert room.to_line(room.from_dict(json.loads(line))) == line

    there_and_back()


def test_defaults_are_left_out():
    assert cmd.to_line(cmd.Windlass(motion=-1)) == '{"do":"windlass","motion":-1}'
    assert cmd.to_line(cmd.Windlass(motion=-1, actor="desk", rode=1)) == (
        '{"do":"windlass","actor":"desk","motion":-1,"rode":1}'
    )


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ({"do": "fly"}, "unknown do 'fly'"),
        ({}, "unknown do None"),
        ({"do": "engine", "lever": 0.1, "gear": 1}, "engine has no field 'gear'"),
        ({"do": "engine"}, "engine: .*lever"),
    ],
)
def test_what_is_no_command_is_refused(data, says):
    with pytest.raises(ValueError, match=says):
        cmd.from_dict(data)


def test_no_name_means_two_things():
    assert len(cmd.KINDS) == len(cmd.Command.__subclasses__())
    assert len(ev.KINDS) == len(ev.Event.__subclasses__())
