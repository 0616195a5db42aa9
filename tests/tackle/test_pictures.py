"""One command draws a rode at work: pictures that are whole, and say what was measured."""

import re
import xml.etree.ElementTree as ET

import pytest

from sim.lab import tackle_pictures

NAMES = {"heap.svg", "tow.svg", "snatch.svg", "veer.svg"}


@pytest.fixture(scope="module")
def drawn():
    """Return the pictures by name."""
    return tackle_pictures.pictures()


def test_every_picture_is_whole(drawn):
    """Well-formed, with a title, and without a coordinate that is no number."""
    assert set(drawn) == NAMES
    for text in drawn.values():
        root = ET.fromstring(text)
        assert root.tag.endswith("svg")
        assert root.find("{http://www.w3.org/2000/svg}title").text
        assert "nan" not in text
        assert "inf" not in text


def test_the_heap_is_there_and_then_gone(drawn):
    """Chain on the bed: nearly all of it while heaped, less with every metre hauled off."""
    lying = [int(m) for m in re.findall(r"(\d+) m on the bed", drawn["heap.svg"])]

    assert len(lying) == 4
    assert lying[0] < 5
    assert lying[1] > lying[2] > lying[3]


def test_the_tow_digs_in_and_the_snatch_has_its_peak(drawn):
    towed = [int(n) for n in re.findall(r"(\d+) N at the roller", drawn["tow.svg"])]
    snatched = [int(n) for n in re.findall(r"(\d+) N at the roller", drawn["snatch.svg"])]

    assert towed == sorted(towed)
    assert snatched.index(max(snatched)) == 2
    assert max(snatched) > 20 * snatched[-1]


def test_writes_them_where_it_is_told(tmp_path, drawn, monkeypatch):
    monkeypatch.setattr(tackle_pictures, "pictures", lambda: drawn)
    paths = tackle_pictures.write(tmp_path / "new" / "folder")

    assert {path.name for path in paths} == NAMES
    assert all(path.read_text(encoding="utf-8") == drawn[path.name] for path in paths)
