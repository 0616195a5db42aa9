"""What a person has set for the window, kept as YAML in the user's folder for such things."""

import math
from pathlib import Path
from typing import Annotated, Literal, get_args

import platformdirs
from pydantic import BaseModel, ConfigDict, Field, field_validator

from sim.scenario.read import load
from sim.scenario.words.catalogue import ENGLISH
from sim.ui.input import fore_keys, keys
from sim.ui.measures import Units

FILE = "window.yaml"
Colours = Literal["lesson", "day", "night"]
COLOURS: tuple[Colours, ...] = get_args(Colours)


class Preferences(BaseModel):
    """Settings of the window.

    Attributes:
        scale: factor on all sizes, 0.8 to 2.
        colours: those of day or night, or as the lesson is sailed by day or night.
        brightness: of the night colours, 0.4 to 1.
        reduced_motion: whether picture and water stand still where nothing is lost by it.
        sound: whether there is any.
        language: of all that is said, the name of a file of words.
        units: in which lengths are read; fathoms are for depth and cable, with feet for distances.
        keys: own keys, by the name of what they do.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    scale: Annotated[float, Field(ge=0.8, le=2.0)] = 1.0
    colours: Colours = "lesson"
    brightness: Annotated[float, Field(ge=0.4, le=1.0)] = 1.0
    reduced_motion: bool = False
    sound: bool = True
    language: Annotated[str, Field(pattern=r"^[a-z][a-z-]{0,19}$")] = ENGLISH
    units: Units = "metres"
    keys: dict[str, str] = {}

    @field_validator("keys")
    @classmethod
    def _known(cls, own: dict[str, str]) -> dict[str, str]:
        names = {what.value for what in keys.KEYS} | set(fore_keys.NAMES)
        for name, key in own.items():
            if name not in names:
                raise ValueError(f"an act that can be bound, not {name}")
            if key.removeprefix(keys.SHIFT) not in keys.PLACES:
                raise ValueError(f"the name of a key, not {key}")
        twice = keys.clashes(own) or fore_keys.clashes(own)
        if twice:
            raise ValueError(f"one key for each act: {twice[0][0]} and {twice[0][1]} have the same")
        return own


def path() -> Path:
    """Return where the settings lie."""
    return Path(platformdirs.user_config_dir("windrode", appauthor=False)) / FILE


def read(file: Path | None = None) -> Preferences:
    """Return the settings, those of the start where there is no file.

    Raises:
        ScenarioError: for the first thing in the file that does not fit.
    """
    file = file or path()
    if not file.exists():
        return Preferences()
    return load.validate(Preferences, load.read(file))


def write(chosen: Preferences, file: Path | None = None) -> Path:
    """Keep the settings and return where."""
    file = file or path()
    file.parent.mkdir(parents=True, exist_ok=True)
    rows = [
        f"scale: {chosen.scale:g}",
        f"colours: {chosen.colours}",
        f"brightness: {chosen.brightness:g}",
        f"reduced_motion: {str(chosen.reduced_motion).lower()}",
        f"sound: {str(chosen.sound).lower()}",
        f"language: {chosen.language}",
        f"units: {chosen.units}",
        "keys:" if chosen.keys else "keys: {}",
        *(f'  {name}: "{key}"' for name, key in sorted(chosen.keys.items())),
    ]
    file.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return file


def brighter(chosen: Preferences, steps: int) -> Preferences:
    """Return the settings with the night so many steps brighter, within its range."""
    return chosen.model_copy(update={"brightness": min(max(round(chosen.brightness + 0.1 * steps, 1), 0.4), 1.0)})


def larger(chosen: Preferences, steps: int) -> Preferences:
    """Return the settings with everything so many steps larger, within its range."""
    scale = min(max(round(chosen.scale + 0.1 * steps, 1), 0.8), 2.0)
    return chosen.model_copy(update={"scale": scale if math.isfinite(scale) else 1.0})
