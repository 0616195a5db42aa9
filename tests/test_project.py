"""The project as a whole: its rooms, its documents, and an installed copy of it."""

import ast
import os
import re
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from importlinter.cli import lint_imports

ROOT = Path(__file__).resolve().parent.parent
SOURCES = sorted((ROOT / "sim").rglob("*.py"))
README = (ROOT / "README.md").read_text(encoding="utf-8")
MOST_LINES = 400
MOST_FUNCTION_LINES = 50

each_source = pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.relative_to(ROOT).as_posix())


def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imported(path: Path) -> set[str]:
    """Return the top names of all that a file imports."""
    names: set[str] = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add(str(node.module).split(".")[0])
    return names


def public(body: list[ast.stmt], within: str = "") -> Iterator[tuple[str, ast.AST]]:
    """Yield every public class, function and method with its name, not what lies inside functions."""
    for node in body:
        if isinstance(node, ast.ClassDef | ast.FunctionDef) and not node.name.startswith("_"):
            yield within + node.name, node
            if isinstance(node, ast.ClassDef):
                yield from public(node.body, f"{within}{node.name}.")


def command_after(marker: str) -> str:
    """Return the one line of the fenced block under a marker of the README."""
    found = re.findall(rf"<!-- {marker} -->\n```sh\n(.*?)\n```", README, re.S)
    assert len(found) == 1, f"one fenced command under <!-- {marker} -->"
    assert "\n" not in found[0]
    return str(found[0])


def test_every_room_looks_the_allowed_way_only(monkeypatch):
    monkeypatch.chdir(ROOT)

    assert lint_imports(cache_dir=None) == 0


@pytest.mark.parametrize(
    ("package", "room"),
    [("pygame", "sim/ui/"), ("pymunk", "sim/core/contact.py"), ("yaml", "sim/scenario/read/load.py")],
)
def test_a_package_stays_in_its_room(package, room):
    """The contracts name files one by one; this sees a new one too."""
    users = [path.relative_to(ROOT).as_posix() for path in SOURCES if package in imported(path)]

    assert users, f"nobody uses {package}"
    assert [user for user in users if not user.startswith(room)] == []


@pytest.mark.parametrize("room", ["base", "model", "core"])
def test_the_deterministic_rooms_know_no_clock_no_chance_and_no_files(room):
    """``base/kernel.py`` alone finds its cache folder."""
    forbidden = {"time", "datetime", "random", "secrets", "os", "io", "pathlib", "threading", "locale", "socket"}
    guilty = {
        path.name: sorted(imported(path) & forbidden)
        for path in SOURCES
        if path.relative_to(ROOT / "sim").parts[0] == room and path.name != "kernel.py" and imported(path) & forbidden
    }

    assert guilty == {}


@each_source
def test_every_public_name_is_explained(path):
    module = tree(path)
    bare = [name for name, node in public(module.body) if not ast.get_docstring(node)]

    assert ast.get_docstring(module), "the module itself"
    assert bare == []


@each_source
def test_files_and_functions_stay_short(path):
    """A kernel may be as long as its equation."""
    functions = [node for node in ast.walk(tree(path)) if isinstance(node, ast.FunctionDef)]
    long = [
        f.name
        for f in functions
        if (f.end_lineno or 0) - f.lineno >= MOST_FUNCTION_LINES
        and not any(isinstance(d, ast.Name) and d.id == "kernel" for d in f.decorator_list)
    ]

    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES
    assert long == []


def test_the_first_paragraph_of_the_readme_states_the_job():
    title, first, *_ = README.split("\n\n")

    assert title == "# Windrode"
    assert "anchor" in first
    assert len(first.split()) > 40


def test_the_readme_has_one_command_to_run_it_and_one_to_test_it():
    for command in (command_after("run"), command_after("tests")):
        assert command.startswith("python3 -m venv .venv && .venv/bin/python -m pip install")
    assert command_after("run").endswith("windrode")
    assert "pytest" in command_after("tests")


@pytest.mark.skipif(os.name == "nt", reason="the script is a shell's")
def test_ci_runs_the_readmes_test_command_and_the_checks():
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    finds = next(line for line in script.splitlines() if line.startswith("tests="))
    found = subprocess.run(
        ["bash", "-c", f'{finds}; printf %s "$tests"'], cwd=ROOT, capture_output=True, text=True, check=True
    )

    assert found.stdout == command_after("tests")
    assert 'eval "$tests"' in script
    for check in ("ruff check", "ruff format --check", "mypy", "lint-imports"):
        assert f".venv/bin/{check}" in script
    assert os.access(ROOT / ".ci" / "run", os.X_OK)


def test_every_command_in_the_readme_exists():
    from typer.main import get_command

    from sim.ui.cli import app

    known = set(get_command(app).commands)  # type: ignore[attr-defined]
    told = set(re.findall(r"`windrode ([a-z-]*[a-z])", README))

    assert len(told) > 5
    assert told - known == set()


def test_every_file_the_documents_name_is_there():
    developers = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`([a-z_]+/[a-z_/]+\.py)`", developers))
    linked = set(re.findall(r"\]\(([\w./-]+)\)", README + developers))

    assert len(named) > 5
    assert [name for name in sorted(named) if not (ROOT / "sim" / name).is_file()] == []
    assert [link for link in sorted(linked) if not (ROOT / link).exists()] == []


def test_every_lesson_is_in_the_readme():
    for path in (ROOT / "scenarios" / "lessons").glob("*.yaml"):
        assert f"`{path.stem}`" in README


IN_A_COPY = """
import sys
from pathlib import Path
import sim
from sim.core.orders import commands as cmd
from sim.helm.exercise import Exercise
from sim.play.attempt import Attempt
from sim.scenario import library

assert Path(sim.__file__).is_relative_to(sys.argv[1]), sim.__file__
for name in library.lesson_names():
    library.load_lesson(name).world(1)
exercise = Exercise(library.load_lesson("lantern-pool"), 1)
attempt = Attempt(exercise, Path("run"))
attempt.step([cmd.Engine(lever=0.2)])
for _ in range(90):
    attempt.step()
attempt.finish("closed")
print(*library.lesson_names(), len(list(library.assets_root().rglob("*.ttf"))))
"""


def test_an_installed_wheel_finds_its_lessons_assets_and_pages(tmp_path):
    """Built, installed into a folder of its own, used from elsewhere; kernels as they stand, to spare the compiling."""
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "-q"]
    subprocess.run([*pip, "wheel", str(ROOT), "--no-deps", "-w", str(tmp_path)], check=True, cwd=tmp_path)
    (wheel,) = tmp_path.glob("*.whl")
    copy = tmp_path / "copy"
    subprocess.run([*pip, "install", str(wheel), "--no-deps", "--target", str(copy)], check=True, cwd=tmp_path)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    done = subprocess.run(
        [sys.executable, "-c", IN_A_COPY, str(copy)],
        cwd=elsewhere,
        env={**os.environ, "PYTHONPATH": str(copy), "WINDRODE_KERNELS": "off"},
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stderr
    *lessons, fonts = done.stdout.split()
    assert lessons == sorted(path.stem for path in (ROOT / "scenarios" / "lessons").glob("*.yaml"))
    assert int(fonts) == len(list((ROOT / "assets").rglob("*.ttf"))) > 0
    assert {path.name for path in (elsewhere / "run").iterdir()} >= {"result.json", "debrief.html"}
    with zipfile.ZipFile(wheel) as archive:
        assert not [name for name in archive.namelist() if name.startswith("tests/")]
