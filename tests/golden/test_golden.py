"""Nothing that the physics does has changed since ``expected.yaml`` was written, unless it was meant to."""

from typing import Any

import numpy as np
import pytest
import yaml
from golden.runs import CASES, EXPECTED, NEAR_M, TEN_MINUTES, Case, environment, sail_again

WRITTEN = yaml.safe_load(EXPECTED.read_text(encoding="utf-8"))


def first_difference(then: dict[str, Any], now: dict[str, Any]) -> str:
    """Return where two runs part, in words, with the new values; empty where they do not."""
    for clock, every_min in (("live", 1), ("night", TEN_MINUTES // 3600)):
        for k, (old, new) in enumerate(zip(then[clock], now[clock], strict=False), start=1):
            if old != new:
                return f"{clock}, sample {k} ({every_min} min apart): expected {old}, now {new}; all now: {now[clock]}"
        if len(then[clock]) != len(now[clock]):
            return f"{clock}: expected {len(then[clock])} samples, now {len(now[clock])}"
    for what in ("events", "calls"):
        if then[what] != now[what]:
            pairs = zip(then[what], now[what], strict=False)
            where = next(((a, b) for a, b in pairs if a != b), (len(then[what]), len(now[what])))
            return f"{what}: expected {where[0]!r}, now {where[1]!r}"
    return ""


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.lesson)
def test_the_same_orders_lead_to_the_same_bits(case: Case):
    """To the bit where equal bits are promised; on another processor or with other versions to a millimetre."""
    then, now = WRITTEN["runs"][case.lesson], sail_again(case)

    if environment() == WRITTEN["environment"]:
        assert first_difference(then, now) == ""
    else:
        np.testing.assert_allclose(np.array(now["figures"]), np.array(then["figures"]), atol=NEAR_M)


@pytest.mark.parametrize("lesson", ["saltmarrow-reach", "snagged"])
def test_a_run_does_not_depend_on_how_many_ticks_pass_in_one_step(lesson: str):
    """A tick at a time, five, or as many as nobody needs to look in between: the same bits, events and calls."""
    case = next(case for case in CASES if case.lesson == lesson)
    one, five, many = (sail_again(case, most) for most in (1, 5, 600))

    assert first_difference(one, many) == ""
    assert first_difference(five, many) == ""
