"""The library: found by name in a checkout or a package, checked as a whole, the same world for the same seed."""

import dataclasses
import math
import shutil

import numpy as np
import pytest

from sim.base.errors import ScenarioError
from sim.base.units import mps
from sim.core import world
from sim.model import layout as lay
from sim.scenario import library
from sim.scenario.read import shelf, weather
from sim.scenario.read.bay import inside


@pytest.mark.parametrize("seed", [1])
@pytest.mark.parametrize("name", library.lesson_names())
def test_every_shipped_lesson_makes_a_world(name, seed):
    lesson = library.load_lesson(name)
    params = lesson.world(seed)
    built = world.build(params)

    assert (lesson.name, params.seed, params.boat.name) == (name, seed, lesson.boat)
    assert len(params.rodes[0].anchor_on_bottom) == len(params.bay.bottom_letters) == len(params.bay.bottoms)
    assert params.bay.bottom.max() < len(params.bay.bottoms)
    assert (built.state.boats[:, lay.B_DEPTH] > built.state.boats[:, lay.B_GROUND]).all()
    assert not built.state.boats[:, lay.B_GROUND].any(), "nobody begins aground"


@pytest.mark.parametrize("name", library.lesson_names())
def test_a_shipped_lesson_begins_to_leeward_and_its_plan_fits_the_chain_and_the_spot(name):
    lesson = library.load_lesson(name)
    brief, plan = lesson.brief, lesson.teacher.reference
    params = lesson.world(1)
    north, east = params.start.north_m - brief.anchorage.north_m, params.start.east_m - brief.anchorage.east_m
    downwind = brief.forecast.from_rad + math.pi

    assert 90.0 <= math.hypot(north, east) <= 320.0
    assert lesson.sources.lesson.order is not None
    if lesson.sources.lesson.no_safe_spot:
        assert plan is None
        return
    assert math.cos(math.atan2(east, north) - downwind) > math.cos(math.radians(70.0))
    assert plan.rode_m <= brief.boat.rode_m
    off = math.hypot(plan.drop_north_m - brief.anchorage.north_m, plan.drop_east_m - brief.anchorage.east_m)
    assert off <= brief.anchorage.radius_m
    region = np.array(plan.region)
    assert inside(np.array([plan.drop_north_m]), np.array([plan.drop_east_m]), region)[0]


def test_the_same_seed_makes_the_same_world_and_another_another():
    lesson = library.load_lesson("hazel-cove")
    first, again, other = lesson.world(5), lesson.world(5), lesson.world(6)

    assert np.array_equal(first.weather.gusts, again.weather.gusts)
    assert np.array_equal(first.bay.noise, again.bay.noise)
    assert not np.array_equal(first.weather.gusts, other.weather.gusts)
    assert np.array_equal(first.bay.depth_m, other.bay.depth_m)
    assert not first.bay.depth_m.flags.writeable


def test_the_wind_is_that_of_the_file():
    params = library.load_lesson("lantern-pool-2").world(1)

    assert params.weather.wind[lay.W_MEAN] == pytest.approx(mps(12.0))
    assert params.weather.wind[lay.W_FROM] == pytest.approx(1.5 * math.pi)
    along = math.sqrt(0.5 * np.sum(params.weather.gusts[:, lay.T_ALONG_SIN : lay.T_ALONG_COS + 1] ** 2))
    assert 1.0 + weather.GUST_PEAK * along == pytest.approx(15.0 / 12.0)


def test_another_boat_may_be_sailed():
    lesson = library.load_lesson("lantern-pool")

    assert lesson.world(1, "long-keel-11").boat.particulars.kind == "long"
    assert lesson.brief_in("long-keel-11").boat.roller_height_m == 1.3
    with pytest.raises(ScenarioError, match="did you mean sloop-12"):
        lesson.world(1, "sloop-13")


@pytest.mark.parametrize(
    ("ask", "hint"),
    [
        (library.load_lesson, "lantern-pool"),
        (library.load_boat, "sloop-12"),
        (library.load_profile, "skipper"),
        (library.load_words, "en"),
    ],
)
def test_a_name_that_is_not_there_brings_the_nearest(ask, hint):
    with pytest.raises(ScenarioError) as caught:
        ask(hint[:-1] + "x" if len(hint) > 2 else "enn")

    assert caught.value.hint == f"did you mean {hint}?"
    assert hint in caught.value.expected


def test_a_school_keeps_its_own_files_beside_its_lessons(school, spoil):
    spoil("boats/sloop-12.yaml", "roller_height_m: 1.5", "roller_height_m: 1.8")
    shutil.rmtree(school / "bays")  # the library's stands in

    lesson = library.load_lesson(school / "lessons" / "lantern-pool.yaml")

    assert lesson.brief.boat.roller_height_m == 1.8
    assert lesson.brief.chart.title == "Lantern Pool"


@pytest.mark.parametrize(
    "file",
    [
        "lessons/lantern-pool.yaml",
        "bays/lantern-pool.yaml",
        "boats/sloop-12.yaml",
        "tackle/bottoms.yaml",
        "marking/skipper.yaml",
    ],
)
def test_the_hash_covers_every_file_referred_to(school, file):
    lesson = school / "lessons" / "lantern-pool.yaml"
    before = library.load_lesson(lesson).sha256
    with (school / file).open("a", encoding="utf-8") as stream:
        stream.write("# a remark\n")

    assert library.load_lesson(lesson).sha256 != before
    assert before == library.load_lesson("lantern-pool").sha256, "wherever the files lie"


@pytest.mark.parametrize(
    ("old", "new", "key", "expected"),
    [
        (
            "start: { north_m: -25, east_m: 170",
            "start: { north_m: -245, east_m: 170",
            "start",
            "more than 2.03 m of water",
        ),
        ("anchorage: { north_m: 0", "anchorage: { north_m: 400", "anchorage", "a place inside the bay's extent"),
    ],
)
def test_a_lesson_that_begins_ashore_or_off_the_chart_is_refused(spoil, refusal, line_of, old, new, key, expected):
    path = spoil("lessons/lantern-pool.yaml", old, new)

    error = refusal()

    assert (error.line, error.key, error.expected) == (line_of(path, new), key, expected)


def test_what_is_wrong_with_a_bay_is_told_once_with_all_else(spoil, refusal):
    """A bay's errors come through the lesson's: none may be told again on the way."""
    spoil("bays/lantern-pool.yaml", "cell_m: 5", "cell_m: 500")
    spoil("bays/lantern-pool.yaml", "bottom: S", "botom: S")
    spoil("lessons/lantern-pool.yaml", "level: novice", "level: beginner")

    told = [(error.file, error.key) for error in refusal().every()]

    assert {key for _, key in told} == {"cell_m", "botom", "level"}
    assert len(told) == len(set(told))


def test_a_shore_drawn_over_the_water_is_asked_about(spoil, refusal):
    spoil("lessons/lantern-pool.yaml", "start: { north_m: -25, east_m: 170", "start: { north_m: 230, east_m: 0")

    assert refusal().hint == "does a shore lie over it?"


def test_a_key_left_out_is_said_to_be_missing(spoil, refusal):
    spoil("lessons/lantern-pool.yaml", "level: novice\n", "")

    error = refusal()

    assert (error.key, error.expected, error.found) == ("level", "this key", "none")


def test_the_folders_are_found_inside_an_installed_package(tmp_path, monkeypatch):
    """A wheel carries the data in ``sim/_data``; a checkout has them beside ``sim``."""
    package = tmp_path / "sim"
    package.mkdir()
    monkeypatch.setattr(shelf.sim, "__file__", str(package / "__init__.py"))
    assert shelf.data_root() == tmp_path / "scenarios"
    assert shelf.assets_root() == tmp_path / "assets"

    (package / "_data" / "scenarios").mkdir(parents=True)
    assert shelf.data_root() == package / "_data" / "scenarios"


def test_the_brief_tells_nothing_of_the_instructor_page_nor_of_hidden_ground(school, spoil):
    spoil("bays/lantern-pool.yaml", "letters: St\n", "letters: St\n    charted: false\n")
    lesson = library.load_lesson(school / "lessons" / "lantern-pool.yaml")

    told = repr(dataclasses.asdict(lesson.brief))
    assert lesson.teacher.intended_error not in told
    assert lesson.teacher.reference.why not in told
    assert [letters for letters, _ in lesson.brief.chart.patches] == ["fS"]
    assert "St" in lesson.world(1).bay.bottom_letters, "but it is there"


def test_neighbours_of_every_kind_are_built_as_the_lesson_says(school):
    """Two anchors, a line ashore, one to come, one dark: read, checked, and in the world."""
    path = school / "lessons" / "hazel-cove.yaml"
    text = path.read_text(encoding="utf-8")
    more = """\
  - name: Forked
    boat: sloop-12
    anchor_north_m: 40
    anchor_east_m: 10
    rode: { kind: two_anchors, length_m: 30, second: { north_m: 10, east_m: 30, length_m: 28 } }
    lit: false
    ais: b
  - name: Late
    boat: motor-14
    anchor_north_m: 20
    anchor_east_m: -40
    rode: { kind: stern_line, length_m: 30, hold_n: 900, second: { north_m: 70, east_m: -40, length_m: 20 } }
    comes_from: [-150, 20]
timeline: [{ at_s: 5, do: { neighbour: { name: Late, what: arrive } } }]
"""
    path.write_text(text.replace("timeline: []\n", more), encoding="utf-8")
    lesson = library.load_lesson(path)
    *_, forked, late = lesson.world(1).neighbours

    assert forked.second is not None
    assert late.second is not None
    assert (forked.second.from_stern, forked.second.length_m, forked.lit, forked.ais) == (False, 28.0, False, "b")
    assert (late.second.from_stern, late.hold_n, late.comes_from_m, late.ais) == (True, 900.0, (-150.0, 20.0), "")
    assert late.second.weight_n_per_m < 1.0 < forked.second.weight_n_per_m


@pytest.mark.parametrize(
    "wrong",
    ["{ neighbour: { name: Nobody, what: part } }", "{ neighbour: { name: Teasel, what: arrive } }"],
    ids=["unknown name", "she is there already"],
)
def test_a_timeline_may_only_order_boats_about_that_can_obey(school, wrong):
    path = school / "lessons" / "hazel-cove.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("timeline: []", f"timeline: [{{ at_s: 5, do: {wrong} }}]"), encoding="utf-8")

    with pytest.raises(ScenarioError) as refused:
        library.load_lesson(path)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("path", sorted((library.data_root() / "practice").glob("*.yaml")), ids=lambda path: path.stem)
def test_every_lesson_to_practise_one_thing_in_opens(path):
    """They are in no list, so nothing else would notice."""
    built = world.build(library.load_lesson(str(path)).world(1))

    assert not built.state.boats[:, lay.B_GROUND].any(), "nobody begins aground"
