"""What a frame costs besides time: nothing is made anew; and what stands on the plan is whole and clear."""

import dataclasses

import numpy as np
import pygame
import pytest

from sim.core.orders import commands as cmd
from sim.play.session import Session
from sim.scenario.library import load_lesson
from sim.ui import bench
from sim.ui.chart.label_places import place
from sim.ui.chart.scene_plan import lens, poses
from sim.ui.input.keys import Press
from sim.ui.paint import palette
from sim.ui.paint.display import Hatch, Hull
from sim.ui.paint.palette import DAY, NIGHT, contrast, night
from sim.ui.preferences import Preferences
from sim.ui.screens.sail import SailScreen

SIZES = [(1024, 768), (1280, 800), (1920, 1080)]


@pytest.fixture(scope="module")
def crowd():
    """Return the pool with sixty boats."""
    return bench.crowded(load_lesson("lantern-pool-2"), 60)


def drawn(screen, size, frames=12):
    """Draw some frames and return the surface."""
    surface = pygame.Surface(size)
    for _ in range(frames):
        screen.session.advance(1.0 / 60.0)
        screen.draw(surface, 1.0 / 60.0)
    return surface


def test_no_surface_and_no_font_is_made_for_a_frame_that_shows_what_the_last_one_did(
    tmp_path, words, crowd, monkeypatch
):
    """A second of frames with sixty boats in view: surfaces are made where a display changes, not frame by frame."""
    screen = SailScreen(Session(crowd, 1, tmp_path), DAY, words)
    screen.follow.hand = 1
    surface = drawn(screen, (1280, 800), 240)
    screen.session.pacer.paused = True
    drawn(screen, (1280, 800), 24)
    made = []

    class Counted(pygame.Surface):
        def __init__(self, *args, **more):
            made.append(args)
            super().__init__(*args, **more)

    monkeypatch.setattr(pygame, "Surface", Counted)
    monkeypatch.setattr(pygame.font, "Font", lambda *args: made.append(args))
    for _ in range(60):
        screen.session.advance(1.0 / 60.0)
        screen.draw(surface, 1.0 / 60.0)

    assert made == []


def test_while_she_sails_no_font_is_made_and_a_surface_only_where_something_changed(
    tmp_path, words, crowd, monkeypatch
):
    """Five seconds with sixty boats: a display that reads otherwise is painted anew, ten times a second at most."""
    screen = SailScreen(Session(crowd, 1, tmp_path), DAY, words)
    screen.follow.hand = 1
    surface = drawn(screen, (1280, 800), 360)
    counts, fonts = [0], []

    class Counted(pygame.Surface):
        def __init__(self, *args, **more):
            counts[-1] += 1
            super().__init__(*args, **more)

    monkeypatch.setattr(pygame, "Surface", Counted)
    monkeypatch.setattr(pygame.font, "Font", lambda *args: fonts.append(args))
    for _ in range(300):
        screen.session.advance(1.0 / 60.0)
        screen.draw(surface, 1.0 / 60.0)
        counts.append(0)

    assert fonts == []
    assert sum(counts) < 300
    assert max(counts) <= 8


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("scale", [1.0, 1.6, 2.0])
def test_lettering_on_the_plan_is_whole_and_clear(tmp_path, words, crowd, size, scale):
    """No line is cut off by the plan's edge, lies under a box, on another line, or under her own hull."""
    screen = SailScreen(Session(crowd, 1, tmp_path), DAY, words, Preferences(scale=scale))
    for zoom in (None, 1):
        screen.follow.hand = zoom
        drawn(screen, size)
        rects = [pygame.Rect(line.rect) for line in screen.placed]

        assert rects
        assert all(line.text == line.item.text for line in screen.placed)
        assert all(r.inflate(-3, -5).collidelist([o.inflate(-3, -5) for o in rects if o is not r]) < 0 for r in rects)


def test_a_line_without_room_is_left_out_and_one_at_the_edge_is_moved_in(words):
    """The more important one stays where it is."""
    from sim.ui.paint.display import Words

    def line(source, at):
        return Words(source, at, "name", "text", 14.0, "ink", "c")

    area = pygame.Rect(0, 0, 200, 60)
    told, chart = line("told", (100.0, 30.0)), line("chart", (101.0, 31.0))
    placed = place([chart, told], area, [pygame.Rect(60, 0, 80, 20), pygame.Rect(60, 40, 80, 20)])
    assert [p.item for p in placed] == [told]
    (edge,) = place([line("chart", (199.0, 30.0))], area, [])

    assert area.contains(pygame.Rect(edge.rect))


TWILIGHT = [palette.twilight(k / palette.STEPS) for k in range(1, palette.STEPS)]


@pytest.mark.parametrize("colours", [DAY, *TWILIGHT, NIGHT, night(0.7), night(0.4)], ids=lambda p: p.name)
def test_text_and_signs_stand_out_from_what_they_stand_on(colours):
    """WCAG 2: 4.5 for text, on panel, casing, rail and land; 3 for signs on the water, with their casing."""
    for ink in ("ink", "second", "hot"):
        for ground in ("panel", "casing"):
            assert contrast(colours[ink], colours[ground]) >= 4.5, (ink, ground)
    assert contrast(colours["rail_text"], colours["rail"]) >= 4.5
    assert contrast(colours["inland"], palette.land(colours)) >= 4.5
    assert contrast(colours["casing"], colours["hot"]) >= 4.5  # letters on a hot key
    for band in palette.BANDS:
        cased = max(contrast(colours[ink], colours["casing"]) for ink in ("ink", "hot"))
        assert max(cased, contrast(colours["ink"], colours[band])) >= 3.0


def test_black_on_white_is_twenty_one():
    """WCAG 2's own example."""
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)


def test_what_two_circles_share():
    """Two of radius 5, 6 apart: the lens is 8 long and 4 wide; two apart share nothing; one inside another is whole."""
    area = np.array(lens((0.0, 0.0), 5.0, (6.0, 0.0), 5.0))

    assert np.ptp(area[:, 1]) == pytest.approx(8.0, abs=0.5)
    assert np.ptp(area[:, 0]) == pytest.approx(4.0, abs=0.2)
    assert lens((0.0, 0.0), 5.0, (11.0, 0.0), 5.0) == []
    assert np.ptp(np.array(lens((0.0, 0.0), 20.0, (3.0, 0.0), 2.0))[:, 0]) == pytest.approx(4.0, abs=0.1)


@pytest.mark.parametrize(("kind", "hatched"), [("chain", False), ("mooring", True), ("rope", True)])
def test_only_a_swing_unlike_hers_is_hatched(tmp_path, words, crowd, kind, hatched):
    """Her circle lies over those of boats on chain without a sign; over one on a mooring or on rope it is hatched."""
    file = crowd.sources.lesson
    rode = file.neighbours[0].rode.model_copy(update={"kind": kind})
    near = [
        n.model_copy(update={"rode": rode, "anchor_north_m": -150.0, "anchor_east_m": 0.0}) for n in file.neighbours[:1]
    ]
    start = file.start.model_copy(update={"north_m": -120.0, "east_m": 10.0, "speed_kn": 0.0})
    file = file.model_copy(update={"neighbours": tuple(near), "start": start})
    lesson = dataclasses.replace(crowd, aids=("circles",), sources=dataclasses.replace(crowd.sources, lesson=file))
    session = Session(lesson, 1, tmp_path)
    session.hands.order(cmd.Brake(grip=0.0))
    for k in range(60 * 25):
        if k == 900:
            session.hands.order(cmd.Brake(grip=1.0))
        session.tick()
    session.look()
    screen = SailScreen(session, DAY, words)

    assert session.aids.own_swing is not None
    assert any(isinstance(item, Hatch) for item in screen.around()) == hatched


def test_without_aids_boats_are_plotted_by_eye_and_better_once_ranged(tmp_path, words):
    """The eye is tens of metres out; after a range the plot is within a few."""
    session = Session(dataclasses.replace(load_lesson("hazel-cove"), aids=()), 1, tmp_path)

    def off():
        session.look()
        row = session.exercise.world.state.boats[1]
        pose = poses(session.view, session.aids, session.log)[0]
        return float(np.hypot(pose.north_m - row[0], pose.east_m - row[1]))

    by_eye = off()
    session.hands.order(cmd.TakeRange(target=1))
    for _ in range(240):
        session.tick()
    by_range = off()

    assert by_eye > 8.0
    assert by_range < 7.0
    assert any(isinstance(item, Hull) and item.shape == 1 for item in SailScreen(session, DAY, words).around())


@pytest.mark.parametrize("size", [(1024, 768), (1280, 800), (1920, 1080)])
def test_however_large_all_is_shown_she_is_on_the_plan(tmp_path, words, size):
    """At twice the size the plan is small, and the camera still leaves her on it while she is far off."""
    screen = SailScreen(Session(load_lesson("hazel-cove"), 1, tmp_path), DAY, words, Preferences(scale=2.0))
    drawn(screen, size)
    own = screen.session.aids.own
    x, y = screen.camera().px((own.north_m, own.east_m))

    assert pygame.Rect(screen.layout.plan).inflate(-60, -60).collidepoint(x, y)


def test_head_up_her_bow_is_up(tmp_path, words):
    """The heading is up to within the step by which the plan turns; a place ahead lies above her."""
    session = Session(load_lesson("hazel-cove"), 1, tmp_path)
    screen = SailScreen(session, DAY, words)
    screen.press(Press.HEAD_UP)
    drawn(screen, (1280, 800))
    camera, own = screen.camera(), session.aids.own
    ahead = (own.north_m + 20.0 * np.cos(own.heading_rad), own.east_m + 20.0 * np.sin(own.heading_rad))
    (x0, y0), (x1, y1) = camera.px((own.north_m, own.east_m)), camera.px(ahead)

    assert y1 < y0
    assert abs(x1 - x0) < 0.1 * abs(y1 - y0)
    assert camera.place(camera.px(ahead)) == pytest.approx(ahead)
