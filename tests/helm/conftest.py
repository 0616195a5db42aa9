"""The demonstrator's runs, sailed once for all tests of this room, with everything that was seen and ordered."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from sim.core import state as st
from sim.core.orders.commands import Command
from sim.demonstrator.demonstrator import Demonstrator
from sim.demonstrator.skipper import Said
from sim.helm.exercise import Exercise
from sim.helm.view import Lookout, View
from sim.play.attempt import Attempt, Marked
from sim.scenario import library
from sim.scenario.library import Lesson

SNAPSHOT_EVERY_TICKS = 997  # a prime, so that snapshots fall anywhere between readings of wind and displays
Sail = Callable[[str], "Sailed"]


@dataclass(frozen=True)
class Sailed:
    """One finished run."""

    lesson: Lesson
    exercise: Exercise
    views: tuple[View, ...]  # what the demonstrator saw, decision by decision
    decided: tuple[list[Command], ...]  # what it ordered at each
    said: tuple[Said, ...]
    orders: dict[int, list[Command]]  # by tick
    snapshots: dict[int, st.State]  # by tick
    marked: Marked


@pytest.fixture(scope="session")
def sailed(tmp_path_factory: pytest.TempPathFactory) -> Sail:
    """Return what gives a lesson's run by the demonstrator, seed 1."""

    @cache
    def run(name: str) -> Sailed:
        lesson = library.load_lesson(name)
        exercise = Exercise(lesson, 1)
        attempt = Attempt(exercise, tmp_path_factory.mktemp(name))
        skipper, lookout = Demonstrator(lesson.brief), Lookout(exercise)
        views: list[View] = []
        decided: list[list[Command]] = []
        orders: dict[int, list[Command]] = {}
        snapshots: dict[int, st.State] = {}
        while not exercise.over:
            commands: list[Command] = []
            if skipper.wants_view(exercise.t_s):
                views.append(lookout.view())
                commands = skipper.decide(views[-1])
                decided.append(commands)
            if commands:
                orders[exercise.tick] = commands
            if exercise.tick % SNAPSHOT_EVERY_TICKS == 0:
                snapshots[exercise.tick] = st.snapshot(exercise.world.state)
            attempt.step(commands)
        return Sailed(
            lesson, exercise, tuple(views), tuple(decided), tuple(skipper.said), orders, snapshots,
            attempt.finish("secured", sleep=False),
        )  # fmt: skip

    return run


@pytest.fixture
def lesson_with(tmp_path: Path) -> Callable[[str, str], Lesson]:
    """Return what gives the first lesson with one text of its file replaced by another."""
    shutil.copytree(library.data_root(), tmp_path / "school")
    path = tmp_path / "school" / "lessons" / "lantern-pool.yaml"

    def change(old: str, new: str) -> Lesson:
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in the lesson"
        path.write_text(text.replace(old, new), encoding="utf-8")
        return library.load_lesson(path)

    return change
