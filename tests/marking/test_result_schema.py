"""A result fits its schema, and what does not fit is refused."""

import json

import pytest
from marking import sailed
from marking.test_result import made
from pydantic import ValidationError

from sim.core import events as ev
from sim.core.orders import commands as cmd
from sim.marking import advice
from sim.marking.errors.found import find_errors
from sim.marking.result_schema import Result, schema_text

RUNS = {
    "good": {},
    "empty": {"happened": []},
    "spoilt": {"happened": sailed.without(ev.PlanMade, ev.AnchorMarked, ev.TransitTaken), "heap_m": 9.0},
    "aground": {"happened": [*sailed.events(), ev.Grounded(tick=29000, boat=0, speed_mps=0.2)]},
    "changed": {"orders": ((60, cmd.Override(actor="desk", measure="ph4.heap_m", points=1.0, reason="a gust")),)},
}


@pytest.mark.parametrize("run", RUNS.values(), ids=RUNS)
def test_each_result_fits(run):
    """As it is read back from the file."""
    Result.model_validate_json(json.dumps(made(**run)))


@pytest.mark.parametrize(
    ("key", "value"),
    [("points", 101.0), ("ended", {"why": "tired", "t_s": 1.0}), ("feedback", {"keep": "", "change": "", "more": ""})],
)
def test_what_does_not_fit_is_refused(key, value):
    with pytest.raises(ValidationError):
        Result.model_validate_json(json.dumps(made() | {key: value}))


def test_errors_stand_in_it_as_they_were_found():
    run = sailed.run(**RUNS["spoilt"])
    fits = Result.model_validate_json(json.dumps(made(**RUNS["spoilt"]) | {"errors": advice.errors(find_errors(run))}))

    assert {e.code for e in fits.errors} >= {"A14", "B11", "D6", "B5"}


def test_the_schema_is_json_schema_with_every_part():
    schema = json.loads(schema_text())

    assert set(schema["$defs"]) >= {"Measure", "Found", "Feedback", "Critical"}
    assert "errors" in schema["required"]
