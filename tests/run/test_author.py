"""What an author has: traps told, a copy to start from, pictures and pages, proof by trials."""

import re
from pathlib import Path

import pytest

from sim.author import new, traps
from sim.base.errors import WindrodeError
from sim.batch import proof
from sim.pages import brief_page, preview
from sim.scenario import library
from sim.scenario.read import load
from sim.scenario.schema.base import BayFile

TIDE = "{ at_h: 10.4, height_m: 2.2 }\n  - { at_h: 16.6, height_m: 0.2 }"
LATE = "wind:\n  squalls: [{ from_h: 9, to_h: 11 }]\n"
WHEN = "when: { within_m: 35, way_kn_under: 0.7 }"


@pytest.mark.parametrize("name", library.lesson_names())
def test_a_shipped_lesson_has_no_trap(name):
    assert traps.find(library.load_lesson(name)) == []


@pytest.fixture
def changed(tmp_path):
    """Return what gives a copy of a lesson with some texts replaced."""

    def change(name: str, *pairs: tuple[str, str]) -> library.Lesson:
        path = new.write("my-lesson", library.load_lesson(name), tmp_path)
        text = path.read_text(encoding="utf-8")
        for old, fresh in pairs:
            assert text.count(old) >= 1, old
            text = text.replace(old, fresh, 1)
        path.write_text(text, encoding="utf-8")
        return library.load_lesson(path)

    return change


@pytest.mark.parametrize(
    ("name", "old", "fresh", "key", "told"),
    [
        ("nettle-roads", "north_m: -210, east_m: 300", "north_m: 90, east_m: 130", "start", "swing of Tansy"),
        ("amber-hythe", "drop_north_m: -62", "drop_north_m: 30", "teacher.reference", "overlaps"),
        ("saltmarrow-reach", "height_m: 0.2 }", "height_m: -0.9 }", "teacher.reference", "under the keel"),
        ("nettle-roads", "rode_m: 36", "rode_m: 96", "teacher.reference.rode_m", "carried"),
        ("nettle-roads", TIDE, "{ at_h: 9.6, height_m: 2.1 }", "tide", "stay lasts"),
        ("nettle-roads", "sector_deg: [240, 300]", "sector_deg: [40, 100]", "wind.sector_deg", "outside"),
        ("nettle-roads", "limit_min: 40", "limit_min: 5", "limit_min", "too few"),
        ("nettle-roads", "min_gap_loa, least: 0.5", "min_gap_loa, least: 50", "goals[1]", "out of reach"),
        ("copperwick-bay", "seat: [0, 60]", "seat: [-60, 120]", "teacher.reference", "off the seat"),
        ("silver-kettle", "drop_north_m: 26", "drop_north_m: -30", "teacher.reference", "protected"),
        ("lantern-pool", "ph4.heap_m, most: 2", "ph1.min_gap_loa, least: 1", "goals[1]", "cannot be exercised"),
        ("old-ferriers-cove", WHEN, "at_s: 80000", "timeline[0].at_s", "after the stay"),
        ("amber-hythe", "at_h: 2.75", "at_h: 12", "wind.shifts[1].at_h", "after the stay"),
        ("raven-steeps", "wind:\n", LATE, "wind.squalls[0].from_h", "after the stay"),
        ("tollgate-slot", "anchor_east_m: -200", "anchor_east_m: -255", "neighbours[0]", "will touch"),
    ],
)  # fmt: skip
def test_a_trap_is_told_at_its_key(changed, name, old, fresh, key, told):
    found = traps.find(changed(name, (old, fresh)))

    assert any(key == dotted(t.path) and told in t.text for t in found), [(dotted(t.path), t.text) for t in found]


def dotted(path) -> str:
    return re.sub(r"\.(\d+)", r"[\1]", ".".join(str(part) for part in path))


def test_a_lesson_to_start_from_keeps_its_comments_and_loads(tmp_path):
    source = library.load_lesson("nettle-roads")
    path = new.write("two-rocks", source, tmp_path)
    made = library.load_lesson(path)

    assert (made.title, made.sources.lesson.order) == ("Two Rocks", None)
    comments = [line for line in source.path.read_text(encoding="utf-8").splitlines() if line.startswith("#")]
    assert set(comments) <= set(path.read_text(encoding="utf-8").splitlines())
    assert made.brief.words == source.brief.words
    with pytest.raises(WindrodeError, match="already"):
        new.write("two-rocks", source, tmp_path)


@pytest.mark.parametrize("name", ["", "Two Rocks", "../up", "a" * 61])
def test_a_name_that_is_none_is_refused(tmp_path, name):
    with pytest.raises(WindrodeError, match="small letters"):
        new.write(name, library.load_lesson("nettle-roads"), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_the_picture_of_the_chart_holds_nothing_of_the_answer():
    lesson = library.load_lesson("thistle-sound")
    whole, chart = preview.draw(lesson, True), preview.draw(lesson, False)

    for word in ("Bluebell", "Thistle" if "Thistle" in lesson.title else lesson.title, "sound channel"):
        assert word in whole and word in chart
    assert whole.startswith("<svg xmlns=")
    assert len(chart) < len(whole), "rodes, region and drop are the instructor's"


def test_the_trainees_page_tells_the_task_and_not_the_answer(tmp_path):
    lesson = library.load_lesson("gannet-narrows")
    trainee, instructor = (p.read_text("utf-8") for p in brief_page.write(lesson, tmp_path / "g.html"))

    assert lesson.brief.aim in trainee and lesson.brief.aim in instructor
    assert "ph1." not in instructor, "what is asked for a pass is in words"
    assert "<li>Between 5 and 25 min: wash 0.3 m high from 275° for 45 s</li>" in instructor
    for secret in (lesson.teacher.reference.why, lesson.teacher.reading, lesson.teacher.debrief, "chain, 48 m"):
        assert secret in instructor
        assert secret not in trainee
    assert "Tide through the stay" in trainee
    assert not re.findall(r'(?:src|href)="', trainee), "it needs nothing from anywhere"
    assert not re.findall(r"sheet\.\w+", trainee + instructor), "every label is in words"
    assert (tmp_path / "g.instructor.html").is_file()


@pytest.mark.parametrize("name", ["thimble-cove", "lantern-pool"])
def test_a_page_can_be_made_without_tide_neighbours_or_plan(tmp_path, name):
    trainee, instructor = brief_page.write(library.load_lesson(name), Path(tmp_path / "p.html"))

    assert "No tide to speak of." in trainee.read_text("utf-8")
    assert instructor.stat().st_size > trainee.stat().st_size / 2


def test_days_for_proof_spare_those_of_the_test():
    lesson = library.load_lesson("lantern-pool")
    seeds = proof.days(lesson, 120)

    assert seeds[:5] == list(lesson.sources.lesson.seeds.practice)
    assert len(set(seeds)) == 120
    assert not set(seeds) & set(lesson.sources.lesson.seeds.test)


def test_a_bay_of_ones_own_comes_with_the_lesson_where_asked(tmp_path):
    source = library.load_lesson("thimble-cove")
    bay = new.write_bay("heron-cove", source, tmp_path)
    made = library.load_lesson(new.write("heron-cove", source, tmp_path, own_bay=True))

    assert made.sources.bay.title == "Heron Cove"
    assert made.sources.bay.shores == source.sources.bay.shores
    assert bay == tmp_path / "bays" / "heron-cove.yaml"
    with pytest.raises(WindrodeError, match="already"):
        new.write_bay("heron-cove", source, tmp_path)


def test_the_bay_of_the_authors_page_is_a_whole_one_and_may_have_more():
    page = (library.data_root() / "README.md").read_text(encoding="utf-8")
    block, rest = page.split("## A bay by hand\n")[1].split("\nThat is a complete bay.")
    more = [line for line in rest.split("\n## ")[0].splitlines() if line.startswith("    ")]
    text = "\n".join(line[4:] for line in block.splitlines())
    whole = load.validate(BayFile, load.parse(text.encode(), "heron-cove.yaml"))
    richer = load.validate(
        BayFile, load.parse("\n".join([text, *(line[4:] for line in more)]).encode(), "heron-cove.yaml")
    )

    assert (whole.title, whole.patches, whole.zones) == ("Heron Cove", (), ())
    assert len(richer.patches) == len(richer.zones) == 1
