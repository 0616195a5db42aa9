"""Where the data lie: a school's own folder first, then the library that comes with the program."""

from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel

import sim
from sim.base.errors import ScenarioError
from sim.scenario.read import load, slips
from sim.scenario.schema.words import MeantFile

M = TypeVar("M", bound=BaseModel)

SINGULAR = {"lessons": "lesson", "boats": "boat", "bays": "bay", "marking": "marking profile", "words": "language"} | {
    "tackle": "tackle file",
}  # fmt: skip


def _beside(folder: str) -> Path:
    """Return a data folder: inside an installed package, or beside ``sim`` in a checkout."""
    package = Path(sim.__file__).resolve().parent
    installed = package / "_data" / folder
    return installed if installed.is_dir() else package.parent / folder


def data_root() -> Path:
    """Return the folder of the library's lessons, boats, bays, tackle, marking and words."""
    return _beside("scenarios")


def assets_root() -> Path:
    """Return the folder of fonts and icons."""
    return _beside("assets")


@dataclass(frozen=True)
class Asked:
    """Who asks for a file by name: a key of a document, or a person (``document`` None)."""

    document: load.Document | None = None
    path: load.KeyPath = ()


@dataclass(frozen=True)
class Shelf:
    """Folders to look in, in order."""

    roots: tuple[Path, ...]

    def names(self, folder: str) -> list[str]:
        """Return the names of all files of a kind, sorted."""
        return sorted({path.stem for root in self.roots for path in (root / folder).glob("*.yaml")})

    def find(self, folder: str, name: str, asked: Asked) -> Path:
        """Return the path of a file.

        Raises:
            ScenarioError: when there is none of that name, with the names near to it.
        """
        for root in self.roots:
            path = root / folder / f"{name}.yaml"
            if path.is_file():
                return path
        names = self.names(folder)
        expected = f"a {SINGULAR[folder]} of the library ({', '.join(names)})"
        hint = slips.near(name, names, _everyday(folder))
        if asked.document is not None:
            raise asked.document.error(asked.path, expected, slips.shown(name), hint)
        raise ScenarioError(name, 0, "", expected, "no such name", hint)

    def read(self, model: type[M], folder: str, name: str, asked: Asked) -> tuple[M, load.Document]:
        """Return a file's model and document.

        Raises:
            ScenarioError: when there is none, or it does not fit.
        """
        document = load.read(self.find(folder, name, asked))
        return load.validate(model, document), document


def _everyday(folder: str) -> dict[str, str]:
    """Return what everyday words mean among a folder's names."""
    meant = load.validate(MeantFile, load.read(data_root() / "meant.yaml")).meant.get(folder, {})
    return {word: name for name, words in meant.items() for word in words}


def library() -> Shelf:
    """Return the shelf of the program's own library."""
    return Shelf((data_root(),))
