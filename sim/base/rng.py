"""Named seeded streams: chance that depends on a name and a seed and on nothing else.

A stream is keyed by its name, so adding one shifts no other. Draws made during a run are addressed by a counter kept
in the state, so that a restored snapshot draws the same numbers again.
"""

import zlib

import numpy as np

from sim.base.arrays import FloatArray


def stream(seed: int, name: str, counter: int | None = None) -> np.random.Generator:
    """Return the generator of the stream ``name`` for ``seed`` (and, where given, for one numbered draw).

    Args:
        seed: the run's seed, >= 0.
        name: the stream's name, such as "gust".
        counter: number of the draw, >= 0; None for the stream's table made at build time.
    """
    key = zlib.crc32(name.encode())
    spawn_key = (key,) if counter is None else (key, counter)
    return np.random.Generator(np.random.PCG64(np.random.SeedSequence(seed, spawn_key=spawn_key)))


def uniforms(seed: int, name: str, count: int) -> FloatArray:
    """Return ``float64[count]`` uniform draws in [0, 1) of the stream ``name``."""
    return stream(seed, name).random(count)


def normal(seed: int, name: str, counter: int) -> float:
    """Return the ``counter``-th standard normal draw of the stream ``name``."""
    return float(stream(seed, name, counter).standard_normal())
