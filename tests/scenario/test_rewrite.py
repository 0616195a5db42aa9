"""Numbers changed in a file's own text: all else stays, and what stood there is told."""

import pytest

from sim.scenario import library
from sim.scenario.read import load
from sim.scenario.read.rewrite import with_values
from sim.scenario.schema.base import BoatFile

TEXT = """# a boat
hull:
  mass_kg: 9000 # weighed
  beam_m: 3.9
blades: [{ x_m: -1.5, y_m: 2 }, { x_m: -1.5, y_m: 3 }]
hand: right
"""


def rewritten(values, header=()):
    document = load.parse(TEXT.encode(), "boat.yaml")
    text = with_values(document, values, "fitted", header)
    return text, load.parse(text.encode(), "boat.yaml").data


def test_a_number_is_replaced_and_its_comment_kept():
    text, data = rewritten({("hull", "mass_kg"): 8500.0})

    assert data["hull"] == {"mass_kg": 8500, "beam_m": 3.9}
    assert "mass_kg: 8500 # weighed; fitted, was 9000\n" in text
    assert text.startswith("# a boat\n")


def test_like_keys_on_one_line_are_told_apart():
    text, data = rewritten({("blades", 1, "x_m"): -2.25})

    assert [blade["x_m"] for blade in data["blades"]] == [-1.5, -2.25]
    assert text.count("fitted, was -1.5") == 1


def test_a_key_left_out_is_put_into_its_block():
    text, data = rewritten({("hull", "fouling"): 1.5, ("hand",): "left"}, ["Fitted."])

    assert data["hull"]["fouling"] == 1.5
    assert data["hand"] == "left"
    assert "  fouling: 1.5 # fitted\n" in text
    assert text.startswith("# Fitted.\n# a boat\n")


def test_a_key_left_out_is_put_into_a_block_on_one_line():
    document = load.parse(b"hull: { mass_kg: 9000 }\n", "boat.yaml")
    text = with_values(document, {("hull", "fouling"): 1.5}, "fitted")

    assert load.parse(text.encode(), "boat.yaml").data["hull"] == {"fouling": 1.5, "mass_kg": 9000}


@pytest.mark.parametrize("name", library.boat_names())
def test_every_number_of_a_boat_that_is_fitted_can_be_changed_in_her_file(name):
    document = load.read(library.data_root() / "boats" / f"{name}.yaml")
    paths = [("hull", "fouling"), ("hull", "cross_flow"), ("windage", "lateral_m2"), ("shafts", 0, "walk")]
    text = with_values(document, dict.fromkeys(paths, 0.75) | {("windage", "lateral_m2"): 33.5}, "fitted")
    new = load.validate(BoatFile, load.parse(text.encode(), "new.yaml"))

    assert (new.hull.fouling, new.hull.cross_flow, new.windage.lateral_m2) == (0.75, 0.75, 33.5)
    assert new.shafts[0].walk == 0.75
