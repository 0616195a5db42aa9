"""The file of a ground-tackle rig's case: a chain, a bed, and how its roller is moved or pulled."""

import itertools
from typing import Annotated, Any, Literal

from pydantic import BaseModel, Discriminator, Field, Tag, model_validator

from sim.scenario.schema.base import AnchorKind, Block, File, Letters, Number, Whole

Row = tuple[Number, Number]
Series = Annotated[tuple[Row, ...], Field(min_length=1, max_length=100_000)]


class Chain(Block):
    """A chain; what is left out follows from its bar's diameter."""

    mm: Number = Field(ge=4.0, le=32.0)
    length_m: Number = Field(ge=1.0, le=150.0)
    kg_per_m: Number | None = Field(default=None, ge=0.1, le=30.0)
    ea_n: Number | None = Field(default=None, ge=1e4, le=1e10)
    node_m: Number = Field(default=1.0, ge=0.2, le=5.0)


class Rode(Block):
    """A rope, behind a chain leader if there is one."""

    leader: Chain | None = None
    rope_mm: Number = Field(ge=6.0, le=32.0)
    rope_m: Number = Field(ge=1.0, le=150.0)
    rope_ea_n: Number | None = Field(default=None, ge=1e3, le=1e8)


class Drag(Block):
    """Drag coefficients on the bar's diameter."""

    normal: Number = Field(ge=0.0, le=10.0)
    tangential: Number = Field(ge=0.0, le=10.0)


class Anchor(Block):
    """An anchor by type and mass."""

    type: AnchorKind
    mass_kg: Number = Field(ge=1.0, le=200.0)


class Sway(Block):
    """A roller that is held, or swings about a place."""

    hold_m: Number = Field(ge=0.0, le=200.0)
    amplitude_m: Number = Field(default=0.0, ge=0.0, le=50.0)
    period_s: Number = Field(default=10.0, ge=0.5, le=10_000.0)


def _written(value: Any) -> str:
    return "block" if isinstance(value, (dict, BaseModel)) else "plain"


# A block or something else: told apart by how it is written, so that an error speaks of what was meant.
AnchorOrFixed = Annotated[
    Annotated[Literal["fixed"], Tag("plain")] | Annotated[Anchor, Tag("block")], Discriminator(_written)
]
Motion = Annotated[Annotated[Series, Tag("plain")] | Annotated[Sway, Tag("block")], Discriminator(_written)]


class RigFile(File):
    """A case: ``tow`` moves the roller, ``pull`` pulls on a mass that hangs on it.

    A roller that sets off at once, not from rest, sends a shock through the chain that is shorter than an exercise's
    step of 1/60 s and comes out too low; ``steps_per_s`` resolves it.
    """

    rig: Literal["tow", "pull"]
    chain: Chain | None = None
    rode: Rode | None = None
    depth_m: Number = Field(ge=0.1, le=100.0)
    roller_height_m: Number = Field(ge=0.0, le=10.0)
    bottom: Letters
    friction: Number | None = Field(default=None, ge=0.0, le=2.0)
    drag: Drag | None = None
    anchor: AnchorOrFixed
    motion: Motion | None = None
    force_n: Series | None = None
    mass_kg: Number | None = Field(default=None, ge=100.0, le=200_000.0)
    damping_n_s_per_m: Number = Field(default=0.0, ge=0.0, le=1e6)
    for_s: Number = Field(ge=0.1, le=36_000.0)
    every_s: Number = Field(default=0.1, ge=1.0 / 960.0, le=60.0)
    steps_per_s: Whole = Field(default=60, ge=60, le=960)

    @model_validator(mode="after")
    def _whole(self) -> "RigFile":
        if (self.chain is None) == (self.rode is None):
            raise ValueError("either chain or rode")
        if self.rig == "tow" and self.motion is None:
            raise ValueError("motion for a tow")
        if self.rig == "pull" and (self.force_n is None or self.mass_kg is None):
            raise ValueError("force_n and mass_kg for a pull")
        for rows in (self.motion, self.force_n):
            if isinstance(rows, tuple) and any(b[0] <= a[0] for a, b in itertools.pairwise(rows)):
                raise ValueError("times that rise")
        return self
