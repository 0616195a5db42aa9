"""Named streams: chance that depends on a name and a seed and on nothing else."""

import os
import subprocess
import sys

import numpy as np
import pytest

from sim.base import rng

NAMES = ("gust along", "gust across", "gust frequency", "veer", "veer draw", "range", "bearing", "sounding")


def test_a_stream_does_not_care_who_drew_before():
    """Adding a stream shifts no other."""
    alone = rng.uniforms(5, "gust along", 100)
    rng.uniforms(5, "a stream added later", 1000)
    rng.normal(5, "range", 3)

    assert np.array_equal(rng.uniforms(5, "gust along", 100), alone)


@pytest.mark.parametrize("seed", [0, 1, 2, 12345])
def test_streams_are_independent(seed):
    """No two names, and no two seeds, share a thread: correlation within three standard errors."""
    draws = np.array([rng.uniforms(seed, name, 4000) for name in NAMES] + [rng.uniforms(seed + 1, NAMES[0], 4000)])
    correlation = np.corrcoef(draws) - np.eye(len(draws))

    assert np.abs(correlation).max() < 4.0 / np.sqrt(4000.0)


def test_numbered_draws_can_be_drawn_again():
    """A restored run draws the same numbers, in whatever order."""
    forwards = [rng.normal(9, "range", k) for k in range(50)]

    assert [rng.normal(9, "range", k) for k in reversed(range(50))] == forwards[::-1]
    assert len(set(forwards)) == 50
    assert np.mean(forwards) == pytest.approx(0.0, abs=0.5)
    assert np.std(forwards) == pytest.approx(1.0, abs=0.35)


def test_names_mean_the_same_in_every_process():
    """Built-in hashes of text change from process to process; these keys do not."""
    code = "from sim.base import rng; print(rng.uniforms(3, 'veer', 4).tolist())"
    told = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": str(k)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for k in (1, 2)
    }

    assert told == {str(rng.uniforms(3, "veer", 4).tolist())}
