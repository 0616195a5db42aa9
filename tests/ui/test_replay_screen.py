"""A run looked at again: one time moves every picture; moments and bookmarks are stops; the run is never touched."""

from dataclasses import replace

import pygame
import pytest
from marking import sailed

from sim.record import remarks
from sim.record.remarks import MOST_LETTERS, Remark
from sim.scenario.library import load_lesson, load_words
from sim.ui.input.keys import Press
from sim.ui.paint.display import Disc, Hull, Stroke, Words, texts
from sim.ui.paint.palette import DAY
from sim.ui.panels.layout import lay_out
from sim.ui.screens.replay_screen import ReplayScreen
from sim.ui.words import Catalogue

STAY_S = 36_000.0


@pytest.fixture
def screen(tmp_path, words):
    """Return a run drawn by hand, opened at its touch."""
    return ReplayScreen(sailed.run(), load_lesson("lantern-pool"), tmp_path, DAY, words)


@pytest.fixture
def departing():
    """Return the same run with a departure ten hours later."""
    run = sailed.run()
    track = run.track
    out = replace(track, fast={**track.fast, "t_s": track["t_s"] + STAY_S}, slow_t_s=track.slow_t_s + STAY_S, events=())
    return replace(run, departure=out)


def hull(screen):
    """Return where her hull is drawn."""
    return next(item.at for item in screen.items() if isinstance(item, Hull) and item.shape == 0)


def test_it_opens_at_the_touch_and_steps_by_the_second(screen):
    """The anchor touches at 100 s; a step ahead and back is where it was, and time stays within the attempt."""
    assert screen.t_s == 100.0
    screen.press(Press.RIGHT)
    assert screen.t_s == 101.0
    screen.press(Press.LEFT)
    screen.seek(-50.0)
    assert screen.t_s == 0.0
    screen.seek(1e6)
    assert screen.t_s == sailed.SECURED_S


def test_hull_and_chain_are_where_they_were(screen):
    """At 450 s she lies 36 m south of her anchor at the origin, the chain between them."""
    screen.seek(450.0)
    chain = next(i for i in screen.items() if isinstance(i, Stroke) and i.ink == "hot" and i.dash is None)

    assert hull(screen) == pytest.approx((-36.0, 0.0), abs=0.1)
    assert chain.points[0] == pytest.approx((0.0, 0.0))
    assert any(isinstance(i, Disc) and i.ink == "hot" for i in screen.items())


def test_before_the_drop_there_is_no_chain(screen):
    """Nothing lies on the bottom yet."""
    screen.seek(20.0)

    assert not any(isinstance(i, Disc) for i in screen.items())


def test_down_goes_from_moment_to_moment(screen):
    """Each press lands on a numbered moment, in order, and ends at the end."""
    screen.seek(0.0)
    stops = []
    for _ in range(len(screen.moments) + 2):
        screen.press(Press.DOWN)
        stops.append(screen.t_s)

    assert stops == sorted(stops)
    assert set(stops) <= set(screen.moments)
    assert stops[-1] == sailed.SECURED_S


def test_a_bookmark_is_kept_beside_the_run(screen, tmp_path, words):
    """Enter sets it, it is a stop on the way, it is there when the run is opened again; Enter takes it away."""
    screen.seek(250.0)
    screen.press(Press.ENTER)
    again = ReplayScreen(sailed.run(), load_lesson("lantern-pool"), tmp_path, DAY, words)
    again.seek(240.0)
    again.press(Press.DOWN)

    assert again.t_s == 250.0
    again.press(Press.ENTER)
    assert ReplayScreen(sailed.run(), load_lesson("lantern-pool"), tmp_path, DAY, words).bookmarks == []


def test_a_torn_file_of_bookmarks_is_no_hindrance(tmp_path, words):
    """It is as if there were none."""
    (tmp_path / "bookmarks.json").write_text('{"bookmarks_s": [1', encoding="utf-8")

    assert ReplayScreen(sailed.run(), load_lesson("lantern-pool"), tmp_path, DAY, words).bookmarks == []


def test_playing_lets_time_run_at_its_rate_and_stops_at_the_end(screen):
    """Two seconds of wall time at four times the rate of life are eight."""
    surface = pygame.Surface((1024, 768))
    screen.press(Press.PAUSE)
    screen.draw(surface, 2.0)
    assert screen.t_s == pytest.approx(108.0)
    screen.draw(surface, 1000.0)
    assert screen.t_s == sailed.SECURED_S
    assert not screen.playing


def test_another_attempt_is_shown_in_the_second_ink_at_its_own_touch(tmp_path, words):
    """Eight metres to the east of hers all the way; its strips are laid under hers."""
    other = sailed.run(east_m=8.0)
    screen = ReplayScreen(sailed.run(), load_lesson("lantern-pool"), tmp_path, DAY, words, other)
    screen.seek(450.0)
    ring = next(i for i in screen.items() if isinstance(i, Disc) and i.edge == "second")

    assert ring.at == pytest.approx((-36.0, 8.0), abs=0.1)
    assert all(row.other is not None for row in screen.strips)


def test_the_departure_can_be_looked_at_and_the_anchoring_again(departing, tmp_path, words):
    """F2 turns from one part of the run to the other; each has its own span and moments."""
    screen = ReplayScreen(departing, load_lesson("lantern-pool"), tmp_path, DAY, words)
    first = screen.span
    assert words("ui.replay.to.out") in texts(screen.panels(lay_out((1280, 800), True))[-1].items)
    screen.press(Press.PAGE)
    assert screen.span[0] > first[1]
    assert screen.moments[0] == screen.span[0]
    assert screen.t_s == screen.span[0]
    screen.press(Press.RIGHT)
    assert screen.t_s == screen.span[0] + 1.0
    screen.press(Press.PAGE)
    assert screen.span == first


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800)])
def test_the_way_back_stays_on_the_rail_however_short_room_is(departing, tmp_path, size):
    """In German the keys are longest: those that matter least give way, the way back never."""
    german = Catalogue(load_words("de"))
    screen = ReplayScreen(departing, load_lesson("lantern-pool"), tmp_path, DAY, german)
    rail = screen.panels(lay_out(size, True))[-1]
    last = next(item for item in rail.items if isinstance(item, Words) and item.text == german("ui.replay.leave"))
    assert last.at[0] + 40.0 < rail.rect[2]


def test_the_side_view_tells_the_truth(screen):
    """Anchor, burial and pull in words, whatever the lesson grants."""
    screen.seek(340.0)
    shown = " ".join(line for panel in screen.panels(lay_out((1280, 800), True)) for line in texts(panel.items))

    assert "1.9 kN" in shown


def written(screen, text):
    """Open the pad, type and enter, as the window hands it on."""
    screen.press(Press.REMARK)
    screen.pad.write("N")  # the letter of the key that opened it
    for letter in text:
        screen.pad.key(pygame.K_a)
        screen.pad.write(letter)
    screen.pad.key(pygame.K_RETURN)


def shown(screen):
    """Return every line of text on the screen's panels."""
    return [line for panel in screen.panels(lay_out((1280, 800), True)) for line in texts(panel.items)]


def test_a_remark_is_kept_at_its_time_listed_and_a_stop(screen, tmp_path, words):
    """What is typed at 4:10 stands in the list with its time, is there again later, and down goes to it."""
    screen.seek(250.0)
    written(screen, "Look astern first")
    again = ReplayScreen(sailed.run(), load_lesson("lantern-pool"), tmp_path, DAY, words)
    again.seek(240.0)
    again.press(Press.DOWN)

    assert again.t_s == 250.0
    assert again.pad.kept == [Remark(250.0, "Look astern first")]
    assert {"4:10", "Look astern first"} <= set(shown(again))


def test_a_remark_at_the_same_place_is_taken_in_hand_and_left_empty_goes(screen):
    """Opening the pad there gives the line back; emptied, nothing and no file is left."""
    screen.seek(250.0)
    written(screen, "Ab")
    screen.press(Press.REMARK)
    assert screen.pad.line == "Ab"
    for _ in range(2):
        screen.pad.key(pygame.K_BACKSPACE)
    screen.pad.key(pygame.K_RETURN)

    assert screen.pad.kept == []
    assert not (screen.folder / remarks.FILE).exists()


def test_escape_drops_the_line_and_undo_brings_back_what_was_taken_away(screen):
    """Escape keeps nothing; Backspace takes the one here away; each undo goes one change back."""
    screen.seek(250.0)
    screen.press(Press.REMARK)
    screen.pad.key(pygame.K_x)
    screen.pad.write("x")
    screen.pad.key(pygame.K_ESCAPE)
    assert screen.pad.line is None
    assert not screen.pad.changed
    written(screen, "Well laid")
    screen.press(Press.ABORT)
    assert remarks.read(screen.folder) == []
    screen.press(Press.UNDO)
    assert remarks.read(screen.folder) == [Remark(250.0, "Well laid")]
    screen.press(Press.UNDO)
    assert remarks.read(screen.folder) == []


def test_a_remark_is_one_line_of_a_bounded_length(screen):
    """What is pasted with breaks in it becomes one line; more than fits is not taken."""
    screen.press(Press.REMARK)
    screen.pad.key(pygame.K_v)
    screen.pad.write("a\nb" + "c" * 500)

    assert screen.pad.line == "ab" + "c" * (MOST_LETTERS - 2)


@pytest.mark.parametrize("torn", ['{"remarks": [', '{"remarks": [{"t_s": "x", "text": "y"}]}', "[]"])
def test_a_torn_file_of_remarks_is_no_hindrance(tmp_path, torn):
    """It is as if there were none."""
    (tmp_path / remarks.FILE).write_text(torn, encoding="utf-8")

    assert remarks.read(tmp_path) == []
