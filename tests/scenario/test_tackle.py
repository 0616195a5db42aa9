"""What a chart's letters mean, what an anchor holds, what a rode is."""

import math

import pytest

from sim.base.units import G_MPS2, mps
from sim.model import layout as lay
from sim.scenario import library
from sim.scenario.read import load, tackle
from sim.scenario.schema.tackle import AnchorsFile, BottomsFile


@pytest.fixture(scope="module")
def bottoms() -> BottomsFile:
    return load.validate(BottomsFile, load.read(library.data_root() / "tackle" / "bottoms.yaml"))


@pytest.fixture(scope="module")
def anchors() -> AnchorsFile:
    return load.validate(AnchorsFile, load.read(library.data_root() / "tackle" / "anchors.yaml"))


@pytest.mark.parametrize(
    ("letters", "expected"),
    [
        ("S", [("S", [])]),
        ("Sh", [("Sh", [])]),
        ("fS", [("S", ["fine"])]),
        ("soM", [("M", ["soft"])]),
        ("so M", [("M", ["soft"])]),
        ("fS.M.Sh", [("S", ["fine"]), ("M", []), ("Sh", [])]),
        ("S/M", [("S", []), ("M", [])]),
        ("cS.St/sfCy", [("S", ["coarse"]), ("St", []), ("Cy", ["stiff"])]),
    ],
)
def test_letters_of_the_chart_are_read(bottoms, letters, expected):
    """INT 1, section J: small letters are qualities, a point joins a mixture, a stroke parts layers."""
    got = tackle.parts(letters, bottoms)

    assert [(letter, [q.title for q in qualities]) for _, letter, qualities, _ in got] == expected
    assert sum(share for *_, share in got) == pytest.approx(1.0)


def test_the_main_part_of_a_mixture_weighs_most(bottoms):
    shares = [share for *_, share in tackle.parts("S.M.Sh", bottoms)]

    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 0.5


@pytest.mark.parametrize("letters", ["X", "S.", "zS", "S//M", "s"])
def test_letters_that_mean_nothing_are_refused(bottoms, letters):
    with pytest.raises(ValueError):
        tackle.parts(letters, bottoms)


def test_a_mixture_lies_between_its_parts(bottoms):
    sand, mud, both = (tackle.bottom_row(letters, bottoms) for letters in ("S", "M", "S.M"))

    for column in (lay.G_FRICTION, lay.G_BURY_FLUKES, lay.G_SUCTION, lay.G_SOAK_S, lay.G_UNSOAKED, lay.G_STIFF):
        assert min(sand[column], mud[column]) < both[column] < max(sand[column], mud[column])
        assert abs(both[column] - sand[column]) < abs(both[column] - mud[column])


def test_ground_behaves_as_the_trade_knows_it(bottoms):
    """Common practice, no source: mud wants to soak, weed clogs, stones hold by luck."""
    sand, mud, stones, weed = (tackle.bottom_row(letters, bottoms) for letters in ("S", "M", "St", "Wd"))

    assert mud[lay.G_UNSOAKED] <= 0.7 < sand[lay.G_UNSOAKED] == 1.0
    assert mud[lay.G_SOAK_S] >= 600.0
    assert weed[lay.G_CLOG_PER_M] > 0.0 == sand[lay.G_CLOG_PER_M]
    assert stones[lay.G_PATCHY] >= 4.0 * sand[lay.G_PATCHY]
    assert weed[lay.G_PATCHY] > stones[lay.G_PATCHY]
    assert mud[lay.G_BURY_FLUKES] > 2.0 * sand[lay.G_BURY_FLUKES]
    assert sand[lay.G_SKATE] == pytest.approx(mps(3.0))


@pytest.mark.parametrize(
    ("kind", "letters", "mass_kg", "expected_n"),
    [
        ("fluke", "S", 15.0, 5810.0),
        ("fluke", "M", 15.0, 2020.0),
        ("fluke", "S", 25.0, 8740.0),
        ("claw", "M", 15.0, 740.0),
    ],
)
def test_the_power_law_gives_the_holding_of_the_manual(anchors, kind, letters, mass_kg, expected_n):
    """UFC 4-159-03 (2005) equation 26, coefficients (table 5-4) from memory, worked by hand to three figures."""
    got = tackle.holding_n(anchors.anchors[kind].grips[letters], mass_kg)

    assert got == pytest.approx(expected_n, rel=0.01)


def test_a_scoop_holds_sixty_to_a_hundred_times_its_weight_in_sand(anchors, bottoms):
    """A test of 14 anchors by three magazines, 2006, as quoted in a forum: 153, 80, 45 times at three sandy sites."""
    hold, burial = tackle.anchor_on_bottom(anchors.anchors["scoop"], 18.0, "S", bottoms)
    measured = (153.0, 80.0, 45.0)

    assert 60.0 <= hold / (18.0 * G_MPS2) <= 100.0
    assert hold / (18.0 * G_MPS2) <= math.prod(measured) ** (1.0 / 3.0)
    assert burial == 1.0


def test_sand_holds_better_than_mud_and_mud_better_than_weed(anchors, bottoms):
    """Common practice, no source, for every type but the fisherman, which is made for weed and rock."""
    for name in ("scoop", "plough", "claw", "fluke"):
        held = [tackle.anchor_on_bottom(anchors.anchors[name], 20.0, ground, bottoms)[0] for ground in ("S", "M", "Wd")]
        assert held == sorted(held, reverse=True)


def test_chain_in_water_weighs_what_the_tables_say():
    """2.25 kg/m at 10 mm (a table after ISO 4565, the standard not seen) times g times 0.869, steel in sea water."""
    assert tackle.chain_weight_n_per_m(2.25) == pytest.approx(19.18, abs=0.02)
    assert tackle.chain_ea_n(10.0) == pytest.approx(8.54e6)
