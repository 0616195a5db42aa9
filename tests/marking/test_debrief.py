"""The debrief: one page that needs nothing from anywhere and says what the marks rest on."""

import json
import re
import shutil
import subprocess
from dataclasses import replace
from html.parser import HTMLParser
from importlib import resources

import numpy as np
import pytest
import worlds
from marking import sailed

from sim.base.units import rad
from sim.core import events as ev
from sim.marking import critical, outcome, result, rubric
from sim.marking.errors.found import find_errors
from sim.pages import debrief, page_rows, plan_picture, scrub
from sim.record import recording
from sim.record.remarks import Remark
from sim.record.track import Call
from sim.scenario import library
from sim.scenario.schema.lesson import GoalBlock
from sim.scenario.words import language

LESSON = library.load_lesson("lantern-pool")
HEADER = recording.make_header("lantern-pool", "0" * 64, 7, "sloop-12", "skipper")
SAY = debrief.speaker(library.load_words("en"))
CALLS = (
    Call(1200, "demonstrator", "no_such_key", {"what": "<waiting> & watching"}),
    Call(6000, "foredeck", "on_the_bottom", {"out_m": 7}),
    Call(9000, "foredeck", "lead", {"sector": "bow", "side": "port", "hour": 11, "stay": "long", "feel": "steady"}),
    Call(9900, "foredeck", "no_such_key", {"what": "this"}),
)


def page(*args, lesson=LESSON, **changed) -> str:
    run = sailed.run(*args, **changed)
    run = replace(run, track=replace(run.track, calls=CALLS))
    fails = critical.find_fails(run, lesson.profile.critical)
    marks = rubric.judge(run, lesson.profile, fails)
    came = outcome.find_outcome(run)
    ended = result.Ended("secured", 480.0)
    data = result.make_result(
        run,
        HEADER,
        ("skipper", 1),
        ended,
        marks,
        fails,
        came,
        "ab" * 8,
        found=find_errors(run),
        language=lesson.language,
    )
    return debrief.make_page(
        run, marks, fails, came, data, lesson, debrief.speaker(library.load_words(lesson.language))
    )


class Balanced(HTMLParser):
    """Counts open elements, so that a page with a tag left open is noticed."""

    VOID = frozenset({"meta", "br", "hr", "img", "link", "input"})

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag, attrs):
        """Note an element that opens."""
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        """Close it, and only it."""
        assert self.open.pop() == tag


RUNS = {
    "good": {},
    "nothing-done": {"happened": []},
    "no-anchor": {"happened": [sailed.plan()], "anchor_n_m": np.nan, "anchor_e_m": np.nan},
    "crowded": {"params": {"neighbours": (worlds.neighbour(40.0, 30.0),)}, "others": [(5.0, 30.0, 0.0)]},
    "aground": {"happened": [*sailed.events(), ev.Grounded(tick=29000, boat=0, speed_mps=0.1)]},
}


@pytest.mark.parametrize("name", RUNS)
def test_the_page_is_whole_and_stands_alone(name):
    """No address, nothing fetched, no NaN, every element closed, small enough to send."""
    text = page(**RUNS[name])
    reader = Balanced()
    reader.feed(text)

    assert reader.open == []
    assert not re.search(r"https?:|//[a-z]|src=|<link|@import|fetch\(|XMLHttp|url\((?!#)", text)
    assert not re.search(r"\bnan\b", text)
    assert len(text.encode()) < 600_000


def test_outcome_and_process_stand_apart():
    """A run that held and one that was well done are two sentences."""
    text = page()

    assert text.index("Outcome") < text.index("How it was done") < text.index("From above")
    assert "She stayed where she was set and tested." in text
    assert "1.90 kN, about the pull of 26 kn of wind" in text


def test_what_a_lesson_asks_for_a_pass_stands_with_what_was_found():
    """A band that was kept and a ceiling that was not: the reader sees which of them the pass was lost by."""
    asked = [
        GoalBlock(measure="ph3.sog_at_touch_kn", least=-0.5, most=0.0),
        GoalBlock(measure="ph4.heap_m", most=2.0),
    ]
    marks = rubric.judge(sailed.run(heap_m=np.where(sailed.T_S > 110.0, 13.0, 0.0)), LESSON.profile, goals=asked)
    kept, missed = page_rows.goals(marks, SAY)

    assert (kept["met"], missed["met"]) == (True, False) and not marks.passed
    assert kept["wanted"] == "between −0.5 and 0 kn"
    assert missed["wanted"] == "at most 2 m" and missed["value"].endswith(" m")


def test_a_critical_fail_stands_first():
    """The reason comes before any figure."""
    text = page(**RUNS["aground"])

    assert text.index("ran aground") < text.index("Outcome")
    assert "She touched." in text


def test_each_measure_stands_with_its_thresholds():
    """What was found, full, half and nought, and the marks."""
    text = page(sailed.instead(sailed.touch(heading_rad=rad(35.0))))

    row = re.search(
        r"<tr><td>bow off the line she will lie on as the anchor touched</td>.*?</tr>",
        text[text.index("Every measure") :],
        re.S,
    )
    assert row is not None
    cells = re.findall(r"<td[^>]*>\s*(.*?)\s*</td>", row.group(), re.S)
    assert cells[1:5] == ["35°", "≤ 20", "50", "95"]


def test_what_was_said_is_in_words():
    """Calls go through the list of words, values too; what is not in the list is not lost; text is escaped."""
    text = page()

    assert "no such key &lt;waiting&gt; &amp; watching" in text
    assert "On the bottom, 7 m." in text
    assert "Chain on the port bow, long stay." in text
    assert "no such key this" in text


def test_cautions_are_on_the_page():
    """The first beside the title, the others at the end."""
    text = page()

    assert text.index("For practice only") < text.index("Outcome")
    assert "Not for navigation" in text


def test_the_pictures_show_the_same_numbered_moments():
    """Seven moments, in order of time, in the list beside the plan."""
    shown = page_rows.moments(sailed.run(), SAY)

    assert [q.number for q in shown] == [str(k) for k in range(1, len(shown) + 1)]
    assert [q.t_s for q in shown] == sorted(q.t_s for q in shown)
    words = [q.words for q in shown]
    assert words[:2] == ["Start", "Anchor on the bottom"]
    assert words[-1] == "Reported secured"


def test_the_file_is_written(tmp_path):
    """As debrief.html in the run's folder."""
    run = sailed.run()
    marks = rubric.judge(run, LESSON.profile)
    came = outcome.find_outcome(run)
    ended = result.Ended("secured", 480.0)
    data = result.make_result(run, HEADER, ("skipper", 1), ended, marks, (), came, "ab" * 8)

    path = debrief.write(tmp_path, run, marks, (), came, data, LESSON)

    assert path == tmp_path / "debrief.html"
    assert path.read_text("utf-8").startswith("<!doctype html>")


def frames_of(text: str) -> dict:
    """Return the scrubber's frames as the page carries them."""
    found = re.search(r'<script type="application/json" id="frames">(.*?)</script>', text, re.S)
    assert found is not None
    return json.loads(found.group(1))


def test_the_scrubber_has_a_frame_for_every_moment_of_every_picture():
    """As many poses, chains, beds and values as times; it opens at the touch."""
    data = frames_of(page())

    assert {len(data[key]) for key in ("hull", "chain", "side", "bed", "x", "read", "others")} == {len(data["t"])}
    assert len(data["t"]) <= scrub.MOST_FRAMES + 1
    assert data["t"][data["start"]] in (100, 101)
    assert data["x"] == sorted(data["x"])


def test_a_frame_shows_the_chain_where_it_lies():
    """The chain is 32.5 m long and nearly straight: anchor and roller stand that far apart in both pictures."""
    run = sailed.run()
    data = scrub.frames(run)
    k = data["t"].index(450)
    chain, side = np.reshape(data["chain"][k], (-1, 2)), np.reshape(data["side"][k], (-1, 2))
    straight = np.linalg.norm(sailed.chain_shape(32.5)[-1, :2])
    frame = scrub.side_frame(run)

    assert np.hypot(*(chain[-1] - chain[0])) / plan_picture.make_view(run).scale == pytest.approx(straight, rel=0.03)
    assert (side[-1, 0] - side[0, 0]) / frame.scale == pytest.approx(straight, rel=0.03)
    assert side[-1, 0] == pytest.approx(frame.roller_x, abs=1.0)
    assert (side[0, 1] - frame.surface_y) / frame.scale == pytest.approx(5.0, abs=0.1)


def test_before_the_anchor_is_let_go_no_chain_is_drawn():
    """Frames before the drop have none."""
    data = frames_of(page())

    assert data["chain"][0] == data["side"][0] == []


def test_a_ghost_lies_under_her_track():
    """Another attempt adds its track to the plan and its lines to the strips, and says whose it is."""
    run = sailed.run()
    other = sailed.run(east_m=8.0)
    marks = rubric.judge(run, LESSON.profile)
    came = outcome.find_outcome(run)
    data = result.make_result(run, HEADER, ("skipper", 1), result.Ended("secured", 480.0), marks, (), came, "ab" * 8)
    alone = debrief.make_page(run, marks, (), came, data, LESSON, SAY)
    both = debrief.make_page(run, marks, (), came, data, LESSON, SAY, (other, "another attempt"))

    assert "another attempt" in both
    assert both.count('stroke-dasharray="1.5 2.5"') == 5
    assert 'stroke-dasharray="1.5 2.5"' not in alone


def test_remarks_stand_on_the_page_at_their_times_and_at_the_scrubber():
    """A section of their own, mm:ss, each a jump; without any there is neither section nor row."""
    run = sailed.run()
    marks, came = rubric.judge(run, LESSON.profile), outcome.find_outcome(run)
    data = result.make_result(run, HEADER, ("skipper", 1), result.Ended("secured", 480.0), marks, (), came, "ab" * 8)
    said = [Remark(250.0, "Look <astern> first")]
    plain = debrief.make_page(run, marks, (), came, data, LESSON, SAY)
    text = debrief.make_page(run, marks, (), came, data, LESSON, SAY, None, said)

    assert text.count('<button class="jump" data-t="250">4:10</button>') == 2
    assert 'data-remark="250">Look &lt;astern&gt; first</td>' in text
    assert "<h2>The instructor&#39;s remarks</h2>" in text
    assert 'id="remark"' not in plain
    assert "instructor&#39;s remarks" not in plain


def test_every_word_of_the_page_is_in_the_list():
    """No key shows through: the list of words has each one the template asks for."""
    template = resources.files("sim.pages").joinpath("templates").joinpath("debrief.html.j2").read_text("utf-8")
    asked = set(re.findall(r'\bt\("([a-z_.]+)"', template)) - {"ended."}
    words = library.load_words("en")

    assert len(asked) > 40
    assert sorted(key for key in asked if f"page.{key}" not in words) == []


def test_the_page_in_german_has_no_english_heading_left():
    """Headings, heads of tables, phases and measures are all said in the lesson's language, what is advised too."""
    english, german = (
        page(sailed.without(ev.TransitTaken), lesson=language.lesson_in("lantern-pool", code)) for code in ("en", "de")
    )
    headings = [re.findall(r"<(h[123]|th|dt|summary)[^>]*>([^<]*[a-z][^<]*)</", text) for text in (english, german)]
    rows = [re.findall(r"<tr><td>([^<]{6,})</td>", text) for text in (english, german)]
    shared = {"Moment", LESSON.title}  # a word of both, and a place

    assert len(headings[0]) == len(headings[1]) > 30
    assert {text for _, text in headings[0]} & {text for _, text in headings[1]} <= shared
    assert len(rows[0]) > 30
    assert set(rows[0]) & set(rows[1]) == set()
    assert '<html lang="de">' in german
    assert "Deckpeilung" in german
    assert "No transit was taken" in english
    assert "No transit was taken" not in german


CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@pytest.mark.skipif(CHROMIUM is None, reason="needs the chromium browser")
def test_in_a_browser_one_time_moves_every_picture(tmp_path):
    """The page's own script puts hull, chain, side view and strips' cursor at the opening frame, and asks no one."""
    text = page()
    data = frames_of(text)
    (tmp_path / "debrief.html").write_text(text, encoding="utf-8")
    quiet = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync"]
    quiet += ["--disable-background-networking", "--disable-component-update", f"--user-data-dir={tmp_path / 'user'}"]
    address = (tmp_path / "debrief.html").as_uri()
    done = subprocess.run(
        [CHROMIUM, *quiet, "--dump-dom", address], capture_output=True, text=True, timeout=60, check=True
    )
    k = data["start"]
    x, y, turn = data["hull"][k]

    assert f'class="live-hull" transform="translate({x} {y}) rotate({turn})"' in done.stdout
    assert re.search(rf'id="cursor"[^>]*x1="{data["x"][k]}"', done.stdout)
    assert re.search(r'id="side-chain" points="\d+,\d+ ', done.stdout)
    assert 'data-read="0">' in done.stdout
    assert 'data-read="0">–' not in done.stdout
