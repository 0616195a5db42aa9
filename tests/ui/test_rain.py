"""Rain with a squall: hung before the shore and over the plan, falling on with the clock unless motion is reduced."""

import pytest

from sim.core.orders import commands as cmd
from sim.helm.sight import RAIN_M
from sim.play.session import Session
from sim.scenario.library import load_lesson
from sim.ui.chart.camera import Camera
from sim.ui.chart.scene_water import rain
from sim.ui.paint.display import Mark, Stroke
from sim.ui.paint.palette import DAY
from sim.ui.preferences import Preferences
from sim.ui.screens.sail import SailScreen


def after_a_squall(tmp_path, words, rains, reduced=False):
    """Return the screen of a lesson some seconds in, with a squall come up or not."""
    session = Session(load_lesson("hazel-cove"), 1, tmp_path)
    if rains:
        session.hands.order(cmd.Inject(what="squall", ramp_s=5.0, hold_s=60.0, factor=1.5))
    for _ in range(180):
        session.tick()
    session.look()
    return SailScreen(session, DAY, words, Preferences(reduced_motion=reduced))


def streaks(screen):
    """Return the slanting strokes on the strip, and its signs."""
    (strip,) = [panel for panel in screen.panels(0, screen.camera()) if panel.name == "lookout"]
    fallen = [i for i in strip.items if isinstance(i, Stroke) and i.source == "eye" and i.ink == "second"]
    return fallen, [i for i in strip.items if isinstance(i, Mark)]


def test_it_rains_on_the_strip_with_a_squall_alone(tmp_path, words):
    assert not streaks(after_a_squall(tmp_path / "dry", words, rains=False))[0]
    assert len(streaks(after_a_squall(tmp_path / "wet", words, rains=True))[0]) > 30


@pytest.mark.parametrize("reduced", [False, True])
def test_it_stands_still_where_motion_is_reduced(tmp_path, words, reduced):
    screen = after_a_squall(tmp_path, words, rains=True, reduced=reduced)
    before, _ = streaks(screen)
    for _ in range(60):
        screen.session.tick()
    screen.session.look()
    after, _ = streaks(screen)

    assert ([s.points for s in before] == [s.points for s in after]) == reduced


def test_marks_beyond_the_rain_are_not_seen(tmp_path, words):
    """From the middle of the cove as it is, and from twice as far off."""
    screen = after_a_squall(tmp_path, words, rains=True)
    own = screen.session.aids.own
    away = [(m.north_m - own.north_m) ** 2 + (m.east_m - own.east_m) ** 2 for m in screen.session.brief.chart.marks]
    near = sum(square <= RAIN_M**2 for square in away)

    assert len(streaks(screen)[1]) <= near < len(away)


def test_the_streaks_cover_what_is_seen_of_the_plan():
    """In every quarter of the picture there are some, and they jump on with time."""
    camera = Camera(0.0, 0.0, 4.0, (100, 50, 800, 600))
    ends = [s.points[0] for s in rain(camera, 0.0)]
    quarters = {(x > 500.0, y > 350.0) for x, y in ends}

    assert len(quarters) == 4
    assert ends != [s.points[0] for s in rain(camera, 1.0)]
