"""Compiling the kernels, once a machine, announced."""

import time
from collections.abc import Callable

from sim.base import kernel
from sim.core.orders import commands as cmd
from sim.helm.exercise import Exercise
from sim.scenario.library import load_lesson

SMALLEST = "hazel-cove"  # it has other boats, so every kernel is used


def warm_up(say: Callable[[str], None]) -> float:
    """Compile every kernel if this machine has not done so for this source; return the seconds it took.

    Args:
        say: told one line before and one after, and nothing where nothing is to be done.
    """
    if kernel.is_warm():
        return 0.0
    say("Compiling the physics for this machine, once only: a minute or two ...")
    began = time.perf_counter()
    exercise = Exercise(load_lesson(SMALLEST), 1)
    exercise.step([cmd.Brake(grip=0.0), cmd.Engine(lever=0.1)])
    for _ in range(600):
        exercise.step()
    exercise.step([cmd.BeginWatch()])  # a night compiles a kernel of its own
    exercise.step()
    kernel.mark_warm()
    took = time.perf_counter() - began
    where = "kept for next time" if kernel.CACHE_FOLDER is not None else "no folder to keep it in"
    say(f"Compiled in {took:.0f} s, {where}.")
    return took
