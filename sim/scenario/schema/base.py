"""The files of the library: boats and bays. The others are in ``schema_tackle``, ``schema_lesson``, ``schema_marking``.

Each model is one file or one block of it, with its range. Units stand in the key: ``_kn`` knots, ``_deg`` degrees true,
``_kg``, ``_m``, ``_mm``; nothing else is accepted. The ranges only catch slips; they are judgement.
"""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, Strict, StringConstraints, model_validator

from sim.scenario.schema.trial import Expects

Number = Annotated[float, Strict(), Field(allow_inf_nan=False)]
Whole = Annotated[int, Strict()]
Flag = Annotated[bool, Strict()]
Name = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=60)]
Words = Annotated[str, StringConstraints(min_length=1, max_length=4000)]
Metres = Annotated[Number, Field(ge=-20_000.0, le=20_000.0)]
Bearing = Annotated[Number, Field(ge=0.0, le=360.0)]
Point = tuple[Metres, Metres]  # north, east
Polygon = Annotated[tuple[Point, ...], Field(min_length=3, max_length=2000)]
Letters = Annotated[str, StringConstraints(pattern=r"^[A-Za-z][A-Za-z ./]*$", max_length=30)]
AnchorKind = Literal["scoop", "plough", "claw", "fluke", "fisherman"]


class Block(BaseModel):
    """A block of keys that knows all its keys and never changes."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class File(Block):
    """A whole file."""

    format: Literal[1]


class Hull(Block):
    """Main dimensions and what the water does to them."""

    loa_m: Number = Field(ge=4.0, le=30.0)
    lwl_m: Number = Field(ge=3.0, le=30.0)
    beam_m: Number = Field(ge=1.0, le=15.0)
    hull_beam_m: Number = Field(ge=0.5, le=10.0)
    hulls: Literal[1, 2]
    canoe_draught_m: Number = Field(ge=0.15, le=3.0)
    draught_m: Number = Field(ge=0.2, le=5.0)
    mass_kg: Number = Field(ge=300.0, le=100_000.0)
    gyradius: Number = Field(ge=0.15, le=0.4)
    wetted_m2: Number = Field(ge=3.0, le=300.0)
    residuary: Number = Field(ge=0.0, le=0.2)
    astern_resistance: Number = Field(ge=1.0, le=3.0)
    yaw_damping: Number = Field(ge=0.0, le=1.0)
    fouling: Number = Field(default=1.0, ge=0.5, le=5.0)  # friction over that of a clean hull
    cross_flow: Number = Field(default=1.0, ge=0.4, le=3.0)  # sideways drag over what her sections should have


class Keel(Block):
    """The keels; count 0 for none."""

    count: Literal[0, 1, 2] = 1
    x_m: Number = Field(ge=-10.0, le=10.0)
    chord_m: Number = Field(ge=0.2, le=20.0)
    span_m: Number = Field(ge=0.1, le=4.0)
    centre_of_pressure: Number = Field(ge=0.0, le=0.5)


class Windage(Block):
    """What the wind does to her."""

    frontal_m2: Number = Field(ge=1.0, le=150.0)
    lateral_m2: Number = Field(ge=2.0, le=300.0)
    x_m: Number = Field(ge=-5.0, le=5.0)
    cd_bow: Number = Field(ge=0.2, le=1.5)
    cd_stern: Number = Field(ge=0.2, le=1.5)
    cd_beam: Number = Field(ge=0.3, le=1.5)
    cross_force: Number = Field(ge=0.0, le=0.9)


class Blade(Block):
    """One rudder."""

    x_m: Number = Field(ge=-15.0, le=15.0)
    y_m: Number = Field(ge=-8.0, le=8.0)
    area_m2: Number = Field(ge=0.05, le=5.0)
    span_m: Number = Field(ge=0.2, le=4.0)
    slope_factor: Number = Field(default=1.0, ge=0.2, le=1.0)


class Rudders(Block):
    """The rudders and what turns them."""

    max_deg: Number = Field(ge=10.0, le=60.0)
    rate_degps: Number = Field(ge=2.0, le=90.0)
    blades: tuple[Blade, ...] = Field(min_length=1, max_length=2)


class Screw(Block):
    """One engine with its shaft and propeller; turns are the shaft's."""

    x_m: Number = Field(ge=-15.0, le=15.0)
    y_m: Number = Field(ge=-8.0, le=8.0)
    power_kw: Number = Field(ge=1.0, le=1000.0)
    diameter_m: Number = Field(ge=0.15, le=2.0)
    pitch_m: Number = Field(ge=0.08, le=2.5)
    idle_rpm: Number = Field(ge=100.0, le=1200.0)
    max_rpm: Number = Field(ge=400.0, le=4000.0)
    astern_factor: Number = Field(ge=0.2, le=1.0)
    merit: Number = Field(ge=0.2, le=0.8)
    locked_cd: Number = Field(ge=0.0, le=1.5)
    walk: Number = Field(ge=0.0, le=1.0)
    hand: Literal["right", "left"]
    outboard: Flag = False  # turns with the helm


class Deck(Block):
    """Where things stand on deck."""

    roller_x_m: Number = Field(ge=1.0, le=20.0)
    roller_height_m: Number = Field(ge=0.3, le=5.0)
    bridle_half_m: Number = Field(default=0.0, ge=0.0, le=6.0)
    mast_height_m: Number = Field(ge=1.0, le=45.0)
    antenna_x_m: Number = Field(ge=-20.0, le=20.0)
    sounder_x_m: Number = Field(ge=-20.0, le=20.0)
    sounder_below_surface_m: Number = Field(ge=0.0, le=4.0)
    sounder_reads: Literal["surface", "transducer", "keel"] = "surface"  # from where down


class Windlass(Block):
    """The windlass, its clutch or brake, and the stopper."""

    rate_mpmin: Number = Field(ge=5.0, le=60.0)
    stall_n: Number = Field(ge=500.0, le=50_000.0)
    clutch_n: Number = Field(ge=300.0, le=50_000.0)
    stopper_n: Number = Field(ge=1000.0, le=500_000.0)


class Snubber(Block):
    """Nylon between chain and boat; two legs make a bridle. ``ea_n`` is the pull of one leg per unit of strain."""

    length_m: Number = Field(ge=0.5, le=40.0)
    ea_n: Number = Field(ge=5000.0, le=2_000_000.0)
    break_n: Number = Field(default=40_000.0, ge=2000.0, le=500_000.0)


class Rope(Block):
    """Three-strand nylon behind a chain leader, or alone."""

    mm: Number = Field(ge=6.0, le=40.0)
    length_m: Number = Field(ge=5.0, le=120.0)


class SecondTackle(Block):
    """A second anchor on chain and rope, worked by hand over the bow."""

    anchor: AnchorKind
    anchor_kg: Number = Field(ge=2.0, le=200.0)
    chain_mm: Number = Field(ge=5.0, le=20.0)
    chain_kgpm: Number = Field(ge=0.4, le=10.0)
    chain_m: Number = Field(ge=2.0, le=100.0)
    rope: Rope | None = None


class Tackle(Block):
    """What she anchors with."""

    anchor: AnchorKind
    anchor_kg: Number = Field(ge=2.0, le=200.0)
    chain_mm: Number = Field(ge=5.0, le=20.0)
    chain_kgpm: Number = Field(ge=0.4, le=10.0)
    chain_m: Number = Field(ge=10.0, le=150.0)
    rope: Rope | None = None  # behind the chain
    bitter_end_fast: Flag = True
    windlass: Windlass
    snubber: Snubber
    second: SecondTackle | None = None
    shore_line: Rope | None = None  # from the stern


class BoatFile(File):
    """A boat."""

    title: Words
    kind: Literal["fin", "long", "twin", "motor", "day"]
    hull: Hull
    keel: Keel | None = None
    windage: Windage
    rudders: Rudders
    shafts: tuple[Screw, ...] = Field(min_length=1, max_length=2)
    thruster_n: Number = Field(default=0.0, ge=0.0, le=10_000.0)
    deck: Deck
    tackle: Tackle
    gear: tuple[Literal["laser", "radar", "ais", "trace"], ...] = ("laser",)
    expects: Expects | None = None


class Extent(Block):
    """The rectangle that a bay covers."""

    south_m: Metres
    north_m: Metres
    west_m: Metres
    east_m: Metres

    @model_validator(mode="after")
    def _ordered(self) -> "Extent":
        tall, wide = self.north_m - self.south_m, self.east_m - self.west_m
        if not (50.0 <= tall <= 5000.0 and 50.0 <= wide <= 5000.0):
            raise ValueError("north above south and east above west, by 50 to 5000 m")
        return self


class Contour(Block):
    """A line of one depth."""

    depth_m: Number = Field(ge=-15.0, le=200.0)
    line: tuple[Point, ...] = Field(min_length=2, max_length=2000)


class Patch(Block):
    """Ground unlike the rest of the bay; ``charted: false`` hides it from the chart."""

    letters: Letters
    polygon: Polygon
    charted: Flag = True


class MarkBlock(Block):
    """A thing ashore or afloat to take a bearing of."""

    name: Words
    kind: Literal["beacon", "tower", "house", "trees", "post", "buoy", "rock", "belfry"]
    north_m: Metres
    east_m: Metres
    height_m: Number = Field(ge=0.0, le=300.0)
    lit: bool = False  # it carries a light, so that it shows by night


class SnagBlock(Block):
    """An upright post or rock head that a rode sweeping over the ground catches on."""

    name: Words
    north_m: Metres
    east_m: Metres
    radius_m: Number = Field(ge=0.1, le=20.0)
    height_m: Number = Field(ge=0.1, le=30.0)  # above the bed at its foot
    charted: Flag = False  # it is on the chart, as an obstruction


class ZoneBlock(Block):
    """An area with a rule."""

    name: Words
    rule: Literal["no_anchoring", "fairway", "cable", "moorings", "seagrass", "no_entry"]
    polygon: Polygon


class Shore(Block):
    """Land: its edge stands ``height_m`` above datum (0 where the chart's low-water line is drawn), rising inland.

    ``shelter_m`` is how high hill or trees stand over the water, to leeward of which there is less wind; 0 for none.
    """

    name: Words
    height_m: Number = Field(default=0.0, ge=0.0, le=15.0)
    shelter_m: Number = Field(default=0.0, ge=0.0, le=1000.0)
    polygon: Polygon


class EddyBlock(Block):
    """A reach behind a point while the stream sets ``to_deg``; ``rate`` in it over outside, below 0 where it runs back.

    Outside the polygon it fades over ``edge_m`` across the stream, four times as far along it.
    """

    name: Words
    polygon: Polygon
    to_deg: Bearing
    rate: Number = Field(ge=-1.0, le=1.0)
    edge_m: Number = Field(default=30.0, ge=5.0, le=500.0)


class BayFile(File):
    """A place; no anchor may fall on ground whose letters are ``protected``."""

    title: Words
    extent: Extent
    cell_m: Number = Field(default=5.0, ge=2.0, le=20.0)
    soundings: tuple[tuple[Metres, Metres, Annotated[Number, Field(ge=-15.0, le=200.0)]], ...] = Field(
        min_length=3, max_length=1000
    )
    contours: tuple[Contour, ...] = Field(default=(), max_length=100)
    shores: tuple[Shore, ...] = Field(default=(), max_length=50)
    eddies: tuple[EddyBlock, ...] = Field(default=(), max_length=10)
    bottom: Letters
    patches: tuple[Patch, ...] = Field(default=(), max_length=100)
    marks: tuple[MarkBlock, ...] = Field(default=(), max_length=100)
    snags: tuple[SnagBlock, ...] = Field(default=(), max_length=50)
    zones: tuple[ZoneBlock, ...] = Field(default=(), max_length=50)
    protected: tuple[Letters, ...] = Field(default=(), max_length=10)
